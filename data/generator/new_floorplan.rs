//! A new floorplan's first units, behind all others: the body of PLOVER 21 with bunks instead of its bedroom. It is added when all else is
//! drawn and set, so that nothing drawn is another; what its units share with others is ordered for them where nothing is left over.

use crate::days::working_days;
use crate::explode::{Use, explode_from, issued_to_begun};
use crate::family_parts::can_hold;
use crate::layout::LINE;
use crate::model::{BillLine, Book, PLANS, Part, Receipt, Stock, Unit, is_counted, round_up};
use crate::orders::resolve;
use crate::receipts::receipt;
use crate::stock::Consumption;
use crate::suppliers::{delivery_days, name};
use chrono::Datelike;
use std::collections::BTreeMap;

/// Its place in `PLANS`, and that of the floorplan whose body it has.
const NEW: usize = 4;
const BODY: usize = 2;

/// What of that floorplan it does without, as the codes begin: the bedroom.
const LEFT_OUT: [&str; 6] = ["BEDROOM-21", "BDF-21-", "BDS-", "BHW-21-", "MAT-21-", "BED-21-"];

/// The orders of its first units: nothing of what the planted troubles are about.
const ORDERS: [&[&str]; 3] = [&["SAND"], &["ALLOY", "TV24"], &["FERN", "SOL1"]];

/// The bunks: a set of the cabinet shop of which nobody knows the minutes, with two cabinets of the old bedroom in it.
const SET: &str = "BUNKS-21";
const IN_THE_SET: [&str; 2] = ["CAB-21-08", "CAB-21-10"];

/// A part of its own. A blank trade: nobody to buy it from, and nobody knows how long that takes.
struct Own {
    code: &'static str,
    name: &'static str,
    to: &'static str,
    station: &'static str,
    qty: f64,
    trade: &'static str,
    lead: i64,
    bin: &'static str,
    kg: f64,
    cost: f64,
    stock: f64,
    on_order: f64,
}

#[rustfmt::skip]
const OWN: [Own; 5] = [
    // Nowhere, and to be ordered by the day after the as-of day: 21 days before Tue 5 Oct.
    Own { code: "BNF-21-01", name: "Bunk frame, folding", to: "", station: "BED", qty: 2.0, trade: "hardware", lead: 21, bin: "H-178-1", kg: 14.5, cost: 118.0, stock: 0.0, on_order: 0.0 },
    // Ordered in time, and nobody has weighed it or given it a place.
    Own { code: "BNG-21-01", name: "Bunk guard rail", to: "", station: "BED", qty: 2.0, trade: "hardware", lead: 12, bin: "", kg: 0.0, cost: 21.6, stock: 0.0, on_order: 6.0 },
    // Samples lie there; nobody knows who will sell more.
    Own { code: "BNL-21-01", name: "Bunk lamp", to: "", station: "TRM", qty: 2.0, trade: "", lead: 0, bin: "F-39-1", kg: 0.2, cost: 9.8, stock: 6.0, on_order: 0.0 },
    Own { code: "BNM-21-01", name: "Bunk mattress", to: "", station: "SOF", qty: 2.0, trade: "soft", lead: 12, bin: "G-55-1", kg: 7.5, cost: 74.0, stock: 0.0, on_order: 6.0 },
    Own { code: "BNP-21-01", name: "Bunk panel, cut to shape", to: SET, station: "", qty: 4.0, trade: "board", lead: 10, bin: "B-59-1", kg: 6.8, cost: 27.4, stock: 0.0, on_order: 12.0 },
];

/// The last working day on which its material comes, as a place in `working_days`: Fri 1 Oct.
const LAST_DELIVERY: usize = 13;
/// The first of its purchase orders.
const FIRST_ORDER: usize = 53_200;

/// Adds the floorplan's bill, its parts and units, and what is ordered for them.
pub fn add(book: &mut Book, drawn: &Consumption) {
    let left = left_over(book, drawn);
    parts_and_bill(book);
    let first = book.units.len();
    units(book);
    let mut wanted = by_part(explode_from(book, first).uses);
    let mut rows: Vec<Receipt> = Vec::new();
    for own in &OWN {
        let part = book.part(own.code).clone();
        wanted.remove(own.code);
        if own.stock > 0.0 {
            let location = part.location.clone();
            book.stock.push(Stock { part: part.code.clone(), qty: own.stock, location, ..Stock::default() });
        }
        if own.on_order > 0.0 {
            rows.push(receipt(&part, own.on_order, delivery(&part)));
        }
    }
    rows.extend(wanted.iter().filter_map(|(code, wanted)| more(book, code, *wanted, left[code])));
    number(book, rows);
}

fn by_part(uses: Vec<Use>) -> BTreeMap<String, f64> {
    let mut sums: BTreeMap<String, f64> = BTreeMap::new();
    uses.into_iter().for_each(|one| *sums.entry(one.part).or_default() += one.qty);
    sums
}

