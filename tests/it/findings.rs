//! What is wrong with a book: each kind at its cell, all of them in one run; catches a check that looks at the wrong cell.

use super::museum::sound;
use super::support::Sheets;
use lineward::base::Level;

/// A finding as `kind file:row column`.
fn told(sheets: &Sheets) -> Vec<String> {
    let findings = sheets.findings();
    findings
        .iter()
        .map(|f| format!("{} {}:{} {}", f.kind.name, f.place.file, f.place.row, f.place.column).trim_end().to_owned())
        .collect()
}

/// Breaks a sound book in one place and gives what is told.
fn broken(table: &str, from: &str, to: &str) -> Vec<String> {
    let mut sheets = sound();
    let text = sheets.0[table].clone();
    assert!(text.contains(from), "{table} does not hold {from}");
    sheets.set(table, &text.replacen(from, to, 1));
    told(&sheets)
}

#[test]
fn kinds_are_told_at_their_other_cells_too() {
    let cases: &[(&str, &str, &str, &str)] = &[
        ("Calendar", "06:00,14:00", "6 o'clock,14:00", "not-a-time Calendar.csv:2 start"),
        ("Takt", "L1,", "L9,", "unknown-line Takt.csv:2 line"),
        ("Takt", "2027-01-01", "01.01.2027", "not-a-date Takt.csv:2 from"),
        ("Shops", "CAB,DAY", "X,DAY", "code-twice Shops.csv:2 shop"),
        ("Offers", "TEAL,TV1", "TEEL,TV1", "unknown-floorplan Offers.csv:4 floorplan"),
        ("Parts", "SINK,ea", "TEAL,ea", "code-twice Parts.csv:2 part"),
        ("Bills", "TEAL,TAPS,1,X", "TEAL,TAPS,1,", "no-station Bills.csv:6 station"),
        (
            "Bills",
            "CABS,SKIN,12,,,5%,,sqft",
            "CABS,WALL,1,,,,,\nCABS,OFFCUT,1,,,,,\nWALL,CABS2,1,,,,,",
            "unknown-part Bills.csv:9 part",
        ),
        ("Changes", "2027-09-14,", ",U9", "empty-change Changes.csv:2 from unit"),
        ("Sequence", "L1,2,U2", "L1,2,U1", "code-twice Sequence.csv:3 unit"),
        ("Sequence", "AC TV1", "AC TV3", "unknown-option Sequence.csv:3 options"),
        ("Receipts", "SINK,5", "SINK,-5", "out-of-range Receipts.csv:2 qty"),
        ("Extras", "SINK,1,X", "TAPS,1,X", "bad-extra Extras.csv:2 part"),
        ("Extras", "SINK,1,X", "CABS,1,CAB", "bad-extra Extras.csv:2 to"),
        ("Extras", "SINK,1,X", "WALL,1,Y", "bad-extra Extras.csv:2 part"),
        ("Bills", "qty", "qty,qty", "column-twice Bills.csv:1 qty"),
        ("Extras", "SINK,1,X", "SI\u{ffff}NK,1,X", "no-letter Extras.csv:2 part"),
    ];
    for (table, from, to, expected) in cases {
        let told = broken(table, from, to);
        assert!(
            told.iter().any(|told| told == expected),
            "{table}: {from:?} as {to:?}: expected {expected}, told {told:?}"
        );
    }
}

