//! All that an order can mention, in code order, and the first order by code of those as small as each other.

use super::model::Model;
use super::solver::{Answer, Lit};
use crate::base::{NameId, fold};
use crate::expression::NameSet;
use itertools::Itertools;
use std::ops::Range;

/// What an order can mention: options ordered and (`true`) taken away, by code, what is ordered before what is taken away.
pub(super) struct Mentions {
    each: Vec<(Lit, NameId, bool)>,
    all: Option<Part>,
}

/// Some that follow each other.
struct Part {
    range: Range<usize>,
    /// Whether any of them is there.
    any: Lit,
    /// Its two halves; none for a single one.
    halves: Option<Box<[Part; 2]>>,
}

/// How far the search for the first order has come.
struct Search {
    /// What was asked, and what is decided of the mentions.
    assumed: Vec<Lit>,
    /// The build of the last order that was found.
    has: NameSet,
    /// The mentions of that order.
    order: Vec<usize>,
    /// How many of them are decided.
    decided: usize,
}

impl Mentions {
    /// Those that some order of a model has.
    pub(super) fn of(model: &mut Model<'_>) -> Self {
        let code = |option: &NameId| fold(&model.frame.plant.options[option.at()].code);
        let no = model.solver.no();
        let of_option =
            |option: NameId| [(model.ordered[option.at()], option, false), (model.away[option.at()], option, true)];
        let each = model.frame.options().sorted_by_cached_key(code).flat_map(of_option);
        let each = each.filter(|(lit, ..)| *lit != no).collect_vec();
        let all = (!each.is_empty()).then(|| Part::of(model, &each, 0..each.len()));
        Self { each, all }
    }

    /// The first order by code of all that the clauses allow with what is assumed, none of which has fewer mentions than the last
    /// question found, and the build that it is meant to lead to; `None` where the solver was stopped.
    ///
    /// A half of the mentions of which none can be there is passed over with one question.
    pub(super) fn first(&self, model: &mut Model<'_>, assumed: Vec<Lit>) -> Option<(NameSet, Vec<(NameId, bool)>)> {
        let mut search = Search { assumed, has: model.build(), order: self.there(model), decided: 0 };
        if let Some(all) = &self.all {
            self.decide(model, all, &mut search)?;
        }
        let mention = |at: usize| (self.each[at].1, self.each[at].2);
        Some((search.has, search.order.into_iter().map(mention).collect()))
    }

    /// Those that are there in what the last question found.
    fn there(&self, model: &Model<'_>) -> Vec<usize> {
        self.each.iter().positions(|(lit, ..)| model.solver.holds(*lit)).collect()
    }

    fn decide(&self, model: &mut Model<'_>, part: &Part, search: &mut Search) -> Option<()> {
        if search.decided == search.order.len() {
            return Some(());
        }
        search.assumed.push(part.any);
        if !search.order.iter().any(|at| part.range.contains(at)) {
            match model.solver.ask(&search.assumed) {
                Answer::Unknown => return None,
                Answer::Can => (search.has, search.order) = (model.build(), self.there(model)),
                Answer::Never => {
                    search.assumed.pop();
                    search.assumed.push(!part.any);
                    return Some(());
                }
            }
        }
        let Some(halves) = &part.halves else {
            search.decided += 1;
            return Some(());
        };
        // Its halves say more.
        search.assumed.pop();
        halves.iter().try_for_each(|half| self.decide(model, half, search))
    }
}

impl Part {
    fn of(model: &mut Model<'_>, each: &[(Lit, NameId, bool)], range: Range<usize>) -> Self {
        if range.len() == 1 {
            return Self { any: each[range.start].0, range, halves: None };
        }
        let middle = range.start + range.len() / 2;
        let halves = [range.start..middle, middle..range.end].map(|half| Self::of(model, each, half));
        let any = model.solver.or(halves[0].any, halves[1].any);
        Self { range, any, halves: Some(Box::new(halves)) }
    }
}
