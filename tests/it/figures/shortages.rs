//! The buyer's figures. Most are worked out in `buyer`, on the same kinds of books.

use super::How::{Anew, By, For};
use super::{Figures, OF_THE_BOOK, ROOM, ahead, whole_plan};
use crate::oracle::clock::{day_of, print_day};
use crate::questions::asked::{Asked, Row, minutes_up, near, number, seconds, whole};
use std::collections::{BTreeMap, BTreeSet};

const BUYER: super::How = By(&[
    "the_demo_says_what_its_tables_say",
    "random_books_say_what_their_tables_say",
    "a_long_book_says_what_its_tables_say",
]);
const CALLS: super::How =
    By(&["each_question_is_answered_where_the_list_says", "calls_done_in_the_book_save_what_they_say"]);

pub const LIST: &[Figures] = &[
    (
        "at a glance",
        "as of|day of the pull list|book|this sequence ends",
        For("the book's and the command's own words"),
    ),
    ("at a glance", "the line|the line loses", Anew(whole_plan::the_line)),
    ("at a glance", "what can be done", For("counts of the sheet 'cures'")),
    ("at a glance", "call|supplier|part|saves the line until|if it fails, min|minutes saved alone|ask", CALLS),
    ("at a glance", "clear on hand|clear as promised", Anew(clear)),
    ("at a glance", "past the sequence", By(&["the_demo_expects_what_its_troubles_say"])),
    (
        "past the sequence",
        "cost|for units from|half|lead time|left|mean|nearly all|order by|order qty|part|to",
        Anew(ahead::past),
    ),
    ("past the sequence", "description|supplier|uom", OF_THE_BOOK),
    ("run-out", "at cost|begun with|enters|left of what goes out|mark|short of what goes out", Anew(ahead::run_out)),
    ("run-out", "what comes in", By(&["every_row_is_the_plan_of_the_changed_book"])),
    ("first builds", "by|first comes|in stock|needed|open|order by|part|what is missing|kg", Anew(ahead::first_builds)),
    ("first builds", "from", For("the book's own supplier and lead days, or shop and minutes, for the row's part")),
    ("first builds", "description|kind|location|uom", OF_THE_BOOK),
    ("at a glance", "to chase|to bring forward|to order|not needed here", BUYER),
    ("by supplier", "supplier|call|part|ask", BUYER),
    ("by supplier", "if it fails, min", CALLS),
    ("by supplier", "description", OF_THE_BOOK),
    ("by supplier", "agreed: how many, when, by whom", ROOM),
    ("routine orders", "order by|supplier|part|how many|there by", BUYER),
    ("routine orders", "cost", By(&["each_question_is_answered_where_the_list_says"])),
    ("routine orders", "description", OF_THE_BOOK),
    ("routine orders", "placed", ROOM),
    (
        "changes",
        "change|goes out or comes in|part|needed|uom|for units|needed from|needed to|cost of what is left|how it stands",
        BUYER,
    ),
    ("changes", "what changes|first unit, and when it enters|description", OF_THE_BOOK),
    (
        "not clear",
        "unit|on hand|first part not on hand|not on hand since|parts not on hand|as promised|first part late or short|waits since|parts late or short|clear at|enters|leaves",
        Anew(units),
    ),
    ("not clear", "line|floorplan", OF_THE_BOOK),
    (
        "units",
        "unit|on hand|first part not on hand|not on hand since|parts not on hand|as promised|first part late or short|waits since|parts late or short|clear at|enters|leaves",
        Anew(units),
    ),
    ("units", "line|floorplan", OF_THE_BOOK),
    (
        "the line",
        "what it does|unit|unit arrives|part|at|qty|there|the line loses, min|saves the line until|hand over at",
        Anew(the_line),
    ),
    ("the line", "description|uom|note", OF_THE_BOOK),
    (
        "cures",
        "unit|unit arrives|part|description|at|qty|what to do|by itself, min|costs others|how sure",
        By(&["advice_done_in_the_book_does_what_it_says"]),
    ),
    ("shortages", "stops|part|first need|late or short|qty that waits|units hit", Anew(shortages)),
    ("shortages", "description|supplier|uom|receipts open|on hold: quality decides", OF_THE_BOOK),
    ("shortages", "who waits, and for how many", For("the first rows of 'who waits'")),
    ("shortages", "held units would need", By(&["held_units_have_a_column_of_their_own"])),
    (
        "who waits",
        "part|unit|at|need|needs|has in time|waits for|how|purchase order|there|minutes late",
        Anew(who_waits),
    ),
    ("who waits", "description|supplier|uom", OF_THE_BOOK),
    ("on hold", "part|description|qty on hold|uom|where it lies|why it is on hold", OF_THE_BOOK),
    ("on hold", "late or short|qty that waits|first need", Anew(ahead::on_hold)),
    (
        "chase",
        "purchase order|part|description|supplier|qty open|uom|was due|days overdue|taken as there|of it needed|how many by when, and who leans on it",
        BUYER,
    ),
    ("chase", "saves the line until", CALLS),
    ("chase", "new date agreed", ROOM),
    (
        "bring forward",
        "purchase order|part|description|supplier|now due|qty open|how many|uom|by when|for|cures|of it can stay|note",
        BUYER,
    ),
    ("bring forward", "saves the line until", CALLS),
    ("bring forward", "date agreed", ROOM),
    (
        "order",
        "part|description|supplier|order qty|uom|order by|lead time|wanted on|there before|first for|price|cost|note",
        BUYER,
    ),
    ("order", "held units would need", By(&["held_units_have_a_column_of_their_own"])),
    (
        "not needed",
        "purchase order|part|description|supplier|due|qty open|needed, or safety stock|not needed|uom|cost",
        BUYER,
    ),
    ("not needed", "held units would need", By(&["held_units_have_a_column_of_their_own"])),
    (
        "left of receipts",
        "purchase order|part|description|supplier|due|qty open|needed, or safety stock|not needed|uom|cost",
        BUYER,
    ),
    ("left of receipts", "held units would need", By(&["held_units_have_a_column_of_their_own"])),
    (
        "balance",
        "part|description|on hand|safety stock|first wait|who waits|a day|small line|at the end|orders planned",
        BUYER,
    ),
    ("balance", "held units would need", By(&["held_units_have_a_column_of_their_own"])),
    (
        "balance, all parts",
        "part|description|on hand|safety stock|first wait|who waits|a day|small line|at the end|orders planned",
        BUYER,
    ),
    ("balance, all parts", "held units would need", By(&["held_units_have_a_column_of_their_own"])),
];

