//! The paper of a run's walks: numbered stops in two columns on a page, each walk on pages of its own, and a slip for misses.

use super::day::{Day, Missing, Picked};
use super::kits::arrives;
use super::tour::{KitKey, Tour};
use super::walk::{self, Stop};
use super::walks::Walk;
use super::weight;
use super::words::{DestOrder, Reasons, beside, comes, dest_order, how, narrow, unit_code};
use crate::base::{Quantity, count};
use crate::plan::Plan;
use crate::report::listing::{Line, listing};
use crate::report::prose::few_of;
use crate::report::sheet::{Cell, Look, ROW_HEIGHT, Row, Sheet, Show};
use crate::report::two_up::{Around, TwoUp};
use itertools::Itertools;
use std::collections::{BTreeMap, BTreeSet};

const TITLE: u16 = 20;
/// Rows of the slip for misses, and how high they, the line above them and their headings are.
const MISSES: u16 = 3;
const MISS: u16 = 17;
const TOLD: u16 = 17;
const HEADING: u16 = 18;
/// The columns of the sheet: seven of stops, a gap, and seven more.
const COLUMNS: u16 = 15;
/// The kits of a cart stand in six columns: from which of the sheet's columns each goes, and over how many.
const PLACES: [(u16, u16); 6] = [(0, 3), (3, 2), (5, 2), (8, 3), (11, 2), (13, 2)];
/// What is not there stands at the end of a walk up to so many pieces.
const MOST_WAITS: usize = 70;

/// The sheet of a run's walks.
pub fn sheet<'p>(day: &Day<'p>, tour: &Tour<'_>, reasons: &Reasons<'p>) -> Sheet<'p> {
    let of_walks = tour.walks.iter().map(|walk| lines(day, walk, reasons)).collect_vec();
    let columns = TwoUp::<Stops>::of(of_walks.iter().flatten(), &["take"]);
    let mut sheet = columns.sheet(format!("walks {}", tour.trip.tab()));
    for (walk, lines) in tour.walks.iter().zip(of_walks) {
        let above = above(&sheet, day.plan, tour, walk);
        let high = above.iter().map(|row| row.height.unwrap_or(ROW_HEIGHT)).sum::<u16>();
        let around = Around { first: TITLE + high, later: TITLE, below: TOLD + HEADING + MISSES * MISS };
        columns.put(&mut sheet, lines, around, |sheet, page, pages| {
            let of = if pages > 1 { format!(", page {page} of {pages}") } else { String::new() };
            let (run, number, walks) = (tour.trip.name(), walk.number, tour.walks.len());
            let title = format!("{run}, walk {number} of {walks}: {}{of}", walk.zones());
            sheet.row(Some(TITLE), vec![Cell::new(0, title, Show::Text, Look::Section).over(COLUMNS)]);
            sheet.rows.extend(above.iter().filter(|_| page == 1).cloned());
        });
        add_slip(&mut sheet);
    }
    if tour.walks.is_empty() {
        sheet.text(Look::Section, format!("{}: nothing is picked.", tour.trip.name()));
    }
    sheet.fix_heights();
    sheet
}

/// Its stops, then what is not there.
fn lines<'p>(day: &Day<'p>, walk: &Walk<'_>, reasons: &Reasons<'p>) -> Vec<Line<'p, Stops>> {
    let stops = walk.stops.iter().zip(1_i64..).map(|(stop, number)| stop_line(day, walk, stop, number, reasons));
    let waits = walk.waits.iter().take(MOST_WAITS).map(|(picked, missing)| waiting(day.plan, picked, missing));
    stops.chain(waits).collect()
}

/// What stands above the stops of a walk: what a picker should know before setting out, and the kits that stand in a stop by their
/// places alone, since it is for several: `4 CHS U2`. All others are named where they stand.
fn above<'p>(sheet: &Sheet<'p>, plan: &'p Plan<'p>, tour: &Tour<'_>, walk: &Walk<'_>) -> Vec<Row<'p>> {
    let mut scratch = Sheet::new("", &sheet.widths);
    scratch.row(None, vec![Cell::new(0, told(plan, tour, walk), Show::Wrapped, Look::Plain).over(COLUMNS)]);
    let kits_of =
        |stop: &Stop<'_>| stop.takes.iter().filter_map(|(picked, _)| KitKey::of(&picked.pull)).collect::<BTreeSet<_>>();
    let several = walk.stops.iter().map(kits_of).filter(|kits| kits.len() > 1);
    let places: BTreeSet<usize> = several.flatten().filter_map(|kit| walk.place(plan, kit)).collect();
    for places in places.into_iter().collect_vec().chunks(PLACES.len()) {
        let cell = |(place, (at, span)): (&usize, (u16, u16))| {
            let text = format!("{place} {}", kit_name(plan, walk.kits[place - 1]));
            Cell::new(at, text, Show::Wrapped, Look::Plain).over(span)
        };
        scratch.row(None, places.iter().zip(PLACES).map(cell).collect());
    }
    scratch.rows
}

