//! Walks: what one picker does on one cart. Which stops belong to one walk, and what is not there when it begins.

use super::day::{Missing, Picked};
use super::tour::KitKey;
use super::walk::{Stop, same_zone, zone};
use super::words::dest_order;
use crate::base::{Seconds, fold};
use crate::plan::Plan;
use crate::waves::DeliveryRun;
use itertools::Itertools;
use std::collections::{BTreeMap, HashMap, HashSet};

/// A walk has at least so many stops, a page and a half or two, where its zones have: smaller zones are walked together.
const FEW: usize = 120;

/// What one picker does on one cart.
pub struct Walk<'a> {
    /// Its number among those of its run, from 1.
    pub number: usize,
    /// The zones it goes through.
    pub zones: Vec<String>,
    /// The how manieth of how many carts through these zones it is.
    pub cart: (usize, usize),
    /// Its stops, in the order in which they are walked.
    pub stops: Vec<Stop<'a>>,
    /// The kits on its cart, by their places on it, in line order.
    pub kits: Vec<KitKey>,
    /// What is not there when it is picked, of the parts that lie in its zones.
    pub waits: Vec<(&'a Picked, &'a Missing)>,
}

/// What a cart takes at most.
#[derive(Clone, Copy, Debug, Default)]
struct Most {
    kits: Option<usize>,
    stops: Option<usize>,
}

impl Walk<'_> {
    /// The place of a kit on the cart, from 1; none of what the cart does not bring.
    pub fn place(&self, plan: &Plan<'_>, kit: KitKey) -> Option<usize> {
        let order = |kit: &KitKey| (dest_order(plan, kit.to), kit.owner);
        self.kits.binary_search_by_key(&order(&kit), order).ok().map(|at| at + 1)
    }

    /// `A, B`, or `H, cart 2 of 3`.
    pub fn zones(&self) -> String {
        let named = |zone: &String| if zone.is_empty() { "no location".to_owned() } else { zone.clone() };
        let zones = self.zones.iter().map(named).join(", ");
        match self.cart {
            (_, 1) => zones,
            (cart, carts) => format!("{zones}, cart {cart} of {carts}"),
        }
    }
}

/// The walks of a run: whole zones, small ones together, cut where a cart takes fewer kits or the picking time fewer stops. What is not
/// there stands with the zone of its part, or else last.
pub fn walks<'a>(plan: &Plan<'_>, run: Option<DeliveryRun>, stops: &[Stop<'a>], picked: &'a [Picked]) -> Vec<Walk<'a>> {
    let most = most(plan, run);
    let mut walks: Vec<Walk<'a>> = Vec::new();
    for (zones, stops) in together(stops) {
        let carts = carts(stops, most);
        let of = carts.len();
        for (cart, stops) in (1..).zip(carts) {
            let number = walks.len() + 1;
            let kits = kits_of(plan, &stops);
            walks.push(Walk { number, zones: zones.clone(), cart: (cart, of), stops, kits, waits: Vec::new() });
        }
    }
    add_waits(plan, &mut walks, picked);
    walks
}

/// The kits for which something is taken, in line order.
fn kits_of(plan: &Plan<'_>, stops: &[Stop<'_>]) -> Vec<KitKey> {
    let takes = stops.iter().flat_map(|stop| &stop.takes);
    let kits: HashSet<KitKey> = takes.filter_map(|(picked, _)| KitKey::of(&picked.pull)).collect();
    kits.into_iter().sorted_by_key(|kit| (dest_order(plan, kit.to), kit.owner)).collect()
}

/// What the plant says about its carts and its pickers; what it does not say sets no limit.
fn most(plan: &Plan<'_>, run: Option<DeliveryRun>) -> Most {
    let plant = plan.plant;
    let stops = plant.seconds_a_stop.zip(run).map(|(seconds, run)| (picking_time(plan, run) / seconds).max(1) as usize);
    Most { kits: plant.kits_a_cart.map(|kits| kits as usize), stops }
}

/// How long a run is picked, in the stores' working seconds.
pub fn picking_time(plan: &Plan<'_>, run: DeliveryRun) -> Seconds {
    let stores = plan.plant.stores_calendar();
    stores.worked(run.leaves) - stores.worked(run.picked)
}

