//! How wide texts are on paper, so that rows are as high as their text needs.

/// How many lines a text takes in a column so many digits wide, broken between words, and within words that are wider.
pub(crate) fn lines_of(text: &str, width: usize) -> u16 {
    let width = (width * DIGIT).max(2 * DIGIT);
    if text.len() * WIDEST <= width {
        return 1;
    }
    let mut lines = 1;
    let mut used = 0;
    for word in text.split_whitespace() {
        let letters: usize = word.chars().map(letter_width).sum();
        let space = if used > 0 { letter_width(' ') } else { 0 };
        if used + space + letters <= width {
            used += space + letters;
            continue;
        }
        lines += usize::from(used > 0) + (letters.max(1) - 1) / width;
        used = (letters.max(1) - 1) % width + 1;
    }
    u16::try_from(lines).unwrap_or(u16::MAX)
}

/// How many digits wide a text is on one line of the regular face.
pub fn digits_of(text: &str) -> usize {
    thousandths(text).div_ceil(DIGIT * 10)
}

/// The width of a text in the regular face, in thousandths of its size and with two in a hundred to spare.
pub(super) fn thousandths(text: &str) -> usize {
    let width = |letter: char| match letter {
        'i' | 'j' | 'l' | '\'' => 222,
        ' ' | '.' | ',' | ':' | ';' | '/' | 'f' | 't' | 'I' | '!' | '|' => 278,
        'r' | '-' | '(' | ')' => 333,
        'c' | 'k' | 's' | 'v' | 'x' | 'y' | 'z' | 'J' => 500,
        'a'..='z' if !matches!(letter, 'm' | 'w') => 556,
        '0'..='9' | 'L' | '?' | '_' => 556,
        'F' | 'T' | 'Z' => 611,
        'A' | 'B' | 'E' | 'K' | 'P' | 'S' | 'V' | 'X' | 'Y' => 667,
        'C' | 'D' | 'H' | 'N' | 'R' | 'U' | 'w' => 722,
        'G' | 'O' | 'Q' => 778,
        'm' | 'M' => 833,
        'W' => 944,
        _ if letter.is_ascii() => 700,
        _ => 1000,
    };
    text.chars().map(width).sum::<usize>() * 102 / 100
}

/// The width of a digit in hundredths of the letters' size.
const DIGIT: usize = 56;

/// The widest that a letter is taken to be.
const WIDEST: usize = 100;

/// About as wide as a letter is in bold, in hundredths of its size; rather more than less.
pub(super) fn letter_width(letter: char) -> usize {
    match letter {
        ' ' | '.' | ',' | ':' | ';' | '\'' | 'i' | 'j' | 'l' | '|' | '!' | '(' | ')' | '-' | '/' => 34,
        'm' | 'w' | 'M' | 'W' | '@' | '%' => 95,
        'A'..='Z' => 74,
        'a'..='z' | '0'..='9' => 58,
        _ if letter.is_ascii() => 62,
        _ => WIDEST,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wrapped_text_is_as_high_as_its_words_need() {
        assert_eq!(lines_of("one two", 20), 1);
        assert_eq!(lines_of("one two three four", 10), 2);
        assert_eq!(lines_of("one two three four", 9), 3);
        assert_eq!(lines_of("extraordinarily", 9), 2);
    }
}
