//! What a unit takes of bought parts.
//!
//! Rule `explosion`.

use super::{Explosions, TooLarge};
use crate::base::{DestId, PartId, Quantity, Total, UnitId};
use crate::check::Source;
use std::collections::BTreeMap;

impl Explosions<'_> {
    /// The bought parts of one unit's bill at stations behind the position up to which its material is issued, all make parts built
    /// and no by-product taken.
    ///
    /// # Errors
    /// Where a quantity becomes too large.
    pub fn bought_for(
        &mut self,
        unit: UnitId,
        issued: u32,
        into: &mut Vec<(PartId, Quantity)>,
    ) -> Result<(), TooLarge> {
        let plant = self.plant;
        let mut at_stations: BTreeMap<(DestId, PartId), Total> = BTreeMap::new();
        for path in self.paths_of(unit).filter(|path| !path.gives) {
            if plant.position(path.station).is_none_or(|position| position > issued) {
                *at_stations.entry((path.station, path.part)).or_default() += path.qty.into();
            }
        }
        let in_range =
            |((_, part), qty): ((DestId, PartId), Total)| Ok((part, qty.as_quantity().ok_or(TooLarge::Sum(part))?));
        let mut open: Vec<(PartId, Quantity)> = at_stations.into_iter().map(in_range).collect::<Result<_, _>>()?;
        while let Some((part, qty)) = open.pop() {
            match plant.part(part).source {
                Source::Buy => into.push((part, qty)),
                Source::Make(_) => open.extend(&self.below(Some(unit), part, qty)?.needs),
                Source::Phantom | Source::ByProduct => {}
            }
        }
        Ok(())
    }
}
