//! A read table in clean form: the book's own columns in order, numbers and dates as such.

use super::forms::Forms;
use super::raw::RawTable;
use super::spec::{Holds, Table, TableSpec, plain_name};
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
            let text = |at: usize| self.cell(row, at);
            let cells = (0..).zip(spec.all).map(|(at, column)| {
                let holds = held(spec, column.name, column.holds, text(0));
                clean(text(at), holds, &self.forms)
            });
            cells.collect()
        })
    }
}

/// What a cell is in its file, whose own forms it is written in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Form {
    /// As its column says.
    Column(Holds),
    /// A date, or two with `to` between, or weekdays.
    Days,
    /// A share: a number, or one with a percent sign.
    Share,
}

/// What a cell holds; `first` is the first cell of its row. A setting holds what its key says, and a unit may be done on a day.
fn held(spec: &TableSpec, column: &str, holds: Holds, first: &str) -> Form {
    match (spec.table, column) {
        (Table::Calendar, "day") => Form::Days,
        (Table::Bills, "scrap") => Form::Share,
        (Table::Sequence, "done") => Form::Column(Holds::Moment),
        (Table::Settings, "value") => Form::Column(match plain_name(first).as_str() {
            "asof" | "deliveredto" => Holds::Moment,
            "receiptsat" => Holds::Time,
            "overduereceipts" | "onepersonlifts" | "handoverminutes" => Holds::Number,
            _ => Holds::Text,
        }),
        _ => Form::Column(holds),
    }
}

fn clean(text: &str, form: Form, forms: &Forms) -> Clean {
    let read = match form {
        _ if text.is_empty() => Some(Clean::Blank),
        Form::Column(Holds::Number) => forms.plain_number(text).map(Clean::Number),
        Form::Column(Holds::Date | Holds::Moment) => moment(text, forms),
        Form::Column(Holds::Time) => parse_time(text).map(Clean::Time),
        Form::Column(Holds::Text | Holds::Words(_)) => None,
        Form::Days => moment(text, forms).or_else(|| days(text, forms)),
        Form::Share => match text.strip_suffix('%') {
            Some(percent) => forms.plain_number(percent.trim()).map(|percent| Clean::Text(percent + "%")),
            None => forms.plain_number(text).map(Clean::Number),
        },
    };
    read.unwrap_or_else(|| Clean::Text(text.to_owned()))
}

fn moment(text: &str, forms: &Forms) -> Option<Clean> {
    forms.moment(text).map(|(moment, timed)| if timed { Clean::Moment(moment) } else { Clean::Date(moment.date()) })
}

/// Two dates with `to` between.
fn days(text: &str, forms: &Forms) -> Option<Clean> {
    let lower = text.to_lowercase();
    let (first, last) = lower.split_once(" to ")?;
    let [first, last] = [first, last].map(|day| moment(day.trim(), forms).filter(|day| matches!(day, Clean::Date(_))));
    Some(Clean::Text(format!("{} to {}", first?, last?)))
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
