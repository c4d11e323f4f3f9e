//! The materials planner's workbook: what leaves the stores on the day.

use super::names::{dest_code, issue_word, pull_status};
use super::sheet::{Column, Look, Sheet, Show, Workbook};
use super::table::Value;
use crate::plan::Plan;
use crate::pulls::{Pull, Status};

const COLUMNS: [Column; 9] = [
    Column { heading: "run", show: Show::Clock },
    Column { heading: "location", show: Show::Text },
    Column { heading: "part", show: Show::Text },
    Column { heading: "description", show: Show::Text },
    Column { heading: "qty", show: Show::Quantity },
    Column { heading: "to", show: Show::Text },
    Column { heading: "unit", show: Show::Text },
    Column { heading: "issue", show: Show::Text },
    Column { heading: "how it stands", show: Show::Text },
];

/// The workbook.
pub fn workbook<'p>(plan: &'p Plan<'p>) -> Workbook<'p> {
    let today: Vec<&Pull> = plan.pulls.iter().filter(|pull| pull.run.leaves.date() == plan.day).collect();
    let mut sheet = Sheet::new("pulls", &[8, 12, 16, 36, 10, 10, 12, 10, 14]);
    sheet.text(Look::Title, format!("Pull list, {}", plan.day.long()));
    sheet.text(Look::Plain, super::foot(plan));
    let lines = today.iter().map(|pull| line(plan, pull)).collect();
    sheet.table(Some("pulls".to_owned()), &COLUMNS, lines);
    Workbook { file: "pull-list.xlsx", title: "Pull list".to_owned(), foot: super::foot(plan), sheets: vec![sheet] }
}

fn line<'p>(plan: &'p Plan<'p>, pull: &Pull) -> (Look, Vec<Value<'p>>) {
    let part = plan.plant.part(pull.part);
    let owner = pull.owner.map(|owner| plan.pace.owners[owner.at()].code.as_str());
    let look = if pull.status >= Status::SpecialRun { Look::Wrong } else { Look::Plain };
    let values = vec![
        pull.run.leaves.into(),
        part.location.as_str().into(),
        part.code.as_str().into(),
        part.description.as_str().into(),
        pull.qty.into(),
        dest_code(plan, pull.to).into(),
        owner.into(),
        issue_word(part.issue).into(),
        pull_status(pull.status).into(),
    ];
    (look, values)
}
