//! Texts that something has spoiled on the way: a spreadsheet's sign of an error, letters that were read in two ways or lost,
//! signs that nobody sees.

use super::kinds::{ERROR_SIGN, MISREAD_LETTERS, UNSEEN_SIGN};
use super::raw::Shape;
use super::rows::Rows;
use super::spec::Holds;
use crate::base::{Finding, Findings};
use encoding_rs::WINDOWS_1252;

/// Where more cells than this are spoiled alike, the file is, and it is told once.
const FEW: usize = 10;

impl Shape {
    /// Reports cells that hold such a text. Where a cell holds a number, a date or a word of a list it is told as none.
    pub fn report_signs(&self, rows: &Rows, findings: &mut Findings) {
        let (marks, letters) = (rows.text().contains('#') || rows.text().contains("Err:"), !rows.text().is_ascii());
        if !marks && !letters {
            return;
        }
        let columns = self.spec.all.iter().zip(&self.columns);
        let columns: Vec<(&str, bool, usize)> = columns
            .filter_map(|(column, at)| Some((column.name, column.holds == Holds::Text, at.as_ref()?.0)))
            .collect();
        let (mut errors, mut spoiled) = (Vec::new(), Vec::new());
        for row in rows.iter() {
            for (column, is_text, at) in &columns {
                let cell = row.get(*at).unwrap_or_default().trim();
                if marks && *is_text && is_error(cell) {
                    let message = "a spreadsheet could not work out what stands here, or show it";
                    errors.push(Finding::new(&ERROR_SIGN, self.place(row.number(), column), cell, message));
                } else if letters && !cell.is_ascii() {
                    spoiled.extend(spoiled_letters(cell).map(|finding| Finding {
                        place: self.place(row.number(), column),
                        value: cell.to_owned(),
                        ..finding
                    }));
                }
            }
        }
        findings.extend(few(errors).into_iter().chain(few(spoiled)));
    }
}

/// Findings, or where there are many the first of them, which says how many more there are.
fn few(mut all: Vec<Finding>) -> Vec<Finding> {
    if all.len() > FEW {
        let more = all.len() - 1;
        all.truncate(1);
        all.iter_mut().for_each(|first| first.message += &format!("; so it is in {more} cells more"));
    }
    all
}

/// What is wrong with the letters of a text.
fn spoiled_letters(text: &str) -> Option<Finding> {
    let told = |kind, message: String| Finding::new(kind, crate::base::Place::default(), "", message);
    if text.contains(char::REPLACEMENT_CHARACTER) {
        return Some(told(&MISREAD_LETTERS, "a letter was lost on the way".to_owned()));
    }
    if let Some(sign) = text.chars().find(|sign| is_unseen(*sign)) {
        let message = format!("the text holds the sign U+{:04X}, which nobody sees", u32::from(sign));
        return Some(told(&UNSEEN_SIGN, message));
    }
    let meant = misread(text)?;
    let message = "letters in UTF-8 seem to have been read as Windows-1252 on the way".to_owned();
    Some(told(&MISREAD_LETTERS, message).near(Some(&meant)))
}

/// Whether a sign takes no room and joins no letters: a soft hyphen, a blank of no width, a mark of direction or of byte order.
/// Those that join letters of some scripts are not among them. Source: Unicode Standard Annex 44, general category Cf.
fn is_unseen(sign: char) -> bool {
    matches!(sign, '\u{ad}' | '\u{200b}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
}

/// Whether a text is what spreadsheets show for an error, in any language (`#REF!`, `#N/A`, `#NAAM?`, `Err:502`), or for what is
/// wider than its column (`####`). Source: the constant errors of the open standard OpenFormula.
fn is_error(text: &str) -> bool {
    if let Some(number) = text.strip_prefix("Err:") {
        return number.len() == 3 && number.bytes().all(|byte| byte.is_ascii_digit());
    }
    let Some(name) = text.strip_prefix('#') else { return false };
    let word = |name: &str| !name.is_empty() && name.chars().all(|c| c.is_uppercase() || matches!(c, '/' | '0' | '_'));
    let hashes = name.len() > 1 && name.bytes().all(|byte| byte == b'#');
    hashes || matches!(name, "N/A" | "N/B" | "N/D" | "NV" | "I/T") || name.strip_suffix(['!', '?']).is_some_and(word)
}

/// What a text was before its bytes in UTF-8 were read as Windows-1252, where it seems so: hardly any other text gives bytes that
/// are sound UTF-8, since there each letter beyond plain English is one of few that must follow another.
fn misread(text: &str) -> Option<String> {
    if text.is_ascii() {
        return None;
    }
    let (bytes, _, lost) = WINDOWS_1252.encode(text);
    let meant = String::from_utf8(bytes.into_owned()).ok()?;
    (!lost && meant != text).then_some(meant)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signs_of_errors_are_no_codes() {
        for sign in ["#REF!", "#N/A", "#DIV/0!", "#NAAM?", "#ÜBERLAUF!", "########", "Err:502", "#NV"] {
            assert!(is_error(sign), "{sign}");
        }
        for code in ["#", "#8", "#10-32!", "#8 screw", "Err:", "REF!", "A#REF!", "#!", "", "Err:5021"] {
            assert!(!is_error(code), "{code}");
        }
    }

    #[test]
    fn letters_read_in_two_ways_are_put_right() {
        for meant in ["één", "m²", "Ösgaard", "ø 38 cm", "12 €", "naïef “zo”"] {
            let (read, _, _) = WINDOWS_1252.decode(meant.as_bytes());
            assert_eq!(misread(&read).as_deref(), Some(meant), "{read}");
            assert_eq!(misread(meant), None);
        }
        assert_eq!(misread("plain"), None);
    }
}
