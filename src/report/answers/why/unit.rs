//! A unit as it is built, as text: its options, its parts by station, its jobs.

use super::jobs::job_lines;
use super::steps::name_words;
use crate::base::count;
use crate::report::prose::{Prose, amount, list, named, row, told};
use crate::why::facts::{GroupFacts, PartLine, Station, UnitWhy};
use itertools::Itertools;

/// The whole of it.
pub fn text(why: &UnitWhy) -> String {
    let mut prose = Prose::default();
    prose.line(0, &sentence(why));
    options(why, &mut prose);
    if !why.stations.is_empty() {
        let held = why.unit.status == "hold";
        prose.heading(if held { "What it would need, by station" } else { "Parts by station" });
        why.stations.iter().for_each(|station| station_lines(station, &mut prose));
    }
    extras(why, &mut prose);
    if !why.jobs.is_empty() {
        prose.heading("Jobs by shop");
        why.jobs.iter().for_each(|job| job_lines(job, &mut prose));
    }
    prose.done()
}

fn sentence(why: &UnitWhy) -> String {
    let unit = &why.unit;
    let code = &unit.unit;
    let what = format!("{code} is a {} on line {} ({})", unit.floorplan, unit.line, row(&unit.place));
    let stands = match unit.status.as_str() {
        "hold" => format!("It is on hold: {}. It takes no place on the line and needs nothing.", list(&unit.why)),
        "set aside" => format!("It is set aside: {}. Nothing is supplied for it.", unit.why.join("; ")),
        "done" => "It is done and has left the line.".to_owned(),
        "clear" => "It is clear to build.".to_owned(),
        status => format!("It is {status}: {}.", wrong(why)),
    };
    let times = match (unit.enters, unit.leaves) {
        (Some(enters), Some(leaves)) => {
            let entered = if enters <= why.as_of { "entered" } else { "enters" };
            format!(", {entered} {} and leaves {}", enters.short(), leaves.short())
        }
        _ => String::new(),
    };
    let at = unit.at.as_ref().map(|at| format!(", stands at {at}")).unwrap_or_default();
    format!("{what}{times}{at}. {stands}")
}

/// What is late or short, in words.
fn wrong(why: &UnitWhy) -> String {
    let told = why.wrong.iter().map(|demand| {
        let short = demand.covers.iter().any(|cover| cover.cover == "none");
        let how = if short { "short" } else { "late" };
        format!("{} {how} at {}", named(&demand.part, &demand.description), demand.to)
    });
    list(&told.collect_vec())
}

fn options(why: &UnitWhy, prose: &mut Prose) {
    if why.options.is_empty() {
        return;
    }
    prose.heading("Options");
    for GroupFacts { group, options } in &why.options {
        for option in options {
            let told = name_words(option, &why.unit.floorplan, true);
            let meaning = if option.meaning.is_empty() { String::new() } else { format!(", {}", option.meaning) };
            let group = if group.is_empty() { String::new() } else { format!("{group}: ") };
            prose.line(2, &format!("{group}{told}{meaning}"));
        }
    }
    if !why.taken_away.is_empty() {
        prose.line(2, &format!("Taken away: {}", list(&why.taken_away)));
    }
}

fn station_lines(station: &Station, prose: &mut Prose) {
    let name = named(&station.station, &station.name);
    let parts = count(station.parts.len(), "part", "parts");
    if station.issued {
        prose.line(2, &format!("{name}: its material is there already ({parts})."));
    } else {
        let need = station.need.map(|need| format!(", wanted by {}", need.short())).unwrap_or_default();
        prose.line(2, &format!("{name}{need}: {parts}"));
    }
    let told = station.parts.iter().filter(|part| part.status != "issued");
    told.for_each(|part| {
        prose.line(4, &part_words(part));
    });
}

fn part_words(part: &PartLine) -> String {
    let description = if part.description.is_empty() { String::new() } else { format!(" {}", part.description) };
    let stands = if part.status == "not supplied" { String::new() } else { format!(": {}", stands(part)) };
    format!("{} {}{description}{stands}", told(part.qty, &part.uom), part.part)
}

/// How a part stands: what covers it, and where it is not in time that too.
fn stands(part: &PartLine) -> String {
    let words = part.covers.iter().map(|cover| match *cover {
        "by-product" => "comes off the unit itself",
        "reserved" => "reserved for it",
        "lineside" => "lies there",
        "stock" => "in stock",
        "receipt" => "on order",
        "job" => "built in a shop",
        _ => "nothing covers it",
    });
    let there = part.available.map(|at| format!(", there {}", at.short())).unwrap_or_default();
    let covers = format!("{}{there}", list(&words.map(str::to_owned).collect_vec()));
    match part.status {
        "in time" => covers,
        "late" | "short" => format!("{}: {covers}", part.status),
        status => format!("{status}{there}"),
    }
}

fn extras(why: &UnitWhy, prose: &mut Prose) {
    if why.extras.is_empty() {
        return;
    }
    prose.heading("Extras for it");
    for extra in &why.extras {
        let need = extra.need.map(|need| format!(" by {}", need.short())).unwrap_or_default();
        let reason = if extra.reason.is_empty() { String::new() } else { format!(": {}", extra.reason) };
        let part = named(&extra.part, &extra.description);
        let what = format!("{} of {part} for {}{need}{reason}", amount(extra.qty, &extra.uom), extra.to);
        prose.line(2, &format!("{what} ({})", row(&extra.place)));
    }
}
