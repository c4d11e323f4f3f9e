//! A way from a floorplan, a job or an extra to a part, in ids: its lines, its quantities, what becomes of it.

use crate::base::{DestId, Moment, PartId, Quantity, Total};

/// A bill line of a path and the quantities before and after it.
#[derive(Clone, Copy, Debug)]
pub struct Link {
    /// The line, by its index in the plant.
    pub line: usize,
    /// The part it belongs to; none for a floorplan.
    pub parent: Option<PartId>,
    /// The quantity above it.
    pub before: Option<Total>,
    /// That times its factor, cut; none where that is more than can be told.
    pub after: Option<Total>,
    /// Whether it holds for the unit.
    pub active: bool,
}

impl Link {
    /// Whether nothing is left after it.
    pub fn leaves_nothing(&self) -> bool {
        self.after == Some(Total::ZERO)
    }
}

/// Where a path begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Begin {
    /// At the floorplan.
    Floorplan,
    /// At a job, by its index.
    Job(u32),
    /// Below a make part that stock covers, for a station or shop.
    Stock(PartId, DestId),
    /// At an extra, by its index.
    Extra(usize),
}

/// What becomes of a path.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// Part of a demand.
    Needed,
    /// Delivered with the run that left then.
    Delivered(Moment),
    /// Its station has its material already.
    Issued(DestId),
    /// Its job, by index, has begun.
    Begun(u32),
    /// A part above it is there already.
    Covered(PartId),
    /// Built inside a job, by index.
    Inside(u32),
    /// A phantom.
    Phantom,
    /// Free from then on.
    Free(Moment),
    /// A line, by its place in the path, does not hold.
    NotActive(usize),
    /// Nothing is left after a line, by its place in the path.
    Nothing(usize),
    /// The unit is not supplied.
    NotSupplied,
}

/// A way to a part.
#[derive(Clone, Debug)]
pub struct Path {
    /// Where it begins.
    pub begin: Begin,
    /// The quantity it begins with.
    pub start: Quantity,
    /// Its lines.
    pub links: Vec<Link>,
    /// What it ends at: the part asked about, or a make part above it that is a demand of its own.
    pub part: PartId,
    /// The quantity there; none where that is more than can be told.
    pub qty: Option<Total>,
    /// Where to.
    pub to: Option<DestId>,
    /// By when.
    pub need: Option<Moment>,
    /// What becomes of it.
    pub end: End,
}
