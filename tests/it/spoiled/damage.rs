//! Random damage to the text files of three books: cells, rows, separators, quotation marks, headings and letters. Catches damage
//! that nobody is told of, or that is told at the wrong row.
//!
//! Damage is what turns a file into one that nobody would have written: a sign of an error, a letter lost from a code that others
//! name, a cell that moved. A quantity of 3 that becomes 4, another text in a note, a row that is gone whole, or two rows that
//! changed places give a file that somebody may well have written: nobody can see that it was another, and none is made here.

use super::text::{Letters, Text};
use super::{Outcome, Sound};
use crate::support::rounds;
use fastrand::Rng;
use lineward::book::{ColumnSpec, Holds, Table, TableSpec, plain_name};
use std::collections::{BTreeMap, HashSet};
use std::ops::RangeInclusive;
use std::path::{Path, PathBuf};

/// A text file of a sound book.
struct File {
    name: String,
    letters: Letters,
    text: Text,
    spec: &'static TableSpec,
    /// The line of the headings.
    head: usize,
    /// The lines that hold rows.
    rows: RangeInclusive<usize>,
    /// Of each cell of a row the column that it is.
    columns: Vec<Option<&'static ColumnSpec>>,
    /// Whether numbers have a decimal comma.
    comma: bool,
}

/// A damaged file.
struct Damaged {
    bytes: Vec<u8>,
    /// The rows at which it may be told, as a spreadsheet numbers them; the file as a whole always counts, too.
    rows: RangeInclusive<u32>,
    /// Whether it may be told where the damaged code is named, since it is the code's own row that is damaged.
    far: bool,
}

/// All codes of a book, in lower case.
type Codes = HashSet<String>;

/// Columns whose texts are free: any other text is as good, and nobody can see that it was another.
fn is_free(spec: &TableSpec, column: &ColumnSpec) -> bool {
    let free = [
        "name",
        "description",
        "note",
        "message",
        "reason",
        "supplier",
        "location",
        "wave",
        "purchase order",
        "hold",
        "series",
    ];
    free.contains(&column.name)
        || matches!((spec.table, column.name), (Table::Settings, "value") | (Table::Sequence | Table::Extras, "unit"))
}

/// Columns that hold conditions or lists of codes.
fn is_list(column: &ColumnSpec) -> bool {
    matches!(column.name, "when" | "must" | "adds" | "options")
}

/// Whether the column is the one by which others name the row.
fn defines(spec: &TableSpec, column: &ColumnSpec) -> bool {
    let own = matches!(
        (spec.table, column.name),
        (Table::Conversions, "from" | "to")
            | (Table::Calendar, "calendar")
            | (Table::Stations, "station")
            | (Table::Parts, "part")
            | (Table::Uoms, "uom")
    );
    let first = [Table::Lines, Table::Shops, Table::Floorplans, Table::Options, Table::Groups, Table::Changes];
    own || first.contains(&spec.table) && spec.all[0].name == column.name
}

impl File {
    /// A file of a book that is a folder: its table is its name.
    fn plain(name: &str, bytes: &[u8]) -> Option<Self> {
        let spec = Table::named(name.strip_suffix(".csv")?)?;
        let text = Text::new(Letters::Utf8.decoded(bytes), ',');
        Some(Self::new(name, Letters::Utf8, text, spec, 0, |_| None, false))
    }

    /// A text file that a manifest names.
    fn named(section: (&str, &toml::Value), bytes: &[u8]) -> Option<Self> {
        let (table, keys) = section;
        let name = keys.get("file")?.as_str()?;
        let (letters, separator) = match name.rsplit_once('.')?.1 {
            "csv" => (Letters::Windows1252, ';'),
            "txt" => (Letters::Utf16, '\t'),
            _ => return None,
        };
        let spec = Table::named(table)?;
        let text = Text::new(letters.decoded(bytes), separator);
        let head = keys.get("headings").map_or(1, |row| row.as_integer().expect("a row")) as usize - 1;
        let own = |column: &str| Some(keys.get("columns")?.get(column)?.as_str()?.to_owned());
        Some(Self::new(name, letters, text, spec, head, own, true))
    }

