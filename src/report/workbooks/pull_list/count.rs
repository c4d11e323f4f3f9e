//! Bins to count, for the storekeeper: half a page of those whose count may be least wrong before somebody lacks the part.

use super::bins;
use super::words::{narrow, unit_code};
use crate::base::{PartId, Quantity, count};
use crate::calls::{self, Bin};
use crate::check::{Part, Stock};
use crate::plan::{Plan, step};
use crate::report::call_words::saved;
use crate::report::line_words::NOT_A_FORECAST;
use crate::report::listing::{Line, listing, widths};
use crate::report::names::dest_code;
use crate::report::prose::few;
use crate::report::sheet::{Look, Sheet};

/// So many places of a part are named.
const PLACES: usize = 3;

pub fn sheet<'p>(plan: &'p Plan<'p>) -> Sheet<'p> {
    let bins = calls::bins(plan);
    let mut sheet = Sheet::new("bins to count", &widths::<ToCount>());
    sheet.text(Look::Title, format!("Bins to count, {}", plan.day.long()));
    let days = count(plan.plant.count_days as usize, "day", "days");
    let told = format!(
        "Where a count that is wrong by little makes somebody lack a part that the plan has in time: over the needs up to and with {} \
         (as of {}, the next {days} on which the stores are open), the least first. Not here: what is late or short in these days anyway, and \
         bins that could be empty and nobody would lack anything.",
        plan.last_count_day().long(),
        plan.plant.as_of.short()
    );
    sheet.paragraph(Look::Plain, told);
    if bins.first.is_empty() {
        sheet.text(Look::Strong, "No bin: whatever lies in one, nobody lacks anything in these days.");
        return sheet;
    }
    let how = "A count that differs goes into Stock. What it does is told before that by: lineward try BOOK --set 'Stock PART LOCATION qty=COUNT'";
    sheet.paragraph(Look::Plain, how);
    let lines: Vec<Line<'p, ToCount>> = bins.first.iter().map(|bin| line(plan, bin)).collect();
    sheet.table(Some("bins_to_count".to_owned()), lines);
    if bins.more > 0 {
        let more = count(bins.more, "part more has", "parts more have");
        sheet.text(Look::Strong, format!("{more} a larger margin that is less than the bin."));
    }
    sheet.paragraph(Look::Faint, NOT_A_FORECAST);
    sheet
}

/// Where it lies and how much: `A-2-1`, or with several places `12 at A-2-1; 3 at Z-01`.
fn places(plan: &Plan<'_>, id: PartId) -> String {
    let part = plan.plant.part(id);
    let rows: Vec<&Stock> = plan.plant.stock.iter().filter(|row| row.part == id).collect();
    let bins = bins::of_part(plan.plant, part, &rows);
    let bins: Vec<_> = bins.iter().filter(|bin| bin.free.is_positive()).collect();
    let named = |place: &str| if place.is_empty() { "no location".to_owned() } else { place.to_owned() };
    match bins.as_slice() {
        [one] => named(&one.place),
        all => few(all.iter().map(|bin| format!("{} at {}", bin.free, named(&bin.place))), PLACES),
    }
}

/// A margin as somebody counts it: cut to the decimals of its unit of measure.
fn counted(plan: &Plan<'_>, id: PartId, margin: Quantity) -> Quantity {
    let step = step(plan, id).millionths();
    Quantity::from_millionths(margin.millionths() / step * step)
}

listing! {
    /// A bin to be counted.
    ToCount: fn line<'p>(plan: &'p Plan<'p>, bin: &Bin) {
        let margin = &bin.margin;
        let part: &'p Part = plan.plant.part(margin.part);
        let (first, uom) = (&margin.first, part.uom.as_str());
        let whole = |qty: Quantity| qty.round_up(part.decimals);
        let comes = if margin.comes.is_positive() { format!(" + {} that come", margin.comes) } else { String::new() };
        let by = if margin.at == first.need { "then".to_owned() } else { narrow(plan, margin.at) };
        let why = format!("{} there{comes} - {} needed by {by}", margin.stores, whole(margin.needed));
        let who = format!("{} at {}, {}", unit_code(plan, first.owner), dest_code(plan, first.to), narrow(plan, first.need));
        let loses = bin.loses.as_ref().map_or("not worked out: too much is missing".to_owned(), saved);
    }
    look: Look::Plain;
    "location", 11, Wrapped => places(plan, margin.part);
    "part", 14, Wrapped => part.code.as_str();
    "description", 36, Wrapped => part.description.as_str();
    "by the book", 10, Wrapped => format!("{} {uom}", margin.stores);
    "may be wrong by", 10, Wrapped => format!("{} {uom}", counted(plan, margin.part, margin.margin));
    "first to lack it", 30, Wrapped => who;
    "because", 34, Wrapped => why;
    "then the line loses more", 32, Wrapped => loses;
    "counted", 9, Box => "";
    "by, when", 12, Box => "";
}
