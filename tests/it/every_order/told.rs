//! What is told of every order: the demo's planted mistakes, the commands, and what is said where a limit is reached.
//!
//! Rules `content`, `proofs`.

use super::super::support::Sheets;
use super::{groups, plant, proof};
use lineward::every_order::Count;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// The demo plant's folder.
fn demo() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("data/alder-fen")
}

/// Runs the command on a book: status, what it prints, what it prints as errors.
fn run(command: &str, book: &Path, words: &[&str]) -> (Option<i32>, String, String) {
    let run = std::process::Command::new(env!("CARGO_BIN_EXE_lineward")).arg(command).arg(book).args(words).output();
    let run = run.expect("the command runs");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("UTF-8");
    (run.status.code(), text(run.stdout), text(run.stderr))
}

/// The demo's builds, multiplied out by hand: choices that have nothing to do with each other, and by themselves those that have.
/// COLD brings TANKH and FLOORI: 2·2 without it and 1 with it, 5; on a family floorplan it needs an air unit: 4·3 + 1·2 = 14.
/// TOUR brings AWN, SOL1 and OUTSH; SOL2 and JACKE bring BATTLI; AWNE needs BATTLI or a panel. Without TOUR: OUTSH or not, times
/// (with BATTLI 3 panels · 3 awnings · 2 jacks = 18; without 2 + 3 = 5), 46; with TOUR 2 + 1 = 3; in all 49.
#[test]
fn the_demo_is_proved_and_its_three_planted_mistakes_are_found() {
    let sheets = Sheets::read(&demo());
    let proof = proof(&sheets);
    // Inside, outside, wheels, hob and oven, fridge and microwave, air, screen, bike and slides, the two packages.
    let dunlin = 3 * 3 * 2 * 2 * (2 * 2) * 2 * 2 * 2 * 5 * (2 * (2 * 2 * 2) + 2);
    let teal = 3 * 3 * 2 * 3 * 5 * 3 * 3 * (2 * 2) * 5 * 49;
    let plover = 4 * 3 * 2 * 3 * 5 * 3 * (2 * 2) * 14 * 49;
    let curlew = 4 * 3 * 2 * 3 * (2 * 2) * 3 * (2 + 2 + 1) * 14 * 49;
    // As PLOVER 21, but without heather and the slide box.
    let godwit = 3 * 3 * 2 * 3 * 5 * 3 * 2 * 14 * 49;
    let counts: Vec<String> = proof
        .figures
        .iter()
        .map(|figures| match &figures.builds {
            Count::Exactly(count) => count.to_string(),
            Count::MoreThan(count) => format!("more than {count}"),
        })
        .collect();
    assert_eq!(counts, [dunlin, teal, plover, curlew, godwit].map(|count: u32| count.to_string()));
    let row_of =
        |table: &str, start: &str| sheets.0[table].lines().position(|line| line.starts_with(start)).expect(start) + 1;
    let told: Vec<(&str, u32)> = proof.findings.iter().map(|finding| (finding.kind.name, finding.place.row)).collect();
    let wanted: BTreeSet<(&str, u32)> = [
        ("content-can-break", row_of("Content", "fridge,")),
        ("content-can-break", row_of("Content", "heater,")),
        ("line-never-used", row_of("Bills", "DUNLIN 15,TVF-04,1,,TRM,COLD and not TANKH")),
    ]
    .map(|(kind, row)| (kind, row as u32))
    .into();
    assert_eq!(told.len(), 3, "{:?}", proof.findings);
    assert_eq!(told.into_iter().collect::<BTreeSet<_>>(), wanted);
    let all: String = proof.findings.iter().map(|finding| format!("{finding}\n")).collect();
    for words in [
        "TEAL 18 ordered as FR190 TOUR has 2 of the kind fridge",
        "CURLEW 25 ordered as COLD JACKE has 0 of the kind heater",
        "(COLD includes TANKH)",
    ] {
        assert!(all.contains(words), "{words}\n{all}");
    }
}

