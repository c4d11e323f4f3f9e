//! A shop: its crews on a stretch of time, its jobs of a day with what they wait for.

use super::axis::{Axis, LEFT, TOP, picture};
use super::{Address, View, found, tell};
use crate::base::{Date, ShopId};
use crate::plan::words::{dest_code, job_name};
use crate::plan::{Brought, Late, Material, Plan, There};
use crate::shops::Job;
use itertools::Itertools;
use maud::{Markup, html};

/// So many days can be chosen.
const MOST_DAYS: usize = 21;

/// A job and its number in the plan.
type Numbered<'p> = (usize, &'p Job);

pub fn view(plan: &Plan<'_>, code: &str, day: Option<Date>) -> View {
    let codes = plan.plant.shops.iter().map(|shop| plan.plant.dest(shop.dest).code.as_str());
    let id = match found("shop", code, codes) {
        Ok(at) => ShopId::of(at),
        Err(none) => return none,
    };
    let jobs = plan.job_order.iter().map(|job| (*job as usize, &plan.jobs[*job as usize]));
    let jobs: Vec<Numbered<'_>> = jobs.filter(|(_, job)| job.shop == id).collect();
    let days =
        jobs.iter().flat_map(|job| [start(plan, job.1), finish(plan, job.1)]).map(|at| at.date()).sorted().dedup();
    let days = days.filter(|date| *date >= plan.plant.as_of.date()).collect_vec();
    let day = day.or(days.first().copied()).unwrap_or(plan.plant.as_of.date());
    let today = jobs.iter().filter(|(_, job)| start(plan, job).date() <= day && finish(plan, job).date() >= day);
    let today = today.copied().collect_vec();
    let dest = plan.plant.shop_dest(id);
    let late = jobs.iter().filter(|(number, _)| plan.job_late(*number) != Late::InTime).count();
    let body = html! {
        p { (jobs.len()) " jobs in the plan, " (late) " of them late; " (plan.plant.shop(id).crews) " crews." }
        nav .choice aria-label="days" {
            @for date in days.iter().take(MOST_DAYS) {
                a href=(Address::Shop { shop: dest.code.clone(), day: Some(*date) }) aria-current=[(*date == day).then_some("page")] { (date.short()) }
                " "
            }
            @if days.len() > MOST_DAYS { (days.len() - MOST_DAYS) " days more up to " (days[days.len() - 1].short()) }
        }
        @if days.len() > MOST_DAYS {
            form .choice action="/shop" method="get" {
                input type="hidden" name="shop" value=(dest.code);
                label for="day" { "another day " }
                input #day name="day" type="date" value=(day);
                " " button { "show" }
            }
        }
        (bars(plan, id, day, &today))
        (list(plan, day, &today))
        nav .choice aria-label="shops" {
            "Other shops: "
            @for shop in plan.plant.shops.iter().filter(|shop| shop.dest != plan.plant.shop(id).dest) { (tell::shop(&plan.plant.dest(shop.dest).code)) " " }
        }
    };
    View::new(format!("{}, {}", if dest.name.is_empty() { &dest.code } else { &dest.name }, day.short()), body)
}

fn start(plan: &Plan<'_>, job: &Job) -> crate::base::Moment {
    plan.plant.calendar(plan.plant.shop(job.shop).calendar).starts(job.slot.start)
}

fn finish(plan: &Plan<'_>, job: &Job) -> crate::base::Moment {
    plan.plant.calendar(plan.plant.shop(job.shop).calendar).ends(job.slot.finish)
}

fn late_word(late: Late) -> String {
    let words = late.words();
    if words.is_empty() { "in time".to_owned() } else { words }
}

