//! A stretch of time drawn from left to right, in whole points of the picture.

use crate::base::{Date, Moment};
use maud::{Markup, html};

/// The left edge of what is drawn, beside which labels stand, in points.
pub const LEFT: i64 = 120;
/// The right edge, in points.
pub const RIGHT: i64 = 1_080;
/// The width of a picture, in points.
pub const WIDTH: i64 = 1_180;
/// Where the drawing begins, below the dates, in points.
pub const TOP: i64 = 30;

/// A stretch of time.
#[derive(Clone, Copy, Debug)]
pub struct Axis {
    from: Moment,
    to: Moment,
}

impl Axis {
    /// From the first to the last of some moments, an hour at least.
    pub fn over(moments: impl Iterator<Item = Moment> + Clone) -> Option<Self> {
        let (from, to) = (moments.clone().min()?, moments.max()?);
        Some(Self { from, to: to.max(from.plus(3_600)) })
    }

    /// Where a moment stands, within the edges.
    pub fn x(self, at: Moment) -> i64 {
        let whole = (self.to.seconds() - self.from.seconds()).max(1);
        let within = (at.seconds() - self.from.seconds()).clamp(0, whole);
        LEFT + (RIGHT - LEFT) * within / whole
    }

    /// The dates of the stretch with a thin line at each midnight, as many as there is room for; hours where it is one date.
    pub fn marks(self, height: i64) -> Markup {
        let marks = self.dates();
        html! {
            @for (at, words) in marks {
                line .mark x1=(self.x(at)) x2=(self.x(at)) y1=(TOP - 8) y2=(height) {}
                @if self.x(at) < RIGHT - 50 { text .date x=(self.x(at) + 3) y=(TOP - 12) { (words) } }
            }
        }
    }

    fn dates(self) -> Vec<(Moment, String)> {
        let (first, last) = (self.from.date(), self.to.date());
        if first == last {
            let hours = (0..24).map(|hour| Moment::at(first, hour * 3_600));
            let within = hours.filter(|at| (self.from..=self.to).contains(at));
            return within.map(|at| (at, at.clock())).collect();
        }
        let step = (last.days() - first.days()) / 12 + 1;
        let mut dates: Vec<Date> = Vec::new();
        let mut date = first;
        while date <= last {
            dates.push(date);
            date = date.plus(step);
        }
        let marks = dates.into_iter().map(|date| (date.midnight(), date.short()));
        marks.filter(|(at, _)| *at >= self.from).collect()
    }
}

/// Where labels stand that must not run into each other: the first row in which there is room.
#[derive(Debug)]
pub struct LabelRows(Vec<i64>);

impl LabelRows {
    /// So many rows.
    pub fn new(rows: usize) -> Self {
        Self(vec![i64::MIN; rows])
    }

    /// The row for a label from a place on; `None` where there is no room in any, or it would run over the edge.
    pub fn row(&mut self, from: i64, label: &str) -> Option<i64> {
        let letters = i64::try_from(label.chars().count()).unwrap_or(i64::MAX / 16);
        let end = from + letters * 7 + 18;
        let row = self.0.iter().position(|last| *last < from).filter(|_| end < WIDTH)?;
        self.0[row] = end;
        i64::try_from(row).ok()
    }
}

/// A picture with what it shows in words, for who does not see it.
pub fn picture(title: &str, words: &str, height: i64, content: &Markup) -> Markup {
    html! {
        svg role="img" viewBox=(format!("0 0 {WIDTH} {height}")) {
            title { (title) }
            desc { (words) }
            (content)
        }
    }
}
