//! Short lines in two columns on a page: down the left one, then down the right one.

use super::fit;
use super::listing::{Line, Listing};
use super::pages::room_at;
use super::sheet::{Cell, Look, Paper, ROW_HEIGHT, Sheet, Show};
use super::text_width::lines_of;
use std::marker::PhantomData;
use std::ops::Range;

/// The characters between the two columns.
const GAP: u16 = 2;
/// The percent at which such a sheet is printed, and the characters that one of its columns takes there, lines and all.
const SCALE: u16 = 82;
const HALF: u16 = 84;
/// The heights of a title and of a sentence below it.
const TITLE: u16 = 26;
const TOLD: u16 = 15;
/// The height of a row of text: what its letters need. It is told in the file: not the height that programs take where none is.
const LOW: u16 = 12;
/// What the lines around a column of a table take of them, in hundredths of a character.
const LINES: u16 = 71;

/// The two columns of a sheet: what stands in them, and how wide.
pub struct TwoUp<L> {
    half: Vec<u16>,
    strong: &'static [&'static str],
    heading: u16,
    of: PhantomData<fn() -> L>,
}

/// What a page has room for besides the lines, in points.
#[derive(Clone, Copy)]
pub struct Around {
    /// Above the lines of the first page, without the headings.
    pub first: u16,
    /// Above those of a later page.
    pub later: u16,
    /// Below the last line.
    pub below: u16,
}

impl<L: Listing> TwoUp<L> {
    /// As wide as these lines need; values of the columns named stand out.
    pub fn of<'a, 'p: 'a>(lines: impl Iterator<Item = &'a Line<'p, L>>, strong: &'static [&'static str]) -> Self
    where
        L: 'a,
    {
        let values: Vec<_> = lines.map(Line::values).collect();
        let total = HALF - (L::COLUMNS.len() as u16 * LINES).div_ceil(100);
        let half = fit::widths_of(L::COLUMNS, &values, total);
        let tall = L::COLUMNS.iter().zip(&half).map(|(column, width)| lines_of(column.heading, usize::from(*width)));
        let heading = 15 * tall.max().unwrap_or(1) + 3;
        Self { half, strong, heading, of: PhantomData }
    }

    /// A sheet of such lines, with a title and a sentence on its first page.
    pub fn titled<'p>(
        lines: Vec<Line<'p, L>>,
        strong: &'static [&'static str],
        name: &str,
        title: &str,
        told: &'static str,
    ) -> Sheet<'p> {
        let columns = Self::of(lines.iter(), strong);
        let mut sheet = columns.sheet(name.to_owned());
        let all = sheet.widths.len() as u16;
        let around = Around { first: TITLE + TOLD, later: 0, below: 0 };
        columns.put(&mut sheet, lines, around, |sheet, page, _| {
            if page == 1 {
                sheet.row(Some(TITLE), vec![Cell::new(0, title.to_owned(), Show::Text, Look::Title).over(all)]);
                sheet.row(Some(TOLD), vec![Cell::new(0, told, Show::Text, Look::Plain).over(all)]);
            }
        });
        sheet.fix_heights();
        sheet
    }

    /// An empty sheet for them.
    pub fn sheet<'p>(&self, name: String) -> Sheet<'p> {
        let mut sheet = Sheet::new(name, &[self.half.as_slice(), &[GAP], self.half.as_slice()].concat());
        sheet.paper = Paper::Scale(SCALE);
        sheet
    }

    /// Puts lines on pages of their own, each under what `head` puts above it: it is told the page and how many there are.
    pub fn put<'p>(
        &self,
        sheet: &mut Sheet<'p>,
        lines: Vec<Line<'p, L>>,
        around: Around,
        mut head: impl FnMut(&mut Sheet<'p>, usize, usize),
    ) {
        let mut rows: Vec<Vec<Cell<'p>>> = lines.into_iter().map(|line| self.cells(line)).collect();
        let scratch = Sheet::new("", &self.half);
        let lines_of = |cells: &Vec<Cell<'p>>| scratch.height_of(cells).unwrap_or(ROW_HEIGHT) / ROW_HEIGHT;
        let heights: Vec<u16> = rows.iter().map(|cells| lines_of(cells) * LOW).collect();
        let pages = pages(&heights, room_at(SCALE) as u16 - self.heading, around);
        for (number, page) in pages.iter().enumerate() {
            if sheet.next_row() > 0 {
                sheet.page_break();
            }
            head(sheet, number + 1, pages.len());
            if page.is_empty() {
                continue;
            }
            let half = page.len().div_ceil(2);
            let headings = self.headings(0).chain(self.headings(self.right()).filter(|_| page.len() > 1));
            sheet.row(Some(self.heading), headings.collect());
            for left in page.start..page.start + half {
                let right = (left + half < page.end).then_some(left + half);
                let height = heights[left].max(right.map_or(0, |right| heights[right]));
                let mut cells = std::mem::take(&mut rows[left]);
                let moved = right.map(|at| std::mem::take(&mut rows[at])).unwrap_or_default();
                cells.extend(moved.into_iter().map(|cell| Cell { column: cell.column + self.right(), ..cell }));
                sheet.row(Some(height), cells);
            }
        }
    }

    /// Where the right column begins.
    fn right(&self) -> u16 {
        self.half.len() as u16 + 1
    }

    fn headings<'p>(&self, from: u16) -> impl Iterator<Item = Cell<'p>> {
        let heading = move |(at, column): (u16, &super::sheet::Column)| {
            Cell::new(from + at, column.heading, Show::Wrapped, Look::Heading).ruled()
        };
        (0..).zip(L::COLUMNS).map(heading)
    }

    fn cells<'p>(&self, line: Line<'p, L>) -> Vec<Cell<'p>> {
        let look = line.look;
        let cells = line.into_values().into_iter().zip(L::COLUMNS).zip(0..);
        let cell = |((value, column), at): ((_, &super::sheet::Column), u16)| {
            let strong = look == Look::Plain && self.strong.contains(&column.heading);
            Cell::new(at, value, column.show, if strong { Look::Strong } else { look }).ruled()
        };
        cells.map(cell).collect()
    }
}

