//! Each view's figures against the tables of the plan, by another path than the pages take.

use super::client::{Server, coded};
use super::of_project;
use crate::support::{Sheets, table_text};
use lineward::base::Moment;
use lineward::report::table::TABLES;
use std::collections::{BTreeMap, BTreeSet};

type Row = BTreeMap<String, String>;

/// A book and the tables of its plan.
struct Planned {
    tables: BTreeMap<&'static str, Vec<Row>>,
    book: Sheets,
}

fn rows(text: &str) -> Vec<Row> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let headings = reader.headers().expect("headings").clone();
    let rows = reader.records().map(|row| row.expect("a row"));
    rows.map(|row| headings.iter().map(str::to_owned).zip(row.iter().map(str::to_owned)).collect()).collect()
}

impl Planned {
    fn of(book: &str) -> Self {
        let book = Sheets::read(&of_project(book));
        let tables = book.look(None, false, |plan| {
            TABLES.iter().map(|table| (table.name, rows(&table_text(table, plan)))).collect()
        });
        Self { tables: tables.unwrap_or_else(|findings| panic!("{findings:?}")), book }
    }

    fn table(&self, name: &str) -> &[Row] {
        &self.tables[name]
    }

    fn in_book(&self, name: &str) -> Vec<Row> {
        self.book.0.get(name).map(|text| rows(text)).unwrap_or_default()
    }
}

/// The purchase order of a row of the book.
fn order(row: &Row) -> &str {
    row.get("order").or(row.get("purchase order")).expect("an order")
}

fn short(time: &str) -> String {
    Moment::parse(time).expect("a time").0.short()
}

const BOOKS: [&str; 4] =
    ["data/alder-fen", "tests/examples/planner/book", "tests/examples/shops/book", "tests/examples/buyer/book"];

/// Who is on the line after a move, against when units enter and leave; and in the line's order.
#[test]
fn who_stands_on_the_line() {
    for book in BOOKS {
        let (plan, server) = (Planned::of(book), Server::of(&of_project(book), &[]));
        let lines: BTreeSet<String> = plan.table("units").iter().map(|row| row["line"].clone()).collect();
        for line in lines {
            for number in [0, 1, 2, 7, 30] {
                let page = server.page(&format!("/?line={}&move={number}", coded(&line)));
                let title =
                    page.body.split_once("<h1>").and_then(|(_, rest)| rest.split_once("</h1>")).expect("a heading").0;
                let places = page
                    .body
                    .split_once("class=\"places\"")
                    .and_then(|(_, rest)| rest.split_once("</ol>"))
                    .expect("places")
                    .0;
                let shown: Vec<String> = places
                    .split("/unit?unit=")
                    .skip(1)
                    .map(|rest| rest.split_once('"').expect("an address").0.to_owned())
                    .collect();
                // When that move is made is known from those who enter with it, or whom it moves: those who have entered by then and not left.
                let moment = title.rsplit_once(", ").expect("a moment").1;
                let own = plan.table("units").iter().filter(|row| row["line"] == line && !row["enters"].is_empty());
                let at = own.clone().flat_map(|row| [&row["enters"], &row["leaves"]]).find(|at| short(at) == moment);
                let Some(at) = at else { continue };
                let on = own.filter(|row| row["enters"] <= *at && *at < row["leaves"]);
                let mut on: Vec<(String, String)> =
                    on.map(|row| (row["enters"].clone(), coded(&row["unit"]))).collect();
                // The last to enter stands at the first position.
                on.sort_by(|one, other| other.cmp(one));
                assert_eq!(
                    shown,
                    on.into_iter().map(|(_, unit)| unit).collect::<Vec<_>>(),
                    "{book} {line} {number} {moment}"
                );
            }
        }
    }
}

/// The pieces that a unit waits for, against `consequences`.
#[test]
fn what_units_wait_for() {
    let mut seen = 0;
    for book in BOOKS {
        let (plan, server) = (Planned::of(book), Server::of(&of_project(book), &[]));
        let units: BTreeSet<&String> =
            plan.table("consequences").iter().map(|row| &row["unit"]).filter(|unit| !unit.is_empty()).collect();
        for unit in units.into_iter().take(25) {
            let page = server.page(&format!("/unit?unit={}", coded(unit)));
            let mut told: Vec<(String, String, String)> = page
                .table("Pieces that are not there")
                .into_iter()
                .map(|cells| {
                    (
                        cells[0].split(' ').next().unwrap_or_default().to_owned(),
                        cells[2].clone(),
                        cells[5][4..].trim().to_owned(),
                    )
                })
                .collect();
            let own = plan.table("consequences").iter().filter(|row| row["unit"] == *unit);
            let mut wanted: Vec<(String, String, String)> = own
                .map(|row| {
                    let long = match (row["word"].as_str(), row["stop_minutes"].as_str()) {
                        ("stops the line", "") => ", no end known".to_owned(),
                        ("stops the line", minutes) => format!(" {minutes} min"),
                        _ => String::new(),
                    };
                    (
                        row["part"].split(' ').next().unwrap_or_default().to_owned(),
                        row["to"].clone(),
                        format!("{}{long}", row["word"]),
                    )
                })
                .collect();
            told.sort();
            wanted.sort();
            assert_eq!(told, wanted, "{book} {unit}");
            seen += wanted.len();
        }
    }
    assert!(seen > 30, "{seen}");
}

