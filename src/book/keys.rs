//! The columns by whose values a person names a row of a table, the first alone wherever that is enough.

use super::spec::{Table, TableSpec};

impl TableSpec {
    /// The columns that name a row, by their indices among all.
    pub fn keys(&self) -> Vec<usize> {
        let named = |key: &&str| self.columns().position(|column| column == *key);
        names(self.table).iter().filter_map(named).collect()
    }
}

fn names(table: Table) -> &'static [&'static str] {
    match table {
        Table::Settings => &["key"],
        Table::Calendar => &["calendar", "day", "start"],
        Table::Lines => &["line"],
        Table::Takt => &["line", "from"],
        Table::Stations => &["station"],
        Table::Shops => &["shop"],
        Table::Floorplans => &["floorplan"],
        Table::Parts => &["part"],
        Table::Bills => &["parent", "part", "station", "when"],
        Table::Options => &["option"],
        Table::Groups => &["group"],
        Table::Offers => &["floorplan", "option"],
        Table::Packages => &["option", "includes"],
        Table::Rules => &["when", "adds", "must"],
        Table::Changes => &["change"],
        Table::Sequence => &["unit"],
        Table::Stock => &["part", "location", "station", "unit", "hold"],
        Table::Receipts => &["purchase order", "part", "due"],
        Table::Extras => &["part", "to", "unit", "needed"],
        Table::Started => &["unit", "part"],
        Table::Waves => &["wave"],
        Table::Conversions => &["part", "from", "to"],
        Table::Uoms => &["uom"],
        Table::Content => &["kind", "floorplan", "when"],
        Table::Forecast => &["floorplan", "from"],
        Table::Scale => &["unit", "when"],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_key_is_a_column() {
        for spec in Table::all() {
            assert_eq!(spec.keys().len(), names(spec.table).len(), "{}", spec.name);
        }
    }
}