/// Pegs by unit, in order of need and part; those that are late or short, and those that are not on hand either.
fn lacks<'a>(asked: &'a Asked<'_>, on_hand: bool) -> BTreeMap<&'a str, Vec<&'a Row>> {
    let lacks =
        |peg: &&Row| peg["cover"] == *"none" || peg["late_minutes"] != *"0" || on_hand && peg["cover"] == *"receipt";
    let mut found: BTreeMap<&str, Vec<&Row>> = BTreeMap::new();
    asked.all_pegs().filter(lacks).for_each(|peg| found.entry(&peg["unit"]).or_default().push(peg));
    found.values_mut().for_each(|pegs| pegs.sort_by_key(|peg| (peg["need"].to_owned(), peg["part"].to_lowercase())));
    found
}

fn units(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "not on hand since");
    let (on_hand, promised) = (lacks(asked, true), lacks(asked, false));
    for row in &rows {
        let unit = asked.table("units").iter().find(|unit| unit["unit"] == *row["unit"]).expect("a unit");
        assert_eq!((&*row["as promised"], &*row["clear at"]), (&unit["status"], &unit["clear_at"]), "{row:?}");
        assert_eq!((&*row["enters"], &*row["leaves"]), (&unit["enters"], &unit["leaves"]), "{row:?}");
        if ["hold", "set aside"].contains(&&unit["status"]) {
            continue;
        }
        let parts = |lacks: &BTreeMap<&str, Vec<&Row>>| {
            let pegs = lacks.get(&*row["unit"]).map_or(&[][..], Vec::as_slice);
            let parts: BTreeSet<&str> = pegs.iter().map(|peg| &peg["part"]).collect();
            let parts = if parts.is_empty() { String::new() } else { parts.len().to_string() };
            (pegs.first().map_or(String::new(), |peg| peg["need"].to_owned()), parts)
        };
        assert_eq!((row["not on hand since"].clone(), row["parts not on hand"].clone()), parts(&on_hand), "{row:?}");
        assert_eq!((row["waits since"].clone(), row["parts late or short"].clone()), parts(&promised), "{row:?}");
        assert_eq!(row["on hand"] == "clear", !on_hand.contains_key(&*row["unit"]), "{row:?}");
    }
    rows.len()
}

