//! What a unit is made of, in pieces of a kind, and three mistakes that no ordered unit shows.

use crate::model::{BillLine, Book};
use crate::tables::{Table, texts};

/// The kind, and the codes of its parts as they begin.
const KINDS: [(&str, &[&str]); 12] = [
    ("fridge", &["F9A-", "F14-", "F19-"]),
    ("hob", &["HB3-", "HB4-"]),
    ("oven", &["OVN-"]),
    ("microwave", &["MCW-"]),
    ("heater", &["HET-"]),
    ("shower tray", &["SHW-"]),
    ("wash basin", &["WBN-"]),
    ("sink", &["SNK-"]),
    ("axle", &["AXL-"]),
    ("battery", &["BTS-", "BTL-"]),
    ("awning", &["AWM-", "AWE-"]),
    ("television", &["TVS-", "TVB-"]),
];

/// Kind, floorplan, least, most, message; where least is blank it is one.
const CONTENT: [[&str; 5]; 13] = [
    ["fridge", "*", "", "", "One fridge, whichever it is"],
    ["hob", "*", "", "", ""],
    ["oven", "*", "0", "", ""],
    ["microwave", "*", "0", "", ""],
    ["heater", "*", "", "", "Every unit is heated"],
    ["shower tray", "*", "", "", ""],
    ["wash basin", "*", "", "", ""],
    ["sink", "*", "", "", "The old one or the new one"],
    ["axle", "COMPACT", "", "", ""],
    ["axle", "PLOVER 21", "", "", ""],
    ["axle", "CURLEW 25", "2", "2", "The long floorplan has two axles"],
    ["battery", "*", "", "", ""],
    ["television", "*", "0", "", ""],
];

/// What a part is; blank for most.
pub fn kind(code: &str) -> &'static str {
    let starts = |starts: &&[&str]| starts.iter().any(|start| code.starts_with(start));
    KINDS.iter().find(|(_, codes)| starts(codes)).map_or("", |(kind, _)| kind)
}

pub fn table() -> Table {
    let rows = CONTENT.iter().map(|row| texts([row[0], row[1], row[2], row[3], "", row[4]]));
    crate::tables::table("Content", "kind,floorplan,least,most,when,message", rows)
}

/// The mistakes: a second fridge, no heater, and a line that can never be true. No order in the sequence shows any of them.
pub fn plant(book: &mut Book) {
    let line = |parent: &str, part: &str, station: &str, when: &str| BillLine {
        parent: parent.to_string(),
        part: part.to_string(),
        qty: 1.0,
        station: station.to_string(),
        when: when.to_string(),
        ..BillLine::default()
    };
    book.bills.push(line("TEAL 18", "F9A-01", "APP", "FR190 and TOUR"));
    book.bills.push(line("DUNLIN 15", "TVF-04", "TRM", "COLD and not TANKH"));
    for heater in book.bills.iter_mut().filter(|line| line.part == "HET-25-01") {
        heater.when = "not (COLD and JACKE)".to_string();
    }
}
