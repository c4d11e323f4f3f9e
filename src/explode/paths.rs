//! The paths down a floorplan's bill: what is needed or comes off at which station, phantoms followed down.
//!
//! Rule `explosion`.

use super::guards::{GuardId, Guards};
use crate::base::{DestId, LineId, MustBe, PartId, Quantity};
use crate::check::follow::{self, Stands, stands};
use crate::check::{BillLine, DestKind, Plant};
use itertools::Itertools;

/// A line that is no phantom, as it is reached from the floorplan.
#[derive(Clone, Copy, Debug)]
pub struct Path {
    /// What is needed, or comes off.
    pub part: PartId,
    /// Where.
    pub station: DestId,
    /// How much of it a unit takes or gives.
    pub qty: Quantity,
    /// What must hold for all lines on the way.
    pub guard: GuardId,
    /// The row of the line.
    pub row: u32,
    /// Whether it comes off instead of going in.
    pub gives: bool,
}

/// All paths of a floorplan.
#[derive(Debug, Default)]
pub struct Paths {
    /// In the order of the bills.
    pub all: Vec<Path>,
    /// Those of parts that are not bought.
    pub made: Vec<Path>,
    /// The stations at which bought parts are needed, and for whom; each pair once.
    pub stops: Vec<(DestId, GuardId)>,
    /// The lines whose stations they stand at.
    pub lines: Vec<LineId>,
    /// Parts whose quantity is too large, for whom, and the rows of their lines.
    pub too_large: Vec<(GuardId, PartId, u32)>,
}

/// The way down to a bill.
#[derive(Clone, Copy)]
struct Way {
    qty: Quantity,
    station: Option<DestId>,
    guard: GuardId,
}

impl Paths {
    /// The paths of a floorplan.
    pub fn of(plant: &Plant, floorplan: usize, guards: &mut Guards) -> Self {
        let mut paths = Self::default();
        let top = Way { qty: Quantity::whole(1), station: None, guard: 0 };
        let bill = plant.floorplans[floorplan].bill.clone();
        follow::down(plant, bill, top, |at, line, above| paths.meet(plant, (at, line), above, guards));
        let bought = |path: &&Path| plant.part(path.part).bought();
        paths.made = paths.all.iter().filter(|path| !bought(path)).copied().collect();
        paths.stops = paths.all.iter().filter(bought).map(|path| (path.station, path.guard)).sorted().dedup().collect();
        let line = |path: &Path| match plant.dest(path.station).what {
            DestKind::Station { line, .. } => Some(line),
            DestKind::Shop(_) => None,
        };
        paths.lines = paths.all.iter().filter_map(line).sorted().dedup().collect();
        paths
    }

    /// Puts a line down; gives the way to the lines below it where it is a phantom.
    fn meet(&mut self, plant: &Plant, (at, line): (usize, &BillLine), above: Way, guards: &mut Guards) -> Option<Way> {
        let guard = guards.both(above.guard, guards.of_line(at));
        let Some(qty) = above.qty.times(line.factor) else {
            self.too_large.push((guard, line.part, line.row));
            return None;
        };
        let station = line.station.or(above.station);
        if !qty.is_positive() {
            return None;
        }
        if stands(plant, line.part, None) == Stands::ForItsLines {
            return Some(Way { qty, station, guard });
        }
        let station = station.must("a bill line of a floorplan has no station");
        self.all.push(Path { part: line.part, station, qty, guard, row: line.row, gives: line.gives });
        None
    }
}
