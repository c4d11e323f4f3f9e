//! Orders that nobody has given, placed as if they were.

use super::choices::Choices;
use super::order::Order;
use crate::base::{Finding, FloorplanId, LineId, NameId, Quantity};
use crate::check::{Plant, Unit};
use crate::expression::NameSet;

/// Places orders of a plant.
pub struct Placing<'a>(Choices<'a>);

/// What becomes of an order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Placed {
    /// The names that are true then: all that the unit would have, its floorplan, series and line.
    pub names: NameSet,
    /// Whether nothing is wrong with it.
    pub right: bool,
    /// The rules that added something, by index.
    pub fired: Vec<usize>,
}

impl<'a> Placing<'a> {
    /// Orders of a plant.
    pub fn of(plant: &'a Plant) -> Self {
        Self(Choices::of(plant))
    }

    /// Places an order of a floorplan on a line: options ordered, and (`true`) taken away.
    pub fn place(&self, floorplan: FloorplanId, line: LineId, ordered: Vec<(NameId, bool)>) -> Placed {
        self.placed(floorplan, line, ordered).0
    }

    /// The same, and what is wrong with it.
    pub fn placed(&self, floorplan: FloorplanId, line: LineId, ordered: Vec<(NameId, bool)>) -> (Placed, Vec<Finding>) {
        let unit = nobodys(floorplan, line, ordered);
        let mut wrong = Vec::new();
        let mut trace = ();
        let mut order = Order::new(&self.0, &unit, floorplan, &mut trace);
        order.take_ordered(&mut wrong);
        order.apply_rules();
        order.check(&mut wrong);
        let fired = order.fired().to_vec();
        (Placed { names: order.into_names(), right: wrong.is_empty(), fired }, wrong)
    }
}

/// A unit that stands in no sequence.
fn nobodys(floorplan: FloorplanId, line: LineId, ordered: Vec<(NameId, bool)>) -> Unit {
    Unit {
        code: String::new(),
        line,
        seq: Quantity::ZERO,
        floorplan: Ok(floorplan),
        ordered,
        unknown_options: Vec::new(),
        start: None,
        gap: 0,
        at: None,
        issued: 0,
        hold: None,
        done: false,
        row: 0,
    }
}