/// A unit's parts by station, against `demands`; its jobs, against `jobs`.
#[test]
fn what_units_are_built_of() {
    let (plan, server) = (Planned::of("data/alder-fen"), Server::of(&of_project("data/alder-fen"), &[]));
    for unit in plan.table("units").iter().filter(|row| !row["enters"].is_empty()).step_by(40) {
        let unit = &unit["unit"];
        let page = server.page(&format!("/unit?unit={}", coded(unit)));
        let jobs = plan.table("jobs").iter().filter(|row| row["unit"] == *unit).count();
        assert_eq!(page.table("Jobs").len(), jobs, "{unit}");
        let stations: BTreeSet<&String> =
            plan.table("demands").iter().filter(|row| row["unit"] == *unit).map(|row| &row["to"]).collect();
        let is_station = |to: &&&String| plan.in_book("Stations").iter().any(|row| row["station"] == ***to);
        for to in stations.iter().filter(is_station) {
            let told = page.table(&format!("Parts at {to}"));
            let told: BTreeSet<&str> = told
                .iter()
                .filter(|cells| {
                    !cells[2].contains("issued") && !cells[2].contains("delivered") && !cells[2].contains("comes off")
                })
                .map(|cells| cells[0].split(' ').next().unwrap_or_default())
                .collect();
            let extras = plan.in_book("Extras");
            let extra = |part: &str| extras.iter().any(|row| row["unit"] == *unit && row["part"] == part);
            let own = plan.table("demands").iter().filter(|row| row["unit"] == *unit && row["to"] == **to);
            let wanted: BTreeSet<&str> = own.map(|row| row["part"].as_str()).filter(|part| !extra(part)).collect();
            assert!(wanted.is_subset(&told), "{unit} at {to}: {:?}", wanted.difference(&told));
        }
    }
}

/// A part's pieces, balance and deliveries, against `pegs`, `balances` and the book.
#[test]
fn parts() {
    for book in BOOKS {
        let (plan, server) = (Planned::of(book), Server::of(&of_project(book), &[]));
        let late: BTreeSet<&String> = plan.table("consequences").iter().map(|row| &row["part"]).collect();
        let some = plan.table("demands").iter().map(|row| &row["part"]).step_by(4_001);
        let parts: BTreeSet<&String> = late.into_iter().take(12).chain(some).collect();
        for part in parts {
            let page = server.page(&format!("/part?part={}", coded(part)));
            let pegs: Vec<&Row> = plan.table("pegs").iter().filter(|row| row["part"] == **part).collect();
            let told = page.table("Pieces, those");
            assert_eq!(page.of("Pieces, those").unwrap_or(told.len()), pegs.len(), "{book} {part}");
            let short = pegs.iter().filter(|row| row["cover"] == "none").count();
            let told_short = told.iter().filter(|cells| cells[6].contains("short")).count();
            assert_eq!(told_short, short.min(300), "{book} {part}: short pieces");
            let balances: Vec<&Row> = plan.table("balances").iter().filter(|row| row["part"] == **part).collect();
            let told = page.table("Balance");
            assert_eq!(page.of("Balance").unwrap_or(told.len()), balances.len(), "{book} {part}");
            for (cells, row) in told.iter().zip(&balances) {
                assert_eq!(
                    cells[1..4],
                    [&*row["gross"], &row["receipts"], &row["available"]],
                    "{book} {part} {}",
                    row["date"]
                );
            }
            let receipts = plan.in_book("Receipts");
            let orders: BTreeSet<&str> =
                receipts.iter().filter(|row| row["part"].eq_ignore_ascii_case(part)).map(order).collect();
            let told = page.table("Open deliveries");
            let told: BTreeSet<&str> = told.iter().map(|cells| cells[0].as_str()).collect();
            assert_eq!(told, orders, "{book} {part}");
        }
    }
}

