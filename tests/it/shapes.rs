//! One plant in many shapes, and wrong manifests: catches a form read differently and a file read from the wrong place.

use lineward::base::{Level, Moment};
use lineward::book::{self, Book};
use lineward::report::table::TABLES;
use lineward::{check, plan};
use std::path::{Path, PathBuf};
use std::process::Command;

fn demo() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("data/alder-fen")
}

fn tables(book: &Book) -> Vec<String> {
    let (plant, findings) = check::plant(book, None, Moment::default());
    let told: Vec<String> = findings.iter().map(ToString::to_string).collect();
    assert!(!findings.any_error(), "{}", told.join("\n"));
    let (plan, _) = plan::plan(&plant, &plan::Request::default());
    let plan = plan.expect("a plan");
    TABLES.iter().map(|table| super::support::table_text(table, &plan)).collect()
}

fn demo_tables() -> Vec<String> {
    tables(&book::open(&demo()).expect("the demo"))
}

/// The demo's tables as rows of cells, by name.
fn sheets() -> Vec<(String, Vec<Vec<String>>)> {
    let mut names: Vec<PathBuf> =
        std::fs::read_dir(demo()).expect("the demo").map(|entry| entry.expect("a file").path()).collect();
    names.sort();
    names.retain(|path| path.extension().is_some_and(|ending| ending == "csv"));
    let rows = |path: &Path| {
        let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_path(path).expect("a table");
        reader.records().map(|row| row.expect("a row").iter().map(str::to_owned).collect()).collect()
    };
    names.iter().map(|path| (path.file_stem().expect("a name").to_string_lossy().into_owned(), rows(path))).collect()
}

fn write(path: &Path, rows: &[Vec<String>], separator: u8) {
    let mut writer = csv::WriterBuilder::new().delimiter(separator).flexible(true).from_path(path).expect("a file");
    rows.iter().for_each(|row| writer.write_record(row).expect("a row"));
    writer.flush().expect("a file");
}

#[test]
fn tab_separated() {
    let folder = tempfile::tempdir().expect("a folder");
    for (name, rows) in sheets() {
        write(&folder.path().join(format!("{}.tsv", name.to_uppercase())), &rows, b'\t');
    }
    assert!(tables(&book::open(folder.path()).expect("a book")) == demo_tables());
}

#[test]
fn a_workbook_of_another_writer() {
    // The demo's own workbook holds dates and numbers as such; this one holds everything as text.
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("book.xlsx");
    let mut workbook = rust_xlsxwriter::Workbook::new();
    for (name, rows) in sheets() {
        let sheet = workbook.add_worksheet().set_name(&name).expect("a name");
        for (i, row) in rows.iter().enumerate() {
            for (j, cell) in row.iter().enumerate() {
                sheet.write_string(i as u32 + 2, j as u16 + 1, cell).expect("a cell");
            }
        }
    }
    workbook.save(&path).expect("a file");
    assert!(tables(&book::open(&path).expect("a book")) == demo_tables());
    // Written by the generator, and by another program from that.
    let office = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/files/alder-fen.ods");
    for path in [demo().with_extension("xlsx"), office] {
        assert!(tables(&book::open(&path).expect("a book")) == demo_tables(), "{}", path.display());
    }
}

/// What a spreadsheet program writes under the settings of a place: what parts the columns, the decimal sign, a day, a moment.
struct Settings {
    place: &'static str,
    separator: char,
    decimal: char,
    day: &'static str,
    time: &'static str,
}

/// Ten of them, as the Unicode consortium's collection of locales has them (CLDR 44; from memory). A semicolon parts columns
/// where the comma is taken as the decimal sign.
const PLACES: [Settings; 10] = [
    Settings { place: "Germany", separator: ';', decimal: ',', day: "%d.%m.%Y", time: "%H:%M:%S" },
    Settings { place: "France", separator: ';', decimal: ',', day: "%d/%m/%Y", time: "%H:%M" },
    Settings { place: "the Netherlands", separator: ';', decimal: ',', day: "%d-%m-%Y", time: "%H:%M" },
    Settings { place: "Sweden", separator: ';', decimal: ',', day: "%Y-%m-%d", time: "%H:%M" },
    Settings { place: "Poland", separator: ';', decimal: ',', day: "%d.%m.%Y", time: "%H:%M" },
    Settings { place: "Brazil", separator: ';', decimal: ',', day: "%d/%m/%Y", time: "%H:%M:%S" },
    Settings { place: "Switzerland", separator: ';', decimal: '.', day: "%d.%m.%Y", time: "%H:%M" },
    Settings { place: "Finland", separator: ';', decimal: ',', day: "%-d.%-m.%Y", time: "%-H.%M" },
    Settings { place: "the United Kingdom", separator: ',', decimal: '.', day: "%d/%m/%Y", time: "%H:%M" },
    Settings { place: "the United States", separator: ',', decimal: '.', day: "%-m/%-d/%Y", time: "%H:%M" },
];