    fn new(
        name: &str,
        letters: Letters,
        text: Text,
        spec: &'static TableSpec,
        head: usize,
        own: impl Fn(&str) -> Option<String>,
        comma: bool,
    ) -> Self {
        let of_heading = |at: usize| {
            let heading = text.cell(head, at);
            let is = |column: &&ColumnSpec| {
                plain_name(&own(column.name).unwrap_or_else(|| column.name.to_owned())) == plain_name(&heading)
            };
            spec.all.iter().find(is)
        };
        let columns = (0..text.lines[head].cells.len()).map(of_heading).collect();
        // A last row that is no row of the table, such as that of a total, has no code that others name.
        let last = (head + 1..text.lines.len()).rev().find(|line| {
            let first = text.cell(*line, 0);
            !first.starts_with("---") && !first.starts_with("Totaal")
        });
        let rows = head + 1..=last.expect("a row");
        Self { name: name.to_owned(), letters, text, spec, head, rows, columns, comma }
    }

    fn row(&self, dice: &mut Rng) -> usize {
        dice.usize(self.rows.clone())
    }

    /// A cell that is not blank, of a column that the table has: its line, its place in it, its column, its text.
    fn cell(
        &self,
        dice: &mut Rng,
        of: impl Fn(&ColumnSpec, &str) -> bool,
    ) -> Option<(usize, usize, &'static ColumnSpec, String)> {
        for _ in 0..60 {
            let (line, at) = (self.row(dice), dice.usize(0..self.columns.len()));
            let Some(column) = self.columns[at] else { continue };
            let text = self.text.cell(line, at);
            // The rows of an indented bill that stand for what is built have a code and no more.
            let top = self.name.ends_with(".txt") && self.text.cell(line, 0) == "0";
            // What a finished unit had is asked by the scale alone, and `weigh` says where its order is wrong.
            let done = self.columns.iter().position(|column| column.is_some_and(|column| column.name == "done"));
            let finished = column.name == "options" && done.is_some_and(|done| !self.text.cell(line, done).is_empty());
            if !text.is_empty() && !top && !finished && of(column, &text) {
                return Some((line, at, column, text));
            }
        }
        None
    }

    fn quoted(&self, text: &str) -> String {
        if text.contains([self.text.separator, '"', '\n']) {
            format!("\"{}\"", text.replace('"', "\"\""))
        } else {
            text.to_owned()
        }
    }

    /// The file with a text in place of a cell's, told in that row.
    fn put(&self, line: usize, at: usize, text: &str) -> Damaged {
        self.at(line, self.text.put(self.text.lines[line].cells[at].clone(), &self.quoted(text)))
    }

    /// A damaged text that is told in a row, or the one behind it.
    fn at(&self, line: usize, text: String) -> Damaged {
        let row = self.text.lines[line].number;
        self.bytes(row..=row + 1, self.letters.encoded(&text))
    }

    fn bytes(&self, rows: RangeInclusive<u32>, bytes: Vec<u8>) -> Damaged {
        Damaged { bytes, rows, far: false }
    }

    /// A damage of the file as a whole.
    fn whole(&self, bytes: Vec<u8>) -> Damaged {
        self.bytes(0..=u32::MAX, bytes)
    }
}

