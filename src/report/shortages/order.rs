//! The sheet `order`: what no open receipt covers, how much, by when and at what cost.

use super::acts::{Acts, First, Order, firsts};
use super::facts::Facts;
use super::text::{count, money, more, supplier_name, who};
use crate::report::sheet::{Column, Line, Look, Sheet, Show};
use itertools::Itertools;

/// So many orders stand on the sheet, those that must be placed first.
const MOST: usize = 1_000;
const WIDTHS: [u16; 14] = [14, 20, 19, 8, 5, 11, 10, 11, 17, 16, 9, 10, 8, 20];

const COLUMNS: [Column; 14] = [
    Column { heading: "part", show: Show::Text },
    Column { heading: "description", show: Show::Wrapped },
    Column { heading: "supplier", show: Show::Wrapped },
    Column { heading: "order qty", show: Show::Quantity },
    Column { heading: "uom", show: Show::Text },
    Column { heading: "order by", show: Show::Date },
    Column { heading: "lead time", show: Show::Wrapped },
    Column { heading: "wanted on", show: Show::Date },
    Column { heading: "there before", show: Show::Moment },
    Column { heading: "first for", show: Show::Wrapped },
    Column { heading: "price", show: Show::Money },
    Column { heading: "cost", show: Show::Money },
    Column { heading: "held units would need", show: Show::Quantity },
    Column { heading: "note", show: Show::Wrapped },
];

/// The sheet.
pub fn sheet<'p>(facts: &Facts<'p>, acts: &Acts<'_, 'p>) -> Sheet<'p> {
    let mut sheet = Sheet::new("order", &WIDTHS);
    sheet.text(Look::Title, "Order: what no open receipt covers");
    sheet.paragraph(
        Look::Plain,
        "Open receipts come first, on the sheets before. 'There before' is the picking of the run that the first short \
         piece is for; blank where an order only keeps the safety stock. Held units are not in the quantities.",
    );
    if acts.order.is_empty() {
        sheet.gap().text(Look::Plain, "Nothing needs to be ordered for this sequence.");
        return sheet;
    }
    sheet.text(Look::Strong, total(facts, acts));
    sheet.gap();
    let shown = &acts.order[..acts.order.len().min(MOST)];
    let firsts = firsts(facts, shown);
    let lines = shown.iter().zip(firsts).map(|(order, first)| line(facts, order, first)).collect();
    sheet.table(Some("orders".to_owned()), &COLUMNS, lines);
    more(&mut sheet, shown.len(), acts.order.len(), "tables/balances");
    sheet
}

/// How many orders there are, how many of them inside lead time, and what they cost.
pub fn total(facts: &Facts<'_>, acts: &Acts<'_, '_>) -> String {
    let costs = acts.order.iter().map(|order| facts.cost(order.part, order.planned.qty));
    let known = costs.flatten().sum();
    let inside = acts.order.iter().filter(|order| order.inside_lead_time).count();
    let no_price = |order: &&Order| facts.part(order.part).cost.is_none();
    let unknown = acts.order.iter().filter(no_price).map(|order| order.part).unique().count();
    let mut words = count(acts.order.len(), "order", "orders");
    if inside > 0 {
        words += &format!(", {inside} inside lead time");
    }
    words += &format!(", {} in all", super::text::amount(known));
    if unknown > 0 {
        words += &format!(", without {} whose price is not known", count(unknown, "part", "parts"));
    }
    words
}

fn line<'p>(facts: &Facts<'p>, order: &Order, first: Option<First>) -> Line<'p> {
    let planned = order.planned;
    let part = facts.part(order.part);
    let values = vec![
        part.code.as_str().into(),
        part.description.as_str().into(),
        supplier_name(&part.supplier).into(),
        planned.qty.into(),
        part.uom.as_str().into(),
        facts.order_by(planned.release).into(),
        lead_word(order).into(),
        planned.day.into(),
        first.map(|piece| piece.picked).into(),
        first.map_or("safety stock".to_owned(), |piece| who(facts, &piece.demand)).into(),
        money(part.cost),
        money(facts.cost(order.part, planned.qty)),
        facts.would_need(order.part).into(),
        note(facts, order).into(),
    ];
    (if order.inside_lead_time { Look::Strong } else { Look::Plain }, values)
}

/// `inside lead time` where it is.
pub fn lead_word(order: &Order) -> &'static str {
    if order.inside_lead_time { "inside lead time" } else { "in time" }
}

/// When it would come if it were ordered today, and whether the part goes out with a change.
pub fn note(facts: &Facts<'_>, order: &Order) -> String {
    let lead = facts.part(order.part).lead_days;
    let mut words = Vec::new();
    if order.inside_lead_time {
        words.push(format!("ordered today it comes {} ({lead} days)", facts.comes(lead).short()));
    }
    words.extend(facts.goes_out(order.part).map(|change| format!("goes out with change {change}")));
    words.join("; ")
}
