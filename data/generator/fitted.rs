//! What lines and parts say beside what was drawn for them: set once supply is drawn, so that nothing drawn before is another.

use crate::model::Book;

/// A unit has steel wheels or alloy wheels.
const ONLY_STEEL: &str = "WHS-";

/// Ordered for a week at a time: one order holds what two on successive days would bring.
const BY_THE_WEEK: &str = "TKT-18-08";

/// Sets them.
pub fn set(book: &mut Book) {
    let steel = book.bills.iter_mut().filter(|line| line.part.starts_with(ONLY_STEEL));
    steel.for_each(|line| line.when = "STEEL".to_string());
    book.part_mut(BY_THE_WEEK).cover = 7;
}
