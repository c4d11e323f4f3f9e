//! The manifest `lineward.toml`: for each table which file, which sheet, where the headings stand and what they are called.

mod values;
mod ways;

use super::kinds::{BAD_MANIFEST, UNKNOWN_KEY};
use super::layout::{Layout, Ways};
use super::spec::{Table, TableSpec, plain_name};
use super::text::Letters;
use super::{ReadError, guard, text};
use crate::base::{Finding, Findings, Kind, Place, nearest, numbered};
use std::collections::HashMap;
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
    /// How the letters of a text file are kept.
    pub letters: Letters,
    /// Where its headings and rows stand, and how rows become rows of the table.
    pub layout: Layout,
    /// Where in the manifest it stands.
    pub place: Place,
}

/// A manifest.
#[derive(Debug, Default)]
pub struct Manifest {
    /// Its tables, in its order.
    pub entries: Vec<Entry>,
    /// A book that holds the tables which are not named, and where the manifest says so.
    pub rest: Option<(PathBuf, Place)>,
    /// What holds for all tables.
    pub ways: Ways,
}

/// The keys at the top, besides the tables.
const TOP: [&str; 2] = ["outside", "rest"];
/// The keys of a table, besides those about how files are written.
const OWN: [&str; 10] =
    ["file", "sheet", "headings", "columns", "fixed", "leave out", "keep only", "end at", "as above", "level"];

struct Reader<'a> {
    /// Where its lines end.
    line_ends: Vec<usize>,
    file: Arc<str>,
    findings: &'a mut Findings,
}

/// Reads a manifest.
pub fn read(path: &Path, findings: &mut Findings) -> Result<Manifest, ReadError> {
    let text = read_text(path)?;
    let line_ends = text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n').map(|(at, _)| at).collect();
    let mut reader = Reader { line_ends, file: super::file_name(path), findings };
    let top = match DeTable::parse(&text) {
        Ok(top) => top,
        Err(why) => {
            let span = why.span().unwrap_or_default();
            // In double quotes a stroke begins an escape, as in a path of Windows.
            let line = text[..span.start.min(text.len())].rsplit('\n').next().unwrap_or_default().len();
            let line = text[span.start.min(text.len()) - line..].lines().next().unwrap_or_default();
            let hint = match line.contains('\\') {
                true => "; write a path with / between its pieces, or in single quotes: 'C:\\exports\\bom.csv'",
                false => "",
            };
            reader.report(&BAD_MANIFEST, span, "", &format!("{}{hint}", why.message()));
            return Ok(Manifest::default());
        }
    };
    let folder = path.parent().unwrap_or(Path::new(""));
    Ok(reader.manifest(top.get_ref(), folder))
}

/// The text of a manifest.
fn read_text(path: &Path) -> Result<String, ReadError> {
    let bytes = guard::bytes(path)?;
    let read = text::of_file(&bytes, Letters::Utf8, path)?;
    if read.spoiled {
        return Err(ReadError::new(path, "it is not in UTF-8"));
    }
    Ok(read.text.into_owned())
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
        let mut first_of: HashMap<String, &Key<'_>> = HashMap::new();
        for key in keys {
            let first = *first_of.entry(plain_name(key.get_ref())).or_insert(key);
            if first.span() != key.span() {
                let row = self.place(&first.span(), "").row;
                let message =
                    format!("it means the same as {} in row {row}; which of the two counts?", first.get_ref());
                self.report(&BAD_MANIFEST, key.span(), key.get_ref(), &message);
            }
        }
    }

    fn manifest(&mut self, top: &DeTable<'_>, folder: &Path) -> Manifest {
        self.twice(top);
        let mut ways = Ways::default();
        let mut outside = false;
        for (key, value) in top {
            match plain_name(key.get_ref()).as_str() {
                "outside" => outside = self.truth(key, value).unwrap_or_default(),
                _ => {
                    self.way(key, value, None, &mut ways);
                }
            }
        }
        let mut manifest = Manifest { ways, ..Manifest::default() };
        for (key, value) in top {
            let plain = plain_name(key.get_ref());
            match Table::named(key.get_ref()) {
                _ if plain == "rest" => {
                    let rest = self.text_of(key, value).and_then(|file| self.path(key, &file, folder, outside));
                    manifest.rest = rest.map(|rest| (rest, self.place(&key.span(), key.get_ref())));
                }
                Some(spec) => {
                    let entry = self.entry(key, value, spec, (folder, outside), &manifest.ways);
                    manifest.entries.extend(entry);
                }
                None if plain == "outside" || ways::is_way(&plain) => {}
                None => {
                    let known = TOP.into_iter().chain(ways::KEYS).chain(Table::all().map(|spec| spec.name));
                    self.unknown(key, known);
                }
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
        (folder, outside): (&Path, bool),
        ways: &Ways,
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
        let mut ways = ways.clone();
        let mut layout = Layout::default();
        let (mut file, mut sheet) = (None, None);
        for (key, value) in own {
            match plain_name(key.get_ref()).as_str() {
                "file" => file = self.text_of(key, value).and_then(|name| self.path(key, &name, folder, outside)),
                "sheet" => sheet = self.text_of(key, value),
                "headings" => layout.headings = self.row(key, value),
                "columns" => layout.names = self.columns(key, value, spec),
                "fixed" => layout.fixed = self.columns(key, value, spec),
                "leaveout" => layout.leave_out = self.filters(key, value),
                "keeponly" => layout.keep_only = self.filters(key, value),
                "endat" => layout.end_at = self.filters(key, value),
                "asabove" => layout.as_above = self.words(key, value),
                "level" if spec.table == Table::Bills => layout.level = self.text_of(key, value),
                _ if self.way(key, value, Some(spec), &mut ways) => {}
                _ => self.unknown(key, OWN.into_iter().chain(ways::KEYS)),
            }
        }
        let Some(file) = file else {
            if !own.keys().any(|key| plain_name(key.get_ref()) == "file") {
                self.report(&BAD_MANIFEST, key.span(), key.get_ref(), "this section names no file");
            }
            return None;
        };
        let place = Place { table: spec.name, ..self.place(&key.span(), key.get_ref()) };
        self.clashes(key, spec, &layout);
        let layout = Layout { forms: ways.forms, words: ways.words, ..layout };
        Some(Entry { spec, file, sheet, separator: ways.separator, letters: ways.letters, layout, place })
    }
    /// Reports what a section says twice, and differently.
    fn clashes(&mut self, key: &Key<'_>, spec: &TableSpec, layout: &Layout) {
        let columns = layout.names.iter().filter(|(name, _)| layout.fixed.iter().any(|(fixed, _)| fixed == name));
        let mut told: Vec<String> = columns
            .map(|(name, _)| format!("'{name}' has a heading and a fixed value; which of the two counts?"))
            .collect();
        let parent = layout.names.iter().chain(&layout.fixed).any(|(name, _)| *name == "parent");
        if parent && spec.table == Table::Bills && layout.level.is_some() {
            told.push("with a level, the parent is the part above; which of the two counts?".to_owned());
        }
        told.iter().for_each(|told| self.report(&BAD_MANIFEST, key.span(), key.get_ref(), told));
    }
}
