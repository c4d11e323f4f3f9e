//! The classes of a published benchmark of data loading (Vitagliano and others, "Pollock: a data loading benchmark", PVLDB 16(8),
//! 2023): in every row of the three worked examples a separator missing or added, a stray quotation mark, another separator, a
//! line end missing or added; and whole files with other separators, quotation marks, line ends and letters, with rows above,
//! several heading rows, a second table below, no headings, no rows, nothing at all, or cut off in the middle.

use super::text::{Letters, Text};
use super::{Outcome, Sound};
use std::collections::BTreeMap;
use std::fmt::Write;

/// A spoiled text, by the name of its class.
type Spoiled = (&'static str, Vec<u8>);

/// A row spoiled in each of its places.
fn rows(text: &Text) -> Vec<(&'static str, String)> {
    let mut all = Vec::new();
    for (i, line) in text.lines.iter().enumerate() {
        for cell in &line.cells {
            if cell.end < line.span.end {
                all.push(("a separator is missing", text.put(cell.end..cell.end + 1, "")));
            }
            all.push(("a separator too many", text.insert(cell.start, ",")));
            all.push(("a mark before a cell", text.insert(cell.start, "\"")));
            all.push(("a mark behind a cell", text.insert(cell.end, "\"")));
            let middle = cell.start + (cell.end - cell.start) / 2;
            if middle > cell.start && text.text.is_char_boundary(middle) {
                all.push(("a mark in a cell", text.insert(middle, "\"")));
            }
            let quoted = text.text[cell.clone()].starts_with('"');
            if middle > cell.start && text.text.is_char_boundary(middle) && !quoted {
                // In a quoted cell it is a part of the text (RFC 4180, 2.6).
                all.push(("a line end in a cell", text.insert(middle, "\n")));
            }
            if quoted {
                all.push(("a mark is not closed", text.put(cell.end - 1..cell.end, "")));
                all.push(("a mark is not opened", text.put(cell.start..cell.start + 1, "")));
                all.push(("marks are missing", text.put(cell.clone(), &text.text[cell.start + 1..cell.end - 1])));
            }
        }
        all.push(("a separator too many", text.insert(line.span.end, ",")));
        for between in [";", "\t", "|", ", ", " "] {
            all.push(("a row with another separator", text.put(line.span.clone(), &text.joined(i, between))));
        }
        let single = format!("'{}'", text.joined(i, "','"));
        all.push(("a row with other marks", text.put(line.span.clone(), &single)));
        if i + 1 < text.lines.len() {
            all.push(("a line end is missing", text.put(line.span.end..line.next, "")));
        }
    }
    all
}

/// A file spoiled as a whole; `other` is another table of its book.
fn whole(text: &Text, other: &str) -> Vec<Spoiled> {
    let mut all: Vec<Spoiled> = Vec::new();
    let all_rows = |row: &dyn Fn(usize) -> String, end: &str| -> Vec<u8> {
        (0..text.lines.len()).fold(String::new(), |all, i| all + &row(i) + end).into_bytes()
    };
    for between in [";", "\t", "|", " ", "::"] {
        all.push(("other separators", all_rows(&|i| text.joined(i, between), "\n")));
    }
    let marked = |mark: &str, i: usize| {
        let cells: Vec<String> = (0..text.lines[i].cells.len()).map(|c| text.cell(i, c)).collect();
        let inside = |cell: &String| format!("{mark}{}{mark}", cell.replace(mark, &format!("{mark}{mark}")));
        cells.iter().map(inside).collect::<Vec<_>>().join(",")
    };
    all.push(("all in marks", all_rows(&|i| marked("\"", i), "\n")));
    all.push(("other marks", all_rows(&|i| marked("'", i), "\n")));
    for end in ["\r\n", "\r", "\n\n", "\n\r"] {
        all.push(("other line ends", all_rows(&|i| text.joined(i, ","), end)));
    }
    let letters = Letters::Utf16.encoded(&text.text);
    all.push(("other letters", letters[2..].to_vec()));
    all.push(("other letters", letters));
    all.push(("other letters", [b"\xef\xbb\xbf", text.text.as_bytes()].concat()));
    let plain = |before: &str, behind: &str| format!("{before}{}{behind}", text.text).into_bytes();
    for above in
        ["Printed on Monday\n", "Printed on Monday\n\n", "Plant,Worked example\nPrinted,Monday\n\n", "\n\n", ",,,\n"]
    {
        all.push(("rows above", plain(above, "")));
    }
    let (first, rest) = text.text.split_at(text.lines[0].next);
    let blank = ",".repeat(text.lines[0].cells.len() - 1);
    let units = text.lines[0].cells.iter().map(|_| "text").collect::<Vec<_>>().join(",");
    all.push(("several heading rows", plain(first, "")));
    all.push(("several heading rows", format!("{first}{units}\n{rest}").into_bytes()));
    all.push(("several heading rows", format!("group one{blank}\n{first}{rest}").into_bytes()));
    for between in ["", "\n", "\n\nSecond list\n"] {
        all.push(("a second table below", plain("", &format!("{between}{other}"))));
        all.push(("the same table below", plain("", &format!("{between}{}", text.text))));
    }
    all.push(("no headings", rest.as_bytes().to_vec()));
    all.push(("no rows", first.as_bytes().to_vec()));
    all.push(("nothing", Vec::new()));
    all.push(("nothing but blanks", format!("\n\n{blank}\n").into_bytes()));
    all.push(("no line end at the end", text.text.trim_end().as_bytes().to_vec()));
    all.push(("blank rows at the end", plain("", &format!("\n{blank}\n\n"))));
    // Cut off between two rows it is the file of a smaller plant, and nobody can see that it was longer.
    for piece in 1..12 {
        let at = text.text.len() * piece / 12;
        if text.text.is_char_boundary(at) && !text.text[..at].ends_with('\n') {
            all.push(("cut off", text.text.as_bytes()[..at].to_vec()));
        }
    }
    all
}

/// How often each class ended in which way.
#[derive(Default)]
struct Counts {
    by_class: BTreeMap<&'static str, [usize; 3]>,
    wrong: String,
}

impl Counts {
    fn take(&mut self, class: &'static str, file: &str, bytes: &[u8], outcome: &Outcome) {
        let counts = self.by_class.entry(class).or_default();
        match outcome {
            Outcome::Told | Outcome::Refused(_) => counts[0] += 1,
            Outcome::Same => counts[1] += 1,
            Outcome::Silent | Outcome::Elsewhere(_) => {
                counts[2] += 1;
                let _ = write!(self.wrong, "== {class}, {file}: {outcome:?}\n{}\n", String::from_utf8_lossy(bytes));
            }
        }
    }

    fn all(&self) -> [usize; 3] {
        self.by_class.values().fold([0; 3], |all, counts| [0, 1, 2].map(|i| all[i] + counts[i]))
    }
}

/// Every class in every file, and row by row: the plan is the same, or something is said of that very file.
#[test]
fn no_class_of_the_benchmark_is_planned_otherwise_in_silence() {
    let mut counts = Counts::default();
    for example in ["planner", "shops", "buyer"] {
        let sound = Sound::new(&super::super::examples::folder(example).join("book"));
        for (i, (file, bytes)) in sound.files.iter().enumerate() {
            let text = Text::new(Letters::Utf8.decoded(bytes), ',');
            let other = Letters::Utf8.decoded(&sound.files[(i + 1) % sound.files.len()].1);
            let spoiled = rows(&text).into_iter().map(|(class, text)| (class, text.into_bytes()));
            for (class, bytes) in spoiled.chain(whole(&text, &other)) {
                let outcome = sound.with(file, &bytes, |place| *place.file == **file);
                counts.take(class, file, &bytes, &outcome);
            }
        }
    }
    let [told, same, wrong] = counts.all();
    println!("told {told}, the same plan {same}, silent {wrong}: {:#?}", counts.by_class);
    assert_eq!(wrong, 0, "{:?}\n{}", counts.by_class, counts.wrong);
    assert!(told > 8_000 && same > 500, "{told} told, {same} the same");
}
