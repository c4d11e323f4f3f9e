//! Bytes spoiled at random: catches a reader that panics, hangs, asks for more memory than it may have, or takes a spoiled file
//! for a sound one of no place.

use super::support::rounds;
use lineward::base::{Moment, NameId};
use lineward::expression::Expression;
use lineward::{book, check, plan};
use std::io::{Read, Write};
use std::path::{Path, PathBuf};

fn files(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests").join(name)
}

/// Where another hunt begins: the variable `SEED`, or always the same.
fn dice(own: u64) -> fastrand::Rng {
    let seed = std::env::var("SEED").ok().and_then(|seed| seed.parse::<u64>().ok()).unwrap_or_default();
    fastrand::Rng::with_seed(own + 1_000 * seed)
}

/// Changes, takes out, doubles or adds a few bytes.
fn spoil(bytes: &mut Vec<u8>, dice: &mut fastrand::Rng) {
    for _ in 0..dice.usize(1..8) {
        let at = dice.usize(0..=bytes.len());
        let length = dice.usize(0..20).min(bytes.len() - at);
        match dice.u8(0..6) {
            0 | 1 if at < bytes.len() => bytes[at] = dice.u8(..),
            2 => drop(bytes.drain(at..at + length)),
            3 => {
                let piece = bytes[at..at + length].to_vec();
                let to = dice.usize(0..=bytes.len());
                bytes.splice(to..to, piece);
            }
            4 => {
                let piece: &[u8] = dice
                    .choice([&b"\""[..], b"\n", b",", b"\0", b"\xff", b"-1", b"9999999999", b"<", b"'"])
                    .expect("one");
                bytes.splice(at..at, piece.iter().copied());
            }
            _ => bytes.truncate(if dice.u8(0..8) == 0 { at } else { bytes.len() }),
        }
    }
}

/// Reads a book and, where it is sound, plans it; whether it could be read.
fn read(path: &Path) -> bool {
    let Ok(book) = book::open(path) else { return false };
    let (plant, findings) = check::plant(&book, None, Moment::default());
    if !findings.any_error() {
        plan::plan(&plant, &plan::Request { set_aside: true, ..Default::default() });
    }
    true
}

#[test]
fn texts() {
    let mut dice = dice(1);
    let folder = files("examples/shops/book");
    let mut tables: Vec<PathBuf> =
        std::fs::read_dir(&folder).expect("a book").map(|entry| entry.expect("a file").path()).collect();
    tables.sort();
    let sound: Vec<(String, Vec<u8>)> = tables
        .iter()
        .map(|path| {
            (path.file_name().expect("a name").to_string_lossy().into_owned(), std::fs::read(path).expect("a table"))
        })
        .collect();
    let at = tempfile::tempdir().expect("a folder");
    sound.iter().for_each(|(name, bytes)| std::fs::write(at.path().join(name), bytes).expect("a file"));
    for _ in 0..rounds(400) {
        let (name, bytes) = &sound[dice.usize(0..sound.len())];
        let mut spoiled = bytes.clone();
        spoil(&mut spoiled, &mut dice);
        std::fs::write(at.path().join(name), &spoiled).expect("a file");
        read(at.path());
        std::fs::write(at.path().join(name), bytes).expect("a file");
    }
}

/// Packed bytes seldom stay sound when they are spoiled: as often, what is inside is spoiled and packed again.
#[test]
fn workbooks() {
    let mut dice = dice(2);
    let at = tempfile::tempdir().expect("a folder");
    let mut sound = 0;
    for _ in 0..rounds(300) {
        let name = *dice.choice(&["plant.xlsx", "plant-office.xlsx", "plant.ods"]).expect("a file");
        let mut bytes = std::fs::read(files("files").join(name)).expect("a workbook");
        if dice.bool() {
            bytes = repacked(&bytes, &mut dice);
        } else {
            spoil(&mut bytes, &mut dice);
        }
        let path = at.path().join(name);
        std::fs::write(&path, bytes).expect("a file");
        sound += u32::from(read(&path));
    }
    assert!(sound > 20, "{sound}");
}

fn repacked(bytes: &[u8], dice: &mut fastrand::Rng) -> Vec<u8> {
    let mut from = zip::ZipArchive::new(std::io::Cursor::new(bytes)).expect("a workbook");
    let mut to = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    let chosen = dice.usize(0..from.len());
    for i in 0..from.len() {
        let mut entry = from.by_index(i).expect("an entry");
        let name = entry.name().expect("a name").into_owned();
        let mut bytes = Vec::new();
        entry.read_to_end(&mut bytes).expect("bytes");
        if i == chosen {
            spoil(&mut bytes, dice);
        }
        to.start_file(&name, zip::write::SimpleFileOptions::default()).expect("an entry");
        to.write_all(&bytes).expect("bytes");
    }
    to.finish().expect("a workbook").into_inner()
}

/// Makes one or two numbers of some bytes as large as they can be, or small and negative: what a file says of its own size.
#[cfg(target_os = "linux")]
fn enlarge(bytes: &mut [u8], dice: &mut fastrand::Rng) {
    for _ in 0..dice.usize(1..3) {
        let length = *dice.choice(&[1, 2, 4, 8]).expect("a length");
        let at = dice.usize(0..bytes.len().saturating_sub(length).max(1));
        let number = *dice.choice(&[u64::MAX, u64::MAX >> 1, 0, 1, 0x0010_0000, 0x7fff_7fff]).expect("a number");
        bytes[at..].iter_mut().zip(number.to_le_bytes()).take(length).for_each(|(byte, new)| *byte = new);
    }
}

