//! The book as tables of text: a name, headings, rows.

use crate::changes::CHANGES;
use crate::content;
use crate::fixed_tables;
pub use crate::folder::{Table, table, texts};
use crate::forecast;
use crate::layout::{LINE, WAVES};
use crate::model::{Book, PLANS};
use crate::scale;
use crate::units_of_measure::UOMS;

/// A number as a person would write it; nothing where it is zero.
pub fn number(value: f64) -> String {
    if value == 0.0 { String::new() } else { crate::model::round_to(value, 6).to_string() }
}

/// All tables, in the order of the sheets.
pub fn all(book: &Book) -> Vec<Table> {
    let mut out = fixed_tables::layout();
    out.extend([parts(book), bills(book)]);
    out.extend(fixed_tables::ordering());
    out.extend([changes(book), sequence(book), stock(book), receipts(book), extras(book), started(book)]);
    out.push(table("Waves", "wave,time,pick minutes", WAVES.iter().map(|w| texts([w.0, w.1, w.2]))));
    let rows = book.conversions.iter().map(|c| texts([&c.0, c.1, c.2, &number(c.3)]));
    out.push(table("Conversions", "part,from,to,factor", rows));
    out.push(table("Uoms", "uom,decimals", UOMS.iter().map(|u| texts([u.0, u.1]))));
    out.extend([content::table(), forecast::forecast()]);
    out.push(scale::table(book));
    out
}

fn parts(book: &Book) -> Table {
    let head = "part,description,uom,source,shop,setup,minutes,location,issue,pack quantity,supplier,lead days,\
                minimum buy,buy multiple,cover days,safety stock,cost,weight,kind";
    let rows = book.parts.iter().map(|p| {
        let mut row = texts([&p.code, &p.description, &p.uom, p.source, p.shop]);
        // Somebody has entered a nought where nobody knows the minutes.
        let minutes = if p.source == "make" { p.minutes.to_string() } else { number(p.minutes) };
        row.extend([number(p.setup), minutes]);
        row.extend([p.location.clone(), p.issue.clone(), number(p.pack), p.supplier.clone()]);
        row.extend([number(p.lead as f64), number(p.minimum), number(p.multiple), number(p.cover as f64)]);
        row.extend([number(p.safety), number(p.cost), number(p.weight), content::kind(&p.code).to_string()]);
        row
    });
    table("Parts", head, rows)
}

fn bills(book: &Book) -> Table {
    let head = "parent,part,qty,uom,station,when,scrap,from change,until change,note";
    let rows = book.bills.iter().map(|b| {
        let (qty, scrap) = (number(b.qty), number(b.scrap));
        texts([&b.parent, &b.part, &qty, &b.uom, &b.station, &b.when, &scrap, &b.from, &b.until, &b.note])
    });
    table("Bills", head, rows)
}

fn changes(book: &Book) -> Table {
    let rows = CHANGES.iter().map(|c| {
        let unit = c.unit(book).map_or("", |n| &book.units[n].code);
        texts([c.code, c.date, unit, c.description])
    });
    table("Changes", "change,from date,from unit,description", rows)
}

fn sequence(book: &Book) -> Table {
    let rows = book.units.iter().map(|u| {
        let (seq, gap, done) = (u.seq.to_string(), number(u.gap as f64), if u.done { "yes" } else { "" });
        let ordered = u.ordered.join(" ");
        texts([LINE, &seq, &u.code, PLANS[u.plan].0, &ordered, u.start, &gap, u.at, u.issued, u.hold, done])
    });
    let rows = rows.chain(scale::rows(book));
    table("Sequence", "line,seq,unit,floorplan,options,start,gap,at,issued through,hold,done", rows)
}

fn stock(book: &Book) -> Table {
    let rows =
        book.stock.iter().map(|s| texts([&s.part, &number(s.qty), &s.uom, &s.location, &s.station, &s.unit, &s.hold]));
    table("Stock", "part,qty,uom,location,station,unit,hold", rows)
}

fn receipts(book: &Book) -> Table {
    let rows = book.receipts.iter().map(|r| texts([&r.order, &r.part, &number(r.qty), &r.uom, &r.due, &r.supplier]));
    table("Receipts", "purchase order,part,qty,uom,due,supplier", rows)
}

fn extras(book: &Book) -> Table {
    let rows = book.extras.iter().map(|e| texts([&e.part, &number(e.qty), e.uom, e.to, e.needed, &e.unit, e.reason]));
    table("Extras", "part,qty,uom,to,needed,unit,reason", rows)
}

fn started(book: &Book) -> Table {
    let rows = book.started.iter().map(|s| texts([&s.0, &s.1, &number(s.2)]));
    table("Started", "unit,part,minutes left", rows)
}