/// The table as a spreadsheet program writes it under such settings.
fn exported(name: &str, rows: &[Vec<String>], settings: &Settings) -> Vec<u8> {
    let spec = lineward::book::Table::named(name).expect("a table");
    let codes = [
        "unit",
        "part",
        "parent",
        "purchase order",
        "line",
        "station",
        "shop",
        "floorplan",
        "option",
        "options",
        "group",
        "includes",
        "change",
        "wave",
        "calendar",
        "key",
        "description",
        "name",
        "location",
        "supplier",
        "when",
        "must",
        "adds",
        "message",
        "note",
        "reason",
        "hold",
        "from change",
        "until change",
        "from unit",
        "to",
        "uom",
    ];
    let headings = rows[0].clone();
    let mut text = String::new();
    for (i, row) in rows.iter().enumerate() {
        let cells = row.iter().zip(&headings).map(|(cell, heading)| {
            let column = spec.columns().find(|column| column.eq_ignore_ascii_case(heading)).unwrap_or("");
            let is_date = [("Changes", "from date"), ("Forecast", "to")].contains(&(spec.name, column));
            let is_code = codes.contains(&column) && !is_date;
            let cell = if i == 0 || is_code { cell.clone() } else { in_form(cell, settings) };
            if cell.contains([settings.separator, '"', '\n']) {
                format!("\"{}\"", cell.replace('"', "\"\""))
            } else {
                cell
            }
        });
        text += &(cells.collect::<Vec<_>>().join(&settings.separator.to_string()) + "\r\n");
    }
    encoding_rs::WINDOWS_1252.encode(&text).0.into_owned()
}

fn in_form(cell: &str, settings: &Settings) -> String {
    if let Some((moment, timed)) = Moment::parse(cell) {
        let date = moment.to_chrono();
        let time = if timed { format!(" {}", settings.time) } else { String::new() };
        return date.format(&(settings.day.to_owned() + &time)).to_string();
    }
    if lineward::base::Ratio::decimal(cell.trim_end_matches('%')).is_some() {
        cell.replace('.', &settings.decimal.to_string())
    } else {
        cell.to_owned()
    }
}

#[test]
fn semicolons_decimal_commas_and_windows_1252() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut manifest =
        "decimal = \",\"\nthousands = \".\"\ndates = \"dd.mm.yyyy\"\nseparator = \";\"\nencoding = \"windows-1252\"\n"
            .to_owned();
    for (name, rows) in sheets() {
        std::fs::write(folder.path().join(format!("{name}.txt")), exported(&name, &rows, &PLACES[0])).expect("a file");
        manifest += &format!("[{name}]\nfile = \"{name}.txt\"\n");
    }
    std::fs::write(folder.path().join("lineward.toml"), manifest).expect("a file");
    assert!(tables(&book::open(folder.path()).expect("a book")) == demo_tables());
}

/// Under none of these settings is anything read otherwise than it was meant. As they are, the files are told for what they are; where
/// `new --manifest` has looked at them, they are read as the demo itself. A time with a point, which a number could be as well, is
/// told at its cell.
#[test]
fn ten_settings_of_spreadsheet_programs() {
    let demo = demo_tables();
    for settings in &PLACES {
        let folder = tempfile::tempdir().expect("a folder");
        for (name, rows) in sheets() {
            let path = folder.path().join(format!("{name}.csv"));
            std::fs::write(path, exported(&name, &rows, settings)).expect("a file");
        }
        let errors = || -> Vec<String> {
            let book = book::open(folder.path()).expect("a book");
            let (_, findings) = check::plant(&book, None, Moment::default());
            let errors = findings.iter().filter(|finding| finding.kind.level == Level::Error);
            errors.map(|finding| finding.kind.name.to_owned()).collect()
        };
        let kind = if settings.separator == ';' { "other-separator" } else { "not-a-date" };
        assert!(errors().iter().any(|error| error == kind), "{}: {:?}", settings.place, errors());
        let made = Command::new(env!("CARGO_BIN_EXE_lineward")).args(["new", "--manifest"]).arg(folder.path()).output();
        assert!(made.expect("the command runs").status.success(), "{}", settings.place);
        if settings.time.contains('.') {
            assert!(!errors().is_empty() && errors().iter().all(|error| error == "not-a-date"), "{:?}", errors());
        } else {
            assert!(tables(&book::open(folder.path()).expect("a book")) == demo, "{}", settings.place);
        }
    }
}

