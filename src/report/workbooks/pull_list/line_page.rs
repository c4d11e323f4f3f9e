//! The line lead's page: what is not there for the units that are on the line up to the end of the day, by position and arrival,
//! with room for what is decided. One page to copy.

use super::day::Day;
use super::feeders::job_words;
use super::weight;
use super::words::{promise, unit_code};
use crate::base::DestId;
use crate::check::DestKind;
use crate::netting::Cover;
use crate::plan::{Consequence, Doubt, Outcome, Plan, There, fitted_later};
use crate::report::line_words;
use crate::report::listing::{listing, widths};
use crate::report::names::{dest_code, outcome_word};
use crate::report::sheet::{Look, Paper, Sheet};
use crate::report::table::Value;
use itertools::Itertools;

/// So many pieces stand on the page, those that stop the line before all others.
const MOST: usize = 22;
/// The height of a line in which something can be written.
const HIGH: u16 = 30;

pub fn sheet<'p>(day: &Day<'p>) -> Sheet<'p> {
    let plan = day.plan;
    let evening = plan.day.plus(1).midnight();
    let mut sheet = Sheet::new("the line", &widths::<TheLine>());
    sheet.paper = Paper::OnePage;
    sheet.text(Look::Title, format!("The line, {}: for the line lead", plan.day.long()));
    sheet.paragraph(Look::Strong, line_words::line(plan));
    sheet.paragraph(Look::Faint, line_words::NOT_A_FORECAST);
    let soon = |row: &&Consequence| row.arrives < evening;
    let rows = plan.effects.first.iter().filter(soon).take(MOST).collect_vec();
    if rows.is_empty() {
        sheet.text(Look::Plain, "Up to the end of this day everything is there when its run is picked.");
    } else {
        let shown = rows.len();
        let lines = rows.into_iter().sorted_by_key(|row| place(plan, row)).map(|row| line(plan, row)).collect();
        sheet.table(Some("the_line_lead".to_owned()), lines);
        let first = sheet.rows.len() - shown;
        sheet.rows[first..]
            .iter_mut()
            .for_each(|row| row.height = Some(row.height.map_or(HIGH, |high| high.max(HIGH))));
        (sheet.repeat, sheet.freeze) = (None, None);
        let more = plan.effects.rows - shown;
        if more > 0 {
            sheet.text(
                Look::Strong,
                format!("and {more} more pieces, later days included: see shortages.xlsx, 'the line'"),
            );
        }
    }
    let until = "'At the last': there by then it stops nothing. Times are those of a line that does not stop: after a stop of a takt or more, \
                 plan again. Nothing here says that a part can follow later, but where 'fit by' does.";
    sheet.paragraph(Look::Faint, until);
    sheet
}

/// By line and position, then by arrival.
fn place(plan: &Plan<'_>, row: &Consequence) -> impl Ord + use<> {
    let at = match plan.plant.dest(row.to).what {
        DestKind::Station { line, position, .. } => (false, line.0, position),
        DestKind::Shop(shop) => (true, shop.0, 0),
    };
    (at, row.arrives, row.owner, row.part, row.there)
}

listing! {
    /// A piece that is not there when its run is picked.
    TheLine: fn line<'p>(plan: &'p Plan<'p>, row: &Consequence) {
        let part = plan.plant.part(row.part);
        let doubt = doubt_of(plan, row);
        let there: Value<'p> = match row.there {
            There::At(at) => at.into(),
            There::Unknown => "no time known".into(),
        };
        // Not where the book's does nothing: on another line, not behind the piece's own station, or below a job.
        let fit_by = fitted_later(plan, row.owner, row.to, row.part).map(|station| dest_code(plan, station));
    }
    look: if row.outcome == Outcome::StopsTheLine { Look::Wrong } else { Look::Plain };
    "position", 9, Whole => position(plan, row.to);
    "at", 11, Wrapped => dest_code(plan, row.to);
    "unit", 11, Wrapped => unit_code(plan, row.owner);
    "unit arrives", 17, Moment => row.arrives;
    "what it does", 14, Wrapped => outcome_word(row.outcome);
    "what is not there", 32, Wrapped => format!(
        "{} {} {} {}",
        weight::measured(part, row.qty),
        part.uom,
        part.code,
        weight::marked(plan.plant, part, row.qty)
    );
    "where it is now", 28, Wrapped => doubt.as_ref().map_or(String::new(), |doubt| now(plan, doubt));
    "comes", 17, Moment => there;
    "at the last", 17, Moment => row.saves_until;
    "fit by", 9, Wrapped => fit_by;
    "who brings it", 16, Wrapped => doubt.map_or(String::new(), |doubt| bringer(plan, &doubt));
    "decided", 18, Box => "";
    "agreed with", 13, Box => "";
}

fn position<'p>(plan: &Plan<'_>, to: DestId) -> Value<'p> {
    plan.plant.position(to).map_or_else(|| "shop".into(), |position| i64::from(position).into())
}

/// The piece of a demand that a row tells of.
fn doubt_of(plan: &Plan<'_>, row: &Consequence) -> Option<Doubt> {
    let doubts = plan.doubts_before(row.part, row.arrives.plus(1));
    let own = doubts.into_iter().filter(|doubt| (doubt.demand.owner, doubt.demand.to) == (row.owner, row.to));
    own.min_by_key(|doubt| (there(plan, doubt) != Some(row.there), doubt.demand.need))
}

fn there(plan: &Plan<'_>, doubt: &Doubt) -> Option<There> {
    plan.piece_there(&doubt.demand, doubt.cover, doubt.available)
}

/// Where a piece is now, as far as the book says.
fn now(plan: &Plan<'_>, doubt: &Doubt) -> String {
    match doubt.cover {
        Cover::Receipt(i) => {
            let receipt = &plan.plant.receipts[i as usize];
            let from = if receipt.supplier.is_empty() { String::new() } else { format!(", {}", receipt.supplier) };
            format!("order {}{from}{}", receipt.order, promise(plan, i))
        }
        Cover::Job(job) => job_words(plan, job),
        Cover::ByProduct => "on the unit".to_owned(),
        _ => "nothing covers it".to_owned(),
    }
}

/// Who brings a piece that goes with no run.
fn bringer(plan: &Plan<'_>, doubt: &Doubt) -> String {
    match doubt.cover {
        Cover::Receipt(_) => "the driver, from the dock".to_owned(),
        Cover::Job(job) => plan.plant.shop_dest(plan.jobs[job as usize].shop).code.clone(),
        Cover::ByProduct => "the station".to_owned(),
        _ => "nobody yet".to_owned(),
    }
}
