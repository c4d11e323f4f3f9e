//! What stands behind a job: its material, when that is there, the run that brings it, when the job can be begun, and what its lateness costs the
//! line. From the tables of the plan and the bills; whether a line of a bill counts for the unit, the pegs say.

use super::shop_orders::{own, worked};
use super::takes::exact;
use crate::oracle::clock::{DAY, day_of, print};
use crate::oracle::numbers;
use crate::oracle::plant::Source;
use crate::oracle::sheets::{Key, key};
use crate::oracle::waves::wave_before;
use crate::questions::asked::{Asked, Row, minutes_up, seconds, whole};
use std::collections::{BTreeMap, BTreeSet};

/// A job of one of the shops.
pub struct Job<'a> {
    pub row: &'a Row,
    pub shop: Key,
    /// What stands below it in its shop: what it may need, and what may come off it.
    needs: BTreeSet<Key>,
    pub gives: BTreeSet<Key>,
    /// When its material is needed.
    pub need: i64,
    /// Whether other jobs of its unit begin with it, or an extra is needed there then, so that a demand is not its own alone.
    pub shared: bool,
}

/// All jobs, by shop and number.
pub struct Jobs<'a> {
    asked: &'a Asked<'a>,
    pub of_shops: BTreeMap<Key, Vec<Job<'a>>>,
    pegs: BTreeMap<(String, String, i64), Vec<&'a Row>>,
}

pub fn begun(job: &Row) -> bool {
    job["material"] == *"issued"
}

impl<'a> Jobs<'a> {
    pub fn of(asked: &'a Asked<'a>) -> Self {
        let mut of_shops: BTreeMap<Key, Vec<Job<'a>>> = BTreeMap::new();
        for (code, shop) in &asked.tables.plant.shops {
            let hours = asked.tables.plant.calendar_of_shop(code);
            let mut jobs: Vec<Job<'a>> = Vec::new();
            for row in own(asked, code) {
                let (mut needs, mut gives) = (BTreeSet::new(), BTreeSet::new());
                below(asked, &key(&row["part"]), code, &mut needs, &mut gives);
                let need = hours.starts(worked(asked, code, &row["start"]) - shop.deliver_ahead);
                jobs.push(Job { row, shop: code.clone(), needs, gives, need, shared: false });
            }
            let mut at_once: BTreeMap<(String, i64), usize> = BTreeMap::new();
            for job in jobs.iter().filter(|job| !begun(job.row)) {
                *at_once.entry((job.row["unit"].to_owned(), job.need)).or_default() += 1;
            }
            for job in &mut jobs {
                let several = at_once.get(&(job.row["unit"].to_owned(), job.need)).is_some_and(|jobs| *jobs > 1);
                let owed = asked.tables.plant.extras.iter().any(|extra| {
                    extra.to == *code && extra.unit == key(&job.row["unit"]) && extra.needed == Some(job.need)
                });
                job.shared = several || owed;
            }
            of_shops.insert(code.clone(), jobs);
        }
        let mut pegs: BTreeMap<(String, String, i64), Vec<&Row>> = BTreeMap::new();
        let mut parts: Vec<&str> = asked.tables.plant.parts.values().map(|part| part.code.as_str()).collect();
        parts.sort_by_key(|part| key(part));
        for peg in parts.into_iter().flat_map(|part| asked.pegs(part)) {
            if asked.tables.plant.shops.contains_key(&key(&peg["to"])) {
                let of = (key(&peg["to"]), peg["unit"].to_owned(), seconds(&peg["need"]));
                pegs.entry(of).or_default().push(peg);
            }
        }
        Self { asked, of_shops, pegs }
    }

