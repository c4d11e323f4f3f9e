//! What must be told, and once was passed over: signs that no workbook holds, texts that are too long, manifests that are none,
//! answers that reach nobody, tables that were cut, files that are written while they are read, and files that would fill memory.

use lineward::book;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Output, Stdio};

const BOOK: &str = "tests/examples/buyer/book";

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn program(words: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_lineward"));
    command.current_dir(root()).args(words).stdin(Stdio::null());
    command
}

fn run(words: &[&str]) -> Output {
    program(words).output().expect("the command runs")
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("UTF-8")
}

/// A copy of the worked example with some of a table's text replaced; its path, and the folder it lies in.
fn changed(table: &str, from: &str, to: &str) -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().expect("a folder");
    let book = folder.path().join("book");
    std::fs::create_dir(&book).expect("a folder");
    for entry in std::fs::read_dir(root().join(BOOK)).expect("a book") {
        let path = entry.expect("a file").path();
        let name = path.file_name().expect("a name");
        let before = std::fs::read_to_string(&path).expect("text");
        let is = name == format!("{table}.csv").as_str();
        assert!(!is || before.contains(from), "{before}");
        std::fs::write(book.join(name), if is { before.replace(from, to) } else { before }).expect("a file");
    }
    let path = book.to_str().expect("a path").to_owned();
    (folder, path)
}

/// All text in a workbook.
fn inside(workbook: &Path) -> String {
    let mut archive = zip::ZipArchive::new(std::fs::File::open(workbook).expect("a file")).expect("a zip");
    let mut all = String::new();
    for i in 0..archive.len() {
        all += &std::io::read_to_string(archive.by_index(i).expect("an entry")).expect("text");
    }
    all
}

/// XML 1.0 (fifth edition), 2.2: the signs it has.
fn is_xml(text: &str) -> bool {
    text.chars().all(|c| matches!(c, '\t' | '\n' | '\r' | ' '..='\u{d7ff}' | '\u{e000}'..='\u{fffd}' | '\u{10000}'..))
}

#[test]
fn signs_that_no_workbook_holds_are_told_at_their_cells() {
    for (sign, name) in [("\u{fffe}", "U+FFFE"), ("\u{ffff}", "U+FFFF"), ("\u{1b}[31m", "U+001B"), ("\u{1}", "U+0001")]
    {
        let (folder, book) = changed("Stations", "FN", &format!("FN{sign}"));
        let out = folder.path().join("out");
        let planned = run(&["plan", &book, "--out", out.to_str().expect("a path")]);
        let told = text(&planned.stderr);
        assert!(
            planned.status.code() == Some(1) && told.contains("no-letter: Stations.csv row") && told.contains(name),
            "{told}"
        );
        assert!(!out.exists());
        // The findings speak of stations that are not known by then; the workbook with them opens all the same.
        let findings = folder.path().join("findings.xlsx");
        let checked = run(&["check", &book, "--out", findings.to_str().expect("a path")]);
        assert_eq!(checked.status.code(), Some(1));
        assert!(is_xml(&inside(&findings)));
        calamine::open_workbook_auto(&findings).expect("a workbook");
        let clean = run(&["new", folder.path().join("clean.xlsx").to_str().expect("a path"), "--from", &book]);
        assert_eq!(clean.status.code(), Some(1), "{}", text(&clean.stderr));
    }
}

#[test]
fn a_terminal_is_not_steered_by_a_book() {
    let name = "WN\u{9b}31m\u{202e}20";
    let (_folder, book) = changed("Bills", "WN-20", name);
    let told = text(&run(&["check", &book]).stdout);
    assert!(told.contains("WN\\u{9b}31m\\u{202e}20") && !told.contains(['\u{9b}', '\u{202e}']), "{told}");
    let json = run(&["check", &book, "--json"]).stdout;
    assert!(!text(&json).contains(['\u{9b}', '\u{202e}']));
    let json: serde_json::Value = serde_json::from_slice(&json).expect("JSON");
    assert!(json["findings"].as_array().expect("a list").iter().any(|finding| finding["value"] == name));
}

