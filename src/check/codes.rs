//! Lists of codes: what is defined where, so that a second definition and an unknown code are told at their cells.

use super::kinds::{CODE_TWICE, NAME_CLASH};
use super::misread::Misread;
use crate::base::{Kind, NameId, Place, fold, folded, nearest, numbered};
use crate::book::{BookColumn, Cells};
use foldhash::fast::FixedState;
use std::collections::HashMap;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicU32, Ordering};

/// Codes of one kind of thing, numbered in order of definition.
#[derive(Debug, Default)]
pub struct Codes {
    index: HashMap<String, u32, FixedState>,
    /// The codes as first defined.
    pub shown: Vec<String>,
    /// Set where the table itself is missing: then nothing is reported as unknown.
    pub table_missing: bool,
    misread: OnceLock<Misread>,
    suggested: AtomicU32,
}

/// How many codes that were probably meant are looked for: where more are wrong, it is not a slip of the pen.
const MOST_SUGGESTED: u32 = 500;

impl Codes {
    /// All of them as first written, by id.
    pub fn shown(&self) -> &[String] {
        &self.shown
    }

    /// A list whose table may be missing.
    pub fn new(table_missing: bool) -> Self {
        Self { table_missing, ..Self::default() }
    }

    /// Adds a code; its number, new or as before.
    pub fn add(&mut self, code: &str) -> u32 {
        let next = numbered(self.shown.len());
        let id = *self.index.entry(fold(code)).or_insert(next);
        if id == next {
            self.misread.take();
            self.shown.push(code.to_owned());
        }
        id
    }

    /// The number of a code.
    pub fn find(&self, code: &str) -> Option<u32> {
        folded(code, |code| self.index.get(code).copied())
    }

    /// The number of the code in a cell; reports one that is not there. `None` where blank or unknown.
    pub fn refer(&self, cells: &mut Cells<'_>, column: BookColumn, kind: &'static Kind, what: &str) -> Option<u32> {
        let text = cells.text(column);
        if text.is_empty() {
            return None;
        }
        let found = self.find(text);
        if found.is_none() && !self.table_missing {
            match self.misread(text) {
                Some((code, why)) => cells.report_near(kind, column, format!("no such {what}; {why}"), Some(code)),
                None => cells.report_near(kind, column, format!("no such {what}"), self.near(text)),
            }
        }
        found
    }

    /// The same for a cell that must not be blank.
    pub fn refer_needed(
        &self,
        cells: &mut Cells<'_>,
        column: BookColumn,
        kind: &'static Kind,
        what: &str,
    ) -> Option<u32> {
        cells.code(column)?;
        self.refer(cells, column, kind, what)
    }

    /// The code that a text was before a spreadsheet took it for a number or a date, and how.
    pub fn misread(&self, text: &str) -> Option<(&str, &'static str)> {
        let misread = self.misread.get_or_init(|| Misread::of(self.shown.iter().map(String::as_str)));
        misread.find(text).map(|(id, why)| (self.shown[id as usize].as_str(), why))
    }

    /// The code that was probably meant.
    pub fn near(&self, text: &str) -> Option<&str> {
        self.near_among(text, self.shown.len())
    }

    /// The same among the first so many.
    fn near_among(&self, text: &str, first: usize) -> Option<&str> {
        if self.suggested.fetch_add(1, Ordering::Relaxed) >= MOST_SUGGESTED {
            return None;
        }
        nearest(text, self.shown[..first.min(self.shown.len())].iter().map(String::as_str))
    }

    /// Forgets how many codes were looked for.
    pub fn suggest_afresh(&self) {
        self.suggested.store(0, Ordering::Relaxed);
    }

    /// Renumbers the codes in order of their lower-case form; gives the new number of each old one.
    pub fn sort(&mut self) -> Vec<u32> {
        self.misread.take();
        let mut order: Vec<usize> = (0..self.shown.len()).collect();
        order.sort_by_cached_key(|&i| fold(&self.shown[i]));
        let mut renumbered = vec![0; order.len()];
        order.iter().enumerate().for_each(|(new, &old)| renumbered[old] = numbered(new));
        self.shown = order.iter().map(|&old| std::mem::take(&mut self.shown[old])).collect();
        self.index.values_mut().for_each(|id| *id = renumbered[*id as usize]);
        renumbered
    }
}

/// What is defined so far in a list of codes that may be shared by several tables.
#[derive(Debug, Default)]
pub struct Defined(HashMap<String, Place>);

impl Defined {
    /// Takes a definition; reports a second one and gives `false`.
    pub fn take(&mut self, cells: &mut Cells<'_>, column: BookColumn, key: &str) -> bool {
        let place = cells.place(column);
        if let Some(first) = self.0.get(key) {
            cells.report(&CODE_TWICE, column, format!("defined already in {first}"));
            return false;
        }
        self.0.insert(key.to_owned(), place);
        true
    }
}

/// Options, floorplans, series and lines: the names a condition can speak of.
#[derive(Debug, Default)]
pub struct Names {
    codes: Codes,
    kinds: Vec<&'static str>,
}

impl Names {
    /// Takes a name of a kind of thing; reports a clash with another kind and then gives the other's id.
    pub fn take(&mut self, cells: &mut Cells<'_>, column: BookColumn, what: &'static str) -> NameId {
        let text = cells.text(column);
        let id = self.codes.add(text);
        match self.kinds.get(id as usize) {
            None => self.kinds.push(what),
            Some(first) if *first != what => {
                cells.report(
                    &NAME_CLASH,
                    column,
                    format!("a {what} can't have the name of a{} {first}", if *first == "option" { "n" } else { "" }),
                );
            }
            Some(_) => {}
        }
        NameId(id)
    }

    /// The id of a name.
    pub fn find(&self, name: &str) -> Option<NameId> {
        self.codes.find(name).map(NameId)
    }

    /// The name that was probably meant.
    pub fn near(&self, text: &str) -> Option<&str> {
        self.codes.near(text)
    }

    /// The option that was probably meant: options are the first so many.
    pub fn near_among(&self, text: &str, options: usize) -> Option<&str> {
        self.codes.near_among(text, options)
    }

    /// All of them as first written, by id.
    pub fn shown(&self) -> &[String] {
        &self.codes.shown
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.kinds.len()
    }
}
