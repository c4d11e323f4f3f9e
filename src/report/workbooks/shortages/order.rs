//! The sheet `order`: what no open receipt covers, how much, by when and at what cost.

use super::acts::{Acts, First, Order, firsts};
use super::facts::Facts;
use super::text::{money, more, supplier_name, who};
use crate::base::count;
use crate::report::listing::{listing, widths};
use crate::report::sheet::{Look, Sheet};
use itertools::Itertools;

/// So many orders stand on the sheet, those that must be placed first.
const MOST: usize = 1_000;

pub fn sheet<'p>(facts: &Facts<'p>, acts: &Acts<'_, 'p>) -> Sheet<'p> {
    let mut sheet = Sheet::new("order", &widths::<Orders>()).with_currency(&facts.plan.plant.currency);
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
    sheet.table(Some("orders".to_owned()), lines);
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
    words += &format!(", {} in all", super::text::amount(facts, known));
    if unknown > 0 {
        words += &format!(", without {} whose price is not known", count(unknown, "part", "parts"));
    }
    words
}

listing! {
    /// An order to place.
    Orders: fn line<'p>(facts: &Facts<'p>, order: &Order, first: Option<First>) {
        let planned = order.planned;
        let part = facts.part(order.part);
    }
    look: if order.inside_lead_time { Look::Strong } else { Look::Plain };
    "part", 14, Text => part.code.as_str();
    "description", 20, Wrapped => part.description.as_str();
    "supplier", 19, Wrapped => supplier_name(&part.supplier);
    "order qty", 8, Quantity => planned.qty;
    "uom", 5, Text => part.uom.as_str();
    "order by", 11, Date => facts.order_by(planned.release);
    "lead time", 10, Wrapped => lead_word(order);
    "wanted on", 11, Date => facts.wanted_on(planned.day);
    "there before", 17, Moment => first.map(|piece| piece.picked);
    "first for", 16, Wrapped => first.map_or("safety stock".to_owned(), |piece| who(facts, &piece.demand));
    "price", 9, Money => money(part.cost);
    "cost", 10, Money => money(facts.cost(order.part, planned.qty));
    "held units would need", 8, Quantity => facts.would_need(order.part);
    "note", 20, Wrapped => note(facts, order);
}

/// `inside lead time` where it is.
pub fn lead_word(order: &Order) -> &'static str {
    inside_lead_time(order.inside_lead_time)
}

/// The same in words.
pub fn inside_lead_time(inside: bool) -> &'static str {
    if inside { "inside lead time" } else { "in time" }
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
