//! Options: groups, what each floorplan offers, packages and rules.

use super::codes::Defined;
use super::kinds::{BAD_CODE, TWO_STANDARDS, UNKNOWN_FLOORPLAN, UNKNOWN_GROUP, UNKNOWN_OPTION};
use super::plant::{Choice, Choose, Group, Offer as OfferRow, Rule};
use super::too_many::offers_fit;
use super::{Draft, each, or_code};
use crate::base::{Finding, Findings, FloorplanId, GroupId, NameId, Place, fold};
use crate::book::{Book, BookColumn, Cells, Table};
use itertools::Itertools;
use std::collections::{HashMap, HashSet};

/// The words of the column `offer`.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Word {
    Standard,
    Optional,
    NotOffered,
}

const OFFERS: [(&str, Word); 3] =
    [("standard", Word::Standard), ("optional", Word::Optional), ("not offered", Word::NotOffered)];
const CHOOSE: [(&str, Choose); 3] = [("one", Choose::One), ("at most one", Choose::AtMostOne), ("any", Choose::Any)];

/// A row of `Offers`.
struct Offer {
    floorplan: Option<usize>,
    option: NameId,
    word: Word,
    place: Place,
}

impl Draft {
    /// Options come first of all names, so that their ids are their indices.
    pub(super) fn read_options(&mut self, book: &Book, findings: &mut Findings) {
        self.groups.table_missing = book.table(Table::Groups).is_none() && book.table(Table::Options).is_none();
        let mut defined = Defined::default();
        each(book, Table::Groups, ["group", "choose"], findings, |cells, [code, choose]| {
            let choose = cells.choice_needed(choose, &CHOOSE).unwrap_or(Choose::Any);
            let Some(text) = cells.code(code) else { return };
            if defined.take(cells, code, &fold(text)) {
                self.groups.add(text);
                self.plant.groups.push(Group { code: text.to_owned(), choose, row: cells.number() });
            }
        });
        let mut defined = Defined::default();
        each(book, Table::Options, ["option", "name", "group"], findings, |cells, [code, name, group]| {
            let group = self.groups.refer(cells, group, &UNKNOWN_GROUP, "group").map(GroupId);
            let Some(text) = cells.code(code) else { return };
            if text.starts_with('-') || text.contains([' ', ',', ';']) || text.contains(char::is_whitespace) {
                cells.report(
                    &BAD_CODE,
                    code,
                    "an option code has no space, comma or semicolon and does not begin with '-'",
                );
            }
            if defined.take(cells, code, &fold(text)) {
                self.names.take(cells, code, "option");
                let name = or_code(cells.text(name), text);
                let row = cells.number();
                let (code, includes, include_rows) = (text.to_owned(), Vec::new(), Vec::new());
                self.plant.options.push(Choice { code, name, group, includes, include_rows, row });
            }
        });
    }

    /// Offers, packages and rules, which speak of floorplans and conditions too.
    pub(super) fn read_choices(&mut self, book: &Book, findings: &mut Findings) {
        self.read_packages(book, findings);
        self.read_offers(book, findings);
        let columns = ["when", "adds", "must", "message"];
        each(book, Table::Rules, columns, findings, |cells, [when, adds, must, message]| {
            let blank = cells.text(must).is_empty();
            let rule = Rule {
                when: self.condition(cells, when),
                adds: self.option_list(cells, adds),
                must: (!blank).then(|| self.condition(cells, must)),
                message: cells.text(message).to_owned(),
                row: cells.number(),
            };
            self.plant.rules.push(rule);
        });
    }

    /// The option in a cell; reports one that is not there.
    fn option(&self, cells: &mut Cells<'_>, column: BookColumn) -> Option<NameId> {
        let text = cells.code(column)?;
        let found = self.find_option(text);
        if found.is_none() {
            cells.report_near(&UNKNOWN_OPTION, column, "no such option", self.near_option(text));
        }
        found
    }

    /// The options in a cell, separated by spaces, commas or semicolons.
    fn option_list(&self, cells: &mut Cells<'_>, column: BookColumn) -> Vec<NameId> {
        let mut list = Vec::new();
        for word in split_options(cells.text(column)) {
            match self.find_option(word) {
                Some(id) => list.push(id),
                None => {
                    let message = format!("there is no option '{word}'");
                    cells.report_near(&UNKNOWN_OPTION, column, message, self.near_option(word));
                }
            }
        }
        list
    }

    /// The id of an option.
    pub(super) fn find_option(&self, code: &str) -> Option<NameId> {
        self.names.find(code).filter(|name| name.at() < self.plant.options.len())
    }

    /// The option that was probably meant.
    pub(super) fn near_option(&self, text: &str) -> Option<&str> {
        self.names.near_among(text, self.plant.options.len())
    }

