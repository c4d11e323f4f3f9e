//! What the cells of columns tell of how a book is written: its marks in numbers, its forms of dates, its words.

use super::guess::Word;
use super::vocabulary;
use crate::base::{measures, parse_time};
use crate::book::forms::{DateForm, Forms};
use crate::book::rows::Row;
use crate::book::spec::{Holds, TableSpec};

/// The forms of dates that are tried.
const DATES: [&str; 10] = [
    "dd.mm.yyyy",
    "dd-mm-yyyy",
    "dd/mm/yyyy",
    "mm/dd/yyyy",
    "mm-dd-yyyy",
    "yyyy.mm.dd",
    "yyyy/mm/dd",
    "dd.mm.yy",
    "dd-mm-yy",
    "mm/dd/yy",
];

/// Whether a cell says that nothing stands in it.
pub(super) fn is_blank(cell: &str) -> bool {
    vocabulary::BLANK.contains(&cell.to_lowercase().as_str())
}

/// For columns that take one of a few words, what else stands there.
pub(super) fn other_words(
    spec: &TableSpec,
    columns: &[(&'static str, String)],
    heads: &[String],
    below: &[Row<'_>],
) -> Vec<(&'static str, Vec<Word>)> {
    let of_column = |(name, heading): &(&'static str, String)| {
        let column = spec.all.iter().find(|column| column.name == *name)?;
        let Holds::Words(known) = column.holds else { return None };
        let at = heads.iter().position(|own| own == heading)?;
        let mut words: Vec<Word> = Vec::new();
        for cell in below.iter().filter_map(|row| row.get(at)).map(str::trim) {
            let plain = vocabulary::plain(cell);
            let is_word =
                plain.is_empty() || is_blank(cell) || known.iter().any(|word| vocabulary::plain(word) == plain);
            let truth = known == ["yes", "no"];
            if !is_word && !truth && words.len() < 10 && !words.iter().any(|(word, _)| word.eq_ignore_ascii_case(cell))
            {
                words.push((cell.to_owned(), vocabulary::word(cell).filter(|word| known.contains(word))));
            }
        }
        (!words.is_empty()).then_some((*name, words))
    };
    columns.iter().filter_map(of_column).collect()
}

/// The decimal mark and that of groups, as far as numbers show them. In a sheet, cells that are numbers get the mark that its
/// texts have.
pub(super) fn marks_of(cells: &[&str], sheet: bool) -> (Option<char>, Option<char>) {
    let forms = |decimal, thousands| Forms { decimal, thousands, dates: Vec::new() };
    let all = |forms: &Forms| cells.iter().all(|cell| forms.number(cell.trim_end_matches('%').trim()).is_some());
    if cells.is_empty() || all(&Forms::default()) {
        return (None, None);
    }
    let plain = Forms::default();
    let texts: Vec<&str> = cells.iter().copied().filter(|cell| !sheet || plain.number(cell).is_none()).collect();
    let all = |forms: &Forms| texts.iter().all(|cell| forms.number(cell.trim_end_matches('%').trim()).is_some());
    let pairs = [
        (',', None),
        (',', Some('.')),
        (',', Some(' ')),
        ('.', Some(',')),
        ('.', Some(' ')),
        ('.', Some('\'')),
        (',', Some('\'')),
    ];
    let found = pairs.into_iter().find(|(decimal, thousands)| all(&forms(*decimal, *thousands)));
    found.map_or((None, None), |(decimal, thousands)| ((decimal != '.').then_some(decimal), thousands))
}

/// The forms of dates that read all cells, and others that would read the same cells as other days.
pub(super) fn dates_of(cells: &[&str]) -> (Vec<&'static str>, Vec<&'static str>) {
    let is_weekday = |cell: &str| !cell.bytes().any(|byte| byte.is_ascii_digit());
    let plain = Forms::default();
    let odd: Vec<&str> = cells
        .iter()
        .copied()
        .filter(|cell| plain.moment(cell).is_none() && !is_weekday(cell) && parse_time(cell).is_none())
        .collect();
    let reads = |form: &str, cell: &str| {
        let forms = Forms { dates: DateForm::parse(form).into_iter().collect(), ..Forms::default() };
        forms.moment(cell).is_some()
    };
    let mut left = odd;
    let mut forms: Vec<&'static str> = Vec::new();
    let mut doubtful = Vec::new();
    while let Some(cell) = left.first().copied() {
        // The form that reads most of what is left, this cell among it.
        let count = |form: &&str| left.iter().filter(|cell| reads(form, cell)).count();
        let fitting: Vec<&'static str> = DATES.into_iter().filter(|form| reads(form, cell)).collect();
        let Some(most) = fitting.iter().map(count).max() else {
            left.remove(0);
            continue;
        };
        let mut best = fitting.into_iter().filter(|form| count(form) == most);
        if let Some(form) = best.next() {
            doubtful.extend(best);
            forms.push(form);
            left.retain(|cell| !reads(form, cell));
        }
    }
    (forms, doubtful)
}

/// Units of measure that the book does not know.
pub(super) fn measures_of(cells: &[&str]) -> Vec<Word> {
    let mut words: Vec<String> = Vec::new();
    for cell in cells {
        if !measures::is_known(cell) && !words.iter().any(|word| word.eq_ignore_ascii_case(cell)) {
            words.push((*cell).to_owned());
        }
    }
    words.truncate(40);
    words.into_iter().map(|word| (word.clone(), vocabulary::measure(&word))).collect()
}

/// Those of the words that cells hold, as they are written there.
pub(super) fn words_of(cells: &[&str], words: &[&str]) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    for cell in cells {
        if words.contains(&cell.to_lowercase().as_str()) && !found.iter().any(|known| known.eq_ignore_ascii_case(cell))
        {
            found.push((*cell).to_owned());
        }
    }
    found
}

/// Whether a share can only be a percent: a number of 1 or more without its sign.
pub(super) fn whole_percent(cell: &str) -> bool {
    let number = cell.replace(',', ".").parse::<f64>();
    number.is_ok_and(|number| number >= 1.0)
}
