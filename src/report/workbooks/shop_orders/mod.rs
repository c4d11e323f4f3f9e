//! The shop leads' workbook: what each feeder shop builds, in which order, with what, and how much time it has.

mod by_products;
mod cover;
mod crew_less;
mod crew_time;
mod facts;
mod first;
mod from_shops;
mod load;
mod material;
mod matter;
mod order;
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
use tabs::Tabs;

/// The workbook: a sheet over all shops, then the sheets of each shop.
pub fn workbook<'p>(plan: &'p Plan<'p>) -> Workbook<'p> {
    let facts = Facts::of(plan);
    let mut tabs = Tabs::default();
    let mut sheets = vec![first::sheet(&facts, tabs.give("all shops", ""))];
    for shop in (0..plan.plant.shops.len()).map(ShopId::of) {
        sheets_of(&facts, shop, &mut tabs, &mut sheets);
    }
    Workbook { file: "shop-orders.xlsx", title: "Shop orders".to_owned(), foot: foot(plan), sheets }
}

/// One shop: build order, sets, by-products where there are any, material by run, from other
/// shops and by job, crew time.
fn sheets_of<'p>(facts: &Facts<'p>, id: ShopId, tabs: &mut Tabs, sheets: &mut Vec<Sheet<'p>>) {
    let shop = facts.shop(id);
    let name = shop.dest.name.as_str();
    let table = |what: &str| format!("shop_{}_{what}", id.at() + 1);
    sheets.push(order::sheet(facts, &shop, tabs.give(name, ""), table("order")));
    sheets.push(sets::sheet(facts, &shop, tabs.give(name, "sets"), table("sets")));
    let by_products = by_products::sheet(facts, &shop, || tabs.give(name, "by-products"), table("by_products"));
    sheets.extend(by_products);
    sheets.push(runs::sheet(facts, &shop, tabs.give(name, "by run"), table("by_run")));
    let from_shops = from_shops::sheet(facts, &shop, || tabs.give(name, "from shops"), table("from_shops"));
    sheets.extend(from_shops);
    sheets.push(material::sheet(facts, &shop, tabs.give(name, "material"), table("material")));
    sheets.push(crew_time::sheet(facts, &shop, tabs.give(name, "crew time"), &table("time")));
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
