//! The feeder shops: which jobs there are, when each runs, and what stands below them.
//!
//! Rule `twice`.

mod begun;
mod crews;
mod run;

pub use crews::{Away, Slot, Times, schedule};
pub use run::{Below, Job, Made, Run, give, material_need};

use crate::base::{Moment, OwnerId, PartId};
use crate::check::Plant;
use crate::explode::{Explosions, TooLarge};
use crate::line::Pace;
use crate::netting::{Demand, Lots};
use std::collections::HashMap;

/// By when a by-product must be there for the first of its takers: owner and part, to a moment.
pub type Wanted = HashMap<(OwnerId, PartId), Moment>;

/// What the shops are asked for and given before they start.
pub struct ForShops {
    /// Demands for make parts at stations.
    pub makes: Vec<Demand>,
    /// Demands for by-products at stations, and extras for by-products.
    pub by_products: Vec<Demand>,
    /// By-products that come off on the line, or are there already.
    pub lots: Lots,
}

/// Runs the shops twice, the second time with dues that serve every taker of a by-product.
///
/// # Errors
/// Where a quantity becomes too large.
pub fn run<'p>(
    plant: &'p Plant,
    pace: &Pace,
    explosions: &mut Explosions<'p>,
    asked: &ForShops,
) -> Result<Run, TooLarge> {
    let first = run::run(plant, pace, explosions, asked, &Wanted::new())?;
    let wanted = wanted(plant, asked, &first);
    if wanted.is_empty() {
        return Ok(first);
    }
    run::run(plant, pace, explosions, asked, &wanted)
}

/// The earliest moment at which each by-product is wanted, as the first run has it.
fn wanted(plant: &Plant, asked: &ForShops, first: &Run) -> Wanted {
    let mut wanted = Wanted::new();
    let mut want = |owner: OwnerId, part: PartId, at: Moment| {
        let earliest = wanted.entry((owner, part)).or_insert(at);
        *earliest = at.min(*earliest);
    };
    asked.by_products.iter().for_each(|demand| want(demand.owner, demand.part, demand.need));
    for job in first.jobs.iter().filter(|job| !job.started) {
        let shop = plant.shop(job.shop);
        let latest = job.times.due - job.times.length - shop.ahead;
        let at = plant.calendar(shop.calendar).starts(latest);
        let by_product = |part: PartId| plant.part(part).source == crate::check::Source::ByProduct;
        let by_products = job.below.not_bought.iter().filter(|(part, _)| by_product(*part));
        by_products.for_each(|(part, _)| want(job.owner, *part, at));
    }
    wanted
}
