//! Page ends that never fall inside a group of rows that fits on one page.

use crate::report::sheet::{Paper, Sheet};

/// Points between the margins of an A4 page on its side, at full scale, with a little kept back.
const PAGE: u32 = 490;
/// Points of a row without a height of its own: it gets this one, so that all programs end pages at the same rows.
const ROW: u16 = 15;

/// Ends pages so that groups stay whole; each group begins at one of the rows and ends where the next begins. The groups
/// in `fresh` begin a page.
pub fn keep_together(sheet: &mut Sheet<'_>, percent: u16, starts: &[u32], fresh: &[u32]) {
    sheet.paper = Paper::Scale(percent);
    sheet.rows.iter_mut().for_each(|row| row.height = row.height.or(Some(ROW)));
    let page = PAGE * 100 / u32::from(percent.max(1));
    let height = |from: u32, until: u32| -> u32 {
        let rows = &sheet.rows[from as usize..until as usize];
        rows.iter().map(|row| u32::from(row.height.unwrap_or(ROW))).sum()
    };
    let heading = sheet.repeat.map_or(0, |(first, last)| height(first, last + 1));
    let Some(&first) = starts.first() else { return };
    let top = height(0, first);
    let mut used = top;
    let mut breaks = Vec::new();
    let ends = starts.iter().skip(1).copied().chain([sheet.next_row()]);
    for (&start, end) in starts.iter().zip(ends) {
        let group = height(start, end);
        let begun = start > first && used > heading;
        if begun && (used + group > page || fresh.contains(&start)) {
            breaks.push(start);
            used = heading;
        }
        used += group;
        while used > page {
            used = used - page + heading;
        }
    }
    sheet.breaks.extend(breaks);
}

#[cfg(test)]
mod tests {
    use super::*;

    /// At full scale a page of 490 points holds 32 rows of 15; groups of 20 rows do not fit twice.
    #[test]
    fn a_group_that_fits_on_a_page_is_not_broken() {
        let mut sheet = Sheet::new("x", &[10]);
        (0..75).for_each(|_| {
            sheet.gap();
        });
        keep_together(&mut sheet, 100, &[5, 25, 45, 50, 55], &[50]);
        assert_eq!(sheet.breaks, [25, 50]);
    }
}