/// A book's own text is written whole or not at all: a workbook that can't hold it is not made, a folder of CSV files is.
#[test]
fn a_text_too_long_for_a_workbook_is_told_at_its_cell() {
    let (folder, book) = changed("Stations", "FN", &format!("FN{}", "x".repeat(40_000)));
    let (workbook, texts) = (folder.path().join("clean.xlsx"), folder.path().join("clean"));
    let refused = run(&["new", workbook.to_str().expect("a path"), "--from", &book, "--with-errors"]);
    let told = text(&refused.stderr);
    assert_eq!(refused.status.code(), Some(3), "{told}");
    assert!(told.contains("Stations, row ") && told.contains("column station: its text is longer"), "{told}");
    assert!(!workbook.exists());
    let written = run(&["new", texts.to_str().expect("a path"), "--from", &book, "--with-errors"]);
    assert_eq!(written.status.code(), Some(0), "{}", text(&written.stderr));
    assert!(std::fs::read_to_string(texts.join("Stations.csv")).expect("a table").contains(&"x".repeat(40_000)));
}

/// A cell takes 32,767 letters: as spreadsheet programs have it. What is longer with what stands beside it is cut, and says so.
#[test]
fn long_texts_are_cut_on_sheets_and_say_so() {
    let long = "x".repeat(32_767);
    let (folder, book) = changed("Parts", "Window", &long);
    assert_eq!(run(&["check", &book]).status.code(), Some(0));
    let out = folder.path().join("out");
    let planned = run(&["plan", &book, "--out", out.to_str().expect("a path")]);
    assert_eq!(planned.status.code(), Some(0), "{}", text(&planned.stderr));
    let told = inside(&out.join("shortages.xlsx"));
    assert!(told.contains("… (cut here: 68 letters more)"));
    calamine::open_workbook_auto(out.join("shortages.xlsx")).expect("a workbook");
    // A page's header takes 255: what a plant is called is cut there, and the page still says what it is.
    let (folder, book) = changed("Settings", "Worked example", &"Y".repeat(300));
    let out = folder.path().join("out");
    let planned = run(&["plan", &book, "--out", out.to_str().expect("a path")]);
    assert!(planned.status.success() && planned.stderr.is_empty(), "{}", text(&planned.stderr));
    assert!(inside(&out.join("shortages.xlsx")).contains(&format!("{}…", "Y".repeat(110))));
}

#[test]
#[cfg(unix)]
fn a_manifest_that_is_no_file_is_told() {
    let (_folder, book) = changed("Parts", "part", "part");
    let manifest = Path::new(&book).join("lineward.toml");
    let refused = |what: &str, why: &str| {
        let output = run(&["check", &book]);
        let told = text(&output.stderr);
        assert!(
            output.status.code() == Some(3) && told.contains("lineward.toml") && told.contains(why),
            "{what}: {told}"
        );
    };
    std::os::unix::fs::symlink("not-there", &manifest).expect("a link");
    refused("a link to nothing", "no such file");
    std::fs::remove_file(&manifest).expect("a link");
    std::os::unix::fs::symlink("/dev/zero", &manifest).expect("a link");
    refused("a device", "not a regular file");
    std::fs::remove_file(&manifest).expect("a link");
    std::fs::create_dir(&manifest).expect("a folder");
    refused("a folder", "a folder");
    std::fs::remove_dir(&manifest).expect("a folder");
    assert!(Command::new("mkfifo").arg(&manifest).status().expect("mkfifo").success());
    refused("a pipe", "not a regular file");
    for edits in [manifest.to_str().expect("a path"), "/dev/zero", &book] {
        let tried = run(&["try", BOOK, "--set-from", edits]);
        assert_eq!(tried.status.code(), Some(3), "{edits}: {}", text(&tried.stderr));
    }
    std::fs::remove_file(&manifest).expect("a pipe");
    // A table, a key or a column that is named twice.
    for (written, row) in [
        ("[Bills]\nfile = 'Bills.csv'\n[bills]\nfile = 'Bills.csv'\n", 3),
        ("decimal = '.'\nDecimal = ','\n", 2),
        ("[Bills]\nfile = 'Bills.csv'\nFile = 'Stock.csv'\n", 3),
        ("[Parts]\nfile = 'Parts.csv'\ncolumns = { part = 'part', Part = 'uom' }\n", 3),
    ] {
        std::fs::write(&manifest, written).expect("a file");
        let told = text(&run(&["check", &book]).stdout);
        assert!(told.contains(&format!("bad-manifest: lineward.toml row {row} ")), "{written}: {told}");
        assert!(told.contains("which of the two counts?"), "{told}");
    }
}