/// The pulls of runs, of the day and of later ones, against `pulls`.
#[test]
fn runs() {
    let (plan, server) = (Planned::of("data/alder-fen"), Server::of(&of_project("data/alder-fen"), &[]));
    let runs: BTreeSet<&String> = plan.table("pulls").iter().map(|row| &row["wave"]).collect();
    assert!(runs.len() > 20);
    for run in runs.into_iter().step_by(5) {
        let page = server.page(&format!("/run?leaves={}", coded(run)));
        let own: Vec<&Row> = plan.table("pulls").iter().filter(|row| row["wave"] == *run).collect();
        let told = page.table("Pulls, those");
        assert_eq!(page.of("Pulls, those").unwrap_or(told.len()), own.len(), "{run}");
        let wrong = own.iter().filter(|row| !["ready", "arriving"].contains(&&*row["status"])).count();
        assert!(page.text().contains(&format!("{} pulls, {wrong} of them not whole", own.len())), "{run}: {wrong}");
        if own.len() <= 300 {
            let mut shown: Vec<(String, String)> = told
                .iter()
                .map(|cells| (cells[1].split(' ').next().unwrap_or_default().to_owned(), cells[4].clone()))
                .collect();
            let unit = |row: &Row| if row["unit"].is_empty() { "in packs".to_owned() } else { row["unit"].clone() };
            let mut wanted: Vec<(String, String)> = own.iter().map(|row| (row["part"].clone(), unit(row))).collect();
            shown.sort();
            wanted.sort();
            assert_eq!(shown, wanted, "{run}");
        }
    }
}

/// A shop's jobs of a day and how many are late, against `jobs`.
#[test]
fn shops() {
    let (plan, server) = (Planned::of("data/alder-fen"), Server::of(&of_project("data/alder-fen"), &[]));
    let shops: BTreeSet<&String> = plan.table("jobs").iter().map(|row| &row["shop"]).collect();
    let needs: BTreeMap<(&str, &str, &str), &str> = plan
        .table("pegs")
        .iter()
        .filter(|row| row["cover"] == "job")
        .map(|row| ((&*row["source"], &*row["part"], &*row["to"]), &*row["need"]))
        .collect();
    assert!(shops.len() > 1);
    for shop in shops {
        let own: Vec<&Row> = plan.table("jobs").iter().filter(|row| row["shop"] == *shop).collect();
        for day in ["2027-09-14", "2027-09-16"] {
            let page = server.page(&format!("/shop?shop={}&day={day}", coded(shop)));
            let today = own.iter().filter(|row| row["start"][..10] <= *day && row["finish"][..10] >= *day);
            let mut wanted: Vec<(String, String)> =
                today.map(|row| (short(&row["start"]), row["unit"].clone())).collect();
            let mut told: Vec<(String, String)> =
                page.table("Jobs of").iter().map(|cells| (cells[0].clone(), cells[2].clone())).collect();
            wanted.sort();
            told.sort();
            assert_eq!(told, wanted, "{shop} {day}");
        }
        let late = own.iter().filter(|row| {
            let need = needs.get(&(&*row["job"], &*row["part"], &*row["to"]));
            need.is_some_and(|need| row["there_at"].is_empty() || *row["there_at"] > **need)
        });
        let words = format!("{} jobs in the plan, {} of them late", own.len(), late.count());
        assert!(server.page(&format!("/shop?shop={}", coded(shop))).text().contains(&words), "{shop}: {words}");
    }
}

/// Every sheet of the three workbooks can be looked at, and says what it says on paper.
#[test]
fn sheets() {
    let server = Server::of(&of_project("tests/examples/buyer/book"), &[]);
    let all = server.until("/sheets", |page| !page.body.contains("data-again"));
    let addresses: Vec<String> = all
        .body
        .split("href=\"/sheet?")
        .skip(1)
        .map(|rest| rest.split_once('"').expect("an address").0.replace("&amp;", "&"))
        .collect();
    let book = Sheets::read(&of_project("tests/examples/buyer/book"));
    let looked = book.look(None, false, |plan| {
        let workbooks = lineward::report::workbooks(plan);
        assert_eq!(addresses.len(), workbooks.iter().map(|workbook| workbook.sheets.len()).sum::<usize>());
        let sheets = workbooks.iter().flat_map(|workbook| &workbook.sheets);
        for (address, sheet) in addresses.iter().zip(sheets) {
            let page = server.page(&format!("/sheet?{address}")).text();
            for cell in sheet.rows.iter().flat_map(|row| &row.cells) {
                if let lineward::report::value::Value::Text(words) = &cell.value {
                    let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
                    assert!(page.contains(&words), "{}: '{words}' is not on the page", sheet.name);
                }
            }
        }
    });
    looked.unwrap_or_else(|findings| panic!("{findings:?}"));
}

