//! The day's work: how much each run and zone is, the pickers that a run needs, what two must lift, bins that run empty, and bins
//! whose stock rests on a receipt that nobody promised.

use super::super::call_words;
use super::day::{Day, Take, Trip};
use super::dock::Coming;
use super::tour::{KitKey, Tour};
use super::walk::{Stop, zone};
use super::walks::{Walk, picking_time};
use super::weight::{self, Load};
use super::words::narrow;
use crate::base::{Moment, PartId, Quantity, Seconds, StorageKey, Total};
use crate::check::Source;
use crate::plan::Plan;
use crate::report::listing::{Line, listing, widths};
use crate::report::names::dest_code;
use crate::report::prose::few;
use crate::report::sheet::{Look, Paper, Sheet, Show};
use crate::report::table::Value;
use itertools::Itertools;
use std::collections::{BTreeMap, BTreeSet, HashSet};

/// So many lines of a list stand on the sheet.
const MOST: usize = 15;
/// So many runs stand side by side.
const MOST_RUNS: usize = 7;

pub fn sheet<'p>(day: &Day<'p>, tours: &[Tour<'_>], coming: &[Coming]) -> Sheet<'p> {
    let plan = day.plan;
    let mut sheet = Sheet::new("the day's work", &widths::<WorkOfRuns>());
    sheet.paper = Paper::Scale(75);
    sheet.text(Look::Title, format!("The day's work, {}", plan.day.long()));
    add_runs(&mut sheet, plan, tours);
    add_zones(&mut sheet, plan, tours);
    sheet.gap().text(Look::Section, "What two must lift");
    match plan.plant.one_person_lifts {
        None => {
            sheet.text(Look::Plain, "The book gives no weight that one person lifts ('one person lifts' in Settings).");
        }
        Some(limit) => {
            let heavy = heavy(day);
            let told = format!("Above {limit} kg, heaviest first. {}", weight::SHORT_CAUTION);
            add_list(&mut sheet, heavy, &told, "Nothing of this day.", "heavy");
        }
    }
    sheet.gap().text(Look::Section, "Bins that this day empties");
    add_list(&mut sheet, empty(day, tours), "Those that nothing comes for first.", "None.", "empty_bins");
    sheet.gap().text(Look::Section, "Bins whose stock rests on a receipt that nobody promised");
    add_list(&mut sheet, resting(plan, coming), "Soonest picking first.", "None.", "resting_bins");
    (sheet.repeat, sheet.freeze) = (None, None);
    sheet.fix_heights();
    sheet
}

/// A list, or that it is empty; at its end how many more there are.
fn add_list<'p, L: crate::report::listing::Listing>(
    sheet: &mut Sheet<'p>,
    lines: Vec<Line<'p, L>>,
    told: &str,
    none: &str,
    name: &str,
) {
    if lines.is_empty() {
        sheet.text(Look::Plain, none);
        return;
    }
    sheet.text(Look::Plain, told);
    let more = lines.len().saturating_sub(MOST);
    sheet.table(Some(name.to_owned()), lines.into_iter().take(MOST).collect());
    if more > 0 {
        sheet.text(Look::Strong, format!("and {more} more: see the sheets 'stops ...'"));
    }
}

/// What walking and picking of a run comes to.
struct Work {
    stops: usize,
    kits: usize,
    load: Load,
}

impl Work {
    fn of<'s, 'a: 's>(plan: &Plan<'_>, stops: impl Iterator<Item = &'s Stop<'a>>) -> Self {
        let (mut work, mut kits) = (Self { stops: 0, kits: 0, load: Load::default() }, HashSet::new());
        for stop in stops {
            work.stops += 1;
            work.load.add(plan.plant.part(stop.part), stop.qty());
            kits.extend(stop.takes.iter().filter_map(|(picked, _)| KitKey::of(&picked.pull)));
        }
        work.kits = kits.len();
        work
    }
}

