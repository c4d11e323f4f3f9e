//! Where pages end on sheets printed at a fixed scale, so that what belongs together stays on one page.

use super::sheet::{Paper, ROW_HEIGHT, Sheet};
use std::ops::Range;

/// What fits between the margins of a landscape A4 page at full size, in points, with a little to spare.
const PAGE: u32 = 500;
/// How many page ends a spreadsheet may hold (1,023), with a little to spare.
const MOST_BREAKS: usize = 1000;

/// What fits on a page of a sheet printed at so many percent, in points.
pub fn room_at(percent: u16) -> u32 {
    PAGE * 100 / u32::from(percent.max(1))
}

/// A page being filled.
pub struct Pages {
    limit: u32,
    head: u32,
    used: u32,
}

impl Pages {
    /// The first page of a sheet whose rows before `first` are on it; repeated rows count on each later page.
    pub fn of(sheet: &mut Sheet<'_>, first: u32) -> Self {
        sheet.fix_heights();
        let limit = match sheet.paper {
            Paper::Scale(percent) => room_at(percent),
            Paper::FitWidth | Paper::OnePage => u32::MAX,
        };
        let head = sheet.repeat.map_or(0, |(from, to)| height(sheet, from..to + 1));
        let mut pages = Self { limit, head, used: 0 };
        pages.used = height(sheet, 0..first);
        pages
    }

    /// Keeps rows on one page where they fit on one; longer ones begin on a page of their own and end it.
    pub fn keep(&mut self, sheet: &mut Sheet<'_>, rows: Range<u32>) {
        sheet.fix_heights();
        let tall = height(sheet, rows.clone());
        if self.used + tall <= self.limit {
            self.used += tall;
        } else if self.head + tall <= self.limit {
            self.turn(sheet, rows.start);
            self.used += tall;
        } else {
            self.flow(sheet, rows);
        }
    }

    /// What fits on a page of its own, in points.
    pub fn room(&self) -> u32 {
        self.limit - self.head
    }

    fn flow(&mut self, sheet: &mut Sheet<'_>, rows: Range<u32>) {
        if self.used > self.head && rows.start > 0 && !self.is_first_table(sheet, rows.start) {
            self.turn(sheet, rows.start);
        }
        for row in rows {
            let tall = height(sheet, row..row + 1);
            if self.used + tall > self.limit {
                self.turn(sheet, row);
            }
            self.used += tall;
        }
        self.used = self.limit;
    }

    /// Rows right below the sheet's title and heading stay with them.
    fn is_first_table(&self, sheet: &Sheet<'_>, row: u32) -> bool {
        sheet.breaks.is_empty() && sheet.repeat.is_some_and(|(_, to)| to + 1 == row)
    }

    fn turn(&mut self, sheet: &mut Sheet<'_>, row: u32) {
        if sheet.breaks.len() < MOST_BREAKS {
            sheet.breaks.push(row);
        }
        self.used = self.head;
    }
}

fn height(sheet: &Sheet<'_>, rows: Range<u32>) -> u32 {
    let of = |row: u32| sheet.rows.get(row as usize).and_then(|row| row.height).unwrap_or(ROW_HEIGHT);
    rows.map(|row| u32::from(of(row))).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::sheet::Look;

    /// At 100 percent 500 points are 33 rows of 15 points.
    #[test]
    fn what_fits_on_a_page_is_not_broken() {
        let mut sheet = Sheet::new("x", &[10]);
        sheet.paper = Paper::Scale(100);
        (0..60).for_each(|_| _ = sheet.text(Look::Plain, "line"));
        let mut pages = Pages::of(&mut sheet, 0);
        pages.keep(&mut sheet, 0..20);
        pages.keep(&mut sheet, 20..30);
        pages.keep(&mut sheet, 30..40);
        assert_eq!(sheet.breaks, [30]);
    }

    #[test]
    fn what_is_longer_than_a_page_has_pages_of_its_own() {
        let mut sheet = Sheet::new("x", &[10]);
        sheet.paper = Paper::Scale(100);
        (0..60).for_each(|_| _ = sheet.text(Look::Plain, "line"));
        let mut pages = Pages::of(&mut sheet, 0);
        pages.keep(&mut sheet, 0..5);
        pages.keep(&mut sheet, 5..50);
        pages.keep(&mut sheet, 50..52);
        assert_eq!(sheet.breaks, [5, 38, 50]);
    }
}