/// Bills from an export with foreign headings and rows that do not count, the sequence from a spreadsheet with a title above,
/// stock from the newest of several files without units of measure, the rest from the plant's own workbook.
#[test]
fn three_unlike_files_and_a_workbook() {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::create_dir(folder.path().join("export")).expect("a folder");
    let all = sheets();
    let rows = |name: &str| all.iter().find(|(known, _)| known == name).expect("a table").1.clone();

    let mut bills = rows("Bills");
    for (i, row) in bills.iter_mut().enumerate() {
        row.insert(0, if i == 0 { "Stand" } else { "released" }.to_owned());
    }
    for (known, own) in [("parent", "Assembly no."), ("part", "Component no."), ("qty", "Amount per")] {
        let at = bills[0].iter().position(|heading| heading == known).expect("a column");
        bills[0][at] = own.to_owned();
    }
    let mut draft = bills[1].clone();
    draft[0] = "Draft".to_owned();
    draft[1] = "NOT A PARENT AT ALL".to_owned();
    bills.insert(5, draft);
    write(&folder.path().join("export/bom.csv"), &bills, b'|');

    let mut workbook = rust_xlsxwriter::Workbook::new();
    let sheet = workbook.add_worksheet().set_name("Week 37").expect("a name");
    sheet.write_string(0, 0, "Build sequence, printed for the morning meeting").expect("a cell");
    sheet.write_string(1, 3, "unit").expect("a cell");
    for (i, row) in rows("Sequence").iter().enumerate() {
        for (j, cell) in row.iter().enumerate() {
            sheet.write_string(i as u32 + 3, j as u16, cell).expect("a cell");
        }
    }
    workbook.save(folder.path().join("planner.xlsx")).expect("a file");

    let stock = rows("Stock");
    write(&folder.path().join("stock-2027-9-9.csv"), &stock[..2], b',');
    let plain: Vec<Vec<String>> = stock
        .iter()
        .map(|row| {
            row.iter()
                .zip(&stock[0])
                .filter(|(_, heading)| *heading != "station")
                .map(|(cell, _)| cell.clone())
                .collect()
        })
        .collect();
    let lineside = stock[0].iter().position(|heading| heading == "station").expect("a column");
    write(&folder.path().join("stock-2027-9-13.csv"), &stock, b',');
    assert!(lineside > 0 && plain.len() == stock.len());

    std::fs::copy(demo().with_extension("xlsx"), folder.path().join("rest.xlsx")).expect("a file");
    let manifest = r#"
rest = "rest.xlsx"

[Bills]
file = "export/bom.csv"
separator = "|"
columns = { parent = "Assembly no.", part = "Component no.", qty = "Amount per" }
"leave out" = { Stand = ["draft", "void"] }

[Sequence]
file = "planner.xlsx"
sheet = "Week 37"
headings = 4

[Stock]
file = "stock-*.csv"
"#;
    std::fs::write(folder.path().join("lineward.toml"), manifest).expect("a file");
    assert!(tables(&book::open(folder.path()).expect("a book")) == demo_tables());
    assert!(tables(&book::open(&folder.path().join("lineward.toml")).expect("a book")) == demo_tables());
}

#[test]
fn fixed_values_stand_in_for_columns_that_are_not_there() {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("lines.csv"), "line\nL1\nL2\n").expect("a file");
    std::fs::write(folder.path().join("calendar.csv"), "day,start,end\nMon-Fri,06:00,14:00\n").expect("a file");
    let manifest = "[Lines]\nfile = \"lines.csv\"\nfixed = { calendar = \"DAY\" }\n[Calendar]\nfile = \"calendar.csv\"\nfixed = { calendar = \"DAY\" }\n";
    std::fs::write(folder.path().join("lineward.toml"), manifest).expect("a file");
    let book = book::open(folder.path()).expect("a book");
    let (plant, _) = check::plant(&book, None, Moment::default());
    assert_eq!(plant.lines.iter().map(|line| line.calendar.0).collect::<Vec<_>>(), [0, 0]);
}

/// Each mistake in a manifest as `kind row key`.
fn told(manifest: &str) -> Vec<String> {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("lineward.toml"), manifest).expect("a file");
    std::fs::write(folder.path().join("x.csv"), "part,uom\n").expect("a file");
    let book = book::open(folder.path()).expect("a manifest");
    book.findings
        .iter()
        .map(|f| format!("{} {} {}", f.kind.name, f.place.row, f.place.column).trim_end().to_owned())
        .collect()
}

