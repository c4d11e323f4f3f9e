//! What the buyer's sheets are judged by: the plan's tables as they are written, and the book's own rows. Sums are made in
//! whole millionths; nothing of the reports is used.

use super::cells;
use crate::oracle::clock::{self, DAY, day_of};
use crate::oracle::numbers::{Millionths, ONE, Ratio, cut, decimal, millionths, print};
use crate::oracle::plant::{Part, Plant, ReceiptRow, StockRow};
use crate::oracle::sheets::{Key, Row, key, rows};
use crate::oracle::{self, Book, waves};
use crate::support::Tables;
use std::cell::RefCell;
use std::collections::{BTreeMap, HashMap};
use std::ops::Range;

/// A row of the table of demands.
pub struct Demand {
    pub unit: String,
    pub to: String,
    pub need: i64,
    pub qty: Millionths,
}

/// A row of the table of pegs.
pub struct Peg {
    pub unit: String,
    pub part: Key,
    pub to: String,
    pub need: i64,
    pub qty: Millionths,
    pub cover: String,
    pub source: String,
    /// When it is there; blank where it is on hand, or never.
    pub available: Option<i64>,
    /// When the run is picked that it should go with.
    pub picked: i64,
}

impl Peg {
    /// Whether it is there after it is needed.
    pub fn late(&self) -> bool {
        self.available.is_some_and(|available| available > self.need)
    }

    /// Whom and where it is for.
    pub fn who(&self) -> String {
        let unit = if self.unit.is_empty() { "no unit" } else { &self.unit };
        format!("{unit} at {}", self.to)
    }
}

/// A row of the table of balances.
pub struct Day {
    pub date: i64,
    /// What is left at its end, less what was planned for it and came on it, and with what it took.
    pub before: Millionths,
    pub available: Millionths,
    pub planned: Millionths,
    pub release: Option<i64>,
}

/// What is open of one purchase order and one part, and is there at one moment.
pub struct Delivery {
    pub order: String,
    pub part: Key,
    pub supplier: String,
    pub due: i64,
    pub timed: bool,
    pub available: i64,
    pub overdue: bool,
    pub open: Millionths,
    /// Its pegs, by their places, as they are taken.
    pub pegs: Vec<usize>,
}

impl Delivery {
    /// The due date as a text says it.
    pub fn spoken_due(&self) -> String {
        if self.timed { cells::spoken(self.due) } else { cells::spoken_day(self.due) }
    }
}

/// When a run is picked, how many pieces must be there by then, and for whom those are that the run adds.
pub type Step<'f> = (i64, Millionths, Vec<&'f Peg>);

/// All of it.
pub struct Facts {
    pub plant: Plant,
    pub as_of: i64,
    /// The day on which the last unit leaves its line.
    pub end: Option<i64>,
    /// Demands by part.
    pub demands: BTreeMap<Key, Vec<Demand>>,
    pub pegs: Vec<Peg>,
    /// The bought parts' balances by day.
    pub balances: BTreeMap<Key, Vec<Day>>,
    /// By part, then as they are taken.
    pub deliveries: Vec<Delivery>,
    /// Unit, part, place and minutes of what stops the line for a known time.
    pub stops: Vec<(String, Key, String, i64)>,
    /// For whom something is needed, in order of rank.
    pub ranks: Vec<Key>,
    prices: BTreeMap<Key, Millionths>,
    suppliers: BTreeMap<Key, String>,
    /// Where the pegs of each part stand.
    of_part: BTreeMap<Key, Range<usize>>,
}

impl Facts {
    /// From the tables of a book's plan and the book.
    pub fn of(book: &Book, tables: &Tables) -> Self {
        let plant = oracle::read(book, None).expect("a book without errors");
        let price = |row: &Row| Some((row.key("part"), millionths(row.number("cost")?)));
        let prices = rows(book, "Parts").iter().filter_map(price).collect();
        let (pegs, balances) = (pegs(&plant, tables), balances(tables));
        let suppliers = rows(book, "Parts").iter().map(|row| (row.key("part"), row.text("supplier"))).collect();
        let mut deliveries = deliveries(book, &plant, &suppliers);
        let place = |delivery: &Delivery| (delivery.part.clone(), key(&delivery.order), delivery.available);
        let places: HashMap<_, usize> = deliveries.iter().enumerate().map(|(i, known)| (place(known), i)).collect();
        for (i, peg) in pegs.iter().enumerate().filter(|(_, peg)| peg.cover == "receipt") {
            let available = peg.available.expect("a moment");
            let at = places.get(&(peg.part.clone(), key(&peg.source), available));
            deliveries[*at.expect("a receipt of the book")].pegs.push(i);
        }
        let mut of_part: BTreeMap<Key, Range<usize>> = BTreeMap::new();
        for (i, peg) in pegs.iter().enumerate() {
            of_part.entry(peg.part.clone()).or_insert(i..i).end = i + 1;
        }
        let moments = tables.column("units", "", "leaves");
        let end = moments.iter().filter(|leaves| !leaves.is_empty()).map(|leaves| day_of(clock_of(leaves))).max();
        let ranks = ranks(book, tables);
        let (as_of, demands, stops) = (plant.settings.as_of, demands(tables), stops(tables));
        Self { plant, as_of, end, demands, pegs, balances, deliveries, stops, ranks, prices, suppliers, of_part }
    }

