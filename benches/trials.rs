//! Times what `lineward try` tries, inside the process: `cargo bench --bench trials -- BOOK [TRIALS [PICKED-THROUGH [EDIT..]]]`
//! prints milliseconds a trial as JSON, once around the clock and once of the processor, and writes nothing.
//!
//! Without orders to try, the same command tells what is spent besides: the rows of the plan, and nothing else. What the best
//! orders' change notices take is told by itself, for there are four of them at most, however many orders are tried.

#![allow(clippy::disallowed_methods, reason = "a benchmark looks at the clock")]

use lineward::base::Moment;
use lineward::compare::{Codes, CompareTerms, PlanRows, notice};
use lineward::trial::{self, Act, Wish};
use lineward::{book, check, plan};
use std::error::Error;
use std::io::Write;
use std::path::Path;
use std::time::Instant;

/// Seconds of the processor this process has taken so far, by all its threads; hundredths are counted.
fn processor() -> f64 {
    let stat = std::fs::read_to_string("/proc/self/stat").unwrap_or_default();
    let fields = stat.rsplit(')').next().unwrap_or_default().split_whitespace();
    // Behind the name: user and system time are the twelfth and thirteenth.
    fields.skip(11).take(2).filter_map(|field| field.parse::<f64>().ok()).sum::<f64>() / 100.0
}

/// What something takes, around the clock and of the processor, in seconds.
fn timed<R>(what: impl FnOnce() -> R) -> (R, [f64; 2]) {
    let (clock, spent) = (Instant::now(), processor());
    let result = what();
    (result, [clock.elapsed().as_secs_f64(), processor() - spent])
}

fn main() -> Result<(), Box<dyn Error>> {
    let words: Vec<String> = std::env::args().skip(1).filter(|word| !word.starts_with("--")).collect();
    let Some(path) = words.first() else { return Ok(()) };
    let most = words.get(1).map_or(Ok(1000), |word| word.parse())?;
    let moment = |word: &String| Moment::parse(word).map(|(moment, _)| moment).ok_or("a moment");
    let picked_through = words.get(2).filter(|word| !word.is_empty()).map(moment).transpose()?;
    let edits: Vec<_> = words.iter().skip(3).map(|word| trial::parse(Act::Set, word)).collect::<Result<_, _>>()?;
    let book = book::open(Path::new(path)).map_err(|_| "this book can't be read")?;
    let (book, _) = trial::apply(&book, &edits)?;
    let (plant, _) = check::plant(&book, None, Moment::parse("2027-09-13 06:00").ok_or("a moment")?.0);
    let request = plan::Request::default();
    let (plan, planning) = timed(|| plan::plan(&plant, &request).0);
    let plan = plan.ok_or("this book has errors")?;
    let (rows, reading) = timed(|| PlanRows::of_plan(&plan, &mut Codes::default()));
    let rows = rows.map_err(|_| "rows")?;
    let asked = CompareTerms { jobs_moved: 1800, picked_through, as_of: Some(plant.as_of) };
    let (_, comparing) = timed(|| notice(&rows, &rows, &asked));
    let wish = Wish { request, asked, fixed: 0, most };
    let (found, trying) = timed(|| trial::instead(&plan, &rows, &wish));
    let told = found.best.len();
    let each = trying.map(|seconds| seconds * 1000.0 / found.tried.max(1) as f64);
    let result = serde_json::json!({
        "orders": found.tried, "not tried": found.not_tried, "told": told,
        "seconds": trying, "ms an order": each,
        "one plan": planning, "its rows": reading, "a notice": comparing,
    });
    writeln!(std::io::stdout(), "{result}")?;
    Ok(())
}
