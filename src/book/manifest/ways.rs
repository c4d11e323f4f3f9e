//! The keys about how files are written, which may stand at the top for all tables, or in the section of one.

use super::{Key, Reader};
use crate::base::fold;
use crate::book::forms::DateForm;
use crate::book::kinds::BAD_MANIFEST;
use crate::book::layout::Ways;
use crate::book::spec::{Table, TableSpec, plain_name};
use crate::book::text::Letters;
use crate::book::words::has_shares;
use toml::Spanned;
use toml::de::DeValue;

/// These keys.
pub const KEYS: [&str; 12] = [
    "decimal",
    "thousands",
    "dates",
    "separator",
    "encoding",
    "yes",
    "no",
    "blank",
    "measures",
    "code width",
    "codes",
    "percent",
];

/// Whether a key is one of them.
pub fn is_way(plain: &str) -> bool {
    KEYS.iter().any(|key| plain_name(key) == plain)
}

impl Reader<'_> {
    /// Takes a key about how files are written; whether it was one.
    pub(super) fn way(
        &mut self,
        key: &Key<'_>,
        value: &Spanned<DeValue<'_>>,
        spec: Option<&'static TableSpec>,
        into: &mut Ways,
    ) -> bool {
        match plain_name(key.get_ref()).as_str() {
            "decimal" => {
                if let Some(mark) = self.mark(key, value, &['.', ',']) {
                    into.forms.decimal = mark;
                }
            }
            "thousands" => into.forms.thousands = self.mark(key, value, &['.', ',', ' ', '\'']),
            "dates" => into.forms.dates = self.dates(key, value),
            "separator" => into.separator = self.mark(key, value, &[',', ';', '\t', '|']).map(|mark| mark as u8),
            "encoding" => {
                if let Some(letters) = self.letters(key, value) {
                    into.letters = letters;
                }
            }
            "yes" => into.words.yes = self.words(key, value),
            "no" => into.words.no = self.words(key, value),
            "blank" => into.words.blank = self.words(key, value),
            "measures" => into.words.measures = self.measures(key, value),
            "codewidth" => {
                for (column, width) in self.by_column(key, value, spec) {
                    if let Some(width) = self.row(key, width).and_then(|width| usize::try_from(width).ok()) {
                        into.words.widths.retain(|(known, _)| *known != column);
                        into.words.widths.push((column, width));
                    }
                }
            }
            "codes" => {
                for (column, codes) in self.by_column(key, value, spec) {
                    let codes = self.pairs(key, codes);
                    into.words.codes.push((column, codes));
                }
            }
            "percent" => {
                into.words.percent = self.truth(key, value).unwrap_or_default();
                if spec.is_some_and(|spec| !has_shares(spec)) {
                    self.report(&BAD_MANIFEST, key.span(), key.get_ref(), "this table has no column of shares");
                }
            }
            _ => return false,
        }
        true
    }

    /// One or more forms of dates.
    fn dates(&mut self, key: &Key<'_>, value: &Spanned<DeValue<'_>>) -> Vec<DateForm> {
        let words = self.words(key, value);
        let forms: Vec<DateForm> = words.iter().filter_map(|text| DateForm::parse(text)).collect();
        if forms.len() < words.len() {
            let told = "expected a form such as dd.mm.yyyy or m/d/yyyy, or a list of such forms";
            self.report(&BAD_MANIFEST, key.span(), key.get_ref(), told);
        }
        forms
    }

    fn letters(&mut self, key: &Key<'_>, value: &Spanned<DeValue<'_>>) -> Option<Letters> {
        let name = plain_name(&self.text_of(key, value)?);
        let letters = match name.as_str() {
            "utf8" => Some(Letters::Utf8),
            "utf16" | "utf16le" | "utf16be" => Some(Letters::Utf16),
            "windows1252" | "cp1252" => Some(Letters::Windows1252),
            _ => None,
        };
        if letters.is_none() {
            self.report(&BAD_MANIFEST, key.span(), key.get_ref(), "expected utf-8, utf-16 or windows-1252");
        }
        letters
    }

    /// The plant's units of measure, each with the book's; where one leads to another of the plant's, that is followed.
    fn measures(&mut self, key: &Key<'_>, value: &Spanned<DeValue<'_>>) -> Vec<(String, String)> {
        let pairs = self.pairs(key, value);
        let next = |word: &str| pairs.iter().find(|(own, _)| fold(own) == fold(word)).map(|(_, meant)| meant.as_str());
        let mut all = Vec::new();
        let mut circles = Vec::new();
        for (own, meant) in &pairs {
            let (mut end, mut steps) = (meant.as_str(), 0);
            while let Some(further) = next(end).filter(|further| fold(further) != fold(end) && steps <= pairs.len()) {
                (end, steps) = (further, steps + 1);
            }
            if steps > pairs.len() {
                circles.push(format!("'{own}' leads back to itself"));
            }
            all.push((own.clone(), end.to_owned()));
        }
        circles.iter().for_each(|told| self.report(&BAD_MANIFEST, key.span(), key.get_ref(), told));
        all
    }

    /// Values for columns: of the table, or of any where none is named.
    fn by_column<'v, 'd>(
        &mut self,
        key: &Key<'_>,
        value: &'v Spanned<DeValue<'d>>,
        spec: Option<&'static TableSpec>,
    ) -> Vec<(&'static str, &'v Spanned<DeValue<'d>>)> {
        let DeValue::Table(pairs) = value.get_ref() else {
            self.report(&BAD_MANIFEST, key.span(), key.get_ref(), "expected a section of columns");
            return Vec::new();
        };
        self.twice(pairs);
        let known =
            || spec.map_or_else(|| Table::all().collect(), |spec| vec![spec]).into_iter().flat_map(TableSpec::columns);
        let mut out = Vec::new();
        for (name, value) in pairs {
            match known().find(|column| plain_name(column) == plain_name(name.get_ref())) {
                Some(column) => out.push((column, value)),
                None => self.unknown(name, known()),
            }
        }
        out
    }
}
