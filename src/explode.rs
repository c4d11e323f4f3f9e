//! Bills exploded: what a configuration needs at which station, and what a job needs, gives and takes in time.

use crate::base::{ChangeId, DestId, FloorplanId, PartId, Quantity, Ratio, Seconds, UnitId};
use crate::check::{BillLine, Plant, Source};
use crate::configure::Configured;
use crate::expression::NameSet;
use crate::line::Pace;
use std::collections::HashMap;
use std::sync::Arc;

/// What decides which bill lines are active.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Default)]
struct Key {
    floorplan: FloorplanId,
    names: NameSet,
    changes: NameSet,
}

/// What units of one configuration need at stations, merged and in order.
#[derive(Debug, Default)]
pub struct Configuration {
    key: Key,
    /// Parts needed: part, station, quantity.
    pub needs: Vec<(PartId, DestId, Quantity)>,
    /// Parts needed below which by-products come off, line by line: what each line's quantity gives is cut by itself.
    pub yielding: Vec<(PartId, DestId, Quantity)>,
    /// By-products that come off when the unit leaves a station.
    pub gives: Vec<(PartId, DestId, Quantity)>,
    /// For each station that something is needed at: the first bill line that needs it.
    pub stations: Vec<(DestId, u32)>,
}

/// What is below a quantity of a make part that is built in one job.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct Below {
    /// Needed at the job's start: bought parts, by-products, and make parts of other shops.
    pub needs: Vec<(PartId, Quantity)>,
    /// By-products that come off.
    pub gives: Vec<(PartId, Quantity)>,
    /// The job's length.
    pub length: Seconds,
}

/// A part whose quantity, multiplied out, is too large.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TooLarge(pub PartId);

/// All explosions of a plan, each distinct one once.
pub struct Explosions<'a> {
    plant: &'a Plant,
    /// The distinct configurations; the first is that of no unit.
    pub configurations: Vec<Configuration>,
    /// For each unit the index of its configuration.
    pub of_unit: Vec<Option<usize>>,
    below: HashMap<(usize, PartId, Quantity), Arc<Below>>,
    /// For each part, whether any by-product comes off below it.
    yields: Vec<bool>,
}

/// Explodes the bills of all units that have a configuration.
///
/// # Errors
/// Where a quantity becomes too large.
pub fn explode<'a>(plant: &'a Plant, configured: &Configured, pace: &Pace) -> Result<Explosions<'a>, TooLarge> {
    let mut explosions = Explosions {
        plant,
        configurations: vec![Configuration::default()],
        of_unit: vec![None; plant.units.len()],
        below: HashMap::new(),
        yields: vec![false; plant.parts.len()],
    };
    explosions.find_yields();
    let mut asked = NameSet::new(plant.names);
    plant.conditions.iter().flat_map(|condition| condition.names()).for_each(|name| {
        asked.insert(name);
    });
    let mut known: HashMap<Key, usize> = HashMap::new();
    for (i, names) in configured.iter().enumerate() {
        let (Some(names), Ok(floorplan)) = (names, &plant.units[i].floorplan) else { continue };
        let key =
            Key { floorplan: *floorplan, names: names.masked(&asked), changes: reached(plant, pace, UnitId::of(i)) };
        let next = explosions.configurations.len();
        let at = *known.entry(key.clone()).or_insert(next);
        if at == next {
            explosions.configurations.push(explosions.configuration(key)?);
        }
        explosions.of_unit[i] = Some(at);
    }
    Ok(explosions)
}

fn reached(plant: &Plant, pace: &Pace, unit: UnitId) -> NameSet {
    let mut changes = NameSet::new(plant.changes.len());
    for change in (0..plant.changes.len()).map(ChangeId::of).filter(|change| pace.reached(plant, unit, *change)) {
        changes.insert(crate::base::NameId(change.0));
    }
    changes
}

impl Key {
    /// Whether a bill line is active.
    fn active(&self, plant: &Plant, line: &BillLine) -> bool {
        let reached = |change: ChangeId| self.changes.contains(crate::base::NameId(change.0));
        (plant.always(line.when) || plant.conditions[line.when as usize].holds(&self.names))
            && line.from.is_none_or(reached)
            && !line.until.is_some_and(reached)
    }
}