#[test]
fn mistakes_in_a_manifest_are_told_at_their_line() {
    assert_eq!(told("[Parts]\nfile = \"x.csv\"\n"), Vec::<String>::new());
    assert_eq!(told("[Parts]\nfile = \"x.csv\"\nsheat = \"A\"\n"), ["unknown-key 3 sheat"]);
    assert_eq!(told("[Prats]\nfile = \"x.csv\"\n"), ["unknown-key 1 Prats"]);
    assert_eq!(told("[Parts]\nfile = \"x.csv\"\ncolumns = { prt = \"x\" }\n"), ["unknown-key 3 prt"]);
    assert_eq!(
        told("[Parts]\nfile = \"x.csv\"\ncolumns = { part = \"Item\" }\n"),
        ["unknown-column 1 part", "missing-column 1"]
    );
    assert_eq!(told("[Parts]\nfile = \"../x.csv\"\n"), ["outside-folder 2 file"]);
    assert_eq!(told("[Parts]\nfile = 7\n"), ["bad-manifest 2 file"]);
    assert_eq!(told("[Parts]\n"), ["bad-manifest 1 Parts"]);
    assert_eq!(told("dates = \"tt.mm.jjjj\"\n"), ["bad-manifest 1 dates"]);
    assert_eq!(told("decimal = \"-\"\n"), ["bad-manifest 1 decimal"]);
    assert_eq!(told("[Parts\n").len(), 1);
}

#[test]
fn a_book_written_in_clean_form_is_the_same_book() {
    let folder = tempfile::tempdir().expect("a folder");
    let new = |name: &str, from: Option<&Path>| {
        let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_lineward"));
        command.arg("new").arg(folder.path().join(name));
        from.into_iter().for_each(|from| {
            command.arg("--from").arg(from);
        });
        command.output().expect("the command runs").status.code()
    };
    assert_eq!(new("clean.xlsx", Some(&demo())), Some(0));
    assert!(tables(&book::open(&folder.path().join("clean.xlsx")).expect("a book")) == demo_tables());
    assert_eq!(new("clean", Some(&folder.path().join("clean.xlsx"))), Some(0));
    assert!(tables(&book::open(&folder.path().join("clean")).expect("a book")) == demo_tables());
    // What exists is not written over.
    assert_eq!(new("clean", Some(&demo())), Some(3));
    assert_eq!(new("clean.xlsx", None), Some(3));
    // A blank book has every table with every heading, and nothing is wrong with it but that it is empty.
    for name in ["blank.xlsx", "blank"] {
        assert_eq!(new(name, None), Some(0));
        let blank = book::open(&folder.path().join(name)).expect("a book");
        assert!(blank.findings.is_empty(), "{:?}", blank.findings);
        assert!(lineward::book::Table::all().all(|spec| blank.table(spec.table).is_some()));
    }
}

/// What is due at midnight is there then, what is due on a date at the time at which receipts are there.
#[test]
fn midnight_stays_midnight_in_a_workbook() {
    let mut sheets = super::support::Sheets::plant(&["S1"]);
    sheets.add("Parts", "P,ea").add("Bills", "TEAL,P,2,S1").add("Sequence", "L1,1,U1,TEAL");
    sheets.set("Receipts", "purchase order,part,qty,due\n7,P,1,2027-09-14 00:00\n8,P,1,2027-09-14");
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("book.xlsx");
    let bytes = lineward::report::blank_book::to_workbook(Some(&sheets.book())).expect("a workbook");
    std::fs::write(&path, bytes).expect("a file");
    for book in [sheets.book(), book::open(&path).expect("a book")] {
        let plant = check::plant(&book, None, Moment::default()).0;
        let there: Vec<String> = plant.receipts.iter().map(|receipt| receipt.available.to_string()).collect();
        assert_eq!(there, ["2027-09-14T00:00:00", "2027-09-14T06:00:00"]);
    }
}

/// Any book as a workbook gives the same tables as its text: codes, decimals, times and conditions come back as they were.
#[test]
fn random_books_survive_being_written_as_workbooks() {
    let folder = tempfile::tempdir().expect("a folder");
    for seed in 500..530 {
        let sheets = super::support::Sheets(super::random_books::random_book(seed, super::random_books::Size::Small));
        let path = folder.path().join(format!("{seed}.xlsx"));
        let bytes = lineward::report::blank_book::to_workbook(Some(&sheets.book())).expect("a workbook");
        std::fs::write(&path, bytes).expect("a file");
        let workbook = book::open(&path).expect("a book");
        let plan_of = |book: &Book| {
            let (plant, findings) = check::plant(book, None, Moment::default());
            assert!(!findings.any_error(), "seed {seed}: {findings:?}");
            let (plan, _) = plan::plan(&plant, &plan::Request { set_aside: true, ..Default::default() });
            let plan = plan.expect("a plan");
            TABLES.iter().map(|table| super::support::table_text(table, &plan)).collect::<Vec<_>>()
        };
        assert!(plan_of(&workbook) == plan_of(&sheets.book()), "seed {seed}");
    }
}
