//! Where things happen: floorplans, lines, their takt and stations, and the feeder shops.

use super::codes::Defined;
use super::kinds::{
    LAST_MOVE_AHEAD, LINE_WITHOUT_STATION, LINE_WITHOUT_TAKT, LONG_WAIT, TAKT_NOT_POSITIVE, UNKNOWN_CALENDAR,
    UNKNOWN_LINE,
};
use super::limits::{MOST_CREWS, MOST_POSITIONS};
use super::plant::{Dest, DestKind, Floorplan, Line, Shop};
use super::{Draft, each, or_code};
use crate::base::{Calendar, CalendarId, DestId, Finding, Findings, LineId, Place, Ratio, Seconds, ShopId, fold};
use crate::book::{Book, BookColumn, Cells, Table};

impl Draft {
    pub(super) fn read_places(&mut self, book: &Book, findings: &mut Findings) {
        self.read_floorplans(book, findings);
        let lines = self.read_lines(book, findings);
        self.read_takt(book, findings);
        let mut defined = Defined::default();
        self.read_stations(book, &mut defined, findings);
        self.read_shops(book, &mut defined, findings);
        self.sort_dests();
        self.report_bare_lines(book, &lines, findings);
        if self.plant.stores == CalendarId(u32::MAX) {
            self.plant.stores = self.plant.lines.first().map_or(CalendarId(0), |line| line.calendar);
        }
    }

    fn read_floorplans(&mut self, book: &Book, findings: &mut Findings) {
        each(book, Table::Floorplans, ["floorplan", "name", "series"], findings, |cells, [code, name, series]| {
            let Some(text) = cells.code(code) else { return };
            if !self.parts_and_floorplans.take(cells, code, &fold(text)) {
                return;
            }
            let as_name = self.names.take(cells, code, "floorplan");
            let series = (!cells.text(series).is_empty()).then(|| self.names.take(cells, series, "series"));
            self.floorplans.add(text);
            self.plant.floorplans.push(Floorplan {
                code: text.to_owned(),
                name: or_code(cells.text(name), text),
                as_name,
                series,
                bill: 0..0,
                offers: Vec::new(),
                standards: Vec::new(),
                row: cells.number(),
            });
        });
    }

    fn read_lines(&mut self, book: &Book, findings: &mut Findings) -> Vec<Place> {
        let mut defined = Defined::default();
        let mut places = Vec::new();
        each(
            book,
            Table::Lines,
            ["line", "name", "calendar", "last move"],
            findings,
            |cells, [code, name, calendar, last]| {
                let Some(text) = cells.code(code) else { return };
                let works = self.calendars.refer_needed(cells, calendar, &UNKNOWN_CALENDAR, "calendar");
                let last_move = cells.moment(last).map(|(moment, _)| moment);
                if last_move.is_some_and(|moment| moment > self.plant.as_of) {
                    cells.report(
                        &LAST_MOVE_AHEAD,
                        last,
                        format!("this is after the as-of moment, {}", self.plant.as_of),
                    );
                }
                if !defined.take(cells, code, &fold(text)) {
                    return;
                }
                let as_name = self.names.take(cells, code, "line");
                self.lines.add(text);
                places.push(cells.place(code));
                self.plant.lines.push(Line {
                    code: text.to_owned(),
                    name: or_code(cells.text(name), text),
                    calendar: CalendarId(works.unwrap_or_default()),
                    last_move,
                    takt: Vec::new(),
                    positions: 0,
                    as_name,
                });
            },
        );
        places
    }

    fn read_takt(&mut self, book: &Book, findings: &mut Findings) {
        let mut defined = Defined::default();
        each(book, Table::Takt, ["line", "from", "minutes"], findings, |cells, [line, from, minutes]| {
            let id = self.lines.refer_needed(cells, line, &UNKNOWN_LINE, "line");
            let date = cells.date_needed(from);
            let takt = cells.signed_needed(minutes).and_then(|m| m.times(Ratio::whole(60))).and_then(Ratio::rounded);
            if takt.is_some_and(|seconds| seconds <= 0) {
                cells.report(&TAKT_NOT_POSITIVE, minutes, "a takt must be above zero");
            }
            let Some(id) = id else { return };
            self.report_long_takt(cells, minutes, id, takt.unwrap_or_default());
            // A row that can't be read has been told; its line is not also one without takt.
            if date.is_none_or(|date| defined.take(cells, from, &format!("{id} {date}"))) {
                let takt = takt.unwrap_or_default().max(1);
                self.plant.lines[id as usize].takt.push((date.unwrap_or_default(), takt));
            }
        });
        self.plant.lines.iter_mut().for_each(|line| line.takt.sort_unstable());
    }

