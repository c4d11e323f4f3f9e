//! The answer where a unit needs the part: how much, where, by when, and how it stands.

use super::cover::{covered_by, place_of};
use crate::report::prose::{amount, list, named};
use crate::why::facts::{CoverFacts, DemandFacts, Why};
use itertools::Itertools;

/// What is said of a unit that has what it needs.
const IN_TIME: &str = "has it in time";

/// The sentence, for the demand that stands worst.
pub fn needed(why: &Why, at: usize) -> String {
    let demand = &why.demands[at];
    let (unit, part) = (&why.unit.unit, named(&why.part.part, &why.part.description));
    let demands = why.demands.iter().filter(|other| other.part == why.part.part).count();
    let where_when = format!("{} by {}", place_of(demand), demand.need.short());
    let (qty, stands) = (amount(demand.qty, &demand.uom), outcome_words(demand));
    let so = match demands {
        1 => format!("{unit} needs {qty} of {part} {where_when}, and {stands}."),
        _ => {
            let total = format!("{unit} needs {} of {part} in {demands} demands", amount(why.needed, &demand.uom));
            match stands.strip_prefix(IN_TIME) {
                Some(how) => format!("{total}, and all of it is in time. The first is {qty} {where_when}{how}."),
                None => format!(
                    "{total}, and not all of it is in time. What stands worst is {qty} {where_when}: {unit} {stands}."
                ),
            }
        }
    };
    format!("{so}{}", not_built(why))
}

/// Of a unit that takes no place on the line.
fn not_built(why: &Why) -> String {
    let unit = &why.unit.unit;
    match why.unit.status.as_str() {
        "hold" => format!(" {unit} itself is on hold ({}); this is an extra for it.", list(&why.unit.why)),
        "done" => format!(" {unit} itself has left the line; this is an extra for it."),
        _ => String::new(),
    }
}

/// How a demand stands, as what is said of its unit.
fn outcome_words(demand: &DemandFacts) -> String {
    let short = demand.covers.iter().find(|cover| cover.cover == "none");
    let late = demand.covers.iter().max_by_key(|cover| cover.late_minutes).filter(|cover| cover.late_minutes > 0);
    let all = || list(&demand.covers.iter().map(|cover| covered_by(demand, cover)).collect_vec());
    if let Some(short) = short {
        let rest = if demand.covers.len() > 1 { "; the rest is covered" } else { "" };
        return format!("is short of {}: nothing in the book covers it{rest}", amount(short.qty, &demand.uom));
    }
    if let Some(never) = demand.covers.iter().find(|cover| cover.not_known) {
        return format!("gets it late, and nothing says when: {}", source_words(never));
    }
    if let Some(late) = late {
        let piece = if late.qty == demand.qty {
            "gets it".to_owned()
        } else {
            format!("gets {} of it", amount(late.qty, &demand.uom))
        };
        let (source, there) = (source_words(late), late.available.map(|at| at.short()).unwrap_or_default());
        return format!("{piece} {} late: {source}, there {there}", minutes(late.late_minutes));
    }
    let special = if demand.covers.iter().any(|cover| cover.special_run) {
        ", but only by a special run, as it comes after its run is picked"
    } else {
        ""
    };
    format!("{IN_TIME}{special}: {}", all())
}

/// `90 min`, and from two hours on the hours too.
pub fn minutes(late: i64) -> String {
    match (late / 60, late % 60) {
        (0 | 1, _) => format!("{late} min"),
        (hours, 0) => format!("{late} min ({hours} h)"),
        (hours, rest) => format!("{late} min ({hours} h {rest} min)"),
    }
}

fn source_words(cover: &CoverFacts) -> String {
    match cover.cover {
        "receipt" if cover.overdue => format!("it is to come with the overdue order {}", cover.source),
        "receipt" => format!("it comes with order {}", cover.source),
        "job" => format!("it comes from the job {}", cover.source),
        _ => "it comes off the unit itself".to_owned(),
    }
}
