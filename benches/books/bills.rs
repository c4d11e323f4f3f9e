//! The bills: about three thousand active lines for a unit, a third of them below what shops make.

use crate::model::{Floorplan, Line, Part, Source, Wanted};
use crate::names::{BIRDS, FIRST_FED, STATIONS};
use crate::options::Catalogue;
use crate::parts::{BULK, COMMON, OF_SHOP, Ranges, ranges, sub_shop};
use crate::when::When;
use fastrand::Rng;

/// Lines of a station before conditions, about.
const AT_STATION: usize = 100;
/// Lines of a make part before conditions, about.
const IN_MAKE: usize = 35;
/// Lines in a hundred that are unconditional.
const ALWAYS: u32 = 65;
/// Shared make parts on a floorplan.
const SHARED_EACH: usize = 14;

/// What draws bill lines.
pub struct Bills<'a> {
    pub wanted: &'a Wanted,
    pub catalogue: &'a Catalogue,
    pub ranges: Ranges,
    pub rng: &'a mut Rng,
}

impl<'a> Bills<'a> {
    pub fn new(wanted: &'a Wanted, catalogue: &'a Catalogue, rng: &'a mut Rng) -> Self {
        Self { wanted, catalogue, ranges: ranges(wanted.floorplans), rng }
    }

    fn when(&mut self) -> When {
        if self.rng.u32(..100) < ALWAYS { When::Always } else { When::draw(self.catalogue, self.rng) }
    }

    /// A line for a bought part, in its own unit of measure or, in the full book, another.
    pub fn bought(&mut self, parts: &[Part], part: usize, station: Option<usize>) -> Line {
        let own = &parts[part];
        let rng = &mut *self.rng;
        let pieces = [1, 1, 1, 1, 1, 1, 1, 2, 2, 5][rng.usize(..10)];
        let measured = rng.u32(2..80) as f64 / 4.0;
        let (qty, uom) = match (own.uom, own.issue) {
            ("ea", "bulk") => (rng.u32(2..25) as f64, "ea"),
            ("ea", _) => (f64::from(pieces), "ea"),
            ("sheet", _) => (measured, "sqft"),
            ("ft", _) if self.wanted.full && rng.bool() => (measured * 12.0, "in"),
            ("kg" | "l", _) => (measured / 10.0, own.uom),
            _ => (measured, own.uom),
        };
        let scrap = if own.uom != "ea" && rng.bool() { rng.u32(1..9) as f64 / 100.0 } else { 0.0 };
        let when = self.when();
        Line { part, qty, uom, station, when, scrap, from: None, until: None }
    }

    /// A bulk part that lies at a station: each lies at four.
    fn bulk(&mut self, station: usize) -> usize {
        self.rng.usize(..BULK / 8) * 8 + station % 8
    }

    pub fn common(&mut self, station: usize) -> usize {
        self.ranges.common.start + station * COMMON + self.rng.usize(..COMMON)
    }

    fn at_station(&mut self, parts: &[Part], f: usize, place: usize, station: usize) -> Vec<Line> {
        let count = AT_STATION * self.rng.usize(50..151) / 100;
        let each = self.ranges.specific.len() / self.wanted.floorplans;
        let mut lines: Vec<Line> = Vec::new();
        for _ in 0..count {
            let part = match self.rng.u32(..100) {
                0..6 => self.bulk(place),
                6..28 if !lines.is_empty() => lines[self.rng.usize(..lines.len())].part,
                6..68 => self.common(place),
                _ => self.ranges.specific.start + f * each + self.rng.usize(..each),
            };
            lines.push(self.bought(parts, part, Some(station)));
        }
        lines
    }

    /// A floorplan on a line, its make parts included.
    pub fn floorplan(&mut self, parts: &[Part], f: usize, line: usize) -> Floorplan {
        let offset = line * STATIONS.len();
        let mut bill: Vec<Line> =
            (0..STATIONS.len()).flat_map(|place| self.at_station(parts, f, place, offset + place)).collect();
        let own = self.ranges.own.start + f * self.ranges.own_each;
        let mut tops: Vec<usize> = self.ranges.shared.clone().collect();
        self.rng.shuffle(&mut tops);
        tops.truncate(SHARED_EACH);
        tops.extend(own..own + self.ranges.own_each);
        for top in tops {
            let station = Some(offset + self.rng.usize(FIRST_FED..28));
            let when = if self.rng.u32(..100) < 85 { When::Always } else { When::draw(self.catalogue, self.rng) };
            bill.push(Line { part: top, qty: 1.0, uom: "ea", station, when, scrap: 0.0, from: None, until: None });
        }
        let code = format!("{} {}", BIRDS[f % BIRDS.len()], 15 + 3 * (f / BIRDS.len()) + f % 3);
        Floorplan { code, line, bill }
    }

    /// What is in a make part: its shop's parts, bulk, and make parts below.
    pub fn inside(&mut self, parts: &[Part], part: usize) -> Vec<Line> {
        let Source::Make(shop) = parts[part].source else { return Vec::new() };
        let count = IN_MAKE * self.rng.usize(50..151) / 100;
        let mut lines = Vec::new();
        for _ in 0..count {
            let component = match self.rng.u32(..100) {
                0..6 => self.bulk(shop),
                _ => self.ranges.of_shops.start + shop * OF_SHOP + self.rng.usize(..OF_SHOP),
            };
            lines.push(self.bought(parts, component, None));
        }
        if !self.ranges.subs.contains(&part) {
            lines.extend(self.below(shop));
        }
        lines
    }

    fn below(&mut self, shop: usize) -> Vec<Line> {
        let mut lines = Vec::new();
        for _ in 0..self.rng.usize(..3) {
            let n = self.rng.usize(..self.ranges.subs.len());
            let fits = sub_shop(n) == shop || sub_shop(n) >= crate::names::FEEDING;
            let part = self.ranges.subs.start + n;
            if fits && lines.iter().all(|line: &Line| line.part != part) {
                let when = self.when();
                lines.push(Line {
                    part,
                    qty: 1.0,
                    uom: "ea",
                    station: None,
                    when,
                    scrap: 0.0,
                    from: None,
                    until: None,
                });
            }
        }
        lines
    }
}
