//! The driver's page of a run: its stations by first need, then what goes with no run: special runs and what is collected at the
//! shops, by the latest moment.

use super::day::Day;
use super::kits::arrives;
use super::tour::Tour;
use super::weight::{self, Load};
use super::words::{dest_name, dest_order, narrow, promise, unit_code};
use crate::base::{DestId, Moment, OwnerId};
use crate::check::Issue;
use crate::netting::Cover;
use crate::plan::Plan;
use crate::report::line_words::minutes;
use crate::report::listing::{Line, listing, widths};
use crate::report::names::dest_code;
use crate::report::sheet::{Cell, Look, Paper, Sheet, Show};
use crate::report::table::Value;
use itertools::Itertools;
use std::collections::BTreeSet;
use std::collections::btree_map::{BTreeMap, Entry};

/// So many trips beside the run stand on its page, and so many stations can.
const MOST: usize = 20;
const MOST_STATIONS: usize = 45;

/// The sheet of a run; of what is overdue there is none: it goes at once.
pub fn sheet<'p>(day: &Day<'p>, tour: &Tour<'_>) -> Option<Sheet<'p>> {
    let (plan, run) = (day.plan, tour.trip.run?);
    let mut sheet = Sheet::new(format!("driver {}", tour.trip.tab()), &widths::<Stations>());
    sheet.text(Look::Title, format!("{}, {}: for the driver", tour.trip.name(), plan.day.long()));
    let told = format!("Leaves {}. Stations by first need. {}", run.leaves.short(), weight::SHORT_CAUTION);
    sheet.paragraph(Look::Plain, told);
    let lines = stations(plan, tour);
    if lines.is_empty() {
        sheet.text(Look::Plain, "Nothing goes with this run.");
    } else {
        sheet.table(Some(format!("driver_{}", tour.trip.tab())), lines);
    }
    // One page, as long as that can be read.
    if sheet.rows.len() <= MOST_STATIONS {
        sheet.paper = Paper::OnePage;
    }
    let (from, until) = window(day, run.leaves);
    let trips = trips(day, from, until);
    let what = match until.date() == plan.day {
        true => format!("Beside the runs, until {}: by the latest moment", until.clock()),
        false => "Beside the runs, until the evening: by the latest moment".to_owned(),
    };
    sheet.gap().text(Look::Section, what);
    if trips.is_empty() {
        sheet.text(Look::Plain, "No special run, and nothing to collect at a shop.");
        return Some(sheet);
    }
    let heading = BESIDE.map(|(at, span, text)| Cell::new(at, text, Show::Wrapped, Look::Heading).over(span).ruled());
    sheet.row(Some(18), heading.to_vec());
    for (at, trip) in trips.iter().enumerate().take(MOST) {
        let close = at > 0 && trip.last.seconds() - trips[at - 1].last.seconds() < plan.plant.hand_over;
        sheet.row(None, trip.cells(plan, close));
    }
    if trips.len() > MOST {
        sheet.text(Look::Strong, format!("and {} more: see 'not pulled' and 'from the shops'", trips.len() - MOST));
    }
    Some(sheet)
}

/// The columns of the trips beside the runs, below those of the stations: from which of these, and over how many.
const BESIDE: [(u16, u16, &str); 7] = [
    (0, 1, "done"),
    (1, 1, "at the last"),
    (2, 1, "from"),
    (3, 1, "there"),
    (4, 4, "what, for whom and where to"),
    (8, 1, "needed"),
    (9, 1, "note"),
];

/// From when until when a driver goes between a run and the next: from the run on, from the morning before the first.
fn window(day: &Day<'_>, leaves: Moment) -> (Moment, Moment) {
    let runs = || day.trips.iter().filter_map(|trip| trip.run).map(|run| run.leaves);
    let first = runs().min() == Some(leaves);
    let next = runs().filter(|other| *other > leaves).min();
    let morning = day.plan.day.midnight();
    (if first { morning } else { leaves }, next.unwrap_or(day.plan.day.plus(1).midnight()))
}

