//! Widths of a table's columns from what stands in them, so that codes are never cut and long texts share what is left.

use super::listing::{Line, Listing};
use super::sheet::{Column, Show};
use super::text_width::digits_of;
use crate::report::table::Value;

/// The widths of columns, at least `least` each and `total` together where that is enough; `total` is what the paper takes.
pub fn widths<L: Listing>(lines: &[Line<'_, L>], total: u16) -> Vec<u16> {
    let values: Vec<&[Value<'_>]> = lines.iter().map(Line::values).collect();
    widths_of(L::COLUMNS, &values, total)
}

/// The same of columns under which stand lines of several tables.
pub fn widths_of(columns: &[Column], lines: &[&[Value<'_>]], total: u16) -> Vec<u16> {
    let wanted: Vec<Wanted> = columns.iter().enumerate().map(|(at, column)| wanted(lines, at, column.show)).collect();
    let mut widths: Vec<u16> = columns.iter().map(|column| column.width).collect();
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

/// The widest that counts.
const WIDEST: usize = 250;

/// Decimals are cut to the width on the page, whole numbers can't be.
fn width_of_number(digits: &str) -> usize {
    digits.find('.').unwrap_or(digits.len()) + 3
}

fn wanted(lines: &[&[Value<'_>]], at: usize, show: Show) -> Wanted {
    let width = |values: &[Value<'_>]| match values.get(at) {
        None | Some(Value::Blank) => 0,
        Some(Value::Text(text)) => digits_of(text) + 1,
        Some(Value::Quantity(_) | Value::Total(_)) if show == Show::Weight => 0,
        Some(Value::Quantity(qty)) => width_of_number(&qty.to_string()),
        Some(Value::Total(total)) => width_of_number(&total.to_string()),
        Some(Value::Whole(number)) => number.to_string().len() + 3,
        Some(Value::Moment(_)) if show == Show::Clock => 6,
        Some(Value::Moment(_)) => 17,
        Some(Value::Date(_)) => 12,
    };
    // How many lines are so wide.
    let mut lines_of = [0; WIDEST + 1];
    lines.iter().for_each(|values| lines_of[width(values).min(WIDEST)] += 1);
    let at = |index: usize| {
        let mut before = 0;
        let holds = |lines: &usize| {
            before += lines;
            before > index
        };
        lines_of.iter().position(holds).unwrap_or_default() as u16
    };
    Wanted { most: at(lines.len() * 9 / 10), all: at(lines.len().saturating_sub(1)) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_whole_and_texts_share_the_rest() {
        let columns = [
            Column { heading: "code", width: 4, show: Show::Text },
            Column { heading: "text", width: 4, show: Show::Wrapped },
            Column { heading: "more", width: 4, show: Show::Wrapped },
        ];
        let line = ["ABCDEFGHIJ".into(), "four".into(), "a text much longer than all others".into()];
        let widths = widths_of(&columns, &[&line], 40);
        assert!(widths[0] >= 10 && widths[1] >= 5 && widths[2] > widths[1], "{widths:?}");
        assert_eq!(widths.iter().sum::<u16>(), 40);
    }
}