#[test]
#[cfg(target_os = "linux")]
fn an_answer_that_reaches_nobody_is_told() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| folder.path().join(name).to_str().expect("a path").to_owned();
    let (out, blank, pages) = (at("out"), at("blank"), at("man"));
    let commands: [&[&str]; 9] = [
        &["check", BOOK],
        &["check", BOOK, "--json"],
        &["plan", BOOK, "--out", &out],
        &["why", BOOK, "--unit", "V1"],
        &["uses", BOOK, "--part", "WN-20"],
        &["compare", BOOK, BOOK, "--json"],
        &["try", BOOK],
        &["new", &blank],
        &["manual", &pages],
    ];
    for words in commands {
        let full = std::fs::File::options().write(true).open("/dev/full").expect("a device");
        let output = program(words).stdout(full).stderr(Stdio::piped()).output().expect("it runs");
        let told = text(&output.stderr);
        assert!(output.status.code() == Some(3) && told.contains("can't print all of the answer"), "{words:?}: {told}");
    }
    // A reader who has read enough is no failure.
    let mut child = program(&["check", "data/alder-fen", "--json"]).stdout(Stdio::piped()).spawn().expect("it runs");
    drop(child.stdout.take());
    assert_eq!(child.wait().expect("an end").code(), Some(0));
}

/// The tables are exact and for programs; a workbook holds the same text as text. Beside the tables it is said.
#[test]
fn a_text_like_a_formula_stays_a_text_for_people() {
    let formula = "=HYPERLINK(\"\"http://example.org\"\")";
    let (folder, book) = changed("Parts", "Window", &format!("\"{formula}\""));
    let out = folder.path().join("out");
    assert_eq!(run(&["plan", &book, "--out", out.to_str().expect("a path")]).status.code(), Some(0));
    for name in ["pull-list.xlsx", "shop-orders.xlsx", "shortages.xlsx"] {
        let sheets = inside(&out.join(name));
        assert!(!sheets.contains("<f>") && !sheets.contains("<hyperlink "), "{name}");
    }
    assert!(inside(&out.join("shortages.xlsx")).contains("=HYPERLINK("));
    let about = std::fs::read_to_string(out.join("tables/about.txt")).expect("a text");
    assert!(about.contains("programs") && about.contains("formula") && about.contains("workbooks"), "{about}");
    let readme = std::fs::read_to_string(root().join("README.md")).expect("a file");
    assert!(readme.contains("tables/about.txt") && readme.contains("formula"));
}

/// Tables that were cut off, doubled, changed, exchanged, or that nobody listed.
#[test]
fn a_plan_says_what_it_holds_and_compare_asks_it() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("out");
    let out = out.to_str().expect("a path");
    for form in ["csv", "parquet"] {
        assert_eq!(run(&["plan", BOOK, "--tables", form, "--out", out]).status.code(), Some(0));
        let list = std::fs::read(Path::new(out).join("contents.json")).expect("a list");
        let list: serde_json::Value = serde_json::from_slice(&list).expect("JSON");
        assert_eq!(list["plan"], serde_json::json!({"book": "book", "as_of": "2027-09-13T14:30:00", "tried": false}));
        let files = list["files"].as_array().expect("a list");
        for file in files {
            let bytes = std::fs::read(Path::new(out).join(file["name"].as_str().expect("a name"))).expect("a file");
            // RFC 1952, 8: the checksum, bit by bit.
            let step = |crc: u32, byte: &u8| {
                (0..8)
                    .fold(crc ^ u32::from(*byte), |crc, _| if crc & 1 == 1 { crc >> 1 ^ 0xEDB8_8320 } else { crc >> 1 })
            };
            let crc = !bytes.iter().fold(u32::MAX, step);
            assert_eq!(
                (file["bytes"].as_u64(), file["crc32"].as_str()),
                (Some(bytes.len() as u64), Some(&*format!("{crc:08x}")))
            );
        }
        let rows = |table: &str| {
            files.iter().find(|file| file["name"] == format!("tables/{table}.{form}")).expect("listed")["rows"].clone()
        };
        // As the worked example has them: six units, 24 balances.
        assert_eq!((rows("units"), rows("balances")), (6.into(), 24.into()));
        let path = Path::new(out).join(format!("tables/pegs.{form}"));
        let whole = std::fs::read(&path).expect("a table");
        let compare = || run(&["compare", out, BOOK, "--json"]);
        assert_eq!(compare().status.code(), Some(0));
        let end = whole.len() - 1;
        let line = whole[..end].iter().rposition(|byte| *byte == b'\n').map_or(0, |at| at + 1);
        let mut other = whole.clone();
        other[end / 2] ^= 1;
        for spoiled in [&whole[..line], &[&whole[..], &whole[line..]].concat(), &other] {
            std::fs::write(&path, spoiled).expect("a file");
            let output = compare();
            let told = text(&output.stderr);
            assert!(output.status.code() == Some(3) && told.contains("not as the plan wrote it"), "{told}");
        }
        std::fs::write(&path, whole).expect("a file");
    }
    // Without a list it goes on, and says what it can't see.
    std::fs::remove_file(Path::new(out).join("contents.json")).expect("a file");
    let output = run(&["compare", out, BOOK, "--json"]);
    assert!(output.status.success() && text(&output.stderr).contains("whole can't be seen"));
    std::fs::write(Path::new(out).join("contents.json"), "{}").expect("a file");
    assert_eq!(run(&["compare", out, BOOK, "--json"]).status.code(), Some(3));
}

