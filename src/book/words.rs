//! A plant's own words: what it writes for yes and no, for nothing, for units of measure; codes that a spreadsheet has spoiled;
//! percents without their sign. Cells that hold them are read as if they held the book's own words.

use super::forms::Forms;
use super::raw::Shape;
use super::rows::Rows;
use super::spec::{ColumnSpec, Holds, Table, TableSpec};
use crate::base::fold;
use std::collections::HashMap;

/// The words of one table.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Words {
    /// For yes.
    pub yes: Vec<String>,
    /// For no.
    pub no: Vec<String>,
    /// Whole cells that stand for nothing.
    pub blank: Vec<String>,
    /// Units of measure: the plant's, and the book's.
    pub measures: Vec<(String, String)>,
    /// How many digits the whole numbers of a column have: those with fewer get zeros in front.
    pub widths: Vec<(&'static str, usize)>,
    /// For a column: what its cells hold, and the code that this was.
    pub codes: Vec<(&'static str, Vec<(String, String)>)>,
    /// Whether numbers of shares are percents, with a sign or without.
    pub percent: bool,
}

/// What is done to the cells of one column.
struct Rewording<'w> {
    at: usize,
    /// Whole cells in lower case, and what stands for them.
    whole: HashMap<String, &'w str>,
    width: Option<usize>,
    percent: bool,
}

impl Words {
    /// What the plant calls its units of measure.
    pub fn own_measures(&self) -> Vec<String> {
        self.measures.iter().map(|(own, _)| own.clone()).collect()
    }

    /// The rows of a table in the book's own words. The headings are no longer among them.
    pub fn put_in(&self, shape: &Shape, forms: &Forms, rows: Rows) -> Rows {
        if *self == Self::default() {
            return rows;
        }
        let columns = shape.spec.all.iter().zip(&shape.columns);
        let mut columns: Vec<Rewording<'_>> = columns
            .filter_map(|(column, place)| {
                let (at, _) = place.as_ref()?;
                self.of_column(shape.spec, column, *at)
            })
            .collect();
        // One heading may serve two columns; what is put in for the first stands for the second, too.
        columns.sort_by_key(|column| column.at);
        if columns.is_empty() {
            return rows;
        }
        let mut out = rows.like();
        for row in rows.iter() {
            let mut cells: Vec<String> = row.cells().map(str::to_owned).collect();
            for column in &columns {
                if let Some(cell) = cells.get_mut(column.at) {
                    column.put_in(cell, forms);
                }
            }
            out.push(row.number(), cells.iter().map(String::as_str));
        }
        out
    }

    fn of_column<'w>(&'w self, spec: &TableSpec, column: &ColumnSpec, at: usize) -> Option<Rewording<'w>> {
        let mut whole: HashMap<String, &str> = HashMap::new();
        let truth = matches!(column.holds, Holds::Words(["yes", "no"])) || column.name == "done";
        if truth {
            whole.extend(self.yes.iter().map(|word| (fold(word), "yes")));
        }
        if truth || column.name == "hold" {
            whole.extend(self.no.iter().map(|word| (fold(word), "no")));
        }
        if measured(spec, column) {
            whole.extend(self.measures.iter().map(|(own, meant)| (fold(own), meant.as_str())));
        }
        let codes = self.codes.iter().filter(|(name, _)| *name == column.name).flat_map(|(_, codes)| codes);
        whole.extend(codes.map(|(own, meant)| (fold(own), meant.as_str())));
        whole.extend(self.blank.iter().map(|word| (fold(word), "")));
        let width = self.widths.iter().find(|(name, _)| *name == column.name).map(|(_, width)| *width);
        let percent = self.percent && is_share(column);
        (percent || width.is_some() || !whole.is_empty()).then_some(Rewording { at, whole, width, percent })
    }
}

impl Rewording<'_> {
    fn put_in(&self, cell: &mut String, forms: &Forms) {
        let text = cell.trim();
        if let Some(meant) = self.whole.get(&fold(text)) {
            *cell = (*meant).to_owned();
        } else if self.percent && forms.number(text).is_some() {
            *cell = format!("{text}%");
        } else if let Some(width) = self.width
            && !text.is_empty()
            && text.len() < width
            && text.bytes().all(|byte| byte.is_ascii_digit())
        {
            *cell = format!("{text:0>width$}");
        }
    }
}

/// Whether the cells of a column are shares of something, which may be written as percents.
fn is_share(column: &ColumnSpec) -> bool {
    column.name == "scrap"
}

/// Whether a table has a column of shares.
pub fn has_shares(spec: &TableSpec) -> bool {
    spec.all.iter().any(is_share)
}

/// Whether the cells of a column are units of measure.
fn measured(spec: &TableSpec, column: &ColumnSpec) -> bool {
    column.name == "uom" || spec.table == Table::Conversions && matches!(column.name, "from" | "to")
}