/// An order that nobody has placed is told as a unit is, with its weight; one that can't be placed is refused with the reason.
#[test]
fn an_order_that_nobody_has_placed_is_explained() {
    let why = |words: &[&str]| run("why", &demo(), words);
    let (status, text, _) = why(&["--order", "TEAL 18: FR190 TOUR"]);
    assert_eq!(status, Some(0));
    // Packages and standards are there, and what it weighs: all parts of TEAL 18 do but 33, see the figures.
    for word in [
        "Nobody has placed this order: TEAL 18: FR190 TOUR.",
        "others of line L1",
        "AWN",
        "SOL1",
        "OUTSH",
        "HOB3",
        "Its bought parts weigh",
    ] {
        assert!(text.contains(word), "{word}\n{text}");
    }
    let (status, text, _) = why(&["--order", "TEAL 18: FR190 TOUR", "--part", "F9A-01"]);
    assert_eq!((status, text.contains("F9A-01")), (Some(0), true), "{text}");
    let (status, _, wrong) = why(&["--order", "DUNLIN 15: FR190"]);
    assert_eq!((status, wrong.contains("DUNLIN 15 does not offer")), (Some(1), true), "{wrong}");
    let (status, _, wrong) = why(&["--order", "DUNLIN 16: AC"]);
    assert_eq!((status, wrong.contains("did you mean DUNLIN 15?")), (Some(2), true), "{wrong}");
}

/// As JSON an order that nobody has placed has all facts of a unit, and what it weighs; the same number as in the text.
#[test]
fn an_order_that_nobody_has_placed_is_explained_to_programs() {
    let (status, text, _) = run("why", &demo(), &["--order", "TEAL 18: FR190 TOUR", "--json"]);
    assert_eq!(status, Some(0));
    let facts: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    assert_eq!(facts["order"], "TEAL 18: FR190 TOUR");
    let kilograms = facts["kilograms"].as_str().expect("a weight");
    let (_, text, _) = run("why", &demo(), &["--order", "TEAL 18: FR190 TOUR"]);
    let last = text.lines().last().expect("a line");
    let unknown = &facts["weights_not_known"];
    assert_eq!(
        last,
        format!(
            "Its bought parts weigh {kilograms} kg by the book; {unknown} parts have no weight. The scale and the certification label govern."
        )
    );
    let options = facts["options"].to_string();
    assert!(["FR190", "TOUR", "AWN"].iter().all(|option| options.contains(option)), "{options}");
    // With a part every path is there, too.
    let (status, text, _) = run("why", &demo(), &["--order", "TEAL 18: FR190 TOUR", "--part", "F9A-01", "--json"]);
    let facts: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    assert_eq!((status, facts["order"].as_str()), (Some(0), Some("TEAL 18: FR190 TOUR")));
    assert!(facts["paths"].as_array().is_some_and(|paths| !paths.is_empty()), "{text}");
}

/// The smallest order that breaks Content can be tried as a unit, and then breaks it in the plan's own findings.
#[test]
fn an_order_that_nobody_has_placed_can_be_tried() {
    let add = "Sequence line=L1, seq=99999, unit=NEW1, floorplan='TEAL 18', options=FR190 TOUR";
    let (status, text, wrong) = run("try", &demo(), &["--add", add, "--trials", "0"]);
    assert_eq!(status, Some(0), "{text}{wrong}");
    assert!(text.contains("NEW1"), "{text}");
    let wrong_one = add.replace("FR190 TOUR", "HB4");
    let (status, _, wrong) = run("try", &demo(), &["--add", &wrong_one, "--trials", "0"]);
    assert_eq!(status, Some(1), "{wrong}");
}