fn clear(asked: &Asked<'_>, sheet: &str) -> usize {
    let units = || asked.table("units").iter().filter(|unit| !["hold", "set aside"].contains(&&unit["status"]));
    let on_hand = lacks(asked, true);
    let own = units().filter(|unit| !on_hand.contains_key(&unit["unit"])).count();
    let told = asked.fact(sheet, "clear on hand");
    assert!(told.starts_with(&format!("{own} of {} units", units().count())), "{told}");
    let promised = units().filter(|unit| unit["status"] == *"clear").count();
    assert_eq!(asked.fact(sheet, "clear as promised"), format!("{promised} of {} units", units().count()));
    units().count()
}

/// Rows of the consequences; what a row adds in whole minutes, rounded up.
fn the_line(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "hand over at");
    let known = asked.table("consequences");
    for row in &rows {
        let there = if row["there"] == "not known" { "" } else { &*row["there"] };
        let same = |known: &&Row| {
            let cells =
                ["unit", "unit arrives", "part", "at", "qty", "saves the line until", "hand over at", "what it does"];
            let columns = ["unit", "arrives", "part", "to", "qty", "saves_until", "hand_over_at", "word"];
            known["there_at"] == *there && cells.iter().zip(columns).all(|(cell, column)| known[column] == *row[*cell])
        };
        let known = known.iter().find(same).unwrap_or_else(|| panic!("{row:?}"));
        let loses = match (&known["word"], &known["adds_seconds"], &known["stop_minutes"]) {
            ("stops the line", "", _) => String::new(),
            ("stops the line", _, "") => "no known end".to_owned(),
            ("stops the line", adds, _) => minutes_up(whole(adds)).to_string(),
            _ => String::new(),
        };
        assert_eq!(row["the line loses, min"], loses, "{row:?}: {known:?}");
    }
    if !asked.texts(sheet).contains("more: see") {
        assert_eq!(rows.len(), known.len());
    }
    rows.len()
}

/// The pieces of bought parts that are late or short, part by part.
pub fn waiting<'a>(asked: &'a Asked<'_>, part: &str) -> Vec<&'a Row> {
    let waits = |peg: &&Row| peg["cover"] == *"none" || peg["cover"] == *"receipt" && peg["late_minutes"] != *"0";
    asked.pegs(part).iter().filter(waits).collect()
}

fn shortages(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "units hit");
    let rows: Vec<_> = rows.iter().filter(|row| row["part"] != "part").collect();
    for row in &rows {
        let own = waiting(asked, &row["part"]);
        assert_eq!(Some(&*row["first need"]), own.first().map(|peg| &peg["need"]), "{row:?}: {own:#?}");
        assert!(near(number(&row["qty that waits"]), own.iter().map(|peg| number(&peg["qty"])).sum()), "{row:?}");
        let units: BTreeSet<&str> = own.iter().map(|peg| &peg["unit"]).collect();
        assert_eq!(row["units hit"], units.len().to_string(), "{row:?}");
        assert_eq!(row["late or short"] != "late", own.iter().any(|peg| peg["cover"] == *"none"), "{row:?}");
        // Of a part that something waits for in the coming week it is said what its pieces of that week do.
        let week = print_day(day_of(seconds(&asked.tables.as_of)) + 7);
        let soon = own[0]["need"][..10] <= *week;
        let counts: Vec<&&Row> = own.iter().filter(|peg| !soon || peg["need"][..10] <= *week).collect();
        let stops = |known: &&Row| {
            let of = |peg: &&&Row| peg["unit"] == known["unit"] && peg["to"] == known["to"];
            known["part"] == *row["part"] && known["word"] == *"stops the line" && counts.iter().any(of)
        };
        assert_eq!(
            row["stops"] == "the line",
            asked.table("consequences").iter().any(|known| stops(&known)),
            "{row:?}"
        );
    }
    rows.len()
}

fn who_waits(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "has in time");
    for row in &rows {
        let at = if row["unit"] == "no unit" { "" } else { &*row["unit"] };
        let own = |peg: &&Row| {
            let place = peg["unit"] == *at && peg["to"] == *row["at"] && peg["need"] == *row["need"];
            place && peg["source"] == *row["purchase order"] && peg["available"] == *row["there"]
        };
        let peg = waiting(asked, &row["part"]).into_iter().find(|peg| own(peg)).unwrap_or_else(|| panic!("{row:?}"));
        assert_eq!(row["waits for"], peg["qty"], "{row:?}");
        assert_eq!(row["minutes late"], if peg["cover"] == *"none" { "" } else { &peg["late_minutes"] }, "{row:?}");
        assert_eq!(row["how"], if peg["cover"] == *"none" { "short" } else { "late" });
    }
    rows.len()
}
