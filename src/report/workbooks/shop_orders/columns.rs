//! Text in narrow columns that stand side by side on a page, each filled by itself: down one, then the next page.

use crate::report::text_width::digits_of;

/// A text in lines of so many digits, broken between words; a longer word has a line of its own.
pub fn broken(text: &str, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if digits_of(&format!("{line} {word}")) <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

/// Which blocks stand on which page, for each column: a block is never broken where it fits on a page. `heights` are those of each
/// column's blocks, in lines; the first page has room for `first` lines, the others for `later`.
pub fn pages(heights: &[Vec<usize>], first: usize, later: usize) -> Vec<Vec<std::ops::Range<usize>>> {
    let columns: Vec<Vec<std::ops::Range<usize>>> = heights.iter().map(|column| cut(column, first, later)).collect();
    let most = columns.iter().map(Vec::len).max().unwrap_or(0);
    let on = |page: usize| columns.iter().map(|column| column.get(page).cloned().unwrap_or(0..0)).collect();
    (0..most).map(on).collect()
}

fn cut(heights: &[usize], first: usize, later: usize) -> Vec<std::ops::Range<usize>> {
    let (mut pages, mut from, mut used, mut room) = (Vec::new(), 0, 0, first);
    for (at, height) in heights.iter().enumerate() {
        if at > from && used + height > room {
            pages.push(from..at);
            (from, used, room) = (at, 0, later);
        }
        used += height;
    }
    if from < heights.len() {
        pages.push(from..heights.len());
    }
    pages
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_whole() {
        assert_eq!(broken("one two three", 8), ["one two", "three"]);
        assert_eq!(broken("extraordinarily long", 6), ["extraordinarily", "long"]);
        assert!(broken("", 6).is_empty());
    }

    #[test]
    fn blocks_are_whole_and_columns_go_on_by_themselves() {
        let pages = pages(&[vec![2, 2, 2], vec![5], vec![]], 4, 6);
        assert_eq!(pages, [[0..2, 0..1, 0..0], [2..3, 0..0, 0..0]]);
    }
}
