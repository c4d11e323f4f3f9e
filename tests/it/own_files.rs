//! A plant's own files: what a manifest can say of them, what is told where they are read otherwise than meant, and how the tool
//! says what it read. Catches a column that is blanked, a filter that eats rows, a form that is guessed.

use super::museum::sound;
use lineward::base::Moment;
use lineward::book::{self, Book, Table};
use lineward::check;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// The sound book in a folder, with a manifest that takes the rest from there.
struct Plant {
    folder: tempfile::TempDir,
}

impl Plant {
    /// The book without some of its tables, below the manifest's folder.
    fn without(tables: &[&str]) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let plant = Self { folder };
        std::fs::create_dir(plant.path("rest")).expect("a folder");
        for (table, text) in &sound().0 {
            if !tables.contains(&table.as_str()) {
                plant.file(&format!("rest/{table}.csv"), format!("{}\n", text.trim_end()));
            }
        }
        plant
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn file(&self, name: &str, text: impl AsRef<[u8]>) -> &Self {
        std::fs::write(self.path(name), text).expect("a file");
        self
    }

    fn manifest(&self, text: &str) -> &Self {
        self.file("lineward.toml", format!("rest = \"rest\"\n{text}"))
    }

    fn book(&self) -> Book {
        book::open(self.folder.path()).expect("a book")
    }

    /// The cells of a table in the book's own form, without the headings.
    fn cells(&self, table: Table, columns: &[&str]) -> Vec<String> {
        let book = self.book();
        let raw = book.table(table).expect("a table");
        let at = |name: &&str| table.spec().columns().position(|column| column == *name).expect("a column");
        let row =
            |row: Vec<book::Clean>| columns.iter().map(|name| row[at(name)].to_string()).collect::<Vec<_>>().join("|");
        raw.clean_rows().map(row).collect()
    }

    /// What is told, as `kind file:row column`.
    fn told(&self) -> Vec<String> {
        let (_, findings) = check::plant(&self.book(), None, Moment::default());
        let told =
            findings.iter().map(|f| format!("{} {}:{} {}", f.kind.name, f.place.file, f.place.row, f.place.column));
        told.map(|told| told.trim_end().to_owned()).collect()
    }
}

