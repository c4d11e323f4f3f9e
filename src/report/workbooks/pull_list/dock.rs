//! The dock's page: what something that is picked by the end of the day waits for, soonest need first, and where each piece of it goes.

use super::weight;
use super::words::{beside, unit_code};
use crate::base::{Moment, OwnerId, PartId, Quantity, count};
use crate::check::Issue;
use crate::netting::{Cover, Demand};
use crate::plan::{Delivery, Near, Plan};
use crate::report::limits::WORST;
use crate::report::listing::{Line, listing};
use crate::report::names::dest_code;
use crate::report::prose::few;
use crate::report::sheet::{Look, Sheet};
use crate::report::{call_words, fit};
use crate::waves::DeliveryRun;
use itertools::Itertools;
use rayon::prelude::*;
use std::collections::{BTreeMap, HashSet};

/// Wider, the print would be too small.
const TOTAL: u16 = 175;
/// So many receipts stand on the page.
const MOST: usize = 40;

/// A piece of a receipt that goes to one unit (nobody for bulk) at one place with one run.
#[derive(Clone, Copy)]
pub struct DockPiece {
    /// Its demand.
    pub demand: Demand,
    /// For whom; nobody for bulk.
    pub owner: Option<OwnerId>,
    /// How much.
    pub qty: Quantity,
    /// The run that it should go with.
    pub run: DeliveryRun,
    /// When it comes.
    pub comes: Moment,
}

impl DockPiece {
    /// Whether its run has been picked when it comes.
    pub fn straight(&self) -> bool {
        self.comes > self.run.picked
    }
}

/// What comes of one part with one purchase order at one moment, as far as something waits for it.
pub struct Coming {
    /// One of its receipts.
    pub receipt: u32,
    /// What comes.
    pub part: PartId,
    /// When it comes.
    pub comes: Moment,
    /// What waits for it, soonest need first.
    pub pieces: Vec<DockPiece>,
}

impl Coming {
    /// How much goes into the stores, for a run that is picked later.
    pub fn to_stores(&self) -> Quantity {
        self.pieces.iter().filter(|piece| !piece.straight()).map(|piece| piece.qty).sum()
    }

    /// All rows of it together.
    pub fn delivery<'d, 'p>(&self, plan: &'d Plan<'p>) -> &'d Delivery<'p> {
        &plan.deliveries.all()[plan.deliveries.of_receipt(self.receipt)]
    }

    /// How much is open of it.
    pub fn open(&self, plan: &Plan<'_>) -> Quantity {
        self.delivery(plan).open
    }

    fn need(&self) -> Option<Moment> {
        self.pieces.iter().map(|piece| piece.demand.need).min()
    }
}

pub fn sheet<'p>(plan: &'p Plan<'p>, coming: &[Coming]) -> Sheet<'p> {
    let lines: Vec<Line<'p, Dock>> = coming.iter().take(MOST).map(|coming| line(plan, coming)).collect();
    let mut sheet = Sheet::new("the dock", &fit::widths(&lines, TOTAL));
    sheet.text(Look::Title, format!("The dock, {}: what something waits for", plan.day.long()));
    if lines.is_empty() {
        sheet.text(Look::Plain, "No receipt up to the end of this day is waited for.");
        return sheet;
    }
    let straight = coming.iter().flat_map(|coming| &coming.pieces).filter(|piece| piece.straight()).count();
    let told = format!(
        "Soonest need first. {} straight to the station: their run has been picked when they come. What is not named here goes into the \
         stores as always. Unloaded and found good counts, not the gate. {}",
        count(straight, "piece goes", "pieces go"),
        weight::SHORT_CAUTION
    );
    sheet.paragraph(Look::Plain, told);
    let shown = lines.len();
    sheet.table(Some("the_dock".to_owned()), lines);
    if coming.len() > shown {
        sheet.text(Look::Strong, format!("and {} more, needed later: see tables/pegs", coming.len() - shown));
    }
    sheet
}

