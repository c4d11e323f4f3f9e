//! The rows of the book while it is being made.

use std::collections::{BTreeMap, BTreeSet};

/// The floorplans: code, name, series, length in feet as part codes carry it, size against the middle one. The fifth is new
/// (`new_floorplan`): nothing is drawn for it.
pub const PLANS: [(&str, &str, &str, &str, f64); 5] = [
    ("DUNLIN 15", "Dunlin, two berths", "COMPACT", "15", 0.75),
    ("TEAL 18", "Teal, four berths", "COMPACT", "18", 0.9),
    ("PLOVER 21", "Plover, four berths", "FAMILY", "21", 1.0),
    ("CURLEW 25", "Curlew, six berths", "FAMILY", "25", 1.2),
    ("GODWIT 21", "Godwit, six berths with bunks", "FAMILY", "21", 1.0),
];

#[derive(Clone, Default)]
pub struct Part {
    pub code: String,
    pub description: String,
    pub uom: String,
    pub source: &'static str,
    pub shop: &'static str,
    pub setup: f64,
    pub minutes: f64,
    pub location: String,
    pub issue: String,
    pub pack: f64,
    pub supplier: String,
    pub lead: i64,
    pub minimum: f64,
    pub multiple: f64,
    pub cover: i64,
    pub safety: f64,
    pub cost: f64,
    pub weight: f64,
}

#[derive(Clone, Default)]
pub struct BillLine {
    pub parent: String,
    pub part: String,
    pub qty: f64,
    pub uom: String,
    pub station: String,
    pub when: String,
    pub scrap: f64,
    pub from: String,
    pub until: String,
    pub note: String,
}

#[derive(Clone, Default)]
pub struct Unit {
    pub code: String,
    pub seq: i64,
    pub plan: usize,
    pub ordered: Vec<String>,
    /// All names that are true for the unit: its options, floorplan, series and line.
    pub names: BTreeSet<String>,
    pub entry: i64,
    pub at: &'static str,
    pub issued: &'static str,
    pub start: &'static str,
    pub gap: i64,
    pub hold: &'static str,
    pub done: bool,
}

#[derive(Clone, Default)]
pub struct Stock {
    pub part: String,
    pub qty: f64,
    pub uom: String,
    pub location: String,
    pub station: String,
    pub unit: String,
    pub hold: String,
}

#[derive(Clone, Default)]
pub struct Receipt {
    pub order: String,
    pub part: String,
    pub qty: f64,
    pub uom: String,
    /// Day of the plan (`days`), or an overdue date; a time where the supplier gave one.
    pub due: String,
    pub supplier: String,
}

#[derive(Clone, Default)]
pub struct Extra {
    pub part: String,
    pub qty: f64,
    pub uom: &'static str,
    pub to: &'static str,
    pub needed: &'static str,
    pub unit: String,
    pub reason: &'static str,
}

#[derive(Default)]
pub struct Book {
    pub parts: Vec<Part>,
    pub place_of: BTreeMap<String, usize>,
    pub bills: Vec<BillLine>,
    pub below: BTreeMap<String, Vec<usize>>,
    pub units: Vec<Unit>,
    /// Units finished before those of the list, in the order in which they were built.
    pub finished: Vec<Unit>,
    pub weights: Vec<crate::scale::Weight>,
    pub stock: Vec<Stock>,
    pub receipts: Vec<Receipt>,
    pub extras: Vec<Extra>,
    pub started: Vec<(String, String, f64)>,
    pub conversions: Vec<(String, &'static str, &'static str, f64)>,
}

impl Book {
    /// Adds a part, or keeps the one that is there under the same code.
    pub fn add_part(&mut self, part: Part) {
        if !self.place_of.contains_key(&part.code) {
            self.place_of.insert(part.code.clone(), self.parts.len());
            self.parts.push(part);
        }
    }

    pub fn add_line(&mut self, line: BillLine) {
        let below = self.below.entry(line.parent.clone()).or_default();
        below.push(self.bills.len());
        self.bills.push(line);
    }

    /// Leaves out the bought parts that no bill line uses.
    pub fn drop_unused(&mut self) {
        let used: BTreeSet<&str> = self.bills.iter().map(|line| line.part.as_str()).collect();
        self.parts.retain(|part| part.source != "buy" || used.contains(part.code.as_str()));
        let codes = self.parts.iter().map(|part| part.code.clone());
        self.place_of = codes.zip(0..).collect();
    }

    pub fn part(&self, code: &str) -> &Part {
        &self.parts[self.place_of[code]]
    }

    pub fn part_mut(&mut self, code: &str) -> &mut Part {
        let place = self.place_of[code];
        &mut self.parts[place]
    }
}

/// Rounds up to so many decimals, forgiving the last bits of binary arithmetic.
pub fn round_up(value: f64, decimals: i32) -> f64 {
    let scale = 10f64.powi(decimals);
    (value * scale - 1e-6).ceil() / scale
}

/// Rounds to so many decimals.
pub fn round_to(value: f64, decimals: i32) -> f64 {
    let scale = 10f64.powi(decimals);
    (value * scale).round() / scale
}

/// Whether a unit of measure is counted in whole pieces.
pub fn is_counted(uom: &str) -> bool {
    matches!(uom, "ea" | "pr" | "set" | "sheet" | "roll" | "box" | "drum")
}