impl<'a> Explosions<'a> {
    fn lines(&self, part: PartId) -> &'a [BillLine] {
        &self.plant.bills[self.plant.part(part).bill.clone()]
    }

    /// Marks the parts below which by-products come off; bills have no cycles.
    fn find_yields(&mut self) {
        fn visit(explosions: &mut Explosions<'_>, part: PartId, seen: &mut [bool]) -> bool {
            if !std::mem::replace(&mut seen[part.at()], true) {
                for line in explosions.lines(part) {
                    let yields = line.gives || visit(explosions, line.part, seen);
                    explosions.yields[part.at()] |= yields;
                }
            }
            explosions.yields[part.at()]
        }
        let mut seen = vec![false; self.plant.parts.len()];
        for part in 0..self.plant.parts.len() {
            visit(self, PartId::of(part), &mut seen);
        }
    }

    fn configuration(&self, key: Key) -> Result<Configuration, TooLarge> {
        let mut found = Configuration { key, ..Configuration::default() };
        let bill = self.plant.floorplans[found.key.floorplan.at()].bill.clone();
        self.at_stations(&mut found, &self.plant.bills[bill], Quantity::whole(1), None)?;
        merge(&mut found.needs, |(part, dest, _)| (*dest, *part), |item| &mut item.2);
        merge(&mut found.gives, |(part, dest, _)| (*part, *dest), |item| &mut item.2);
        found.stations.sort_unstable();
        found.stations.dedup_by_key(|(station, _)| *station);
        Ok(found)
    }

    /// Lines of a floorplan, phantoms followed down.
    fn at_stations(
        &self,
        into: &mut Configuration,
        lines: &[BillLine],
        parent: Quantity,
        above: Option<DestId>,
    ) -> Result<(), TooLarge> {
        for line in lines {
            if !into.key.active(self.plant, line) {
                continue;
            }
            let qty = parent.times(line.factor).ok_or(TooLarge(line.part))?;
            let station = line.station.or(above);
            if !qty.is_positive() {
                continue;
            }
            if self.plant.part(line.part).source == Source::Phantom {
                self.at_stations(into, self.lines(line.part), qty, station)?;
                continue;
            }
            // A checked plant has a station for every such line.
            let Some(station) = station else { continue };
            into.stations.push((station, line.row));
            let list = if line.gives { &mut into.gives } else { &mut into.needs };
            list.push((line.part, station, qty));
            if self.yields[line.part.at()] {
                into.yielding.push((line.part, station, qty));
            }
        }
        Ok(())
    }

    /// What is below a quantity of a make part, for units of a configuration; worked out once.
    ///
    /// # Errors
    /// Where a quantity becomes too large.
    pub fn below(&mut self, configuration: usize, part: PartId, qty: Quantity) -> Result<Arc<Below>, TooLarge> {
        let configuration = if self.plant.part(part).configured { configuration } else { 0 };
        if let Some(known) = self.below.get(&(configuration, part, qty)) {
            return Ok(Arc::clone(known));
        }
        let mut found = Below::default();
        let minutes = self.in_job(configuration, part, qty, &mut found)?;
        found.length = minutes.times(Ratio::whole(60)).and_then(Ratio::ceiling).ok_or(TooLarge(part))?;
        merge(&mut found.needs, |(part, _)| *part, |item| &mut item.1);
        merge(&mut found.gives, |(part, _)| *part, |item| &mut item.1);
        let found = Arc::new(found);
        self.below.insert((configuration, part, qty), Arc::clone(&found));
        Ok(found)
    }

    /// Adds what a quantity of a part needs and gives in a job of its shop; gives the minutes.
    fn in_job(&self, configuration: usize, part: PartId, qty: Quantity, into: &mut Below) -> Result<Ratio, TooLarge> {
        let known = self.plant.part(part);
        let mut minutes = match known.source {
            Source::Make(_) => {
                exact(qty).and_then(|qty| known.minutes.times(qty)?.plus(known.setup)).ok_or(TooLarge(part))?
            }
            _ => Ratio::ZERO,
        };
        let shop = known.source;
        let mut open = vec![(part, qty)];
        while let Some((parent, qty)) = open.pop() {
            for line in self.lines(parent) {
                if !self.configurations[configuration].key.active(self.plant, line) {
                    continue;
                }
                let qty = qty.times(line.factor).ok_or(TooLarge(line.part))?;
                if !qty.is_positive() {
                    continue;
                }
                let source = self.plant.part(line.part).source;
                if source == Source::Phantom {
                    open.push((line.part, qty));
                } else if source == shop {
                    let inner = self.in_job(configuration, line.part, qty, into)?;
                    minutes = minutes.plus(inner).ok_or(TooLarge(line.part))?;
                } else {
                    let list = if line.gives { &mut into.gives } else { &mut into.needs };
                    list.push((line.part, qty));
                }
            }
        }
        Ok(minutes)
    }

    /// All by-products below a quantity of a make part that is there already, along every path: phantoms and make parts of
    /// whichever shop are followed down.
    ///
    /// # Errors
    /// Where a quantity becomes too large.
    pub fn gives_of(
        &self,
        configuration: usize,
        part: PartId,
        qty: Quantity,
        into: &mut Vec<(PartId, Quantity)>,
    ) -> Result<(), TooLarge> {
        if !self.yields[part.at()] {
            return Ok(());
        }
        for line in self.lines(part) {
            if !self.configurations[configuration].key.active(self.plant, line) {
                continue;
            }
            let qty = qty.times(line.factor).ok_or(TooLarge(line.part))?;
            if !qty.is_positive() {
                continue;
            }
            if line.gives {
                into.push((line.part, qty));
            } else {
                self.gives_of(configuration, line.part, qty, into)?;
            }
        }
        Ok(())
    }
}

fn exact(qty: Quantity) -> Option<Ratio> {
    Ratio::new(i128::from(qty.millionths()), i128::from(Quantity::SCALE))
}

/// Sorts by key and adds up equals.
fn merge<T, K: Ord>(items: &mut Vec<T>, key: impl Fn(&T) -> K, qty: impl Fn(&mut T) -> &mut Quantity) {
    items.sort_by_key(&key);
    items.dedup_by(|later, first| {
        let same = key(later) == key(first);
        if same {
            let more = *qty(later);
            *qty(first) += more;
        }
        same
    });
}
