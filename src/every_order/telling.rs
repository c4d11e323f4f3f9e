//! What was proved, as findings at the cells of the book.

use super::broken::Breaks;
use super::model::{Model, Row};
use super::possible::Seen;
use super::reasons::Reasons;
use super::solver::Lit;
use super::states::State;
use super::witness::{Shown, Witness};
use super::{OfFrame, broken, words};
use crate::base::{Finding, Findings, Kind, Place, numbered};
use crate::book::Table;
use crate::check::{Plant, kinds};
use itertools::Itertools;
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// So many reasons are looked for; what is told without one says so.
const MOST_REASONS: usize = 500;
/// So many floorplans are named.
const MOST_NAMED: usize = 3;

/// Tells all that was proved.
pub(super) fn tell(plant: &Plant, states: &[State], found: &[OfFrame<'_>], findings: &mut Findings) {
    let mut teller = Teller { plant, states, found, why: Why::default(), findings };
    teller.nobody();
    teller.lines();
    teller.orphans();
    teller.offers();
    teller.rules();
    teller.content();
    teller.twice();
}

struct Teller<'t, 'a> {
    plant: &'t Plant,
    states: &'t [State],
    found: &'t [OfFrame<'a>],
    why: Why<'t>,
    findings: &'t mut Findings,
}

/// Reasons that were looked for.
#[derive(Default)]
struct Why<'t> {
    models: BTreeMap<usize, Reasons<'t>>,
    /// For conditions on a floorplan the rows that rule them out, if rows do.
    known: HashMap<(usize, Vec<u32>), Option<Vec<Row>>>,
    looked: usize,
}

