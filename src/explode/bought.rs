//! What a unit takes of bought parts.
//!
//! Rule `explosion`.

use super::{Explosions, Path, TooLarge};
use crate::base::{DestId, PartId, Quantity, Total, UnitId, add_equals};
use crate::check::Source;

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
        let at_stations = self.at_stations(unit, issued)?;
        self.bought_below(unit, at_stations, into)
    }

    /// The parts of one unit's bill at such stations, for each station and part how many.
    ///
    /// # Errors
    /// Where a quantity becomes too large.
    pub fn at_stations(&self, unit: UnitId, issued: u32) -> Result<Vec<(PartId, Quantity)>, TooLarge> {
        let behind = |path: &&Path| self.plant.position(path.station).is_none_or(|position| position > issued);
        let paths = self.paths_of(unit).filter(|path| !path.gives).filter(behind);
        let mut lines: Vec<((DestId, PartId), Total)> =
            paths.map(|path| ((path.station, path.part), path.qty.into())).collect();
        lines.sort_by_key(|(at, _)| *at);
        add_equals(&mut lines);
        lines.into_iter().map(|((_, part), qty)| Ok((part, qty.as_quantity().ok_or(TooLarge::Sum(part))?))).collect()
    }

    /// The bought parts that these come to, all make parts built.
    ///
    /// # Errors
    /// Where a quantity becomes too large.
    pub fn bought_below(
        &mut self,
        unit: UnitId,
        mut open: Vec<(PartId, Quantity)>,
        into: &mut Vec<(PartId, Quantity)>,
    ) -> Result<(), TooLarge> {
        while let Some((part, qty)) = open.pop() {
            match self.plant.part(part).source {
                Source::Buy => into.push((part, qty)),
                Source::Make(_) => open.extend(&self.below(Some(unit), part, qty)?.needs),
                Source::Phantom | Source::ByProduct => {}
            }
        }
        Ok(())
    }
}
