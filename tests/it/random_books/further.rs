//! What the first random books have nothing of: a forecast, walks with a limit, weights and prices that are not known, promises. Drawn behind all
//! else, with dice of its own, so that the books of other tests stay as they are.

use chrono::{Duration, NaiveDate};

use super::dice::Dice;
use super::sheet::Sheet;
use super::{Book, Size, random_book};

/// The book of a seed, and more.
pub fn further_book(seed: u64, size: Size) -> Book {
    let mut book = random_book(seed, size);
    let dice = &mut Dice::new(seed ^ 0x5EED);
    settings(dice, &mut book);
    change_cells(dice, &mut book, "Parts", &[("weight", 15), ("cost", 10), ("supplier", 10), ("location", 8)]);
    confirmed(dice, &mut book);
    forecast(dice, &mut book);
    bins(&mut Dice::new(seed ^ 0xB175), &mut book);
    book
}

/// Stock lies in several bins of a part, some of it where the part has its place.
fn bins(dice: &mut Dice, book: &mut Book) {
    replace_cells(book, "Stock", "location", |_| dice.word(&["E-1", "E-1", "E-1", "", "A-2-1", "a-10-1", "Rack 3"]));
}

fn settings(dice: &mut Dice, book: &mut Book) {
    let mut rows = String::new();
    let mut set = |dice: &mut Dice, percent: i64, key: &str, values: &[&str]| {
        if dice.chance(percent) {
            rows += &format!("{key},{}\n", dice.word(values));
        }
    };
    set(dice, 70, "seconds a stop", &["10", "20", "45", "240"]);
    set(dice, 40, "kits a cart", &["1", "2", "3", "6"]);
    set(dice, 60, "one person lifts", &["12", "25", "30.5"]);
    set(dice, 30, "kit cards", &["all"]);
    set(dice, 50, "currency", &["EUR"]);
    set(dice, 40, "count days", &["1", "2", "5"]);
    set(dice, 30, "sample units", &["2", "5"]);
    book.get_mut("Settings").expect("settings").push_str(&rows);
}

/// Writes each cell of a column anew.
fn replace_cells(book: &mut Book, table: &str, column: &str, mut new: impl FnMut(&str) -> String) {
    each_row(book, table, |headings, cells| {
        let at = headings.iter().position(|known| known == column).expect("a heading");
        cells[at] = new(&cells[at]);
    });
}

/// Takes cells of a table away, so many of a column in a hundred.
fn change_cells(dice: &mut Dice, book: &mut Book, table: &str, columns: &[(&str, i64)]) {
    each_row(book, table, |headings, cells| {
        for (column, percent) in columns {
            let at = headings.iter().position(|known| known == *column).expect("a heading");
            if dice.chance(*percent) {
                cells[at].clear();
            }
        }
    });
}

/// Shows each row of a table, to be written anew.
fn each_row(book: &mut Book, table: &str, mut change: impl FnMut(&csv::StringRecord, &mut Vec<String>)) {
    if !book.contains_key(table) {
        return;
    }
    let mut reader = csv::Reader::from_reader(book[table].as_bytes());
    let headings = reader.headers().expect("headings").clone();
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(&headings).expect("memory");
    for row in reader.records() {
        let row = row.expect("a row");
        let mut cells: Vec<String> = row.iter().map(str::to_owned).collect();
        change(&headings, &mut cells);
        writer.write_record(cells).expect("memory");
    }
    let text = String::from_utf8(writer.into_inner().expect("memory")).expect("text");
    book.insert(table.to_owned(), text);
}

/// Of most receipts nobody has said whether they are promised; of some that they are, or are not.
fn confirmed(dice: &mut Dice, book: &mut Book) {
    let Some(receipts) = book.get("Receipts") else { return };
    let rows = receipts.lines().enumerate().map(|(at, row)| match at {
        0 => format!("{row},confirmed\n"),
        _ => format!("{row},{}\n", dice.word(&["", "", "", "yes", "no"])),
    });
    let text = rows.collect();
    book.insert("Receipts".to_owned(), text);
}

/// Units of some floorplans in two periods behind the sequence.
fn forecast(dice: &mut Dice, book: &mut Book) {
    if dice.chance(20) {
        return;
    }
    let last = NaiveDate::from_ymd_opt(2028, 9, 1).expect("a date");
    let mut sheet = Sheet::new(&["floorplan", "from", "to", "units"]);
    let floorplans: Vec<String> = csv::Reader::from_reader(book["Floorplans"].as_bytes())
        .records()
        .map(|row| row.expect("a row")[0].to_owned())
        .collect();
    for (from, to) in [(0, 13), (14, 40)] {
        for floorplan in &floorplans {
            let date = |days: i64| (last + Duration::days(days)).to_string();
            let units = dice.between(0, 4).to_string();
            let floorplan = dice.spelled(floorplan);
            sheet.add(&[("floorplan", &floorplan), ("from", &date(from)), ("to", &date(to)), ("units", &units)]);
        }
    }
    book.insert("Forecast".to_owned(), sheet.text());
}