/// A forecast: each cell that can't be meant, and each row that says something else than what comes after the sequence.
#[test]
fn forecasts_are_told_at_their_cells() {
    let of = |rows: &str| told(sound().set("Forecast", &format!("floorplan,from,to,units\n{rows}")));
    assert_eq!(of("TEAL,2027-10-01,2027-10-31,12\nTEAL,2027-11-01,2027-11-01,0"), Vec::<String>::new());
    assert_eq!(of("TEEL,2027-10-01,2027-10-31,12"), ["unknown-floorplan Forecast.csv:2 floorplan"]);
    assert_eq!(of(",2027-10-01,2027-10-31,12"), ["missing-value Forecast.csv:2 floorplan"]);
    assert_eq!(of("TEAL,,2027-10-31,12"), ["missing-value Forecast.csv:2 from"]);
    assert_eq!(of("TEAL,2027-10-01,October,12"), ["not-a-date Forecast.csv:2 to"]);
    assert_eq!(of("TEAL,2027-10-01,2027-10-31,"), ["missing-value Forecast.csv:2 units"]);
    for units in ["-1", "1.5", "100001"] {
        assert_eq!(of(&format!("TEAL,2027-10-01,2027-10-31,{units}")), ["out-of-range Forecast.csv:2 units"]);
    }
    assert_eq!(of("TEAL,2027-10-01,2027-10-31,a dozen"), ["not-a-number Forecast.csv:2 units"]);
    // A period within another, one that begins on the last day of the one before, and one that begins on the day behind it.
    let three = of(
        "TEAL,2027-10-01,2027-10-31,12\nTEAL,2027-10-10,2027-10-12,1\nTEAL,2027-10-31,2027-11-30,3\nTEAL,2027-12-01,2027-12-31,3",
    );
    assert_eq!(three, ["periods-overlap Forecast.csv:3 from", "periods-overlap Forecast.csv:4 from"]);
    // U3 enters on Mon 13 Sep, the last of the sequence; the day behind it is none of the sequence's.
    assert_eq!(of("TEAL,2027-09-14,2027-10-31,12"), Vec::<String>::new());
    assert_eq!(of("TEAL,2027-09-10,2027-10-31,12"), ["forecast-too-early Forecast.csv:2 from"]);
    // A unit of no other floorplan enters, and the period has passed.
    assert_eq!(of("TEAL,2027-09-10,2027-10-31,0"), Vec::<String>::new());
    let mut settings = sound();
    let text = settings.0["Settings"].clone() + "\nsample units,0";
    assert_eq!(told(settings.set("Settings", &text)), ["out-of-range Settings.csv:4 value"]);
}

/// What a picker and a cart take: whole numbers above 0; cards as one of two words.
#[test]
fn settings_of_walks_are_told_at_their_cells() {
    for (setting, kind) in [
        ("seconds a stop,0", "out-of-range"),
        ("seconds a stop,7.5", "out-of-range"),
        ("seconds a stop,soon", "not-a-number"),
        ("kits a cart,-3", "out-of-range"),
        ("kit cards,some", "not-in-list"),
        ("currency,1.10", "not-a-currency"),
        ("currency,more than twelve", "not-a-currency"),
    ] {
        let mut sheets = sound();
        sheets.add("Settings", setting);
        let row = sheets.0["Settings"].lines().count();
        let expected = format!("{kind} Settings.csv:{row} value");
        let told = told(&sheets);
        assert!(told.contains(&expected), "{setting}: expected {expected}, told {told:?}");
    }
    let mut sheets = sound();
    sheets.add("Settings", "seconds a stop,20\nkits a cart,12\nkit cards,all\ncurrency,EUR");
    let before = told(&sound());
    assert_eq!(told(&sheets), before);
}

/// A second wall off which the piece comes without the cabinets, a station where it comes off, or cabinets that only some
/// units have in the wall: then the piece may be there in time.
#[test]
fn a_part_may_need_its_own_by_product_where_it_also_comes_from_elsewhere() {
    let told = |bills: &str| {
        let mut sheets = sound();
        sheets.add("Parts", "SHED,ea,make,WAL,").add("Bills", "CABS,OFFCUT,1,,,,,").add("Bills", bills);
        told(&sheets).into_iter().filter(|told| told.starts_with("needs-its-own")).collect::<Vec<_>>()
    };
    let expected = ["needs-its-own-by-product Bills.csv:10 part"];
    assert_eq!(told("WALL,CABS,1,,,,,\nSHED,SKIN,1,,,,,"), expected);
    assert_eq!(told("WALL,SHED,1,,,,,\nSHED,TAPS,1,,,,,\nTAPS,CABS,1,,,,,"), expected);
    for fine in
        ["WALL,CABS,1,,,,,\nSHED,OFFCUT,-1,,,,,", "WALL,CABS,1,,,,,\nTEAL,OFFCUT,-1,Y,,,,", "WALL,CABS,1,,AC,,,"]
    {
        assert_eq!(told(fine), [""; 0], "{fine}");
    }
}

