//! Offers, rules and musts that no build has.

use super::super::model::{Model, Row};
use super::super::possible::Seen;
use super::super::solver::Lit;
use super::Teller;
use crate::base::{Kind, Place};
use crate::book::Table;
use crate::check::kinds;
use itertools::Itertools;
use std::collections::BTreeSet;

/// So many floorplans are asked for a reason.
const MOST_ASKED: usize = 3;

impl<'t, 'a: 't> Teller<'t, 'a> {
    /// Options that are offered and that no order has.
    pub(super) fn offers(&mut self) {
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
                let reasons = about.iter().take(MOST_ASKED).map(|at| (self.reason(*at, &goal), *at)).collect_vec();
                let (reason, at) =
                    reasons.into_iter().min_by_key(|(reason, at)| (reason.len(), *at)).unwrap_or_default();
                let others = about.len() - 1;
                let on = if others > 0 { format!(" on {}", self.name(at)) } else { String::new() };
                let likewise = if others > 0 { format!("; on {others} others neither") } else { String::new() };
                self.add(kind, place, value, format!("{what}{on}: {reason}{likewise}"));
            }
            (Some(Seen::Unknown(limit)), Some(_)) => {
                self.not_proved(place, value, "it is not known whether any order can have it", limit);
            }
            _ => {}
        }
    }

    /// Rules that never apply, and what they ask for that is never true.
    pub(super) fn rules(&mut self) {
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

    /// Whether a rule's condition could hold if the rule asked for nothing, as far as that is known.
    fn can_without(&mut self, at: usize, rule: usize) -> bool {
        let when = self.plant.rules[rule].when;
        self.reasons(at).can_without(|row| row == Row::Must(rule), |model| model.condition(when))
    }
}
