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
    let width = |letter: char| REGULAR.get(letter as usize).map_or(1000, |width| usize::from(*width));
    text.chars().map(width).sum::<usize>() * 102 / 100
}

/// The widths of the letters of ASCII in the regular face, in thousandths of its size.
static REGULAR: [u16; 128] = {
    let mut widths = [0; 128];
    let mut letter = 0;
    while letter < 128 {
        widths[letter as usize] = regular(letter);
        letter += 1;
    }
    widths
};

const fn regular(letter: u8) -> u16 {
    match letter {
        b'i' | b'j' | b'l' | b'\'' => 222,
        b' ' | b'.' | b',' | b':' | b';' | b'/' | b'f' | b't' | b'I' | b'!' | b'|' => 278,
        b'r' | b'-' | b'(' | b')' => 333,
        b'c' | b'k' | b's' | b'v' | b'x' | b'y' | b'z' | b'J' => 500,
        b'a'..=b'z' if !matches!(letter, b'm' | b'w') => 556,
        b'0'..=b'9' | b'L' | b'?' | b'_' => 556,
        b'F' | b'T' | b'Z' => 611,
        b'A' | b'B' | b'E' | b'K' | b'P' | b'S' | b'V' | b'X' | b'Y' => 667,
        b'C' | b'D' | b'H' | b'N' | b'R' | b'U' | b'w' => 722,
        b'G' | b'O' | b'Q' => 778,
        b'm' | b'M' => 833,
        b'W' => 944,
        _ => 700,
    }
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
    fn letters_beyond_ascii_are_taken_to_be_wide() {
        assert_eq!(thousandths("Wi"), (944 + 222) * 102 / 100);
        assert_eq!(thousandths("é"), 1020);
    }

    #[test]
    fn wrapped_text_is_as_high_as_its_words_need() {
        assert_eq!(lines_of("one two", 20), 1);
        assert_eq!(lines_of("one two three four", 10), 2);
        assert_eq!(lines_of("one two three four", 9), 3);
        assert_eq!(lines_of("extraordinarily", 9), 2);
    }
}
