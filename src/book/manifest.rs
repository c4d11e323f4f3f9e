//! The manifest `lineward.toml`: for each table which file, which sheet, where the headings stand and what they are called.

use super::forms::DateForm;
use super::kinds::{BAD_MANIFEST, OUTSIDE_FOLDER, UNKNOWN_KEY};
use super::layout::Layout;
use super::spec::{Table, TableSpec, plain_name};
use super::{ReadError, guard};
use crate::base::{Finding, Findings, Kind, Place, nearest, numbered};
use std::ops::Range;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Where one table is, and how it is laid out.
#[derive(Debug)]
pub struct Entry {
    /// Which table.
    pub spec: &'static TableSpec,
    /// The file; `*` in its name stands for anything, and the last by name counts.
    pub file: PathBuf,
    /// The sheet, where the file has sheets.
    pub sheet: Option<String>,
    /// The separator of a text file; by its ending where `None`.
    pub separator: Option<u8>,
    /// Whether a text file is in Windows-1252 rather than UTF-8.
    pub windows_1252: bool,
    /// The layout.
    pub layout: Layout,
    /// Where in the manifest it stands.
    pub place: Place,
}

/// A manifest.
#[derive(Debug, Default)]
pub struct Manifest {
    /// Its tables, in its order.
    pub entries: Vec<Entry>,
    /// A book that holds the tables which are not named.
    pub rest: Option<PathBuf>,
}

/// What holds for a table unless it says otherwise.
#[derive(Clone, Default)]
struct Defaults {
    layout: Layout,
    separator: Option<u8>,
    windows_1252: bool,
}

const TOP: [&str; 7] = ["outside", "rest", "decimal", "thousands", "dates", "encoding", "separator"];
const OWN: [&str; 11] = [
    "file",
    "sheet",
    "headings",
    "columns",
    "fixed",
    "leave out",
    "decimal",
    "thousands",
    "dates",
    "encoding",
    "separator",
];

struct Reader<'a> {
    /// Where its lines end.
    line_ends: Vec<usize>,
    file: Arc<str>,
    findings: &'a mut Findings,
}

/// Reads a manifest.
pub fn read(path: &Path, findings: &mut Findings) -> Result<Manifest, ReadError> {
    let text = String::from_utf8(guard::text(path)?).map_err(|_| ReadError::new(path, "it is not in UTF-8"))?;
    let line_ends = text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n').map(|(at, _)| at).collect();
    let mut reader = Reader { line_ends, file: super::file_name(path), findings };
    let top = match DeTable::parse(&text) {
        Ok(top) => top,
        Err(why) => {
            reader.report(&BAD_MANIFEST, why.span().unwrap_or_default(), "", why.message());
            return Ok(Manifest::default());
        }
    };
    let folder = path.parent().unwrap_or(Path::new(""));
    Ok(reader.manifest(top.get_ref(), folder))
}

type Key<'i> = Spanned<std::borrow::Cow<'i, str>>;

