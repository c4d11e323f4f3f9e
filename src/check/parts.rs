//! Parts: what each is, where it comes from, how it is issued and bought.

use super::kinds::{CODE_IS_A_DATE, MADE_WITHOUT_MINUTES, NO_SHOP, UNKNOWN_SHOP};
use super::limits::MOST_DAYS;
use super::plant::{Issue, Part, Source};
use super::{Draft, each};
use crate::base::{Date, Finding, Findings, Quantity, Ratio, ShopId, fold};
use crate::book::{Book, BookColumn, Cells, Table};

const COLUMNS: [&str; 20] = [
    "part",
    "description",
    "uom",
    "source",
    "shop",
    "setup",
    "minutes",
    "location",
    "issue",
    "pack quantity",
    "supplier",
    "lead days",
    "minimum buy",
    "buy multiple",
    "cover days",
    "safety stock",
    "cost",
    "weight",
    "fit by",
    "kind",
];

/// The words of the column `source`.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Word {
    Buy,
    Make,
    Phantom,
    ByProduct,
}

const SOURCES: [(&str, Word); 4] =
    [("buy", Word::Buy), ("make", Word::Make), ("phantom", Word::Phantom), ("by-product", Word::ByProduct)];
const ISSUES: [(&str, Issue); 3] = [("kit", Issue::Kit), ("sequence", Issue::Sequence), ("bulk", Issue::Bulk)];

impl Draft {
    pub(super) fn read_parts(&mut self, book: &Book, findings: &mut Findings) {
        let mut parts = Vec::new();
        let (mut timed, mut timeless) = (false, Vec::new());
        each(book, Table::Parts, COLUMNS, findings, |cells, columns| {
            let part = self.read_part(cells, columns);
            let Some(text) = cells.code(columns[0]) else { return };
            if matches!(part.source, Source::Make(_)) {
                match cells.text(columns[6]) {
                    "" => timeless.push((cells.place(columns[6]), text.to_owned())),
                    _ => timed = true,
                }
            }
            if self.parts_and_floorplans.take(cells, columns[0], &fold(text)) {
                if Date::parse(text).is_some() {
                    cells.report(&CODE_IS_A_DATE, columns[0], "a spreadsheet seems to have made a date of this code");
                }
                self.parts.add(text);
                parts.push(Part { code: text.to_owned(), ..part });
            }
        });
        // Where no part has minutes, the plant plans without the time of its shops.
        for (place, code) in timeless.into_iter().filter(|_| timed) {
            let message = format!("{code} is made, but in no time: its minutes are blank");
            findings.add(Finding::new(&MADE_WITHOUT_MINUTES, place, "", message));
        }
        // Numbered in code order, so that sorting by id is sorting by code.
        self.parts.sort();
        parts.sort_by_cached_key(|part| fold(&part.code));
        self.plant.parts = parts;
        self.plant.kinds = self.kinds.shown().to_vec();
    }

    fn read_part(&mut self, cells: &mut Cells<'_>, columns: [BookColumn; 20]) -> Part {
        let [_, description, uom, source, shop, setup, minutes, location, issue, pack, supplier, rest @ ..] = columns;
        let [lead, minimum, multiple, cover, safety, cost, weight, fit_by, kind] = rest;
        let (uom, decimals) = cells.code(uom).map(|uom| self.uoms.known(uom)).unwrap_or_default();
        Part {
            code: String::new(),
            description: cells.text(description).to_owned(),
            uom,
            decimals,
            source: self.source(cells, source, shop),
            setup: cells.number_of(setup).unwrap_or(Ratio::ZERO),
            minutes: cells.number_of(minutes).unwrap_or(Ratio::ZERO),
            location: cells.text(location).to_owned(),
            issue: cells.choice(issue, &ISSUES).unwrap_or(Issue::Kit),
            pack: cells.positive(pack).and_then(Quantity::cut).filter(|pack| pack.is_positive()),
            supplier: cells.text(supplier).to_owned(),
            lead_days: cells.whole_up_to(lead, 0, MOST_DAYS).unwrap_or_default(),
            minimum_buy: cells.amount(minimum).unwrap_or_default(),
            buy_multiple: cells.amount(multiple).filter(|multiple| multiple.is_positive()),
            cover_days: cells.whole_up_to(cover, 0, MOST_DAYS).unwrap_or(1).max(1),
            safety_stock: cells.amount(safety).unwrap_or_default(),
            cost: cells.amount(cost),
            weight: cells.amount(weight).filter(|weight| weight.is_positive()),
            kind: self.kind(cells.text(kind)),
            fit_by: self.station(cells, fit_by),
            bill: 0..0,
            configured: false,
            row: cells.number(),
        }
    }

    /// The number of what a part is; `None` where that is blank.
    fn kind(&mut self, text: &str) -> Option<u32> {
        (!text.is_empty()).then(|| self.kinds.add(text))
    }

    /// Where a part comes from: `buy`, or `make` where a shop is given, unless the cell says otherwise.
    fn source(&self, cells: &mut Cells<'_>, source: BookColumn, shop: BookColumn) -> Source {
        let named = !cells.text(shop).is_empty();
        let made_in = self.shops.refer(cells, shop, &UNKNOWN_SHOP, "shop").map(ShopId);
        let word = cells.choice(source, &SOURCES).unwrap_or(if named { Word::Make } else { Word::Buy });
        match word {
            Word::Buy => Source::Buy,
            Word::Phantom => Source::Phantom,
            Word::ByProduct => Source::ByProduct,
            Word::Make => {
                if !named {
                    cells.report(&NO_SHOP, shop, "a part that is made needs its shop");
                }
                Source::Make(made_in.unwrap_or_default())
            }
        }
    }
}
