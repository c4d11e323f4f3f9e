//! The sheet `cures`: for each piece that stops the line what can be done, what it cures, what it costs others, how sure.

use super::cure_words::{cost, how_sure, to_do};
use super::facts::Facts;
use crate::base::count;
use crate::cures::{Advice, Cures, Piece};
use crate::report::listing::{listing, widths};
use crate::report::sheet::{Look, Sheet};
use crate::report::table::Value;

/// How the cures are found, and what none of them is.
const TOLD: &str = "For each piece that stops the line the first of these that works: stock on hold, loose stock that serves \
a later need, a reservation due later, the shop makes it first, a part shipment, another order. Each is tried on the whole \
plan, with what is advised above it done: the line no longer waits for the piece, and no other piece stops it that did not, or for longer. \
Stock on hold is never released here: quality decides. No other part is proposed in place of one. For brakes, axles, gas, \
electrics, exits and glazing licensed practice and the local code decide. 'By itself' is how long the line would stop for this piece alone: \
these do not add up; what the line loses for all stands on the first sheet, and what each call saves.";

pub fn sheet<'p>(facts: &Facts<'p>, cures: &Cures) -> Sheet<'p> {
    let mut sheet = Sheet::new("cures", &widths::<Cured>());
    sheet.text(Look::Title, "What can be done about what stops the line");
    sheet.text(Look::Strong, words(cures));
    sheet.paragraph(Look::Plain, TOLD);
    if cures.left_out > 0 {
        let more = count(cures.left_out, "piece more stops", "pieces more stop");
        sheet.text(Look::Wrong, format!("{more} the line, later than these, and were not looked at here."));
    }
    sheet.gap();
    if cures.pieces.is_empty() {
        return sheet;
    }
    let lines = cures.pieces.iter().map(|(piece, advice)| line(facts, cures, piece, advice)).collect();
    sheet.table(Some("cures".to_owned()), lines);
    sheet
}

/// `12 of 16 units that stop could keep moving, if suppliers and quality agree: see cures`, and how many more only inside a
/// lead time.
pub fn words(cures: &Cures) -> String {
    let (moving, inside, all) = cures.units();
    let more = match inside {
        0 => String::new(),
        _ => format!("; {inside} more only if a supplier sends inside the lead time"),
    };
    match all {
        0 => "No unit stops.".to_owned(),
        _ => {
            let units = count(all, "unit", "units");
            format!("{moving} of {units} that stop could keep moving, if suppliers and quality agree: see cures{more}")
        }
    }
}

listing! {
    /// A piece that stops the line, and what to do.
    Cured: fn line<'p>(facts: &Facts<'p>, cures: &Cures, piece: &Piece, advice: &Advice) {
        let plan = facts.plan;
        let part = facts.part(piece.part);
        // What another piece of the unit is told to cure is not told twice.
        let told = match advice {
            Advice::Do(_) => true,
            Advice::With(others) => !others.iter().any(|other| cures.pieces[*other].0.owner == piece.owner),
            Advice::Nothing => false,
        };
        let minutes: Value<'p> = match piece.stop_minutes {
            _ if !told => Value::Blank,
            Some(minutes) => minutes.into(),
            None => "not known".into(),
        };
        let works = advice.working().is_some() || matches!(advice, Advice::With(_));
    }
    look: if works { Look::Plain } else { Look::Wrong };
    "unit", 10, Text => plan.pace.owners[piece.owner.at()].code.as_str();
    "unit arrives", 17, Moment => piece.arrives;
    "part", 14, Text => part.code.as_str();
    "description", 20, Wrapped => part.description.as_str();
    "at", 10, Text => plan.plant.dest(piece.to).code.as_str();
    "qty", 6, Quantity => piece.qty;
    "what to do", 66, Wrapped => to_do(facts, cures, piece, advice);
    "by itself, min", 10, Whole => minutes;
    "costs others", 22, Wrapped => cost(facts, advice);
    "how sure", 34, Wrapped => how_sure(facts, cures, piece, advice);
}
