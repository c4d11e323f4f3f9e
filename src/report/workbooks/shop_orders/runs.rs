//! A shop's material by delivery run on the plan's day.

use super::facts::{Facts, ShopFacts};
use super::pages::keep_together;
use crate::base::{OwnerId, Quantity, count};
use crate::pulls::{Pull, Status};
use crate::report::listing::{listing, widths};
use crate::report::names::{issue_word, pull_status};
use crate::report::prose::few;
use crate::report::sheet::{Look, Sheet};
use crate::report::table::Value;
use itertools::Itertools;

/// So many units are named for which a part comes with a run.
const MOST_UNITS: usize = 40;
const SCALE: u16 = 80;
pub fn sheet<'p>(facts: &Facts<'p>, shop: &ShopFacts<'p>, name: String, table: String) -> Sheet<'p> {
    let plan = facts.plan;
    let to_here = plan.pulls.iter().filter(|pull| pull.to == shop.shop.dest && pull.run.leaves.date() == plan.day);
    let pulls = to_here.collect_vec();
    let together = pulls.chunk_by(|a, b| (a.run, a.part) == (b.run, b.part)).collect_vec();
    let mut sheet = Sheet::new(name, &widths::<ByRun>());
    sheet.of_a_day = true;
    sheet.text(Look::Title, format!("{}: material by run, {}, for the screen", shop.dest.name, plan.day.long()));
    sheet.text(Look::Plain, super::foot(plan));
    let told = "Bulk parts come in whole packs for the shop, all others for the units named.";
    sheet.text(Look::Plain, format!("{} on the day's runs. {told}", count(together.len(), "line", "lines")));
    sheet.gap();
    sheet.table(Some(table), together.iter().map(|pulls| line(facts, pulls)).collect());
    let first = sheet.next_row() - together.len() as u32;
    let starts = (first..sheet.next_row()).collect_vec();
    let runs = together.iter().tuple_windows().positions(|(a, b)| a[0].run != b[0].run);
    let fresh = runs.map(|i| first + i as u32 + 1).collect_vec();
    keep_together(&mut sheet, SCALE, &starts, &fresh);
    sheet
}

listing! {
    /// What a run brings.
    ByRun: fn line<'p>(facts: &Facts<'p>, pulls: &[&Pull]) {
        let part = facts.plan.plant.part(pulls[0].part);
        let status = pulls.iter().map(|pull| pull.status).max().unwrap_or(Status::Ready);
        let owners = pulls.iter().filter_map(|pull| pull.owner).unique();
    }
    look: if status >= Status::SpecialRun { Look::Wrong } else { Look::Plain };
    "run", 16, Moment => pulls[0].run.leaves;
    "location", 14, Text => part.location.as_str();
    "part", 15, Text => part.code.as_str();
    "description", 36, Wrapped => part.description.as_str();
    "qty", 9, Quantity => pulls.iter().map(|pull| pull.qty).sum::<Quantity>();
    "uom", 7, Text => part.uom.as_str();
    "issue", 10, Text => issue_word(part.issue);
    "for", 30, Wrapped => few(owners.map(|owner: OwnerId| facts.owner(owner).to_owned()), MOST_UNITS).replace("; ", " ");
    "how it stands", 14, Wrapped => pull_status(status);
    "came", 6, Box => Value::Blank;
}
