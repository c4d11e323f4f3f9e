//! Mistakes that people make in such files, each made in one place of the yard's exports: found, at its cell, with what to do.
//! Which mistakes are typical is common practice; what is told of each was written down before it was tried.

use super::export::Exports;
use lineward::base::{Finding, Findings, Moment};
use lineward::{book, check, plan};
use std::fmt::Write;
use std::path::Path;

const PARTS: &str = "artikelen.csv";
const BILLS: &str = "stuklijsten.txt";
const SEQUENCE: &str = "planning.xlsx";
const STOCK: &str = "voorraad.ods";
const ORDERS: &str = "inkoop.xls";
const REST: &str = "basis.xlsx";
const PLACES: &str = "werkplekken.csv";
const MANIFEST: &str = "lineward.toml";
const WEEKS: &str = "Planning wk 37-38";

/// A file, a sheet, a row and a heading.
type At = (&'static str, &'static str, u32, &'static str);

/// What is done to a file.
#[derive(Clone, Copy)]
enum Change {
    /// The cell under a heading, in a row of a sheet, holds another text.
    Cell(&'static str, u32, &'static str, &'static str),
    /// A piece of a row of a text, which stands there once, becomes another; in row 0 of the whole text.
    Piece(u32, &'static str, &'static str),
    /// A row of a text stands there twice.
    Again(u32),
    /// A text in the bytes of a file, which stands there once, becomes another of the same length.
    Bytes(&'static str, &'static str),
    Gone,
}

/// A mistake, and what is told of it.
#[derive(Clone, Copy)]
struct Mistake {
    name: &'static str,
    file: &'static str,
    change: Change,
    kind: &'static str,
    /// At which it is told.
    at: At,
    /// Words of what is told, or of what the kind says is to be done.
    words: &'static str,
}

/// A wrong text in a cell, told at that cell.
const fn cell(
    name: &'static str,
    (file, sheet, row, heading): At,
    text: &'static str,
    kind: &'static str,
    words: &'static str,
) -> Mistake {
    Mistake {
        name,
        file,
        change: Change::Cell(sheet, row, heading, text),
        kind,
        at: (file, sheet, row, heading),
        words,
    }
}

/// A piece of a row that is wrong, told in that row, under a heading or for the row as a whole.
const fn piece(
    name: &'static str,
    (file, row): (&'static str, u32),
    (from, to): (&'static str, &'static str),
    kind: &'static str,
    heading: &'static str,
    words: &'static str,
) -> Mistake {
    Mistake { name, file, change: Change::Piece(row, from, to), kind, at: (file, "", row, heading), words }
}

/// A piece of an old workbook that stands there once, and another of the same length.
const fn bytes(
    name: &'static str,
    file: &'static str,
    from: &'static str,
    to: &'static str,
    kind: &'static str,
    at: (&'static str, u32, &'static str),
    words: &'static str,
) -> Mistake {
    Mistake { name, file, change: Change::Bytes(from, to), kind, at: (file, at.0, at.1, at.2), words }
}

/// A piece of the manifest that is wrong.
const fn manifest(
    name: &'static str,
    from: &'static str,
    to: &'static str,
    kind: &'static str,
    at: At,
    words: &'static str,
) -> Mistake {
    Mistake { name, file: MANIFEST, change: Change::Piece(0, from, to), kind, at, words }
}

/// A row that is copied below itself, and told there.
const fn again(
    name: &'static str,
    file: &'static str,
    row: u32,
    kind: &'static str,
    heading: &'static str,
    words: &'static str,
) -> Mistake {
    Mistake { name, file, change: Change::Again(row), kind, at: (file, "", row + 1, heading), words }
}

/// A file that is not there: told at the line of the manifest that names it.
const fn gone(name: &'static str, file: &'static str, kind: &'static str, at: At, words: &'static str) -> Mistake {
    Mistake { name, file, change: Change::Gone, kind, at, words }
}

impl Mistake {
    /// Told elsewhere in the same file.
    const fn at(self, row: u32, heading: &'static str) -> Self {
        Self { at: (self.at.0, self.at.1, row, heading), ..self }
    }

    /// Told in another file.
    const fn told(self, file: &'static str, sheet: &'static str, row: u32, heading: &'static str) -> Self {
        Self { at: (file, sheet, row, heading), ..self }
    }
}

#[rustfmt::skip]
const MISTAKES: &[Mistake] = &[
    // The parts list.
    cell("a decimal point", (PARTS, "", 14, "Prijs"), "6.85", "not-a-number", "12,5"),
    cell("thousands with a blank", (PARTS, "", 11, "Prijs"), "4 890,00", "not-a-number", "12,5"),
    cell("a part twice", (PARTS, "", 23, "Artikel"), "LAMP-01", "code-twice", "row 22"),
    cell("a made part without a shop", (PARTS, "", 37, "Werkplaats"), "-", "no-shop", "Name the shop"),
    cell("a made part without minutes", (PARTS, "", 38, "Bewerking"), "", "made-without-minutes", "minutes"),
    cell("a shop mistyped", (PARTS, "", 40, "Werkplaats"), "STOFF", "unknown-shop", "did you mean STOF?"),
    cell("a source that is none", (PARTS, "", 39, "Soort"), "maakt", "not-in-list", "make"),
    cell("an amount with words", (PARTS, "", 28, "Levertijd"), "2 wk", "not-a-number", "a number"),
    cell("a unit of measure mistyped", (PARTS, "", 20, "Eenheid"), "mrt", "unknown-uom", "mtr"),
    cell("a small 2 for a raised one", (PARTS, "", 33, "Eenheid"), "m2", "unknown-uom", "did you mean m²?"),
    cell("a sign of an error", (PARTS, "", 21, "Vak"), "#N/A", "error-sign", "spreadsheet"),
    cell("a safety stock below zero", (PARTS, "", 17, "Veiligheid"), "-2.500", "out-of-range", "negative"),
    piece("a separator in a text", (PARTS, 16), ("12-20 mm, met", "12-20 mm; met"), "cells-beyond-headings", "", "quotation marks"),
    piece("a mark that is not closed", (PARTS, 30), ("Sleepoog", "\"Sleepoog"), "open-mark", "Omschrijving", "mark"),
    piece("a row cut short", (PARTS, 27), (";set;;Elektra Vonkeput;9;;1;;;318,00;4,1;4.014,50", ""), "uneven-row", "", "separators"),
    piece("letters read in two ways", (PARTS, 28), ("écru", "Ã©cru"), "misread-letters", "Omschrijving", "écru"),
    // The indented bills.
    cell("a component mistyped", (BILLS, "", 85, "Artikel"), "ROMP-5S", "unknown-part", "did you mean ROMP-55?"),
    cell("a letter O for a zero", (BILLS, "", 98, "Artikel"), "LAMP-O2", "unknown-part", "did you mean LAMP-02?"),
    cell("a level skipped", (BILLS, "", 20, "Niveau"), "...3", "bad-level", "one more"),
    cell("a sub-assembly shown otherwise", (BILLS, "", 73, "Aantal"), "2,8", "two-bills", "row 32"),
    cell("a station mistyped", (BILLS, "", 93, "Werkplek"), "ELEC", "unknown-station", "did you mean ELEK?"),
    cell("an option mistyped in a condition", (BILLS, "", 99, "Alleen bij"), "ZONN", "unknown-name", "did you mean ZON?"),
    cell("a name with a blank in a condition", (BILLS, "", 41, "Alleen bij"), "not KREKEL 42", "bad-expression", "quot"),
    cell("percents for amounts", (BILLS, "", 94, "Uitval %"), "105", "scrap-too-large", "0.05"),
    cell("a scrap that is too high", (BILLS, "", 12, "Uitval %"), "55", "high-scrap", "55 %"),
    cell("an amount forgotten", (BILLS, "", 88, "Aantal"), "", "missing-value", "blank"),
    cell("a sign too many", (BILLS, "", 86, "Aantal"), "-1", "not-a-by-product", "by-product"),
    cell("a wrong unit of measure", (BILLS, "", 166, "Eenh."), "ltr", "no-conversion", "Conversions"),
    cell("a change mistyped", (BILLS, "", 98, "Vanaf"), "W-70", "unknown-change", "W-07"),
    again("a bill line twice", BILLS, 40, "bill-line-twice", "Artikel", "row 40"),
    // The planner's sheet.
    cell("a boat twice", (SEQUENCE, WEEKS, 16, "Boot"), "0409", "code-twice", "row 15"),
    cell("a place in the order twice", (SEQUENCE, WEEKS, 16, "Volgnr"), "90", "seq-twice", "row 15"),
    cell("an option mistyped", (SEQUENCE, WEEKS, 26, "Opties"), "KAPP", "unknown-option", "did you mean KAP?"),
    cell("an option that is not offered", (SEQUENCE, WEEKS, 33, "Opties"), "BOEG", "not-offered", "KREKEL 42"),
    cell("two of a kind", (SEQUENCE, WEEKS, 26, "Opties"), "DIESEL STROOM", "two-chosen", "AANDRIJVING"),
    cell("an order against a rule", (SEQUENCE, WEEKS, 26, "Opties"), "BOEG", "must-broken", "tweede accu"),
    cell("a station of the other line", (SEQUENCE, WEEKS, 8, "Staat op"), "B-BOUW", "unknown-station", "line"),
    cell("a boat out of place", (SEQUENCE, WEEKS, 14, "Staat op"), "ROMP", "out-of-place", "0407"),
    cell("a word that is neither yes nor no", (SEQUENCE, WEEKS, 7, "Gereed"), "bijna", "not-in-list", "yes"),
    cell("a type mistyped", (SEQUENCE, WEEKS, 12, "Type"), "GEELRAND 26", "unknown-floorplan", "did you mean GEELRAND 62?"),
    cell("a date in another form", (SEQUENCE, WEEKS, 23, "Niet voor"), "9/20/27", "not-a-date", "dd-mm-yyyy"),
    cell("a line forgotten", (SEQUENCE, WEEKS, 28, "Lijn"), "", "seq-twice", "row").at(28, "Volgnr"),
    // The count of the stores.
    cell("a part on stock mistyped", (STOCK, "Telling", 32, "Artikel"), "KAP-O1", "mistyped-code", "did you mean KAP-01?"),
    cell("a part on stock without its dash", (STOCK, "Telling", 35, "Artikel"), "STUUR01", "mistyped-code", "did you mean STUUR-01?"),
    cell("reserved for nobody", (STOCK, "Telling", 11, "Voor boot"), "0431", "reserved-for-nobody", "Correct the unit's code"),
    cell("less than nothing", (STOCK, "Telling", 25, "Geteld"), "-3", "negative-stock", "Count"),
    cell("half a piece", (STOCK, "Telling", 32, "Geteld"), "6,5", "fraction-of-a-piece", "whole"),
    cell("a word for an amount", (STOCK, "Telling", 28, "Geteld"), "geen", "not-a-number", "a number"),
    cell("a bin of a station that is not there", (STOCK, "Telling", 19, "Werkplek"), "DEKK", "unknown-destination", "did you mean DEK?"),
    // The orders, in an old workbook.
    bytes("a day that is none", ORDERS, "23-09-2027", "31-09-2027", "not-a-date", ("Openstaand", 26, "Leverdatum"), "2027-09-14"),
    bytes("an order of a part mistyped", ORDERS, "KAP-01", "KAP-O1", "mistyped-code", ("Openstaand", 28, "Artikel"), "did you mean KAP-01?"),
    bytes("an order of years ago", ORDERS, "2027.09.22", "2017.09.22", "long-overdue", ("Openstaand", 25, "Leverdatum"), "Close"),
    // The yard's own workbook.
    cell("closed until the wrong year", (REST, "Calendar", 5, "day"), "16-09-2027 to 24-09-2028", "stands-still", "2028"),
    cell("a setting mistyped", (REST, "Settings", 5, "key"), "receipts a", "unknown-setting", "did you mean receipts at?"),
    cell("a delivery run at night", (REST, "Waves", 2, "time"), "04:30", "wave-outside", "hours"),
    cell("no takt", (REST, "Takt", 2, "minutes"), "0", "takt-not-positive", "minutes"),
    cell("a rule about nothing", (REST, "Rules", 3, "must"), "ACCU2 or RUIMM", "unknown-name", "did you mean RUIM?"),
    cell("something owed to nowhere", (REST, "Extras", 3, "to"), "PROEFF", "unknown-destination", "did you mean PROEF?"),
    cell("a conversion without its amount", (REST, "Conversions", 3, "factor"), "", "missing-value", "factor"),
    cell("a conversion to the wrong measure", (REST, "Conversions", 3, "to"), "ltr", "no-conversion", "Conversions").told(STOCK, "Telling", 18, "Eenheid"),
    cell("a day that is no word of ours", (REST, "Calendar", 2, "day"), "ma-vr", "not-a-day", "Mon-Fri"),
    cell("a calendar mistyped", (REST, "Lines", 2, "calendar"), "LIJM", "unknown-calendar", "did you mean LIJN?"),
    cell("a last move ahead", (REST, "Lines", 2, "last move"), "14-09-2027 14:00", "last-move-ahead", "later moment"),
    cell("a heading mistyped", (REST, "Takt", 1, "minutes"), "minuten", "missing-column", "minutes").at(1, ""),
    cell("an offer of nothing", (REST, "Offers", 8, "option"), "KAPP", "unknown-option", "did you mean KAP?"),
    cell("a change that begins with nobody", (REST, "Changes", 3, "from unit"), "0433", "empty-change", "a unit that is in the sequence"),
    // The stations.
    cell("a station twice", (PLACES, "", 12, "Werkplek"), "B-ROMP", "code-twice", "row 11"),
    cell("a position that is no number", (PLACES, "", 9, "Plaats"), "5e", "not-a-number", "a number"),
    // The manifest.
    manifest("a heading that is not there", "part = \"Artikel\"\ndescription", "part = \"Artikelnr\"\ndescription", "missing-column", (PARTS, "", 4, ""), "did you mean Artikel?"),
    manifest("a key that means nothing", "level = ", "levels = ", "unknown-key", (MANIFEST, "", 61, "levels"), "did you mean level?"),
    manifest("the wrong row of headings", "file = \"artikelen.csv\"\nheadings = 4", "file = \"artikelen.csv\"\nheadings = 2", "missing-column", (PARTS, "", 2, ""), "row 4"),
    manifest("the wrong separator", "separator = \"tab\"", "separator = \";\"", "other-separator", (BILLS, "", 1, ""), "tab"),
    manifest("the wrong letters", "encoding = \"windows-1252\"", "encoding = \"utf-8\"", "not-utf-8", (PARTS, "", 13, ""), "windows-1252"),
    manifest("the wrong form of dates", "[\"dd-mm-yyyy\", ", "[\"mm-dd-yyyy\", ", "not-a-date", (ORDERS, "Openstaand", 4, "Leverdatum"), "mm-dd-yyyy"),
    manifest("a spoiled code forgotten", ", \"2027-12-06\" = \"6-12\"", "", "misread-code", ("voorraad.ods", "Telling", 23, "Artikel"), "did you mean 6-12?"),
    manifest("a sheet that is not there", "wk 37-38", "wk 39-40", "unreadable-file", (MANIFEST, "", 75, "Sequence"), "Planning wk 37-38"),
    gone("a file that is gone", STOCK, "unreadable-file", (MANIFEST, "", 96, "Stock"), "no such file"),
];

impl Mistake {
    fn make(&self, exports: &mut Exports) {
        match self.change {
            Change::Cell(sheet, row, heading, text) => exports.put_cell(self.file, sheet, row, heading, text),
            Change::Piece(row, from, to) => exports.put_piece(self.file, row, from, to),
            Change::Again(row) => exports.double(self.file, row),
            Change::Bytes(from, to) => exports.put_bytes(self.file, from, to),
            Change::Gone => exports.remove(self.file),
        }
    }

    /// Whether a finding is the one that is expected.
    fn is(&self, finding: &Finding) -> bool {
        let place = &finding.place;
        let found = (&*place.file, place.sheet.as_deref().unwrap_or_default(), place.row, &*place.column);
        let told = finding.to_string();
        let kind = finding.kind;
        kind.name == self.kind && found == self.at && (told.contains(self.words) || kind.remedy.contains(self.words))
    }
}

/// All that is told of a book.
fn told(book: &Path) -> Findings {
    let book = match book::open(book) {
        Ok(book) => book,
        Err(why) => panic!("{why}"),
    };
    let (plant, mut findings) = check::plant(&book, None, Moment::default());
    let more = plan::more_findings(&plant, &findings);
    findings.extend(more);
    findings.sort();
    findings
}

#[test]
fn typical_mistakes_are_found_at_their_cells_with_what_to_do() {
    let sound = Exports::new();
    let folder = tempfile::tempdir().expect("a folder");
    sound.write(folder.path());
    let before = told(folder.path());
    let mut wrong = String::new();
    for mistake in MISTAKES {
        let mut exports = sound.clone();
        mistake.make(&mut exports);
        let folder = tempfile::tempdir().expect("a folder");
        exports.write(folder.path());
        let findings = told(folder.path());
        assert!(before.iter().all(|finding| !mistake.is(finding)), "{}: told of the sound files, too", mistake.name);
        if !findings.iter().any(|finding| mistake.is(finding)) {
            let Mistake { name, kind, at, words, .. } = mistake;
            let _ = writeln!(wrong, "{name}: expected {kind} at {at:?} with '{words}'; told:");
            let new = findings.iter().filter(|finding| before.iter().all(|known| known != *finding)).take(6);
            new.for_each(|finding| _ = writeln!(wrong, "    {finding} [{}]", finding.kind.remedy));
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
    assert!(MISTAKES.len() >= 40);
}