/// The findings and figures as text, for programs and as a workbook: the same numbers in all three.
#[test]
fn proofs_are_told_as_text_for_programs_and_as_a_workbook() {
    use calamine::{Data, Reader, open_workbook_auto};
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("proof.xlsx");
    let (status, text, _) = run("check", &demo(), &["--every-order", "--out", out.to_str().expect("a path")]);
    assert_eq!(status, Some(0));
    let (_, json, _) = run("check", &demo(), &["--every-order", "--json"]);
    let facts: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    let teal = facts["every_order"].as_array().expect("figures").iter().find(|of| of["floorplan"] == "TEAL 18");
    let teal = teal.expect("TEAL 18");
    assert_eq!(teal["builds"], "2381400");
    let (lightest, heaviest) = (teal["lightest"].as_str().expect("a weight"), teal["heaviest"].as_str().expect("one"));
    assert!(
        text.contains(&format!("TEAL 18: 2,381,400 builds; bought parts weigh {lightest} to {heaviest} kg")),
        "{text}"
    );
    let mut workbook = open_workbook_auto(&out).expect("a workbook");
    let mut rows = |sheet: &str| -> Vec<Vec<String>> {
        let range = workbook.worksheet_range(sheet).expect("a sheet");
        range.rows().map(|row| row.iter().map(Data::to_string).collect()).collect()
    };
    let builds = rows("Builds");
    assert!(builds.iter().any(|row| row[0] == "TEAL 18" && row[2] == "2,381,400"), "{builds:?}");
    // Two fridges, told in each.
    let fridges = "TEAL 18 ordered as FR190 TOUR has 2 of the kind fridge";
    assert!(text.contains(fridges) && json.contains(fridges));
    assert!(
        rows("Findings").iter().any(|row| row[1] == "content-can-break" && row.iter().any(|c| c.contains(fridges)))
    );
    // Of a part the most that a unit takes: one tall fridge.
    let most = rows("Most of a part");
    assert!(most.iter().any(|row| row[0] == "F19-01" && row[2] == "TEAL 18" && row[4] == "1"));
    // Without the word nothing of it is told.
    let (_, plain, _) = run("check", &demo(), &[]);
    assert!(!plain.contains("can-break") && !plain.contains("builds"), "{plain}");
}

/// A book with errors says so first, and nothing is proved of it.
#[test]
fn a_book_with_errors_is_not_proved() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut sheets = plant();
    sheets.set("Bills", "parent,part,qty,station\nTEAL,NONE,1,X");
    for (table, text) in &sheets.0 {
        std::fs::write(folder.path().join(format!("{table}.csv")), text).expect("a file");
    }
    let (status, text, _) = run("check", folder.path(), &["--every-order"]);
    assert_eq!((status, text.contains("unknown-part")), (Some(1), true), "{text}");
    assert!(text.ends_with("not proved for every order: the book has errors\n"), "{text}");
}

/// Twelve of which no two share one of eleven places (the pigeonhole principle: there is no way, and solvers of this kind take
/// very long to find that; A. Haken, Theoretical Computer Science 39, 1985): it says what stopped it, and claims nothing.
#[test]
fn where_a_limit_is_reached_it_says_which() {
    let mut sheets = groups(&[11; 12]);
    sheets.set("Rules", "when,must").set("Parts", "part,uom\nP,ea");
    sheets.set("Bills", "parent,part,qty,station,when\nTEAL,P,1,X,G0-0");
    for (a, b) in (0..12).flat_map(|a| (0..a).map(move |b| (a, b))) {
        (0..11).for_each(|place| _ = sheets.add("Rules", &format!("G{a}-{place},not G{b}-{place}")));
    }
    let proof = proof(&sheets);
    assert!(proof.figures.is_empty());
    let told: Vec<String> = proof.findings.iter().map(ToString::to_string).collect();
    assert!(proof.findings.iter().all(|finding| finding.kind.name == "not-proved"), "{told:?}");
    let whether = "it is not known whether any order of TEAL can be placed: the solver met 200000 dead ends";
    assert!(told.iter().any(|told| told.contains(whether)), "{told:?}");
    // Rules, offers and musts in a line each.
    assert!(told.len() <= 4, "{told:?}");
}

/// Options without a table of offers are offered: one that no order can have is told at its own row.
#[test]
fn an_option_that_no_order_can_have_is_told_without_offers_too() {
    let mut sheets = plant();
    sheets.set("Options", "option\nA\nB").set("Rules", "when,must\nA,B\nA,not B");
    let proof = proof(&sheets);
    let told: Vec<_> = proof.findings.iter().map(|finding| (finding.kind.name, finding.place.row)).collect();
    let never = proof.findings.iter().find(|finding| finding.kind.name == "offer-never-ordered").expect("it is told");
    assert_eq!((never.value.as_str(), never.place.row), ("A", 2), "{told:?}");
    assert!(
        never.message.contains("Rules.csv row 2") && never.message.contains("Rules.csv row 3"),
        "{}",
        never.message
    );
}
