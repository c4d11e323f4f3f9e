//! The plant: a checked book, interned and complete, with nothing left in it that could fail.

mod line;
mod order;
mod part;
mod supply;

pub use line::{Closing, CrewLess, Dest, DestKind, Line, Shop, Wave};
pub use order::{Change, Choice, Choose, Content, Floorplan, Forecast, Group, Offer, Rule, Unit, Weighed};
pub use part::{BillLine, Issue, Part, Source};
pub use supply::{Extra, ExtraFor, Receipt, Serves, Started, Stock, not_promised};

use crate::base::{
    Calendar, CalendarId, DestId, Findings, Kind, Level, Moment, PartId, Place, Quantity, Seconds, ShopId, UnitId,
};
use crate::book::{Shape, Table};
use crate::expression::Expression;
use std::sync::Arc;

/// Everything a plan is computed from.
#[derive(Clone, Debug, Default)]
pub struct Plant {
    /// The book's file or folder name.
    pub book: Arc<str>,
    /// The plant's name.
    pub name: String,
    /// The moment the plan is made for.
    pub as_of: Moment,
    /// The calendar of the stores.
    pub stores: CalendarId,
    /// When receipts with only a date are there, in seconds after 00:00.
    pub receipts_at: Seconds,
    /// On which open day after the as-of date an overdue receipt is taken to come.
    pub overdue_receipts: u32,
    /// Up to which run, that one included, material has left the stores.
    pub delivered_to: Option<Moment>,
    /// How long it takes to hand over a piece that comes after its run.
    pub hand_over: Seconds,
    /// The plant's own limit for one person, in kg.
    pub one_person_lifts: Option<Quantity>,
    /// How long a picker takes for a stop, in seconds, where the plant says so.
    pub seconds_a_stop: Option<Seconds>,
    /// How many kits a cart takes, where the plant says so.
    pub kits_a_cart: Option<u32>,
    /// Over how many days on which the stores are open bins to count are looked for.
    pub count_days: u32,
    /// What money is told in; blank where the book does not say.
    pub currency: String,
    /// Whether every kit has a full card, and not only one in which something is missing or owed.
    pub all_kit_cards: bool,
    /// Working calendars.
    pub calendars: Vec<Calendar>,
    /// Rows that close dates of a calendar, in sheet order.
    pub closings: Vec<Closing>,
    /// Paced lines, in sheet order.
    pub lines: Vec<Line>,
    /// Stations and shops, in code order.
    pub dests: Vec<Dest>,
    /// Feeder shops, in sheet order.
    pub shops: Vec<Shop>,
    /// The shops so that each comes after every shop it supplies and every shop whose by-product it uses.
    pub shop_order: Vec<ShopId>,
    /// Floorplans, in sheet order.
    pub floorplans: Vec<Floorplan>,
    /// Parts, in code order.
    pub parts: Vec<Part>,
    /// Bill lines, those of one parent side by side, in sheet order.
    pub bills: Vec<BillLine>,
    /// Parts so that each comes after all that stand on its bill.
    pub from_below: Vec<PartId>,
    /// The distinct conditions of bills and rules; the first is always true.
    pub conditions: Vec<Expression>,
    /// How many names there are: options, then floorplans, series and lines.
    pub names: usize,
    /// The names as the book writes them, by id.
    pub name_codes: Vec<String>,
    /// Options, in sheet order; their name ids are their indices.
    pub options: Vec<Choice>,
    /// Option groups, in sheet order.
    pub groups: Vec<Group>,
    /// Rules, in sheet order.
    pub rules: Vec<Rule>,
    /// The rows that say what each floorplan offers, in sheet order.
    pub offers: Vec<Offer>,
    /// What pieces are, as the column `kind` of parts first writes it; numbered by `Part::kind`.
    pub kinds: Vec<String>,
    /// How many pieces of a kind a unit has, in sheet order.
    pub content: Vec<Content>,
    /// How many units start after the sequence ends, in sheet order.
    pub forecast: Vec<Forecast>,
    /// From how many of the last units of a floorplan it is taken what one further on will need.
    pub sample_units: u32,
    /// Engineering changes, in sheet order.
    pub changes: Vec<Change>,
    /// The build sequence, in sheet order.
    pub units: Vec<Unit>,
    /// Stock of known parts that counts for something or is on hold.
    pub stock: Vec<Stock>,
    /// Receipts of bought parts.
    pub receipts: Vec<Receipt>,
    /// What no bill asks for.
    pub extras: Vec<Extra>,
    /// Jobs already begun, in sheet order.
    pub started: Vec<Started>,
    /// Jobs that are tried first of their shop: whose, by code, and what is made. A book names none.
    pub first_jobs: Vec<(String, PartId)>,
    /// Shops in which one crew is away for a while, each at most once. A book names none.
    pub crews_less: Vec<CrewLess>,
    /// What finished units weigh, at most once each, in the order of the sequence's rows.
    pub weighed: Vec<Weighed>,
    /// Delivery runs, in order of time.
    pub waves: Vec<Wave>,
    /// Where each table stands, to name places.
    pub shapes: Vec<Shape>,
    /// What the book itself has wrong that stops no plan, by kind.
    pub warnings: Vec<Noticed>,
}

