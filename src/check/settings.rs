//! Settings: the plant's name, the moment of the plan, and how the stores and the receiving dock work.

use super::kinds::{BLANK_SETTING, CODE_TWICE, NOT_A_CURRENCY, UNKNOWN_CALENDAR, UNKNOWN_SETTING};
use super::limits::MOST_DAYS;
use super::{Draft, each};
use crate::base::{CalendarId, Findings, Moment, Seconds, fold, nearest};
use crate::book::{Book, BookColumn, Cells, SETTINGS, Table};
use std::collections::HashSet;

/// How long it takes to hand over a piece that comes after its run, where the book does not say.
const HAND_OVER: Seconds = 10 * 60;
/// The most seconds of a stop and kits of a cart that can be meant.
const MOST_SECONDS: i64 = 3600;
const MOST_KITS: i64 = 10_000;
/// Over so many days on which the stores are open bins to count are looked for, where the book does not say; and the most.
const COUNT_DAYS: u32 = 3;
const MOST_COUNT_DAYS: i64 = 366;
/// The most letters of a currency, so that it has room behind a heading.
const MOST_LETTERS: usize = 12;
/// From how many of the last units of a floorplan it is taken what one further on will need, where the book does not say; and the
/// most that can be meant.
const SAMPLE_UNITS: u32 = 100;
const MOST_SAMPLE_UNITS: i64 = 100_000;

impl Draft {
    pub(super) fn read_settings(&mut self, book: &Book, as_of: Option<Moment>, now: Moment, findings: &mut Findings) {
        self.plant.receipts_at = 86_400;
        self.plant.overdue_receipts = 1;
        self.plant.hand_over = HAND_OVER;
        self.plant.count_days = COUNT_DAYS;
        self.plant.sample_units = SAMPLE_UNITS;
        self.plant.as_of = now;
        let mut stores = None;
        let mut seen = HashSet::new();
        each(book, Table::Settings, ["key", "value"], findings, |cells, [key, value]| {
            let Some(text) = cells.code(key) else { return };
            let plain = |text: &str| fold(text).replace([' ', '-', '_'], "");
            let Some(name) = SETTINGS.iter().find(|known| plain(known) == plain(text)) else {
                return cells.report_near(
                    &UNKNOWN_SETTING,
                    key,
                    "no such setting; it is ignored",
                    nearest(text, SETTINGS),
                );
            };
            if !seen.insert(*name) {
                return cells.report(&CODE_TWICE, key, "this setting stands twice");
            }
            if cells.text(value).is_empty() {
                cells.report(&BLANK_SETTING, key, "this setting has no value; it counts as not there");
            }
            match *name {
                "stores calendar" => {
                    stores = self.calendars.refer(cells, value, &UNKNOWN_CALENDAR, "calendar");
                }
                _ => self.take_setting(name, cells, value),
            }
        });
        if let Some(as_of) = as_of {
            self.plant.as_of = as_of;
        }
        // The default, the first line's calendar, is filled in when lines are known.
        self.plant.stores = CalendarId(stores.unwrap_or(u32::MAX));
    }

    fn take_setting(&mut self, name: &str, cells: &mut Cells<'_>, value: BookColumn) {
        let plant = &mut self.plant;
        match name {
            "plant" => cells.text(value).clone_into(&mut plant.name),
            "as of" => plant.as_of = cells.moment(value).map_or(plant.as_of, |(moment, _)| moment),
            "receipts at" => plant.receipts_at = cells.time(value).unwrap_or(plant.receipts_at),
            "overdue receipts" => {
                plant.overdue_receipts = cells.whole_up_to(value, 0, MOST_DAYS).unwrap_or(plant.overdue_receipts);
            }
            "hand over minutes" => plant.hand_over = cells.minutes(value).unwrap_or(plant.hand_over),
            "kit cards" => plant.all_kit_cards = cells.choice(value, &[("labels", false), ("all", true)]) == Some(true),
            "seconds a stop" => plant.seconds_a_stop = cells.whole_up_to(value, 1, MOST_SECONDS).map(i64::from),
            "kits a cart" => plant.kits_a_cart = cells.whole_up_to(value, 1, MOST_KITS),
            "count days" => plant.count_days = cells.whole_up_to(value, 1, MOST_COUNT_DAYS).unwrap_or(plant.count_days),
            "currency" => plant.currency = currency(cells, value),
            "sample units" => {
                plant.sample_units = cells.whole_up_to(value, 1, MOST_SAMPLE_UNITS).unwrap_or(plant.sample_units);
            }
            "delivered to" => plant.delivered_to = cells.moment(value).map(|(moment, _)| moment),
            _ => plant.one_person_lifts = cells.positive(value).and_then(crate::base::Quantity::cut),
        }
    }
}

/// What money is told in; blank where it is none, which is reported.
fn currency(cells: &mut Cells<'_>, value: BookColumn) -> String {
    let text = cells.text(value).to_owned();
    if text.chars().count() > MOST_LETTERS || text.chars().any(|sign| sign.is_numeric() || sign.is_control()) {
        cells.report(
            &NOT_A_CURRENCY,
            value,
            format!("expected a code or a sign, at most {MOST_LETTERS} letters and no digit"),
        );
        return String::new();
    }
    text
}
