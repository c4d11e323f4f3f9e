//! What the units need and when, near enough to size stock, receipts and shop time.

use crate::changes::inside;
use crate::days::morning_of;
use crate::layout::station;
use crate::model::{BillLine, Book, Extra, Unit};
use crate::tune::{SHOPS, SINCE_LAST_MOVE, ShopTune, TAKT};
use crate::units_of_measure;
use crate::when::holds;

/// A bought part needed at a station or shop, `minute` of line time after the as-of moment.
pub struct Use {
    pub part: String,
    pub to: String,
    pub minute: f64,
    pub qty: f64,
}

/// A made part needed for a unit; `ready` where it stands finished already.
pub struct Job {
    pub part: String,
    pub shop: &'static str,
    pub unit: usize,
    pub due: f64,
    pub length: f64,
    pub ready: bool,
}

#[derive(Default)]
pub struct Explosion {
    pub uses: Vec<Use>,
    pub jobs: Vec<Job>,
}

/// Where material of a line is wanted: a station or shop, and when.
#[derive(Clone, Copy)]
struct Spot<'a> {
    to: &'a str,
    minute: f64,
}

struct Walk<'a> {
    book: &'a Book,
    number: usize,
    unit: &'a Unit,
    out: Explosion,
}

/// Explodes all units that are neither done nor held, and what is to be made again for one of them.
pub fn explode(book: &Book) -> Explosion {
    explode_from(book, 0)
}

/// Of these the units from a place on.
pub fn explode_from(book: &Book, first: usize) -> Explosion {
    let mut out = Explosion::default();
    for (number, unit) in book.units.iter().enumerate().skip(first) {
        if !unit.done && unit.hold.is_empty() {
            let mut walk = Walk { book, number, unit, out };
            walk.at_stations(crate::model::PLANS[unit.plan].0, 1.0, "");
            walk.remakes();
            out = walk.out;
        }
    }
    out
}

/// The material of the jobs that have begun, which is issued already.
pub fn issued_to_begun(book: &Book) -> Vec<Use> {
    let mut out = Explosion::default();
    for (code, part, _) in &book.started {
        let number = book.units.iter().position(|unit| unit.code == *code).expect("a unit of the list");
        let mut walk = Walk { book, number, unit: &book.units[number], out };
        walk.in_shop(part, 1.0, Spot { to: book.part(part).shop, minute: 0.0 });
        out = walk.out;
    }
    out.uses
}

pub fn shop_tune(shop: &str) -> &'static ShopTune {
    let found = SHOPS.iter().find(|row| row.shop == shop);
    found.expect("a shop of the tuning table")
}

impl<'a> Walk<'a> {
    fn active(&self, parent: &str) -> Vec<&'a BillLine> {
        let below = self.book.below.get(parent).map_or(&[][..], Vec::as_slice);
        let lines = below.iter().map(|n| &self.book.bills[*n]);
        let lines = lines.filter(|line| holds(&line.when, &self.unit.names));
        lines.filter(|line| inside(self.book, self.unit, &line.from, &line.until)).collect()
    }

    fn at_stations(&mut self, parent: &str, qty: f64, above: &str) {
        for line in self.active(parent) {
            let code = if line.station.is_empty() { above } else { &line.station };
            if self.book.part(&line.part).source == "phantom" {
                self.at_stations(&line.part, qty * line.qty, code);
                continue;
            }
            let (position, ahead) = station(code).expect("a station of the layout");
            if position > self.issued() {
                let arrives = TAKT * (self.unit.entry + position - 1) as f64 - SINCE_LAST_MOVE;
                self.need(line, qty, Spot { to: code, minute: arrives - ahead });
            }
        }
    }

    fn issued(&self) -> i64 {
        let code = if self.unit.issued.is_empty() { self.unit.at } else { self.unit.issued };
        station(code).map_or(0, |row| row.0)
    }

    fn remakes(&mut self) {
        let made = |extra: &&Extra| self.book.part(&extra.part).source == "make";
        let mine = self.book.extras.iter().filter(|extra| extra.unit == self.unit.code);
        for extra in mine.filter(made).collect::<Vec<_>>() {
            let minute = morning_of(&extra.needed[..10]);
            self.job(&extra.part, extra.qty, Spot { to: extra.to, minute });
        }
    }

    fn need(&mut self, line: &BillLine, parent_qty: f64, spot: Spot) {
        let part = self.book.part(&line.part);
        let qty = parent_qty * units_of_measure::factor(self.book, line);
        match part.source {
            "buy" => {
                self.out.uses.push(Use { part: part.code.clone(), to: spot.to.to_string(), minute: spot.minute, qty })
            }
            "make" => self.job(&line.part, qty, spot),
            _ => {}
        }
    }

    fn job(&mut self, code: &str, qty: f64, spot: Spot) {
        let shop = self.book.part(code).shop;
        let tune = shop_tune(shop);
        let (length, ready) = (self.length(code, qty), spot.minute <= tune.ready);
        let due = spot.minute - tune.transit;
        self.out.jobs.push(Job { part: code.to_string(), shop, unit: self.number, due, length, ready });
        if !ready {
            let minute = (due - length - tune.ahead).max(0.0);
            self.in_shop(code, qty, Spot { to: shop, minute });
        }
    }

    fn in_shop(&mut self, code: &str, qty: f64, spot: Spot) {
        for line in self.active(code) {
            let part = self.book.part(&line.part);
            if part.source == "make" && part.shop == spot.to {
                self.in_shop(&line.part, qty * line.qty, spot);
            } else {
                self.need(line, qty, spot);
            }
        }
    }

    fn length(&self, code: &str, qty: f64) -> f64 {
        let part = self.book.part(code);
        let lines = self.active(code);
        let inner = lines.iter().filter(|line| self.book.part(&line.part).shop == part.shop);
        let inner: f64 = inner.map(|line| self.length(&line.part, qty * line.qty)).sum();
        part.setup + part.minutes * qty + inner
    }
}