/// One writer after the other, each in two pieces with a moment between: what is read is one of them, whole, or none.
#[test]
fn a_file_that_is_written_while_it_is_read_is_read_whole_or_not_at_all() {
    use std::sync::atomic::{AtomicBool, Ordering};
    let (_folder, path) = changed("Stock", "part", "part");
    let stock = Path::new(&path).join("Stock.csv");
    let done = AtomicBool::new(false);
    let lines = |count: usize| "WN-20,1,ea\r\n".repeat(count);
    let reads = std::thread::scope(|scope| {
        scope.spawn(|| {
            while !done.load(Ordering::Relaxed) {
                let mut file = std::fs::File::create(&stock).expect("a file");
                file.write_all(b"part,qty,uom\r\n").expect("written");
                for _ in 0..20 {
                    file.write_all(lines(50).as_bytes()).expect("written");
                    std::thread::sleep(std::time::Duration::from_millis(1));
                }
                drop(file);
                std::thread::sleep(std::time::Duration::from_millis(60));
            }
        });
        let read = || {
            let book = book::open(Path::new(&path)).map_err(|why| why.why)?;
            // A file of which nothing is written yet lacks its columns.
            let kinds = ["unreadable-file", "missing-column"];
            let unread = book.findings.iter().find(|finding| kinds.contains(&finding.kind.name));
            let told = |finding: &lineward::base::Finding| Err(finding.message.clone());
            unread.map_or_else(|| Ok(book.table(book::Table::Stock).expect("a table").rows.len()), told)
        };
        // As many as it takes, however busy the machine is.
        let mut reads: Vec<Result<usize, String>> = Vec::new();
        while reads.len() < 2_000 && reads.iter().filter(|read| read.is_ok()).count() < 10 {
            reads.push(read());
            if reads.last().is_some_and(Result::is_err) {
                std::thread::sleep(std::time::Duration::from_millis(5));
            }
        }
        done.store(true, Ordering::Relaxed);
        reads
    });
    let whole = reads.iter().filter(|read| **read == Ok(1000)).count();
    assert!(whole > 5, "{reads:?}");
    let told = |read: &Result<usize, String>| {
        read.as_ref().is_err_and(|why| why.contains("while it is read") || why.contains("no column"))
    };
    assert!(reads.iter().all(|read| *read == Ok(1000) || told(read)), "{reads:?}");
}

/// Runs `lineward check` with so much memory and time, in kilobytes and seconds, and no more.
#[cfg(target_os = "linux")]
fn bounded(book: &Path) -> Output {
    let limits = "ulimit -v 4000000 -t 60; exec \"$0\" check \"$1\"";
    let mut command = Command::new("bash");
    command.current_dir(root()).args(["-c", limits, env!("CARGO_BIN_EXE_lineward")]).arg(book);
    command.output().expect("bash")
}