/// Suppliers, and what is found.
#[test]
fn suppliers_and_search() {
    let (plan, server) = (Planned::of("data/alder-fen"), Server::of(&of_project("data/alder-fen"), &[]));
    let receipts = plan.in_book("Receipts");
    let parts = plan.in_book("Parts");
    let of_part: BTreeMap<&str, &str> = parts.iter().map(|row| (&*row["part"], &*row["supplier"])).collect();
    let supplier = |row: &Row| {
        row.get("supplier").filter(|own| !own.is_empty()).cloned().unwrap_or_else(|| of_part[&*row["part"]].to_owned())
    };
    let names: BTreeSet<String> = receipts.iter().map(supplier).filter(|name| !name.is_empty()).collect();
    assert!(names.len() > 5);
    for name in names.iter().take(8) {
        let page = server.page(&format!("/supplier?supplier={}", coded(name)));
        let own: BTreeSet<(String, String)> = receipts
            .iter()
            .filter(|row| supplier(row) == *name)
            .map(|row| (order(row).to_owned(), row["part"].clone()))
            .collect();
        let told = page.table("Open deliveries");
        assert_eq!(page.of("Open deliveries").unwrap_or(told.len()), own.len(), "{name}");
    }
    let found = server.page("/find?words=af3446");
    assert!(found.body.contains("href=\"/unit?unit=AF3446\""), "{}", found.text());
    assert!(server.page("/find?words=52103").text().contains("order 52103: F14-01"));
    let none = server.page("/find?words=no-such-thing").text();
    assert!(none.contains("The book has nothing that is called"));
    assert_eq!(server.get("/unit?unit=AF3446X").status, 404);
    assert!(server.get("/unit?unit=AF3446X").text().contains("Did you mean AF3446?"));
}

/// A trial says what the changed book's plan says, several side by side; nothing of the book is written.
#[test]
fn trials() {
    let folder = super::copy("data/alder-fen");
    let server = Server::of(folder.path(), &[]);
    let before = std::fs::read(folder.path().join("Receipts.csv")).expect("a file");
    let edits = [
        "Receipts all 52265 RAC-01 due=2027-09-14 05:00",
        "Stock all F14-01 qty=0\n# nothing\ndrop Receipts 52103 F14-01",
        "Receipts nobody qty=1",
    ];
    let answer = server.trial(&edits);
    assert_eq!(answer.status, 200);
    let page = answer.text();
    assert!(page.contains("Tried, not the plan"));
    assert!(page.contains("Trial 3") && page.contains("It can't be tried"), "{page}");
    for (number, edits) in edits.iter().take(2).enumerate() {
        // The same by the command that the page gives.
        let command = answer
            .body
            .split_once(&format!("id=\"command{number}\">"))
            .and_then(|(_, rest)| rest.split_once("</pre>"))
            .expect("a command");
        let command = super::client::text(command.0);
        assert!(command.starts_with("lineward try '"), "{command}");
        let output = std::process::Command::new("sh")
            .arg("-c")
            .arg(format!("{} --trials 0", command.replacen("lineward", env!("CARGO_BIN_EXE_lineward"), 1)))
            .output();
        let Ok(output) = output else { return };
        let told = String::from_utf8_lossy(&output.stdout).into_owned();
        let line =
            told.lines().find_map(|line| line.strip_prefix("the line: ")).unwrap_or_else(|| panic!("{edits}: {told}"));
        assert!(page.contains(line), "{edits}: {line}");
    }
    assert_eq!(std::fs::read(folder.path().join("Receipts.csv")).expect("a file"), before);
}

