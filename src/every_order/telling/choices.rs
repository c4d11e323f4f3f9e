//! Offers, rules and musts that no build has.

use super::super::limit::Limit;
use super::super::model::{Model, Row};
use super::super::possible::Seen;
use super::super::solver::Lit;
use super::Teller;
use crate::base::{Kind, NameId, Place};
use crate::book::Table;
use crate::check::kinds;
use itertools::Itertools;
use std::collections::{BTreeMap, BTreeSet};

/// So many floorplans are asked for a reason.
const MOST_ASKED: usize = 3;

/// Something that some build should have.
struct Judged<'k> {
    /// What is told where no build has it.
    kind: &'static Kind,
    /// Its cell.
    place: Place,
    /// What stands there.
    value: &'k str,
    /// What is said of it.
    what: &'static str,
    /// The frames that it is about.
    about: &'k [usize],
}

/// What is not known, by what it is: the first, what stopped its proof, and how many.
type NotKnown = BTreeMap<&'static str, (Place, Limit, usize)>;

impl<'t, 'a: 't> Teller<'t, 'a> {
    /// Options that are offered and that no order has.
    pub(super) fn offers(&mut self) {
        let (plant, found) = (self.plant, self.found);
        let own: BTreeSet<_> = plant.offers.iter().filter_map(|offer| Some((offer.floorplan?, offer.option))).collect();
        let mut not_known = NotKnown::new();
        for offer in plant.offers.iter().filter(|offer| offer.offered) {
            let own_row = |at: &usize| {
                let floorplan = found[*at].frame.floorplan;
                offer.floorplan.map_or_else(|| !own.contains(&(floorplan, offer.option)), |own| own == floorplan)
            };
            let place = plant.place(Table::Offers, offer.row, "option");
            self.offer(offer.option, place, own_row, &mut not_known);
        }
        // Without the table everything is offered.
        if plant.offers.is_empty() {
            for (i, option) in plant.options.iter().enumerate() {
                let place = plant.place(Table::Options, option.row, "option");
                self.offer(NameId::of(i), place, |_| true, &mut not_known);
            }
        }
        self.tell_not_known(not_known);
    }

    fn offer(&mut self, option: NameId, place: Place, is_about: impl Fn(&usize) -> bool, not_known: &mut NotKnown) {
        let found = self.found;
        let judged = |at: &usize| !found[*at].possible.options.is_empty();
        let about = (0..found.len()).filter(judged).filter(is_about).collect_vec();
        let seen = about.iter().map(|at| found[*at].possible.options[option.at()]).max();
        let value = &self.plant.options[option.at()].code;
        let what = "no order can have it";
        let judged = Judged { kind: &kinds::OFFER_NEVER_ORDERED, place, value, what, about: &about };
        self.judge(judged, seen, |model| model.has[option.at()], ("offers", not_known));
    }

    /// Tells what no build has, with the reason on the first floorplan that it is about.
    fn judge(
        &mut self,
        judged: Judged<'_>,
        seen: Option<Seen>,
        goal: impl Fn(&mut Model<'_>) -> Lit,
        (whose, not_known): (&'static str, &mut NotKnown),
    ) {
        match seen {
            Some(Seen::Never) => {
                // Of the first few floorplans the one with the shortest reason.
                let asked = judged.about.iter().take(MOST_ASKED);
                let reasons = asked.map(|at| (self.reason(*at, &goal), *at)).collect_vec();
                let Some((reason, at)) = reasons.into_iter().min_by_key(|(reason, at)| (reason.len(), *at)) else {
                    return;
                };
                let others = judged.about.len() - 1;
                let on = if others > 0 { format!(" on {}", self.name(at)) } else { String::new() };
                let likewise = if others > 0 { format!("; on {others} others neither") } else { String::new() };
                let message = format!("{}{on}: {reason}{likewise}", judged.what);
                self.add(judged.kind, judged.place, judged.value, message);
            }
            Some(Seen::Unknown(limit)) => not_known.entry(whose).or_insert((judged.place, limit, 0)).2 += 1,
            Some(Seen::Elsewhere | Seen::Some) | None => {}
        }
    }

    /// One finding for all of a sort, at the first of them.
    fn tell_not_known(&mut self, not_known: NotKnown) {
        for (whose, (place, limit, n)) in not_known {
            let what = format!("it is not known whether any order has what {n} {whose} ask for, this one the first");
            self.not_proved(place, "", &what, limit);
        }
    }

    /// Rules that never apply, and what they ask for that is never true.
    pub(super) fn rules(&mut self) {
        let found = self.found;
        let about = (0..found.len()).filter(|at| !found[*at].possible.rules.is_empty()).collect_vec();
        let mut not_known = NotKnown::new();
        for (i, rule) in self.plant.rules.iter().enumerate() {
            let most = |of: &dyn Fn(usize) -> Seen| about.iter().map(|at| of(*at)).max();
            let seen = most(&|at| found[at].possible.rules[i]);
            // A rule that forbids its own condition does its work: it is told only where nothing is there to forbid.
            let works =
                seen == Some(Seen::Never) && rule.must.is_some() && about.iter().any(|at| self.can_without(*at, i));
            let judged = |kind, column, what| {
                let place = self.plant.place(Table::Rules, rule.row, column);
                Judged { kind, place, value: "", what, about: &about }
            };
            let applies = judged(&kinds::RULE_NEVER_APPLIES, "when", "it holds for no order");
            let asks = judged(&kinds::MUST_NEVER_TRUE, "must", "it is true for no order");
            if !works {
                self.judge(applies, seen, |model| model.condition(rule.when), ("rules' when", &mut not_known));
            }
            let Some(must) = rule.must.filter(|_| seen == Some(Seen::Some) || works) else { continue };
            let seen = most(&|at| found[at].possible.musts[i]);
            self.judge(asks, seen, |model| model.condition(must), ("rules' must", &mut not_known));
        }
        self.tell_not_known(not_known);
    }

    /// Whether a rule's condition could hold if the rule asked for nothing, as far as that is known.
    fn can_without(&mut self, at: usize, rule: usize) -> bool {
        let when = self.plant.rules[rule].when;
        self.reasons(at).can_without(|row| row == Row::Must(rule), |model| model.condition(when))
    }
}
