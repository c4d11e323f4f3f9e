//! A sheet that is one table below a title, with what belongs together kept on one page.

use crate::base::numbered;
use crate::report::fit;
use crate::report::listing::{Line, Listing};
use crate::report::pages::Pages;
use crate::report::sheet::{Look, Paper, Sheet};
use itertools::Itertools;

/// What a page takes at the scale of these sheets.
const TOTAL: u16 = 168;

/// A sheet to be.
pub struct OneTable {
    /// The name on its tab.
    pub name: &'static str,
    /// Its title.
    pub title: String,
    /// What it tells.
    pub what: String,
}

impl OneTable {
    /// The sheet of some lines, each with the number of the group it belongs to.
    pub fn sheet<'n, L: Listing>(self, lines: Vec<(usize, Line<'n, L>)>) -> Sheet<'n> {
        let (groups, lines): (Vec<usize>, Vec<Line<'n, L>>) = lines.into_iter().unzip();
        let widths = fit::widths(&lines, TOTAL);
        let mut sheet = Sheet::new(self.name, &widths);
        sheet.paper = Paper::Scale(78);
        sheet.text(Look::Title, self.title);
        sheet.paragraph(Look::Plain, self.what);
        if lines.is_empty() {
            sheet.text(Look::Plain, "Nothing.");
            return sheet;
        }
        let mut at = sheet.next_row() + 1;
        sheet.table(Some(self.name.replace(' ', "_")), lines);
        let mut pages = Pages::of(&mut sheet, at);
        for (_, group) in &groups.iter().chunk_by(|group| **group) {
            let end = at + numbered(group.count());
            pages.keep(&mut sheet, at..end);
            at = end;
        }
        sheet
    }
}

/// Numbers lines so that those of equal keys that follow each other are one group.
pub fn grouped<'n, K: PartialEq, L>(lines: impl IntoIterator<Item = (K, Line<'n, L>)>) -> Vec<(usize, Line<'n, L>)> {
    let mut last: Option<K> = None;
    let mut group = 0;
    let numbered = lines.into_iter().map(|(key, line)| {
        group += usize::from(last.as_ref().is_some_and(|last| *last != key));
        last = Some(key);
        (group, line)
    });
    numbered.collect()
}
