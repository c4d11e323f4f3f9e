//! The shop leads' workbook: what each feeder shop builds, in which order.

use super::names::{dest_code, job_name};
use super::sheet::{Column, Look, Sheet, Show, Workbook};
use super::table::Value;
use crate::base::ShopId;
use crate::plan::{Material, Plan};
use crate::shops::Job;

const COLUMNS: [Column; 9] = [
    Column { heading: "crew", show: Show::Whole },
    Column { heading: "job", show: Show::Text },
    Column { heading: "qty", show: Show::Quantity },
    Column { heading: "to", show: Show::Text },
    Column { heading: "earliest start", show: Show::Moment },
    Column { heading: "latest start", show: Show::Moment },
    Column { heading: "finish", show: Show::Moment },
    Column { heading: "due", show: Show::Moment },
    Column { heading: "material", show: Show::Text },
];

/// The workbook.
pub fn workbook<'p>(plan: &'p Plan<'p>) -> Workbook<'p> {
    let mut sheets: Vec<Sheet<'p>> = Vec::new();
    for shop in (0..plan.plant.shops.len()).map(ShopId::of) {
        let dest = plan.plant.shop_dest(shop);
        let mut sheet = Sheet::new(format!("shop {}", sheets.len() + 1), &[8, 24, 8, 10, 18, 18, 18, 18, 12]);
        sheet.text(Look::Title, format!("{}: build order", dest.name));
        let jobs = plan.job_order.iter().map(|i| *i as usize).filter(|i| plan.jobs[*i].shop == shop);
        let lines = jobs.map(|i| line(plan, &plan.jobs[i], plan.materials[i])).collect();
        sheet.table(Some(format!("jobs_{}", sheets.len() + 1)), &COLUMNS, lines);
        sheets.push(sheet);
    }
    if sheets.is_empty() {
        let mut sheet = Sheet::new("shops", &[60]);
        sheet.text(Look::Title, "This book has no feeder shops");
        sheets.push(sheet);
    }
    Workbook { file: "shop-orders.xlsx", title: "Shop orders".to_owned(), foot: super::foot(plan), sheets }
}

fn line<'p>(plan: &'p Plan<'p>, job: &'p Job, material: Material) -> (Look, Vec<Value<'p>>) {
    let calendar = plan.plant.calendar(plan.plant.shop(job.shop).calendar);
    let word = match material {
        Material::Ready => "ready",
        Material::Late(_) => "late",
        Material::Short => "short",
        Material::Issued => "issued",
    };
    let late = job.available > job.need;
    let values = vec![
        (i64::from(job.slot.crew) + 1).into(),
        job_name(plan, job).into(),
        job.qty.into(),
        dest_code(plan, job.to).into(),
        calendar.starts(job.slot.earliest).into(),
        calendar.starts(job.slot.start).into(),
        calendar.ends(job.slot.finish).into(),
        calendar.starts(job.times.due).into(),
        word.into(),
    ];
    (if late || matches!(material, Material::Late(_) | Material::Short) { Look::Wrong } else { Look::Plain }, values)
}