    /// A part.
    pub fn part(&self, part: &str) -> &Part {
        &self.plant.parts[part]
    }

    /// What so much of a part costs, where its price is known.
    pub fn cost(&self, part: &str, qty: Millionths) -> Option<Millionths> {
        Some(cut(qty, Ratio::new(*self.prices.get(part)?, ONE)))
    }

    /// The price of a part as a cell.
    pub fn price(&self, part: &str) -> String {
        money(self.prices.get(part).copied())
    }

    /// Whom a part is bought from.
    pub fn supplier(&self, part: &str) -> &str {
        self.suppliers.get(part).map_or("", String::as_str)
    }

    /// What a delivery brings that somebody takes.
    pub fn taken(&self, delivery: &Delivery) -> Millionths {
        delivery.pegs.iter().map(|peg| self.pegs[*peg].qty).sum()
    }

    /// A delivery's pegs of a kind, by the picking of their runs: when, how many by then, and for whom the pieces are that the
    /// run adds.
    pub fn steps(&self, delivery: &Delivery, of_kind: impl Fn(&Peg) -> bool) -> Vec<Step<'_>> {
        let mut by_run: BTreeMap<i64, Vec<&Peg>> = BTreeMap::new();
        for peg in delivery.pegs.iter().map(|peg| &self.pegs[*peg]).filter(|peg| of_kind(peg)) {
            by_run.entry(peg.picked).or_default().push(peg);
        }
        let mut so_far = 0;
        let step = |(picked, pegs): (i64, Vec<_>)| {
            so_far += pegs.iter().map(|peg: &&Peg| peg.qty).sum::<Millionths>();
            (picked, so_far, pegs)
        };
        by_run.into_iter().map(step).collect()
    }

    /// The pieces of a part that are late or short as receipts come, in order of need.
    pub fn waiting(&self, part: &str) -> impl Iterator<Item = &Peg> {
        let waits = |peg: &&Peg| peg.cover == "none" || peg.cover == "receipt" && peg.late();
        self.pegs_of(part).iter().filter(waits)
    }

    /// The pegs of a part, as in their table.
    pub fn pegs_of(&self, part: &str) -> &[Peg] {
        self.of_part.get(part).map_or(&[], |range| &self.pegs[range.clone()])
    }

    /// What is usable of a part's stock.
    pub fn usable(&self, part: &str) -> Millionths {
        let configured = self.plant.is_configured(part) && self.part(part).source == oracle::plant::Source::Make;
        let rows = self.plant.stock.iter().filter(|row| row.part == part && self.plant.stock_counts(row));
        let rows = rows.filter(|row: &&StockRow| row.unit.is_some() || !configured);
        rows.map(|row| row.qty).sum()
    }

    /// What a part's balance is at the end of a day, planned orders included.
    pub fn left_on(&self, part: &str, date: i64) -> Millionths {
        let days = &self.balances[part];
        let last = days.iter().rev().find(|day| day.date <= date);
        last.map_or(days[0].before, |day| day.available)
    }
}

/// An amount of money as a cell, or that it is not known.
pub fn money(amount: Option<Millionths>) -> String {
    amount.map_or("not known".to_owned(), print)
}

/// An amount of money in words: `1,234.50`, halves of a cent up.
pub fn amount(money: Millionths) -> String {
    let cents = (money + 5_000) / 10_000;
    let mut whole = (cents / 100).to_string();
    for at in (1..whole.len()).rev().filter(|at| (whole.len() - at).is_multiple_of(3)).collect::<Vec<_>>() {
        // From the right, so that the places on the left stay.
        whole.insert(at, ',');
    }
    format!("{whole}.{:02}", cents % 100)
}

fn clock_of(text: &str) -> i64 {
    clock::moment(text).expect("a moment").clock
}

fn quantity(text: &str) -> Millionths {
    millionths(decimal(text).expect("a quantity"))
}

/// Units by rank, then whom else extras are for, in order of first appearance.
fn ranks(book: &Book, tables: &Tables) -> Vec<Key> {
    let units = tables.rows("units", "", "unit enters").into_iter().filter(|row| !row[1].is_empty());
    let others = rows(book, "Extras").into_iter().map(|row| row.key("unit"));
    units.map(|row| key(&row[0])).chain(others).collect()
}