fn add_runs(sheet: &mut Sheet<'_>, plan: &Plan<'_>, tours: &[Tour<'_>]) {
    let lines = tours.iter().map(|tour| run_line(plan, tour)).collect();
    sheet.table(Some("work_of_runs".to_owned()), lines);
    let told = match plan.plant.seconds_a_stop {
        Some(seconds) => format!(
            "Pickers: so many that whole walks at {seconds} s a stop ('seconds a stop' in Settings) are done while the run is picked; so \
             many must begin by then. Ways to the cart and back are not counted."
        ),
        None => {
            "The book does not say how long a stop takes ('seconds a stop' in Settings): no pickers are worked out."
                .to_owned()
        }
    };
    sheet.paragraph(Look::Faint, told);
}

listing! {
    /// A run in work.
    WorkOfRuns: fn run_line<'p>(plan: &Plan<'_>, tour: &Tour<'_>) {
        let work = Work::of(plan, tour.stops.iter());
        let pickers = tour.trip.run.and_then(|run| Pickers::of(plan, run, &tour.walks));
    }
    look: Look::Plain;
    "run", 17, Wrapped => tour.trip.name();
    "picked from", 19, Moment => tour.trip.run.map(|run| run.picked);
    "leaves", 33, Moment => tour.trip.run.map(|run| run.leaves);
    "stops", 19, Whole => work.stops as i64;
    "walks", 19, Whole => tour.walks.len() as i64;
    "kits", 17, Whole => tour.kits.len() as i64;
    "kg", 17, Weight => work.load.cell();
    "pickers", 17, Whole => pickers.as_ref().map(|pickers| pickers.number as i64);
    "begin by", 22, Moment => pickers.map(|pickers| pickers.begin);
}

/// The pickers that a run needs.
struct Pickers {
    number: usize,
    begin: Moment,
}

impl Pickers {
    /// Whole walks, the longest first, each to a picker who has time left for it; when the one with most to do must begin.
    fn of(plan: &Plan<'_>, run: crate::waves::DeliveryRun, walks: &[Walk<'_>]) -> Option<Self> {
        let seconds = plan.plant.seconds_a_stop?;
        let time = picking_time(plan, run);
        let mut busy: Vec<Seconds> = Vec::new();
        for stops in walks.iter().map(|walk| walk.stops.len() as Seconds).filter(|stops| *stops > 0).sorted().rev() {
            match busy.iter_mut().find(|busy| **busy + stops * seconds <= time) {
                Some(busy) => *busy += stops * seconds,
                None => busy.push(stops * seconds),
            }
        }
        let stores = plan.plant.stores_calendar();
        let begin = stores.starts(stores.worked(run.leaves) - busy.iter().max().copied().unwrap_or(0));
        Some(Self { number: busy.len(), begin })
    }
}

