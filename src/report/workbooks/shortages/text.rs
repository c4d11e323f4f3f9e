//! Words and small sums that the buyer's sheets share.

use super::facts::Facts;
use crate::base::{Moment, PartId, Quantity, Total};
use crate::netting::Demand;
use crate::plan::Delivery;
pub use crate::report::prose::{few, few_of};
use crate::report::sheet::{Look, Sheet};
use crate::report::table::Value;

/// All of them together.
pub fn sum_of(amounts: impl Iterator<Item = Quantity>) -> Quantity {
    amounts.sum()
}

/// Says how many rows of a list are not shown, and where they are.
pub fn more(sheet: &mut Sheet<'_>, shown: usize, all: usize, where_all_are: &str) {
    if all > shown {
        sheet.text(Look::Strong, format!("and {} more: see {where_all_are}", all - shown));
    }
}

/// Whom a demand is for.
pub fn owner_name<'p>(facts: &Facts<'p>, demand: &Demand) -> &'p str {
    let code = facts.plan.pace.owners[demand.owner.at()].code.as_str();
    if code.is_empty() { "no unit" } else { code }
}

/// The station or shop a demand is for.
pub fn place_name<'p>(facts: &Facts<'p>, demand: &Demand) -> &'p str {
    &facts.plan.plant.dest(demand.to).code
}

/// `V2 at FN`.
pub fn who(facts: &Facts<'_>, demand: &Demand) -> String {
    format!("{} at {}", owner_name(facts, demand), place_name(facts, demand))
}

/// What the order says: a date, with a time where it says one.
pub fn due<'p>(delivery: &Delivery<'_>) -> Value<'p> {
    if delivery.timed { delivery.due.into() } else { delivery.due.date().into() }
}

/// The same in words.
pub fn due_words(delivery: &Delivery<'_>) -> String {
    if delivery.timed { delivery.due.short() } else { delivery.due.date().short() }
}

/// `at once` where a moment has passed.
pub fn at_once(facts: &Facts<'_>, by: Moment) -> Option<&'static str> {
    (by <= facts.plan.plant.as_of).then_some("at once: its run is being picked or gone")
}

/// What there is to say of a delivery's moment where nobody promised it, and something else.
pub fn promise_and(delivery: &Delivery<'_>, other: Option<&'static str>) -> String {
    let promise = Some(delivery.not_promised()).filter(|words| !words.is_empty());
    other.into_iter().chain(promise).collect::<Vec<_>>().join("; ")
}

/// A supplier's name, or that the book has none.
pub fn supplier_name(name: &str) -> &str {
    if name.is_empty() { "no supplier in the book" } else { name }
}

/// A part's stock on hold: how much, where and why.
pub fn on_hold(facts: &Facts<'_>, part: PartId) -> String {
    let rows = facts.on_hold(part).iter().filter_map(|row| {
        let at = if row.location.is_empty() { String::new() } else { format!(" at {}", row.location) };
        Some(format!("{}{at}: {}", row.qty, row.hold.as_ref()?))
    });
    few(rows, 3)
}

/// A price, or that it is not known.
pub fn money<'p>(amount: Option<impl Into<Value<'p>>>) -> Value<'p> {
    amount.map_or(Value::from("not known"), Into::into)
}

/// Gives one cell of a row a look of its own; words carry the state, shading only helps.
pub fn mark(sheet: &mut Sheet<'_>, row: u32, column: usize, look: Look) {
    if let Some(cell) = sheet.rows.get_mut(row as usize).and_then(|row| row.cells.get_mut(column)) {
        cell.look = look;
    }
}

/// An amount of money in words, with the plant's currency where it has one: `1,234.50 EUR`.
pub fn amount(facts: &Facts<'_>, money: Total) -> String {
    match facts.plan.plant.currency.as_str() {
        "" => grouped(money),
        currency => format!("{} {currency}", grouped(money)),
    }
}

/// `1,234.50`
fn grouped(money: Total) -> String {
    let cents = money.hundredths();
    let whole = (cents / 100).to_string();
    let mut words = String::new();
    for (i, digit) in whole.chars().enumerate() {
        if i > 0 && (whole.len() - i).is_multiple_of(3) {
            words.push(',');
        }
        words.push(digit);
    }
    format!("{words}.{:02}", cents % 100)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn money_has_two_decimals_and_groups_of_three() {
        assert_eq!(grouped(Total::from_millionths(1_234_567_895_000)), "1,234,567.90");
        assert_eq!(grouped(Total::from_millionths(999_000_000)), "999.00");
        assert_eq!(grouped(Total::ZERO), "0.00");
        // 10^9 each for 10^12 pieces, and one cent.
        let dearest = Total::at(Quantity::LIMIT, Quantity::from_millionths(1_000_000_000_000_000_000));
        let cent = Total::from_millionths(10_000);
        assert_eq!(grouped(dearest + cent), "1,000,000,000,000,000,000,000.01");
    }
}