/// Of each bought part what the units before take neither for themselves nor for the safety stock.
fn left_over(book: &Book, drawn: &Consumption) -> BTreeMap<String, f64> {
    let asked = by_part(explode_from(book, 0).uses);
    let issued = by_part(issued_to_begun(book));
    let left = |part: &Part| {
        let code = &part.code;
        let in_stores = book.stock.iter().filter(|row| row.part == *code && row.station.is_empty());
        let in_stores = in_stores.filter(|row| row.hold.is_empty() && row.unit.is_empty());
        let in_stores: f64 = in_stores.map(|row| row.qty.max(0.0)).sum();
        let piece = |row: &Receipt| {
            let boxed = book.conversions.iter().find(|c| c.0 == row.part && c.1 == row.uom);
            row.qty * boxed.map_or(1.0, |c| c.3)
        };
        let open: f64 = book.receipts.iter().filter(|row| row.part == *code).map(piece).sum();
        let of = |sums: &BTreeMap<String, f64>| sums.get(code).copied().unwrap_or(0.0);
        let taken = drawn.get(code).map_or(0.0, |uses| uses.iter().map(|one| one.1).sum());
        // Some were drawn before the book said that fewer units take them.
        let taken = taken.min(of(&asked)) - of(&issued);
        (code.clone(), (in_stores + open - taken - part.safety).max(0.0))
    };
    book.parts.iter().filter(|part| part.source == "buy").map(left).collect()
}

fn parts_and_bill(book: &mut Book) {
    let (code, body) = (PLANS[NEW].0, PLANS[BODY].0);
    let part = |code: &str, name: &str| Part {
        code: code.to_string(),
        description: format!("{name}, for {}", PLANS[NEW].3),
        uom: "ea".to_string(),
        ..Part::default()
    };
    let issue = "sequence".to_string();
    book.add_part(Part { source: "make", shop: "CABSHOP", setup: 4.0, issue, ..part(SET, "Bunk cabinet set") });
    for own in &OWN {
        let supplier = if own.trade.is_empty() { String::new() } else { name(own.trade, 1) };
        book.add_part(Part {
            source: "buy",
            location: own.bin.to_string(),
            issue: "kit".to_string(),
            supplier,
            lead: own.lead,
            multiple: 1.0,
            cost: own.cost,
            weight: own.kg,
            ..part(own.code, own.name)
        });
    }
    let shared: Vec<BillLine> = book.bills.iter().filter(|line| line.parent == body).cloned().collect();
    for line in shared.into_iter().filter(|line| !LEFT_OUT.iter().any(|start| line.part.starts_with(start))) {
        // Without a slide box the dinette always stands by itself.
        let when = if line.when == "not SLIDE" { String::new() } else { line.when };
        if can_hold(&when, NEW) {
            book.add_line(BillLine { parent: code.to_string(), when, ..line });
        }
    }
    let line = |parent: &str, part: &str, qty: f64, station: &str| BillLine {
        parent: parent.to_string(),
        part: part.to_string(),
        qty,
        station: station.to_string(),
        ..BillLine::default()
    };
    book.add_line(line(code, SET, 1.0, "BED"));
    IN_THE_SET.iter().for_each(|cabinet| book.add_line(line(SET, cabinet, 1.0, "")));
    for own in &OWN {
        let parent = if own.to.is_empty() { code } else { own.to };
        book.add_line(line(parent, own.code, own.qty, own.station));
    }
}

fn units(book: &mut Book) {
    for ordered in ORDERS {
        let last = book.units.last().expect("units before it");
        let (number, seq, entry) = (3410 + book.units.len(), last.seq + 10, last.entry + 1);
        let ordered: Vec<String> = ordered.iter().map(|option| (*option).to_string()).collect();
        let names = resolve(NEW, &ordered, LINE).expect("an order that is right");
        let code = format!("AF{number}");
        book.units.push(Unit { code, seq, plan: NEW, ordered, names, entry, ..Unit::default() });
    }
}

/// The last day on which a part's supplier brings it in time.
fn delivery(part: &Part) -> usize {
    let days = working_days();
    let on = delivery_days(&part.supplier);
    let brings = |day: &usize| on.contains(&days[*day].weekday().number_from_monday());
    (1..=LAST_DELIVERY).rev().find(brings).unwrap_or(LAST_DELIVERY)
}

/// What is ordered of a part that others take, too: as much as is not left over of theirs, in lots. Of what a change brings it is just
/// what they take, so that the change could begin when it could before.
fn more(book: &Book, code: &str, wanted: f64, left: f64) -> Option<Receipt> {
    let part = book.part(code);
    if book.bills.iter().any(|line| line.part == code && !line.from.is_empty()) {
        return Some(receipt(part, wanted, delivery(part)));
    }
    let lot = part.multiple.max(if is_counted(&part.uom) { 1.0 } else { 0.01 });
    let lack = wanted - left;
    (lack > 1e-6).then(|| receipt(part, round_up(lack.max(part.minimum) / lot, 0) * lot, delivery(part)))
}

/// Orders of their own, behind all others: one for each supplier and day.
fn number(book: &mut Book, mut rows: Vec<Receipt>) {
    rows.sort_by(|a, b| (&a.due, &a.supplier, &a.part).cmp(&(&b.due, &b.supplier, &b.part)));
    let mut orders: BTreeMap<(String, String), usize> = BTreeMap::new();
    for row in &mut rows {
        let next = FIRST_ORDER + 3 * orders.len();
        let day = row.due[..10].to_string();
        row.order = orders.entry((row.supplier.clone(), day)).or_insert(next).to_string();
    }
    book.receipts.append(&mut rows);
}