/// What goes to a station or a shop with a run.
#[derive(Default)]
struct Drop {
    need: Option<Moment>,
    arrives: Option<Moment>,
    kits: BTreeSet<OwnerId>,
    parts: usize,
    in_order: usize,
    bulk: usize,
    load: Load,
    heavy: usize,
}

/// By first need, then in line order.
fn stations<'p>(plan: &'p Plan<'p>, tour: &Tour<'_>) -> Vec<Line<'p, Stations>> {
    let mut drops: BTreeMap<DestId, Drop> = BTreeMap::new();
    for picked in tour.trip.picked.iter().filter(|picked| picked.taken.is_positive()) {
        let (pull, part) = (&picked.pull, plan.plant.part(picked.pull.part));
        let drop = drops.entry(pull.to).or_default();
        let sooner = |one: Option<Moment>, other: Option<Moment>| one.into_iter().chain(other).min();
        drop.need = sooner(drop.need, Some(pull.need));
        drop.arrives = sooner(drop.arrives, pull.owner.and_then(|owner| arrives(plan, owner, pull.to)));
        drop.kits.extend(pull.owner);
        drop.in_order += usize::from(part.issue == Issue::Sequence);
        drop.bulk += usize::from(part.issue == Issue::Bulk);
        drop.load.add(part, picked.taken);
        drop.heavy += usize::from(weight::is_heavy(plan.plant, part, picked.taken));
    }
    // A label for each kit of a cart.
    for kit in tour.walks.iter().flat_map(|walk| &walk.kits) {
        drops.entry(kit.to).or_default().parts += 1;
    }
    let sorted = drops.into_iter().sorted_by_key(|(to, drop)| (drop.need, dest_order(plan, *to)));
    sorted.map(|(to, drop)| station_line(plan, to, &drop)).collect()
}

listing! {
    /// A station of a run.
    Stations: fn station_line<'p>(plan: &'p Plan<'p>, to: DestId, drop: &Drop) {
        let some = |number: usize| Some(number as i64).filter(|number| *number > 0);
    }
    look: Look::Plain;
    "brought", 9, Box => "";
    "needed", 17, Moment => drop.need;
    "station", 34, Wrapped => dest_name(plan, to);
    "unit arrives", 17, Moment => drop.arrives;
    "kits", 20, Whole => some(drop.kits.len());
    "labels", 20, Whole => some(drop.parts);
    "lines in line order", 20, Whole => some(drop.in_order);
    "lines of bulk", 20, Whole => some(drop.bulk);
    "kg", 14, Weight => drop.load.cell();
    "heavy lines", 21, Whole => some(drop.heavy);
}

/// What is fetched at one place by one moment.
struct Trip {
    last: Moment,
    special: bool,
    from: String,
    need: Moment,
    /// When the last of it is there; none where nothing says.
    there: Option<Moment>,
    /// When it can be fetched, which may be after the latest moment.
    ready: Option<Moment>,
    what: Vec<String>,
}

/// When a driver goes: by the latest moment, or as soon as it can be fetched where that is later.
fn goes(last: Moment, ready: Option<Moment>) -> Moment {
    ready.map_or(last, |ready| last.max(ready))
}

/// Special runs and what is collected at the shops between two moments, by the latest moment; at one place and moment it is one trip.
fn trips(day: &Day<'_>, from: Moment, until: Moment) -> Vec<Trip> {
    let mut trips: BTreeMap<(Moment, bool, String), Trip> = BTreeMap::new();
    let special = special_runs(day).filter(|trip| (from..until).contains(&goes(trip.last, trip.ready)));
    for trip in special.chain(collections(day.plan, from, until)) {
        let key = (trip.last, trip.special, trip.from.clone());
        match trips.entry(key) {
            Entry::Vacant(empty) => _ = empty.insert(trip),
            Entry::Occupied(mut other) => {
                let other = other.get_mut();
                other.there = other.there.zip(trip.there).map(|(one, other)| one.max(other));
                other.need = other.need.min(trip.need);
                other.what.extend(trip.what);
            }
        }
    }
    trips.into_values().collect()
}