/// A book that is spoiled while the page is open shows what is wrong at its cell beside the last good plan, and goes on when it is mended.
#[test]
fn the_page_follows_the_book() {
    let folder = super::copy("tests/examples/buyer/book");
    let server = Server::of(folder.path(), &[]);
    let file = folder.path().join("Parts.csv");
    let sound = std::fs::read_to_string(&file).expect("a file");
    let first = server.page("/").body;
    let mut lines: Vec<String> = sound.lines().map(str::to_owned).collect();
    let part = lines[1].split(',').next().expect("a part").to_owned();
    lines[1] = lines[1].replacen(&part, &format!("{part},,,,,,,,,,,,,,,,,,,,,,,,,,,,,,,"), 1);
    std::fs::write(&file, lines.join("\n") + "\n").expect("it is spoiled");
    let wrong = server.until("/", |page| page.body.contains("can't be planned as it is"));
    assert!(wrong.body.contains("class=\"places\""), "the last good plan stays");
    let book = server.page("/book").text();
    assert!(book.contains("Parts.csv") && book.contains("row 2"), "{book}");
    std::fs::write(&file, &sound).expect("it is mended");
    let mended = server.until("/", |page| !page.body.contains("can't be planned as it is"));
    let bare = |page: &str| page.split_once("<main").expect("a page").1.to_owned();
    assert_eq!(bare(&mended.body), bare(&first));
    // Another book: without its last unit.
    let file = folder.path().join("Sequence.csv");
    let sequence = std::fs::read_to_string(&file).expect("a file");
    let last = sequence.lines().last().expect("a row").to_owned();
    std::fs::write(&file, sequence.replace(&format!("{last}\n"), "")).expect("it is changed");
    server.until("/", |page| bare(&page.body) != bare(&first));
}

/// A book that can't be planned at all is told as by every command, and nothing is served.
#[test]
fn a_book_with_errors_is_told() {
    let folder = super::copy("tests/examples/buyer/book");
    std::fs::remove_file(folder.path().join("Parts.csv")).expect("it is gone");
    let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_lineward"));
    let output =
        command.arg("look").arg(folder.path()).args(["--no-browser", "--port", "0"]).output().expect("it ends");
    assert_eq!(output.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&output.stderr).contains("the book has no table Parts"));
    assert!(output.stdout.is_empty());
}

/// An order put together from what the last unit of a floorplan has is built of what that unit needs, and weighs what `why --order` says;
/// one that a rule forbids says so.
#[test]
fn orders() {
    let (plan, server) = (Planned::of("data/alder-fen"), Server::of(&of_project("data/alder-fen"), &[]));
    let (parts, stations, sequence) = (plan.in_book("Parts"), plan.in_book("Stations"), plan.in_book("Sequence"));
    let phantom = |code: &str| parts.iter().any(|row| row["part"] == code && row["source"] == "phantom");
    let extras = plan.in_book("Extras");
    for floorplan in ["PLOVER 21", "TEAL 18"] {
        let unit = sequence
            .iter()
            .rfind(|row| row["floorplan"] == floorplan && row["done"].is_empty() && row["hold"].is_empty())
            .expect("a unit");
        let (taken, ordered): (Vec<&str>, Vec<&str>) = unit["options"]
            .split([' ', ','])
            .filter(|option| !option.is_empty())
            .partition(|option| option.starts_with('-'));
        let with: String = ordered.iter().map(|option| format!("&with={}", coded(option))).collect();
        let without: String = taken.iter().map(|option| format!("&without={}", coded(&option[1..]))).collect();
        let page = server.page(&format!("/order?floorplan={}{with}{without}", coded(floorplan)));
        let mut seen = 0;
        for station in stations.iter().map(|row| row["station"].as_str()) {
            let told = page.table(&format!("Parts at {station}"));
            let told = told
                .iter()
                .filter(|cells| !cells[1].starts_with("gives"))
                .map(|cells| cells[0].split(' ').next().unwrap_or_default());
            let told: BTreeSet<&str> = told.filter(|part| !phantom(part)).collect();
            let own = plan.table("demands").iter().filter(|row| row["unit"] == unit["unit"] && row["to"] == station);
            let own = own
                .filter(|row| !extras.iter().any(|extra| extra["unit"] == row["unit"] && extra["part"] == row["part"]));
            let own: BTreeSet<&str> = own.map(|row| row["part"].as_str()).collect();
            assert_eq!(told, own, "{floorplan} at {station}");
            seen += own.len();
        }
        assert!(seen > 100, "{seen}");
        let order = format!("{floorplan}: {}", unit["options"]);
        let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_lineward"));
        let output =
            command.arg("why").arg(of_project("data/alder-fen")).args(["--order", &order]).output().expect("it ends");
        let told = String::from_utf8_lossy(&output.stdout).into_owned();
        let weight = told
            .split_once("Its bought parts weigh ")
            .and_then(|(_, rest)| rest.split_once(" kg"))
            .expect("a weight")
            .0;
        assert!(page.text().contains(&format!("weigh {weight} kg by the book")), "{weight}");
    }
    // The fourth rule of the book: an electric awning and neither battery nor panel.
    let wrong = server.page("/order?floorplan=TEAL+18&with=AWNE").text();
    assert!(
        wrong.contains("What forbids it")
            && wrong.contains("An electric awning needs a lithium battery or a solar panel"),
        "{wrong}"
    );
}
