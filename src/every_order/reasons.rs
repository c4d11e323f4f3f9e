//! Why something can never be: the fewest rows of the book that rule it out together, none of which could be left out.
//!
//! Rule `proofs`.

use super::frame::Frame;
use super::limit::Limit;
use super::model::{Model, Row};
use super::solver::{Answer, Lit};
use crate::book::Table;
use crate::check::Plant;
use itertools::Itertools;

/// Why something can never be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Reason {
    /// These rows rule it out together, and none of them could be left out.
    Rows(Vec<Row>),
    /// No rows do by what they say: it is the order in which rules apply.
    OrderOfRules,
    /// The work that is allowed for it did not do.
    Unknown(Limit),
}

/// Clauses of which each row can be left out.
pub struct Reasons<'a>(Model<'a>);

impl<'a> Reasons<'a> {
    /// Of a floorplan on a line.
    pub fn of(frame: &'a Frame<'a>) -> Self {
        Self(Model::of(frame, true))
    }

    /// Whether something can be where some rows are left out.
    pub fn can_without(&mut self, left_out: impl Fn(Row) -> bool, goal: impl Fn(&mut Model<'a>) -> Lit) -> bool {
        let goal = goal(&mut self.0);
        let rows = self.0.rows.iter().filter(|(row, _)| !left_out(*row)).map(|(_, lit)| *lit);
        let assumed = rows.chain([goal]).collect_vec();
        self.0.solver.ask(&assumed) == Answer::Can
    }

    /// What rules something out; `lines` are bill lines whose conditions belong to it.
    pub fn why_never(&mut self, lines: &[u32], goal: impl Fn(&mut Model<'a>) -> Lit) -> Reason {
        let model = &mut self.0;
        let mut parts = vec![(None, goal(model))];
        for line in lines {
            let when = model.frame.plant.bills[*line as usize].when;
            parts.push((Some(Row::When(*line)), model.condition(when)));
        }
        parts.extend(model.rows.iter().map(|(row, lit)| (Some(*row), *lit)));
        let assumed = parts.iter().map(|(_, lit)| *lit).collect_vec();
        match model.solver.ask(&assumed) {
            Answer::Never => {}
            Answer::Can => return Reason::OrderOfRules,
            Answer::Unknown => return Reason::Unknown(Limit::Conflicts),
        }
        // What is blamed first may hold more than is needed.
        let blamed = model.solver.blamed(&assumed);
        parts.retain(|(row, lit)| row.is_none() || blamed.contains(lit) || *lit == model.solver.no());
        let mut at = 0;
        while at < parts.len() {
            let without = parts.iter().enumerate().filter(|(i, _)| *i != at).map(|(_, (_, lit))| *lit).collect_vec();
            if parts[at].0.is_some() && model.solver.ask(&without) == Answer::Never {
                parts.remove(at);
            } else {
                at += 1;
            }
        }
        Reason::Rows(parts.into_iter().filter_map(|(row, _)| row).sorted().collect())
    }
}

impl Row {
    /// It in words, with its place.
    pub fn told(self, frame: &Frame<'_>) -> String {
        let plant = frame.plant;
        match self {
            Self::Group(id) => {
                let group = &plant.groups[id.at()];
                format!("{} (one of {})", plant.place(Table::Groups, group.row, ""), group.code)
            }
            Self::Package(package, at) => {
                let option = &plant.options[package.at()];
                let place = plant.place(Table::Packages, option.include_rows[at], "");
                format!("{place} ({} includes {})", option.code, plant.options[option.includes[at].at()].code)
            }
            Self::Adds(rule) => {
                format!("{} ({})", plant.place(Table::Rules, plant.rules[rule].row, "adds"), rule_told(plant, rule))
            }
            Self::Must(rule) => {
                format!("{} ({})", plant.place(Table::Rules, plant.rules[rule].row, "must"), rule_told(plant, rule))
            }
            Self::NotOffered(option) => {
                let floorplan = &plant.floorplans[frame.floorplan.at()].code;
                let code = &plant.options[option.at()].code;
                let own =
                    |all: bool| {
                        let rows = plant.offers.iter().filter(move |offer| offer.option == option);
                        rows.filter(move |offer| {
                            if all { offer.floorplan.is_none() } else { offer.floorplan == Some(frame.floorplan) }
                        })
                    };
                match own(false).chain(own(true)).next() {
                    Some(offer) => {
                        format!("{} ({floorplan} does not offer {code})", plant.place(Table::Offers, offer.row, ""))
                    }
                    None => format!("{} (no row offers {code} on {floorplan})", plant.place(Table::Offers, 0, "")),
                }
            }
            Self::When(line) => {
                let line = &plant.bills[line as usize];
                let place = plant.place(Table::Bills, line.row, "when");
                format!("{place} ({})", plant.part(line.part).code)
            }
        }
    }
}

fn rule_told(plant: &Plant, rule: usize) -> String {
    let message = &plant.rules[rule].message;
    if message.is_empty() { "a rule without a message".to_owned() } else { message.clone() }
}