/// The crews' jobs of a day: a bar from start to finish, a line where it is due, a mark where it is late.
fn bars(plan: &Plan<'_>, shop: ShopId, day: Date, jobs: &[Numbered<'_>]) -> Markup {
    let calendar = plan.plant.calendar(plan.plant.shop(shop).calendar);
    let (begin, end) = (day.midnight(), day.plus(1).midnight());
    let opens = calendar.starts(calendar.worked(begin)).max(begin).min(end);
    let closes = calendar.ends(calendar.worked(end)).min(end).max(opens);
    let Some(axis) = Axis::over([opens, closes].into_iter()).filter(|_| !jobs.is_empty()) else { return html! {} };
    let crews = i64::from(plan.plant.shop(shop).crews);
    let height = TOP + crews * 46 + 10;
    let late = jobs.iter().filter(|(number, _)| plan.job_late(*number) != Late::InTime).count();
    let words = format!("{} jobs of {crews} crews, {late} of them late; the table below tells each.", jobs.len());
    let content = html! {
        (axis.marks(height))
        @for crew in 0..crews { text .lane x="4" y=(TOP + crew * 46 + 24) { "crew " (crew + 1) } }
        @for (number, job) in jobs {
            @let y = TOP + i64::from(job.slot.crew) * 46;
            @let (from, to) = (axis.x(start(plan, job)), axis.x(finish(plan, job)));
            @let due = axis.x(calendar.starts(job.times.due));
            @let late = plan.job_late(*number);
            @let name = job_name(plan, job);
            g class=(if late == Late::InTime { "job" } else { "job late" }) {
                title { (name) ", " (start(plan, job).clock()) " to " (finish(plan, job).clock()) ", " (late_word(late)) }
                rect x=(from) y=(y + 4) width=((to - from).max(3)) height="26" {}
                @if late != Late::InTime { text .stop-mark x=(from + 2) y=(y + 42) { "◐ late" } }
                @if to - from > 46 { text .label x=(from + 4) y=(y + 21) { (plan.pace.owners[job.owner.at()].code) } }
                @if due > LEFT { line .due x1=(due) x2=(due) y1=(y) y2=(y + 34) {} }
            }
        }
    };
    picture(&format!("Crews on {}", day.long()), &words, height, &content)
}

fn list(plan: &Plan<'_>, day: Date, jobs: &[Numbered<'_>]) -> Markup {
    let brought = Brought::of(plan);
    let calendar = |job: &Job| plan.plant.calendar(plan.plant.shop(job.shop).calendar);
    let line = |(number, job): &Numbered<'_>| {
        let part = plan.plant.part(job.part);
        html! {
            td { (start(plan, job).short()) }
            td { (job.slot.crew + 1) }
            td { (tell::owner(plan, job.owner)) }
            td { (tell::part_code(&part.code)) " " (part.description) }
            td .number { (job.qty) " " (part.uom) }
            td .number { ((job.times.length + 59) / 60) }
            td { (calendar(job).starts(job.times.due).short()) }
            td { (finish(plan, job).short()) }
            td { (dest_code(plan, job.to)) ", " (job.need.short()) }
            td {
                @match plan.materials[*number] {
                    Material::Ready => (tell::state("ready")),
                    Material::Late(at) => { (tell::state("late")) " until " (at.short()) }
                    Material::Short => (tell::state("short")),
                    Material::Issued => "issued",
                }
                @if let Some(run) = brought.run(*number) { ", with the " (run.leaves.short()) " run" }
            }
            td {
                @match (plan.job_late(*number), plan.job_there(*number)) {
                    (Late::InTime, _) => (tell::state("in time")),
                    (late, There::At(at)) => { (tell::shape("late")) " " (late_word(late)) ", there " (at.short()) }
                    (late, There::Unknown) => { (tell::shape("short")) " " (late_word(late)) }
                }
            }
        }
    };
    let lines = jobs.iter().map(line).collect_vec();
    let headings = [
        "start at the latest",
        "crew",
        "unit",
        "builds",
        "how many",
        "minutes",
        "due",
        "finished",
        "for, needed",
        "material",
        "stands",
    ];
    tell::table(&format!("Jobs of {}", day.long()), &headings, &lines, jobs.len())
}