#[test]
fn circles_rules_and_foreign_stations_are_told() {
    let mut sheets = sound();
    sheets.add("Parts", "CABS2,ea,make,CAB,").add("Bills", "CABS,WALL,1,,,,,\nWALL,CABS2,1,,,,,\nCABS2,SINK,1,,,,,");
    assert!(told(&sheets).iter().any(|told| told.starts_with("shop-circle Shops.csv")), "{:?}", told(&sheets));

    let mut sheets = sound();
    sheets.set("Rules", "when,adds,must,message\nAC,TV1,,\nTV1,,not AC,\"AC and a screen never\"\nnot MIC,AC,,");
    let broken = told(&sheets);
    // U1 and U2 get TV1 with AC and break the second rule; U3 has no MIC, gets AC, then TV1, and breaks it too.
    for row in 2..=4 {
        assert!(broken.contains(&format!("must-broken Sequence.csv:{row} options")), "{broken:?}");
    }
    let mut sheets = sound();
    sheets.set("Rules", "when,adds,must\nAC and not TV2,TV2,");
    // U1: TV2 joins, and then the rule's own condition is false. U2 has TV1 already: two of the group as well.
    let broken = told(&sheets);
    assert!(broken.contains(&"rule-undone Sequence.csv:2 options".to_owned()), "{broken:?}");
    assert!(broken.contains(&"two-chosen Sequence.csv:3 options".to_owned()), "{broken:?}");

    let mut sheets = sound();
    sheets
        .add("Lines", "L2,DAY")
        .add("Takt", "L2,2027-01-01,60")
        .add("Stations", "L2,Z,1")
        .add("Bills", "TEAL,SINK,1,Z,TV1,,,");
    assert_eq!(told(&sheets), ["other-line Sequence.csv:3 line"]);

    let mut sheets = sound();
    sheets
        .set("Packages", "option,includes\nAC,MIC")
        .set("Sequence", "line,seq,unit,floorplan,options\nL1,1,U1,TEAL,AC -MIC");
    assert!(told(&sheets).contains(&"came-back Sequence.csv:2 options".to_owned()));

    let mut sheets = sound();
    sheets.set("Groups", "group,choose\nTV,one");
    assert!(told(&sheets).contains(&"none-chosen Sequence.csv:2 options".to_owned()));
}

#[test]
fn warnings_do_not_stop_a_plan() {
    let mut sheets = sound();
    sheets
        .add("Parts", "DOOR,ea,make,CAB,")
        .add("Bills", "SINK,SKIN,1,,,,,\nCABS,DOOR,1.5,,,2%,,\nNOBODY,SINK,1,X,,,,");
    sheets.add("Stock", "DOOR,4,,,").set("Started", "unit,part,minutes left\nU9,CABS,10");
    let findings = sheets.findings();
    assert!(findings.iter().all(|finding| finding.kind.level != Level::Error), "{findings:?}");
    let kinds: Vec<&str> = findings.iter().map(|finding| finding.kind.name).collect();
    let expected = [
        "bought-with-bill",
        "scrap-left-out",
        "fraction-of-a-piece",
        "made-without-bill",
        "stock-not-used",
        "no-such-job",
        "bills-of-unknown-parents",
    ];
    for kind in expected {
        assert!(kinds.contains(&kind), "{kind}: {kinds:?}");
    }
    assert!(sheets.plan_as(None, false).is_ok());
}

