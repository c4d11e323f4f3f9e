//! Reads the floorplans, parts and bills.
//!
//! Rules `line-factor`, `counted-scrap`, `configured`.

use std::collections::BTreeMap;

use super::Book;
use super::measures::Measures;
use super::numbers::{Ratio, millionths};
use super::plant::{BillLine, Floorplan, Part, Source};
use super::sheets::{Key, Row, key, rows};

pub fn floorplans(book: &Book) -> BTreeMap<Key, Floorplan> {
    let floorplan = |row: &Row| Floorplan { code: row.text("floorplan"), series: row.key("series") };
    rows(book, "Floorplans").iter().map(|row| (row.key("floorplan"), floorplan(row))).collect()
}

pub fn parts(book: &Book, measures: &Measures) -> BTreeMap<Key, Part> {
    rows(book, "Parts").iter().map(|row| (row.key("part"), part(row, measures))).collect()
}

fn part(row: &Row, measures: &Measures) -> Part {
    let quantity = |heading: &str| row.number(heading).map(millionths);
    Part {
        code: row.text("part"),
        description: row.text("description"),
        uom: row.text("uom"),
        decimals: measures.decimals(&row.key("uom")),
        source: source(row),
        shop: row.key("shop"),
        setup: row.number_or_zero("setup"),
        minutes: row.number_or_zero("minutes"),
        location: row.text("location"),
        issue: row.maybe_key("issue").unwrap_or("kit".to_string()),
        pack: quantity("pack quantity").filter(|pack| *pack > 0),
        lead_days: row.whole("lead days").unwrap_or(0),
        minimum_buy: quantity("minimum buy").unwrap_or(0),
        buy_multiple: quantity("buy multiple").filter(|multiple| *multiple > 0),
        cover_days: row.whole("cover days").unwrap_or(0),
        safety_stock: quantity("safety stock").unwrap_or(0),
        fit_by: row.maybe_key("fit by"),
    }
}

fn source(row: &Row) -> Source {
    match row.key("source").as_str() {
        "buy" => Source::Buy,
        "make" => Source::Make,
        "phantom" => Source::Phantom,
        "by-product" => Source::ByProduct,
        _ if row.maybe_key("shop").is_some() => Source::Make,
        _ => Source::Buy,
    }
}

/// The bills by parent; the bill of a bought part is ignored.
pub fn bills(book: &Book, parts: &BTreeMap<Key, Part>, measures: &Measures) -> BTreeMap<Key, Vec<BillLine>> {
    let mut bills: BTreeMap<Key, Vec<BillLine>> = BTreeMap::new();
    for row in rows(book, "Bills") {
        let parent = row.key("parent");
        let is_bought = parts.get(&parent).is_some_and(|part| part.source == Source::Buy);
        if !is_bought {
            bills.entry(parent).or_default().push(bill_line(&row, parts, measures));
        }
    }
    bills
}

fn bill_line(row: &Row, parts: &BTreeMap<Key, Part>, measures: &Measures) -> BillLine {
    let qty = row.number("qty").expect("a quantity");
    BillLine {
        part: row.key("part"),
        factor: factor(row, &parts[&row.key("part")], measures),
        gives: qty.is_less_than(Ratio::whole(0)),
        station: row.maybe_key("station"),
        when: row.text("when"),
        from_change: row.maybe_key("from change"),
        until_change: row.maybe_key("until change"),
    }
}

/// What one parent takes, scrap on top, or gives, scrap taken off.
fn factor(row: &Row, part: &Part, measures: &Measures) -> Ratio {
    let qty = row.number("qty").expect("a quantity");
    let uom = row.maybe_key("uom").unwrap_or(key(&part.uom));
    let conversion = measures.factor(&row.key("part"), &uom, &key(&part.uom));
    let plain = qty.abs().times(conversion.expect("a conversion"));
    let counted = part.decimals == 0 && part.issue != "bulk";
    let scrap = if counted { Ratio::whole(0) } else { row.number_or_zero("scrap") };
    let good = Ratio::whole(1).minus(scrap);
    match qty.is_less_than(Ratio::whole(0)) {
        true => plain.times(good),
        false => plain.over(good),
    }
}