impl Reader<'_> {
    fn place(&self, span: &Range<usize>, key: &str) -> Place {
        let row = numbered(self.line_ends.partition_point(|end| *end < span.start)) + 1;
        Place { file: Arc::clone(&self.file), row, column: key.into(), ..Place::default() }
    }

    fn report(&mut self, kind: &'static Kind, span: Range<usize>, key: &str, message: &str) {
        let place = self.place(&span, key);
        self.findings.add(Finding::new(kind, place, "", message));
    }

    fn unknown(&mut self, key: &Key<'_>, known: impl IntoIterator<Item = &'static str>) {
        let place = self.place(&key.span(), key.get_ref());
        let near = nearest(key.get_ref(), known);
        self.findings
            .add(Finding::new(&UNKNOWN_KEY, place, key.get_ref().as_ref(), "this key means nothing here").near(near));
    }

    /// Reports keys that mean the same as one above them.
    fn twice(&mut self, keys: &DeTable<'_>) {
        let mut keys: Vec<&Key<'_>> = keys.keys().collect();
        keys.sort_by_key(|key| key.span().start);
        for (i, key) in keys.iter().enumerate() {
            let same = |other: &&&Key<'_>| plain_name(other.get_ref()) == plain_name(key.get_ref());
            if let Some(first) = keys[..i].iter().find(same) {
                let row = self.place(&first.span(), "").row;
                let message =
                    format!("it means the same as {} in row {row}; which of the two counts?", first.get_ref());
                self.report(&BAD_MANIFEST, key.span(), key.get_ref(), &message);
            }
        }
    }

    fn manifest(&mut self, top: &DeTable<'_>, folder: &Path) -> Manifest {
        self.twice(top);
        let mut defaults = Defaults::default();
        let mut outside = false;
        for (key, value) in top {
            match plain_name(key.get_ref()).as_str() {
                "outside" => outside = self.truth(key, value).unwrap_or_default(),
                _ => {
                    self.form(key, value, &mut defaults);
                }
            }
        }
        let mut manifest = Manifest::default();
        for (key, value) in top {
            let plain = plain_name(key.get_ref());
            match Table::named(key.get_ref()) {
                _ if plain == "rest" => {
                    let rest = self.text_of(key, value).and_then(|file| self.path(key, &file, folder, outside));
                    manifest.rest = rest;
                }
                Some(spec) => manifest.entries.extend(self.entry(key, value, spec, folder, outside, &defaults)),
                None if TOP.contains(&plain.as_str()) => {}
                None => self.unknown(key, TOP.into_iter().chain(Table::all().map(|spec| spec.name))),
            }
        }
        // In the order in which they stand, not in that of their names.
        manifest.entries.sort_by_key(|entry| entry.place.row);
        manifest
    }

    fn entry(
        &mut self,
        key: &Key<'_>,
        value: &Spanned<DeValue<'_>>,
        spec: &'static TableSpec,
        folder: &Path,
        outside: bool,
        defaults: &Defaults,
    ) -> Option<Entry> {
        let DeValue::Table(own) = value.get_ref() else {
            self.report(
                &BAD_MANIFEST,
                key.span(),
                key.get_ref(),
                "expected a section of keys, such as file and columns",
            );
            return None;
        };
        self.twice(own);
        let mut forms = defaults.clone();
        let (mut file, mut sheet) = (None, None);
        for (key, value) in own {
            match plain_name(key.get_ref()).as_str() {
                "file" => file = self.text_of(key, value).and_then(|name| self.path(key, &name, folder, outside)),
                "sheet" => sheet = self.text_of(key, value),
                "headings" => forms.layout.headings = self.row(key, value),
                "columns" => forms.layout.names = self.columns(key, value, spec),
                "fixed" => forms.layout.fixed = self.columns(key, value, spec),
                "leaveout" => forms.layout.leave_out = self.leave_out(key, value),
                _ if self.form(key, value, &mut forms) => {}
                _ => self.unknown(key, OWN),
            }
        }
        let Some(file) = file else {
            if !own.keys().any(|key| plain_name(key.get_ref()) == "file") {
                self.report(&BAD_MANIFEST, key.span(), key.get_ref(), "this section names no file");
            }
            return None;
        };
        let place = Place { table: spec.name, ..self.place(&key.span(), key.get_ref()) };
        let Defaults { layout, separator, windows_1252 } = forms;
        Some(Entry { spec, file, sheet, separator, windows_1252, layout, place })
    }

    /// Takes a key about forms; whether it was one.
    fn form(&mut self, key: &Key<'_>, value: &Spanned<DeValue<'_>>, into: &mut Defaults) -> bool {
        let forms = &mut into.layout.forms;
        match plain_name(key.get_ref()).as_str() {
            "decimal" => {
                if let Some(mark) = self.mark(key, value, &['.', ',']) {
                    forms.decimal = mark;
                }
            }
            "thousands" => forms.thousands = self.mark(key, value, &['.', ',', ' ', '\'']),
            "dates" => {
                let form = self.text_of(key, value).and_then(|text| DateForm::parse(&text));
                if form.is_none() {
                    self.report(
                        &BAD_MANIFEST,
                        key.span(),
                        key.get_ref(),
                        "expected a form such as dd.mm.yyyy or m/d/yyyy",
                    );
                }
                forms.dates = form;
            }
            "separator" => into.separator = self.mark(key, value, &[',', ';', '\t', '|']).map(|mark| mark as u8),
            "encoding" => {
                let name = self.text_of(key, value).map(|name| plain_name(&name)).unwrap_or_default();
                into.windows_1252 = matches!(name.as_str(), "windows1252" | "cp1252");
                if !into.windows_1252 && name != "utf8" {
                    self.report(&BAD_MANIFEST, key.span(), key.get_ref(), "expected utf-8 or windows-1252");
                }
            }
            _ => return false,
        }
        true
    }

    fn text_of(&mut self, key: &Key<'_>, value: &Spanned<DeValue<'_>>) -> Option<String> {
        if let DeValue::String(text) = value.get_ref() {
            return Some(text.to_string());
        }
        self.report(&BAD_MANIFEST, key.span(), key.get_ref(), "expected text in quotation marks");
        None
    }

    fn truth(&mut self, key: &Key<'_>, value: &Spanned<DeValue<'_>>) -> Option<bool> {
        if let DeValue::Boolean(truth) = value.get_ref() {
            return Some(*truth);
        }
        self.report(&BAD_MANIFEST, key.span(), key.get_ref(), "expected true or false");
        None
    }

    fn row(&mut self, key: &Key<'_>, value: &Spanned<DeValue<'_>>) -> Option<u32> {
        let number = match value.get_ref() {
            DeValue::Integer(number) => number.as_str().parse::<u32>().ok().filter(|row| *row > 0),
            _ => None,
        };
        if number.is_none() {
            self.report(&BAD_MANIFEST, key.span(), key.get_ref(), "expected the number of a row, from 1 on");
        }
        number
    }

    fn mark(&mut self, key: &Key<'_>, value: &Spanned<DeValue<'_>>, known: &[char]) -> Option<char> {
        let text = self.text_of(key, value)?;
        let text = if plain_name(&text) == "tab" { "\t" } else { &text };
        let mut letters = text.chars();
        let mark = letters.next().filter(|mark| known.contains(mark) && letters.next().is_none());
        if mark.is_none() {
            let list: Vec<String> = known.iter().map(|mark| format!("{mark:?}")).collect();
            self.report(&BAD_MANIFEST, key.span(), key.get_ref(), &format!("expected one of {}", list.join(", ")));
        }
        mark
    }

    /// Columns of a table with a text for each: its heading, or its fixed value.
    fn columns(
        &mut self,
        key: &Key<'_>,
        value: &Spanned<DeValue<'_>>,
        spec: &'static TableSpec,
    ) -> Vec<(&'static str, String)> {
        let DeValue::Table(pairs) = value.get_ref() else {
            self.report(&BAD_MANIFEST, key.span(), key.get_ref(), "expected a section of columns");
            return Vec::new();
        };
        self.twice(pairs);
        let mut out = Vec::new();
        for (name, value) in pairs {
            match spec.columns().find(|column| plain_name(column) == plain_name(name.get_ref())) {
                Some(column) => out.extend(self.word(name, value).map(|text| (column, text))),
                None => self.unknown(name, spec.columns()),
            }
        }
        out
    }

    /// Text, or a number or a truth as text.
    fn word(&mut self, key: &Key<'_>, value: &Spanned<DeValue<'_>>) -> Option<String> {
        match value.get_ref() {
            DeValue::Integer(number) => Some(number.as_str().to_owned()),
            DeValue::Float(number) => Some(number.as_str().to_owned()),
            DeValue::Boolean(truth) => Some(if *truth { "yes" } else { "no" }.to_owned()),
            _ => self.text_of(key, value),
        }
    }

    fn leave_out(&mut self, key: &Key<'_>, value: &Spanned<DeValue<'_>>) -> Vec<(String, Vec<String>)> {
        let DeValue::Table(pairs) = value.get_ref() else {
            self.report(&BAD_MANIFEST, key.span(), key.get_ref(), "expected headings with the values to leave out");
            return Vec::new();
        };
        let mut out = Vec::new();
        for (heading, value) in pairs {
            let values = match value.get_ref() {
                DeValue::Array(values) => values.iter().filter_map(|value| self.word(heading, value)).collect(),
                _ => self.word(heading, value).into_iter().collect(),
            };
            out.push((heading.get_ref().to_string(), values));
        }
        out
    }

    /// A path relative to the manifest's folder, and inside it unless the manifest says otherwise.
    fn path(&mut self, key: &Key<'_>, name: &str, folder: &Path, outside: bool) -> Option<PathBuf> {
        let path = Path::new(name);
        let plain = path
            .components()
            .all(|part| matches!(part, std::path::Component::Normal(_) | std::path::Component::CurDir));
        if !plain && !outside {
            self.report(
                &OUTSIDE_FOLDER,
                key.span(),
                key.get_ref(),
                &format!("{name} lies outside the manifest's folder"),
            );
            return None;
        }
        Some(folder.join(path))
    }
}