    /// Reports a takt of more than two weeks of the line's work.
    fn report_long_takt(&self, cells: &mut Cells<'_>, minutes: BookColumn, line: u32, takt: Seconds) {
        let line = &self.plant.lines[line as usize];
        let weeks = self.plant.calendars.get(line.calendar.at()).map(Calendar::two_weeks_work);
        if weeks.is_some_and(|weeks| weeks > 0 && takt > weeks) {
            let message = format!("units of {} stand longer than two weeks at each position", line.code);
            cells.report(&LONG_WAIT, minutes, message);
        }
    }

    fn read_stations(&mut self, book: &Book, defined: &mut Defined, findings: &mut Findings) {
        let columns = ["line", "station", "position", "name", "deliver ahead"];
        each(book, Table::Stations, columns, findings, |cells, [line, code, position, name, ahead]| {
            let id = self.lines.refer_needed(cells, line, &UNKNOWN_LINE, "line");
            let blank = cells.text(position).is_empty();
            let at = if blank {
                cells.number_needed(position).map(|_| 0)
            } else {
                cells.whole_up_to(position, 1, MOST_POSITIONS)
            };
            let ahead = cells.minutes(ahead).unwrap_or_default();
            let Some(text) = cells.code(code) else { return };
            if !defined.take(cells, code, &fold(text)) {
                return;
            }
            let (line, position) = (LineId(id.unwrap_or_default()), at.unwrap_or(1));
            if let Some(line) = self.plant.lines.get_mut(line.at()).filter(|_| id.is_some()) {
                line.positions = line.positions.max(position);
            }
            self.dests.add(text);
            let what = DestKind::Station { line, position, ahead };
            self.plant.dests.push(Dest { code: text.to_owned(), name: or_code(cells.text(name), text), what });
        });
    }

    fn read_shops(&mut self, book: &Book, defined: &mut Defined, findings: &mut Findings) {
        let columns = ["shop", "name", "calendar", "crews", "transit", "deliver ahead"];
        each(book, Table::Shops, columns, findings, |cells, [code, name, calendar, crews, transit, ahead]| {
            let works = self.calendars.refer_needed(cells, calendar, &UNKNOWN_CALENDAR, "calendar");
            let crews = cells.whole_up_to(crews, 1, MOST_CREWS).unwrap_or(1);
            let (transit, ahead) =
                (cells.minutes(transit).unwrap_or_default(), cells.minutes(ahead).unwrap_or_default());
            let Some(text) = cells.code(code) else { return };
            if !defined.take(cells, code, &fold(text)) {
                return;
            }
            let dest = DestId(self.dests.add(text));
            let shop = ShopId(self.shops.add(text));
            let what = DestKind::Shop(shop);
            self.plant.dests.push(Dest { code: text.to_owned(), name: or_code(cells.text(name), text), what });
            let calendar = CalendarId(works.unwrap_or_default());
            self.plant.shops.push(Shop { dest, calendar, crews, transit, ahead });
        });
    }

    /// Stations and shops are numbered in code order.
    fn sort_dests(&mut self) {
        let renumbered = self.dests.sort();
        let mut old: Vec<Option<Dest>> = self.plant.dests.drain(..).map(Some).collect();
        let mut order: Vec<usize> = (0..old.len()).collect();
        order.sort_by_key(|&i| renumbered[i]);
        self.plant.dests = order.iter().filter_map(|&i| old[i].take()).collect();
        self.plant.shops.iter_mut().for_each(|shop| shop.dest = DestId(renumbered[shop.dest.at()]));
    }

    fn report_bare_lines(&self, book: &Book, places: &[Place], findings: &mut Findings) {
        for (line, place) in self.plant.lines.iter().zip(places) {
            if line.takt.is_empty() && book.table(Table::Takt).is_some() {
                findings.add(Finding::new(
                    &LINE_WITHOUT_TAKT,
                    place.clone(),
                    &line.code,
                    "this line has no row in Takt",
                ));
            }
            if line.positions == 0 && book.table(Table::Stations).is_some() {
                findings.add(Finding::new(
                    &LINE_WITHOUT_STATION,
                    place.clone(),
                    &line.code,
                    "this line has no station",
                ));
            }
        }
    }
}