fn demands(tables: &Tables) -> BTreeMap<Key, Vec<Demand>> {
    let mut demands: BTreeMap<Key, Vec<Demand>> = BTreeMap::new();
    for row in tables.rows("demands", "", "unit part to need qty") {
        let [unit, part, to, need, qty] = row.try_into().expect("five columns");
        let demand = Demand { unit, to, need: clock_of(&need), qty: quantity(&qty) };
        demands.entry(key(&part)).or_default().push(demand);
    }
    demands
}

fn pegs(plant: &Plant, tables: &Tables) -> Vec<Peg> {
    let picked: RefCell<HashMap<i64, i64>> = RefCell::default();
    let picked =
        |need: i64| *picked.borrow_mut().entry(need).or_insert_with(|| waves::wave_before(plant, need).pick_start);
    let peg = |row: Vec<String>| {
        let [unit, part, to, need, qty, cover, source, available] = row.try_into().expect("eight columns");
        let (need, available) = (clock_of(&need), Some(available).filter(|text| !text.is_empty()));
        let (part, qty, picked) = (key(&part), quantity(&qty), picked(need));
        Peg { unit, part, to, need, qty, cover, source, available: available.map(|text| clock_of(&text)), picked }
    };
    let rows = tables.rows("pegs", "", "unit part to need qty cover source available");
    rows.into_iter().map(peg).collect()
}

fn balances(tables: &Tables) -> BTreeMap<Key, Vec<Day>> {
    let mut balances: BTreeMap<Key, Vec<Day>> = BTreeMap::new();
    let columns = "part date gross receipts available planned_receipt planned_release";
    for row in tables.rows("balances", "", columns) {
        let [part, date, gross, receipts, available, planned, release] = row.try_into().expect("seven columns");
        let or_none = |text: &str| if text.is_empty() { 0 } else { quantity(text) };
        let (available, planned) = (quantity(&available), or_none(&planned));
        let before = available - planned - or_none(&receipts) + or_none(&gross);
        let (date, release) = (clock::day(&date).expect("a date"), clock::day(&release));
        balances.entry(key(&part)).or_default().push(Day { date, before, available, planned, release });
    }
    balances
}

fn stops(tables: &Tables) -> Vec<(String, Key, String, i64)> {
    let rows = tables.rows("consequences", "", "unit part to word stop_minutes");
    let stops = rows.into_iter().filter(|row| row[3] == "stops the line" && !row[4].is_empty());
    stops.map(|row| (row[0].clone(), key(&row[1]), row[2].clone(), row[4].parse().expect("minutes"))).collect()
}

/// The receipts of bought parts, those of one order, part and moment together, in the order in which they are taken.
fn deliveries(book: &Book, plant: &Plant, suppliers: &BTreeMap<Key, String>) -> Vec<Delivery> {
    let written: Vec<Row> = rows(book, "Receipts");
    let known = written.iter().filter(|row| plant.parts.contains_key(&row.key("part")));
    let bought = |part: &str| plant.parts[part].source == oracle::plant::Source::Buy;
    let mut of_bought: Vec<(&Row, &ReceiptRow)> = known.zip(&plant.receipts).collect();
    of_bought.retain(|(_, receipt)| bought(&receipt.part));
    of_bought.sort_by_key(|(_, receipt)| (receipt.part.clone(), receipt.available, key(&receipt.order)));
    let mut deliveries: Vec<Delivery> = Vec::new();
    for (row, receipt) in of_bought {
        let due = row.moment("due").expect("a due date");
        let (clock, timed) = (due.clock, due.has_time);
        let same = |last: &&mut Delivery| {
            let (one, other) = ((&last.part, last.available), (&receipt.part, receipt.available));
            one == other && key(&last.order) == key(&receipt.order)
        };
        if let Some(last) = deliveries.last_mut().filter(same) {
            last.open += receipt.qty;
            if clock < last.due {
                (last.due, last.timed) = (clock, timed);
            }
            continue;
        }
        let usual = || suppliers.get(&receipt.part).cloned().unwrap_or_default();
        deliveries.push(Delivery {
            order: receipt.order.clone(),
            part: receipt.part.clone(),
            supplier: Some(row.text("supplier")).filter(|name| !name.is_empty()).unwrap_or_else(usual),
            due: clock,
            timed,
            available: receipt.available,
            // Its date past, or its given time before the as-of moment.
            overdue: day_of(clock) < day_of(plant.settings.as_of) || timed && clock < plant.settings.as_of,
            open: receipt.qty,
            pegs: Vec::new(),
        });
    }
    deliveries
}

/// A day as a cell has it.
pub fn date(day: i64) -> String {
    cells::moment(day * DAY)
}
