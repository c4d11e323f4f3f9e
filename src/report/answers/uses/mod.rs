//! Where a part is used, as text: how far it lasts first, then every way to it, then the units ahead.

mod calls;

use crate::base::count;
use crate::report::prose::{Prose, amount, list, named, row, told};
use crate::uses::facts::{Day, Hit, ReceiptFacts, UsePath, Uses};
use crate::why::facts::StockFacts;
use itertools::Itertools;

/// So many paths are told.
const PATHS: usize = 40;
/// So many units of a day are named.
const UNITS: usize = 6;

/// The whole of it.
pub fn text(uses: &Uses) -> String {
    let mut prose = Prose::default();
    prose.line(0, &sentence(uses));
    paths(uses, &mut prose);
    ahead(uses, &mut prose);
    supply(uses, &mut prose);
    calls::put(uses, &mut prose);
    prose.done()
}

fn sentence(uses: &Uses) -> String {
    let part = named(&uses.part.part, &uses.part.description);
    let floorplans = uses.paths.iter().map(|path| path.floorplan.clone()).unique().collect_vec();
    let used = match (floorplans.as_slice(), uses.not_on.len()) {
        ([], _) => format!("{part} is used on no floorplan"),
        (_, 0) => format!("{part} is used on every floorplan"),
        (on, _) => format!("{part} is used on {}", list(on)),
    };
    if uses.total.is_zero() {
        return format!("{used}. No unit ahead needs any of it.");
    }
    let needed = format!("{used}; the units ahead need {} of it", amount(uses.total, &uses.part.uom));
    match (&uses.first_hit, uses.part.source) {
        (Some(hit), _) => format!("{needed}. {}", lasts(uses, hit)),
        (None, "buy") => format!(
            "{needed}, and the {} on hand {} for all of them.",
            amount(uses.usable, &uses.part.uom),
            if uses.usable == crate::base::Quantity::whole(1) { "is enough" } else { "are enough" }
        ),
        _ => format!("{needed}."),
    }
}

fn lasts(uses: &Uses, hit: &Hit) -> String {
    let uom = &uses.part.uom;
    let first = format!(
        "If nothing came any more, {} would be the first to be hit, at {} on {}, missing {} of {}",
        unit(&hit.unit),
        hit.to,
        hit.need.short(),
        hit.missing,
        amount(hit.qty, uom)
    );
    let wrong = match &uses.first_wrong {
        Some(wrong) => format!(
            " As things are promised, {} at {} on {} is the first to wait.",
            unit(&wrong.unit),
            wrong.to,
            wrong.need.short()
        ),
        None => " As things are promised, nobody waits.".to_owned(),
    };
    format!("{first}.{wrong}")
}

fn unit(code: &str) -> &str {
    if code.is_empty() { "no unit in particular" } else { code }
}

fn paths(uses: &Uses, prose: &mut Prose) {
    if !uses.paths.is_empty() {
        prose.heading("Where it is used");
        for path in uses.paths.iter().take(PATHS) {
            path_lines(path, &uses.part.uom, prose);
        }
        if uses.paths.len() > PATHS {
            prose.line(
                2,
                &format!("… and {} more (--json tells all)", count(uses.paths.len() - PATHS, "path", "paths")),
            );
        }
    }
    if !uses.not_on.is_empty() && !uses.paths.is_empty() {
        prose.line(2, &format!("Not on {}.", list(&uses.not_on)));
    }
    if !uses.idle.is_empty() {
        prose.line(2, &format!("Also below {}, which no floorplan leads to.", list(&uses.idle)));
    }
}

fn path_lines(path: &UsePath, uom: &str, prose: &mut Prose) {
    let chain = path.steps.iter().map(|step| step.parent.as_str()).join(" > ");
    let verb = if path.gives { "gives" } else { "takes" };
    let to = if path.to.is_empty() { String::new() } else { format!(" for {}", path.to) };
    let when = if path.when.is_empty() { String::new() } else { format!(", when {}", path.when) };
    let changes = if path.changes.is_empty() { String::new() } else { format!(", {}", path.changes.join(", ")) };
    let rows = path.steps.iter().map(|step| step.place.row.to_string()).collect_vec();
    let file = row(&crate::base::Place { row: 0, ..path.steps[0].place.clone() });
    let word = if rows.len() == 1 { "row" } else { "rows" };
    prose
        .line(2, &format!("{chain} {verb} {}{to}{when}{changes} ({file} {word} {})", told(path.qty, uom), list(&rows)));
}

fn ahead(uses: &Uses, prose: &mut Prose) {
    if uses.days.is_empty() {
        return;
    }
    prose.heading("Units ahead, by day");
    uses.days.iter().for_each(|day| day_lines(day, &uses.part.uom, prose));
    let places = uses
        .places
        .iter()
        .map(|place| format!("{} {}", named(&place.to, &place.name), amount(place.qty, &uses.part.uom)));
    prose.line(2, &format!("By place: {}.", list(&places.collect_vec())));
}

fn day_lines(day: &Day, uom: &str, prose: &mut Prose) {
    let named = day.units.iter().take(UNITS).map(|code| unit(code).to_owned()).collect_vec();
    let more = day.units.len().saturating_sub(UNITS);
    let units = if more > 0 { format!("{} and {more} more", named.join(", ")) } else { list(&named) };
    let wrong = if day.wrong.is_positive() { format!("; {} of it late or short", day.wrong) } else { String::new() };
    prose.line(2, &format!("{}: {} for {units}{wrong}", day.date.short(), amount(day.qty, uom)));
}

fn supply(uses: &Uses, prose: &mut Prose) {
    let uom = &uses.part.uom;
    prose.heading("Stock and receipts");
    if uses.stock.is_empty() {
        prose.line(2, "No stock.");
    }
    uses.stock.iter().for_each(|stock| {
        prose.line(2, &stock_words(stock, uom));
    });
    if uses.receipts.is_empty() && uses.part.source == "buy" {
        prose.line(2, "No open receipt.");
    }
    uses.receipts.iter().for_each(|receipt| {
        prose.line(2, &receipt_words(receipt, uom));
        if let Some(without) = &receipt.without {
            prose.line(4, &format!("Without it the line loses {}.", calls::loses(without)));
        }
    });
}

fn stock_words(stock: &StockFacts, uom: &str) -> String {
    let at = if stock.location.is_empty() { String::new() } else { format!(" at {}", stock.location) };
    let lineside = stock.lineside.as_ref().map(|to| format!(", lineside at {to}")).unwrap_or_default();
    let reserved = stock.reserved.as_ref().map(|unit| format!(", reserved for {unit}")).unwrap_or_default();
    let hold = stock.hold.as_ref().map(|why| format!(", on hold, so not counted: {why}")).unwrap_or_default();
    format!("{} in stock{at}{lineside}{reserved}{hold} ({})", amount(stock.qty, uom), row(&stock.place))
}

fn receipt_words(receipt: &ReceiptFacts, uom: &str) -> String {
    let due = if receipt.timed { receipt.due.short() } else { receipt.due.date().short() };
    let from = if receipt.supplier.is_empty() { String::new() } else { format!(" from {}", receipt.supplier) };
    let there = if receipt.overdue {
        format!("was due {due}, taken as there {}, promised by nobody", receipt.available.short())
    } else {
        let promise =
            if receipt.not_promised.is_empty() { String::new() } else { format!(" ({})", receipt.not_promised) };
        format!("due {due}, there {}{promise}", receipt.available.short())
    };
    format!(
        "{} with order {}{from}, {there} ({})",
        amount(receipt.qty, uom),
        receipt.purchase_order,
        row(&receipt.place)
    )
}
