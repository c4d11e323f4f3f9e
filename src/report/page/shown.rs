//! What a value reads as in its cell, as the sheet's number formats have it: for pages that show a sheet without a spreadsheet program.

use super::sheet::Show;
use super::value::Value;
use crate::base::Quantity;

/// Millionths in one.
const ONE: i128 = Quantity::SCALE as i128;

/// The text of a cell.
pub fn text(value: &Value<'_>, show: Show) -> String {
    match (value, show) {
        (Value::Blank, Show::Box) => "▢".to_owned(),
        (Value::Blank, _) => String::new(),
        (Value::Text(text), _) => text.to_string(),
        (Value::Quantity(quantity), _) => {
            number(quantity.millionths().into(), show).unwrap_or_else(|| quantity.to_string())
        }
        (Value::Total(total), _) => number(total.millionths(), show).unwrap_or_else(|| total.to_string()),
        (Value::Whole(whole), _) => number(i128::from(*whole) * ONE, show).unwrap_or_else(|| whole.to_string()),
        (Value::Moment(moment), Show::Clock) => moment.clock(),
        (Value::Moment(moment), Show::Date) => moment.date().short(),
        (Value::Moment(moment), _) => moment.short(),
        (Value::Date(date), _) => date.short(),
    }
}

/// A number with the decimals of its format; `None` where it is shown as it is.
fn number(millionths: i128, show: Show) -> Option<String> {
    let sign = |millionths: i128| if millionths < 0 { "-" } else { "" };
    Some(match show {
        Show::Money => sign(millionths).to_owned() + &grouped(&decimals(millionths, 2)),
        Show::Minutes => sign(millionths).to_owned() + &grouped(&decimals(millionths, 1)),
        // Never 0.0 where something weighs little.
        Show::Weight if millionths < ONE / 2_000 => "<0.001".to_owned(),
        Show::Weight if millionths < ONE / 10 => decimals(millionths, 3),
        Show::Weight => decimals(millionths, 1),
        Show::MoreOrLess if millionths > 0 => "+".to_owned() + &decimals(millionths, 1),
        Show::MoreOrLess => sign(millionths).to_owned() + &decimals(millionths, 1),
        _ => return None,
    })
}

/// So many decimals, one at least, of a number without its sign, halves up.
fn decimals(millionths: i128, places: u32) -> String {
    let (step, parts) = (10_u128.pow(6 - places), 10_u128.pow(places));
    let steps = (millionths.unsigned_abs() + step / 2) / step;
    let width = places as usize;
    format!("{}.{:0width$}", steps / parts, steps % parts)
}

/// A comma before each three digits of the whole.
fn grouped(number: &str) -> String {
    let (whole, rest) = number.split_once('.').unwrap_or((number, ""));
    let mut text = String::new();
    for (at, digit) in whole.chars().enumerate() {
        if at > 0 && (whole.len() - at) % 3 == 0 {
            text.push(',');
        }
        text.push(digit);
    }
    format!("{text}.{rest}")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By the number formats of `xlsx/formats.rs`, read as ECMA-376 (part 1, 18.8.31) has them.
    #[test]
    fn a_number_reads_as_its_format_has_it() {
        let shown = |millionths: i64, show| text(&Value::Quantity(Quantity::from_millionths(millionths)), show);
        assert_eq!(shown(1_234_567_005_000, Show::Money), "1,234,567.01");
        assert_eq!(shown(999_000_000, Show::Money), "999.00");
        assert_eq!(shown(-1_000_500_000, Show::Money), "-1,000.50");
        assert_eq!(shown(12_345_678, Show::Weight), "12.3");
        assert_eq!(shown(12_350_000, Show::Weight), "12.4");
        assert_eq!(shown(99_900, Show::Weight), "0.100");
        assert_eq!(shown(500, Show::Weight), "0.001");
        assert_eq!(shown(499, Show::Weight), "<0.001");
        assert_eq!(shown(40_000, Show::MoreOrLess), "+0.0");
        assert_eq!(shown(-2_250_000, Show::MoreOrLess), "-2.3");
        assert_eq!(shown(0, Show::MoreOrLess), "0.0");
        assert_eq!(shown(1_000_050_000, Show::Minutes), "1,000.1");
        assert_eq!(shown(1_500_000, Show::Quantity), "1.5");
        assert_eq!(text(&Value::Whole(12_000), Show::Money), "12,000.00");
        assert_eq!(text(&Value::Whole(12_000), Show::Whole), "12000");
        assert_eq!(text(&Value::Blank, Show::Box), "▢");
    }
}
