//! The parts: bulk ones, those of a station, those of a floorplan, those of a shop, and what shops make.

use crate::model::{Part, Source, Wanted};
use crate::names::{FEEDING, SHOPS, SLIDES, STATIONS, WALLS};
use fastrand::Rng;
use std::ops::Range;

pub const BULK: usize = 400;
pub const COMMON: usize = 112;
pub const SPECIFIC: usize = 3_000;
pub const OF_SHOP: usize = 125;
pub const BOUGHT: usize = 8_000;
/// Make parts of one floorplan alone, of several, and those below others.
pub const OWN: usize = 4;
const SHARED: usize = 60;
const SUBS: usize = 60;

/// Where the numbers of the parts lie.
pub struct Ranges {
    pub common: Range<usize>,
    pub specific: Range<usize>,
    pub of_shops: Range<usize>,
    pub own: Range<usize>,
    pub shared: Range<usize>,
    pub subs: Range<usize>,
    pub own_each: usize,
}

pub fn ranges(floorplans: usize) -> Ranges {
    let common = BULK..BULK + COMMON * STATIONS.len();
    let specific = common.end..common.end + SPECIFIC;
    let of_shops = specific.end..specific.end + OF_SHOP * SHOPS.len();
    let own_each = (80 / floorplans).clamp(1, OWN);
    let own = BOUGHT..BOUGHT + own_each * floorplans;
    let shared = own.end..own.end + SHARED;
    let subs = shared.end..shared.end + SUBS;
    Ranges { common, specific, of_shops, own, shared, subs, own_each }
}

pub fn parts(wanted: &Wanted, rng: &mut Rng) -> Vec<Part> {
    let ranges = ranges(wanted.floorplans);
    let bought = (0..BOUGHT).map(|n| if n < BULK { bulk(wanted, n, rng) } else { bought(n, rng) });
    let mut parts: Vec<Part> = bought.collect();
    parts.extend(ranges.own.clone().map(|n| make(n, own_shop(n - ranges.own.start, ranges.own_each), rng)));
    parts.extend(ranges.shared.clone().map(|n| make(n, n % FEEDING, rng)));
    parts.extend(ranges.subs.clone().map(|n| make(n, sub_shop(n - ranges.subs.start), rng)));
    parts
}

/// The first of a floorplan's own make parts is a wall, the second a slide box.
fn own_shop(n: usize, each: usize) -> usize {
    match n % each {
        0 => WALLS,
        1 => SLIDES,
        _ => n * 5 % FEEDING,
    }
}

/// Two of three come from the shops that feed shops.
pub fn sub_shop(n: usize) -> usize {
    if n.is_multiple_of(3) { n / 3 % FEEDING } else { FEEDING + n % 2 }
}

pub fn blank(code: String, source: Source) -> Part {
    Part { code, uom: "ea", source, setup: 0.0, minutes: 0.0, issue: "kit", pack: 0.0, bill: Vec::new() }
}

fn bulk(wanted: &Wanted, n: usize, rng: &mut Rng) -> Part {
    let uom = match n % 20 {
        0 => "kg",
        1 => "l",
        2 if wanted.full => "sheet",
        _ => "ea",
    };
    let pack = if uom == "ea" { [250.0, 500.0, 1000.0][rng.usize(..3)] } else { 20.0 };
    Part { uom, issue: "bulk", pack, ..blank(format!("FIX-{n:04}"), Source::Buy) }
}

fn bought(n: usize, rng: &mut Rng) -> Part {
    let uom = if rng.u32(..100) < 6 { "ft" } else { "ea" };
    let issue = if rng.u32(..100) < 12 { "sequence" } else { "kit" };
    let family = ["FRM", "PIP", "CLP", "TRM", "PNL", "LMP", "SEA", "HDW", "GLZ", "WIR"][n % 10];
    Part { uom, issue, ..blank(format!("{family}-{n:04}"), Source::Buy) }
}

fn make(n: usize, shop: usize, rng: &mut Rng) -> Part {
    let code = format!("{}-{n:04}", &SHOPS[shop][..4]);
    let (setup, minutes) = (1.0 + rng.f64() * 3.0, 4.0 + rng.f64() * 16.0);
    Part { setup, minutes, ..blank(code, Source::Make(shop)) }
}
