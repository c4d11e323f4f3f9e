//! The sheet `past the sequence`: what units that are not in the sequence yet are expected to take, and what to order for them by when.

use super::facts::Facts;
use super::order::inside_lead_time;
use super::text::{amount, few, money, supplier_name};
use crate::base::{ChangeId, Date, Quantity, Total, UnitId, count};
use crate::forecast::foreseen;
use crate::plan::{Expected, Foreseen, Sampled, enters_last};
use crate::report::listing::{Line, listing, widths};
use crate::report::sheet::{Look, Sheet};

/// So many orders stand on the sheet, those first that must be placed first.
const MOST: usize = 200;
/// So many floorplans, and so many changes that begin within a period.
const MOST_NAMED: usize = 60;

/// The sheet; `None` where the book has no forecast.
pub fn sheet<'p>(facts: &Facts<'p>) -> Option<Sheet<'p>> {
    let plant = facts.plan.plant;
    if plant.forecast.iter().all(|row| row.units == 0) {
        return None;
    }
    let ahead = foreseen(facts.plan);
    let mut sheet = Sheet::new("past the sequence", &widths::<ToOrder>()).with_currency(&plant.currency);
    sheet.text(Look::Title, "Past the sequence: a forecast, not a plan");
    sheet.paragraph(
        Look::Plain,
        format!(
            "What units that are not in the sequence are expected to take: each of them as one of the last {} units of its floorplan in \
             the sequence did, done ones included, with the changes that its period has reached, and independently of all others. Where \
             orders come in waves, more is taken than this says. 'Half' is enough with a chance of 50 in a hundred, 'nearly all' of 95. \
             'Left' is where the balance ends, receipts and planned orders in it, less nearly all of the periods before; what is to be \
             ordered keeps the safety stock as well.",
            plant.sample_units
        ),
    );
    samples(&mut sheet, facts, ahead);
    orders(&mut sheet, facts, ahead);
    Some(sheet)
}

/// How much is to be ordered for what is forecast, and how soon; `None` where the book has no forecast.
pub fn words(facts: &Facts<'_>) -> Option<String> {
    let plant = facts.plan.plant;
    if plant.forecast.iter().all(|row| row.units == 0) {
        return None;
    }
    let ahead = foreseen(facts.plan);
    let by = |until: Date| ahead.rows.iter().filter_map(|row| row.order_by).filter(|day| *day <= until).count();
    let (late, soon) = (by(plant.as_of.date().plus(-1)), by(facts.week));
    let without = ahead.samples.iter().filter(|sample| sample.units.is_empty()).count();
    let without = match without {
        0 => String::new(),
        some => format!("; nothing is known of {}", count(some, "floorplan", "floorplans")),
    };
    let soon = count(soon - late, "order", "orders");
    let until = facts.week.short();
    Some(format!(
        "{soon} to be placed by {until}, and {late} inside lead time, for what is forecast{without}: see that sheet"
    ))
}

/// From which units it is taken; and of which floorplans nothing can be said.
fn samples(sheet: &mut Sheet<'_>, facts: &Facts<'_>, ahead: &Foreseen) {
    let plant = facts.plan.plant;
    let code = |unit: &UnitId| plant.units[unit.at()].code.as_str();
    for sample in ahead.samples.iter().take(MOST_NAMED) {
        let name = &plant.floorplans[sample.floorplan.at()].code;
        let forecast = count_of(sample.forecast);
        let wrong = match sample.wrong {
            0 => String::new(),
            wrong => format!("; {} left out, whose orders are wrong", count(wrong, "unit is", "units are")),
        };
        match (sample.units.first(), sample.units.last()) {
            (Some(first), Some(last)) => {
                let from = count(sample.units.len(), "unit", "units");
                let text =
                    format!("{name}: {forecast} forecast, by {from} from {} to {}{wrong}", code(first), code(last));
                sheet.text(Look::Plain, text);
            }
            _ => {
                let text = format!(
                    "{name}: {forecast} forecast, and the sequence has no unit of it to take anything from: NOTHING of what they need \
                     is in this list{wrong}"
                );
                sheet.paragraph(Look::Wrong, text);
            }
        }
        early(sheet, facts, sample);
    }
    if ahead.samples.len() > MOST_NAMED {
        sheet.text(Look::Strong, format!("and {} floorplans more", ahead.samples.len() - MOST_NAMED));
    }
    if !ahead.within.is_empty() {
        let named = |(change, (from, to)): &(ChangeId, (Date, Date))| {
            format!("{} ({} to {})", plant.changes[change.at()].code, from.short(), to.short())
        };
        let text = few(ahead.within.iter().map(named), MOST_NAMED);
        sheet.paragraph(Look::Strong, format!("Changes that begin within a period count from the next one on: {text}"));
    }
    if !ahead.too_large.is_empty() {
        let parts = few(ahead.too_large.iter().map(|part| plant.part(*part).code.clone()), MOST_NAMED);
        sheet.paragraph(Look::Wrong, format!("Too much to be told would be taken of {parts}"));
    }
}

