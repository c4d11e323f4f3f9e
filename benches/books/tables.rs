//! The book as tables of text.

use crate::days::date;
use crate::folder::{Table, table, texts};
use crate::model::{Book, Line, Part, Source};
use crate::names::{BIRDS, LINES, SERIES, SHOPS, STATIONS};
use crate::special::CHANGES;
use crate::{ordering, suppliers};

/// A number as a person would write it; nothing where it is zero.
pub fn number(value: f64) -> String {
    if value == 0.0 { String::new() } else { ((value * 1e6).round() / 1e6).to_string() }
}

pub fn station(n: usize) -> String {
    format!("{}{}", STATIONS[n % STATIONS.len()].0, if n < STATIONS.len() { "" } else { "2" })
}

pub fn all(book: &Book) -> Vec<Table> {
    let mut out = plant(book);
    out.extend([parts(book), bills(book)]);
    out.extend(ordering::tables(book));
    out.extend([changes(book), sequence(book)]);
    out.extend(supply(book));
    out
}

fn plant(book: &Book) -> Vec<Table> {
    let full = book.wanted.full;
    let as_of = if full { "2027-09-13 14:30" } else { "2027-09-13 06:00" };
    let mut settings =
        vec![["plant", "Alder Fen Works, a larger one"], ["as of", as_of], ["stores calendar", "STORES"]];
    settings.push(["receipts at", "05:00"]);
    if full {
        settings.extend([["delivered to", "2027-09-13 13:30"], ["one person lifts", "25"], ["overdue receipts", "1"]]);
    }
    let calendar = [
        ["MAIN", "Mon-Fri", "06:00", "14:30", ""],
        ["MAIN", "Mon-Fri", "10:00", "10:30", "no"],
        ["SHOPS", "Mon-Fri", "06:00", "14:30", ""],
        ["SHOPS", "Mon-Fri", "09:30", "10:00", "no"],
        ["STORES", "Mon-Fri", "04:30", "14:30", ""],
    ];
    let lines = &LINES[..book.lines()];
    let stations = (0..lines.len() * STATIONS.len()).map(|n| {
        let position = STATIONS[n % STATIONS.len()].1.to_string();
        texts([LINES[n / STATIONS.len()], &station(n), &position, "60"])
    });
    let shops = SHOPS.iter().zip(&book.crews).map(|(s, crews)| texts([s, "SHOPS", &crews.to_string(), "15", "30"]));
    let plans = (0..).zip(&book.floorplans).map(|(n, f): (usize, _)| {
        let name = format!("{} for {}", BIRDS[n % BIRDS.len()].to_lowercase(), 2 + n % 5);
        texts([&f.code, &name, SERIES[n % SERIES.len()]])
    });
    let last_move = if full { "2027-09-13 14:10" } else { "" };
    let waves =
        [["first", "05:30", "45"], ["second", "07:30", "45"], ["third", "09:30", "45"], ["fourth", "12:00", "45"]];
    vec![
        table("Settings", "key,value", settings.into_iter().map(texts)),
        table("Calendar", "calendar,day,start,end,open", calendar.into_iter().map(texts)),
        table("Lines", "line,calendar,last move", lines.iter().map(|l| texts([l, "MAIN", last_move]))),
        table("Takt", "line,from,minutes", lines.iter().map(|l| texts([l, "2027-09-01", &book.takt().to_string()]))),
        table("Stations", "line,station,position,deliver ahead", stations),
        table("Shops", "shop,calendar,crews,transit,deliver ahead", shops),
        table("Floorplans", "floorplan,name,series", plans),
        table("Waves", "wave,time,pick minutes", waves.into_iter().map(texts)),
        table(
            "Uoms",
            "uom,decimals",
            [["ea", "0"], ["sheet", "0"], ["ft", "3"], ["kg", "3"], ["l", "3"]].into_iter().map(texts),
        ),
        table("Conversions", "from,to,factor", full.then(|| texts(["sheet", "sqft", "32"])).into_iter()),
    ]
}

fn parts(book: &Book) -> Table {
    let head = "part,description,uom,source,shop,setup,minutes,location,issue,pack quantity,supplier,lead days,\
                minimum buy,buy multiple,cover days,safety stock,cost,weight";
    let rows = book.parts.iter().enumerate().map(|(n, part)| {
        let (source, shop) = match part.source {
            Source::Buy => ("buy", ""),
            Source::Make(shop) => ("make", SHOPS[shop]),
            Source::Phantom => ("phantom", ""),
            Source::ByProduct => ("by-product", ""),
        };
        let mut row = texts([&part.code, &description(part), part.uom, source, shop]);
        row.extend([number(part.setup), number(part.minutes)]);
        row.extend(if source == "buy" { bought(part, n) } else { vec![String::new(); 11] });
        row
    });
    table("Parts", head, rows)
}

