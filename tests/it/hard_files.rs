//! Files that are no books, or more than one: catches a panic, a hang, a flood of memory, or a file left half-written.

use lineward::book;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use zip::write::SimpleFileOptions;
use zip::{ZipArchive, ZipWriter};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Runs `lineward check`; one that never ends is a failure that the test run shows by not ending either.
fn check(book: &Path) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_lineward"));
    command.current_dir(root()).arg("check").arg(book).output().expect("the command runs")
}

/// That a book ends with 3, and the file and the reason are told.
fn unreadable(book: &Path, file: &str, reason: &str) {
    let output = check(book);
    // A file of a folder, or a sheet, is told among all that is wrong there.
    let told = String::from_utf8_lossy(&output.stderr) + String::from_utf8_lossy(&output.stdout);
    assert_eq!(output.status.code(), Some(3), "{}: {told}", book.display());
    let at = |line: &str| line.contains(file) && line.to_lowercase().contains(&reason.to_lowercase());
    assert!(told.lines().any(at), "{}: {told}", book.display());
}

/// A copy of a small book.
fn copy() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    for entry in std::fs::read_dir(root().join("tests/examples/buyer/book")).expect("a book") {
        let path = entry.expect("a file").path();
        std::fs::copy(&path, folder.path().join(path.file_name().expect("a name"))).expect("a copy");
    }
    folder
}

/// The book with one file replaced.
fn with(file: &str, bytes: &[u8]) -> (tempfile::TempDir, PathBuf) {
    let folder = copy();
    let path = folder.path().join(file);
    std::fs::write(&path, bytes).expect("a file");
    (folder, path)
}

#[test]
fn what_is_no_regular_file_is_refused() {
    let folder = copy();
    std::fs::remove_file(folder.path().join("Stock.csv")).expect("a file");
    std::fs::create_dir(folder.path().join("Stock.csv")).expect("a folder");
    unreadable(folder.path(), "Stock.csv", "folder");
    if cfg!(unix) {
        let folder = copy();
        let path = folder.path().join("Bills.csv");
        std::fs::remove_file(&path).expect("a file");
        assert!(Command::new("mkfifo").arg(&path).status().expect("mkfifo").success());
        unreadable(folder.path(), "Bills.csv", "regular");
        std::fs::remove_file(&path).expect("a pipe");
        #[cfg(unix)]
        {
            std::os::unix::fs::symlink("/dev/zero", &path).expect("a link");
            unreadable(folder.path(), "Bills.csv", "regular");
            std::fs::remove_file(&path).expect("a link");
            // A file that is gone when it is read.
            std::os::unix::fs::symlink("no-such-file", &path).expect("a link");
            unreadable(folder.path(), "Bills.csv", "No such file");
        }
    }
    for ending in ["xlsx", "ods", "xls", "xlsb", "parquet"] {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join(format!("Bills.{ending}"));
        std::fs::write(&path, b"").expect("a file");
        let book = if ending == "parquet" { folder.path() } else { &path };
        unreadable(book, "Bills", "");
    }
}

#[test]
fn texts_that_are_no_tables() {
    let (folder, _) = with("Bills.csv", &vec![0; 100_000]);
    unreadable(folder.path(), "Bills.csv", "zero bytes");
    let (folder, _) = with("Bills.csv", b"\xff\xfep\0a\0r\0t\0");
    let told = check(folder.path());
    assert_eq!(told.status.code(), Some(1), "UTF-16 is read: the columns are missing");
    assert!(String::from_utf8_lossy(&told.stdout).contains("no column 'qty'"));
    let (folder, _) = with("Bills.csv", &[b"parent,part,qty\n".to_vec(), vec![b'x'; 17_000_000]].concat());
    unreadable(folder.path(), "Bills.csv", "row 2");
    let (folder, _) = with("Bills.csv", &[b"parent,part,qty\n\"".to_vec(), b"a,b,c\n".repeat(3_000_000)].concat());
    unreadable(folder.path(), "Bills.csv", "quotation mark");
    let (folder, _) = with("Bills.csv", &b",".repeat(5_000));
    unreadable(folder.path(), "Bills.csv", "1000 cells");
    // An empty file lacks its columns; an empty folder its tables.
    let (folder, _) = with("Bills.csv", b"");
    assert_eq!(check(folder.path()).status.code(), Some(1));
    let folder = tempfile::tempdir().expect("a folder");
    let output = check(folder.path());
    assert_eq!(output.status.code(), Some(1));
    assert_eq!(String::from_utf8_lossy(&output.stdout).matches("error: missing-table").count(), 8);
}

