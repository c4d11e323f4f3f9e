//! Widths of a table's columns from what stands in them, so that codes are never cut and long texts share what is left.

use super::sheet::{Column, Line, Show};
use super::table::Value;
use super::text_width::digits_of;

/// The widths of columns, at least `least` each and `total` together where that is enough; `total` is what the paper takes.
pub fn widths(columns: &[Column], least: &[u16], lines: &[Line<'_>], total: u16) -> Vec<u16> {
    let wanted: Vec<Wanted> = columns.iter().enumerate().map(|(at, column)| wanted(lines, at, column.show)).collect();
    let mut widths: Vec<u16> = least.to_vec();
    for at in (0..widths.len()).filter(|at| columns[*at].show != Show::Wrapped) {
        widths[at] = widths[at].max(wanted[at].all);
    }
    let mut left = total.saturating_sub(widths.iter().sum());
    // First what nearly all values take, then what all do; the narrowest first, so that short texts stay on one line.
    for enough in [|wanted: &Wanted| wanted.most, |wanted: &Wanted| wanted.all] {
        while left > 0 {
            let open = (0..widths.len()).filter(|at| widths[*at] < enough(&wanted[*at]));
            let Some(at) = open.min_by_key(|at| (widths[*at], *at)) else { break };
            widths[at] += 1;
            left -= 1;
        }
    }
    widths
}

/// How wide a column should be for nine of ten values, and for all of them.
struct Wanted {
    most: u16,
    all: u16,
}

fn wanted(lines: &[Line<'_>], at: usize, show: Show) -> Wanted {
    let width = |(_, values): &Line<'_>| match values.get(at) {
        None | Some(Value::Blank) => 0,
        Some(Value::Text(text)) => digits_of(text) + 1,
        Some(Value::Quantity(_)) if show == Show::Weight => 0,
        // Decimals are cut to the width on the page, whole numbers can't be.
        Some(Value::Quantity(qty)) => qty.to_string().find('.').unwrap_or(qty.to_string().len()) + 3,
        Some(Value::Whole(number)) => number.to_string().len() + 3,
        Some(Value::Moment(_)) if show == Show::Clock => 6,
        Some(Value::Moment(_)) => 17,
        Some(Value::Date(_)) => 12,
    };
    let mut widths: Vec<u16> = lines.iter().map(|line| u16::try_from(width(line).min(250)).unwrap_or(250)).collect();
    widths.sort_unstable();
    let at = |index: usize| widths.get(index).copied().unwrap_or_default();
    Wanted { most: at(widths.len() * 9 / 10), all: at(widths.len().saturating_sub(1)) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::sheet::Look;

    #[test]
    fn codes_are_whole_and_texts_share_the_rest() {
        let columns = [
            Column { heading: "code", show: Show::Text },
            Column { heading: "text", show: Show::Wrapped },
            Column { heading: "more", show: Show::Wrapped },
        ];
        let line = (Look::Plain, vec!["ABCDEFGHIJ".into(), "four".into(), "a text much longer than all others".into()]);
        let widths = widths(&columns, &[4, 4, 4], &[line], 40);
        assert!(widths[0] >= 10 && widths[1] >= 5 && widths[2] > widths[1], "{widths:?}");
        assert_eq!(widths.iter().sum::<u16>(), 40);
    }
}