/// Zones below each other, runs side by side: stops, kits and kilograms.
fn add_zones<'p>(sheet: &mut Sheet<'p>, plan: &'p Plan<'p>, tours: &[Tour<'_>]) {
    let shown = &tours[..tours.len().min(MOST_RUNS)];
    let mut of_zones: BTreeMap<StorageKey, (String, Vec<Value<'p>>)> = BTreeMap::new();
    for (at, tour) in shown.iter().enumerate() {
        // Places of one zone need not follow each other: `a-1` and `A-1` are one to a reader.
        let mut in_zones: BTreeMap<StorageKey, Vec<&Stop<'_>>> = BTreeMap::new();
        for stop in &tour.stops {
            in_zones.entry(StorageKey::new(&zone(stop.place))).or_default().push(stop);
        }
        for (key, stops) in in_zones {
            let name = zone(stops[0].place);
            let work = Work::of(plan, stops.into_iter());
            let kg = match (work.load.lines, work.load.unknown) {
                (0, _) => "not known".to_owned(),
                (_, 0) => weight::tenths(work.load.known).to_string(),
                _ => format!("{} +", weight::tenths(work.load.known)),
            };
            let text = format!("{} / {} / {kg}", work.stops, work.kits);
            let (_, cells) = of_zones.entry(key).or_insert_with(|| (name, vec![Value::Blank; shown.len()]));
            cells[at] = text.into();
        }
    }
    let mut columns = vec![("zone".to_owned(), Show::Wrapped)];
    columns.extend(shown.iter().map(|tour| (tour.trip.name(), Show::Wrapped)));
    let named = |name: String| if name.is_empty() { "no location".to_owned() } else { name };
    let zones = of_zones.len();
    let lines = of_zones
        .into_values()
        .take(MOST)
        .map(|(name, cells)| (Look::Plain, std::iter::once(Value::from(named(name))).chain(cells).collect()));
    sheet.gap().text(Look::Section, "By run and zone: stops / kits / kg");
    sheet.text(Look::Plain, "A + behind the kilograms: there are lines of which the weight is not known.");
    sheet.table_headed(None, &columns, lines.collect());
    if zones > MOST || tours.len() > shown.len() {
        sheet.text(Look::Strong, "More zones and runs: see the sheets 'stops ...'");
    }
}

/// Of a heavy part how much is taken, where it goes, and with which runs.
#[derive(Default)]
struct Lifted<'p> {
    all: Quantity,
    to: BTreeSet<&'p str>,
    runs: BTreeSet<String>,
}

/// What one person does not lift here, heaviest first.
fn heavy<'p>(day: &Day<'p>) -> Vec<Line<'p, Heavy>> {
    let plan = day.plan;
    let mut of_parts: BTreeMap<PartId, Lifted<'p>> = BTreeMap::new();
    for (trip, picked) in day.all().filter(|(_, picked)| picked.taken.is_positive()) {
        let part = plan.plant.part(picked.pull.part);
        if !weight::is_heavy(plan.plant, part, picked.taken) {
            continue;
        }
        let lifted = of_parts.entry(picked.pull.part).or_default();
        lifted.all += picked.taken;
        lifted.to.insert(dest_code(plan, picked.pull.to));
        lifted.runs.insert(trip.short_name());
    }
    let weight_of = |part: PartId| plan.plant.part(part).weight.map(Total::from);
    let sorted = of_parts.into_iter().sorted_by_key(|(part, _)| (std::cmp::Reverse(weight_of(*part)), *part));
    sorted.map(|(part, lifted)| heavy_line(plan, part, &lifted)).collect()
}

listing! {
    /// A part of which one person does not lift a piece.
    Heavy: fn heavy_line<'p>(plan: &'p Plan<'p>, part: PartId, lifted: &Lifted<'p>) {
        let part = plan.plant.part(part);
    }
    look: Look::Plain;
    "part", Wrapped => part.code.as_str();
    "location", Wrapped => part.location.as_str();
    "description", Wrapped => part.description.as_str();
    "kg each", Weight => part.weight;
    "today", Wrapped => format!("{} {}", lifted.all, part.uom);
    "to", Wrapped => few(lifted.to.iter().map(|to| (*to).to_owned()), 6).replace("; ", ", ");
    "with the runs", Wrapped => few(lifted.runs.iter().cloned(), 6).replace("; ", ", ");
}