/// Which lines stand on each page: half of them in its left column, the others in its right one. A last page without lines is there
/// where what stands below has no room else.
fn pages(heights: &[u16], room: u16, around: Around) -> Vec<Range<usize>> {
    let high = |from: usize, half: usize| -> u16 {
        let height = |at: usize| heights.get(at).copied().unwrap_or(0);
        (from..from + half).map(|at| height(at).max(height(at + half))).fold(0, u16::saturating_add)
    };
    let mut pages = Vec::new();
    let mut from = 0;
    loop {
        let room = room.saturating_sub(if from == 0 { around.first } else { around.later });
        let left = heights.len() - from;
        let few = left.div_ceil(2) <= usize::from(room / LOW);
        if few && high(from, left.div_ceil(2)).saturating_add(around.below) <= room {
            pages.push(from..heights.len());
            return pages;
        }
        let most = (1..=left.div_ceil(2)).take_while(|half| high(from, *half) <= room).last().unwrap_or(1);
        // The last two pages share what is left, so that none has three lines.
        let half = if left.saturating_sub(most * 2) < most { left.div_ceil(4) } else { most };
        let until = (from + half * 2).min(heights.len());
        pages.push(from..until);
        from = until;
        if from == heights.len() {
            pages.extend((around.below > 0).then_some(from..from));
            return pages;
        }
    }
}

#[cfg(test)]
#[expect(clippy::single_range_in_vec_init, reason = "a page is a range")]
mod tests {
    use super::{Around, pages};

    /// 550 points, 535 below the head of the first page, are 36 and 35 lines of 15 in each column; with 115 below them 28.
    #[test]
    fn lines_fill_both_columns_and_what_stands_below_has_room() {
        let around = Around { first: 15, later: 0, below: 115 };
        let of = |lines: usize| pages(&vec![15; lines], 550, around);
        assert_eq!(of(56), [0..56]);
        assert_eq!(of(57), [0..30, 30..57]);
        assert_eq!(of(60), [0..30, 30..60]);
        assert_eq!(of(100), [0..50, 50..100]);
        assert_eq!(of(110), [0..70, 70..110]);
        let long = of(500);
        assert_eq!((long[0].clone(), long[1].clone()), (0..70, 70..142));
        assert!(
            long.windows(2).all(|pair| pair[0].end == pair[1].start) && long.last().is_some_and(|last| last.end == 500)
        );
    }

    /// A column is as high as the higher of two lines side by side.
    #[test]
    fn a_line_that_needs_more_room_has_it() {
        let around = Around { first: 0, later: 0, below: 0 };
        assert_eq!(pages(&[15, 30, 15, 15], 45, around), [0..4]);
        assert_eq!(pages(&[30, 30, 15, 15, 15, 15], 45, around), [0..2, 2..6]);
        assert_eq!(pages(&[400], 45, around), [0..1]);
        assert_eq!(pages(&[400], 45, Around { below: 15, ..around }), [0..1, 1..1]);
    }
}
