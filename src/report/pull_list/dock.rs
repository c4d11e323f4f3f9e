//! The receipts of the day that something waits for, soonest need first.

use super::super::names::dest_code;
use super::super::sheet::{Column, Line, Look, Sheet, Show};
use super::words::{count, unit_code};
use crate::base::{DestId, Moment, OwnerId, PartId, Quantity};
use crate::check::Issue;
use crate::netting::Cover;
use crate::plan::Plan;
use crate::waves::DeliveryRun;
use std::collections::BTreeMap;

const COLUMNS: [Column; 14] = [
    Column { heading: "sent", show: Show::Box },
    Column { heading: "needed", show: Show::Moment },
    Column { heading: "unit", show: Show::Text },
    Column { heading: "to", show: Show::Text },
    Column { heading: "part", show: Show::Wrapped },
    Column { heading: "description", show: Show::Wrapped },
    Column { heading: "qty", show: Show::Quantity },
    Column { heading: "uom", show: Show::Text },
    Column { heading: "comes", show: Show::Moment },
    Column { heading: "purchase order", show: Show::Wrapped },
    Column { heading: "supplier", show: Show::Wrapped },
    Column { heading: "where to", show: Show::Wrapped },
    Column { heading: "how it stands", show: Show::Text },
    Column { heading: "minutes late", show: Show::Whole },
];
const WIDTHS: [u16; 14] = [6, 18, 12, 11, 14, 30, 8, 6, 18, 11, 24, 30, 13, 9];

/// What of a receipt goes to one unit at one place with one run.
struct Piece {
    need: Moment,
    qty: Quantity,
    receipt: u32,
    run: DeliveryRun,
}

/// The sheet.
pub fn sheet<'p>(plan: &'p Plan<'p>) -> Sheet<'p> {
    let mut sheet = Sheet::new("receipts of the day", &WIDTHS);
    sheet.text(Look::Title, format!("Receipts that something waits for, up to {}", plan.day.long()));
    let pieces = pieces(plan);
    if pieces.is_empty() {
        sheet.text(Look::Plain, "No receipt up to the end of this day is waited for.");
        return sheet;
    }
    let straight = pieces.iter().filter(|(key, piece)| key.4 > piece.run.picked).count();
    sheet.paragraph(
        Look::Plain,
        format!(
            "Soonest need first. {} straight to the station: the run has been picked when the receipt comes. The others go \
             into the stores before their run is picked.",
            count(straight, "line goes", "lines go")
        ),
    );
    let lines = pieces.into_iter().map(|(key, piece)| line(plan, key, &piece)).collect();
    sheet.table(Some("receipts_of_the_day".to_owned()), &COLUMNS, lines);
    sheet
}

/// Rank, destination and part of the taker, and when it comes.
type Key = (Moment, Option<OwnerId>, DestId, PartId, Moment);

fn pieces(plan: &Plan<'_>) -> Vec<(Key, Piece)> {
    let mut pieces: BTreeMap<(Option<OwnerId>, DestId, PartId, Moment, DeliveryRun, &str), Piece> = BTreeMap::new();
    for supply in &plan.supplies {
        for peg in &supply.pegs {
            let (Cover::Receipt(receipt), Some(comes)) = (peg.cover, peg.available) else { continue };
            let demand = &supply.demands[peg.demand as usize];
            let Some(run) = plan.runs.serving(demand.need) else { continue };
            // What comes on the day and is needed by a later day's runs is not waited for.
            let waits = comes > run.picked || run.leaves.date() <= plan.day;
            if comes.date() > plan.day || !waits {
                continue;
            }
            let bulk = plan.plant.part(demand.part).issue == Issue::Bulk;
            let owner = Some(demand.owner).filter(|_| !bulk);
            let order = plan.plant.receipts[receipt as usize].order.as_str();
            let fresh = || Piece { need: demand.need, qty: Quantity::ZERO, receipt, run };
            let piece = pieces.entry((owner, demand.to, demand.part, comes, run, order)).or_insert_with(fresh);
            piece.qty += peg.qty;
            piece.need = piece.need.min(demand.need);
        }
    }
    let keyed =
        pieces.into_iter().map(|((owner, to, part, comes, ..), piece)| ((piece.need, owner, to, part, comes), piece));
    let mut keyed: Vec<(Key, Piece)> = keyed.collect();
    keyed.sort_by_key(|(key, _)| *key);
    keyed
}

fn line<'p>(plan: &'p Plan<'p>, (need, owner, to, part, comes): Key, piece: &Piece) -> Line<'p> {
    let receipt = &plan.plant.receipts[piece.receipt as usize];
    let part = plan.plant.part(part);
    let (straight, late) = (comes > piece.run.picked, need.minutes_until(comes));
    let wher = if straight {
        "straight to the station".to_owned()
    } else {
        format!("to the stores, for the {} run", piece.run.leaves.clock())
    };
    let how = match (late > 0, straight) {
        (true, _) => "late",
        (false, true) => "special run",
        (false, false) => "arriving",
    };
    let values = vec![
        "".into(),
        need.into(),
        owner.map(|owner| unit_code(plan, owner)).into(),
        dest_code(plan, to).into(),
        part.code.as_str().into(),
        part.description.as_str().into(),
        piece.qty.into(),
        part.uom.as_str().into(),
        comes.into(),
        receipt.order.as_str().into(),
        receipt.supplier.as_str().into(),
        wher.into(),
        how.into(),
        Some(late).filter(|late| *late > 0).into(),
    ];
    (if straight { Look::Wrong } else { Look::Plain }, values)
}
