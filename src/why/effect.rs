//! What the part's missing pieces do to the line, as the plan has it.

use super::asked::Asked;
use super::facts::EffectFacts;
use crate::base::{OwnerId, PartId};
use crate::check::DestKind;
use crate::plan::words::{dest_code, outcome_word};
use crate::plan::{self, Consequence, Outlook, There};
use itertools::Itertools;

/// Of one unit's part.
pub fn effects(asked: &Asked<'_>, part: PartId) -> Vec<EffectFacts> {
    let plan = asked.plan;
    let owners = plan.pace.owners.iter().positions(|owner| owner.unit == Some(asked.unit));
    let owners: Vec<OwnerId> = owners.map(OwnerId::of).collect();
    let outlook = Outlook::of(plan);
    let own = owners.iter().flat_map(|owner| outlook.consequences_for(part, *owner));
    let at_shops: Vec<Consequence> = owners.iter().flat_map(|owner| outlook.consequences_at_shops(*owner)).collect();
    own.map(|row| {
        let below = at_shops.iter().filter(|other| {
            other.part != part
                && (other.arrives, other.outcome, other.stop_minutes) == (row.arrives, row.outcome, row.stop_minutes)
        });
        EffectFacts {
            to: dest_code(plan, row.to).to_owned(),
            at_shop: matches!(plan.plant.dest(row.to).what, DestKind::Shop(_)),
            qty: row.qty,
            arrives: row.arrives,
            there: match row.there {
                There::At(at) => Some(at),
                There::Unknown => None,
            },
            what: outcome_word(row.outcome),
            stop_minutes: row.stop_minutes,
            adds_seconds: plan.adds_seconds(&row),
            behind: plan.behind(&row).map(|owner| plan.pace.owners[owner.at()].code.clone()),
            saves_until: row.saves_until,
            hand_over_at: row.hand_over_at.map(|station| dest_code(plan, station).to_owned()),
            left: plan::left_behind(plan, row.owner, row.to, row.part).map(|at| dest_code(plan, at).to_owned()),
            because: below
                .map(|other| format!("{} at {}", plan.plant.part(other.part).code, dest_code(plan, other.to)))
                .collect(),
        }
    })
    .collect()
}