fn run(words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_lineward")).args(words).output().expect("the command runs")
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

/// Stock on quality hold counts as free where the column that says so is blanked: a heading that rows are left out by is still
/// the column that it is.
#[test]
fn a_column_by_which_rows_are_left_out_is_read_all_the_same() {
    let plant = Plant::without(&["Stock"]);
    plant.file("stock.csv", "part,qty,state\nSINK,3,\nSINK,2,quality\nSINK,9,scrapped\nSKIN,5,\n");
    plant.manifest(
        "[Stock]\nfile = \"stock.csv\"\ncolumns = { hold = \"state\" }\n\"leave out\" = { state = \"scrapped\" }\n",
    );
    assert_eq!(plant.cells(Table::Stock, &["part", "qty", "hold"]), ["SINK|3|", "SINK|2|quality", "SKIN|5|"]);
    assert_eq!(plant.told(), [""; 0]);
    let (plant, _) = check::plant(&plant.book(), None, Moment::default());
    assert_eq!(plant.stock.iter().map(|stock| stock.hold.is_some()).collect::<Vec<_>>(), [false, true, false]);
}

#[test]
fn one_heading_may_serve_two_columns() {
    let plant = Plant::without(&["Floorplans"]);
    plant.file("models.csv", "model\nTEAL\n");
    plant.manifest("[Floorplans]\nfile = \"models.csv\"\ncolumns = { floorplan = \"model\", name = \"model\" }\n");
    assert_eq!(plant.cells(Table::Floorplans, &["floorplan", "name"]), ["TEAL|TEAL"]);
}

/// A blank pattern meets a cell that is there and blank, and one that is not there at all.
#[test]
fn rows_without_a_unit_go_whether_the_cell_is_there_or_not() {
    let mut workbook = rust_xlsxwriter::Workbook::new();
    let sheet = workbook.add_worksheet();
    let rows: [&[&str]; 7] = [
        &["line", "seq", "unit", "floorplan"],
        &["L1", "1", "U1", "TEAL"],
        &["---", "---"],
        &["week 38"],
        &["", "2", "U2", "TEAL"],
        &["", "3", "U3", "TEAL"],
        &["End of the plan", "9", "U9", "TEAL"],
    ];
    for (row, cells) in (0..).zip(rows) {
        for (column, cell) in (0..).zip(cells) {
            sheet.write_string(row, column, *cell).expect("a cell");
        }
    }
    let plant = Plant::without(&["Sequence"]);
    workbook.save(plant.path("plan.xlsx")).expect("a workbook");
    plant.manifest(
        "[Sequence]\nfile = \"plan.xlsx\"\n\"leave out\" = { unit = \"\" }\n\"end at\" = { line = \"end*\" }\n\"as above\" = [\"line\"]\n",
    );
    let expected = ["L1|1|U1", "L1|2|U2", "L1|3|U3"];
    assert_eq!(plant.cells(Table::Sequence, &["line", "seq", "unit"]), expected);
    let read = text(&run(&["check", "--read", &plant.folder.path().display().to_string()]).stdout);
    let wanted = "Sequence: plan.xlsx sheet Sheet1, headings in row 1, 3 rows from row 2 to 6\n  first row: line = L1, seq = 1, unit = U1, floorplan = TEAL\n  rows left out: 2 unit = blank; 1 from line = end* on\n";
    assert!(read.contains(wanted), "{read}");
}

/// Words, measures, percents, several forms of dates, thousands: all said once, for the tables of `rest`, too.
#[test]
fn what_holds_for_all_tables_reaches_those_of_the_rest() {
    let plant = Plant::without(&["Bills", "Receipts", "Sequence", "Conversions", "Takt"]);
    let utf16 = |text: &str| [b"\xff\xfe".to_vec(), text.encode_utf16().flat_map(u16::to_le_bytes).collect()].concat();
    plant.file("rest/Takt.csv", "line,from,minutes\nL1,01/01/2027,\"1.440,5\"\n");
    plant.file("rest/Sequence.csv", "line,seq,unit,floorplan,done,hold\nL1,1,U1,TEAL,ja,nein\nL1,2,U2,TEAL,,-\n");
    plant.file("rest/Conversions.csv", utf16("part,from,to,factor\nSINK,Karton,Stk,\"1.000\"\n"));
    plant.file("bom.csv", "parent;part;qty;station;scrap;uom\nTEAL;SINK;2;X;;stück\nTEAL;SKIN;3;X;5,5;m²\n");
    plant.file("po.csv", "purchase order,part,qty,due\n1,SINK,1,14/09/2027\n2,SINK,1,9.14.2027\n3,SINK,1,2027-09-14\n");
    plant.manifest(
        "decimal = \",\"\nthousands = \".\"\ndates = [\"dd/mm/yyyy\", \"m.d.yyyy\"]\nyes = \"ja\"\nno = [\"nein\"]\nblank = [\"-\"]\n\
         [measures]\nStk = \"ea\"\n\"stück\" = \"STK\"\n\"m²\" = \"sqm\"\nKarton = \"box\"\n\
         [Bills]\nfile = \"bom.csv\"\nseparator = \";\"\npercent = true\n[Receipts]\nfile = \"po.csv\"\n",
    );
    assert_eq!(plant.cells(Table::Takt, &["from", "minutes"]), ["2027-01-01|1440.5"]);
    assert_eq!(plant.cells(Table::Sequence, &["done", "hold"]), ["yes|no", "|"]);
    assert_eq!(plant.cells(Table::Conversions, &["from", "to", "factor"]), ["box|ea|1000"]);
    assert_eq!(plant.cells(Table::Bills, &["qty", "uom", "scrap"]), ["2|ea|", "3|sqm|5.5%"]);
    let due = ["2027-09-14", "2027-09-14", "2027-09-14"];
    assert_eq!(plant.cells(Table::Receipts, &["due"]), due);
    let told = plant.told();
    assert!(
        told.iter().all(|told| !told.contains("Takt") && !told.contains("Sequence") && !told.contains("po.csv")),
        "{told:?}"
    );
}

/// What a spreadsheet made of codes: accepted by their digits, by name, or as an `.xlsx` shows them.
#[test]
fn spoiled_codes_are_accepted_where_the_manifest_says_so() {
    let plant = Plant::without(&["Parts", "Stock"]);
    plant.file("rest/Parts.csv", sound().0["Parts"].trim_end().to_owned() + "\n0012,ea,,,\n3-12,ea,,,\n0345,ea,,,\n");
    let mut workbook = rust_xlsxwriter::Workbook::new();
    let sheet = workbook.add_worksheet();
    let (digits, share) =
        (rust_xlsxwriter::Format::new().set_num_format("0000"), rust_xlsxwriter::Format::new().set_num_format("0%"));
    let day = rust_xlsxwriter::ExcelDateTime::from_ymd(2027, 12, 3).expect("a day");
    for (row, word) in ["part", "qty"].iter().enumerate() {
        sheet.write_string(0, row as u16, *word).expect("a cell");
    }
    sheet.write_number(1, 0, 12).expect("a cell");
    sheet.write_number_with_format(2, 0, 345, &digits).expect("a cell");
    let date = rust_xlsxwriter::Format::new().set_num_format("yyyy-mm-dd");
    sheet.write_datetime_with_format(3, 0, day, &date).expect("a cell");
    for row in 1..4 {
        // A share that is shown as a percent stays the number that it is, unless the manifest speaks of percents.
        sheet.write_number_with_format(row, 1, 0.5, &share).expect("a cell");
    }
    workbook.save(plant.path("stock.xlsx")).expect("a workbook");
    plant.manifest("[Stock]\nfile = \"stock.xlsx\"\n");
    assert_eq!(plant.cells(Table::Stock, &["part", "qty"]), ["12|0.5", "0345|0.5", "2027-12-03|0.5"]);
    let misread = |told: Vec<String>| told.into_iter().filter(|told| told.starts_with("misread")).collect::<Vec<_>>();
    assert_eq!(misread(plant.told()), ["misread-code stock.xlsx:2 part", "misread-code stock.xlsx:4 part"]);
    plant.manifest(
        "[Stock]\nfile = \"stock.xlsx\"\n\"code width\" = { part = 4 }\ncodes = { part = { \"2027-12-03\" = \"3-12\" } }\n",
    );
    assert_eq!(plant.cells(Table::Stock, &["part"]), ["0012", "0345", "3-12"]);
    assert_eq!(misread(plant.told()), [""; 0]);
}

/// A scrap of five percent in an `.xlsx`, as 5, as 5 %, and as text.
#[test]
fn percents_of_a_workbook_are_what_it_shows() {
    let plant = Plant::without(&["Bills"]);
    let mut workbook = rust_xlsxwriter::Workbook::new();
    let sheet = workbook.add_worksheet();
    let share = rust_xlsxwriter::Format::new().set_num_format("0.0%");
    for (column, word) in (0..).zip(["parent", "part", "qty", "station", "scrap"]) {
        sheet.write_string(0, column, word).expect("a cell");
    }
    for row in 1..4 {
        for (column, word) in (0..).zip(["TEAL", "SKIN", "1", "X"]) {
            sheet.write_string(row, column, word).expect("a cell");
        }
    }
    sheet.write_number(1, 4, 5).expect("a cell");
    sheet.write_number_with_format(2, 4, 0.05, &share).expect("a cell");
    sheet.write_string(3, 4, "5 %").expect("a cell");
    workbook.save(plant.path("bom.xlsx")).expect("a workbook");
    plant.manifest("[Bills]\nfile = \"bom.xlsx\"\npercent = true\n");
    let scrap = |book: &Book| {
        let (plant, _) = check::plant(book, None, Moment::default());
        plant.bills.iter().map(|line| line.factor).collect::<Vec<_>>()
    };
    // One over 1 - 0.05, from the definition of the scrap factor.
    assert_eq!(scrap(&plant.book()), vec![lineward::base::Ratio::new(100, 95).expect("a ratio"); 3]);
}

#[test]
fn what_a_manifest_says_twice_or_in_circles_is_told() {
    let told = |manifest: &str| {
        let plant = Plant::without(&["Stock", "Bills"]);
        plant.file("x.csv", "part,qty\nSINK,1\n").manifest(manifest);
        let book = plant.book();
        let manifest = book.findings.iter().filter(|finding| &*finding.place.file == "lineward.toml");
        manifest.map(|f| format!("{} {} {}", f.kind.name, f.place.row, f.place.column)).collect::<Vec<_>>()
    };
    let stock = "[Stock]\nfile = \"x.csv\"\n";
    assert_eq!(told(&format!("{stock}level = \"L\"\n")), ["unknown-key 4 level"]);
    assert_eq!(told(&format!("{stock}percent = true\n")), ["bad-manifest 4 percent"]);
    assert_eq!(
        told("[measures]\na = \"b\"\nb = \"a\"\n").iter().filter(|told| *told == "bad-manifest 2 measures").count(),
        2
    );
    assert_eq!(
        told(&format!("{stock}columns = {{ uom = \"qty\" }}\nfixed = {{ uom = \"ea\" }}\n")),
        ["bad-manifest 2 Stock"]
    );
    assert_eq!(told(&format!("{stock}\"code width\" = {{ prt = 4 }}\n")), ["unknown-key 4 prt"]);
    assert_eq!(told(&format!("{stock}dates = [\"dd.mm.yyyy\", \"soon\"]\n")), ["bad-manifest 4 dates"]);
    assert_eq!(
        told("[Bills]\nfile = \"x.csv\"\nlevel = \"qty\"\nfixed = { parent = \"TEAL\" }\n"),
        ["bad-manifest 2 Bills"]
    );
}

/// A path as Windows writes it, in double quotes: the parser's words alone do not help.
#[test]
fn a_path_with_strokes_is_told_how_to_write() {
    let plant = Plant::without(&[]);
    plant.manifest("[Stock]\nfile = \"C:\\Users\\anna\\stock.csv\"\n");
    let told: Vec<String> = plant.book().findings.iter().map(ToString::to_string).collect();
    let hint = "write a path with / between its pieces, or in single quotes: 'C:\\exports\\bom.csv'";
    assert!(told[0].starts_with("error: bad-manifest: lineward.toml row 3") && told[0].ends_with(hint), "{told:?}");
}

/// Headings in another row, or cells separated otherwise: the remedy is told, and no row is told as wrong.
#[test]
fn what_would_fit_is_told_where_headings_do_not() {
    let plant = Plant::without(&["Stock"]);
    plant.file("stock.csv", "Stock of the week\n\npart,qty\nSINK,1\n").manifest("[Stock]\nfile = \"stock.csv\"\n");
    let message = |plant: &Plant| {
        let (_, findings) = check::plant(&plant.book(), None, Moment::default());
        let errors = findings.iter().filter(|f| f.kind.name == "missing-column" || f.kind.name == "other-separator");
        errors.map(|f| f.message.clone()).collect::<Vec<_>>()
    };
    let hint = "row 3 has all of them: say 'headings = 3' in a manifest";
    assert_eq!(message(&plant), ["part", "qty"].map(|name| format!("the table Stock has no column '{name}'; {hint}")));
    plant.manifest("[Stock]\nfile = \"stock.csv\"\nheadings = 3\n");
    assert_eq!(message(&plant), [""; 0]);
    for (separator, name) in [(";", "semicolons"), ("\t", "tabs"), ("|", "upright strokes")] {
        plant.file("stock.csv", ["part,qty,hold", "SINK,1,", "SKIN,2,"].join("\n").replace(',', separator));
        plant.manifest("[Stock]\nfile = \"stock.csv\"\n");
        assert_eq!(message(&plant), [format!("its cells are separated by {name}, not by commas")]);
        assert_eq!(plant.told().iter().filter(|told| told.contains("stock.csv")).count(), 3, "{:?}", plant.told());
    }
}

/// All files that can't be read are told in one run, and nothing is told as missing because of them.
#[test]
fn files_that_cannot_be_read_are_told_together() {
    let plant = Plant::without(&["Stock", "Bills", "Parts"]);
    plant.file("parts.xlsx", "no workbook");
    plant.manifest("[Stock]\nfile = \"gone.csv\"\n[Bills]\nfile = \"bom-*.csv\"\n[Parts]\nfile = \"parts.xlsx\"\n");
    let output = run(&["check", &plant.folder.path().display().to_string()]);
    let told = text(&output.stdout);
    assert_eq!(output.status.code(), Some(3));
    for place in
        ["row 2 column Stock: 'gone.csv'", "row 4 column Bills: 'bom-*.csv'", "row 6 column Parts: 'parts.xlsx'"]
    {
        assert!(told.contains(&format!("error: unreadable-file: lineward.toml {place}")), "{told}");
    }
    assert!(told.contains("3 errors") && !told.contains("missing-table"), "{told}");
}

/// Dates are given as the plant writes them; one that can be read in two ways is refused.
#[test]
fn dates_on_the_command_line_have_the_forms_of_the_book() {
    let plant = Plant::without(&[]);
    plant.manifest("dates = [\"d.m.yyyy\", \"m/d/yyyy\", \"d/m/yyyy\"]\n");
    let (book, out) = (plant.folder.path().display().to_string(), plant.path("out").display().to_string());
    let plan = |as_of: &str| run(&["plan", &book, "--tables", "none", "--out", &out, "--as-of", as_of]);
    let planned = plan("14.9.2027 06:00");
    assert!(text(&planned.stdout).contains("as of Tue 14 Sep"), "{}{}", text(&planned.stdout), text(&planned.stderr));
    assert!(text(&plan("9/14/2027").stdout).contains("as of Tue 14 Sep"));
    let refused = plan("9/10/2027");
    assert_eq!(refused.status.code(), Some(2));
    let told = text(&refused.stderr);
    assert!(told.contains("m/d/yyyy says 2027-09-10, d/m/yyyy 2027-10-09"), "{told}");
    assert_eq!(plan("soon").status.code(), Some(2));
}

/// A table of another kind of file in a folder of texts is not read, and that is said.
#[test]
fn files_that_a_folder_passes_over_are_told() {
    let plant = Plant::without(&["Stock"]);
    std::fs::copy(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/files/plant.xlsx"), plant.path("rest/Stock.xlsx"))
        .expect("a copy");
    let book = book::open(&plant.path("rest")).expect("a book");
    let told: Vec<String> = book.findings.iter().map(ToString::to_string).collect();
    assert_eq!(
        told,
        ["note: unknown-table: Stock.xlsx: the tables of a folder are .csv, .tsv or .parquet files; it is ignored"]
    );
}

/// What lies in a folder that nobody has described yet: a workbook with tables as they are, two exports, and a letter.
#[test]
fn a_manifest_is_proposed_for_what_lies_in_a_folder() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = |name: &str, bytes: &[u8]| std::fs::write(folder.path().join(name), bytes).expect("a file");
    let mut workbook = rust_xlsxwriter::Workbook::new();
    for (table, text) in sound().0.iter().filter(|(table, _)| !["Stock", "Bills"].contains(&table.as_str())) {
        let sheet = workbook.add_worksheet();
        sheet.set_name(table).expect("a name");
        for (row, line) in text.lines().enumerate() {
            for (column, cell) in line.split(',').enumerate() {
                sheet.write_string(row as u32, column as u16, cell).expect("a cell");
            }
        }
    }
    workbook.save(folder.path().join("plant.xlsx")).expect("a workbook");
    let stock = "Lagerbestand;;;\r\n\r\nTeilenummer;Bestand;Einheit;Gesperrt;Prüfer\r\nSINK;1.200,5;Stk;;Weiß\r\n----;----;----;;\r\nSKIN;7;ft²;nass;Weiß\r\nSumme;1.207,5;;;\r\n";
    file("Bestand.csv", &in_windows_1252(stock));
    let bom = "Stufe\tTeil\tMenge\tStation\tAusschuss\n0\tTEAL\t\t\t\n1\tSINK\t2\tX\t5\n1\tSKIN\t3\tX\t0,5\n";
    file("Stückliste.txt", bom.as_bytes());
    file("letter.txt", b"Dear Anna,\nhere are the files.\n");
    let path = folder.path().display().to_string();
    let told = text(&run(&["check", &path]).stdout);
    for line in [
        "Bestand.csv: looks like Stock: 2 rows",
        "Stückliste.txt: looks like Bills: 3 rows",
        "letter.txt: looks like no table",
    ] {
        assert!(told.contains(&format!("error: no-manifest: {line}\n")), "{told}");
    }
    assert!(!told.contains("missing-table"), "{told}");
    let made = run(&["new", "--manifest", &path]);
    assert!(made.status.success(), "{}", text(&made.stderr));
    let manifest = std::fs::read_to_string(folder.path().join("lineward.toml")).expect("a manifest");
    let lines: Vec<&str> = manifest
        .lines()
        .filter(|line| !line.is_empty() && !line.starts_with("# How") && !line.starts_with("# decide"))
        .collect();
    let expected = [
        "rest = \"plant.xlsx\"",
        "[measures]",
        "\"Stk\" = \"ea\"",
        "\"ft²\" = \"sqft\"",
        "[Bills]",
        "file = \"Stückliste.txt\"",
        "separator = \"tab\"",
        "decimal = \",\"",
        "level = \"Stufe\"",
        "percent = true",
        "[Bills.columns]",
        "part = \"Teil\"",
        "qty = \"Menge\"",
        "scrap = \"Ausschuss\"",
        "[Stock]",
        "file = \"Bestand.csv\"",
        "separator = \";\"",
        "encoding = \"windows-1252\"",
        "headings = 3",
        "decimal = \",\"",
        "thousands = \".\"",
        "\"leave out\" = { \"Teilenummer\" = [\"---*\", \"Summe*\"] }",
        "[Stock.columns]",
        "part = \"Teilenummer\"",
        "qty = \"Bestand\"",
        "uom = \"Einheit\"",
        "hold = \"Gesperrt\"",
        "# not read: Prüfer",
        "# letter.txt looks like no table",
    ];
    assert_eq!(lines, expected);
    // What is proposed can be planned.
    let book = book::open(folder.path()).expect("a book");
    let (plant, findings) = check::plant(&book, None, Moment::default());
    assert!(!findings.any_error(), "{findings:?}");
    let held: Vec<(String, bool)> =
        plant.stock.iter().map(|stock| (stock.qty.to_string(), stock.hold.is_some())).collect();
    assert_eq!(held, [("1200.5".to_owned(), false), ("7".to_owned(), true)]);
    // What stands there is not written over.
    assert_eq!(run(&["new", "--manifest", &path]).status.code(), Some(3));
}

/// Text in Windows-1252: each letter of it is one of Latin-1, too.
fn in_windows_1252(text: &str) -> Vec<u8> {
    text.chars().map(|letter| u8::try_from(u32::from(letter)).expect("a letter of Latin-1")).collect()
}