    fn all(&self) -> impl Iterator<Item = &Job<'a>> {
        self.of_shops.values().flatten()
    }

    /// The pegs of a job's material, part by part; none of one that has begun.
    pub fn material(&self, job: &Job<'a>) -> Vec<&'a Row> {
        if begun(job.row) {
            return Vec::new();
        }
        let own = self.pegs.get(&(job.shop.clone(), job.row["unit"].to_owned(), job.need));
        let own = own.map_or(&[][..], Vec::as_slice).iter().copied();
        own.filter(|peg| job.needs.contains(&key(&peg["part"]))).collect()
    }

    /// When a piece is there, late material waited for; `None` of what lies there, a blank where nothing says.
    pub fn there(&self, peg: &Row) -> Option<String> {
        let known = peg["available"].to_owned();
        match &peg["cover"] {
            "none" => Some(String::new()),
            "receipt" => Some(known),
            "job" => {
                Some(self.all().find(|job| job.row["job"] == peg["source"]).expect("a job").row["there_at"].to_owned())
            }
            "by-product" => {
                // Pieces of a unit that come off at one moment are one heap, there with the last of them.
                let gives = |job: &&Job<'a>| {
                    job.row["unit"] == peg["unit"]
                        && job.gives.contains(&key(&peg["part"]))
                        && self.asked.peg_of_job(job.row)["available"] == peg["available"]
                };
                let there = self.all().filter(gives).map(|job| job.row["there_at"].to_owned());
                let last = there.max_by_key(|at| if at.is_empty() { "9".to_owned() } else { at.clone() });
                Some(last.unwrap_or(known))
            }
            _ => None,
        }
    }

    /// Pieces that are there after their need, with when that is.
    pub fn late(&self, job: &Job<'a>) -> Vec<(&'a Row, Option<i64>)> {
        let late = |peg: &'a Row| {
            let there = self.there(peg)?;
            let at = Some(&there).filter(|there| !there.is_empty()).map(|there| seconds(there));
            at.is_none_or(|at| at > seconds(&peg["need"])).then_some((peg, at))
        };
        self.material(job).into_iter().filter_map(late).collect()
    }

    /// The run that brings a job's material, where some of it leaves the stores.
    pub fn run(&self, job: &Job<'a>) -> Option<i64> {
        let leaves = |peg: &&Row| ["reserved", "stock", "receipt", "none"].contains(&&peg["cover"]);
        let some = self.material(job).iter().any(leaves);
        some.then(|| wave_before(&self.asked.tables.plant, job.need).clock)
    }

    /// When a job can be begun: when its crew gets to it, and so long behind the last of its material as the shop wants; `None` where nothing
    /// says when that is there.
    pub fn earliest(&self, job: &Job<'a>) -> Option<i64> {
        let ahead = self.asked.tables.plant.shops[&job.shop].deliver_ahead;
        let hours = self.asked.tables.plant.calendar_of_shop(&job.shop);
        let mut start = worked(self.asked, &job.shop, &job.row["earliest"]);
        for there in self.material(job).into_iter().filter_map(|peg| self.there(peg)) {
            let there = Some(there).filter(|there| !there.is_empty())?;
            start = start.max(hours.worked(seconds(&there)) + ahead);
        }
        if let Some(run) = self.run(job) {
            start = start.max(hours.worked(run) + ahead);
        }
        Some(hours.starts(start))
    }

    /// Parts in words: up to three by code, those short with how much; then how many more.
    fn named(&self, late: &[(&Row, Option<i64>)], so: impl Fn(&(&Row, Option<i64>)) -> bool) -> String {
        let of_parts = late.chunk_by(|one, other| one.0["part"] == other.0["part"]);
        let names: Vec<String> = of_parts
            .filter(|pieces| pieces.iter().any(&so))
            .map(|pieces| {
                let part = &self.asked.tables.plant.parts[&key(&pieces[0].0["part"])];
                let short = pieces.iter().filter(|(peg, _)| peg["cover"] == *"none");
                match short.map(|(peg, _)| exact(&peg["qty"])).sum::<i128>() {
                    0 => part.code.clone(),
                    qty => format!("{} ({} {})", part.code, numbers::print(qty), part.uom),
                }
            })
            .collect();
        let more = names.len().saturating_sub(3);
        let shown = names[..names.len() - more].join(", ");
        if more > 0 { format!("{shown} and {more} more") } else { shown }
    }

    /// How the material stands, in words, and in few words where it is not there.
    pub fn material_words(&self, job: &Job<'a>) -> (String, String) {
        let late = self.late(job);
        let is_short = |piece: &(&Row, Option<i64>)| piece.0["cover"] == *"none";
        let short: BTreeSet<&str> = late.iter().filter(|piece| is_short(piece)).map(|(peg, _)| &peg["part"]).collect();
        let last = late.iter().map(|(_, at)| at.unwrap_or(i64::MAX)).max();
        let words = match last {
            _ if !short.is_empty() => format!("short of {}", self.named(&late, is_short)),
            None => "ready".to_owned(),
            Some(i64::MAX) => format!("no time known for {}", self.named(&late, |piece| piece.1.is_none())),
            Some(at) => format!("late, all there {}", crate::questions::asked::short(&print(at))),
        };
        let few = match (late.is_empty(), short.len()) {
            (true, _) => String::new(),
            (_, 2..) => format!("{} parts short", short.len()),
            _ => words.clone(),
        };
        (if begun(job.row) { "issued".to_owned() } else { words }, few)
    }

    /// What late material does to a job, in words; blank where all of it is in time.
    pub fn effect(&self, job: &Job<'a>) -> String {
        let late = self.late(job);
        let Some(last) = late.iter().map(|(_, at)| at.unwrap_or(i64::MAX)).max() else { return String::new() };
        if last == i64::MAX {
            if late.iter().any(|(peg, _)| peg["cover"] == *"none") {
                return "material: nothing open covers what is short".to_owned();
            }
            return format!("material: nothing says when {} comes", self.named(&late, |piece| piece.1.is_none()));
        }
        let hours = self.asked.tables.plant.calendar_of_shop(&job.shop);
        let ahead = self.asked.tables.plant.shops[&job.shop].deliver_ahead;
        let start = (hours.worked(last) + ahead).max(worked(self.asked, &job.shop, &job.row["earliest"]));
        let effect = match self.late_by(job) {
            Some(0) => "is in time if begun then".to_owned(),
            Some(late) => format!("is then {late} min late"),
            None => "nothing says when it is there".to_owned(),
        };
        let start = crate::questions::asked::short(&print(hours.starts(start)));
        format!("material: waits for {}, can start {start}, {effect}", self.named(&late, |_| true))
    }

    /// By how many minutes what a job builds is late; `None` where nothing says when it is there.
    pub fn late_by(&self, job: &Job<'a>) -> Option<i64> {
        let need = seconds(&self.asked.peg_of_job(job.row)["need"]);
        let there = Some(&job.row["there_at"]).filter(|there| !there.is_empty())?;
        Some(minutes_up(seconds(there) - need).max(0))
    }

    /// `late 12 min`, `late, no time known`; blank in time.
    pub fn late_words(&self, job: &Job<'a>) -> String {
        match self.late_by(job) {
            Some(0) => String::new(),
            Some(late) => format!("late {late} min"),
            None => "late, no time known".to_owned(),
        }
    }

    /// Whether there is something to look at: late, done after its due, or its material late.
    pub fn wrong(&self, job: &Job<'a>) -> bool {
        let length = super::shop_orders::length(self.asked, &job.shop, job.row);
        let done = worked(self.asked, &job.shop, &job.row["earliest"]) + length;
        self.moves(job) || self.late_by(job) != Some(0) || done > worked(self.asked, &job.shop, &job.row["due"])
    }

    /// Whether late material moves it.
    pub fn moves(&self, job: &Job<'a>) -> bool {
        job.row["there_at"] != self.asked.peg_of_job(job.row)["available"]
    }

    /// `U1 BOX`, as sheets name a job: with its number where its unit has several of the part; without a unit the part.
    pub fn name(job: &Job<'a>) -> String {
        job.row["job"].to_owned()
    }

    /// What a job's piece does to the line: at its station, or in what another shop builds of it.
    pub fn cost(&self, job: &Job<'a>) -> Cost {
        let mut ends = BTreeSet::new();
        self.follow(job, &mut ends);
        let is_station = |row: &&Row| self.asked.tables.plant.stations.contains_key(&key(&row["to"]));
        let own = |row: &&Row| {
            let of = [key(&row["part"]), key(&row["unit"]), key(&row["to"])];
            row["word"] == *"stops the line" && ends.contains(&of)
        };
        let mut cost = Cost::default();
        let mut stops: BTreeMap<Key, Vec<(i64, i64)>> = BTreeMap::new();
        for row in self.asked.table("consequences").iter().filter(is_station).filter(own) {
            if row["stop_minutes"].is_empty() {
                cost.no_end = true;
                continue;
            }
            cost.adds += whole(&row["adds_seconds"]);
            let line = &self.asked.tables.plant.stations[&key(&row["hand_over_at"])].line;
            let hours = self.asked.tables.plant.calendar_of_line(line);
            let arrives = self.asked.tables.arrives(&row["unit"], &row["hand_over_at"]).expect("a unit on the line");
            let until = seconds(&row["there_at"]) + self.asked.tables.plant.settings.hand_over;
            stops.entry(line.clone()).or_default().push((hours.worked(arrives), hours.worked(until)));
        }
        let of_lines = stops.into_iter().map(|(line, stops)| loses(self.asked, &line, stops));
        cost.alone = of_lines.map(|days| days.values().sum::<i64>()).sum();
        cost
    }

    fn follow(&self, job: &Job<'a>, ends: &mut BTreeSet<[Key; 3]>) {
        let (to, need) = (key(&job.row["to"]), seconds(&self.asked.peg_of_job(job.row)["need"]));
        let Some(takers) = self.of_shops.get(&to) else {
            ends.insert([key(&job.row["part"]), key(&job.row["unit"]), to]);
            return;
        };
        let takes = |taker: &&Job<'a>| {
            let same = taker.row["unit"] == job.row["unit"] && taker.need == need && !begun(taker.row);
            same && taker.needs.contains(&key(&job.row["part"]))
        };
        takers.iter().filter(takes).for_each(|taker| self.follow(taker, ends));
    }
}

