//! A table on a sheet, declared once: each column is one line that says its heading, how wide it is, how it shows and what
//! it holds.

use super::sheet::{Column, Look};
use crate::report::table::Value;
use std::marker::PhantomData;

/// What the lines of a table are lines of: its columns.
pub trait Listing {
    /// The columns, from left to right.
    const COLUMNS: &'static [Column];
}

/// A line of a table: a value for each of its columns, and what the line is on the page. Only what declares the columns makes one,
/// so that a value without a column, or a column without a value, does not compile.
pub struct Line<'p, L> {
    /// What it is on the page.
    pub look: Look,
    values: Vec<Value<'p>>,
    of: PhantomData<fn() -> L>,
}

impl<'p, L: Listing> Line<'p, L> {
    /// For the macro `listing` alone.
    #[doc(hidden)]
    pub fn declared(look: Look, values: Vec<Value<'p>>) -> Self {
        Self { look, values, of: PhantomData }
    }

    /// Its values, in the order of the columns.
    pub fn values(&self) -> &[Value<'p>] {
        &self.values
    }

    /// Its values, to keep.
    pub fn into_values(self) -> Vec<Value<'p>> {
        self.values
    }
}

/// The widths that the columns of a listing name, in characters.
pub fn widths<L: Listing>() -> Vec<u16> {
    L::COLUMNS.iter().map(|column| column.width).collect()
}

/// Declares a table: its name, the function that makes a line of it, and its columns, each `"heading", width, how it shows =>
/// what it holds;`. The width is what the column has, or where the sheet fits its columns (`fit`) what it has at least; a table
/// below another has that one's widths and names none. What the body of the function works out may stand in every column.
macro_rules! listing {
    (
        $(#[$doc:meta])*
        $vis:vis $name:ident: fn $line:ident<$p:lifetime>($($args:tt)*) { $($body:tt)* } look: $look:expr;
        $($heading:literal $(, $width:literal)?, $show:ident => $value:expr;)+
    ) => {
        $(#[$doc])*
        $vis enum $name {}

        impl $crate::report::listing::Listing for $name {
            const COLUMNS: &'static [$crate::report::sheet::Column] = &[$(
                $crate::report::sheet::Column {
                    heading: $heading,
                    width: 0 $(+ $width)?,
                    show: $crate::report::sheet::Show::$show,
                },
            )+];
        }

        $(#[$doc])*
        fn $line<$p>($($args)*) -> $crate::report::listing::Line<$p, $name> {
            $($body)*
            let values = vec![$($crate::report::table::Value::from($value)),+];
            $crate::report::listing::Line::declared($look, values)
        }
    };
}
pub(crate) use listing;
