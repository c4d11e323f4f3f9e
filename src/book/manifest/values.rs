//! The values of a manifest: text, a number, a list of words; what is of another kind is told at its line.

use super::{Key, Reader};
use crate::book::kinds::{BAD_MANIFEST, OUTSIDE_FOLDER};
use crate::book::layout::Filter;
use crate::book::spec::{TableSpec, plain_name};
use std::path::{Path, PathBuf};
use toml::Spanned;
use toml::de::DeValue;

impl Reader<'_> {
    pub(super) fn text_of(&mut self, key: &Key<'_>, value: &Spanned<DeValue<'_>>) -> Option<String> {
        if let DeValue::String(text) = value.get_ref() {
            return Some(text.to_string());
        }
        self.report(&BAD_MANIFEST, key.span(), key.get_ref(), "expected text in quotation marks");
        None
    }

    pub(super) fn truth(&mut self, key: &Key<'_>, value: &Spanned<DeValue<'_>>) -> Option<bool> {
        if let DeValue::Boolean(truth) = value.get_ref() {
            return Some(*truth);
        }
        self.report(&BAD_MANIFEST, key.span(), key.get_ref(), "expected true or false");
        None
    }

    pub(super) fn row(&mut self, key: &Key<'_>, value: &Spanned<DeValue<'_>>) -> Option<u32> {
        let number = match value.get_ref() {
            DeValue::Integer(number) => number.as_str().parse::<u32>().ok().filter(|row| *row > 0),
            _ => None,
        };
        if number.is_none() {
            self.report(&BAD_MANIFEST, key.span(), key.get_ref(), "expected the number of a row, from 1 on");
        }
        number
    }

    pub(super) fn mark(&mut self, key: &Key<'_>, value: &Spanned<DeValue<'_>>, known: &[char]) -> Option<char> {
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
    pub(super) fn columns(
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
    pub(super) fn word(&mut self, key: &Key<'_>, value: &Spanned<DeValue<'_>>) -> Option<String> {
        match value.get_ref() {
            DeValue::Integer(number) => Some(number.as_str().to_owned()),
            DeValue::Float(number) => Some(number.as_str().to_owned()),
            DeValue::Boolean(truth) => Some(if *truth { "yes" } else { "no" }.to_owned()),
            _ => self.text_of(key, value),
        }
    }

    /// A word, or a list of words.
    pub(super) fn words(&mut self, key: &Key<'_>, value: &Spanned<DeValue<'_>>) -> Vec<String> {
        match value.get_ref() {
            DeValue::Array(values) => values.iter().filter_map(|value| self.word(key, value)).collect(),
            _ => self.word(key, value).into_iter().collect(),
        }
    }

    /// Pairs of words.
    pub(super) fn pairs(&mut self, key: &Key<'_>, value: &Spanned<DeValue<'_>>) -> Vec<(String, String)> {
        let DeValue::Table(pairs) = value.get_ref() else {
            self.report(&BAD_MANIFEST, key.span(), key.get_ref(), "expected words with what each means");
            return Vec::new();
        };
        pairs.iter().filter_map(|(own, value)| Some((own.get_ref().to_string(), self.word(own, value)?))).collect()
    }

    /// Rows by what stands in a cell: headings, each with one or more patterns.
    pub(super) fn filters(&mut self, key: &Key<'_>, value: &Spanned<DeValue<'_>>) -> Vec<Filter> {
        let DeValue::Table(pairs) = value.get_ref() else {
            self.report(&BAD_MANIFEST, key.span(), key.get_ref(), "expected headings with what their cells hold");
            return Vec::new();
        };
        self.twice(pairs);
        let filter = |(heading, value): (&Key<'_>, &Spanned<DeValue<'_>>)| Filter {
            heading: heading.get_ref().to_string(),
            patterns: self.words(heading, value),
        };
        pairs.iter().map(filter).collect()
    }

    /// A path relative to the manifest's folder, and inside it unless the manifest says otherwise.
    pub(super) fn path(&mut self, key: &Key<'_>, name: &str, folder: &Path, outside: bool) -> Option<PathBuf> {
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