/// What a job costs the line: what it adds to what is lost anyway, and what would be lost for it alone; in seconds.
#[derive(Debug, Default)]
pub struct Cost {
    pub adds: i64,
    pub alone: i64,
    pub no_end: bool,
}

/// What a line loses for some stops alone, date by date, each begun on its times: at each move as much as the piece is later than the line is. A stop
/// is the move for which the line stands, and until when, in its working seconds.
pub fn loses(asked: &Asked<'_>, line: &str, mut stops: Vec<(i64, i64)>) -> BTreeMap<i64, i64> {
    let hours = asked.tables.plant.calendar_of_line(line);
    stops.sort_unstable();
    let last = stops.iter().map(|stop| stop.1).max().unwrap_or(0);
    let (first_day, last_day) = (day_of(hours.starts(stops[0].0)), day_of(hours.starts(last)));
    let mut lost = BTreeMap::new();
    for day in first_day..=last_day {
        let (a, b) = (hours.worked(day * DAY), hours.worked((day + 1) * DAY));
        let before = stops.iter().filter(|(at, until)| *at < a && *until > a).map(|stop| stop.1).max();
        let mut late = before.map_or(0, |until| until.min(b) - a);
        for (at, until) in stops.iter().filter(|(at, _)| (a..b).contains(at)) {
            late += (until.min(&b) - (at + late).min(b)).max(0);
        }
        if late > 0 {
            lost.insert(day, late);
        }
    }
    lost
}

/// What stands below a part in its shop: phantoms, and what the same shop makes, followed down.
fn below(asked: &Asked<'_>, part: &str, shop: &str, needs: &mut BTreeSet<Key>, gives: &mut BTreeSet<Key>) {
    for line in asked.tables.plant.lines_of(part) {
        let known = &asked.tables.plant.parts[&line.part];
        match known.source {
            _ if line.gives => _ = gives.insert(line.part.clone()),
            Source::Phantom => below(asked, &line.part, shop, needs, gives),
            Source::Make if known.shop == shop => below(asked, &line.part, shop, needs, gives),
            _ => _ = needs.insert(line.part.clone()),
        }
    }
}
