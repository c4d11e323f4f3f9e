//! The workbooks: one folder for each of the three of a plan, the findings of a book, a blank book, and what they share.

pub mod as_built;
pub mod blank_book;
pub mod call_words;
pub mod day_words;
pub mod findings;
pub mod front;
pub mod line_words;
pub mod pull_list;
mod shop_orders;
mod shortages;
pub mod weighed;
mod weight;

use super::page::limits;
use super::page::sheet::{self, Workbook};
use super::page::xlsx::Filled;
use crate::plan::Plan;
use itertools::Itertools;
use rayon::prelude::*;
use std::path::Path;

/// How a workbook is made of a plan.
pub type Maker = for<'p> fn(&'p Plan<'p>) -> Workbook<'p>;

/// The three workbooks of a plan: the materials planner's, the shops' and the buyer's.
pub static WORKBOOKS: [Maker; 3] = [pull_list::workbook, shop_orders::workbook, shortages::workbook];

/// The names of their files.
pub const WORKBOOK_FILES: [&str; 3] = ["pull-list.xlsx", "shop-orders.xlsx", "shortages.xlsx"];

/// All three, each sheet within its limits.
pub fn workbooks<'p>(plan: &'p Plan<'p>) -> [Workbook<'p>; 3] {
    WORKBOOKS.map(|maker| made(plan, maker))
}

/// The buyer's, with one more sheet behind the first.
pub fn shortages_with<'p>(plan: &'p Plan<'p>, sheet: Option<sheet::Sheet<'p>>) -> Workbook<'p> {
    let mut workbook = shortages::workbook(plan);
    workbook.sheets.splice(1..1, sheet);
    workbook.sheets.iter_mut().for_each(limits::cut);
    workbook
}

/// A workbook's file: its name and its bytes.
pub type File = (&'static str, Vec<u8>);

/// The files of all three; what is too long for memory is put away in a folder with room for it. Sheets are made and filled side by side,
/// but one hand packs a file: so the pull list, which is the longest, is packed while others are filled.
///
/// # Errors
/// Where the spreadsheet writer refuses something; the file's name comes with it.
pub fn workbook_files(plan: &Plan<'_>, room: &Path) -> Result<Vec<File>, (&'static str, String)> {
    let made = |maker| move || made(plan, maker);
    let filled = |workbook: Workbook<'_>| {
        let filled = Filled::of(&workbook, room).map_err(|why| (workbook.file, why))?;
        Ok((workbook.file, filled))
    };
    let packed = |filled: Result<(&'static str, Filled), _>| {
        let (file, filled) = filled?;
        Ok((file, filled.bytes().map_err(|why| (file, why))?))
    };
    let (pull_list, shortages) = rayon::join(made(pull_list::workbook), made(shortages::workbook));
    let (pull_list, shop_orders) = rayon::join(|| filled(pull_list), made(shop_orders::workbook));
    let others = || rayon::join(|| packed(filled(shop_orders)), || packed(filled(shortages)));
    let (pull_list, (shop_orders, shortages)) = rayon::join(|| packed(pull_list), others);
    Ok(vec![pull_list?, shop_orders?, shortages?])
}

/// A sheet that is still to be made; `None` where there is nothing for it.
type Making<'d, 'p> = Box<dyn Fn() -> Option<sheet::Sheet<'p>> + Send + Sync + 'd>;

/// Sheets in their order, made side by side.
fn side_by_side<'d, 'p: 'd>(makings: impl IntoIterator<Item = Making<'d, 'p>>) -> Vec<Option<sheet::Sheet<'p>>> {
    makings.into_iter().collect_vec().into_par_iter().map(|make| make()).collect()
}

fn made<'p>(plan: &'p Plan<'p>, maker: Maker) -> Workbook<'p> {
    let mut workbook = maker(plan);
    limits::cut_all(&mut workbook);
    workbook
}

/// Plant, what is planned and when, for the foot of each page.
fn foot(plan: &Plan<'_>) -> String {
    let name = front::plant_name(plan);
    format!("{name}, {}, as of {}", plan.day.long(), plan.plant.as_of.short())
}
