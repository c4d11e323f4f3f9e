//! The tables of a book and their columns, as the contract lists them.

/// A table of the book.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "the names are the tables' own; `TableSpec` says what each holds")]
pub enum Table {
    Settings,
    Calendar,
    Lines,
    Takt,
    Stations,
    Shops,
    Floorplans,
    Parts,
    Bills,
    Options,
    Groups,
    Offers,
    Packages,
    Rules,
    Changes,
    Sequence,
    Stock,
    Receipts,
    Extras,
    Started,
    Waves,
    Conversions,
    Uoms,
}

/// What a table is called and which columns it has.
#[derive(Debug)]
pub struct TableSpec {
    /// The table.
    pub table: Table,
    /// Its name.
    pub name: &'static str,
    /// Whether a book can't do without it.
    pub needed: bool,
    /// Columns that must be there.
    pub needed_columns: &'static [&'static str],
    /// Columns that may be blank or absent.
    pub other_columns: &'static [&'static str],
}

impl TableSpec {
    /// All columns, the needed ones first.
    pub fn columns(&self) -> impl Iterator<Item = &'static str> {
        self.needed_columns.iter().chain(self.other_columns).copied()
    }
}

macro_rules! specs {
    ($($table:ident $needed:literal [$($must:literal),*] [$($may:literal),*];)*) => {
        static SPECS: &[TableSpec] = &[$(TableSpec {
            table: Table::$table,
            name: stringify!($table),
            needed: $needed,
            needed_columns: &[$($must),*],
            other_columns: &[$($may),*],
        }),*];
    };
}

specs! {
    Settings false ["key", "value"] [];
    Calendar true ["calendar", "day"] ["start", "end", "open"];
    Lines true ["line", "calendar"] ["name", "last move"];
    Takt true ["line", "from", "minutes"] [];
    Stations true ["line", "station", "position"] ["name", "deliver ahead"];
    Shops false ["shop", "calendar"] ["name", "crews", "transit", "deliver ahead"];
    Floorplans true ["floorplan"] ["name", "series"];
    Parts true ["part", "uom"] ["description", "source", "shop", "setup", "minutes", "location", "issue", "pack quantity",
        "supplier", "lead days", "minimum buy", "buy multiple", "cover days", "safety stock", "cost", "weight"];
    Bills true ["parent", "part", "qty"] ["uom", "station", "when", "scrap", "from change", "until change", "note"];
    Options false ["option"] ["name", "group"];
    Groups false ["group", "choose"] [];
    Offers false ["floorplan", "option", "offer"] [];
    Packages false ["option", "includes"] [];
    Rules false [] ["when", "adds", "must", "message"];
    Changes false ["change"] ["from date", "from unit", "description"];
    Sequence true ["line", "seq", "unit", "floorplan"] ["options", "start", "gap", "at", "issued through", "hold", "done"];
    Stock false ["part", "qty"] ["uom", "location", "station", "unit", "hold"];
    Receipts false ["purchase order", "part", "qty", "due"] ["uom", "supplier"];
    Extras false ["part", "qty", "to"] ["uom", "needed", "unit", "reason"];
    Started false ["unit", "part", "minutes left"] [];
    Waves false ["wave", "time"] ["pick minutes"];
    Conversions false ["from", "to", "factor"] ["part"];
    Uoms false ["uom", "decimals"] [];
}

impl Table {
    /// All tables, in the order of the contract.
    pub fn all() -> impl Iterator<Item = &'static TableSpec> {
        SPECS.iter()
    }

    /// What it is called and which columns it has.
    pub fn spec(self) -> &'static TableSpec {
        &SPECS[self as usize]
    }

    /// The table of a file's or sheet's name, without regard to case, spaces, `_` and `-`.
    pub fn named(name: &str) -> Option<&'static TableSpec> {
        let plain = plain_name(name);
        SPECS.iter().find(|spec| plain_name(spec.name) == plain)
    }
}

/// A table's or column's name as it is compared: lower case, without spaces, `_` and `-`.
pub fn plain_name(name: &str) -> String {
    name.chars().filter(|c| !c.is_whitespace() && !matches!(c, '_' | '-')).flat_map(char::to_lowercase).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_table_is_found_by_its_number_and_any_spelling_of_its_name() {
        for spec in Table::all() {
            assert_eq!(spec.table.spec().name, spec.name);
            assert_eq!(Table::named(&format!(" {}_", spec.name.to_uppercase())).map(|s| s.table), Some(spec.table));
        }
        assert!(Table::named("Bill").is_none());
    }
}