    fn read_packages(&mut self, book: &Book, findings: &mut Findings) {
        each(book, Table::Packages, ["option", "includes"], findings, |cells, [option, includes]| {
            let package = self.option(cells, option);
            if cells.code(includes).is_none() {
                return;
            }
            let list = self.option_list(cells, includes);
            if let Some(package) = package {
                let package = &mut self.plant.options[package.at()];
                package.include_rows.extend(list.iter().map(|_| cells.number()));
                package.includes.extend(list);
            }
        });
    }

    fn read_offers(&mut self, book: &Book, findings: &mut Findings) {
        let mut offers: Vec<Offer> = Vec::new();
        let mut defined = Defined::default();
        each(book, Table::Offers, ["floorplan", "option", "offer"], findings, |cells, [floorplan, option, offer]| {
            let all = cells.text(floorplan) == "*";
            let of = if all {
                None
            } else {
                self.floorplans.refer_needed(cells, floorplan, &UNKNOWN_FLOORPLAN, "floorplan")
            };
            let (found, word) = (self.option(cells, option), cells.choice_needed(offer, &OFFERS));
            let (Some(option_id), Some(word), true) = (found, word, all || of.is_some()) else { return };
            if defined.take(cells, option, &format!("{of:?} {option_id:?}")) {
                let floorplan = of.map(|id| id as usize);
                self.plant.offers.push(OfferRow {
                    floorplan: of.map(FloorplanId),
                    option: option_id,
                    offered: word != Word::NotOffered,
                    row: cells.number(),
                });
                offers.push(Offer { floorplan, option: option_id, word, place: cells.place(offer) });
            }
        });
        if !offers_fit(&self.plant) {
            return;
        }
        let count = self.plant.floorplans.len();
        let (all, own): (Vec<&Offer>, Vec<&Offer>) = offers.iter().partition(|offer| offer.floorplan.is_none());
        let own = own.into_iter().map(|offer| (offer.floorplan.unwrap_or(count), offer)).into_group_map();
        for at in 0..count {
            let own = own.get(&at).map_or(&[][..], Vec::as_slice);
            let both = own.iter().merge_by(&all, |a, b| a.place.row < b.place.row);
            self.apply_offers(at, &both.copied().collect_vec(), offers.is_empty(), findings);
        }
    }

    /// What a floorplan offers: its own rows count before `*` rows, and its own standard of a single-choice group makes the
    /// `*` standards of that group optional. With no offers at all, `all` of the options are offered.
    fn apply_offers(&mut self, floorplan: usize, offers: &[&Offer], all: bool, findings: &mut Findings) {
        let options = &self.plant.options;
        let single = |option: NameId| {
            options[option.at()].group.filter(|group| self.plant.groups[group.at()].choose != Choose::Any)
        };
        let own: Vec<&Offer> = offers.iter().copied().filter(|offer| offer.floorplan.is_some()).collect();
        let own_options: HashSet<NameId> = own.iter().map(|offer| offer.option).collect();
        let own_standards = own.iter().filter(|offer| offer.word == Word::Standard);
        let own_groups: HashSet<GroupId> = own_standards.filter_map(|offer| single(offer.option)).collect();
        let mut offered = vec![all; options.len()];
        let mut standards: Vec<NameId> = Vec::new();
        let mut first_of: HashMap<GroupId, NameId> = HashMap::new();
        for &offer in offers {
            let for_all = offer.floorplan.is_none();
            if for_all && own_options.contains(&offer.option) {
                continue;
            }
            offered[offer.option.at()] = offer.word != Word::NotOffered;
            let group = single(offer.option);
            let replaced = for_all && group.is_some_and(|group| own_groups.contains(&group));
            if offer.word != Word::Standard || replaced {
                continue;
            }
            standards.push(offer.option);
            let Some(group) = group else { continue };
            let first = *first_of.entry(group).or_insert(offer.option);
            if first != offer.option {
                let (name, plan) = (&options[first.at()].code, &self.plant.floorplans[floorplan].code);
                let message = format!(
                    "{} and {name} are both standard on {plan}, but a unit has one at most",
                    options[offer.option.at()].code
                );
                findings.add(Finding::new(&TWO_STANDARDS, offer.place.clone(), "standard", message));
            }
        }
        // Those with packages first, each in the order of the offers.
        standards.sort_by_key(|option| options[option.at()].includes.is_empty());
        self.plant.floorplans[floorplan].offers = offered;
        self.plant.floorplans[floorplan].standards = standards;
    }
}

/// The words of a list of options.
pub(super) fn split_options(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| c.is_whitespace() || matches!(c, ',' | ';')).filter(|word| !word.is_empty())
}
