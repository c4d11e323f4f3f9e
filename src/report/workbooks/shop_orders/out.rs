//! Out of the shop: what leaves it on the plan's day, by the moment at which it must leave, and how many sets leave in each hour.

use super::super::weight;
use super::facts::{Facts, ShopFacts, on};
use crate::base::{DestId, Moment, OwnerId, PartId, Quantity, count};
use crate::check::Source;
use crate::netting::{Cover, Demand};
use crate::plan::Late;
use crate::report::listing::listing;
use crate::report::names::dest_code;
use crate::report::sheet::{Look, Sheet};
use crate::report::table::Value;
use crate::report::two_up::{Around, TwoUp};
use itertools::Itertools;
use std::collections::BTreeMap;

/// A piece that leaves the shop.
struct Leaving<'p> {
    demand: &'p Demand,
    /// How much of it the job builds.
    qty: Quantity,
    job: usize,
    leaves: Moment,
    /// The how manieth of how many pieces that the shop builds for the same unit and place.
    of: (usize, usize),
}

/// A demand, how much of it a job builds, and the job.
type Built<'p> = (&'p Demand, Quantity, usize);

pub fn sheet<'p>(facts: &Facts<'p>, shop: &ShopFacts<'p>, name: String) -> Sheet<'p> {
    let (plan, day) = (facts.plan, facts.plan.day);
    let pieces = pieces(facts, shop);
    let pieces = pieces.iter().filter(|piece| piece.leaves.date() <= day).collect_vec();
    let lines = pieces.iter().map(|piece| line(facts, piece)).collect_vec();
    let two_up = TwoUp::<Leaves>::of(lines.iter(), &["unit"]);
    let mut sheet = two_up.sheet(name);
    sheet.of_a_day = true;
    let sets = pieces.iter().unique_by(|piece| (piece.demand.owner, piece.demand.to)).collect_vec();
    let hours = sets.iter().counts_by(|piece| piece.leaves.seconds().div_euclid(3600));
    let mut hours = hours.into_iter().sorted().map(|(hour, sets)| {
        let hour = Moment::from_seconds(hour * 3600);
        let told = if hour.date() == day { hour.clock() } else { hour.short() };
        format!("{told} {sets}")
    });
    let hours = hours.join(", ");
    let (piece_words, set_words) = (count(pieces.len(), "piece", "pieces"), count(sets.len(), "set", "sets"));
    let told = weight::told_of(plan.plant, pieces.iter().map(|piece| (plan.plant.part(piece.demand.part), piece.qty)));
    let high = 26 + 15 * (3 + told.iter().count() as u16);
    let around = Around { first: high, later: high, below: 0 };
    two_up.put(&mut sheet, lines, around, |sheet, page, pages| {
        let of = if pages > 1 { format!(", page {page} of {pages}") } else { String::new() };
        sheet.text(Look::Title, format!("{}: out of the shop, {}{of}", shop.dest.name, day.long()));
        sheet.text(
            Look::Plain,
            format!("{}. By the moment it must leave to be there when it is needed.", super::foot(plan)),
        );
        sheet.text(Look::Strong, format!("{piece_words}, {set_words}. Sets that leave, by the hour: {hours}"));
        sheet.text(
            Look::Faint,
            "The tool knows how long the way is, not what is on it: when a trailer goes is decided here.",
        );
        if let Some(told) = &told {
            sheet.text(Look::Plain, told.clone());
        }
    });
    sheet
}

/// What jobs of the shop build, by the moment at which it must leave.
fn pieces<'p>(facts: &Facts<'p>, shop: &ShopFacts<'p>) -> Vec<Leaving<'p>> {
    let plan = facts.plan;
    let parts = (0..plan.plant.parts.len()).map(PartId::of);
    let made = parts.filter(|part| plan.plant.part(*part).source == Source::Make(shop.id));
    let mut sets: BTreeMap<(OwnerId, DestId), Vec<Built<'p>>> = BTreeMap::new();
    for supply in made.map(|part| plan.made(part)) {
        for (demand, peg) in supply.pegged().pieces() {
            if let Cover::Job(job) = peg.cover {
                sets.entry((demand.owner, demand.to)).or_default().push((demand, peg.qty, job as usize));
            }
        }
    }
    let of_set = |set: Vec<Built<'p>>| {
        let all = set.len();
        let set = set.into_iter().sorted_by_key(|(demand, ..)| (demand.need, demand.part));
        (1..).zip(set).map(move |(number, (demand, qty, job))| {
            let leaves = shop.calendar.starts(shop.calendar.worked(demand.need) - shop.shop.transit);
            Leaving { demand, qty, job, leaves, of: (number, all) }
        })
    };
    let order = |piece: &Leaving<'_>| (piece.leaves, piece.demand.to, piece.demand.owner, piece.of);
    sets.into_values().flat_map(of_set).sorted_by_key(order).collect()
}

listing! {
    /// A piece that leaves the shop.
    Leaves: fn line<'p>(facts: &Facts<'p>, piece: &Leaving<'p>) {
        let late = facts.plan.job_late(piece.job);
        let is_late = late != Late::InTime;
        let set = if piece.of.1 > 1 { format!("{} of {}", piece.of.0, piece.of.1) } else { "alone".to_owned() };
        let what = facts.plan.plant.part(piece.demand.part).code.clone();
        let what = if is_late { format!("{what}: {}", late.words()) } else { what };
        let heavy = weight::is_heavy(facts.plan.plant, facts.plan.plant.part(piece.demand.part), piece.qty);
        let what = if heavy { format!("{what}; {}", weight::HEAVY) } else { what };
    }
    look: if is_late { Look::Wrong } else { Look::Plain };
    "leaves by", 6, Text => on(piece.leaves, facts.plan.day);
    "unit", 8, Text => facts.owner(piece.demand.owner);
    "to", 5, Text => dest_code(facts.plan, piece.demand.to);
    "what", 12, Text => what;
    "qty", 4, Quantity => piece.qty;
    "set", 6, Text => set;
    "gone", 5, Box => Value::Blank;
}
