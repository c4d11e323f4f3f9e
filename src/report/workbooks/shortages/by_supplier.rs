//! The sheet `by supplier`: all there is to say to each supplier, side by side, so that one call settles it.

use super::acts::{self, Acts, Order};
use super::chase::who_leans;
use super::facts::Facts;
use super::order;
use super::text::{at_once, due, few, mark, more, promise_and, supplier_name, who};
use super::waiting::Coming;
use crate::base::{Moment, PartId, Quantity, fold};
use crate::report::limits::LONGEST;
use crate::report::listing::{Line, listing, widths};
use crate::report::sheet::{Look, Sheet};
use crate::report::table::Value;
use std::collections::BTreeMap;

/// One thing to ask a supplier for.
struct Ask<'p> {
    what: &'static str,
    order: &'p str,
    part: PartId,
    qty: Quantity,
    by: Value<'p>,
    saves: Option<Moment>,
    now_due: Value<'p>,
    whom: String,
    note: String,
}

/// What a supplier is asked about.
#[derive(Clone, Copy)]
enum About<'f, 'p> {
    Chase(&'f Coming<'p>),
    BringForward(&'f Coming<'p>),
    Order(&'f Order),
}

impl<'p> About<'_, 'p> {
    /// How many things it is to ask for.
    fn count(&self) -> usize {
        if let Self::BringForward(coming) = self { coming.taken.late_runs } else { 1 }
    }

    /// When the call is due: the sooner, the further up.
    fn urgent(&self, facts: &Facts<'_>) -> Moment {
        let end = facts.plan.end.map_or(Moment::NEVER, |(_, leaves)| leaves);
        match self {
            Self::Chase(coming) => coming.taken.first.first().map_or(end, |run| run.by),
            Self::BringForward(coming) => coming.taken.first_late.unwrap_or(end),
            Self::Order(order) => facts.order_by(order.planned.release).midnight(),
        }
    }

    /// What is asked for, one by one.
    fn asks(&self, facts: &Facts<'p>) -> Vec<Ask<'p>> {
        match self {
            Self::Chase(coming) => vec![chase(facts, coming)],
            Self::BringForward(coming) => bring_forward(facts, coming),
            Self::Order(order) => vec![new_order(facts, order)],
        }
    }
}

/// What one supplier is asked for, in the order chase, bring forward, order.
pub struct Call<'f, 'p> {
    /// The supplier, as the book first spells it.
    pub supplier: &'p str,
    /// The moment the call is due.
    urgent: Moment,
    about: Vec<About<'f, 'p>>,
}

/// The sheet.
pub fn sheet<'p>(facts: &Facts<'p>, acts: &Acts<'_, 'p>) -> Sheet<'p> {
    let mut sheet = Sheet::new("by supplier", &widths::<BySupplier>());
    sheet.text(Look::Title, "By supplier: one call each");
    sheet.paragraph(
        Look::Plain,
        "The supplier whose call is due first stands first. 'How many' is all told where an order has several lines. 'By when' is \
         the picking of the run: the pieces go with it until then. 'Saves the line until' is the last moment at which nothing stops for \
         them (of an order for the first of them): for you, not for the supplier.",
    );
    sheet.gap();
    let calls = calls(facts, acts);
    if calls.is_empty() {
        sheet.text(Look::Plain, "There is nobody to call.");
        return sheet;
    }
    let mut row = sheet.next_row() + 1;
    let mut lines: Vec<Line<'p, BySupplier>> = Vec::new();
    let mut firsts = Vec::new();
    for call in calls.iter() {
        if lines.len() >= LONGEST {
            break;
        }
        let asks = call.about.iter().flat_map(|about| about.asks(facts)).take(LONGEST - lines.len());
        firsts.push(row);
        let before = lines.len();
        lines.extend(asks.map(|ask| line(facts, call.supplier, &ask)));
        row += (lines.len() - before) as u32;
    }
    let (shown, all) = (lines.len(), calls.iter().flat_map(|call| &call.about).map(About::count).sum());
    sheet.table(Some("by_supplier".to_owned()), lines);
    more(&mut sheet, shown, all, "tables/shortages and tables/balances");
    for row in firsts {
        (0..5).for_each(|column| mark(&mut sheet, row, column, Look::Strong));
        mark(&mut sheet, row, 0, Look::Wrong);
    }
    sheet
}