/// `CHS U2`
fn kit_name(plan: &Plan<'_>, kit: KitKey) -> String {
    format!("{} {}", plan.plant.dest(kit.to).code, unit_code(plan, kit.owner))
}

/// What a picker should know before setting out.
fn told(plan: &Plan<'_>, tour: &Tour<'_>, walk: &Walk<'_>) -> String {
    let when = match tour.trip.run {
        Some(run) => format!("picked from {}, leaves {}", run.picked.short(), beside(run.picked, run.leaves)),
        None => "these runs have left: pick this first".to_owned(),
    };
    let pulls = || walk.stops.iter().flat_map(|stop| &stop.takes).map(|(picked, _)| &picked.pull);
    let need = pulls().map(|pull| pull.need).min();
    let arrival = pulls().filter_map(|pull| arrives(plan, pull.owner?, pull.to)).min();
    let need = need.map_or(String::new(), |need| format!("; first needed {}", need.short()));
    let arrival = arrival.map_or(String::new(), |at| format!(", first unit arrives {}", at.short()));
    let late = "; a run that is late is picked by need, not by zone";
    let waits = match (walk.waits.len(), walk.waits.len().saturating_sub(MOST_WAITS)) {
        (0, _) => String::new(),
        (waits, 0) => format!("; {} not there yet: at the end", waits),
        (waits, more) => format!("; {waits} not there yet: {MOST_WAITS} at the end, {more} more in 'not pulled'"),
    };
    let places = if walk.kits.is_empty() { "" } else { " Numbers of kits are places on the cart." };
    format!("{}, {when}{need}{arrival}{late}{waits}.{places}", count(walk.stops.len(), "stop", "stops"))
}

/// Where what was not there is written down.
fn add_slip(sheet: &mut Sheet<'_>) {
    const SPANS: [(u16, u16, &str); 7] = [
        (0, 1, "no"),
        (1, 2, "location"),
        (3, 2, "part"),
        (5, 1, "short"),
        (6, 4, "counted"),
        (10, 3, "who"),
        (13, COLUMNS - 13, "when"),
    ];
    let text = "What was not there: tell the line, then enter run, walk and stop on the sheet 'misses'. A miss that is not entered is in no later plan.";
    sheet.row(Some(TOLD), vec![Cell::new(0, text, Show::Text, Look::Strong).over(COLUMNS)]);
    let heading = SPANS.map(|(at, span, text)| Cell::new(at, text, Show::Text, Look::Heading).over(span).ruled());
    sheet.row(Some(HEADING), heading.to_vec());
    for _ in 0..MISSES {
        let boxes = SPANS.map(|(at, span, _)| Cell::new(at, "", Show::Box, Look::Plain).over(span).ruled());
        sheet.row(Some(MISS), boxes.to_vec());
    }
}

/// What stands in a line of a walk.
struct Told<'p> {
    number: Option<i64>,
    place: String,
    take: String,
    part: &'p str,
    kits: String,
    mind: String,
}

listing! {
    /// A stop of a walk, or what is not there.
    Stops: fn line<'p>(told: Told<'p>) {}
    look: Look::Plain;
    "stop", 5, Text => told.number.map(|number| number.to_string());
    "took", 5, Box => "";
    "location", 8, Wrapped => told.place;
    "take", 6, Wrapped => told.take;
    "part", 6, Wrapped => told.part;
    "for", 27, Wrapped => told.kits;
    "mind", 7, Wrapped => told.mind;
}

fn stop_line<'p>(
    day: &Day<'p>,
    walk: &Walk<'_>,
    stop: &Stop<'_>,
    number: i64,
    reasons: &Reasons<'p>,
) -> Line<'p, Stops> {
    let part = day.plan.plant.part(stop.part);
    line(Told {
        number: Some(number),
        place: if stop.place.is_empty() { "no location" } else { stop.place }.to_owned(),
        take: format!("{} {}", stop.qty(), part.uom),
        part: &part.code,
        kits: goes_to(day.plan, walk, stop),
        mind: marks(day, stop, reasons),
    })
}

/// So many kits are named to which pieces of one stop go; the labels have all.
const MOST_KITS: usize = 60;