/// Periods of a floorplan that begin while units of the sequence still enter.
fn early(sheet: &mut Sheet<'_>, facts: &Facts<'_>, sample: &Sampled) {
    let plant = facts.plan.plant;
    let Some((unit, enters)) = enters_last(plant, &facts.plan.pace, sample.floorplan) else { return };
    let rows =
        plant.forecast.iter().filter(|row| row.floorplan == sample.floorplan && row.units > 0 && row.from <= enters);
    let rows = few(rows.map(|row| format!("{} to {}", row.from.short(), row.to.short())), 3);
    if !rows.is_empty() {
        let name = &plant.floorplans[sample.floorplan.at()].code;
        let unit = &plant.units[unit.at()].code;
        let until = format!("{unit} of the sequence enters on {}", enters.short());
        sheet.paragraph(
            Look::Wrong,
            format!("{name}, {rows}: counted whole, though {until}. What starts before that is counted twice."),
        );
    }
}

/// What is to be ordered, by the day to order it.
fn orders<'p>(sheet: &mut Sheet<'p>, facts: &Facts<'p>, ahead: &Foreseen) {
    sheet.gap();
    let mut orders: Vec<&Expected> = ahead.rows.iter().filter(|row| row.to_order.is_positive()).collect();
    orders.sort_by_key(|row| (row.order_by, row.part, row.from));
    if orders.is_empty() {
        sheet.text(Look::Plain, "Nothing has to be ordered for what is forecast.");
        return;
    }
    let today = facts.plan.plant.as_of.date();
    let inside = orders.iter().filter(|row| row.order_by.is_some_and(|day| day < today)).count();
    let cost: Total = orders.iter().filter_map(|row| facts.cost(row.part, row.to_order)).sum();
    let inside = if inside > 0 { format!(", {inside} inside lead time") } else { String::new() };
    let words = format!("{}{inside}, {} in all", count(orders.len(), "order", "orders"), amount(facts, cost));
    sheet.text(Look::Strong, words);
    sheet.gap();
    let lines: Vec<Line<'p, ToOrder>> = orders.iter().take(MOST).map(|row| line(facts, row)).collect();
    sheet.table(Some("past_the_sequence".to_owned()), lines);
    if orders.len() > MOST {
        let more = count(orders.len() - MOST, "order", "orders");
        sheet.text(Look::Strong, format!("and {more} more, to be placed later: see tables/outlook"));
    }
}

/// An amount to so many decimals, halves up; the table has it exactly.
fn near(amount: Quantity, decimals: u8) -> Quantity {
    let step = 10_i64.pow(6 - u32::from(decimals.min(6)));
    Quantity::from_millionths((amount.millionths() + step / 2).div_euclid(step) * step)
}

fn count_of(units: u64) -> String {
    format!("{units} {}", if units == 1 { "unit" } else { "units" })
}

listing! {
    /// What is to be ordered for a period.
    ToOrder: fn line<'p>(facts: &Facts<'p>, row: &Expected) {
        let part = facts.part(row.part);
        let late = row.order_by.is_some_and(|day| day < facts.plan.plant.as_of.date());
        let goes_out = facts.goes_out(row.part).map(|change| format!("goes out with change {change}"));
        let what = [Some(part.description.clone()), goes_out].into_iter().flatten().collect::<Vec<_>>().join("; ");
    }
    look: if late { Look::Strong } else { Look::Plain };
    "order by", 11, Date => row.order_by.map(|day| facts.order_by(day));
    "supplier", 19, Wrapped => supplier_name(&part.supplier);
    "part", 14, Text => part.code.as_str();
    "description", 22, Wrapped => what;
    "order qty", 8, Quantity => row.to_order;
    "uom", 5, Text => part.uom.as_str();
    "for units from", 11, Date => row.from;
    "to", 11, Date => row.to;
    "mean", 8, Quantity => near(row.mean, part.decimals.max(1));
    "half", 8, Quantity => row.half.round_up(part.decimals);
    "nearly all", 8, Quantity => row.nearly_all.round_up(part.decimals);
    "left", 8, Quantity => near(row.left, part.decimals);
    "lead time", 14, Wrapped => format!("{}, {} days", inside_lead_time(late), part.lead_days);
    "cost", 10, Money => money(facts.cost(row.part, row.to_order));
}