/// Whom to call, the most urgent first.
pub fn calls<'f, 'p>(facts: &Facts<'p>, acts: &'f Acts<'f, 'p>) -> Vec<Call<'f, 'p>> {
    let mut by_name: BTreeMap<String, Call<'f, 'p>> = BTreeMap::new();
    let mut add = |supplier: &'p str, about: About<'f, 'p>| {
        let new = || Call { supplier, urgent: Moment::NEVER, about: Vec::new() };
        let call = by_name.entry(fold(supplier)).or_insert_with(new);
        call.urgent = call.urgent.min(about.urgent(facts));
        call.about.push(about);
    };
    acts.chase.iter().for_each(|coming| add(coming.delivery.supplier, About::Chase(coming)));
    acts.bring_forward.iter().for_each(|coming| add(coming.delivery.supplier, About::BringForward(coming)));
    acts.order.iter().for_each(|order| add(&facts.part(order.part).supplier, About::Order(order)));
    let mut calls: Vec<(String, Call<'f, 'p>)> = by_name.into_iter().collect();
    calls.sort_by_cached_key(|(name, call)| (call.urgent, name.clone()));
    calls.into_iter().map(|(_, call)| call).collect()
}

/// A thing to ask for each run that needs some of a delivery sooner.
fn bring_forward<'p>(facts: &Facts<'p>, coming: &Coming<'p>) -> Vec<Ask<'p>> {
    let delivery = coming.delivery;
    let ask = |step: acts::Step| Ask {
        what: "bring forward",
        order: delivery.order,
        part: delivery.part,
        qty: step.qty,
        by: step.by.into(),
        saves: facts.saves_until(step.takers.iter()),
        now_due: due(delivery),
        whom: few(step.takers.iter().map(|demand| who(facts, demand)), 3),
        note: promise_and(delivery, at_once(facts, step.by)),
    };
    acts::steps(facts, coming).into_iter().map(ask).collect()
}

fn chase<'p>(facts: &Facts<'p>, coming: &Coming<'p>) -> Ask<'p> {
    let &Coming { delivery, taken, .. } = coming;
    let first = taken.first.first();
    let by = first.map(|run| run.by);
    let note = match (first, taken.last) {
        (Some(first), Some(last)) => {
            format!("{} needed, {} first, the last by {}", taken.qty, first.qty, last.short())
        }
        _ => "nothing in this sequence leans on it".to_owned(),
    };
    Ask {
        what: "chase",
        order: delivery.order,
        part: delivery.part,
        qty: delivery.open,
        by: by.into(),
        saves: facts.delivery_saves_until(coming),
        now_due: due(delivery),
        whom: first.map(|run| who_leans(facts, run, 3)).unwrap_or_default(),
        note,
    }
}

fn new_order<'p>(facts: &Facts<'p>, order: &Order) -> Ask<'p> {
    let first = acts::firsts(facts, std::slice::from_ref(order)).into_iter().next().flatten();
    let planned = order.planned;
    let mut note = format!("order by {}", facts.order_by(planned.release).short());
    if order.inside_lead_time {
        note = format!("inside lead time: {note}");
    }
    let more = order::note(facts, order);
    Ask {
        what: "order",
        order: "",
        part: order.part,
        qty: planned.qty,
        by: first.map_or(planned.day.into(), |piece| piece.picked.into()),
        saves: first.and_then(|piece| facts.plan.saves_until(&piece.demand)),
        now_due: Value::Blank,
        whom: first.map_or("safety stock".to_owned(), |piece| who(facts, &piece.demand)),
        note: if more.is_empty() { note } else { format!("{note}; {more}") },
    }
}

listing! {
    /// What to ask a supplier for.
    BySupplier: fn line<'p>(facts: &Facts<'p>, supplier: &'p str, ask: &Ask<'p>) {
        let part = facts.part(ask.part);
    }
    look: Look::Plain;
    "supplier", 20, Wrapped => supplier_name(supplier);
    "ask", 13, Text => ask.what;
    "purchase order", 10, Wrapped => ask.order;
    "part", 14, Text => part.code.as_str();
    "description", 20, Wrapped => part.description.as_str();
    "how many", 8, Quantity => ask.qty;
    "uom", 5, Text => part.uom.as_str();
    "by when", 17, Moment => ask.by.clone();
    "saves the line until", 17, Moment => ask.saves;
    "now due", 17, Moment => ask.now_due.clone();
    "for", 20, Wrapped => ask.whom.clone();
    "note", 26, Wrapped => ask.note.clone();
    "what was agreed", 16, Box => Value::Blank;
}
