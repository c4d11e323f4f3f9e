//! The cells of one column of a Parquet row group while its rows come in.

use super::codes::{Codes, Texts};
use super::columns::{Cells, Kind};
use crate::plan::Plan;
use polars::prelude::{
    ChunkedArray, Int32Type, Int64Type, Int128Type, IntoSeries, PlSmallStr, PolarsNumericType, PolarsResult, Series,
    TimeUnit,
};

/// Rows of a row group, at most.
pub const GROUP: usize = 1 << 17;

/// Values of one type, some of which may be missing.
#[derive(Default)]
pub struct Filled<T> {
    values: Vec<T>,
    there: Vec<bool>,
}

impl<T: Copy> Filled<T> {
    /// The same, each value as another.
    pub fn map<U>(self, to: impl Fn(T) -> U) -> Filled<U> {
        Filled { values: self.values.into_iter().map(to).collect(), there: self.there }
    }

    /// As what the data-frame library holds.
    pub fn into_chunked<P: PolarsNumericType<Native = T>>(self, name: PlSmallStr) -> ChunkedArray<P> {
        let missing = self.there.contains(&false);
        let there = missing.then(|| self.there.into_iter().collect());
        ChunkedArray::from_vec_validity(name, self.values, there)
    }

    fn extend(&mut self, cells: &Cells, of: impl Fn(i64) -> T) {
        if self.values.is_empty() {
            self.values.reserve_exact(GROUP);
            self.there.reserve_exact(GROUP);
        }
        self.values.extend(cells.values.iter().map(|value| of(*value)));
        self.there.extend_from_slice(&cells.there);
    }
}

impl Filled<u32> {
    /// Adds the numbers of codes; `false` where one is at no place of the list.
    fn extend_coded(&mut self, cells: &Cells, codes: &Codes) -> bool {
        let before = self.values.len();
        self.extend(cells, |place| codes.number(place));
        if let Some(blank) = codes.blank() {
            let added = self.there[before..].iter_mut().zip(&self.values[before..]);
            added.for_each(|(there, number)| *there &= *number != blank);
        }
        cells.values.iter().all(|place| codes.has(*place))
    }
}

/// The cells of a column so far.
pub enum Column {
    /// Places in a list of texts.
    Text(Texts, Filled<u32>),
    /// Numbers of a dictionary.
    Code(Codes, Filled<u32>),
    /// Millionths.
    Quantity(Filled<i128>),
    /// Milliseconds.
    Moment(Filled<i64>),
    /// Days.
    Date(Filled<i32>),
    /// Whole numbers.
    Whole(Filled<i64>),
}

impl Column {
    /// Without any cells.
    pub fn new(kind: Kind, plan: &Plan<'_>) -> PolarsResult<Self> {
        Ok(match kind {
            Kind::Text(list) => Self::Text(Texts::new(&list.texts(plan)), Filled::default()),
            Kind::Code(list) => Self::Code(Codes::new(&list.texts(plan))?, Filled::default()),
            Kind::Quantity => Self::Quantity(Filled::default()),
            Kind::Moment => Self::Moment(Filled::default()),
            Kind::Date => Self::Date(Filled::default()),
            Kind::Whole => Self::Whole(Filled::default()),
        })
    }

    /// Adds cells; `false` where one is at no place of the column's list.
    pub fn extend(&mut self, cells: &Cells) -> bool {
        match self {
            Self::Text(_, places) => places.extend(cells, |place| place as u32),
            Self::Code(codes, numbers) => return numbers.extend_coded(cells, codes),
            Self::Quantity(millionths) => millionths.extend(cells, i128::from),
            Self::Moment(milliseconds) => milliseconds.extend(cells, |seconds| seconds * 1000),
            Self::Date(days) => days.extend(cells, |days| days as i32),
            Self::Whole(numbers) => numbers.extend(cells, |number| number),
        }
        true
    }

    /// The cells so far as a column; the next row group begins.
    pub fn take(&mut self, name: &'static str) -> PolarsResult<Series> {
        let name = PlSmallStr::from_static(name);
        Ok(match self {
            Self::Text(texts, places) => texts.column(name, std::mem::take(places))?,
            Self::Code(codes, numbers) => codes.column(name, std::mem::take(numbers)),
            Self::Quantity(millionths) => {
                std::mem::take(millionths).into_chunked::<Int128Type>(name).into_decimal_unchecked(38, 6).into_series()
            }
            Self::Moment(milliseconds) => {
                let milliseconds = std::mem::take(milliseconds).into_chunked::<Int64Type>(name);
                milliseconds.into_datetime(TimeUnit::Milliseconds, None).into_series()
            }
            Self::Date(days) => std::mem::take(days).into_chunked::<Int32Type>(name).into_date().into_series(),
            Self::Whole(numbers) => std::mem::take(numbers).into_chunked::<Int64Type>(name).into_series(),
        })
    }
}
