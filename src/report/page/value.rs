//! A value of a row, for sheets and for whoever reads the tables one by one.

use crate::base::{Date, Moment, Quantity, Total};
use std::borrow::Cow;

/// A value of a row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Value<'a> {
    /// Nothing.
    Blank,
    /// Text.
    Text(Cow<'a, str>),
    /// An amount.
    Quantity(Quantity),
    /// What amounts come to: money, kilograms, pieces of many parts.
    Total(Total),
    /// A local date and time.
    Moment(Moment),
    /// A date.
    Date(Date),
    /// A whole number.
    Whole(i64),
}

impl<'a> From<&'a str> for Value<'a> {
    fn from(text: &'a str) -> Self {
        Cow::Borrowed(text).into()
    }
}

impl From<String> for Value<'_> {
    fn from(text: String) -> Self {
        Cow::<str>::Owned(text).into()
    }
}

impl<'a> From<Cow<'a, str>> for Value<'a> {
    fn from(text: Cow<'a, str>) -> Self {
        if text.is_empty() { Self::Blank } else { Self::Text(text) }
    }
}

impl From<Quantity> for Value<'_> {
    fn from(quantity: Quantity) -> Self {
        Self::Quantity(quantity)
    }
}

impl From<Total> for Value<'_> {
    fn from(total: Total) -> Self {
        Self::Total(total)
    }
}

impl From<Moment> for Value<'_> {
    fn from(moment: Moment) -> Self {
        Self::Moment(moment)
    }
}

impl From<Date> for Value<'_> {
    fn from(date: Date) -> Self {
        Self::Date(date)
    }
}

impl From<i64> for Value<'_> {
    fn from(number: i64) -> Self {
        Self::Whole(number)
    }
}

impl<'a, T: Into<Value<'a>>> From<Option<T>> for Value<'a> {
    fn from(value: Option<T>) -> Self {
        value.map_or(Self::Blank, Into::into)
    }
}