/// What comes up to the end of the day and is waited for, soonest need first.
pub fn coming(plan: &Plan<'_>) -> Vec<Coming> {
    // What comes on the day goes with a run that leaves by its end, or else was picked before it came.
    let evening = plan.day.plus(1).midnight();
    let after = plan.runs.end_of(|run| run.leaves < evening || run.picked < evening);
    let parts = plan.deliveries.all().iter().filter(|delivery| delivery.available < evening);
    let parts: Vec<PartId> = parts.map(|delivery| delivery.part).dedup().collect();
    let near: Vec<Near<'_>> = parts.par_iter().map(|part| plan.near(*part, after)).collect();
    let mut found: BTreeMap<(PartId, usize), Coming> = BTreeMap::new();
    for near in &near {
        for (demand, peg) in near.pegged().pieces() {
            let (Cover::Receipt(receipt), Some(comes)) = (peg.cover, peg.available) else { continue };
            let Some(run) = plan.runs.serving(demand.need).filter(|_| comes.date() <= plan.day) else { continue };
            let bulk = plan.plant.part(demand.part).issue == Issue::Bulk;
            let owner = Some(demand.owner).filter(|_| !bulk);
            let piece = DockPiece { demand: *demand, owner, qty: peg.qty, run, comes };
            // What comes in time for a later day's run is not waited for.
            if !piece.straight() && run.leaves.date() > plan.day {
                continue;
            }
            let of = (demand.part, plan.deliveries.of_receipt(receipt));
            let fresh = || Coming { receipt, part: demand.part, comes, pieces: Vec::new() };
            found.entry(of).or_insert_with(fresh).pieces.push(piece);
        }
    }
    let key = |coming: &Coming| (coming.need(), coming.part, coming.comes, coming.receipt);
    let mut coming: Vec<Coming> = found.into_values().collect();
    coming
        .iter_mut()
        .for_each(|coming| coming.pieces.sort_by_key(|piece| (piece.demand.need, piece.demand.owner, piece.demand.to)));
    coming.sort_by_key(key);
    coming
}

listing! {
    /// What comes with a purchase order and is waited for.
    Dock: fn line<'p>(plan: &'p Plan<'p>, coming: &Coming) {
        let receipt = &plan.plant.receipts[coming.receipt as usize];
        let delivery = coming.delivery(plan);
        let part = plan.plant.part(coming.part);
        let straight = straight(plan, coming);
        let stores = call_words::sent(part, coming.to_stores(), Some(coming.open(plan)));
        let picked = coming.pieces.iter().filter(|piece| !piece.straight()).map(|piece| piece.run).min();
        let stores = picked.map(|run| format!("{stores} {} for the {} run", part.uom, run.leaves.clock()));
        let all: Quantity = coming.pieces.iter().map(|piece| piece.qty).sum();
        let mark = weight::mark(plan.plant, part, coming.pieces.iter().map(|piece| piece.qty).max().unwrap_or_default());
    }
    look: if straight.is_some() { Look::Wrong } else { Look::Plain };
    "sent", 6, Box => "";
    "needed", 17, Moment => coming.need();
    "comes", 17, Moment => coming.comes;
    "promised", 10, Wrapped => match delivery.not_promised() {
        "" if delivery.confirmed == Some(true) => "confirmed",
        words => words,
    };
    "supplier", 12, Wrapped => receipt.supplier.as_str();
    "purchase order", 10, Wrapped => receipt.order.as_str();
    "part", 6, Wrapped => part.code.as_str();
    "description", 12, Wrapped => part.description.as_str();
    "straight to", 22, Wrapped => straight.clone();
    "at the last", 17, Moment => last(plan, coming);
    "to the stores", 16, Wrapped => stores;
    "picked from", 17, Moment => picked.map(|run| run.picked);
    "kg", 8, Weight => weight::cell(part, all);
    "mind", 7, Wrapped => mark;
}

/// `2 ea: U3 at CH, U4 at CH 10:30`: what goes straight to a station, with the time by which it is needed.
fn straight(plan: &Plan<'_>, coming: &Coming) -> Option<String> {
    let (part, open) = (plan.plant.part(coming.part), coming.open(plan));
    let pieces = coming.pieces.iter().filter(|piece| piece.straight()).collect_vec();
    let all: Quantity = pieces.iter().map(|piece| piece.qty).sum();
    let alike: HashSet<Quantity> = pieces.iter().map(|piece| piece.qty).collect();
    let words = |piece: &&DockPiece| {
        let each =
            if alike.len() > 1 { format!(" {}", call_words::sent(part, piece.qty, Some(open))) } else { String::new() };
        let to = dest_code(plan, piece.demand.to);
        let whose = piece.owner.map_or(String::new(), |owner| format!("{} at ", unit_code(plan, owner)));
        format!("{whose}{to}{each} {}", beside(plan.day.midnight(), piece.demand.need))
    };
    let told = few(pieces.iter().map(words), WORST).replace("; ", ", ");
    (!pieces.is_empty()).then(|| format!("{} {}: {told}", call_words::sent(part, all, Some(open)), part.uom))
}

/// By when what goes straight must be there so that the line does not stop; of several the first.
fn last(plan: &Plan<'_>, coming: &Coming) -> Option<Moment> {
    coming.pieces.iter().filter(|piece| piece.straight()).filter_map(|piece| plan.saves_until(&piece.demand)).min()
}
