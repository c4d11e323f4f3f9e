//! Delivery runs: with which wave a demand goes, and when it is picked.
//!
//! Rule `delivery-runs`.

use super::clock::{DAY, day_of};
use super::plant::Plant;
use super::plant::Source;
use super::shops::Run;

/// So far back a wave is looked for.
const DAYS_BACK: i64 = 60;

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Wave {
    pub clock: i64,
    pub pick_start: i64,
}

/// The last wave at or before a need.
pub fn wave_before(plant: &Plant, need: i64) -> Wave {
    let today = day_of(need);
    let mut days = (today - DAYS_BACK..=today).rev();
    let latest = days.find_map(|day| {
        let waves = waves_on(plant, day).into_iter().filter(|(clock, _)| *clock <= need);
        waves.max_by_key(|(clock, _)| *clock)
    });
    let (clock, pick) = latest.expect("a wave in two months");
    let stores = plant.stores();
    Wave { clock, pick_start: stores.starts(stores.worked(clock) - pick) }
}

/// The waves of a date, each with the seconds that picking takes.
fn waves_on(plant: &Plant, day: i64) -> Vec<(i64, i64)> {
    let stores = plant.stores();
    if plant.waves.is_empty() {
        return stores.first_moment(day).map(|clock| (clock, 0)).into_iter().collect();
    }
    let times = plant.waves.iter().map(|wave| (day * DAY + wave.time, wave.pick));
    times.filter(|(clock, _)| stores.works_or_has_just_stopped(*clock)).collect()
}

/// Takes out what has left the stores already: bought parts of earlier waves, extras never.
pub fn drop_delivered(plant: &Plant, run: &mut Run) {
    let Some(delivered_to) = plant.settings.delivered_to else {
        return;
    };
    run.wants.retain(|want| {
        let is_bought = plant.parts[&want.demand.part].source == Source::Buy;
        !is_bought || want.is_extra || wave_before(plant, want.demand.need).clock > delivered_to
    });
}
