//! Labels: one for each kit and walk, many on a page, of one size, to cut and to travel with the kit.

use super::day::{Day, Picked, Take};
use super::kits::{Kit, arrives};
use super::tour::{KitKey, Tour};
use super::walks::Walk;
use super::weight::{self, Load};
use super::words::{beside, unit_code};
use crate::base::{Quantity, count};
use crate::plan::Plan;
use crate::report::pages::room_at;
use crate::report::sheet::{Cell, Look, Paper, Sheet, Show};
use crate::report::text_width::digits_of;
use itertools::Itertools;
use std::collections::BTreeMap;

/// Four labels side by side, each of two columns, with a gap behind it: one is about 68 mm wide.
const UNIT: u16 = 18;
const STATION: u16 = 19;
const WIDTHS: [u16; 11] = [UNIT, STATION, 1, UNIT, STATION, 1, UNIT, STATION, 1, UNIT, STATION];
const ACROSS: usize = 4;
const SCALE: u16 = 85;
/// The heights of a label's rows, and of the gap below it: together about 29 mm on paper.
const LARGE: u16 = 26;
const ROW: u16 = 14;
const ROWS: u16 = 5;
const GAP: u16 = 2;

/// A kit, or what one walk brings of it.
struct Label<'k, 'a> {
    /// Whose label it is: all that its unit gets there with the run.
    kit: &'k Kit<'a>,
    /// The walk; none where nothing of the kit is there.
    walk: Option<&'k Walk<'a>>,
    /// What the walk takes for it.
    takes: Vec<(&'a Picked, &'a Take)>,
    /// The how manieth of how many parts of the kit it is.
    part: (usize, usize),
}

/// The sheet of a run's labels, walk by walk.
pub fn sheet<'p>(day: &Day<'p>, tour: &Tour<'_>) -> Sheet<'p> {
    let mut sheet = Sheet::new(format!("labels {}", tour.trip.tab()), &WIDTHS);
    sheet.paper = Paper::Scale(SCALE);
    let labels = labels(tour);
    if labels.is_empty() {
        sheet.text(Look::Section, format!("{}: no kits.", tour.trip.name()));
    }
    let on_a_page = room_at(SCALE) / u32::from(LARGE + ROW * ROWS + GAP);
    for (i, side_by_side) in labels.chunks(ACROSS).enumerate() {
        if i > 0 && (i as u32).is_multiple_of(on_a_page) {
            sheet.page_break();
        }
        add_labels(&mut sheet, day, tour, side_by_side);
    }
    sheet.fix_heights();
    sheet
}

/// Each kit of which a walk brings something, walk by walk; then those of which nothing is there.
fn labels<'k, 'a>(tour: &'k Tour<'a>) -> Vec<Label<'k, 'a>> {
    let mut shares: Vec<BTreeMap<KitKey, Vec<(&Picked, &Take)>>> = tour.walks.iter().map(shares).collect();
    let mut parts: BTreeMap<KitKey, usize> = BTreeMap::new();
    shares.iter().flat_map(BTreeMap::keys).for_each(|kit| *parts.entry(*kit).or_default() += 1);
    let mut printed: BTreeMap<KitKey, usize> = BTreeMap::new();
    let mut labels = Vec::new();
    for (walk, shares) in tour.walks.iter().zip(&mut shares) {
        for kit in &tour.kits {
            let Some(takes) = shares.remove(&kit.key()) else { continue };
            let part = printed.entry(kit.key()).or_default();
            *part += 1;
            labels.push(Label { kit, walk: Some(walk), takes, part: (*part, parts[&kit.key()]) });
        }
    }
    let empty = tour.kits.iter().filter(|kit| !parts.contains_key(&kit.key()));
    labels.extend(empty.map(|kit| Label { kit, walk: None, takes: Vec::new(), part: (1, 1) }));
    labels
}

/// What a walk takes for each kit.
fn shares<'a>(walk: &Walk<'a>) -> BTreeMap<KitKey, Vec<(&'a Picked, &'a Take)>> {
    let takes = walk.stops.iter().flat_map(|stop| &stop.takes);
    let mut shares: BTreeMap<KitKey, Vec<(&Picked, &Take)>> = BTreeMap::new();
    for (picked, take) in takes {
        if let Some(kit) = KitKey::of(&picked.pull) {
            shares.entry(kit).or_default().push((*picked, *take));
        }
    }
    shares
}

fn add_labels<'p>(sheet: &mut Sheet<'p>, day: &Day<'p>, tour: &Tour<'_>, labels: &[Label<'_, '_>]) {
    let mut rows: Vec<Vec<Cell<'p>>> = vec![Vec::new(); usize::from(ROWS) + 1];
    for (at, label) in labels.iter().enumerate() {
        let from = at as u16 * 3;
        let unit = unit_code(day.plan, label.kit.owner);
        let station = day.plan.plant.dest(label.kit.to).code.as_str();
        rows[0].push(large(from, unit, UNIT));
        rows[0].push(large(from + 1, station, STATION));
        for (row, (look, text)) in rows[1..].iter_mut().zip(lines(day.plan, tour, label)) {
            row.push(Cell::new(from, text, Show::Text, look).over(2).ruled());
        }
    }
    for (i, cells) in rows.into_iter().enumerate() {
        sheet.row(Some(if i == 0 { LARGE } else { ROW }), cells);
    }
    sheet.row(Some(GAP), Vec::new());
}

