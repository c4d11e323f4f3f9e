//! What covers a unit's demands, and who took of it before.

use super::needed::minutes;
use crate::base::{MustBe, count};
use crate::report::prose::{Prose, amount, list, named, row};
use crate::why::facts::{CoverFacts, DemandFacts, Queue, Verdict, Why};
use itertools::Itertools;

/// Writes it: of the part itself, and of what is there of the parts it would go into.
pub fn write(why: &Why, prose: &mut Prose) {
    let own = |demand: &&DemandFacts| demand.part == why.part.part;
    let above = |demand: &&DemandFacts| !own(demand) && why.verdict == Verdict::Covered;
    let told = why.demands.iter().filter(|demand| own(demand) || above(demand)).collect_vec();
    if !told.is_empty() {
        prose.heading("What covers it");
        told.iter().for_each(|demand| demand_lines(why, demand, prose));
    }
    if !why.on_hold.is_empty() {
        let mut rows = why.on_hold.iter().map(|stock| {
            let at = if stock.location.is_empty() { String::new() } else { format!(" at {}", stock.location) };
            format!("{}{at}, '{}' ({})", stock.qty, stock.hold.as_deref().must(NO_REASON), row(&stock.place))
        });
        prose
            .heading("On hold, so not counted")
            .line(2, &format!("{}. Quality decides whether it can be used.", rows.join("; ")));
    }
}

/// `at APP (Appliances)`, `in CABSHOP (Cabinet shop)`.
pub fn place_of(demand: &DemandFacts) -> String {
    let word = if demand.station { "at" } else { "for" };
    format!("{word} {}", named(&demand.to, &demand.to_name))
}

fn demand_lines(why: &Why, demand: &DemandFacts, prose: &mut Prose) {
    let part = if demand.part == why.part.part { String::new() } else { format!(" of {}", demand.part) };
    let ahead = match demand.arrives {
        Some(at) if demand.ahead_minutes.is_zero() => format!(" (the unit arrives {})", at.short()),
        Some(at) => {
            format!(" (the unit arrives {}, and material is wanted {} min before)", at.short(), demand.ahead_minutes)
        }
        None => String::new(),
    };
    let run = match (demand.run, demand.picked) {
        (Some(run), Some(picked)) if pulled(demand) => {
            format!("; it goes with the run of {}, picked from {}", run.short(), picked.short())
        }
        _ => String::new(),
    };
    let what = format!(
        "{}{part} {} by {}{ahead}{run}:",
        amount(demand.qty, &demand.uom),
        place_of(demand),
        demand.need.short()
    );
    prose.line(2, &what);
    for cover in &demand.covers {
        prose.line(4, &format!("{}.", cover_words(demand, cover)));
        if let Some(queue) = &cover.queue {
            prose.line(6, &queue_words(cover, queue, &demand.uom));
        }
    }
}

/// Whether anything of a demand leaves the stores.
fn pulled(demand: &DemandFacts) -> bool {
    demand.covers.iter().any(|cover| matches!(cover.cover, "reserved" | "stock" | "receipt" | "none"))
}

/// What covers a piece, as a phrase: `1 ea from stock at A-1`.
pub fn covered_by(demand: &DemandFacts, cover: &CoverFacts) -> String {
    let qty = amount(cover.qty, &demand.uom);
    let there = cover.available.map(|at| format!(", there {}", at.short())).unwrap_or_default();
    let at = if cover.locations.is_empty() { String::new() } else { format!(" at {}", list(&cover.locations)) };
    match cover.cover {
        "by-product" => format!("{qty} that comes off the unit itself{}", there.replace("there", "free")),
        "reserved" => format!("{qty} reserved for it{at}"),
        "lineside" => format!("{qty} of what lies at {}", demand.to),
        "stock" => format!("{qty} from stock{at}"),
        "receipt" if cover.overdue => {
            format!("{qty} from the overdue order {}{}", cover.source, there.replace(", there", ", taken as there"))
        }
        "receipt" => format!("{qty} from order {}{there}", cover.source),
        "job" => format!("{qty} from the job {}{there}", cover.source),
        _ => format!("{qty} that nothing covers"),
    }
}

fn cover_words(demand: &DemandFacts, cover: &CoverFacts) -> String {
    let late = match cover.late_minutes {
        _ if cover.not_known => ": late, nothing says when it is there".to_owned(),
        0 if cover.special_run => ": in time, but after its run is picked, so a special run".to_owned(),
        0 => String::new(),
        late => format!(": {} late", minutes(late)),
    };
    let due = match (cover.due, cover.overdue) {
        (Some(due), true) => format!(", due {}, promised by nobody", due.date().short()),
        (Some(_), false) if !cover.not_promised.is_empty() => format!(", {}", cover.not_promised),
        _ => String::new(),
    };
    let rows = cover.places.iter().take(3).map(row).collect_vec();
    let rows = if rows.is_empty() { String::new() } else { format!(" ({})", list(&rows)) };
    format!("{}{due}{late}{rows}", covered_by(demand, cover))
}

/// Stock is on hold for a reason.
const NO_REASON: &str = "stock is on hold without a reason";

/// Who took of the same before.
fn queue_words(cover: &CoverFacts, queue: &Queue, uom: &str) -> String {
    let from = cover.from.map(|from| amount(from, uom)).unwrap_or_default();
    let what = match cover.cover {
        "none" => format!("All there is and comes is {from}; "),
        "receipt" => format!("The order brings {from}; "),
        _ => format!("There were {from}; "),
    };
    if queue.demands == 0 {
        return match cover.cover {
            "none" => "Nothing is there and nothing comes.".to_owned(),
            _ => format!("{what}nobody stood before it."),
        };
    }
    let last = queue.last.iter().map(|taker| {
        let unit = if taker.unit.is_empty() { "no unit" } else { &taker.unit };
        format!("{unit} at {} ({}, {})", taker.to, taker.qty, taker.need.short())
    });
    let last = list(&last.collect_vec());
    let who = if queue.demands > queue.last.len() { format!("the last of them {last}") } else { last };
    let demands = count(queue.demands, "demand of another", "demands of others");
    format!("{what}{demands} before it took {}: {who}.", amount(queue.qty, uom))
}
