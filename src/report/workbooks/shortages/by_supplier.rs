//! The sheet `by supplier`: all there is to say to each supplier, one call one sentence, with room to write what was agreed.

use super::acts::Acts;
use super::asks::{self, Ask, asks};
use super::facts::Facts;
use super::text::mark;
use crate::base::{Moment, count, fold};
use crate::calls::Calls;
use crate::report::listing::{Line, listing, widths};
use crate::report::pages::Pages;
use crate::report::sheet::{Look, Paper, Sheet};
use crate::report::table::Value;
use itertools::Itertools;
use rayon::prelude::*;
use std::collections::HashMap;

/// So many calls stand on the sheet, the most urgent first: as many as somebody makes in a day.
pub const MOST_CALLS: usize = 80;
/// The percent at which it is printed.
const SCALE: u16 = 80;
/// The least height of a call, in points, so that there is room to write: 19 on a page.
const ROOM: u16 = 30;

const TOLD: &str = "One call, one sentence; the supplier whose first call is most urgent stands first. 'By' is the picking of the run that the pieces are \
for: they go with it until then. 'At the last' is the last moment at which nothing stops for them: for you, not for the supplier. There means \
unloaded and found good. 'If it fails' is what the line loses if this call alone fails and all others succeed.";

pub fn sheet<'p>(facts: &Facts<'p>, acts: &Acts<'_, 'p>, calls: &Calls) -> Sheet<'p> {
    let mut sheet = Sheet::new("by supplier", &widths::<BySupplier>());
    sheet.paper = Paper::Scale(SCALE);
    sheet.text(Look::Title, "By supplier: what to ask for");
    sheet.paragraph(Look::Plain, TOLD);
    sheet.gap();
    let all = asks(facts, acts, calls);
    let first = first(facts, &all);
    let lines: Vec<_> = first.iter().map(|ask| line(facts, calls, ask)).collect();
    if lines.is_empty() {
        sheet.text(Look::Plain, "There is nobody to call.");
    } else {
        put(&mut sheet, &first, lines, facts);
    }
    if all.len() > MOST_CALLS {
        let more = count(all.len() - MOST_CALLS, "call", "calls");
        sheet.text(Look::Strong, format!("and {more} more, less urgent: see 'chase', 'bring forward' and 'order'"));
    }
    sheet.fix_heights();
    sheet
}

/// The calls, each high enough to write beside it; where a supplier begins its name stands out.
fn put<'p>(sheet: &mut Sheet<'p>, shown: &[&Ask<'_, 'p>], lines: Vec<Line<'p, BySupplier>>, facts: &Facts<'p>) {
    let first = sheet.next_row() + 1;
    sheet.table(Some("by_supplier".to_owned()), lines);
    for (row, (at, ask)) in (first..).zip(shown.iter().enumerate()) {
        let begins = at == 0 || fold(ask.supplier(facts)) != fold(shown[at - 1].supplier(facts));
        mark(sheet, row, 0, if begins { Look::Strong } else { Look::Faint });
        let height = &mut sheet.rows[row as usize].height;
        *height = Some(height.unwrap_or(0).max(ROOM));
    }
    let mut pages = Pages::of(sheet, first);
    (first..sheet.next_row()).for_each(|row| pages.keep(sheet, row..row + 1));
}

/// The first calls: suppliers by their most urgent one, and each one's together. Where nothing is there a plan has a call for each part
/// and day, of which only the places are put in order.
fn first<'a, 'f, 'p>(facts: &Facts<'p>, asks: &'a [Ask<'f, 'p>]) -> Vec<&'a Ask<'f, 'p>> {
    let urgent: Vec<Moment> = asks.par_iter().map(|ask| ask.urgent(facts)).collect();
    let mut soonest: HashMap<&str, Moment> = HashMap::new();
    for (ask, urgent) in asks.iter().zip(&urgent) {
        let known = soonest.entry(ask.supplier(facts)).or_insert(*urgent);
        *known = (*known).min(*urgent);
    }
    // One name may be written in several ways.
    let named = soonest.into_iter().map(|(name, urgent)| (fold(name), urgent, name)).sorted().collect_vec();
    let named =
        named.chunk_by(|one, other| one.0 == other.0).map(|ways| (ways[0].1, ways)).sorted_by_key(|(at, _)| *at);
    let ranks: HashMap<&str, usize> =
        named.enumerate().flat_map(|(rank, (_, ways))| ways.iter().map(move |(.., name)| (*name, rank))).collect();
    let place = |(at, ask): (usize, &Ask<'f, 'p>)| (ranks[ask.supplier(facts)], urgent[at], at);
    let mut places: Vec<(usize, Moment, usize)> = asks.iter().enumerate().map(place).collect();
    places.sort_unstable();
    places.iter().take(MOST_CALLS).map(|(.., at)| &asks[*at]).collect()
}

listing! {
    /// What to ask a supplier for.
    BySupplier: fn line<'p>(facts: &Facts<'p>, calls: &Calls, ask: &Ask<'_, 'p>) {
        let part = facts.part(ask.part());
    }
    look: Look::Plain;
    "supplier", 20, Wrapped => asks::name(facts, ask);
    "call", 13, Text => ask.what();
    "part", 14, Text => part.code.as_str();
    "description", 20, Wrapped => part.description.as_str();
    "ask", 64, Wrapped => ask.sentence(facts);
    "if it fails, min", 17, Wrapped => ask.fails(facts, calls);
    "agreed: how many, when, by whom", 22, Box => Value::Blank;
}