fn description(part: &Part) -> String {
    let kinds = [("FIX", "Fixing"), ("PIP", "Pipe"), ("LMP", "Lamp"), ("GLZ", "Pane"), ("WIR", "Wire"), ("SET", "Set")];
    let kind = kinds.iter().find(|kind| part.code.starts_with(kind.0)).map_or("Piece", |kind| kind.1);
    format!("{kind}, pattern {}", part.code.to_lowercase())
}

/// The columns of a bought part, from its location on.
fn bought(part: &Part, n: usize) -> Vec<String> {
    let location = format!("{}-{:02}-{}", ["A", "B", "C", "D", "E", "F"][n % 6], n / 6 % 40, n / 240 % 9 + 1);
    let (lead, multiple) =
        ((5 + n % 30).to_string(), if part.uom == "ea" { (1 + n % 4 * 4).to_string() } else { String::new() });
    let cost = number((n * 37 % 9_000) as f64 / 100.0 + 0.05);
    let weight = number((n * 13 % 600) as f64 / 100.0 + 0.01);
    let (cover, safety) = ([1, 5, 7][n % 3].to_string(), if n % 10 == 3 { "2" } else { "" });
    let supplier = suppliers::name(["fixing", "pipe", "lamp", "steel", "loom", "hardware"][n % 6], n / 6);
    let mut row = texts([&location, part.issue]);
    row.push(number(part.pack));
    row.extend(texts([&supplier, &lead, "", &multiple, &cover, safety, &cost, &weight]));
    row
}

fn bills(book: &Book) -> Table {
    let change = |change: Option<usize>| change.map_or(String::new(), |n| format!("C-{n:02}"));
    let row = |parent: &str, line: &Line| {
        let place = line.station.map_or(String::new(), station);
        let own = book.parts[line.part].uom == line.uom;
        let mut row = texts([parent, &book.parts[line.part].code]);
        row.extend([number(line.qty), if own { String::new() } else { line.uom.to_string() }, place]);
        row.extend([line.when.text(&book.catalogue), number(line.scrap), change(line.from), change(line.until)]);
        row
    };
    let mut rows = Vec::new();
    for floorplan in &book.floorplans {
        rows.extend(floorplan.bill.iter().map(|line| row(&floorplan.code, line)));
    }
    for part in &book.parts {
        rows.extend(part.bill.iter().map(|line| row(&part.code, line)));
    }
    table("Bills", "parent,part,qty,uom,station,when,scrap,from change,until change", rows.into_iter())
}

fn changes(book: &Book) -> Table {
    let count = if book.wanted.full { CHANGES } else { 0 };
    let step = book.units.len() / (CHANGES + 1);
    let rows = (0..count).map(|n| {
        let by_date = n % 4 == 0;
        let day = (n as i64 + 1) * (book.wanted.units as i64 / 40 / 25).max(1);
        let unit = if by_date { "" } else { &book.units[(n + 1) * step].code };
        texts([&format!("C-{n:02}"), &if by_date { date(day) } else { String::new() }, unit])
    });
    table("Changes", "change,from date,from unit", rows)
}

fn sequence(book: &Book) -> Table {
    let rows = (1..).zip(&book.units).map(|(n, unit): (usize, _)| {
        let floorplan = &book.floorplans[unit.order.floorplan];
        let place = STATIONS.iter().position(|row| row.1 == unit.at);
        let at = place.map_or(String::new(), |place| station(place + unit.line * STATIONS.len()));
        let gap = number(unit.gap as f64);
        let (hold, done) = (if unit.hold { "credit" } else { "" }, if unit.done { "yes" } else { "" });
        let (seq, options) = ((n * 10).to_string(), unit.order.typed.join(" "));
        texts([LINES[unit.line], &seq, &unit.code, &floorplan.code, &options, &gap, &at, hold, done])
    });
    table("Sequence", "line,seq,unit,floorplan,options,gap,at,hold,done", rows)
}

fn supply(book: &Book) -> Vec<Table> {
    let code = |part: usize| &*book.parts[part].code;
    let stock = book.stock.iter().map(|s| texts([code(s.part), &number(s.qty), &s.station, &s.unit, s.hold]));
    let receipts = (0..)
        .zip(&book.receipts)
        .map(|(n, r): (usize, _)| texts([&(50_000 + n / 6).to_string(), code(r.part), &number(r.qty), &date(r.day)]));
    let extras = book.extras.iter().map(|[part, to, needed, unit, why]| texts([part, "1", to, needed, unit, why]));
    let started = book.started.iter().map(|[unit, part, left]| texts([unit, part, left]));
    vec![
        table("Stock", "part,qty,station,unit,hold", stock),
        table("Receipts", "purchase order,part,qty,due", receipts),
        table("Extras", "part,qty,to,needed,unit,reason", extras),
        table("Started", "unit,part,minutes left", started),
    ]
}