/// A kind of warning that a book has.
#[derive(Clone, Debug)]
pub struct Noticed {
    /// Its level, and why it matters.
    pub kind: &'static Kind,
    /// How many there are.
    pub number: usize,
    /// Where the first stands.
    pub first: Place,
}

impl Noticed {
    /// The warnings among some findings, by name.
    pub fn of(findings: &Findings) -> Vec<Self> {
        let mut warnings = Findings::default();
        warnings.extend(findings.iter().filter(|finding| finding.kind.level == Level::Warning).cloned());
        warnings.sort();
        let kinds = warnings.by_kind().into_iter();
        let noticed =
            kinds.filter_map(|(kind, of)| Some(Self { kind, number: of.len(), first: of.first()?.place.clone() }));
        noticed.collect()
    }
}

impl Plant {
    /// A calendar.
    pub fn calendar(&self, id: CalendarId) -> &Calendar {
        &self.calendars[id.at()]
    }

    /// The calendar of the stores.
    pub fn stores_calendar(&self) -> &Calendar {
        self.calendar(self.stores)
    }

    /// A part.
    pub fn part(&self, id: PartId) -> &Part {
        &self.parts[id.at()]
    }

    /// The lines of a part's bill.
    pub fn bill(&self, id: PartId) -> &[BillLine] {
        &self.bills[self.part(id).bill.clone()]
    }

    /// The lines of all bills that count: those of floorplans, then those of parts that are made of them.
    pub fn bill_lines(&self) -> impl Iterator<Item = &BillLine> {
        let of_floorplans = self.floorplans.iter().map(|floorplan| &floorplan.bill);
        let of_parts = self.parts.iter().map(|part| &part.bill);
        of_floorplans.chain(of_parts).flat_map(|bill| &self.bills[bill.clone()])
    }

    /// A station or shop.
    pub fn dest(&self, id: DestId) -> &Dest {
        &self.dests[id.at()]
    }

    /// The position of a station on its line, from 1; none of a shop.
    pub fn position(&self, id: DestId) -> Option<u32> {
        match self.dest(id).what {
            DestKind::Station { position, .. } => Some(position),
            DestKind::Shop(_) => None,
        }
    }

    /// Whether a unit has the material of a station already. Rule `issued`.
    pub fn issued(&self, unit: UnitId, station: DestId) -> bool {
        self.position(station).is_some_and(|position| position <= self.units[unit.at()].issued)
    }

    /// For whom a row of stock is; nobody where it is on hold, or loose and of a configured part. Rules `cover-order`, `configured`.
    pub fn serves(&self, row: &Stock) -> Option<Serves> {
        match (row.reserved, row.lineside) {
            _ if row.hold.is_some() => None,
            (Some(unit), _) => Some(Serves::Unit(unit)),
            _ if self.part(row.part).configured => None,
            (None, Some(place)) => Some(Serves::Place(place)),
            (None, None) => Some(Serves::Anyone),
        }
    }

    /// A shop.
    pub fn shop(&self, id: ShopId) -> &Shop {
        &self.shops[id.at()]
    }

    /// A shop as a place of delivery.
    pub fn shop_dest(&self, id: ShopId) -> &Dest {
        self.dest(self.shop(id).dest)
    }

    /// Whether a condition is one that always holds.
    pub fn always(&self, condition: u32) -> bool {
        condition == 0
    }

    /// The place of a cell of a table; of the table as a whole where the book lacks it.
    pub fn place(&self, table: Table, row: u32, column: &str) -> Place {
        match self.shapes.iter().find(|shape| shape.spec.table == table) {
            Some(shape) => shape.place(row, column),
            None => Place { table: table.spec().name, file: Arc::clone(&self.book), ..Place::default() },
        }
    }
}
