//! Small cases worked out by hand: working time, moves, options and a textbook balance.

use std::collections::BTreeSet;

use super::calendar::{Calendar, CalendarRow, Days};
use super::clock::{day, moment, print};
use super::{Book, plan};

fn book(tables: &[(&str, &str)]) -> Book {
    let plain = [
        ("Calendar", "calendar,day,start,end\nM,Mon-Fri,06:00,14:00\n"),
        ("Lines", "line,calendar\nL,M\n"),
        ("Takt", "line,from,minutes\nL,2027-01-01,60\n"),
        ("Stations", "line,station,position\nL,S,1\n"),
        ("Floorplans", "floorplan,series\nDUNLIN,Fen\nTEAL,\n"),
        ("Parts", "part,uom,lead days\nP,ea,3\n"),
        ("Bills", "parent,part,qty\n"),
        ("Sequence", "line,seq,unit,floorplan\nL,1,U1,DUNLIN\n"),
        ("Settings", "key,value\nas of,2027-09-13\n"),
    ];
    let all = plain.iter().chain(tables);
    all.map(|(table, text)| (table.to_string(), text.to_string())).collect()
}

fn clock(text: &str) -> i64 {
    moment(text).expect("a moment").clock
}

#[test]
fn a_night_shift_with_a_break_over_midnight() {
    let week = Days::Weekdays(vec![0, 1, 2, 3, 4]);
    let closed = day("2027-09-14").expect("a date"); // Tuesday
    let rows = [
        CalendarRow { days: week.clone(), hours: Some((22 * 3600, 6 * 3600)), open: true },
        CalendarRow { days: week, hours: Some((23 * 3600 + 1800, 1800)), open: false },
        CalendarRow { days: Days::Dates(closed, closed), hours: None, open: false },
    ];
    let calendar = Calendar::new(&rows, closed - 1, closed + 1);
    // Monday night: 1.5 h, the break, 5.5 h on Tuesday morning; Tuesday night is closed.
    let hours = |text: &str| calendar.worked(clock(text)) as f64 / 3600.0;
    assert_eq!(hours("2027-09-13 23:30"), 1.5);
    assert_eq!(hours("2027-09-14 00:30"), 1.5);
    assert_eq!(hours("2027-09-14 23:59"), 7.0);
    assert_eq!(hours("2027-09-15 22:15"), 7.25);
    assert_eq!(print(calendar.starts(7 * 3600)), "2027-09-15T22:00:00");
    assert_eq!(print(calendar.ends(7 * 3600)), "2027-09-14T06:00:00");
    assert_eq!(print(calendar.starts(5400)), "2027-09-14T00:30:00");
    assert!(calendar.works_or_has_just_stopped(clock("2027-09-14 06:00")));
    assert!(!calendar.works_or_has_just_stopped(clock("2027-09-14 06:00:01")));
    let tuesday = day("2027-09-14").expect("a date");
    assert_eq!(calendar.first_moment(tuesday), Some(clock("2027-09-14 00:30")));
}

/// Unit, options, entry and leaving of each row of the table of units.
fn units(tables: &[(&str, &str)]) -> Vec<String> {
    let text = plan(&book(tables), None, true).expect("a plan").units;
    let rows = text.lines().skip(1).map(|line| {
        let cells: Vec<&str> = line.split(',').collect();
        format!("{} [{}] {} {} {}", cells[0], cells[4], cells[5], cells[6], cells[7])
    });
    rows.collect()
}

#[test]
fn a_standing_line_moves_now_and_takt_changes_by_date() {
    let tables = [
        ("Lines", "line,calendar,last move\nL,M,2027-09-13 09:00\n"),
        ("Settings", "key,value\nas of,2027-09-13 11:30\n"),
        ("Takt", "line,from,minutes\nL,2027-01-01,60\nL,2027-09-14,90.5\n"),
        ("Stations", "line,station,position\nL,S,1\nL,T,2\n"),
        (
            "Sequence",
            "line,seq,unit,floorplan,at,gap,hold\nL,1,A,TEAL,T,,\nL,2,B,TEAL,,,\nL,3,X,TEAL,,,bent\nL,4,C,TEAL,,2,\n",
        ),
    ];
    // Moves: 09:00, 11:30 (not 10:00), 12:30, 13:30, Tuesday 06:30, then 08:00:30.
    let expected = [
        "A [] 2027-09-13T08:00:00 2027-09-13T11:30:00 clear",
        "B [] 2027-09-13T11:30:00 2027-09-13T13:30:00 clear",
        "C [] 2027-09-14T06:30:00 2027-09-14T09:31:00 clear",
        "X []   hold",
    ];
    assert_eq!(units(&tables), expected);
}