#[cfg(target_os = "linux")]
fn zipped(path: &Path, parts: &[(&str, &[u8])]) {
    let mut to = zip::ZipWriter::new(std::fs::File::create(path).expect("a file"));
    for (name, bytes) in parts {
        to.start_file(*name, zip::write::SimpleFileOptions::default()).expect("an entry");
        to.write_all(bytes).expect("bytes");
    }
    to.finish().expect("a workbook");
}

/// Short files that stand for much: they are refused with the reason before memory is asked for.
#[test]
#[cfg(target_os = "linux")]
fn a_short_file_that_would_fill_memory_is_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let refused = |path: &Path, why: &str| {
        let output = bounded(path);
        let told = String::from_utf8_lossy(&output.stderr) + String::from_utf8_lossy(&output.stdout);
        assert!(
            output.status.code() == Some(3) && told.lines().filter(|line| line.contains(why)).count() == 1,
            "{}: {told}",
            path.display()
        );
    };
    let ods = |rows: &str| -> std::path::PathBuf {
        let path = folder.path().join("book.ods");
        let content = format!(
            "<?xml version=\"1.0\"?><office:document-content xmlns:office=\"o\" xmlns:table=\"t\" xmlns:text=\"x\"><office:body>\
             <office:spreadsheet><table:table table:name=\"Stock\">{rows}</table:table></office:spreadsheet></office:body>\
             </office:document-content>"
        );
        let kind = b"application/vnd.oasis.opendocument.spreadsheet";
        zipped(
            &path,
            &[
                ("mimetype", kind),
                ("META-INF/manifest.xml", b"<m:manifest xmlns:m=\"m\"/>"),
                ("content.xml", content.as_bytes()),
            ],
        );
        path
    };
    let cell = |times: u32, text: &str| {
        format!(
            "<table:table-cell table:number-columns-repeated=\"{times}\" office:value-type=\"string\"><text:p>{text}</text:p></table:table-cell>"
        )
    };
    let row = |times: u32, cells: &str| {
        format!("<table:table-row table:number-rows-repeated=\"{times}\">{cells}</table:table-row>")
    };
    refused(&ods(&row(1_048_576, &cell(1_000, ""))), "more than 10000000 cells");
    refused(&ods(&row(1_048_576, &cell(1_000, "1"))), "each counted as often as it is repeated");
    // Far below a wide row, and a long text often.
    refused(
        &ods(&[row(1, &cell(1_000, "1")), row(1_000_000, ""), row(1, &cell(1, "1"))].concat()),
        "more than 10000000 cells",
    );
    refused(&ods(&row(100_000, &cell(10, &"x".repeat(3_000)))), "MB");
    // What a spreadsheet program writes: blank rows and columns to the end of the sheet.
    let sound =
        row(1, &cell(1, "part")) + &row(1_048_000, "<table:table-cell table:number-columns-repeated=\"16384\"/>");
    assert_eq!(bounded(&ods(&sound)).status.code(), Some(1));

    // The size of a sheet in an `.xls`: first row, row after the last, first column, column after the last.
    let mut bytes = std::fs::read(root().join("tests/files/plant.xls")).expect("a workbook");
    let at = bytes.windows(4).position(|record| record == [0, 2, 14, 0]).expect("a record");
    bytes[at + 4..at + 12].copy_from_slice(&[0, 0, 0, 0, 0, 0, 1, 0]);
    bytes[at + 12..at + 16].copy_from_slice(&[0, 0, 255, 255]);
    let path = folder.path().join("book.xls");
    std::fs::write(&path, bytes).expect("a file");
    refused(&path, "10000000 cells, in rows and columns");

    // Two cells of a small `.xls` that lie far apart: a record with a shared text, 253, of length 10.
    let mut bytes = std::fs::read(root().join("tests/files/plant.xls")).expect("a workbook");
    let at = bytes.windows(4).rposition(|record| record == [0xFD, 0, 10, 0]).expect("a record");
    bytes[at + 4..at + 8].copy_from_slice(&[255, 255, 255, 255]);
    std::fs::write(&path, bytes).expect("a file");
    refused(&path, "10000000 cells, in rows and columns");

    // Thirty million rows of nothing.
    use polars::prelude::{Column, DataFrame, ParquetWriter};
    let column = Column::new_scalar("part".into(), polars::prelude::Scalar::from(1_i32), 30_000_000);
    let mut frame = DataFrame::new(30_000_000, vec![column]).expect("a frame");
    let book = folder.path().join("parquet");
    std::fs::create_dir(&book).expect("a folder");
    ParquetWriter::new(std::fs::File::create(book.join("Stock.parquet")).expect("a file"))
        .finish(&mut frame)
        .expect("written");
    refused(&book, "more than 20000000 cells");

    // A text of nothing but commas.
    let book = folder.path().join("commas");
    std::fs::create_dir(&book).expect("a folder");
    std::fs::write(
        book.join("Stock.csv"),
        [&b","[..]; 900].concat().iter().chain(b"\n").copied().cycle().take(30_000_000).collect::<Vec<u8>>(),
    )
    .expect("a file");
    refused(&book, "more than 20000000 cells");
}