/// What comes after its run is picked: from the dock to where it is needed, so that the line does not stop.
fn special_runs<'d>(day: &'d Day<'_>) -> impl Iterator<Item = Trip> + 'd {
    let plan = day.plan;
    let missing = day.all().flat_map(|(_, picked)| picked.missing.iter().map(move |missing| (picked, missing)));
    missing.filter_map(move |(picked, missing)| {
        let (pull, there, part) = (&picked.pull, missing.available?, plan.plant.part(picked.pull.part));
        let demand = picked.demands.iter().find(|demand| demand.need == missing.need)?;
        let last = plan.saves_until(demand).unwrap_or(missing.need);
        let (order, promise) = match missing.cover {
            Cover::Receipt(i) => (format!(" of order {}", plan.plant.receipts[i as usize].order), promise(plan, i)),
            _ => (String::new(), String::new()),
        };
        let whose = pull.owner.map_or(String::new(), |owner| format!(" for {}", unit_code(plan, owner)));
        let name = weight::marked(plan.plant, part, missing.qty);
        let (qty, uom, code) = (weight::measured(part, missing.qty), &part.uom, &part.code);
        let what = format!("{qty} {uom} {code} {name}{order}{promise}{whose} at {}", dest_code(plan, pull.to));
        let from = "special run from the dock".to_owned();
        let (need, ready) = (missing.need, Some(there));
        Some(Trip { last, special: true, from, need, there: ready, ready, what: vec![what] })
    })
}

/// What the shops build that must leave them between two moments to be there when it is needed.
fn collections(plan: &Plan<'_>, from: Moment, until: Moment) -> impl Iterator<Item = Trip> {
    plan.jobs.iter().enumerate().filter_map(move |(at, job)| {
        let shop = plan.plant.shop(job.shop);
        let hours = plan.plant.calendar(shop.calendar);
        let last = hours.starts(hours.worked(job.need) - shop.transit);
        let there = plan.job_there(at).moment();
        let ready = there.map(|there| hours.starts(hours.worked(there) - shop.transit));
        if !(from..until).contains(&goes(last, ready)) {
            return None;
        }
        let part = plan.plant.part(job.part);
        let heavy = if weight::is_heavy(plan.plant, part, job.qty) { " (heavy)" } else { "" };
        let what = format!("{}{heavy} for {} at {}", part.code, unit_code(plan, job.owner), dest_code(plan, job.to));
        let from = format!("collect at {}", plan.plant.shop_dest(job.shop).code);
        Some(Trip { last, special: false, from, need: job.need, there, ready, what: vec![what] })
    })
}

impl Trip {
    /// Its cells, in the columns of [`BESIDE`]; whether it is close to the one above.
    fn cells<'p>(&self, plan: &Plan<'_>, close: bool) -> Vec<Cell<'p>> {
        let there: Value<'p> = self.there.map_or("no time known".into(), Value::from);
        let late = self.there.is_none_or(|there| there > self.need);
        // What a special run brings stops the line where it comes later than that, also what is not late.
        let past = self.special && !late && self.there.is_some_and(|there| there > self.last);
        let mut notes = Vec::new();
        notes.extend(late.then(|| "late".to_owned()));
        notes.extend(past.then(|| "after the last moment".to_owned()));
        notes.extend(close.then(|| format!("less than {} min after", minutes(plan.plant.hand_over))));
        let values: [(Value<'p>, Show); 7] = [
            ("".into(), Show::Box),
            (self.last.into(), Show::Moment),
            (self.from.clone().into(), Show::Wrapped),
            (there, Show::Moment),
            (self.what.join(", ").into(), Show::Wrapped),
            (narrow(plan, self.need).into(), Show::Wrapped),
            (notes.join("; ").into(), Show::Wrapped),
        ];
        let look = if self.special || late { Look::Wrong } else { Look::Plain };
        let cells = values.into_iter().zip(BESIDE);
        cells.map(|((value, show), (at, span, _))| Cell::new(at, value, show, look).over(span).ruled()).collect()
    }
}
