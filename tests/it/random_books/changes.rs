//! The engineering changes of a random book: by date, by unit, by either.

use super::Writer;
use super::calendars::Times;
use super::dice::Dice;
use super::orders::{Role, UnitSketch};
use super::sheet::Sheet;

/// The codes of the changes written.
pub fn write(dice: &mut Dice, times: &Times, units: &[UnitSketch], book: &mut Writer) -> Vec<String> {
    let mut sheet = Sheet::new(&["change", "from date", "from unit", "description"]);
    let mut codes = Vec::new();
    for number in 1..=dice.between(0, 5) {
        let code = format!("C-{number}");
        let date = times.date(dice.between(-3, 6));
        let held: Vec<UnitSketch> = units.iter().filter(|unit| unit.role == Role::Held).cloned().collect();
        let held = dice.pick_or_none(&held).filter(|_| dice.chance(35));
        let unit = held.unwrap_or_else(|| dice.pick(units)).code;
        let unit = dice.spelled(&unit);
        let (date, unit) = match dice.between(1, 5) {
            1 => (date, String::new()),
            2 | 3 => (String::new(), unit),
            4 => (date, unit),
            _ => (date, "NOT-LISTED-1".to_string()),
        };
        sheet.add(&[("change", &code), ("from date", &date), ("from unit", &unit), ("description", "A better edge")]);
        codes.push(code);
    }
    book.put("Changes", &sheet);
    codes
}
