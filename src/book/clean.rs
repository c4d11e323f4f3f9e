//! A read table in clean form: the book's own columns in order, numbers and dates as such.

use super::forms::Forms;
use super::raw::RawTable;
use super::spec::{Holds, Table, TableSpec};
use crate::base::{Date, Moment, Seconds, parse_time};

/// A cell in clean form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Clean {
    /// Nothing.
    Blank,
    /// Text as written.
    Text(String),
    /// A number as a plain decimal.
    Number(String),
    /// A date.
    Date(Date),
    /// A date and time.
    Moment(Moment),
    /// A time of day in seconds after 00:00.
    Time(Seconds),
}

impl RawTable {
    /// The rows, a cell for each column of the table's spec. What can't be read as what its column holds stays text.
    pub fn clean_rows(&self) -> impl Iterator<Item = Vec<Clean>> {
        let spec = self.shape.spec;
        self.rows.iter().map(move |row| {
            let cells = spec.all.iter().zip(&self.shape.columns).map(|(column, place)| {
                let text = place.as_ref().and_then(|(at, _)| row.get(*at)).unwrap_or("").trim();
                clean(text, held(spec, column.name, column.holds), &self.forms)
            });
            cells.collect()
        })
    }
}

/// Two columns may hold dates though they are text: the days of a calendar and the values of settings.
fn held(spec: &TableSpec, column: &str, holds: Holds) -> Holds {
    let dates_too = matches!((spec.table, column), (Table::Calendar, "day") | (Table::Settings, "value"));
    if dates_too { Holds::Moment } else { holds }
}

fn clean(text: &str, holds: Holds, forms: &Forms) -> Clean {
    let read = match holds {
        _ if text.is_empty() => Some(Clean::Blank),
        Holds::Number => forms.plain_number(text).map(Clean::Number),
        Holds::Date | Holds::Moment => forms.moment(text).map(|(moment, timed)| match timed {
            true => Clean::Moment(moment),
            false => Clean::Date(moment.date()),
        }),
        Holds::Time => parse_time(text).map(Clean::Time),
        Holds::Text | Holds::Words(_) => None,
    };
    read.unwrap_or_else(|| Clean::Text(text.to_owned()))
}

impl std::fmt::Display for Clean {
    /// The cell as text in the book's own form.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Blank => Ok(()),
            Self::Text(text) | Self::Number(text) => f.write_str(text),
            Self::Date(date) => write!(f, "{date}"),
            Self::Moment(moment) => f.write_str(&moment.to_string().replace('T', " ")),
            Self::Time(seconds) if seconds % 60 == 0 => write!(f, "{:02}:{:02}", seconds / 3600, seconds / 60 % 60),
            Self::Time(seconds) => write!(f, "{:02}:{:02}:{:02}", seconds / 3600, seconds / 60 % 60, seconds % 60),
        }
    }
}
