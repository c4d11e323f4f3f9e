//! The shop leads' workbook: what each feeder shop builds, in which order, with what, and how much time it has.

mod by_crew;
mod by_products;
mod columns;
mod cover;
mod crew_less;
mod crew_time;
mod facts;
mod first;
mod from_shops;
mod load;
mod material;
mod matter;
mod of_shop;
mod order;
mod out;
mod pages;
mod runs;
mod sets;
mod spare;
mod standing;
mod tabs;
mod words;
mod wrong;

use super::foot;
use crate::base::ShopId;
use crate::plan::Plan;
use crate::report::sheet::{Sheet, Workbook};
use facts::Facts;
use tabs::{LONGEST, Tabs};

/// The most that stands behind a shop's name in a sheet's: ` later pieces`.
const LONGEST_BEHIND: usize = 13;

/// The workbook: a sheet over all shops, then what each shop prints; behind it what is only looked at.
pub fn workbook<'p>(plan: &'p Plan<'p>) -> Workbook<'p> {
    let facts = Facts::of(plan);
    let mut tabs = Tabs::default();
    let mut screens = Vec::new();
    let mut sheets = vec![first::sheet(&facts, tabs.give("all shops", ""))];
    for shop in (0..plan.plant.shops.len()).map(ShopId::of) {
        sheets_of(&facts, shop, &mut tabs, &mut sheets, &mut screens);
    }
    for mut sheet in screens {
        sheet.for_the_screen = true;
        sheets.push(sheet);
    }
    Workbook { file: "shop-orders.xlsx", title: "Shop orders".to_owned(), foot: foot(plan), sheets }
}

/// One shop: on paper its first page, build order by crew, what leaves it, by-products and crew time; for the screen all jobs, sets,
/// material by run, from other shops and by job, and the crew arithmetic by due.
fn sheets_of<'p>(
    facts: &Facts<'p>,
    id: ShopId,
    tabs: &mut Tabs,
    papers: &mut Vec<Sheet<'p>>,
    screens: &mut Vec<Sheet<'p>>,
) {
    let shop = facts.shop(id);
    // What stands behind a name of a sheet is never cut; a long name gives way to the shop's code.
    let fits = shop.dest.name.encode_utf16().count() + LONGEST_BEHIND <= LONGEST;
    let name = if fits { shop.dest.name.as_str() } else { shop.dest.code.as_str() };
    let table = |what: &str| format!("shop_{}_{what}", id.at() + 1);
    papers.push(of_shop::sheet(facts, &shop, tabs.give(name, "")));
    papers.push(by_crew::sheet(facts, &shop, tabs.give(name, "order")));
    papers.push(out::sheet(facts, &shop, tabs.give(name, "out")));
    let [pieces, later_pieces] =
        by_products::sheets(facts, &shop, |behind| tabs.give(name, behind), &table("by_products"));
    papers.extend(pieces);
    papers.push(crew_time::sheet(facts, &shop, tabs.give(name, "crew time"), &table("time")));
    screens.push(order::sheet(facts, &shop, tabs.give(name, "all jobs"), table("order")));
    screens.push(sets::sheet(facts, &shop, tabs.give(name, "sets"), table("sets")));
    screens.extend(later_pieces);
    screens.push(runs::sheet(facts, &shop, tabs.give(name, "by run"), table("by_run")));
    screens.extend(from_shops::sheet(facts, &shop, || tabs.give(name, "from shops"), table("from_shops")));
    screens.push(material::sheet(facts, &shop, tabs.give(name, "material"), table("material")));
    screens.push(crew_time::by_due(facts, &shop, tabs.give(name, "by due"), &table("time")));
}

/// The plant's name, or that of its book.
fn plant_name(plan: &Plan<'_>) -> String {
    if plan.plant.name.is_empty() { plan.plant.book.to_string() } else { plan.plant.name.clone() }
}

/// Spreads the cells of a table's rows over the sheet's columns: each over so many. Rows become as high as their text
/// needs then.
fn spread(sheet: &mut Sheet<'_>, from: u32, spans: &[u16]) {
    for mut row in sheet.rows.split_off(from as usize) {
        let mut column = 0;
        for (cell, span) in row.cells.iter_mut().zip(spans) {
            (cell.column, cell.span) = (column, *span);
            column += span;
        }
        sheet.row(None, row.cells);
    }
}