/// The bins that the day leaves empty, those for which nothing comes first, then those for which it comes last.
fn empty<'p>(day: &Day<'p>, tours: &[Tour<'_>]) -> Vec<Line<'p, Empty>> {
    let plan = day.plan;
    let mut last: BTreeMap<(PartId, u32), (&Trip, Take)> = BTreeMap::new();
    let bought = |stop: &&Stop<'_>| plan.plant.part(stop.part).source == Source::Buy;
    for tour in tours {
        for (picked, take) in tour.stops.iter().filter(bought).flat_map(|stop| &stop.takes) {
            last.insert((picked.pull.part, take.bin), (tour.trip, **take));
        }
    }
    // What runs before the day take is not on the list, nor does the day empty a bin that they have emptied.
    let all_taken = |part: PartId, take: &Take| take.left.is_zero() && day.bin(part, take).holds().is_zero();
    let emptied = last.into_iter().filter(|((part, _), (_, take))| all_taken(*part, take));
    let next = |part: PartId, after: Option<Moment>| {
        let later = plan
            .deliveries
            .of_part(part)
            .iter()
            .filter(|delivery| after.is_none_or(|after| delivery.available > after));
        later.min_by_key(|delivery| delivery.available)
    };
    let rows = emptied.map(|((part, _), (trip, take))| {
        let next = next(part, trip.run.map(|run| run.picked));
        (std::cmp::Reverse(next.map_or(Moment::NEVER, |next| next.available)), part, take.bin, trip, take, next)
    });
    let rows = rows.sorted_by_key(|(next, part, bin, ..)| (*next, *part, *bin));
    rows.map(|(_, part, _, trip, take, next)| empty_line(day, part, trip, take, next)).collect()
}

listing! {
    /// A bin that the day empties.
    Empty: fn empty_line<'p>(day: &Day<'p>, part: PartId, trip: &Trip, take: Take, next: Option<&'p crate::plan::Delivery<'p>>) {
        let known = day.plan.plant.part(part);
        let comes: Value<'p> = next.map_or("nothing comes".into(), |next| next.available.into());
        let promised = next.map(|next| match next.not_promised() {
            "" if next.confirmed == Some(true) => "confirmed",
            words => words,
        });
    }
    look: if next.is_none() { Look::Strong } else { Look::Plain };
    "part", Wrapped => known.code.as_str();
    "location", Wrapped => day.bin(part, &take).place.to_string();
    "description", Wrapped => known.description.as_str();
    "empty after", Wrapped => trip.name();
    "next comes", Moment => comes;
    "how much", Wrapped => next.map(|next| format!("{} {}", next.open, known.uom));
    "purchase order", Wrapped => next.map(|next| next.order);
    "promised", Wrapped => promised;
    "supplier", Wrapped => next.map(|next| next.supplier);
}

/// What goes into the stores before it is picked, and is not promised; soonest picking first.
fn resting<'p>(plan: &'p Plan<'p>, coming: &[Coming]) -> Vec<Line<'p, Resting>> {
    let unpromised = coming.iter().filter(|coming| !coming.delivery(plan).not_promised().is_empty());
    let stores = unpromised.filter_map(|coming| {
        let run = coming.pieces.iter().filter(|piece| !piece.straight()).map(|piece| piece.run).min()?;
        Some((run, coming))
    });
    let sorted = stores.sorted_by_key(|(run, coming)| (*run, coming.part, coming.comes, coming.receipt));
    sorted.map(|(run, coming)| resting_line(plan, coming, run)).collect()
}

listing! {
    /// What of a bin rests on a receipt.
    Resting: fn resting_line<'p>(plan: &'p Plan<'p>, coming: &Coming, run: crate::waves::DeliveryRun) {
        let part = plan.plant.part(coming.part);
        let receipt = &plan.plant.receipts[coming.receipt as usize];
        let stores = call_words::sent(part, coming.to_stores(), Some(coming.open(plan)));
    }
    look: Look::Plain;
    "part", Wrapped => part.code.as_str();
    "location", Wrapped => part.location.as_str();
    "description", Wrapped => part.description.as_str();
    "picked from", Wrapped => narrow(plan, run.picked);
    "comes", Moment => coming.comes;
    "how much of it", Wrapped => format!("{stores} {}", part.uom);
    "purchase order", Wrapped => receipt.order.as_str();
    "promised", Wrapped => coming.delivery(plan).not_promised();
    "supplier", Wrapped => receipt.supplier.as_str();
}
