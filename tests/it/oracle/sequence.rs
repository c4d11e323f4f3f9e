//! Places the units on their lines: when each enters, what it has behind it, its rank.
//!
//! Rules `entry`, `issued`, `rank`, `held-and-done`, `changes`.

use super::moves::Moves;
use super::numbers::Ratio;
use super::plant::{Order, Plant};
use super::sheets::{Key, key};

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    OnLine,
    Held,
    Done,
}

/// A unit of the sequence; held and done ones have no times.
#[derive(Clone, Debug)]
pub struct Unit {
    pub key: Key,
    pub code: String,
    pub line: Key,
    pub seq: Ratio,
    pub seq_text: String,
    pub floorplan_text: String,
    pub order: String,
    pub state: State,
    pub start: Option<i64>,
    pub is_at: bool,
    /// The move with which the unit entered or enters.
    pub entry: i64,
    pub enters: i64,
    pub leaves: i64,
    /// Up to this position material is there already.
    pub issued_position: i64,
}

impl Unit {
    pub fn floorplan(&self) -> Key {
        key(&self.floorplan_text)
    }
}

/// All units of the sequence: those on the lines by rank, then the held and done ones.
pub fn units(plant: &Plant) -> Vec<Unit> {
    let mut units: Vec<Unit> = plant.lines.iter().flat_map(|line| of_line(plant, &line.key)).collect();
    units.sort_by(|a, b| {
        let on_line = |unit: &Unit| unit.state != State::OnLine;
        let time = |unit: &Unit| {
            if unit.state == State::OnLine { unit.enters } else { 0 }
        };
        let order = on_line(a).cmp(&on_line(b)).then(time(a).cmp(&time(b)));
        order.then(a.line.cmp(&b.line)).then_with(|| by_seq(&a.seq, &b.seq))
    });
    units
}

fn by_seq(a: &Ratio, b: &Ratio) -> std::cmp::Ordering {
    (a.num * b.den).cmp(&(b.num * a.den))
}

fn of_line(plant: &Plant, line: &str) -> Vec<Unit> {
    let moves = Moves::new(plant, plant.line(line));
    let stations = plant.stations.values().filter(|station| station.line == line);
    let last_position = stations.map(|station| station.position).max().expect("a station");
    let mut orders: Vec<&Order> = plant.orders.iter().filter(|order| order.line == line).collect();
    orders.sort_by(|a, b| by_seq(&a.seq, &b.seq));
    let one_at_first =
        orders.iter().any(|order| state(order) == State::OnLine && position(plant, &order.at) == Some(1));
    let first_free = if moves.last_move_is_now && !one_at_first { 0 } else { 1 };

    let mut units = Vec::new();
    let mut last_entry: Option<i64> = None;
    for order in orders {
        let mut unit = unit(plant, order);
        if unit.state == State::OnLine {
            unit.entry = match position(plant, &order.at) {
                Some(position) => -(position - 1),
                None => {
                    let next = last_entry.map_or(first_free, |last| first_free.max(last + 1));
                    let entry = next + order.gap;
                    order.start.map_or(entry, |day| moves.first_on_or_after(day, entry))
                }
            };
            last_entry = Some(unit.entry);
            unit.enters = moves.starts(unit.entry);
            unit.leaves = moves.ends(unit.entry + last_position);
        }
        units.push(unit);
    }
    units
}

fn unit(plant: &Plant, order: &Order) -> Unit {
    let at = position(plant, &order.at);
    let through = position(plant, &order.issued_through).or(at).unwrap_or(0);
    let before_at = at.map_or(0, |position| position - 1);
    Unit {
        key: key(&order.code),
        code: order.code.clone(),
        line: order.line.clone(),
        seq: order.seq,
        seq_text: order.seq_text.clone(),
        floorplan_text: floorplan_text(plant, &order.floorplan),
        order: order.options.clone(),
        state: state(order),
        start: order.start,
        is_at: at.is_some(),
        entry: 0,
        enters: 0,
        leaves: 0,
        issued_position: through.max(before_at),
    }
}

fn state(order: &Order) -> State {
    match (order.done, order.held) {
        (true, _) => State::Done,
        (false, true) => State::Held,
        (false, false) => State::OnLine,
    }
}

fn position(plant: &Plant, station: &Option<Key>) -> Option<i64> {
    station.as_ref().map(|station| plant.stations[station].position)
}

/// A floorplan's code as first defined; one that is not there as it is written.
fn floorplan_text(plant: &Plant, written: &str) -> String {
    let known = plant.floorplans.get(&key(written));
    known.map_or(written.to_string(), |floorplan| floorplan.code.clone())
}
