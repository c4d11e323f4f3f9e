//! Reads the options, their groups, offers, packages and rules, the changes and the sequence.

use std::collections::BTreeMap;

use super::Book;
use super::clock::day_of;
use super::plant::{Catalogue, Change, OfferRow, OptionRow, Order, RuleRow};
use super::sheets::{Key, Row, rows};

pub fn catalogue(book: &Book) -> Catalogue {
    let option = |row: &Row| OptionRow { code: row.text("option"), group: row.key("group") };
    let offer =
        |row: &Row| OfferRow { floorplan: row.key("floorplan"), option: row.key("option"), offer: row.key("offer") };
    let rule = |row: &Row| RuleRow {
        when: row.text("when"),
        adds: row.keys("adds"),
        must: row.text("must"),
        message: row.text("message"),
    };
    Catalogue {
        options: rows(book, "Options").iter().map(|row| (row.key("option"), option(row))).collect(),
        groups: rows(book, "Groups").iter().map(|row| (row.key("group"), row.key("choose"))).collect(),
        offers: rows(book, "Offers").iter().map(offer).collect(),
        packages: packages(book),
        rules: rows(book, "Rules").iter().map(rule).collect(),
    }
}

fn packages(book: &Book) -> BTreeMap<Key, Vec<Key>> {
    let mut packages: BTreeMap<Key, Vec<Key>> = BTreeMap::new();
    for row in rows(book, "Packages") {
        packages.entry(row.key("option")).or_default().extend(row.keys("includes"));
    }
    packages
}

pub fn changes(book: &Book) -> BTreeMap<Key, Change> {
    let change = |row: &Row| Change {
        from_day: row.moment("from date").map(|moment| day_of(moment.clock)),
        from_unit: row.maybe_key("from unit"),
    };
    rows(book, "Changes").iter().map(|row| (row.key("change"), change(row))).collect()
}

pub fn sequence(book: &Book) -> Vec<Order> {
    let order = |row: &Row| Order {
        line: row.key("line"),
        seq: row.number("seq").expect("a number"),
        seq_text: row.text("seq"),
        code: row.text("unit"),
        floorplan: row.text("floorplan"),
        options: row.text("options"),
        start: row.moment("start").map(|moment| day_of(moment.clock)),
        gap: row.whole("gap").unwrap_or(0),
        at: row.maybe_key("at"),
        issued_through: row.maybe_key("issued through"),
        held: row.is_set("hold"),
        done: row.is_set("done"),
    };
    rows(book, "Sequence").iter().map(order).collect()
}