/// A code as large as its column takes; a long one on two lines.
fn large<'p>(column: u16, code: &'p str, width: u16) -> Cell<'p> {
    // Bold letters are wider by a tenth.
    let wide = |look: Look| digits_of(code) * 11 * usize::from(look.points()) / 100;
    let fits = [Look::Large, Look::Title, Look::Section].into_iter().find(|look| wide(*look) <= usize::from(width));
    match fits {
        Some(look) => Cell::new(column, code, Show::Text, look).ruled(),
        None => Cell::new(column, code, Show::Wrapped, Look::Strong).ruled(),
    }
}

/// The first of some ways to say something that has room on a line of a label, or else the last.
fn with_room(look: Look, ways: impl IntoIterator<Item = String>) -> String {
    const ROOM: usize = (UNIT + STATION) as usize;
    // Bold letters are wider by a tenth.
    let wide = |way: &str| digits_of(way) * if matches!(look, Look::Plain) { 10 } else { 11 } / 10;
    let mut last = String::new();
    for way in ways {
        if wide(&way) <= ROOM {
            return way;
        }
        last = way;
    }
    last
}

/// What stands below the unit and the station.
fn lines(plan: &Plan<'_>, tour: &Tour<'_>, label: &Label<'_, '_>) -> [(Look, String); ROWS as usize] {
    let kit = label.kit;
    let (part, parts) = label.part;
    let run = tour.trip.name();
    let walk = match label.walk {
        Some(walk) => {
            let place = walk.place(plan, kit.key()).map_or(String::new(), |place| format!(", place {place}"));
            let walk = format!("{run}, walk {}{place}", walk.number);
            with_room(Look::Strong, [format!("{walk}: {}", label.walk.map_or(String::new(), Walk::zones)), walk])
        }
        None => run,
    };
    let needed = kit.need.short();
    let needed = match arrives(plan, kit.owner, kit.to) {
        Some(at) => with_room(
            Look::Plain,
            [
                format!("needed {needed}, unit arrives {}", beside(kit.need, at)),
                format!("needed {needed}, arrives {}", beside(kit.need, at)),
                format!("needed {needed}, arrives {} {}", &at.short()[..3], at.clock()),
                format!("needed {needed}"),
            ],
        ),
        None => format!("needed {needed}"),
    };
    let all = || lines_and_pieces(plan, kit.lines().map(|picked| (picked, picked.taken)));
    let in_all = match (label.walk, parts) {
        (None, _) => "nothing of it is there".to_owned(),
        (_, 1) => "the whole kit".to_owned(),
        _ => format!("part {part} of {parts}; in all {}", all()),
    };
    let heavy =
        |(picked, take): &(&Picked, &Take)| weight::is_heavy(plan.plant, plan.plant.part(picked.pull.part), take.qty);
    let heavy = if label.takes.iter().any(heavy) { "; heavy" } else { "" };
    let pieces = lines_and_pieces(plan, label.takes.iter().map(|(picked, take)| (*picked, take.qty)));
    let load = load(plan, &label.takes);
    let here = with_room(
        Look::Plain,
        [
            format!("{pieces}; {}{heavy}", load.words()),
            format!("{pieces}; {}{heavy}", load.short_words()),
            format!("{}{heavy}", load.short_words()),
        ],
    );
    [
        (Look::Strong, walk),
        (Look::Plain, needed),
        (Look::Plain, if label.walk.is_none() { String::new() } else { here }),
        (Look::Plain, in_all),
        match missing_in_short(plan, kit) {
            None => (Look::Plain, "planned whole, picked by            whole [   ]".to_owned()),
            Some(missing) => (Look::Wrong, missing),
        },
    ]
}

/// What is not in a kit, as short as it stands on a label; `None` where nothing is missing.
fn missing_in_short(plan: &Plan<'_>, kit: &Kit<'_>) -> Option<String> {
    let missing = kit.missing().collect_vec();
    let (picked, first) = missing.first()?;
    let (code, number) = (&plan.plant.part(picked.pull.part).code, missing.len());
    let several = format!("{} not in it", count(number, "piece", "pieces"));
    Some(match (number, first.available) {
        (1, Some(at)) => with_room(
            Look::Wrong,
            [
                format!("not in it: {code}, comes {}", at.short()),
                format!("not in it: {code}, {}", at.short()),
                format!("{several}: comes {}", at.short()),
            ],
        ),
        (1, None) => with_room(
            Look::Wrong,
            [format!("not in it: {code}, nothing covers it"), format!("{several}: nothing covers it")],
        ),
        _ if kit.lines().next().is_some() => format!("{several}: see the card"),
        _ => format!("{several}: see 'not pulled'"),
    })
}

/// The kilograms of what a walk brings.
fn load(plan: &Plan<'_>, takes: &[(&Picked, &Take)]) -> Load {
    let mut load = Load::default();
    takes.iter().for_each(|(picked, take)| load.add(plan.plant.part(picked.pull.part), take.qty));
    load
}

/// `12 lines, 31 pc`: pieces of what is counted; what is measured counts as a line alone.
fn lines_and_pieces<'a>(plan: &Plan<'_>, taken: impl Iterator<Item = (&'a Picked, Quantity)>) -> String {
    let (mut lines, mut pieces) = (Vec::new(), Quantity::default());
    for (picked, qty) in taken {
        lines.push(picked.pull.part);
        if plan.plant.part(picked.pull.part).decimals == 0 {
            pieces += qty;
        }
    }
    lines.sort_unstable();
    lines.dedup();
    let pieces = if pieces.is_zero() { String::new() } else { format!(", {pieces} pc") };
    format!("{}{pieces}", count(lines.len(), "line", "lines"))
}
