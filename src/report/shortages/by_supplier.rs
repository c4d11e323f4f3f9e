//! The sheet `by supplier`: all there is to say to each supplier, side by side, so that one call settles it.

use super::acts::Acts;
use super::chase::who_leans;
use super::facts::Facts;
use super::order;
use super::text::{at_once, due, few, mark, supplier_name, who};
use super::waiting::Coming;
use crate::base::{Moment, PartId, Quantity, fold};
use crate::report::sheet::{Column, Line, Look, Sheet, Show};
use crate::report::table::Value;
use itertools::Itertools;
use std::collections::BTreeMap;

const WIDTHS: [u16; 12] = [20, 13, 10, 14, 20, 8, 5, 17, 17, 20, 26, 16];

const COLUMNS: [Column; 12] = [
    Column { heading: "supplier", show: Show::Wrapped },
    Column { heading: "ask", show: Show::Text },
    Column { heading: "purchase order", show: Show::Wrapped },
    Column { heading: "part", show: Show::Text },
    Column { heading: "description", show: Show::Wrapped },
    Column { heading: "how many", show: Show::Quantity },
    Column { heading: "uom", show: Show::Text },
    Column { heading: "by when", show: Show::Moment },
    Column { heading: "now due", show: Show::Moment },
    Column { heading: "for", show: Show::Wrapped },
    Column { heading: "note", show: Show::Wrapped },
    Column { heading: "what was agreed", show: Show::Box },
];

/// One thing to ask a supplier for.
struct Ask<'p> {
    what: &'static str,
    order: &'p str,
    part: PartId,
    qty: Quantity,
    by: Value<'p>,
    now_due: Value<'p>,
    whom: String,
    note: String,
    /// When the call is due: the sooner, the further up.
    urgent: Moment,
}

/// What one supplier is asked for, in the order chase, bring forward, order.
pub struct Call<'p> {
    /// The supplier, as the book first spells it.
    pub supplier: &'p str,
    asks: Vec<Ask<'p>>,
}

impl Call<'_> {
    /// How many things of a kind are asked for.
    pub fn count(&self, what: &str) -> usize {
        self.asks.iter().filter(|ask| ask.what == what).count()
    }

    /// The parts asked for.
    pub fn parts(&self, facts: &Facts<'_>) -> String {
        few(self.asks.iter().map(|ask| ask.part).unique().map(|part| facts.part(part).code.clone()), 3)
            .replace("; ", ", ")
    }

    /// When the call is due: a run's picking, or the day to order by.
    pub fn due(&self) -> Value<'static> {
        let urgent = self.urgent();
        if urgent.time() == 0 { urgent.date().into() } else { urgent.into() }
    }

    /// The moment the call is due, to sort by.
    fn urgent(&self) -> Moment {
        self.asks.iter().map(|ask| ask.urgent).min().unwrap_or(Moment::NEVER)
    }
}

/// The sheet.
pub fn sheet<'p>(facts: &Facts<'p>, acts: &Acts<'_, 'p>) -> Sheet<'p> {
    let mut sheet = Sheet::new("by supplier", &WIDTHS);
    sheet.text(Look::Title, "By supplier: one call each");
    sheet.paragraph(
        Look::Plain,
        "The supplier whose call is due first stands first. 'How many' is all told where an order has several lines.",
    );
    sheet.gap();
    let calls = calls(facts, acts);
    if calls.is_empty() {
        sheet.text(Look::Plain, "There is nobody to call.");
        return sheet;
    }
    let first = sheet.next_row() + 1;
    let lines: Vec<Line<'p>> =
        calls.iter().flat_map(|call| call.asks.iter().map(|ask| line(facts, call, ask))).collect();
    sheet.table(Some("by_supplier".to_owned()), &COLUMNS, lines);
    let mut row = first;
    for call in &calls {
        (0..5).for_each(|column| mark(&mut sheet, row, column, Look::Strong));
        mark(&mut sheet, row, 0, Look::Wrong);
        row += call.asks.len() as u32;
    }
    sheet
}

/// Whom to call, the most urgent first.
pub fn calls<'p>(facts: &Facts<'p>, acts: &Acts<'_, 'p>) -> Vec<Call<'p>> {
    let mut by_name: BTreeMap<String, Call<'p>> = BTreeMap::new();
    let mut add = |supplier: &'p str, ask: Ask<'p>| {
        let call = by_name.entry(fold(supplier)).or_insert_with(|| Call { supplier, asks: Vec::new() });
        call.asks.push(ask);
    };
    acts.chase.iter().for_each(|coming| add(coming.delivery.supplier, chase(facts, coming)));
    for act in &acts.bring_forward {
        for step in &act.steps {
            let delivery = act.coming.delivery;
            let ask = Ask {
                what: "bring forward",
                order: delivery.order,
                part: delivery.part,
                qty: step.qty,
                by: step.by.into(),
                now_due: due(delivery),
                whom: few(step.takers.iter().map(|demand| who(facts, demand)), 3),
                note: at_once(facts, step.by).unwrap_or_default().to_owned(),
                urgent: step.by,
            };
            add(delivery.supplier, ask);
        }
    }
    acts.order.iter().for_each(|order| add(&facts.part(order.part).supplier, new_order(facts, order)));
    let mut calls: Vec<(String, Call<'p>)> = by_name.into_iter().collect();
    calls.sort_by_cached_key(|(name, call)| (call.urgent(), name.clone()));
    calls.into_iter().map(|(_, call)| call).collect()
}

fn chase<'p>(facts: &Facts<'p>, &Coming { delivery, taken, .. }: &Coming<'p>) -> Ask<'p> {
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
        now_due: due(delivery),
        whom: first.map(|run| who_leans(facts, run, 3)).unwrap_or_default(),
        note,
        urgent: by.unwrap_or(facts.plan.end.map_or(Moment::NEVER, |(_, leaves)| leaves)),
    }
}

fn new_order<'p>(facts: &Facts<'p>, order: &super::acts::Order<'_>) -> Ask<'p> {
    let mut note = format!("order by {}", order.release.short());
    if order.inside_lead_time {
        note = format!("inside lead time: {note}");
    }
    let more = order::note(facts, order);
    Ask {
        what: "order",
        order: "",
        part: order.part,
        qty: order.qty,
        by: order.first.map_or(order.day.into(), |piece| piece.picked.into()),
        now_due: Value::Blank,
        whom: order.first.map_or("safety stock".to_owned(), |piece| who(facts, &piece.demand)),
        note: if more.is_empty() { note } else { format!("{note}; {more}") },
        urgent: order.release.midnight(),
    }
}

fn line<'p>(facts: &Facts<'p>, call: &Call<'p>, ask: &Ask<'p>) -> Line<'p> {
    let part = facts.part(ask.part);
    let values = vec![
        supplier_name(call.supplier).into(),
        ask.what.into(),
        ask.order.into(),
        part.code.as_str().into(),
        part.description.as_str().into(),
        ask.qty.into(),
        part.uom.as_str().into(),
        ask.by.clone(),
        ask.now_due.clone(),
        ask.whom.clone().into(),
        ask.note.clone().into(),
        Value::Blank,
    ];
    (Look::Plain, values)
}
