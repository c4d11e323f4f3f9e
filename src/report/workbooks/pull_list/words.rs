//! Words and orders that several sheets of the pull list share.

use super::day::{Missing, Picked};
use crate::base::{DestId, Moment, OwnerId, PartId};
use crate::check::{DestKind, Extra};
use crate::netting::Cover;
use crate::plan::Plan;
use std::collections::BTreeMap;

/// Stations in the order of their lines, then shops.
pub type DestOrder = (bool, u32, u32, DestId);

/// Where a destination stands in that order.
pub fn dest_order(plan: &Plan<'_>, dest: DestId) -> DestOrder {
    match plan.plant.dest(dest).what {
        DestKind::Station { line, position, .. } => (false, line.0, position, dest),
        DestKind::Shop(shop) => (true, shop.0, 0, dest),
    }
}

/// A destination with its name where that says more than its code.
pub fn dest_name(plan: &Plan<'_>, dest: DestId) -> String {
    let dest = plan.plant.dest(dest);
    if dest.name == dest.code { dest.code.clone() } else { format!("{} {}", dest.code, dest.name) }
}

/// The unit something is for.
pub fn unit_code<'p>(plan: &'p Plan<'p>, owner: OwnerId) -> &'p str {
    let code = plan.pace.owners[owner.at()].code.as_str();
    if code.is_empty() { "no unit" } else { code }
}

/// The floorplan of whom something is for, where that is a unit of the sequence.
pub fn floorplan<'p>(plan: &'p Plan<'p>, owner: OwnerId) -> &'p str {
    let Some(unit) = plan.pace.owners[owner.at()].unit else { return "" };
    match &plan.plant.units[unit.at()].floorplan {
        Ok(id) => &plan.plant.floorplans[id.at()].code,
        Err(text) => text,
    }
}

/// How something stands that is not there when its run is picked.
pub fn how(missing: &Missing) -> &'static str {
    match missing.available {
        None => "short",
        Some(available) if available > missing.need => "late",
        Some(_) => "special run",
    }
}

/// ` (day only)`; blank where there is nothing to say.
pub fn in_parentheses(words: &str) -> String {
    if words.is_empty() { String::new() } else { format!(" ({words})") }
}

/// ` (day only)`: what there is to say of the moment of a receipt, all rows of its order, part and moment together.
pub fn promise(plan: &Plan<'_>, receipt: u32) -> String {
    in_parentheses(plan.deliveries.all()[plan.deliveries.of_receipt(receipt)].not_promised())
}

/// When something comes that is not there: `comes Tue 14 Sep 10:00, order 7002 (day only)`.
pub fn comes(plan: &Plan<'_>, missing: &Missing) -> String {
    match (missing.cover, missing.available) {
        (Cover::Receipt(i), Some(at)) => {
            let receipt = &plan.plant.receipts[i as usize];
            format!("comes {}, order {}{}", at.short(), receipt.order, promise(plan, i))
        }
        _ => "nothing covers it".to_owned(),
    }
}

/// A moment beside another: the time alone on the same day.
pub fn beside(other: Moment, at: Moment) -> String {
    if other.date() == at.date() { at.clock() } else { at.short() }
}

/// A moment in a narrow column, to the minute that it has begun: `06:00` on the list's day, `Mon 06:00` in the days around it.
pub fn narrow(plan: &Plan<'_>, at: Moment) -> String {
    let minute = at.plus(-at.time().rem_euclid(60));
    match (at.date(), plan.day) {
        (date, day) if date == day => minute.clock(),
        (date, day) if (day.plus(-3)..day.plus(4)).contains(&date) => {
            format!("{} {}", &date.short()[..3], minute.clock())
        }
        _ => minute.short(),
    }
}

/// `the 06:00 run`; with its date where that is not the list's day.
pub fn run_name(plan: &Plan<'_>, leaves: Moment) -> String {
    let date = if leaves.date() == plan.day { String::new() } else { format!(", {}", leaves.date().short()) };
    format!("the {} run{date}", leaves.clock())
}

/// A row of the book's extras as the plan takes it.
pub struct Owed<'p> {
    /// As the book has it.
    pub extra: &'p Extra,
    /// Whom it is for.
    pub owner: OwnerId,
    /// When it is needed; none where it is set aside with its unit.
    pub need: Option<Moment>,
}

/// All extras, in sheet order.
pub fn owed<'p>(plan: &'p Plan<'p>) -> Vec<Owed<'p>> {
    let rows = plan.plant.extras.iter().zip(&plan.pace.extra_owners);
    rows.map(|(extra, &owner)| {
        let unit = plan.pace.owners[owner.at()].unit.filter(|_| plan.pace.owners[owner.at()].planned);
        let need = extra.needed.or_else(|| plan.pace.need(plan.plant, unit?, extra.to));
        Owed { extra, owner, need }
    })
    .collect()
}

/// Why something is pulled that no bill asks for.
pub struct Reasons<'p>(BTreeMap<(PartId, DestId, OwnerId, Moment), Vec<&'p str>>);

impl<'p> Reasons<'p> {
    /// Of all extras.
    pub fn of(plan: &'p Plan<'p>) -> Self {
        let mut reasons: BTreeMap<_, Vec<&'p str>> = BTreeMap::new();
        for owed in owed(plan) {
            let Some(need) = owed.need else { continue };
            let reason = if owed.extra.reason.is_empty() { "extra" } else { &owed.extra.reason };
            reasons.entry((owed.extra.part, owed.extra.to, owed.owner, need)).or_default().push(reason);
        }
        Self(reasons)
    }

    /// The reasons behind a pull; none for what only bills ask for.
    pub fn behind(&self, picked: &Picked) -> Vec<&'p str> {
        if self.0.is_empty() {
            return Vec::new();
        }
        let demands = picked.demands.iter();
        let found = demands.filter_map(|demand| self.0.get(&(demand.part, demand.to, demand.owner, demand.need)));
        found.flatten().copied().collect()
    }
}
