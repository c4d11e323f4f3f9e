//! Bill weight against the scale in words: the verdict, each floorplan, what could explain an odd unit.

use crate::base::{FloorplanId, NameId, Total, count};
use crate::plan::Plan;
use crate::report::prose::{Prose, few, list};
use crate::weigh::{LEAST_UNITS, OfFloorplan, OfUnit, Shared, Weights};
use itertools::Itertools;

/// The caution wherever weights are added up.
pub const CAUTION: &str = "A sum of part weights is a check of a bill, never a unit's, axle's or tongue's weight: the scale and the \
certification label govern. Bills hold what is bought and lost on the way, not what is on a unit: so each floorplan is compared \
with itself.";

/// How a unit is found odd.
pub const HOW: &str = "The difference is scale less bill. A unit is odd where its difference lies further from the median difference \
of its floorplan than 3.5 times 1.4826 times the median of all such distances (modified z-score, Iglewicz and Hoaglin 1993).";

/// So many odd units are told.
const ODD: usize = 10;
/// So many of the next units are told.
const NEXT: usize = 10;
/// So many parts without a weight are named.
const PARTS: usize = 5;

/// Kilograms to a tenth, halves away from nothing.
pub fn kg(weight: Total) -> String {
    let tenth = 100_000;
    let rounded = (weight.millionths().abs() + tenth / 2) / tenth * tenth;
    Total::from_millionths(if weight < Total::ZERO { -rounded } else { rounded }).to_string()
}

/// `12.5 kg more`, `3 kg less`.
pub fn more_or_less(weight: Total) -> String {
    let away = Total::from_millionths(weight.millionths().abs());
    format!("{} kg {}", kg(away), if weight < Total::ZERO { "less" } else { "more" })
}

/// A floorplan's code.
pub fn floorplan<'p>(plan: &Plan<'p>, id: FloorplanId) -> &'p str {
    &plan.plant.floorplans[id.at()].code
}

/// All that is told at a terminal.
pub fn text(plan: &Plan<'_>, weights: &Weights) -> String {
    let mut prose = Prose::default();
    prose.line(0, &verdict(plan, weights));
    if weights.floorplans.iter().any(|of| of.weighed > 0) {
        prose.heading("Floorplans");
        for of in &weights.floorplans {
            prose.line(2, &of_floorplan(plan, of));
        }
    }
    let odd = weights.odd();
    if !odd.is_empty() {
        prose.heading("Odd");
        for unit in odd.iter().take(ODD) {
            prose.line(2, &of_odd(plan, weights, unit));
            for reason in because(plan, weights, unit) {
                prose.line(4, &reason);
            }
        }
        if odd.len() > ODD {
            prose.line(2, &format!("and {} more: --out FILE.xlsx has them all", odd.len() - ODD));
        }
    }
    next(plan, weights, &mut prose);
    prose.heading(CAUTION);
    prose.done()
}

/// How many were weighed, and how many are odd.
pub fn verdict(plan: &Plan<'_>, weights: &Weights) -> String {
    let code = |unit: crate::base::UnitId| plan.plant.units[unit.at()].code.clone();
    if plan.plant.weighed.is_empty() {
        return "The book has no weight of a finished unit that can be compared (table Scale).".to_owned();
    }
    let weighed = weights.units.len();
    let odd = weights.odd();
    let mut text = match odd.as_slice() {
        [] => format!("{} weighed, none of them odd", count(weighed, "unit", "units")),
        odd => {
            let named = few(odd.iter().map(|unit| code(unit.row.unit)), ODD);
            format!("{} weighed, {} odd: {named}", count(weighed, "unit", "units"), odd.len())
        }
    };
    let few_of = weights.floorplans.iter().filter(|of| of.spread.is_none()).map(|of| of.weighed).sum::<usize>();
    if few_of > 0 {
        text += &format!("; {few_of} of a floorplan with fewer than {LEAST_UNITS} weights, of which nothing is said");
    }
    if !weights.without_bill.is_empty() {
        let codes = few(weights.without_bill.iter().map(|unit| code(*unit)), ODD);
        text += &format!("; not compared, since their order is wrong: {codes}");
    }
    text + "."
}

/// What is known of a floorplan.
fn of_floorplan(plan: &Plan<'_>, of: &OfFloorplan) -> String {
    let code = floorplan(plan, of.floorplan);
    match of.spread {
        Some(spread) => format!(
            "{code}: {} weighed; the scale shows {} than the bill (median); odd beyond {} kg from that",
            of.weighed,
            more_or_less(spread.median()),
            kg(spread.limit())
        ),
        None => format!("{code}: {} weighed; nothing is said of fewer than {LEAST_UNITS}", of.weighed),
    }
}

