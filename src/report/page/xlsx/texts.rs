//! Texts as a workbook can hold them: only letters that XML has, and no more of them than a cell takes.

use crate::book::{all_letters, is_letter};
use std::borrow::Cow;

/// How long the text of a cell may be, in units of UTF-16, as spreadsheet programs count: 32,767, less what says that it was cut.
const LONGEST: usize = 32_700;

/// How many letters of a workbook's title stand in a page's header, beside a sheet's name of at most 31. A header takes 255 in
/// all, an `&` counted twice.
pub(super) const OF_A_TITLE: usize = 90;

/// How many letters stand in a page's footer, beside the page's number.
pub(super) const OF_A_FOOT: usize = 110;

/// A text as a cell holds it; one that is cut says so.
pub(super) fn in_cell(text: &str) -> Cow<'_, str> {
    let text = lettered(text);
    // No letter has more units of UTF-16 than bytes of UTF-8.
    if text.len() <= LONGEST {
        return text;
    }
    let mut left = LONGEST;
    let room = |letter: &char| {
        left = left.saturating_sub(letter.len_utf16());
        left > 0
    };
    let kept: String = text.chars().take_while(room).collect();
    match text.chars().count() - kept.chars().count() {
        0 => text,
        more => format!("{kept}… (cut here: {more} letters more)").into(),
    }
}

/// A text as a page's header or footer holds it.
pub(super) fn in_margin(text: &str, most: usize) -> String {
    let text = lettered(text);
    let mut kept: String = text.chars().take(most).collect();
    if kept.len() < text.len() {
        kept.push('…');
    }
    kept.replace('&', "&&")
}

/// A text with a question mark for each sign that no workbook can hold.
pub(super) fn lettered(text: &str) -> Cow<'_, str> {
    if all_letters(text) {
        return text.into();
    }
    text.chars().map(|sign| if is_letter(sign) { sign } else { char::REPLACEMENT_CHARACTER }).collect::<String>().into()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_that_is_too_long_is_cut_and_says_so() {
        let long = "x".repeat(32_767);
        let cut = in_cell(&long);
        assert!(
            cut.starts_with(&"x".repeat(32_699)) && cut.ends_with("x… (cut here: 68 letters more)"),
            "{}",
            &cut[32_690..]
        );
        assert!(cut.encode_utf16().count() <= 32_767);
        // Signs beyond 16 bits count twice there.
        let wide = "😀".repeat(16_400);
        assert!(in_cell(&wide).encode_utf16().count() <= 32_767 && in_cell(&wide).contains("cut here"));
        let narrow = "é".repeat(32_000);
        assert_eq!(in_cell(&narrow), narrow);
    }

    #[test]
    fn signs_that_no_workbook_holds_are_replaced() {
        assert_eq!(in_cell("a\u{fffe}b\u{1b}c\u{ffff}\n"), "a\u{fffd}b\u{fffd}c\u{fffd}\n");
        assert_eq!(in_cell("ａ é 😀"), "ａ é 😀");
        assert_eq!(in_margin(&"&".repeat(100), 60), "&".repeat(120) + "…");
    }
}