type Class = (&'static str, fn(&File, &Codes, &mut Rng) -> Option<Damaged>);

const CLASSES: [Class; 41] = [
    ("a sign of an error", |file, _, dice| {
        let (line, at, ..) = file.cell(dice, |_, _| true)?;
        Some(file.put(line, at, dice.choice(["#REF!", "#N/A", "#VALUE!", "#DIV/0!", "########", "#NAAM?", "Err:502"])?))
    }),
    ("no number", |file, _, dice| {
        let (line, at, _, text) = file.cell(dice, |column, _| column.holds == Holds::Number)?;
        let last = text.chars().last()?;
        let spoiled = match dice.u8(0..10) {
            0 => "?".to_owned(),
            1 => format!("{text} st"),
            2 => format!("{text}O"),
            3 => format!("l{text}"),
            4 => format!("{text}-"),
            5 => format!("{text}..{last}"),
            6 => "1E+05x".to_owned(),
            7 => format!("~{text}"),
            8 => format!("{text} of {text}"),
            _ => "½".to_owned(),
        };
        Some(file.put(line, at, &spoiled))
    }),
    ("another decimal mark", |file, _, dice| {
        let (own, other) = if file.comma { (",", ".") } else { (".", ",") };
        let few = |text: &str| text.rsplit_once(own).is_some_and(|(_, decimals)| decimals.len() < 3);
        let (line, at, _, text) = file.cell(dice, |column, text| column.holds == Holds::Number && few(text))?;
        Some(file.put(line, at, &text.replace(other, "").replace(own, other)))
    }),
    ("a minus", |file, _, dice| {
        let (line, at, _, text) =
            file.cell(dice, |column, text| column.holds == Holds::Number && !text.starts_with(['-', '0']))?;
        Some(file.put(line, at, &format!("-{text}")))
    }),
    ("no date", |file, _, dice| {
        let (line, at, ..) = file.cell(dice, |column, _| matches!(column.holds, Holds::Date | Holds::Moment))?;
        let spoiled = ["2027-13-14", "14.9", "9/14/27", "46644", "tomorrow", "2027-09-31", "wk 38", "2027-09-14Z"];
        Some(file.put(line, at, dice.choice(spoiled)?))
    }),
    ("no time", |file, _, dice| {
        let (line, at, ..) = file.cell(dice, |column, _| column.holds == Holds::Time)?;
        Some(file.put(line, at, dice.choice(["25:00", "6 PM", "0600", "06:60", "noon", "0.25", "06:00 uur"])?))
    }),
    ("no word of the list", |file, _, dice| {
        let (line, at, _, text) = file.cell(dice, |column, _| matches!(column.holds, Holds::Words(_)))?;
        Some(file.put(line, at, &format!("{text}?")))
    }),
    ("a needed cell is blank", |file, _, dice| {
        let (line, at, ..) = file.cell(dice, |column, _| column.needed)?;
        Some(file.put(line, at, ""))
    }),
    ("a letter of a code", |file, codes, dice| {
        let known =
            |column: &ColumnSpec| column.holds == Holds::Text && !is_free(file.spec, column) && !is_list(column);
        let (line, at, column, text) = file.cell(dice, |column, text| known(column) && text != "*")?;
        let mut letters: Vec<char> = text.chars().collect();
        let i = dice.usize(0..letters.len());
        match dice.u8(0..4) {
            0 if letters.len() > 1 => drop(letters.remove(i)),
            1 => letters.insert(i, letters[i]),
            2 if i > 0 => letters.swap(i - 1, i),
            _ => letters[i] = if letters[i] == '0' { 'O' } else { '1' },
        }
        let spoiled: String = letters.into_iter().collect();
        // What happens to be another code, or the same, nobody can see.
        let fold = |text: &str| text.trim().to_lowercase();
        if codes.contains(&fold(&spoiled)) || fold(&spoiled) == fold(&text) || fold(&spoiled).is_empty() {
            return None;
        }
        Some(Damaged { far: defines(file.spec, column), ..file.put(line, at, &spoiled) })
    }),
    ("a letter in a condition", |file, codes, dice| {
        let (line, at, _, text) = file.cell(dice, |column, _| is_list(column))?;
        let spoiled = format!("{text}X");
        let last = spoiled.rsplit([' ', ',', ';', '(', '-', '"']).next()?.to_lowercase();
        (!codes.contains(&last)).then(|| file.put(line, at, &spoiled))
    }),
    ("a code taken for a number or a date", |file, codes, dice| {
        let looks = |text: &str| {
            let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
            digits(text) && text.starts_with('0') || text.split_once('-').is_some_and(|(a, b)| digits(a) && digits(b))
        };
        let (line, at, column, text) =
            file.cell(dice, |column, text| column.holds == Holds::Text && !is_free(file.spec, column) && looks(text))?;
        let spoiled = match text.split_once('-') {
            Some((day, month)) => format!("2027-{month:0>2}-{day:0>2}"),
            None => text.trim_start_matches('0').to_owned(),
        };
        // The manifest says what these were.
        let meant = file.name.ends_with(".ods") || codes.contains(&spoiled);
        (!meant).then(|| Damaged { far: defines(file.spec, column), ..file.put(line, at, &spoiled) })
    }),
    ("a sign that is none", |file, _, dice| {
        let (line, at, column, text) = file.cell(dice, |_, _| true)?;
        let signs: &[&str] = if file.letters == Letters::Windows1252 {
            &["\u{1}", "\u{7}", "\u{ad}"]
        } else {
            &["\u{fffd}", "\u{1}", "\u{7}", "\u{ffff}", "\u{200b}", "\u{ad}", "\u{feff}"]
        };
        Some(Damaged {
            far: defines(file.spec, column),
            ..file.put(line, at, &format!("{text}{}", dice.choice(signs)?))
        })
    }),
    ("letters read in two ways", |file, _, dice| {
        let (line, at, _, text) = file.cell(dice, |_, text| !text.is_ascii())?;
        let spoiled = Letters::Windows1252.decoded(text.as_bytes());
        Some(file.put(line, at, &spoiled))
    }),
    ("a code that is a text", |file, _, dice| {
        let known =
            |column: &ColumnSpec| column.holds == Holds::Text && !is_free(file.spec, column) && !is_list(column);
        let (line, at, column, text) = file.cell(dice, |column, _| known(column))?;
        let long = format!("{text} {}", "see the note on the board ".repeat(6));
        Some(Damaged { far: defines(file.spec, column), ..file.put(line, at, &long) })
    }),
    ("blanks around a cell", |file, _, dice| {
        let (line, at, _, text) = file.cell(dice, |_, _| true)?;
        Some(file.put(line, at, &format!(" {text}\u{a0} ")))
    }),
    ("a row twice", |file, _, dice| {
        let line = file.row(dice);
        Some(file.at(line, file.text.insert(file.text.lines[line].next, file.text.whole(line))))
    }),
    ("a row of dashes", |file, _, dice| {
        // The manifest says that this list ends at dashes.
        let line = Some(file.row(dice)).filter(|_| file.name != "boottypen.csv")?;
        let cells = dice.usize(1..=file.columns.len());
        let row: Vec<&str> = (0..file.columns.len()).map(|i| if i < cells { "-----" } else { "" }).collect();
        let row = row.join(&file.text.separator.to_string()) + "\n";
        Some(file.at(line, file.text.insert(file.text.lines[line].span.start, &row)))
    }),
    ("a row with a total", |file, _, dice| {
        let last = *file.rows.end();
        let number = |column: &Option<&ColumnSpec>| column.is_some_and(|column| column.holds == Holds::Number);
        let mut row: Vec<&str> = file.columns.iter().map(|column| if number(column) { "12" } else { "" }).collect();
        row[0] = dice.choice(["Total", "Sum", "Grand total:"])?;
        let row = row.join(&file.text.separator.to_string()) + "\n";
        let damaged = file.at(last, file.text.insert(file.text.lines[last].next, &row));
        Some(damaged)
    }),
    ("the headings again", |file, _, dice| {
        let line = file.row(dice);
        Some(file.at(line, file.text.insert(file.text.lines[line].span.start, file.text.whole(file.head))))
    }),
    ("a row of one cell", |file, _, dice| {
        let line = file.row(dice);
        let text = dice.choice(["page 2 of 4\n", "continued\n", "checked by the stores\n", "x\n"])?;
        Some(file.at(line, file.text.insert(file.text.lines[line].span.start, text)))
    }),
    ("a blank row", |file, _, dice| {
        let line = file.row(dice);
        let blank = file.text.separator.to_string().repeat(dice.usize(0..file.columns.len())) + "\n";
        Some(file.at(line, file.text.insert(file.text.lines[line].span.start, &blank)))
    }),
    ("a row cut short", |file, _, dice| {
        let line = file.row(dice);
        let cells = &file.text.lines[line].cells;
        let from = cells[dice.usize(0..cells.len() - 1)].end;
        // Of a row in which nothing is left nobody can see that it was there.
        let left = file.text.text[cells[0].start..from].trim_matches(file.text.separator);
        (!left.is_empty()).then(|| file.at(line, file.text.put(from..file.text.lines[line].span.end, "")))
    }),
    ("two rows in one", |file, _, dice| {
        let line = file.row(dice);
        (line < *file.rows.end())
            .then(|| file.at(line, file.text.put(file.text.lines[line].span.end..file.text.lines[line].next, "")))
    }),
    ("one row in two", |file, _, dice| {
        let line = file.row(dice);
        let cells = &file.text.lines[line].cells;
        let at = cells[dice.usize(0..cells.len() - 1)].end;
        Some(file.at(line, file.text.put(at..at + 1, "\n")))
    }),
    ("a separator is missing", |file, _, dice| {
        let line = file.row(dice);
        let cells = &file.text.lines[line].cells;
        let at = cells[dice.usize(0..cells.len() - 1)].end;
        Some(file.at(line, file.text.put(at..at + 1, "")))
    }),
    ("a separator too many", |file, _, dice| {
        let line = file.row(dice);
        let cell = dice.choice(&file.text.lines[line].cells)?;
        let at = (cell.start..=cell.end).filter(|at| file.text.text.is_char_boundary(*at)).nth(dice.usize(0..3))?;
        Some(file.at(line, file.text.insert(at, &file.text.separator.to_string())))
    }),
    ("a row with another separator", |file, _, dice| {
        let line = file.row(dice);
        let other = *dice.choice(
            [",", ";", "\t", "|", "  "].iter().filter(|other| !other.contains(file.text.separator)).collect::<Vec<_>>(),
        )?;
        Some(file.at(line, file.text.put(file.text.lines[line].span.clone(), &file.text.joined(line, other))))
    }),
    ("a stray mark", |file, _, dice| {
        let line = file.row(dice);
        let cells = &file.text.lines[line].cells;
        let at = dice.usize(0..cells.len());
        let text = &file.text.text;
        let places: Vec<usize> = (cells[at].start..=cells[at].end).filter(|at| text.is_char_boundary(*at)).collect();
        let place = *dice.choice(&places)?;
        // Behind a digit, in a text for people, it stands for inches, and nobody can see that it does not.
        let people = ["name", "description", "note", "message", "reason", "hold"];
        let inches = text[cells[at].start..place].ends_with(|sign: char| sign.is_ascii_digit())
            && file.columns.get(at).copied().flatten().is_some_and(|column| people.contains(&column.name));
        (!inches).then(|| file.at(line, file.text.insert(place, "\"")))
    }),
    ("a mark is missing", |file, _, dice| {
        let quoted = |line: &usize| {
            file.text.lines[*line].cells.iter().any(|cell| file.text.text[cell.clone()].starts_with('"'))
        };
        let line = dice.choice(file.rows.clone().filter(quoted).collect::<Vec<_>>())?;
        let cell = file.text.lines[line].cells.iter().find(|cell| file.text.text[(*cell).clone()].starts_with('"'))?;
        let at = if dice.bool() { cell.start } else { cell.end - 1 };
        Some(file.at(line, file.text.put(at..at + 1, "")))
    }),
    ("a heading with a letter less", |file, _, dice| {
        let (at, heading) = heading(file, dice)?;
        let mut letters: Vec<char> = heading.chars().collect();
        letters.remove(dice.usize(0..letters.len()));
        let spoiled: String = letters.iter().collect();
        (plain_name(&spoiled) != plain_name(&heading)).then(|| file.put(file.head, at, &spoiled))
    }),
    ("a heading is blank", |file, _, dice| {
        // Told at the first cell that is not read for it.
        let (at, _) = heading(file, dice)?;
        Some(file.whole(file.put(file.head, at, "").bytes))
    }),
    ("a heading twice", |file, _, dice| {
        let ((at, heading), (other, _)) = (heading(file, dice)?, heading(file, dice)?);
        (at != other).then(|| file.put(file.head, other, &heading))
    }),
    ("a heading written otherwise", |file, _, dice| {
        let (at, heading) = heading(file, dice)?;
        Some(file.put(file.head, at, &format!(" {} ", heading.to_uppercase().replace(' ', "_"))))
    }),
    ("no headings", |file, _, _| {
        let line = &file.text.lines[file.head];
        Some(file.at(file.head, file.text.put(line.span.start..line.next, "")))
    }),
    ("cut off", |file, _, dice| {
        let line = file.row(dice);
        let span = &file.text.lines[line].span;
        let ends: Vec<usize> = (span.start + 1..=span.end).filter(|at| file.text.text.is_char_boundary(*at)).collect();
        let cut = file.letters.encoded(&file.text.text[..*dice.choice(&ends)?]);
        Some(file.bytes(file.text.lines[line].number..=file.text.lines[line].number, cut))
    }),
    ("zeros", |file, _, dice| {
        let mut bytes = file.letters.encoded(&file.text.text);
        let from = dice.usize(bytes.len() / 2..bytes.len());
        let length = bytes.len() - from;
        bytes[from..].fill(0);
        (length > 2).then(|| file.whole(bytes))
    }),
    ("other letters", |file, _, dice| {
        let other = [Letters::Utf8, Letters::Windows1252, Letters::Utf16];
        let other = *dice.choice(other.iter().filter(|other| **other != file.letters).collect::<Vec<_>>())?;
        Some(file.whole(other.encoded(&file.text.text)))
    }),
    ("letters without their mark", |file, _, _| {
        Some(file.whole(Letters::Utf16.encoded(&file.text.text)[2..].to_vec()))
    }),
    ("no rows", |file, _, _| {
        Some(file.whole(file.letters.encoded(&file.text.text[..file.text.lines[file.head].next])))
    }),
    ("twice in one file", |file, _, _| Some(file.whole(file.letters.encoded(&format!("{0}{0}", file.text.text))))),
    ("other line ends", |file, _, dice| {
        let rows = file.text.text.replace("\r\n", "\n");
        let ends = *dice.choice(&["\r", "\r\n", "\n\n", "\n"])?;
        Some(file.whole(file.letters.encoded(&rows.replace('\n', ends))))
    }),
];

/// A heading of a column that holds something: its place and text.
fn heading(file: &File, dice: &mut Rng) -> Option<(usize, String)> {
    let at = dice.usize(0..file.columns.len());
    let filled = file.rows.clone().any(|line| !file.text.cell(line, at).is_empty());
    (file.columns[at].is_some() && filled).then(|| (at, file.text.cell(file.head, at)))
}

fn codes(files: &[File]) -> Codes {
    // Units of measure that the law knows are codes, too.
    let mut codes: Codes =
        ["mm", "cm", "m", "in", "ft", "g", "kg", "oz", "lb", "l", "ml", "ea", "pr"].map(str::to_owned).into();
    for file in files {
        for line in file.rows.clone() {
            for (at, column) in
                file.columns.iter().enumerate().filter(|(at, _)| *at < file.text.lines[line].cells.len())
            {
                if column.is_some_and(|column| column.holds == Holds::Text) {
                    codes.insert(file.text.cell(line, at).trim().to_lowercase());
                }
            }
        }
    }
    codes
}

fn at(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

/// How often each class ended in which way, and what is wrong.
#[derive(Default)]
struct Counts {
    told: usize,
    same: usize,
    by_class: BTreeMap<&'static str, usize>,
    wrong: BTreeMap<String, Vec<String>>,
}

/// Spoils a book so many times.
fn hunt(folder: &str, times: u64, seed: u64) -> Counts {
    let sound = Sound::new(&at(folder));
    let manifest = sound.files.iter().find(|(name, _)| name == "lineward.toml");
    let files: Vec<File> = match manifest {
        None => sound.files.iter().filter_map(|(name, bytes)| File::plain(name, bytes)).collect(),
        Some((_, text)) => {
            let keys: toml::Table = String::from_utf8_lossy(text).parse().expect("a manifest");
            let sections = keys.iter().filter(|(_, section)| section.get("file").is_some());
            let bytes = |section: &toml::Value| sound.bytes(section["file"].as_str().expect("a name"));
            sections.filter_map(|(table, section)| File::named((table, section), bytes(section))).collect()
        }
    };
    let (codes, mut dice, mut counts) = (codes(&files), Rng::with_seed(seed), Counts::default());
    let mut made = 0;
    while made < times {
        let (file, (class, damage)) = (dice.choice(&files).expect("a file"), dice.choice(&CLASSES).expect("a class"));
        let Some(damaged) = damage(file, &codes, &mut dice) else { continue };
        made += 1;
        *counts.by_class.entry(class).or_default() += 1;
        let heads = file.text.lines[file.head].number;
        let there = |place: &lineward::base::Place| {
            *place.file == *file.name && (place.row == 0 || place.row == heads || damaged.rows.contains(&place.row))
        };
        match sound.with(&file.name, &damaged.bytes, there) {
            Outcome::Told => counts.told += 1,
            Outcome::Same => counts.same += 1,
            Outcome::Refused(_) | Outcome::Elsewhere(_) if damaged.far => counts.told += 1,
            outcome => {
                let shown =
                    format!("{} row {}: {outcome:?}: {}", file.name, damaged.rows.start(), changed(file, &damaged));
                counts.wrong.entry(format!("{class}, {folder}")).or_default().push(shown);
            }
        }
    }
    counts
}

/// The first rows that the damage changed, for a failure.
fn changed(file: &File, damaged: &Damaged) -> String {
    let text = match file.letters {
        Letters::Utf8 => String::from_utf8_lossy(&damaged.bytes).into_owned(),
        Letters::Windows1252 => encoding_rs::WINDOWS_1252.decode(&damaged.bytes).0.into_owned(),
        Letters::Utf16 => encoding_rs::UTF_16LE.decode(&damaged.bytes).0.into_owned(),
    };
    let mut sound = file.text.text.lines();
    text.lines().find(|line| sound.next() != Some(line)).unwrap_or_default().to_owned()
}

/// A third each of the yard in clean form, the yard as its systems export it, and the demo.
#[test]
fn damage_is_told_where_it_is() {
    let times = rounds(100);
    let seed = std::env::var("SEED").ok().and_then(|seed| seed.parse::<u64>().ok()).unwrap_or_default();
    let books = ["tests/files/second-plant/clean", "tests/files/second-plant/exports", "data/alder-fen"];
    let counts: Vec<Counts> = books.iter().map(|book| hunt(book, times, seed)).collect();
    let (told, same) = counts.iter().fold((0, 0), |(told, same), counts| (told + counts.told, same + counts.same));
    let wrong: BTreeMap<&String, &Vec<String>> = counts.iter().flat_map(|counts| &counts.wrong).collect();
    println!("told {told}, the same plan {same}");
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert!(told as u64 > times && same > 0);
}
