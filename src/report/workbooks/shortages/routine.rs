//! The sheet `routine orders`: what is to be ordered without which nothing is short yet, one line each.

use super::acts::{Acts, Order};
use super::facts::Facts;
use super::order::note;
use super::text::{money, supplier_name};
use crate::base::count;
use crate::report::listing::{listing, widths};
use crate::report::sheet::{Look, Sheet};
use crate::report::table::Value;

/// So many stand on the sheet, those first that must be placed first.
const MOST: usize = 40;

/// The sheet; `None` where there is nothing to order so.
pub fn sheet<'p>(facts: &Facts<'p>, acts: &Acts<'_, 'p>) -> Option<Sheet<'p>> {
    let orders: Vec<&Order> = acts.order.iter().filter(|order| !facts.is_short(order.part)).collect();
    if orders.is_empty() {
        return None;
    }
    let mut sheet = Sheet::new("routine orders", &widths::<RoutineOrders>()).with_currency(&facts.plan.plant.currency);
    sheet.text(Look::Title, "Routine orders: nothing is short without them yet");
    sheet.paragraph(
        Look::Plain,
        "They keep the safety stock. 'Order by' and 'there by' are days on which the stores are open.",
    );
    sheet.gap();
    sheet.table(Some("routine_orders".to_owned()), orders.iter().take(MOST).map(|order| line(facts, order)).collect());
    if orders.len() > MOST {
        let more = count(orders.len() - MOST, "order", "orders");
        sheet.text(Look::Strong, format!("and {more} more, to be placed later: see 'order'"));
    }
    Some(sheet)
}

listing! {
    /// An order that nothing waits for.
    RoutineOrders: fn line<'p>(facts: &Facts<'p>, order: &Order) {
        let part = facts.part(order.part);
        let planned = order.planned;
        let note = Some(note(facts, order)).filter(|note| !note.is_empty());
        let what = [Some(part.description.clone()), note].into_iter().flatten().collect::<Vec<_>>().join("; ");
    }
    look: Look::Plain;
    "order by", 11, Date => facts.order_by(planned.release);
    "supplier", 25, Wrapped => supplier_name(&part.supplier);
    "part", 16, Text => part.code.as_str();
    "description", 46, Wrapped => what;
    "how many", 14, Text => format!("{} {}", planned.qty, part.uom);
    "there by", 11, Date => facts.wanted_on(planned.day);
    "cost", 11, Money => money(facts.cost(order.part, planned.qty));
    "placed", 24, Box => Value::Blank;
}
