//! Explodes a unit's bill at the stations of its line, and follows what stands below a part.
//!
//! Rules `active-lines`, `explosion`, `by-products`, `need-at-a-station`.

use super::moves::Moves;
use super::numbers::{Millionths, ONE};
use super::plant::{BillLine, Source, Station};
use super::sequence::Unit;
use super::sheets::Key;
use super::wants::{DemandKey, Free, View, Want};

/// What explosion finds for one unit.
#[derive(Default)]
pub struct Found {
    pub wants: Vec<Want>,
    pub frees: Vec<Free>,
}

impl View<'_> {
    /// The unit's need at a station of its line.
    pub fn need_at(&self, rank: usize, station: &str) -> i64 {
        let (unit, station) = (self.unit(rank), &self.plant.stations[station]);
        let calendar = self.plant.calendar_of_line(&unit.line);
        let arrival = self.arrives(rank, station.position);
        calendar.starts(calendar.worked(arrival) - station.deliver_ahead)
    }

    /// When the unit arrives at a position of its line.
    pub fn arrives(&self, rank: usize, position: i64) -> i64 {
        let unit = self.unit(rank);
        self.moves(unit).starts(unit.entry + position - 1)
    }

    /// The move with which the unit comes to a position of its line, in the line's working seconds.
    pub fn move_at(&self, rank: usize, position: i64) -> i64 {
        let unit = self.unit(rank);
        self.moves(unit).worked(unit.entry + position - 1)
    }

    /// When the unit leaves a station of its line.
    pub fn leaves(&self, unit: &Unit, station: &Station) -> i64 {
        self.moves(unit).ends(unit.entry + station.position)
    }

    fn unit(&self, rank: usize) -> &Unit {
        self.crowd.unit_of(rank).expect("a unit on a line")
    }

    fn moves(&self, unit: &Unit) -> &Moves<'_> {
        &self.moves[&unit.line]
    }

    /// Everything a unit takes and gives at the stations.
    pub fn explode_at_stations(&self, rank: usize) -> Found {
        let mut found = Found::default();
        let floorplan = self.unit(rank).floorplan();
        self.explode_below(rank, &floorplan, ONE, None, &mut found);
        found
    }

    fn explode_below(&self, rank: usize, parent: &str, qty: Millionths, above: Option<&Key>, found: &mut Found) {
        for line in self.active(rank, parent) {
            let qty = line.quantity(qty);
            let station = line.station.as_ref().or(above).expect("a station here or above");
            if qty > 0 {
                self.explode_line(rank, line, qty, station, found);
            }
        }
    }

    fn explode_line(&self, rank: usize, line: &BillLine, qty: Millionths, station: &Key, found: &mut Found) {
        let unit = self.unit(rank);
        let place = &self.plant.stations[station];
        let is_issued = place.position <= unit.issued_position;
        let source = self.plant.parts[&line.part].source;
        if line.gives {
            let available = self.leaves(unit, place);
            found.frees.push(Free { rank, part: line.part.clone(), qty, available, giver: None });
        } else if source == Source::Phantom {
            self.explode_below(rank, &line.part, qty, Some(station), found);
        } else if !is_issued {
            let need = self.need_at(rank, station);
            let demand = DemandKey { part: line.part.clone(), need, rank, to: station.clone() };
            found.wants.push(Want { demand, qty, is_extra: false, serve_by: need });
        } else if source == Source::Make {
            found.frees.extend(self.free_below(rank, &line.part, qty));
        }
    }

    /// By-products below a make part that is there already: free at the as-of moment.
    pub fn free_below(&self, rank: usize, part: &str, qty: Millionths) -> Vec<Free> {
        let mut frees = Vec::new();
        for line in self.active(rank, part) {
            let qty = line.quantity(qty);
            let source = self.plant.parts[&line.part].source;
            if qty > 0 && line.gives {
                let available = self.plant.settings.as_of;
                frees.push(Free { rank, part: line.part.clone(), qty, available, giver: None });
            } else if qty > 0 && matches!(source, Source::Make | Source::Phantom) {
                frees.extend(self.free_below(rank, &line.part, qty));
            }
        }
        frees
    }

    pub fn active(&self, rank: usize, parent: &str) -> Vec<&BillLine> {
        self.crowd.active(self.plant, rank, parent)
    }
}