/// Where it goes: `4 CHS U2`; `2 each to 4, 5`; `2 each to 4, 6; 1 to 5`; of bulk how much each station gets: `FL 260`.
fn goes_to(plan: &Plan<'_>, walk: &Walk<'_>, stop: &Stop<'_>) -> String {
    let mut of_kits: BTreeMap<usize, (KitKey, Quantity)> = BTreeMap::new();
    let mut of_bulk: BTreeMap<DestOrder, Quantity> = BTreeMap::new();
    for (picked, take) in &stop.takes {
        let placed = KitKey::of(&picked.pull).and_then(|kit| Some((walk.place(plan, kit)?, kit)));
        match placed {
            Some((place, kit)) => of_kits.entry(place).or_insert((kit, Quantity::ZERO)).1 += take.qty,
            None => *of_bulk.entry(dest_order(plan, picked.pull.to)).or_default() += take.qty,
        }
    }
    let bulk = of_bulk.iter().map(|((.., dest), qty)| format!("{} {qty}", plan.plant.dest(*dest).code));
    let kits = match of_kits.iter().collect_vec().as_slice() {
        [] => None,
        [(place, (kit, _))] => Some(format!("{place} {}", kit_name(plan, *kit))),
        several => {
            // Kits that get as much stand together, in the order of their first places.
            let mut alike: Vec<(Quantity, Vec<usize>)> = Vec::new();
            for (place, (_, qty)) in several.iter().take(MOST_KITS) {
                match alike.iter_mut().find(|(other, _)| other == qty) {
                    Some((_, places)) => places.push(**place),
                    None => alike.push((*qty, vec![**place])),
                }
            }
            let words = |(qty, places): &(Quantity, Vec<usize>)| match places.as_slice() {
                [place] => format!("{qty} to {place}"),
                places => format!("{qty} each to {}", places.iter().join(", ")),
            };
            Some(few_of(alike.iter().map(words), several.len().saturating_sub(MOST_KITS)))
        }
    };
    kits.into_iter().chain(bulk).collect_vec().join("; ")
}

/// In as few words as can be: `heavy`, `weight not known`, `empty after`, `low: 5 there` where the bin gets low, `reserved`, and what else is to mind.
fn marks(day: &Day<'_>, stop: &Stop<'_>, reasons: &Reasons<'_>) -> String {
    let (plan, part) = (day.plan, day.plan.plant.part(stop.part));
    let (Some((_, first)), Some((_, last))) = (stop.takes.first(), stop.takes.last()) else { return String::new() };
    let mut marks: Vec<String> = Vec::new();
    let most = stop.takes.iter().map(|(_, take)| take.qty).max().unwrap_or_default();
    marks.extend(weight::mark(plan.plant, part, most).map(str::to_owned));
    let reserved = stop.takes.iter().filter(|(_, take)| take.reserved).count();
    if last.left.is_zero() && reserved == stop.takes.len() {
        // What lies there for single units only is no bin that runs empty.
    } else if last.left.is_zero() {
        marks.push("empty after".to_owned());
    } else if last.left < stop.qty() {
        marks.push(format!("low: {} there", first.before));
    }
    // The pieces bear their units' names, and the kit says which unit it is.
    marks.extend((reserved > 0).then(|| "reserved".to_owned()));
    let said = |note: &String| {
        note == walk::EMPTY
            || note.contains(weight::ABOVE)
            || note == weight::NOT_KNOWN
            || note.starts_with("reserved for ")
    };
    marks.extend(walk::notes(day, reasons, stop).into_iter().filter(|note| !said(note)));
    marks.join("; ")
}

/// What is not there when picking starts: when it comes, and for whom.
fn waiting<'p>(plan: &'p Plan<'p>, picked: &Picked, missing: &Missing) -> Line<'p, Stops> {
    let (pull, part) = (&picked.pull, plan.plant.part(picked.pull.part));
    let to = &plan.plant.dest(pull.to).code;
    let kit = pull.owner.map_or_else(|| to.clone(), |owner| format!("{to} {}", unit_code(plan, owner)));
    let when = missing.available.map_or_else(|| comes(plan, missing), |at| format!("comes {}", narrow(plan, at)));
    line(Told {
        number: None,
        place: "not there".to_owned(),
        take: format!("{} {}", weight::measured(part, missing.qty), part.uom),
        part: &part.code,
        kits: kit,
        mind: std::iter::once(format!("{}: {when}", how(missing)))
            .chain(weight::mark(plan.plant, part, missing.qty).map(str::to_owned))
            .join("; "),
    })
}