impl<'t, 'a: 't> Teller<'t, 'a> {
    fn add(&mut self, kind: &'static Kind, place: Place, value: &str, message: String) {
        self.findings.add(Finding::new(kind, place, value, message));
    }

    /// The floorplan of a frame, and its line where that matters.
    fn name(&self, at: usize) -> String {
        let frame = &self.found[at].frame;
        let code = &self.plant.floorplans[frame.floorplan.at()].code;
        if super::by_line(self.plant) {
            format!("{code} on line {}", self.plant.lines[frame.line.at()].code)
        } else {
            code.clone()
        }
    }

    /// Why something can never be on a floorplan: its rows in words.
    fn reason(&mut self, at: usize, goal: impl Fn(&mut Model<'_>) -> Lit) -> String {
        if self.why.looked >= MOST_REASONS {
            return NOT_LOOKED.to_owned();
        }
        told(&self.found[at], self.rows(at, &[], goal).as_deref())
    }

    /// The rows that rule something out.
    fn rows(&mut self, at: usize, lines: &[u32], goal: impl Fn(&mut Model<'_>) -> Lit) -> Option<Vec<Row>> {
        self.why.looked += 1;
        let found = self.found;
        let reasons = self.why.models.entry(at).or_insert_with(|| Reasons::of(&found[at].frame));
        reasons.why_never(lines, goal)
    }

    fn nobody(&mut self) {
        for at in 0..self.found.len() {
            let frame = &self.found[at].frame;
            let plan = &self.plant.floorplans[frame.floorplan.at()];
            let place = self.plant.place(Table::Floorplans, plan.row, "floorplan");
            match &self.found[at].can {
                Shown::By(_) => {}
                Shown::Never => {
                    let reason = self.reason(at, |model| model.solver.yes());
                    let message = format!("no order of {} can be placed: {reason}", self.name(at));
                    self.add(&kinds::NOBODY_CAN_ORDER, place, &plan.code, message);
                }
                Shown::Unknown => {
                    let message = format!("it is not known whether any order of {} can be placed", self.name(at));
                    self.add(&kinds::NOT_PROVED, place, &plan.code, message);
                }
            }
        }
    }

    /// Bill lines that no build has, but for those below such a line.
    fn lines(&mut self) {
        let mut seen = vec![Seen::Elsewhere; self.plant.bills.len()];
        // For each line the first way of it whose parent some build has.
        let mut first: BTreeMap<u32, (usize, usize)> = BTreeMap::new();
        for (at, found) in self.found.iter().enumerate().filter(|(_, found)| !found.possible.guards.is_empty()) {
            for (i, way) in found.bill.ways.iter().enumerate() {
                let known = &mut seen[way.line as usize];
                *known = (*known).max(found.possible.guards[way.guard as usize]);
                if found.possible.guards[way.parent_guard as usize] == Seen::Some {
                    first.entry(way.line).or_insert((at, i));
                }
            }
        }
        let mut unknown = Vec::new();
        for (line, (at, way)) in first {
            let row = &self.plant.bills[line as usize];
            match seen[line as usize] {
                Seen::Never => {
                    let reason = self.line_reason(at, way);
                    let part = self.plant.part(row.part).code.clone();
                    let place = self.plant.place(Table::Bills, row.row, if row.when == 0 { "part" } else { "when" });
                    self.add(&kinds::LINE_NEVER_USED, place, "", format!("no build has this line of {part}: {reason}"));
                }
                Seen::Unknown => unknown.push(line),
                _ => {}
            }
        }
        if let Some(line) = unknown.first() {
            let place = self.plant.place(Table::Bills, self.plant.bills[*line as usize].row, "when");
            let message = format!(
                "it is not known of {} bill lines, this one the first, whether any build has them",
                unknown.len()
            );
            self.add(&kinds::NOT_PROVED, place, "", message);
        }
    }

    fn line_reason(&mut self, at: usize, way: usize) -> String {
        let found = &self.found[at];
        let bill = found.bill;
        let guard = &bill.guards[bill.ways[way].guard as usize];
        if !self.states.iter().any(|state| guard.in_state(|change| state.reached[change.at()])) {
            let codes = |changes: &[crate::base::ChangeId]| {
                changes.iter().map(|id| &self.plant.changes[id.at()].code).join(" and ")
            };
            return format!(
                "it holds from {} on, but until {}, which is reached no later",
                codes(&guard.from),
                codes(&guard.until)
            );
        }
        // Lines without a condition rule nothing out.
        let plant = self.plant;
        let when = |line: u32| plant.bills[line as usize].when;
        let lines = bill.lines(way).into_iter().filter(|line| when(*line) != 0).collect_vec();
        let line = bill.ways[way].line;
        let others = self.found.iter().filter(|other| other.bill.ways.iter().any(|way| way.line == line)).count() - 1;
        let likewise =
            if others > 0 { format!(" (so on {}; on {others} others neither)", self.name(at)) } else { String::new() };
        let key = (at, guard.whens.clone());
        if !self.why.known.contains_key(&key) {
            if self.why.looked >= MOST_REASONS {
                return NOT_LOOKED.to_owned();
            }
            let rows = self.rows(at, &lines, |model| model.solver.yes());
            self.why.known.insert(key.clone(), rows);
        }
        // The same conditions may stand on other lines.
        let own = |row: &Row| match row {
            Row::When(other) => {
                Row::When(lines.iter().copied().find(|line| when(*line) == when(*other)).unwrap_or(*other))
            }
            _ => *row,
        };
        let rows = self.why.known[&key].as_ref().map(|rows| rows.iter().map(own).collect_vec());
        told(found, rows.as_deref()) + &likewise
    }

    /// Bills of parts to which no floorplan leads.
    fn orphans(&mut self) {
        let mut used: BTreeSet<u32> = BTreeSet::new();
        self.found.iter().for_each(|found| used.extend(found.bill.ways.iter().map(|way| way.line)));
        let plant = self.plant;
        for part in &plant.parts {
            let lines = part.bill.clone().filter(|line| !plant.bills[*line].factor.is_zero()).collect_vec();
            let Some(first) = lines.first() else { continue };
            if lines.iter().all(|line| !used.contains(&numbered(*line))) {
                let place = plant.place(Table::Bills, plant.bills[*first].row, "parent");
                let n = lines.len();
                let message = format!(
                    "no floorplan's bill leads to {}, so its {n} line{} count for nothing",
                    part.code,
                    if n == 1 { "" } else { "s" }
                );
                self.add(&kinds::LINE_NEVER_USED, place, &part.code, message);
            }
        }
    }

    fn offers(&mut self) {
        let own: BTreeSet<_> =
            self.plant.offers.iter().filter_map(|offer| Some((offer.floorplan?, offer.option))).collect();
        for offer in self.plant.offers.iter().filter(|offer| offer.offered) {
            let own_row = |at: &usize| {
                let floorplan = self.found[*at].frame.floorplan;
                offer.floorplan.map_or_else(|| !own.contains(&(floorplan, offer.option)), |own| own == floorplan)
            };
            let judged = |at: &usize| !self.found[*at].possible.options.is_empty();
            let about = (0..self.found.len()).filter(judged).filter(own_row).collect_vec();
            let seen = about.iter().map(|at| self.found[*at].possible.options[offer.option.at()]).max();
            let place = self.plant.place(Table::Offers, offer.row, "option");
            let code = self.plant.options[offer.option.at()].code.clone();
            self.judge(&kinds::OFFER_NEVER_ORDERED, &about, seen, place, &code, "no order can have it", |model| {
                model.has[offer.option.at()]
            });
        }
    }

    /// Tells what no build has, with the reason on the first floorplan that it is about.
    #[expect(clippy::too_many_arguments, reason = "what is told, where, and of what")]
    fn judge(
        &mut self,
        kind: &'static Kind,
        about: &[usize],
        seen: Option<Seen>,
        place: Place,
        value: &str,
        what: &str,
        goal: impl Fn(&mut Model<'_>) -> Lit,
    ) {
        match (seen, about.first()) {
            (Some(Seen::Never), Some(_)) => {
                // Of the first few floorplans the one with the shortest reason.
                let reasons = about.iter().take(MOST_NAMED).map(|at| (self.reason(*at, &goal), *at)).collect_vec();
                let (reason, at) =
                    reasons.into_iter().min_by_key(|(reason, at)| (reason.len(), *at)).unwrap_or_default();
                let others = about.len() - 1;
                let on = if others > 0 { format!(" on {}", self.name(at)) } else { String::new() };
                let likewise = if others > 0 { format!("; on {others} others neither") } else { String::new() };
                self.add(kind, place, value, format!("{what}{on}: {reason}{likewise}"));
            }
            (Some(Seen::Unknown), Some(_)) => {
                self.add(&kinds::NOT_PROVED, place, value, "it is not known whether any order can have it".to_owned());
            }
            _ => {}
        }
    }

    fn rules(&mut self) {
        let about = (0..self.found.len()).filter(|at| !self.found[*at].possible.rules.is_empty()).collect_vec();
        for (i, rule) in self.plant.rules.iter().enumerate() {
            let most = |of: &dyn Fn(usize) -> Seen| about.iter().map(|at| of(*at)).max();
            let seen = most(&|at| self.found[at].possible.rules[i]);
            // A rule that forbids its own condition does its work: it is told only where nothing is there to forbid.
            let works =
                seen == Some(Seen::Never) && rule.must.is_some() && about.iter().any(|at| self.can_without(*at, i));
            if !works {
                let place = self.plant.place(Table::Rules, rule.row, "when");
                self.judge(&kinds::RULE_NEVER_APPLIES, &about, seen, place, "", "it holds for no order", |model| {
                    model.condition(rule.when)
                });
            }
            let Some(must) = rule.must.filter(|_| seen == Some(Seen::Some) || works) else { continue };
            let seen = most(&|at| self.found[at].possible.musts[i]);
            let place = self.plant.place(Table::Rules, rule.row, "must");
            self.judge(&kinds::MUST_NEVER_TRUE, &about, seen, place, "", "it is true for no order", |model| {
                model.condition(must)
            });
        }
    }

    /// Whether a rule's condition could hold if the rule asked for nothing.
    fn can_without(&mut self, at: usize, rule: usize) -> bool {
        let found = self.found;
        let when = self.plant.rules[rule].when;
        let reasons = self.why.models.entry(at).or_insert_with(|| Reasons::of(&found[at].frame));
        reasons.can_without(|row| row == Row::Must(rule), |model| model.condition(when))
    }

    fn content(&mut self) {
        let mut told: BTreeSet<(usize, bool, usize)> = BTreeSet::new();
        // On several lines the smallest order is told, and what is not known only where nothing is.
        let all = (0..self.found.len()).flat_map(|at| self.found[at].breaks.iter().map(move |breaks| (at, breaks)));
        let size = |breaks: &Breaks| breaks.by.as_ref().map_or(usize::MAX, |(witness, _)| witness.order.len());
        let all = all.sorted_by_key(|(at, breaks)| (self.found[*at].frame.floorplan, size(breaks), *at)).collect_vec();
        for (at, breaks) in all {
            let found = &self.found[at];
            let row = &self.plant.content[breaks.row];
            let column = if breaks.more { "most" } else { "least" };
            let place = self.plant.place(Table::Content, row.row, column);
            let value = if breaks.more { row.most } else { row.least }.to_string();
            if !told.insert((breaks.row, breaks.more, found.frame.floorplan.at())) {
                continue;
            }
            let Some((witness, state)) = &breaks.by else {
                let message = format!("it is not known whether every order of {} keeps to it", self.name(at));
                self.add(&kinds::NOT_PROVED, place, &value, message);
                continue;
            };
            let Some((broken, there)) = broken::of_kind(self.plant, found.bill, &self.states[*state], row, witness)
            else {
                continue;
            };
            let who = format!("{} has", self.order(at, witness, breaks.in_state.then_some(*state)));
            let message = broken.told(self.plant, &who, found.bill, &there);
            self.add(&kinds::CONTENT_CAN_BREAK, place, &value, message);
        }
    }

    fn twice(&mut self) {
        let mut told: BTreeSet<(u32, u32)> = BTreeSet::new();
        for at in 0..self.found.len() {
            for twice in &self.found[at].twice {
                if !told.insert(twice.lines) {
                    continue;
                }
                let (first, second) =
                    (&self.plant.bills[twice.lines.0 as usize], &self.plant.bills[twice.lines.1 as usize]);
                let (witness, state) = &twice.by;
                let place = self.plant.place(Table::Bills, second.row, "when");
                let other = self.plant.place(Table::Bills, first.row, "");
                let part = self.plant.part(twice.part).code.clone();
                let message = format!(
                    "{} has {part} by this line and by {other}, in the same place",
                    self.order(at, witness, twice.in_state.then_some(*state))
                );
                self.add(&kinds::PART_TWICE, place, "", message);
            }
        }
    }

    /// `TEAL 18 with COLD -TV, from C-1 on,`.
    fn order(&self, at: usize, witness: &Witness, state: Option<usize>) -> String {
        let order = words::order(self.plant, &witness.order);
        let what = if witness.order.is_empty() { "as it stands, nothing ordered" } else { "ordered as" };
        let order = if witness.order.is_empty() { String::new() } else { format!(" {order}") };
        let when =
            state.map(|state| self.states[state].told(self.plant, self.states.get(state + 1))).unwrap_or_default();
        let when = if when.is_empty() { when } else { format!(" ({when})") };
        format!("{} {what}{order}{when}", self.name(at))
    }
}

/// What is said where too many reasons were looked for.
const NOT_LOOKED: &str = "its reason was not looked for, since there are so many";

/// Rows in words; without any it is the order of the rules.
fn told(found: &OfFrame<'_>, rows: Option<&[Row]>) -> String {
    let Some(rows) = rows else {
        return "whatever is ordered, the order in which the rules apply does not let it be".to_owned();
    };
    if rows.is_empty() {
        let floorplan = &found.frame.plant.floorplans[found.frame.floorplan.at()].code;
        return format!("it can't be on {floorplan}, whatever is ordered");
    }
    format!("ruled out by {}", rows.iter().map(|row| row.told(&found.frame)).join("; "))
}
