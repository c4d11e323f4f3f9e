//! The jobs behind a part, in words.

use super::needed::minutes;
use crate::report::prose::{Prose, list, named};
use crate::why::facts::JobFacts;

/// Writes them.
pub fn write(jobs: &[JobFacts], prose: &mut Prose) {
    if jobs.is_empty() {
        return;
    }
    prose.heading(if jobs.len() == 1 { "The job behind it" } else { "The jobs behind it" });
    jobs.iter().for_each(|job| job_lines(job, prose));
}

/// One job: what, when, and what it waits for.
pub fn job_lines(job: &JobFacts, prose: &mut Prose) {
    let late = match job.late_minutes {
        Some(late) if late > 0 => format!(", {} late", minutes(late)),
        _ => String::new(),
    };
    let there = match job.there {
        Some(there) if there == job.available => format!("there {}", there.short()),
        Some(there) => format!("there {} once its late material is", there.short()),
        None => "there at no known time, for its material is not known to come".to_owned(),
    };
    let length = if job.started { format!("{} min left of it", job.minutes) } else { format!("{} min", job.minutes) };
    prose.line(
        2,
        &format!(
            "{}: {} of {} for {} by {}, in {}, crew {}, {length}.",
            job.job,
            job.qty,
            job.part,
            job.to,
            job.need.short(),
            named(&job.shop, &job.shop_name),
            job.crew
        ),
    );
    let begun = if job.started { "It has begun" } else { "It starts" };
    let start = if job.started { String::new() } else { format!(" {}", job.start.short()) };
    let due = format!("due {}", job.due.short());
    prose.line(4, &format!("{begun}{start}, is finished {} ({due}) and {there}{late}.", job.finish.short()));
    if !job.started {
        prose.line(4, &early(job));
    }
    prose.line(4, &material(job));
}

/// How early it could start, and what it follows.
fn early(job: &JobFacts) -> String {
    let earliest = if job.earliest == job.start {
        "It can't start earlier".to_owned()
    } else {
        format!("It could start {} at the earliest", job.earliest.short())
    };
    let waits = match job.waits_for.as_slice() {
        [] => String::new(),
        parts => format!("; it has to wait for {}, so it is released {}", list(parts), job.release.short()),
    };
    let after = job.after.as_ref().map(|(job, at)| format!("; its crew does {job} before, until {}", at.short()));
    format!("{earliest}{waits}{}.", after.unwrap_or_default())
}

fn material(job: &JobFacts) -> String {
    match (job.material, job.material_at) {
        ("late", Some(at)) => format!("Its material is late: all there {}.", at.short()),
        ("issued", _) => "Its material is issued.".to_owned(),
        ("short", _) => "Its material is short.".to_owned(),
        _ => "Its material is there in time.".to_owned(),
    }
}
