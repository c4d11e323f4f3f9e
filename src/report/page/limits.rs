//! What a sheet can hold: longer ones are cut, and say so; the tables hold the whole plan.

use super::sheet::{Look, Sheet, Workbook};

/// Rows of a sheet that a person still opens; a spreadsheet program has room for about a million.
const ROWS: u32 = 100_000;
/// Rows of a sheet of a plan's workbook that is not one day's work. What is done on a day is never cut so short.
pub const ROWS_OF_A_PLAN: u32 = 2_500;
/// Lines of what is only looked at on a day, for the screen.
pub const ON_THE_SCREEN: usize = 1_500;
/// The longest list of what is wrong that a person can act on; below it stands how many there are more.
pub const LONGEST: usize = 300;
/// The longest such list on a sheet or in a cell that has other things to say: what is worst.
pub const WORST: usize = 10;
/// Page breaks that a spreadsheet program takes; later pages end where they are full.
const BREAKS: usize = 1_000;

/// The first of some groups of rows, each whole, up to the one that reaches so many rows.
pub fn first_groups<T>(groups: &[T], most: usize, rows: impl Fn(&T) -> usize) -> &[T] {
    let before = groups.iter().scan(0, |before, group| Some(std::mem::replace(before, *before + rows(group))));
    &groups[..before.take_while(|before| *before < most).count()]
}

/// Cuts a sheet to its limits.
pub fn cut(sheet: &mut Sheet<'_>) {
    cut_at(sheet, ROWS);
}

/// Cuts the sheets of a plan's workbook to their limits.
pub fn cut_all(workbook: &mut Workbook<'_>) {
    let rows = |sheet: &Sheet<'_>| if sheet.of_a_day { ROWS } else { ROWS_OF_A_PLAN };
    workbook.sheets.iter_mut().for_each(|sheet| cut_at(sheet, rows(sheet)));
}

fn cut_at(sheet: &mut Sheet<'_>, rows: u32) {
    sheet.breaks.truncate(BREAKS);
    let more = (sheet.next_row() + sheet.not_made).saturating_sub(rows);
    if more == 0 {
        return;
    }
    sheet.rows.truncate(rows as usize);
    sheet.tables.retain(|table| table.heading + 1 < rows);
    sheet.tables.iter_mut().for_each(|table| table.last = table.last.min(rows - 1));
    sheet.sparks.retain(|spark| spark.row < rows);
    sheet.charts.retain(|chart| chart.rows.1 < rows && chart.at.0 < rows);
    sheet.breaks.retain(|row| *row < rows);
    let text = format!("Cut here: {more} rows more. The tables of the plan hold all of it.");
    sheet.text(Look::Strong, text);
}

#[cfg(test)]
mod tests {
    use super::super::sheet::Show;
    use super::*;

    #[test]
    fn groups_are_whole() {
        let sizes = [2, 0, 3, 1];
        let shown = |most| first_groups(&sizes, most, |size| *size);
        assert_eq!((shown(0), shown(2), shown(3), shown(6)), (&sizes[..0], &sizes[..1], &sizes[..3], &sizes[..]));
    }

    #[test]
    fn a_longer_sheet_is_cut_and_says_so() {
        let mut sheet = Sheet::new("x", &[10]);
        let columns = [("n".to_owned(), Show::Whole)];
        sheet.table_headed(Some("x".into()), &columns, (0..9_i64).map(|n| (Look::Plain, vec![n.into()])).collect());
        sheet.breaks = vec![3, 8];
        cut_at(&mut sheet, 5);
        assert_eq!((sheet.rows.len(), sheet.tables[0].last, sheet.breaks.as_slice()), (6, 4, &[3][..]));
        let told = format!("{:?}", sheet.rows[5].cells[0].value);
        assert!(told.contains("5 rows more"), "{told}");
        cut_at(&mut sheet, 6);
        assert_eq!(sheet.rows.len(), 6);
        // What was not even made counts, too.
        let mut sheet = Sheet::new("x", &[10]);
        sheet.table_headed(Some("x".into()), &columns, (0..5_i64).map(|n| (Look::Plain, vec![n.into()])).collect());
        sheet.not_made = 4;
        cut_at(&mut sheet, 5);
        let told = format!("{:?}", sheet.rows[5].cells[0].value);
        assert!(told.contains("5 rows more"), "{told}");
    }
}