/// Twenty-five different errors in one book, all told in one run, each at its cell.
#[test]
fn all_errors_are_told_in_one_run() {
    let mut sheets = sound();
    let breaks: [(&str, &str, &str, &str); 25] = [
        ("Takt", ",60", ",0", "takt-not-positive Takt.csv:2 minutes"),
        ("Stations", "L1,Y,2", "L1,Y,0", "out-of-range Stations.csv:3 position"),
        ("Shops", "WAL,DAY", "WAL,NIGHT", "unknown-calendar Shops.csv:3 calendar"),
        ("Options", "\nMIC,", "\nMI C,", "bad-code Options.csv:3 option"),
        ("Options", "TV1,TV\n", "TV1,TW\n", "unknown-group Options.csv:4 group"),
        ("Groups", "at most one", "two", "not-in-list Groups.csv:2 choose"),
        ("Offers", "*,AC", "*,ACC", "unknown-option Offers.csv:2 option"),
        ("Offers", "TEAL,TV1", "TEEL,TV1", "unknown-floorplan Offers.csv:4 floorplan"),
        ("Parts", "CABS,ea,make,CAB", "CABS,ea,make,", "no-shop Parts.csv:4 shop"),
        ("Parts", "WALL,ea,make,WAL", "WALL,ea,make,WUL", "unknown-shop Parts.csv:5 shop"),
        ("Parts", "SKIN,sqft", "SKIN,", "missing-value Parts.csv:3 uom"),
        ("Bills", "TEAL,SINK,1,X", "TEAL,SNIK,1,X", "unknown-part Bills.csv:2 part"),
        ("Bills", "TEAL,CABS,1,X", "TEAL,CABS,1,CAB", "unknown-station Bills.csv:3 station"),
        ("Bills", "TEAL,WALL,1,Y", "TEAL,WALL,one,Y", "not-a-number Bills.csv:4 qty"),
        ("Bills", "TEAL,TAPS,1,X,AC", "TEAL,TAPS,1,X,AK", "unknown-name Bills.csv:5 when"),
        ("Bills", "not MIC", "not (TV1", "bad-expression Bills.csv:6 when"),
        ("Bills", ",5%,", ",5,", "scrap-too-large Bills.csv:7 scrap"),
        ("Bills", ",C1,", ",C2,", "unknown-change Bills.csv:8 from change"),
        ("Changes", "2027-09-14", "", "empty-change Changes.csv:2 change"),
        ("Sequence", "L1,2,U2", "L1,1,U2", "seq-twice Sequence.csv:3 seq"),
        ("Sequence", "L1,3,U3", "L1,3,U1", "code-twice Sequence.csv:4 unit"),
        ("Stock", "100,CAB", "100,CUB", "unknown-destination Stock.csv:3 station"),
        ("Receipts", "2027-09-14", "next week", "not-a-date Receipts.csv:2 due"),
        ("Extras", "SINK,1,X,2027-09-13 12:00,", "SINK,1,X,,", "bad-extra Extras.csv:2 needed"),
        ("Waves", "06:00", "6 am", "not-a-time Waves.csv:2 time"),
    ];
    for (table, from, to, _) in breaks {
        let text = sheets.0[table].replacen(from, to, 1);
        sheets.set(table, &text);
    }
    let told = told(&sheets);
    for (.., expected) in breaks {
        assert!(told.iter().any(|told| told == expected), "{expected}: {told:?}");
    }
    assert!(sheets.plan_as(None, true).is_err());
}

#[test]
fn errors_of_single_units_are_told_beside_those_of_the_plant() {
    let mut sheets = sound();
    sheets
        .set("Waves", "wave,time\nA,6 am")
        .set("Sequence", "line,seq,unit,floorplan,options\nL1,1,U1,TEAL,-AC\nL1,2,U2,TEAL,TV1 TV2");
    assert_eq!(
        told(&sheets),
        ["not-standard Sequence.csv:2 options", "two-chosen Sequence.csv:3 options", "not-a-time Waves.csv:2 time"]
    );
}

/// One mistake is told once: what follows from it is not.
#[test]
fn a_mistake_does_not_drag_others_along() {
    for (table, from, to, expected) in [
        ("Takt", ",60", ",0", "takt-not-positive Takt.csv:2 minutes"),
        ("Bills", "TEAL,CABS,1,X", "TEAL,CABS,1,XX", "unknown-station Bills.csv:3 station"),
        ("Parts", "SKIN,sqft", "SKIN,", "missing-value Parts.csv:3 uom"),
        ("Parts", "SINK,ea", "SUNK,ea", "unknown-part Bills.csv:2 part"),
    ] {
        let told = broken(table, from, to);
        assert_eq!(told[0], expected);
        assert!(
            told.iter().all(|told| told.starts_with(expected.split(' ').next().expect("a kind"))
                || told.contains("unknown-parts")
                || told.starts_with("mistyped-code")),
            "{told:?}"
        );
    }
}

#[test]
fn the_value_that_was_meant_is_suggested() {
    let mut sheets = sound();
    sheets.add("Bills", "TEAL,SIKN,1,X,,,,");
    let findings = sheets.findings();
    let finding = findings.iter().find(|finding| finding.kind.name == "unknown-part").expect("a finding");
    assert_eq!(finding.nearest.as_deref(), Some("SINK"));
    assert_eq!(
        finding.to_string(),
        "error: unknown-part: Bills.csv row 10 column part: 'SIKN': no such part (did you mean SINK?)"
    );
}

#[test]
fn a_missing_table_is_told_once_and_drags_nothing_along() {
    let mut sheets = sound();
    sheets.0.remove("Parts");
    assert_eq!(told(&sheets), ["missing-table book:0"]);
}