/// Zones in the order in which they are walked, small ones with those behind them.
fn together<'s, 'a>(stops: &'s [Stop<'a>]) -> Vec<(Vec<String>, &'s [Stop<'a>])> {
    let mut parts: Vec<(Vec<String>, usize, usize)> = Vec::new();
    let mut first = 0;
    for of_zone in stops.chunk_by(|a, b| same_zone(a.place, b.place)) {
        let (next, name) = (first + of_zone.len(), zone(of_zone[0].place));
        let last = next == stops.len() && of_zone.len() < FEW;
        match parts.last_mut().filter(|(_, from, until)| until - from < FEW || last) {
            Some((names, _, until)) => {
                names.push(name);
                *until = next;
            }
            None => parts.push((vec![name], first, next)),
        }
        first = next;
    }
    parts.into_iter().map(|(names, from, until)| (names, &stops[from..until])).collect()
}

/// The same stops on as many carts as it takes: first by kits, those that are needed first on the first cart, then by stops.
fn carts<'a>(stops: &[Stop<'a>], most: Most) -> Vec<Vec<Stop<'a>>> {
    let by_kits = match most.kits {
        None => vec![stops.to_vec()],
        Some(kits) => by_kits(stops, kits.max(1)),
    };
    let cut = |stops: Vec<Stop<'a>>| match most.stops {
        None => vec![stops],
        Some(most) => {
            let parts = stops.len().div_ceil(most).max(1);
            stops.chunks(stops.len().div_ceil(parts).max(1)).map(<[Stop<'a>]>::to_vec).collect()
        }
    };
    by_kits.into_iter().flat_map(cut).collect()
}

/// So many kits a cart at most, as even as can be; what is for no kit goes with the first.
fn by_kits<'a>(stops: &[Stop<'a>], most: usize) -> Vec<Vec<Stop<'a>>> {
    let mut needs: BTreeMap<KitKey, crate::base::Moment> = BTreeMap::new();
    for (picked, _) in stops.iter().flat_map(|stop| &stop.takes) {
        let Some(kit) = KitKey::of(&picked.pull) else { continue };
        let need = needs.entry(kit).or_insert(picked.pull.need);
        *need = picked.pull.need.min(*need);
    }
    let kits = needs.into_iter().sorted_by_key(|(kit, need)| (*need, *kit)).map(|(kit, _)| kit).collect_vec();
    let carts = kits.len().div_ceil(most).max(1);
    let each = kits.len().div_ceil(carts).max(1);
    let cart_of: HashMap<KitKey, usize> = kits.into_iter().enumerate().map(|(at, kit)| (kit, at / each)).collect();
    let cart = |picked: &Picked| KitKey::of(&picked.pull).map_or(0, |kit| cart_of[&kit]);
    let of_cart = |number: usize| {
        let own = |stop: &Stop<'a>| {
            let takes = stop.takes.iter().filter(|(picked, _)| cart(picked) == number).copied().collect_vec();
            (!takes.is_empty()).then(|| Stop { takes, ..stop.clone() })
        };
        stops.iter().filter_map(own).collect_vec()
    };
    (0..carts).map(of_cart).filter(|stops| !stops.is_empty()).collect()
}

/// Puts what is not there to a walk through the zone of its part, to the one that brings more of its kit where there are several.
fn add_waits<'a>(plan: &Plan<'_>, walks: &mut Vec<Walk<'a>>, picked: &'a [Picked]) {
    let missing = picked.iter().flat_map(|picked| picked.missing.iter().map(move |missing| (picked, missing)));
    let missing = missing.collect_vec();
    if walks.is_empty() && !missing.is_empty() {
        let (zones, stops, kits) = (Vec::new(), Vec::new(), Vec::new());
        walks.push(Walk { number: 1, zones, cart: (1, 1), stops, kits, waits: Vec::new() });
    }
    let mut through: HashMap<String, Vec<usize>> = HashMap::new();
    for (at, walk) in walks.iter().enumerate() {
        walk.zones.iter().for_each(|zone| through.entry(fold(zone)).or_default().push(at));
    }
    for (picked, missing) in missing {
        let lies = fold(&zone(&plan.plant.part(picked.pull.part).location));
        let own = through.get(&lies).map_or(&[][..], Vec::as_slice);
        let brings = |at: &&usize| KitKey::of(&picked.pull).is_some_and(|kit| walks[**at].place(plan, kit).is_some());
        let at = own.iter().find(brings).or(own.first()).copied().unwrap_or(walks.len() - 1);
        walks[at].waits.push((picked, missing));
    }
}