/// The longest text of a spreadsheet's cell is 32 767 letters: too long for a code, but not for a note.
#[test]
fn a_cell_as_long_as_a_spreadsheet_allows() {
    let long = "x".repeat(32_767);
    let text = format!("part,description,uom\nBOLT,{long},ea\n{long},,ea\n");
    let (folder, _) = with("Parts.csv", text.as_bytes());
    let output = check(folder.path());
    let told = String::from_utf8_lossy(&output.stdout);
    assert!(output.status.code() == Some(1) && told.contains("too-long") && told.len() < 20_000, "{told}");
}

/// A workbook packed anew with one of its parts replaced.
fn repacked(change: impl Fn(&str, Vec<u8>) -> Vec<u8>) -> (tempfile::TempDir, PathBuf) {
    repacked_from("plant.xlsx", change)
}

fn repacked_from(workbook: &str, change: impl Fn(&str, Vec<u8>) -> Vec<u8>) -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("book.xlsx");
    let file = std::fs::File::open(root().join("tests/files").join(workbook)).expect("a workbook");
    let mut from = ZipArchive::new(file).expect("a workbook");
    let mut to = ZipWriter::new(std::fs::File::create(&path).expect("a file"));
    for i in 0..from.len() {
        let mut entry = from.by_index(i).expect("an entry");
        let name = entry.name().expect("a name").into_owned();
        let mut bytes = Vec::new();
        std::io::Read::read_to_end(&mut entry, &mut bytes).expect("bytes");
        to.start_file(&name, SimpleFileOptions::default()).expect("an entry");
        to.write_all(&change(&name, bytes)).expect("bytes");
    }
    to.finish().expect("a workbook");
    (folder, path)
}

fn in_sheet(from: &'static str, into: String) -> impl Fn(&str, Vec<u8>) -> Vec<u8> {
    move |name, bytes| {
        if !name.contains("worksheets/sheet") {
            return bytes;
        }
        String::from_utf8(bytes).expect("XML").replacen(from, &into, 1).into_bytes()
    }
}

#[test]
fn a_workbook_that_unpacks_without_end() {
    let (_folder, path) = repacked(|name, bytes| match name.contains("sheet1.xml") {
        true => [bytes, vec![b' '; 1_001_000_000]].concat(),
        false => bytes,
    });
    assert!(std::fs::metadata(&path).expect("a file").len() < 4_000_000);
    unreadable(&path, "book.xlsx", "unpacks to more than 1000 MB");
    // One whose directory says otherwise: the size of an entry stands at byte 24 of its record there.
    let mut bytes = std::fs::read(&path).expect("bytes");
    let records: Vec<usize> = (0..bytes.len() - 4).filter(|i| bytes[*i..].starts_with(b"PK\x01\x02")).collect();
    records.iter().for_each(|at| bytes[at + 24..at + 28].copy_from_slice(&100_u32.to_le_bytes()));
    std::fs::write(&path, bytes).expect("a file");
    unreadable(&path, "book.xlsx", "");
}

/// What a sheet or a list of texts says of its size makes no room; few cells far apart cost no more than they are.
#[test]
fn a_sheet_that_says_it_is_huge() {
    let (_folder, path) = repacked(in_sheet("<sheetData>", "<dimension ref=\"A1:XFD1048576\"/><sheetData>".into()));
    assert_eq!(check(&path).status.code(), Some(0));
    let far = "<row r=\"1048576\"><c r=\"ALL1048576\" t=\"n\"><v>1</v></c></row></sheetData>";
    let (_folder, path) = repacked(in_sheet("</sheetData>", far.into()));
    assert_eq!(check(&path).status.code(), Some(1));
    let far = far.replace("ALL", "XFD");
    let (_folder, path) = repacked(in_sheet("</sheetData>", far));
    unreadable(&path, "book.xlsx", "column 16384");
    let strings = "<?xml version=\"1.0\"?><sst xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\" count=\"9\" uniqueCount=\"9999999999999\"></sst>";
    let (_folder, path) =
        repacked_from(
            "plant-office.xlsx",
            |name, bytes| if name.ends_with("sharedStrings.xml") { strings.into() } else { bytes },
        );
    unreadable(&path, "book.xlsx", "texts");
    // A sheet whose texts are not there.
    let strings = strings.replace("9999999999999", "1");
    let (_folder, path) = repacked_from("plant-office.xlsx", |name, bytes| {
        if name.ends_with("sharedStrings.xml") { strings.clone().into() } else { bytes }
    });
    assert_ne!(check(&path).status.code(), Some(0));
}

