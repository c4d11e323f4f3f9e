//! The plant: a checked book, interned and complete, with nothing left in it that could fail.

use crate::base::{
    Calendar, CalendarId, ChangeId, Date, DestId, Findings, FloorplanId, GroupId, Kind, Level, LineId, Moment, NameId,
    PartId, Place, Quantity, Ratio, Seconds, ShopId, UnitId,
};
use crate::book::{Shape, Table};
use crate::expression::Expression;
use std::ops::Range;
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
    /// The kind.
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

/// A stretch of time in which a shop has one crew less.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CrewLess {
    /// The shop.
    pub shop: ShopId,
    /// From when on.
    pub from: Moment,
    /// Until when.
    pub until: Moment,
}

/// A row of a calendar that closes dates for whole days.
#[derive(Clone, Copy, Debug)]
pub struct Closing {
    /// The calendar.
    pub calendar: CalendarId,
    /// The first date.
    pub first: Date,
    /// The last date.
    pub last: Date,
    /// The row it stands on.
    pub row: u32,
}

/// A paced line.
#[derive(Clone, Debug)]
pub struct Line {
    /// Its code.
    pub code: String,
    /// Its name, or the code.
    pub name: String,
    /// Its calendar.
    pub calendar: CalendarId,
    /// When the last move was made.
    pub last_move: Option<Moment>,
    /// Takt from a date on, in order of date; never empty.
    pub takt: Vec<(Date, Seconds)>,
    /// The last position.
    pub positions: u32,
    /// It as a name in expressions.
    pub as_name: NameId,
}

/// A station or a shop.
#[derive(Clone, Debug)]
pub struct Dest {
    /// Its code.
    pub code: String,
    /// Its name, or the code.
    pub name: String,
    /// Which of the two it is.
    pub what: DestKind,
}

/// A place material is delivered to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DestKind {
    /// A station of a line.
    Station {
        /// The line.
        line: LineId,
        /// The position on it, from 1.
        position: u32,
        /// How long before the unit arrives its material is wanted.
        ahead: Seconds,
    },
    /// A feeder shop.
    Shop(ShopId),
}

/// A feeder shop.
#[derive(Clone, Debug)]
pub struct Shop {
    /// It as a place of delivery.
    pub dest: DestId,
    /// Its calendar.
    pub calendar: CalendarId,
    /// How many jobs it works on at a time.
    pub crews: u32,
    /// From finish to the line, in its working seconds.
    pub transit: Seconds,
    /// How long before a job starts its material is wanted.
    pub ahead: Seconds,
}

/// A floorplan.
#[derive(Clone, Debug)]
pub struct Floorplan {
    /// Its code.
    pub code: String,
    /// Its name, or the code.
    pub name: String,
    /// It as a name in expressions.
    pub as_name: NameId,
    /// Its series as a name.
    pub series: Option<NameId>,
    /// Its bill lines.
    pub bill: Range<usize>,
    /// For each option, whether it is offered.
    pub offers: Vec<bool>,
    /// Its standard options: those with packages first, then in the order of the offers.
    pub standards: Vec<NameId>,
    /// The row it stands on.
    pub row: u32,
}

/// Where a part comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// Bought.
    Buy,
    /// Made in a feeder shop.
    Make(ShopId),
    /// No part one can hold: its lines stand in its place.
    Phantom,
    /// Comes off while something else is built.
    ByProduct,
}

/// How material is issued.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Issue {
    /// Collected for one unit and station.
    Kit,
    /// Brought in line order.
    Sequence,
    /// Brought in whole packs.
    Bulk,
}

/// A part.
#[derive(Clone, Debug)]
pub struct Part {
    /// Its code.
    pub code: String,
    /// What it is.
    pub description: String,
    /// Its unit of measure.
    pub uom: String,
    /// Decimal places of that unit.
    pub decimals: u8,
    /// Where it comes from.
    pub source: Source,
    /// Minutes to set up a job.
    pub setup: Ratio,
    /// Minutes for each.
    pub minutes: Ratio,
    /// Where it is stored.
    pub location: String,
    /// How it is issued.
    pub issue: Issue,
    /// What is in a pack.
    pub pack: Option<Quantity>,
    /// Who sells it.
    pub supplier: String,
    /// Calendar days from order to receipt.
    pub lead_days: u32,
    /// The smallest order.
    pub minimum_buy: Quantity,
    /// Orders are whole multiples of this.
    pub buy_multiple: Option<Quantity>,
    /// Calendar days an order covers.
    pub cover_days: u32,
    /// What should never be gone below.
    pub safety_stock: Quantity,
    /// Price of one.
    pub cost: Option<Quantity>,
    /// Kilograms of one.
    pub weight: Option<Quantity>,
    /// What it is: an index of the plant's kinds.
    pub kind: Option<u32>,
    /// The last station where it can still be fitted, where that is not the one it is needed at.
    pub fit_by: Option<DestId>,
    /// Its bill lines; none for bought parts and by-products.
    pub bill: Range<usize>,
    /// Whether what is below it depends on options or changes: no loose stock covers it then.
    pub configured: bool,
    /// The row it stands on.
    pub row: u32,
}

