//! What leaves the stores with each wave: kits and sequenced parts by unit, bulk parts by pack.
//!
//! Rules `kit-rows`, `bulk-packs`, `pull-states`.

use std::collections::BTreeMap;

use super::numbers::{Millionths, round_up, round_up_to};
use super::plant::Part;
use super::sheets::Key;
use super::stock::Lying;
use super::supply::{Cover, Peg};
use super::wants::{DemandKey, View};
use super::waves::{Wave, wave_before};

/// How a pull stands, the best first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    Ready,
    Arriving,
    SpecialRun,
    Late,
    Short,
}

#[derive(Clone, Debug)]
pub struct Pull {
    pub wave: Wave,
    pub part: Key,
    pub to: Key,
    /// Nobody for bulk parts.
    pub rank: Option<usize>,
    pub qty: Millionths,
    pub need: i64,
    pub standing: Standing,
}

/// What is pulled for one demand.
struct Portion {
    demand: DemandKey,
    qty: Millionths,
    wave: Wave,
    standing: Standing,
}

pub fn pulls(view: &View, pegs: &[Peg]) -> Vec<Pull> {
    let mut pulls = Vec::new();
    for (key, part) in &view.plant.parts {
        let of_part: Vec<&Peg> = pegs.iter().filter(|peg| peg.demand.part == *key).collect();
        let portions = portions(view, &of_part);
        pulls.extend(match part.issue.as_str() {
            "bulk" => in_packs(part, &portions),
            _ => by_unit(part, &portions),
        });
    }
    pulls
}

/// What is pulled of each demand, in the order of the demands.
fn portions(view: &View, pegs: &[&Peg]) -> Vec<Portion> {
    let mut portions: Vec<Portion> = Vec::new();
    for peg in pegs.iter().filter(|peg| is_pulled(peg)) {
        let wave = wave_before(view.plant, peg.demand.need);
        let standing = standing(peg, &wave);
        match portions.last_mut() {
            Some(last) if last.demand == peg.demand => {
                last.qty += peg.qty;
                last.standing = last.standing.max(standing);
            }
            _ => {
                let demand = peg.demand.clone();
                portions.push(Portion { demand, qty: peg.qty, wave, standing });
            }
        }
    }
    portions
}

fn is_pulled(peg: &Peg) -> bool {
    !matches!(peg.cover, Cover::ByProduct | Cover::Job(_) | Cover::Lying(Lying::Lineside))
}

fn standing(peg: &Peg, wave: &Wave) -> Standing {
    match (&peg.cover, peg.available) {
        (Cover::Nothing, _) => Standing::Short,
        (_, None) => Standing::Ready,
        (_, Some(available)) if available <= wave.pick_start => Standing::Arriving,
        (_, Some(available)) if available <= peg.demand.need => Standing::SpecialRun,
        _ => Standing::Late,
    }
}

/// One row per wave, part, destination and unit.
fn by_unit(part: &Part, portions: &[Portion]) -> Vec<Pull> {
    let mut rows: BTreeMap<(Wave, Key, usize), Pull> = BTreeMap::new();
    for portion in portions {
        let rank = portion.demand.rank;
        let place = (portion.wave, portion.demand.to.clone(), rank);
        let row = rows.entry(place).or_insert_with(|| pull(portion, Some(rank)));
        add(row, portion, portion.qty);
    }
    let mut rows: Vec<Pull> = rows.into_values().collect();
    rows.iter_mut().for_each(|row| row.qty = round_up(row.qty, part.decimals));
    rows
}

/// One row per wave, part and destination, for the demands that what is open does not serve.
fn in_packs(part: &Part, portions: &[Portion]) -> Vec<Pull> {
    let mut open: BTreeMap<Key, Millionths> = BTreeMap::new();
    let mut rows: BTreeMap<(Wave, Key), Pull> = BTreeMap::new();
    for portion in portions {
        let open = open.entry(portion.demand.to.clone()).or_default();
        if *open < portion.qty {
            let packs = whole_packs(part, portion.qty - *open);
            let place = (portion.wave, portion.demand.to.clone());
            add(rows.entry(place).or_insert_with(|| pull(portion, None)), portion, packs);
            *open += packs;
        }
        *open -= portion.qty;
    }
    rows.into_values().collect()
}

fn whole_packs(part: &Part, missing: Millionths) -> Millionths {
    match part.pack {
        Some(pack) => round_up_to(missing, pack),
        None => round_up(missing, part.decimals),
    }
}

/// A row that has only begun.
fn pull(portion: &Portion, rank: Option<usize>) -> Pull {
    Pull {
        wave: portion.wave,
        part: portion.demand.part.clone(),
        to: portion.demand.to.clone(),
        rank,
        qty: 0,
        need: portion.demand.need,
        standing: Standing::Ready,
    }
}

fn add(row: &mut Pull, portion: &Portion, qty: Millionths) {
    row.qty += qty;
    row.need = row.need.min(portion.demand.need);
    row.standing = row.standing.max(portion.standing);
}