#[test]
fn a_full_disk_leaves_nothing_behind() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path().join("small");
    std::fs::create_dir(&at).expect("a folder");
    let mounted = Command::new("mount").args(["-t", "tmpfs", "-o", "size=64k", "tmpfs"]).arg(&at).output();
    if !mounted.is_ok_and(|output| output.status.success()) {
        return; // This machine does not allow it.
    }
    let output = Command::new(env!("CARGO_BIN_EXE_lineward"))
        .current_dir(root())
        .args(["plan", "data/alder-fen", "--out"])
        .arg(&at)
        .output()
        .expect("the command runs");
    let left = std::fs::read_dir(&at).expect("a folder").count();
    assert!(Command::new("umount").arg(&at).status().expect("umount").success());
    assert_eq!(output.status.code(), Some(3), "{}", String::from_utf8_lossy(&output.stderr));
    assert_eq!(left, 0);
}

#[cfg(unix)]
#[test]
fn a_folder_without_rights() {
    use std::os::unix::fs::PermissionsExt;
    let folder = copy();
    std::fs::set_permissions(folder.path(), std::fs::Permissions::from_mode(0o000)).expect("rights");
    // Whoever may read everything is not stopped by rights.
    let stopped = std::fs::read_dir(folder.path()).is_err();
    let output = check(folder.path());
    std::fs::set_permissions(folder.path(), std::fs::Permissions::from_mode(0o700)).expect("rights");
    assert_eq!(output.status.code(), Some(if stopped { 3 } else { 0 }));
}

/// A million bill lines of a plant that does not know their parents: one note. Only where `HUNT` is set: it takes a while.
#[test]
fn a_million_rows() {
    if std::env::var_os("HUNT").is_none() {
        return;
    }
    for (rows, note) in [(1_000_000, 1), (1_000_000, 180)] {
        let folder = copy();
        let mut bills = std::fs::read(folder.path().join("Bills.csv")).expect("bills");
        let columns = bills.split(|byte| *byte == b'\n').next().expect("headings").split(|byte| *byte == b',').count();
        let blank = ",".repeat(columns.saturating_sub(3));
        (0..rows).for_each(|i| writeln!(bills, "P{i},X{i},{}{blank}", "1".repeat(note.min(9))).expect("memory"));
        std::fs::write(folder.path().join("Bills.csv"), bills).expect("a file");
        let read = book::open(folder.path()).expect("a book");
        assert!(read.table(book::Table::Bills).expect("bills").rows.len() > rows);
        assert_eq!(check(folder.path()).status.code(), Some(0));
    }
}

/// The size of a sheet of an `.xls` stands in a record of type 512 and length 14.
#[test]
fn an_old_workbook_that_says_it_is_huge() {
    let mut bytes = std::fs::read(root().join("tests/files/plant.xls")).expect("a workbook");
    let at = bytes.windows(4).position(|record| record == [0, 2, 14, 0]).expect("a record");
    bytes[at + 8..at + 12].copy_from_slice(&u32::MAX.to_le_bytes());
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("book.xls");
    std::fs::write(&path, bytes).expect("a file");
    unreadable(&path, "book.xls", "rows");
}

/// Files that random spoiling found: a list of sectors that leads in a circle, in which a library filled all memory; a page
/// shorter than it says, of which a library told on a thread of its own; and a sheet whose columns begin where no column is.
#[test]
fn what_once_led_a_reader_astray() {
    let spoiled = root().join("tests/files/spoiled");
    unreadable(&spoiled.join("sectors-in-a-circle.xls"), "sectors-in-a-circle.xls", "damaged");
    let wide = "first-column-behind-the-last.xls";
    unreadable(&spoiled.join(wide), wide, "more than");
    let folder = copy();
    std::fs::remove_file(folder.path().join("Bills.csv")).expect("a file");
    std::fs::copy(spoiled.join("Bills.parquet"), folder.path().join("Bills.parquet")).expect("a copy");
    unreadable(folder.path(), "Bills.parquet", "damaged");
    assert!(check(folder.path()).stderr.is_empty());
}

#[test]
fn a_workbook_that_is_locked_says_so() {
    let folder = tempfile::tempdir().expect("a folder");
    for name in ["book.xls", "book.xlsx"] {
        let path = folder.path().join(name);
        let mut file = cfb::create(&path).expect("a file");
        file.create_stream("EncryptedPackage").expect("a stream").write_all(&[7; 5000]).expect("room");
        drop(file);
        unreadable(&path, name, "password");
    }
}
