//! The receipts of the day that something waits for, soonest need first.

use super::words::{count, unit_code};
use crate::base::{DestId, Moment, OwnerId, PartId, Quantity};
use crate::check::Issue;
use crate::netting::Cover;
use crate::plan::{Near, Plan};
use crate::report::fit;
use crate::report::listing::{Line, listing};
use crate::report::names::dest_code;
use crate::report::sheet::{Look, Sheet};
use crate::waves::DeliveryRun;
use itertools::Itertools;
use rayon::prelude::*;
use std::collections::BTreeMap;

/// Wider, the print would be too small.
const TOTAL: u16 = 175;

/// What of a receipt goes to one unit (nobody for bulk) at one place with one run; sorted by all that tells it apart.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Piece<'p> {
    owner: Option<OwnerId>,
    to: DestId,
    part: PartId,
    comes: Moment,
    run: DeliveryRun,
    order: &'p str,
}

/// How much of it, when it is needed first, and the receipt.
struct Amount {
    need: Moment,
    qty: Quantity,
    receipt: u32,
}

impl Piece<'_> {
    /// Whether its run has been picked when it comes.
    fn straight(&self) -> bool {
        self.comes > self.run.picked
    }
}

/// The sheet.
pub fn sheet<'p>(plan: &'p Plan<'p>) -> Sheet<'p> {
    let pieces = pieces(plan);
    let lines: Vec<Line<'p, ReceiptsOfTheDay>> =
        pieces.iter().map(|(piece, amount)| line(plan, piece, amount)).collect();
    let mut sheet = Sheet::new("receipts of the day", &fit::widths(&lines, TOTAL));
    sheet.text(Look::Title, format!("Receipts that something waits for, up to {}", plan.day.long()));
    if pieces.is_empty() {
        sheet.text(Look::Plain, "No receipt up to the end of this day is waited for.");
        return sheet;
    }
    let straight = pieces.iter().filter(|(piece, _)| piece.straight()).count();
    sheet.paragraph(
        Look::Plain,
        format!(
            "Soonest need first. {} straight to the station: the run has been picked when the receipt comes. The others go \
             into the stores before their run is picked.",
            count(straight, "line goes", "lines go")
        ),
    );
    sheet.table(Some("receipts_of_the_day".to_owned()), lines);
    sheet
}

/// What comes up to the end of the day and is waited for, soonest need first.
fn pieces<'p>(plan: &Plan<'p>) -> Vec<(Piece<'p>, Amount)> {
    let mut pieces: BTreeMap<Piece<'p>, Amount> = BTreeMap::new();
    // What comes on the day goes with a run that leaves by its end, or else was picked before it came.
    let evening = plan.day.plus(1).midnight();
    let after = plan.runs.end_of(|run| run.leaves < evening || run.picked < evening);
    let coming = plan.deliveries.all().iter().filter(|delivery| delivery.available < evening);
    let coming: Vec<PartId> = coming.map(|delivery| delivery.part).dedup().collect();
    let near: Vec<Near<'_>> = coming.par_iter().map(|part| plan.near(*part, after)).collect();
    for near in &near {
        for (demand, peg) in near.pegged().pieces() {
            let (Cover::Receipt(receipt), Some(comes)) = (peg.cover, peg.available) else { continue };
            let Some(run) = plan.runs.serving(demand.need).filter(|_| comes.date() <= plan.day) else { continue };
            let bulk = plan.plant.part(demand.part).issue == Issue::Bulk;
            let owner = Some(demand.owner).filter(|_| !bulk);
            let order = plan.plant.receipts[receipt as usize].order.as_str();
            let piece = Piece { owner, to: demand.to, part: demand.part, comes, run, order };
            // What comes in time for a later day's run is not waited for.
            if !piece.straight() && run.leaves.date() > plan.day {
                continue;
            }
            let fresh = || Amount { need: demand.need, qty: Quantity::ZERO, receipt };
            let amount = pieces.entry(piece).or_insert_with(fresh);
            amount.qty += peg.qty;
            amount.need = amount.need.min(demand.need);
        }
    }
    let mut sorted: Vec<(Piece<'p>, Amount)> = pieces.into_iter().collect();
    sorted.sort_by_key(|(piece, amount)| (amount.need, *piece));
    sorted
}

listing! {
    /// A receipt that something waits for.
    ReceiptsOfTheDay: fn line<'p>(plan: &'p Plan<'p>, piece: &Piece<'p>, amount: &Amount) {
        let receipt = &plan.plant.receipts[amount.receipt as usize];
        let part = plan.plant.part(piece.part);
        let (straight, late) = (piece.straight(), amount.need.minutes_until(piece.comes));
        let place = if straight {
            "straight to the station".to_owned()
        } else {
            format!("to the stores, for the {} run", piece.run.leaves.clock())
        };
        let how = match (late > 0, straight) {
            (true, _) => "late",
            (false, true) => "special run",
            (false, false) => "arriving",
        };
    }
    look: if straight { Look::Wrong } else { Look::Plain };
    "sent", 6, Box => "";
    "needed", 17, Moment => amount.need;
    "unit", 6, Text => piece.owner.map(|owner| unit_code(plan, owner));
    "to", 5, Text => dest_code(plan, piece.to);
    "part", 6, Wrapped => part.code.as_str();
    "description", 12, Wrapped => part.description.as_str();
    "qty", 6, Quantity => amount.qty;
    "uom", 5, Text => part.uom.as_str();
    "comes", 17, Moment => piece.comes;
    "promised", 12, Wrapped => match receipt.not_promised() {
        "" if receipt.confirmed == Some(true) => "confirmed",
        words => words,
    };
    "purchase order", 10, Wrapped => receipt.order.as_str();
    "supplier", 12, Wrapped => receipt.supplier.as_str();
    "where to", 16, Wrapped => place;
    "how it stands", 8, Text => how;
    "minutes late", 9, Whole => Some(late).filter(|late| *late > 0);
}