/// A table of text as a Parquet file.
#[cfg(target_os = "linux")]
fn as_parquet(table: &Path) -> Vec<u8> {
    use polars::prelude::{DataFrame, IntoColumn, NamedFrom, ParquetWriter, Series};
    let mut reader = csv::Reader::from_path(table).expect("a table");
    let headings = reader.headers().expect("headings").clone();
    let rows: Vec<csv::StringRecord> = reader.records().map(|row| row.expect("a row")).collect();
    let column = |(at, name): (usize, &str)| {
        let values: Vec<&str> = rows.iter().map(|row| &row[at]).collect();
        Series::new(name.into(), values).into_column()
    };
    let mut frame = DataFrame::new(rows.len(), headings.iter().enumerate().map(column).collect()).expect("columns");
    let mut bytes = Vec::new();
    ParquetWriter::new(&mut bytes).finish(&mut frame).expect("memory");
    bytes
}

/// What the README promises of reading is held by the system here: two gigabytes beside the program's own threads, and a minute.
#[cfg(target_os = "linux")]
#[test]
fn a_spoiled_file_of_any_kind_costs_no_more_than_is_promised() {
    let mut dice = dice(5);
    let folder = tempfile::tempdir().expect("a folder");
    let book = files("examples/buyer/book");
    let packed = ["plant.xlsx", "plant-office.xlsx", "plant.ods"];
    for round in 0..rounds(40) {
        let at = folder.path().join("book");
        std::fs::create_dir(&at).expect("a folder");
        let kind = dice.usize(0..6);
        let (name, mut bytes) = match kind {
            0..3 => (packed[kind], std::fs::read(files("files").join(packed[kind])).expect("a workbook")),
            3 => ("plant.xls", std::fs::read(files("files/plant.xls")).expect("a workbook")),
            4 => ("Bills.parquet", as_parquet(&book.join("Bills.csv"))),
            _ => ("Parts.csv", std::fs::read(book.join("Parts.csv")).expect("a table")),
        };
        if kind >= 4 {
            for entry in std::fs::read_dir(&book).expect("a book") {
                let path = entry.expect("a file").path();
                let stem = Path::new(name).file_stem();
                if path.file_stem() != stem {
                    std::fs::copy(&path, at.join(path.file_name().expect("a name"))).expect("a copy");
                }
            }
        }
        match dice.u8(0..3) {
            0 if kind < 3 => bytes = repacked(&bytes, &mut dice),
            1 => spoil(&mut bytes, &mut dice),
            _ => enlarge(&mut bytes, &mut dice),
        }
        std::fs::write(at.join(name), &bytes).expect("a file");
        let path = if kind < 4 { at.join(name) } else { at.clone() };
        let output = std::process::Command::new("sh")
            .args(["-c", "ulimit -v 2500000; exec timeout 60 \"$0\" check \"$1\""])
            .arg(env!("CARGO_BIN_EXE_lineward"))
            .arg(&path)
            .output()
            .expect("the command runs");
        let told = String::from_utf8_lossy(&output.stderr);
        let kept = || std::fs::write(std::env::temp_dir().join(format!("spoiled-{round}-{name}")), &bytes);
        if !matches!(output.status.code(), Some(0 | 1 | 3)) || told.contains("panicked") || told.contains("broken") {
            panic!("round {round}, {name}: {}: {told}; it is kept: {:?}", output.status, kept());
        }
        std::fs::remove_dir_all(&at).expect("a folder");
    }
}

#[test]
fn manifests() {
    let mut dice = dice(3);
    let at = tempfile::tempdir().expect("a folder");
    let sound = "rest = \"plant.xlsx\"\ndecimal = \",\"\n[Stock]\nfile = \"stock-*.csv\"\nheadings = 2\ndates = \"dd.mm.yyyy\"\n[Stock.columns]\npart = \"Teil\"\nqty = \"Menge\"\n[Stock.\"leave out\"]\nTeil = [\"x\", \"\"]\n[Stock.fixed]\nuom = \"ea\"\n";
    std::fs::copy(files("files/plant.xlsx"), at.path().join("plant.xlsx")).expect("a copy");
    std::fs::write(at.path().join("stock-1.csv"), "list\nTeil,Menge\nWN-20,\"1,5\"\nx,2\n").expect("a file");
    for _ in 0..rounds(300) {
        let mut bytes = sound.as_bytes().to_vec();
        spoil(&mut bytes, &mut dice);
        std::fs::write(at.path().join("lineward.toml"), bytes).expect("a file");
        read(at.path());
    }
}

#[test]
fn expressions() {
    let mut dice = dice(4);
    let pieces = ["A", "B", "and", "or", "not", "(", ")", "\"", "'", " ", "é", "\u{0}", "\u{130}", "and(", "x\"y"];
    for _ in 0..rounds(20_000) {
        let text: String =
            (0..dice.usize(0..30)).map(|_| format!("{} ", pieces[dice.usize(0..pieces.len())])).collect();
        let text = if dice.bool() { text.replace(' ', "") } else { text };
        let name = |name: &str| ["A", "B"].iter().position(|known| *known == name).map(NameId::of);
        match Expression::parse(&text, name) {
            Ok(expression) => drop(expression.holds(&lineward::expression::NameSet::new(2))),
            Err(mistakes) => {
                assert!(!mistakes.is_empty(), "{text}");
                mistakes.iter().for_each(|mistake| {
                    assert!(text.get(mistake.span.0..mistake.span.1).is_some(), "{text}: {mistake:?}");
                });
            }
        }
    }
}
