//! The build sequence: a levelled mix of floorplans, each unit with a drawn order that is right.

use crate::layout::{LINE, POSITIONS, station_at};
use crate::model::{Book, PLANS, Unit};
use crate::options::{OPTIONS, offer, offers, single_group};
use crate::orders::{is_standard, resolve};
use crate::tune::{SWAP_PERCENT, UNITS_AHEAD, UNITS_DONE};
use fastrand::Rng;

/// The mix of ten units, as places in `PLANS`.
const MIX: [usize; 10] = [1, 2, 3, 0, 1, 2, 1, 3, 2, 0];

/// Chances in a hundred that what is not standard is ordered; with `-` that a standard is taken away.
const CHANCES: [(&str, u32); 35] = [
    ("HEATHER", 12),
    ("MOSS", 22),
    ("SAND", 26),
    ("DUSK", 22),
    ("GREY", 24),
    ("FERN", 16),
    ("ALLOY", 40),
    ("FR90", 14),
    ("FR140", 30),
    ("FR190", 10),
    ("HOB4", 24),
    ("AC", 36),
    ("ACHEAT", 12),
    ("AWNE", 12),
    ("AWN", 22),
    ("TV24", 26),
    ("TV32", 16),
    ("BATTLI", 12),
    ("SOL1", 22),
    ("SOL2", 8),
    ("SLIDE", 85),
    ("SLIDER", 60),
    ("MIC", 24),
    ("OVEN", 18),
    ("JACKE", 12),
    ("TANKH", 8),
    ("OUTSH", 9),
    ("BIKE", 12),
    ("FLOORI", 9),
    ("COLD", 11),
    ("TOUR", 16),
    ("-SLIDE", 5),
    ("-AC", 8),
    ("-AWN", 6),
    ("-MIC", 4),
];

/// The position that stands empty, since its unit was pulled off the line.
const EMPTY_POSITION: i64 = 11;
/// Of the units ahead, which has an empty carrier before it.
const GAP_BEFORE: usize = 71;
/// Units on the line whose next position has its material already.
const ISSUED_ONE_ON: [i64; 3] = [4, 9, 16];

/// Positions whose units entered on the as-of day.
const MOVES_TODAY: i64 = 16;

/// Draws all units in their order.
pub fn draw(book: &mut Book, rng: &mut Rng) {
    let on_line = POSITIONS as usize;
    let plans = mix(UNITS_DONE + on_line + UNITS_AHEAD, rng);
    let mut moves = 0;
    for (n, plan) in plans.into_iter().enumerate() {
        let (ordered, names) = order(plan, rng);
        let number = 3410 + n as i64;
        let mut unit =
            Unit { code: format!("AF{number}"), seq: 10 * (n as i64 + 1), plan, ordered, names, ..Unit::default() };
        if n < UNITS_DONE {
            unit.done = true;
        } else if n < UNITS_DONE + on_line {
            stand(&mut unit, POSITIONS - (n - UNITS_DONE) as i64);
        } else {
            let ahead = n - UNITS_DONE - on_line;
            unit.gap = i64::from(ahead == GAP_BEFORE);
            moves += 1 + unit.gap;
            unit.entry = moves;
        }
        book.units.push(unit);
    }
}

/// Puts a unit at its position; the one of the empty position is held beside the line.
fn stand(unit: &mut Unit, position: i64) {
    unit.entry = 1 - position;
    if position == EMPTY_POSITION {
        unit.hold = "floor damp under the washroom, to dry";
        return;
    }
    unit.at = station_at(position);
    unit.start = if position <= MOVES_TODAY { "2027-09-13" } else { "2027-09-10" };
    if ISSUED_ONE_ON.contains(&position) {
        unit.issued = station_at(position + 1);
    }
}

pub fn mix(count: usize, rng: &mut Rng) -> Vec<usize> {
    let mut plans: Vec<usize> = MIX.iter().copied().cycle().take(count).collect();
    for n in 1..count {
        if rng.u32(0..100) < SWAP_PERCENT {
            plans.swap(n - 1, n);
        }
    }
    plans
}

/// An order drawn until it is right, and all names true for its unit.
pub fn order(plan: usize, rng: &mut Rng) -> (Vec<String>, std::collections::BTreeSet<String>) {
    loop {
        let ordered = wish(plan, rng);
        if let Some(names) = resolve(plan, &ordered, LINE) {
            return (ordered, names);
        }
    }
}

fn wish(plan: usize, rng: &mut Rng) -> Vec<String> {
    let code = PLANS[plan].0;
    let mut ordered: Vec<String> = Vec::new();
    for (text, percent) in CHANCES {
        let hit = rng.u32(0..100) < percent;
        let option = text.trim_start_matches('-');
        let standard = offers().iter().any(|row| row.1 == option && is_standard(code, row));
        let wanted = if text.starts_with('-') { standard } else { !standard && offer(code, text) != "not offered" };
        let group = single_group(option);
        let taken = group.is_some() && ordered.iter().any(|o| single_group(o) == group);
        if hit && wanted && !taken {
            ordered.push(text.to_string());
        }
    }
    debug_assert!(ordered.iter().all(|o| OPTIONS.iter().any(|row| row.0 == o.trim_start_matches('-'))));
    ordered
}