/// A line of a bill.
#[derive(Clone, Debug)]
pub struct BillLine {
    /// The component.
    pub part: PartId,
    /// How much of it one parent takes (or gives), in its own unit of measure, scrap included; never negative.
    pub factor: Ratio,
    /// Whether it comes off instead of going in.
    pub gives: bool,
    /// The station, where the line names one.
    pub station: Option<DestId>,
    /// Index of its condition.
    pub when: u32,
    /// The change from which on it holds.
    pub from: Option<ChangeId>,
    /// The change from which on it no longer holds.
    pub until: Option<ChangeId>,
    /// The row it stands on.
    pub row: u32,
}

impl BillLine {
    /// Whether it counts for every unit: nothing is asked, and no change begins or ends it.
    pub fn always(&self) -> bool {
        self.when == 0 && self.from.is_none() && self.until.is_none()
    }

    /// Whether it counts where these conditions hold and these changes are reached. Rule `active-lines`.
    pub fn counts(&self, holds: impl FnOnce(u32) -> bool, reached: impl Fn(ChangeId) -> bool) -> bool {
        holds(self.when) && self.from.is_none_or(&reached) && !self.until.is_some_and(&reached)
    }
}

/// An option.
#[derive(Clone, Debug)]
pub struct Choice {
    /// Its code.
    pub code: String,
    /// Its name, or the code.
    pub name: String,
    /// The group it belongs to.
    pub group: Option<GroupId>,
    /// The options it includes.
    pub includes: Vec<NameId>,
    /// The rows of `Packages` that say so, one for each.
    pub include_rows: Vec<u32>,
    /// The row it stands on.
    pub row: u32,
}

/// How many options of a group a unit has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Choose {
    /// Exactly one.
    One,
    /// One or none.
    AtMostOne,
    /// Any number.
    Any,
}

/// An option group.
#[derive(Clone, Debug)]
pub struct Group {
    /// Its code.
    pub code: String,
    /// How many of it a unit has.
    pub choose: Choose,
    /// The row it stands on.
    pub row: u32,
}

/// A row that says whether an option is offered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Offer {
    /// On which floorplan; on all where there is none.
    pub floorplan: Option<FloorplanId>,
    /// The option.
    pub option: NameId,
    /// Whether it can be ordered there.
    pub offered: bool,
    /// The row it stands on.
    pub row: u32,
}

/// How many pieces of a kind a unit has.
#[derive(Clone, Debug)]
pub struct Content {
    /// The kind: an index of the plant's kinds.
    pub kind: u32,
    /// The floorplan or series that it holds for; all where there is none.
    pub only: Option<NameId>,
    /// At least so many.
    pub least: Quantity,
    /// At most so many.
    pub most: Quantity,
    /// Index of the condition under which it applies.
    pub when: u32,
    /// What to tell people.
    pub message: String,
    /// The row it stands on.
    pub row: u32,
}

/// How many units of a floorplan start in a period after the sequence ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Forecast {
    /// The floorplan.
    pub floorplan: FloorplanId,
    /// The first day.
    pub from: Date,
    /// The last day; not before the first.
    pub to: Date,
    /// How many units.
    pub units: u32,
    /// The row it stands on.
    pub row: u32,
}

/// A rule among options.
#[derive(Clone, Debug)]
pub struct Rule {
    /// Index of its condition.
    pub when: u32,
    /// What it adds.
    pub adds: Vec<NameId>,
    /// Index of what must then be true.
    pub must: Option<u32>,
    /// What to tell people.
    pub message: String,
    /// The row it stands on.
    pub row: u32,
}

/// An engineering change.
#[derive(Clone, Debug)]
pub struct Change {
    /// Its code.
    pub code: String,
    /// What changes.
    pub description: String,
    /// From which start date on.
    pub from_date: Option<Date>,
    /// From which unit on.
    pub from_unit: Option<UnitId>,
}

/// A row of the build sequence.
#[derive(Clone, Debug)]
pub struct Unit {
    /// Its code.
    pub code: String,
    /// Its line.
    pub line: LineId,
    /// Its place in the line's order.
    pub seq: Quantity,
    /// Its floorplan; `Err` holds the text of one that is not there.
    pub floorplan: Result<FloorplanId, String>,
    /// Ordered options; `true` for one taken away.
    pub ordered: Vec<(NameId, bool)>,
    /// Ordered options that are not there.
    pub unknown_options: Vec<String>,
    /// Not before this date.
    pub start: Option<Date>,
    /// Empty places before it.
    pub gap: u32,
    /// The position it stands at.
    pub at: Option<u32>,
    /// Up to this position its material is issued; 0 for none.
    pub issued: u32,
    /// Why it is held back.
    pub hold: Option<String>,
    /// Whether it has left the line.
    pub done: bool,
    /// The row it stands on.
    pub row: u32,
}

