//! The plant's data after reading: what each table says, with codes as keys and times as seconds.

use std::collections::BTreeMap;

use super::calendar::Calendar;
use super::numbers::{Millionths, Ratio, cut};
use super::sheets::{Key, key};

pub struct Plant {
    pub settings: Settings,
    pub calendars: BTreeMap<Key, Calendar>,
    pub lines: Vec<Line>,
    pub stations: BTreeMap<Key, Station>,
    pub shops: BTreeMap<Key, Shop>,
    pub floorplans: BTreeMap<Key, Floorplan>,
    pub parts: BTreeMap<Key, Part>,
    pub bills: BTreeMap<Key, Vec<BillLine>>,
    pub catalogue: Catalogue,
    pub changes: BTreeMap<Key, Change>,
    pub orders: Vec<Order>,
    pub stock: Vec<StockRow>,
    pub receipts: Vec<ReceiptRow>,
    pub extras: Vec<ExtraRow>,
    pub started: Vec<StartedRow>,
    pub waves: Vec<WaveRow>,
}

pub struct Settings {
    pub as_of: i64,
    pub stores_calendar: Key,
    pub receipts_at: i64,
    pub overdue_days: i64,
    pub delivered_to: Option<i64>,
    /// How long it takes to hand over a piece that comes after its run.
    pub hand_over: i64,
}

pub struct Line {
    pub key: Key,
    pub code: String,
    pub calendar: Key,
    pub last_move: Option<i64>,
    /// From which day, and how many seconds; earliest first.
    pub takt: Vec<(i64, i64)>,
}

pub struct Station {
    pub code: String,
    pub line: Key,
    pub position: i64,
    pub deliver_ahead: i64,
}

pub struct Shop {
    pub code: String,
    pub calendar: Key,
    pub crews: usize,
    pub transit: i64,
    pub deliver_ahead: i64,
}

pub struct Floorplan {
    pub code: String,
    pub series: Key,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    Buy,
    Make,
    Phantom,
    ByProduct,
}

pub struct Part {
    pub code: String,
    pub description: String,
    pub uom: String,
    pub decimals: u32,
    pub source: Source,
    pub shop: Key,
    pub setup: Ratio,
    pub minutes: Ratio,
    pub location: String,
    pub issue: String,
    pub pack: Option<Millionths>,
    pub lead_days: i64,
    pub minimum_buy: Millionths,
    pub buy_multiple: Option<Millionths>,
    pub cover_days: i64,
    pub safety_stock: Millionths,
    /// The last station where it can still be fitted.
    pub fit_by: Option<Key>,
}

pub struct BillLine {
    pub part: Key,
    /// What one of the parent takes or gives, in the part's own unit.
    pub factor: Ratio,
    pub gives: bool,
    pub station: Option<Key>,
    pub when: String,
    pub from_change: Option<Key>,
    pub until_change: Option<Key>,
}

impl BillLine {
    /// The line's quantity for so much of its parent.
    pub fn quantity(&self, parent: Millionths) -> Millionths {
        cut(parent, self.factor)
    }

    /// Whether the line is for some units only.
    pub fn depends(&self) -> bool {
        !self.when.is_empty() || self.from_change.is_some() || self.until_change.is_some()
    }
}

pub struct Catalogue {
    pub options: BTreeMap<Key, OptionRow>,
    /// What each group lets one choose: `one`, `at most one` or `any`.
    pub groups: BTreeMap<Key, String>,
    pub offers: Vec<OfferRow>,
    pub packages: BTreeMap<Key, Vec<Key>>,
    pub rules: Vec<RuleRow>,
}

pub struct OptionRow {
    pub code: String,
    pub group: Key,
}

pub struct OfferRow {
    pub floorplan: Key,
    pub option: Key,
    pub offer: String,
}

pub struct RuleRow {
    pub when: String,
    pub adds: Vec<Key>,
    pub must: String,
    pub message: String,
}

pub struct Change {
    pub from_day: Option<i64>,
    pub from_unit: Option<Key>,
}

/// A row of the sequence.
pub struct Order {
    pub line: Key,
    pub seq: Ratio,
    pub seq_text: String,
    pub code: String,
    pub floorplan: String,
    pub options: String,
    pub start: Option<i64>,
    pub gap: i64,
    pub at: Option<Key>,
    pub issued_through: Option<Key>,
    pub held: bool,
    pub done: bool,
}

pub struct StockRow {
    pub part: Key,
    pub qty: Millionths,
    pub at: Option<Key>,
    pub unit: Option<Key>,
}

#[derive(Clone, Debug)]
pub struct ReceiptRow {
    pub order: String,
    pub part: Key,
    pub qty: Millionths,
    /// The day whose balance it raises.
    pub day: i64,
    pub available: i64,
}

pub struct ExtraRow {
    pub part: Key,
    pub qty: Millionths,
    pub to: Key,
    pub needed: Option<i64>,
    pub unit: Key,
    pub unit_text: String,
}

pub struct StartedRow {
    pub unit: Key,
    pub part: Key,
    pub left: i64,
}

pub struct WaveRow {
    pub time: i64,
    pub pick: i64,
}

impl Plant {
    pub fn lines_of(&self, parent: &str) -> &[BillLine] {
        self.bills.get(parent).map_or(&[], Vec::as_slice)
    }

    pub fn line(&self, key: &str) -> &Line {
        self.lines.iter().find(|line| line.key == key).expect("a line of the book")
    }

    pub fn calendar_of_line(&self, line: &str) -> &Calendar {
        &self.calendars[&self.line(line).calendar]
    }

    pub fn calendar_of_shop(&self, shop: &str) -> &Calendar {
        &self.calendars[&self.shops[shop].calendar]
    }

    pub fn stores(&self) -> &Calendar {
        &self.calendars[&self.settings.stores_calendar]
    }

    /// The code of a station or a shop as first defined.
    pub fn place_code(&self, key: &str) -> &str {
        match self.stations.get(key) {
            Some(station) => &station.code,
            None => &self.shops[key].code,
        }
    }

    /// Stock that is reserved for a unit that is not in the sequence counts for nothing.
    pub fn stock_counts(&self, row: &StockRow) -> bool {
        let listed = |unit: &Key| self.orders.iter().any(|order| key(&order.code) == *unit);
        row.unit.as_ref().is_none_or(listed)
    }

    /// Whether any line below a part, make parts and phantoms followed down, is for some units only.
    pub fn is_configured(&self, part: &str) -> bool {
        self.lines_of(part).iter().any(|line| {
            let source = self.parts[&line.part].source;
            let goes_on = matches!(source, Source::Make | Source::Phantom);
            line.depends() || (goes_on && self.is_configured(&line.part))
        })
    }
}