/// The options of one unit, or `wrong`.
fn options(tables: &[(&str, &str)], floorplan: &str, order: &str) -> BTreeSet<String> {
    let sequence = format!("line,seq,unit,floorplan,options\nL,1,U1,{floorplan},{order}\n");
    let tables: Vec<(&str, &str)> = tables.iter().copied().chain([("Sequence", sequence.as_str())]).collect();
    let unit = units(&tables).remove(0);
    let inside = unit.split(['[', ']']).nth(1).expect("options").to_string();
    let all = if unit.ends_with("set aside") { "wrong".to_string() } else { inside };
    all.split(' ').filter(|word| !word.is_empty()).map(str::to_string).collect()
}

#[test]
fn standards_packages_and_rules() {
    let tables = [
        ("Options", "option,group\nH1,HEAT\nH2,HEAT\nH3,HEAT\nPK,\nAC,\nTV,\nNO,\n"),
        ("Groups", "group,choose\nHEAT,one\n"),
        (
            "Offers",
            "floorplan,option,offer\n*,H1,standard\n*,H2,optional\nTEAL,H2,standard\n\
             *,AC,optional\n*,TV,optional\nDUNLIN,PK,standard\nTEAL,PK,optional\n",
        ),
        ("Packages", "option,includes\nPK,H3\n"),
        ("Rules", "when,adds,must,message\nTV,AC,,\nAC and Fen,,not H2,H2 is too weak\n"),
    ];
    let check = |floorplan: &str, order: &str, expected: &[&str]| {
        let expected: BTreeSet<String> = expected.iter().map(|code| code.to_string()).collect();
        assert_eq!(options(&tables, floorplan, order), expected, "{floorplan}: {order}");
    };
    // The package comes first and brings H3, not offered, so H1 is not added.
    check("DUNLIN", "", &["H3", "PK"]);
    // The floorplan's own standard makes H1 optional: nothing to take away.
    check("TEAL", "", &["H2"]);
    check("TEAL", "H1", &["H1"]);
    check("TEAL", "-H1", &["wrong"]);
    check("TEAL", "-H2", &["wrong"]); // of a group of which one must be chosen
    check("TEAL", "-H2 PK", &["H3", "PK"]);
    check("DUNLIN", "-PK", &["H1"]);
    check("DUNLIN", "H1", &["wrong"]); // and the package's H3
    check("DUNLIN", "-PK tv", &["AC", "H1", "TV"]);
    check("DUNLIN", "-PK H2 TV", &["wrong"]); // the second rule, in this series only
    check("TEAL", "TV", &["AC", "H2", "TV"]);
    check("TEAL", "NO", &["wrong"]);
    check("TEAL", "XX", &["wrong"]);
}

#[test]
fn the_textbook_driveshaft_lot_for_lot() {
    // Krajewski, Ritzman, Malhotra (seen); periods are the days from 2027-09-14.
    let gross = [30, 25, 20, 15, 30, 30, 50, 50];
    let mut extras = "part,qty,to,needed\n".to_string();
    for (place, qty) in gross.iter().enumerate() {
        extras += &format!("P,{qty},S,2027-09-{} 08:00\n", 14 + place);
    }
    let tables = [
        ("Extras", extras.as_str()),
        ("Stock", "part,qty\nP,10\n"),
        ("Receipts", "purchase order,part,qty,due\n1,P,75,2027-09-14\n"),
    ];
    let text = plan(&book(&tables), None, false).expect("a plan").balances;
    let expected = "part,date,gross,receipts,available,planned_receipt,planned_release
P,2027-09-14,30,75,55,0,
P,2027-09-15,25,0,30,0,
P,2027-09-16,20,0,10,0,
P,2027-09-17,15,0,0,5,2027-09-14
P,2027-09-18,30,0,0,30,2027-09-15
P,2027-09-19,30,0,0,30,2027-09-16
P,2027-09-20,50,0,0,50,2027-09-17
P,2027-09-21,50,0,0,50,2027-09-18
";
    assert_eq!(text, expected);
}