impl Unit {
    /// Whether it is on its line or to enter it: neither held nor done.
    pub fn on_plan(&self) -> bool {
        self.hold.is_none() && !self.done
    }
}

/// A row of stock.
#[derive(Clone, Debug)]
pub struct Stock {
    /// The part.
    pub part: PartId,
    /// How much, in the part's own unit of measure.
    pub qty: Quantity,
    /// Where it lies.
    pub location: String,
    /// The station or shop it lies at, where it serves no other.
    pub lineside: Option<DestId>,
    /// The unit it is reserved for.
    pub reserved: Option<UnitId>,
    /// Why it can't be used.
    pub hold: Option<String>,
    /// The row it stands on.
    pub row: u32,
}

/// For whom stock is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Serves {
    /// For one unit, wherever it lies.
    Unit(UnitId),
    /// For whoever needs it at one station or shop, where it lies.
    Place(DestId),
    /// For whoever needs it: it lies in the stores.
    Anyone,
}

/// An open receipt of a bought part.
#[derive(Clone, Debug)]
pub struct Receipt {
    /// The purchase order.
    pub order: String,
    /// The part.
    pub part: PartId,
    /// What is still open, in the part's own unit of measure.
    pub qty: Quantity,
    /// What the order says.
    pub due: Moment,
    /// Whether it says a time.
    pub timed: bool,
    /// The day on which it is taken to come.
    pub day: Date,
    /// When it is taken to be there.
    pub available: Moment,
    /// Whether it should have been there already.
    pub overdue: bool,
    /// Whether the supplier has confirmed it; `None`: not known.
    pub confirmed: Option<bool>,
    /// Who sends it.
    pub supplier: String,
    /// The row it stands on.
    pub row: u32,
}

impl Receipt {
    /// What there is to say of its moment where nobody promised it; blank where its order says a time that is not denied.
    pub fn not_promised(&self) -> &'static str {
        not_promised(self.overdue, self.timed, self.confirmed)
    }
}

/// What there is to say of a moment that nobody promised: of an order that is overdue, says a day only, or is not confirmed.
pub fn not_promised(overdue: bool, timed: bool, confirmed: Option<bool>) -> &'static str {
    match (overdue, timed, confirmed) {
        (true, ..) => "overdue, not promised",
        (false, false, Some(false)) => "day only, not confirmed",
        (false, true, Some(false)) => "not confirmed",
        (false, false, _) => "day only",
        (false, true, _) => "",
    }
}

/// Whom an extra is for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ExtraFor {
    /// A unit of the sequence.
    Unit(UnitId),
    /// A unit that is not in the sequence.
    Code(String),
    /// Nobody in particular.
    Nobody,
}

/// What no bill asks for.
#[derive(Clone, Debug)]
pub struct Extra {
    /// The part.
    pub part: PartId,
    /// How much, in the part's own unit of measure.
    pub qty: Quantity,
    /// Where to.
    pub to: DestId,
    /// When; blank: at the unit's need at that station.
    pub needed: Option<Moment>,
    /// Whom it is for.
    pub owner: ExtraFor,
    /// Why.
    pub reason: String,
    /// The row it stands on.
    pub row: u32,
}

/// A job already begun.
#[derive(Clone, Debug)]
pub struct Started {
    /// The unit, in the form codes are compared.
    pub unit: String,
    /// What is being made.
    pub part: PartId,
    /// What is left of it.
    pub left: Seconds,
    /// The row it stands on.
    pub row: u32,
}

/// What a finished unit weighs.
#[derive(Clone, Copy, Debug)]
pub struct Weighed {
    /// The unit.
    pub unit: UnitId,
    /// What the scale showed, in kilograms.
    pub kilograms: Quantity,
    /// When, where the row says so.
    pub when: Option<Moment>,
    /// How many earlier weights of it there are, which do not count.
    pub earlier: usize,
    /// The row it stands on.
    pub row: u32,
}

/// A delivery run.
#[derive(Clone, Debug)]
pub struct Wave {
    /// Its code.
    pub code: String,
    /// When it leaves, in seconds after 00:00.
    pub time: Seconds,
    /// How long before that picking starts, in stores working time.
    pub pick: Seconds,
}

impl Closing {
    /// Its dates as a row of the calendar may have them.
    pub fn dates(&self) -> String {
        if self.first == self.last { self.first.to_string() } else { format!("{} to {}", self.first, self.last) }
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

impl Part {
    /// Whether it is counted in whole pieces: a scrap is left out then.
    pub fn counted(&self) -> bool {
        self.decimals == 0 && self.issue != Issue::Bulk
    }

    /// Whether it is bought.
    pub fn bought(&self) -> bool {
        self.source == Source::Buy
    }
}
