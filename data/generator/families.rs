//! Families of bought parts: four tables of text, read into rows.

use crate::families_body;
use crate::families_finish;
use crate::families_inside;
use crate::families_under;

/// What the columns of a family's row say; `|` stands between them.
/// `in`: `-` the floorplan, a stem (each floorplan's own make part or kit), `STEM!` one kit for all, `cab` the cabinets.
/// `spread`: `all` one set of parts for all floorplans, `each` own ones, `decor` and `colour` by inside and outside,
/// with `each` behind it by floorplan too, `opt:WHEN` and `opteach:WHEN` only where ordered.
/// `qty`: a number, a span, four by floorplan with `/`; `*` grows with the floorplan, a unit of measure may follow.
pub const COLUMNS: &str = "code|name|in|spread|count|station|uom|issue|pack|qty|scrap|kg|cost|zone|trade|words";

pub struct Family {
    cells: Vec<&'static str>,
}

impl Family {
    pub fn get(&self, column: &str) -> &'static str {
        let at = COLUMNS.split('|').position(|name| name == column);
        self.cells.get(at.expect("a column of COLUMNS")).copied().unwrap_or("")
    }

    pub fn span(&self, column: &str) -> Option<(f64, f64)> {
        span(self.get(column))
    }
}

pub fn span(text: &str) -> Option<(f64, f64)> {
    let mut ends = text.split('-').map(|end| end.parse::<f64>());
    let low = ends.next()?.ok()?;
    Some((low, ends.next().and_then(Result::ok).unwrap_or(low)))
}

/// All rows of the four tables.
pub fn rows() -> Vec<Family> {
    let tables = [families_under::ROWS, families_inside::ROWS, families_body::ROWS, families_finish::ROWS];
    let lines = tables.into_iter().flat_map(str::lines);
    let lines = lines.filter(|line| !line.trim().is_empty());
    lines.map(|line| Family { cells: line.split('|').collect() }).collect()
}
