//! A shop's material by delivery run on the plan's day.

use super::facts::{Facts, ShopFacts, count};
use super::pages::keep_together;
use crate::base::{OwnerId, Quantity};
use crate::pulls::{Pull, Status};
use crate::report::names::{issue_word, pull_status};
use crate::report::prose::few;
use crate::report::sheet::{Column, Line, Look, Sheet, Show};
use crate::report::table::Value;
use itertools::Itertools;

/// So many units are named for which a part comes with a run.
const MOST_UNITS: usize = 40;
const SCALE: u16 = 80;
const WIDTHS: [u16; 10] = [16, 14, 15, 36, 9, 7, 10, 30, 14, 6];
const COLUMNS: [Column; 10] = [
    Column { heading: "run", show: Show::Moment },
    Column { heading: "location", show: Show::Text },
    Column { heading: "part", show: Show::Text },
    Column { heading: "description", show: Show::Wrapped },
    Column { heading: "qty", show: Show::Quantity },
    Column { heading: "uom", show: Show::Text },
    Column { heading: "issue", show: Show::Text },
    Column { heading: "for", show: Show::Wrapped },
    Column { heading: "how it stands", show: Show::Wrapped },
    Column { heading: "came", show: Show::Box },
];
/// The sheet.
pub fn sheet<'p>(facts: &Facts<'p>, shop: &ShopFacts<'p>, name: String, table: String) -> Sheet<'p> {
    let plan = facts.plan;
    let to_here = plan.pulls.iter().filter(|pull| pull.to == shop.shop.dest && pull.run.leaves.date() == plan.day);
    let pulls = to_here.collect_vec();
    let together = pulls.chunk_by(|a, b| (a.run, a.part) == (b.run, b.part)).collect_vec();
    let mut sheet = Sheet::new(name, &WIDTHS);
    sheet.of_a_day = true;
    sheet.text(Look::Title, format!("{}: material by run, {}", shop.dest.name, plan.day.long()));
    sheet.text(Look::Plain, super::foot(plan));
    let told = "Bulk parts come in whole packs for the shop, all others for the units named.";
    sheet.text(Look::Plain, format!("{} on the day's runs. {told}", count(together.len(), "line")));
    sheet.gap();
    sheet.table(Some(table), &COLUMNS, together.iter().map(|pulls| line(facts, pulls)).collect());
    let first = sheet.next_row() - together.len() as u32;
    let starts = (first..sheet.next_row()).collect_vec();
    let runs = together.iter().tuple_windows().positions(|(a, b)| a[0].run != b[0].run);
    let fresh = runs.map(|i| first + i as u32 + 1).collect_vec();
    keep_together(&mut sheet, SCALE, &starts, &fresh);
    sheet
}

/// One part with one run: all of it together, and for whom.
fn line<'p>(facts: &Facts<'p>, pulls: &[&Pull]) -> Line<'p> {
    let part = facts.plan.plant.part(pulls[0].part);
    let status = pulls.iter().map(|pull| pull.status).max().unwrap_or(Status::Ready);
    let owners = pulls.iter().filter_map(|pull| pull.owner).unique();
    let values: Vec<Value<'p>> = vec![
        pulls[0].run.leaves.into(),
        part.location.as_str().into(),
        part.code.as_str().into(),
        part.description.as_str().into(),
        pulls.iter().map(|pull| pull.qty).sum::<Quantity>().into(),
        part.uom.as_str().into(),
        issue_word(part.issue).into(),
        few(owners.map(|owner: OwnerId| facts.owner(owner).to_owned()), MOST_UNITS).replace("; ", " ").into(),
        pull_status(status).into(),
        Value::Blank,
    ];
    (if status >= Status::SpecialRun { Look::Wrong } else { Look::Plain }, values)
}