fn of_odd(plan: &Plan<'_>, weights: &Weights, unit: &OfUnit) -> String {
    let code = &plan.plant.units[unit.row.unit.at()].code;
    let spread = weights.spread(unit.floorplan);
    let off = spread.map(|spread| spread.off(unit.difference)).unwrap_or_default();
    let score = spread.and_then(|spread| spread.score(unit.difference));
    let score = score.map(|score| format!(", score {}", hundredths(score))).unwrap_or_default();
    format!(
        "{code}, a {}: {} than its floorplan's median difference{score} (scale {} kg, bill {} kg)",
        floorplan(plan, unit.floorplan),
        more_or_less(off),
        kg(unit.scale().into()),
        kg(unit.bill.kilograms)
    )
}

/// A number of hundredths with two decimals.
pub fn hundredths(number: i128) -> String {
    let sign = if number < 0 { "-" } else { "" };
    let number = number.unsigned_abs();
    format!("{sign}{}.{:02}", number / 100, number % 100)
}

/// What could explain an odd unit; that nothing in the book does, too.
pub fn because(plan: &Plan<'_>, weights: &Weights, unit: &OfUnit) -> Vec<String> {
    let plant = plan.plant;
    let mut reasons = Vec::new();
    let of = weights.floorplan(unit.floorplan);
    let heavy = of.spread.is_some_and(|spread| spread.off(unit.difference) > Total::ZERO);
    let shared = if heavy { &of.heavy } else { &of.light };
    reasons.extend(shares(plan, shared));
    let unknown = weights.unknown(unit);
    let own = unknown.iter().filter(|(_, _, others)| *others == 0);
    let own = own.map(|(part, ..)| plant.part(*part).code.clone()).collect_vec();
    if !own.is_empty() {
        let what = "parts without a weight that no other weighed unit of its floorplan has";
        reasons.push(format!("{what}: {}", few(own.into_iter(), PARTS)));
    }
    if !unknown.is_empty() && reasons.is_empty() {
        let parts = count(unknown.len(), "part without a weight", "parts without a weight");
        let named = few(unknown.iter().map(|(part, ..)| plant.part(*part).code.clone()), PARTS);
        reasons.push(format!("{parts}, all of them on other units too: {named}"));
    }
    if !unit.unclear.is_empty() {
        let codes = unit.unclear.iter().map(|change| plant.changes[change.at()].code.clone()).collect_vec();
        reasons.push(format!(
            "whether it was built before or behind {} is not known: its row of the sequence has no start",
            list(&codes)
        ));
    }
    if unit.row.earlier > 0 {
        reasons.push(format!("weighed {} times; the last weight counts", unit.row.earlier + 1));
    }
    if reasons.is_empty() {
        reasons.push("nothing in the book explains it: weigh again, then look at what is on the unit".to_owned());
    }
    reasons
}

/// What the odd units of a floorplan on one side share: all that is told holds for each of them.
fn shares(plan: &Plan<'_>, shared: &Shared) -> Vec<String> {
    let codes = |options: &[NameId]| {
        let named = options.iter().map(|option| {
            let choice = &plan.plant.options[option.at()];
            crate::report::prose::named(&choice.code, &choice.name)
        });
        few(named, PARTS)
    };
    let have = (!shared.have.is_empty()).then(|| format!("no unit that is not odd has {}", codes(&shared.have)));
    let lack = (!shared.lack.is_empty()).then(|| format!("every unit that is not odd has {}", codes(&shared.lack)));
    have.into_iter().chain(lack).collect()
}

fn next(plan: &Plan<'_>, weights: &Weights, prose: &mut Prose) {
    let known = weights.next.iter().filter_map(|next| Some((next, weights.spread(next.floorplan)?))).collect_vec();
    if known.is_empty() {
        return;
    }
    prose.heading("What the scale should show for the next units, and from what to what none would be odd");
    for (next, spread) in known.iter().take(NEXT) {
        let [middle, least, most] = next.expected(*spread).map(kg);
        let code = &plan.plant.units[next.unit.at()].code;
        prose.line(2, &format!("{code}, a {}: {middle} kg ({least} to {most})", floorplan(plan, next.floorplan)));
    }
    let more = weights.next.len() + weights.more - known.len().min(NEXT);
    if more > 0 {
        let first = weights.next.len();
        prose.line(2, &format!("and {more} more: the sheet 'next units' (--out FILE.xlsx) has the first {first}"));
    }
}
