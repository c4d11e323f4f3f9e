//! A second plant, a yard for small motor boats, as five unlike systems export it: catches a file that a manifest can't read as it
//! is, and a number on it that becomes another.
//!
//! `tests/files/second-plant/clean` is the yard in the book's own form; `make.py` beside it made the files under `exports` from
//! that, and `exports/lineward.toml` reads them: parts from a text in Windows-1252 with semicolons, decimal commas, titles and a
//! total; bills from an indented list in UTF-16 with units of measure and percents of its own, in which a sub-assembly is shown
//! wherever it is used; the sequence from a planner's workbook with merged titles, hidden columns and separator rows; stock from
//! an `.ods` that took codes for numbers and dates; orders from an `.xls` with dates as text in two forms; the rest from the
//! yard's own workbook. Everything in it is invented.

mod export;
mod mistakes;

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// Where the yard's files lie.
fn yard(form: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/files/second-plant").join(form)
}

fn run(words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_lineward")).args(words).output().expect("the command runs")
}

/// The tables of a plan, by name, as `plan` writes them.
fn tables(book: &Path, form: &str) -> Vec<(String, Vec<u8>)> {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("out");
    let words = ["plan", book.to_str().expect("a path"), "--tables", form, "--out", out.to_str().expect("a path")];
    let output = run(&words);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let mut tables: Vec<(String, Vec<u8>)> = std::fs::read_dir(out.join("tables"))
        .expect("tables")
        .map(|entry| entry.expect("a table").path())
        .map(|path| {
            (path.file_name().expect("a name").to_string_lossy().into_owned(), std::fs::read(&path).expect("a table"))
        })
        .collect();
    tables.sort();
    tables
}

#[test]
fn five_systems_exports_are_planned_as_the_clean_book() {
    for form in ["csv", "parquet"] {
        let (clean, exports) = (tables(&yard("clean"), form), tables(&yard("exports"), form));
        let names = |tables: &[(String, Vec<u8>)]| tables.iter().map(|(name, _)| name.clone()).collect::<Vec<_>>();
        // Eight, and the note beside them.
        assert_eq!((clean.len(), names(&clean)), (9, names(&exports)));
        for ((name, expected), (_, found)) in clean.iter().zip(&exports) {
            assert!(expected == found, "{name}\n{}", String::from_utf8_lossy(found));
            // The plan is not equal because there is nothing in it.
            assert!(
                form == "parquet"
                    || name == "outlook.csv"
                    || name == "about.txt"
                    || expected.iter().filter(|byte| **byte == b'\n').count() > 20
            );
        }
    }
    assert_eq!(tables(&yard("exports/lineward.toml"), "csv"), tables(&yard("clean"), "csv"));
}

/// The clean form has nothing to tell; of the exports, what is not read is noted, and no more.
#[test]
fn nothing_is_wrong_with_the_second_plant() {
    let told = |form: &str| {
        let output = run(&["check", yard(form).to_str().expect("a path"), "--all"]);
        assert!(output.status.success());
        String::from_utf8(output.stdout).expect("text")
    };
    assert!(!told("clean").contains(": clean: ") && !told("clean").contains("warning: "), "{}", told("clean"));
    let exports = told("exports");
    assert!(!exports.contains("warning: ") && !exports.contains("error: "), "{exports}");
    for (file, heading) in [
        ("artikelen.csv", "Omzet 2026"),
        ("stuklijsten.txt", "Omschrijving"),
        ("planning.xlsx", "Klant"),
        ("voorraad.ods", "Teller"),
    ] {
        let noted = exports
            .lines()
            .any(|line| line.starts_with("note: unknown-column: ") && line.contains(file) && line.contains(heading));
        assert!(noted, "{heading}: {exports}");
    }
}