/// Many cells of an `.xlsx`: 34 million in 2 MB. It takes half a minute: only where `HUNT` is set.
#[test]
#[cfg(target_os = "linux")]
fn a_short_workbook_of_many_cells() {
    if std::env::var_os("HUNT").is_none() {
        return;
    }
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("book.xlsx");
    let mut from = zip::ZipArchive::new(std::fs::File::open(root().join("tests/files/plant.xlsx")).expect("a file"))
        .expect("a zip");
    let mut to = zip::ZipWriter::new(std::fs::File::create(&path).expect("a file"));
    for i in 0..from.len() {
        let mut entry = from.by_index(i).expect("an entry");
        let name = entry.name().expect("a name").into_owned();
        let mut bytes = Vec::new();
        std::io::Read::read_to_end(&mut entry, &mut bytes).expect("bytes");
        if name.ends_with("sheet1.xml") {
            let row = format!("<row>{}</row>", "<c><v>1</v></c>".repeat(1_000));
            let head = "<worksheet xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\"><sheetData>";
            bytes = [head, &row.repeat(34_000), "</sheetData></worksheet>"].concat().into_bytes();
        }
        to.start_file(&name, zip::write::SimpleFileOptions::default()).expect("an entry");
        to.write_all(&bytes).expect("bytes");
    }
    to.finish().expect("a workbook");
    let output = bounded(&path);
    let told = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(output.status.code() == Some(3) && told.contains("more than 20000000 cells"), "{told}");
}

/// As somebody who may have no more processes or threads than there are: root, for whom there is no such limit, lends its place.
#[test]
#[cfg(target_os = "linux")]
fn no_more_threads_is_no_panic() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| folder.path().join(name);
    let open = |path: &Path| std::fs::set_permissions(path, std::fs::Permissions::from_mode(0o777)).expect("rights");
    open(folder.path());
    std::fs::copy(env!("CARGO_BIN_EXE_lineward"), at("program")).expect("a copy");
    std::fs::create_dir(at("book")).expect("a folder");
    for entry in std::fs::read_dir(root().join(BOOK)).expect("a book") {
        let path = entry.expect("a file").path();
        std::fs::copy(&path, at("book").join(path.file_name().expect("a name"))).expect("a copy");
    }
    open(&at("book"));
    let as_nobody = |words: &[&std::ffi::OsStr]| {
        let lent = ["--reuid", "65534", "--clear-groups", "prlimit", "--nproc=1:1"];
        Command::new("setpriv").args(lent).args(words).current_dir(folder.path()).output()
    };
    if !as_nobody(&["true".as_ref()]).is_ok_and(|output| output.status.success()) {
        return; // This machine does not allow it.
    }
    for tables in ["csv", "parquet"] {
        let (program, out) = (at("program"), at(tables));
        let words: [&std::ffi::OsStr; 7] = [
            program.as_ref(),
            "plan".as_ref(),
            "book".as_ref(),
            "--tables".as_ref(),
            tables.as_ref(),
            "--out".as_ref(),
            out.as_ref(),
        ];
        let output = as_nobody(&words).expect("it runs");
        let told = text(&output.stderr);
        // The spreadsheet writer and the data-frame library have threads of their own: they can't, and that is told.
        assert!(output.status.code() == Some(3) && told.contains("spawn thread"), "{tables}: {told}");
        assert!(!told.contains("panicked") && !told.contains("mistake in the program"), "{told}");
        assert!(!out.exists());
    }
}
