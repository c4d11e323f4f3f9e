//! Times what calls are worth, bins to count and bill weights against another plan: `cargo bench --bench calls -- BOOK` prints seconds as JSON, and writes nothing.

#![allow(clippy::disallowed_methods, reason = "a benchmark looks at the clock")]

use lineward::base::Moment;
use lineward::calls::{self, Calls, without};
use lineward::cures::Cures;
use lineward::weigh::Weights;
use lineward::{book, check, plan};
use std::error::Error;
use std::io::Write;
use std::time::Instant;

/// How many calls are looked at, about.
const CALLS: [usize; 4] = [125, 250, 500, 1_000];

fn main() -> Result<(), Box<dyn Error>> {
    let words: Vec<String> = std::env::args().skip(1).filter(|word| !word.starts_with("--")).collect();
    let Some(path) = words.first() else { return Ok(()) };
    let book = book::open(path.as_ref()).map_err(|_| "this book can't be read")?;
    let (now, _) = Moment::parse("2027-09-13 06:00").ok_or("a moment")?;
    let (plant, _) = check::plant(&book, None, now);
    let mut out = std::io::stdout().lock();
    let began = Instant::now();
    let (plan, _) = plan::plan(&plant, &plan::Request::default());
    let plan = plan.ok_or("this book can't be planned")?;
    writeln!(out, "{}", serde_json::json!({ "what": "plan", "seconds": began.elapsed().as_secs_f64() }))?;
    let cures = Cures::of(&plan);
    for most in CALLS {
        let began = Instant::now();
        let calls = Calls::of_first(&plan, &cures, most);
        let (seconds, count) = (began.elapsed().as_secs_f64(), calls.calls.len());
        let told = serde_json::json!({ "what": "calls", "calls": count, "left_out": calls.left_out,
            "blocks": calls.blocks.len(), "seconds": seconds });
        writeln!(out, "{told}")?;
    }
    let began = Instant::now();
    let count = without(&plan).map_or(0, |all| all.len());
    let told = serde_json::json!({ "what": "unpromised", "receipts": count, "seconds": began.elapsed().as_secs_f64() });
    writeln!(out, "{told}")?;
    let began = Instant::now();
    let margins = plan.margins().len();
    let told = serde_json::json!({ "what": "margins", "parts": margins, "seconds": began.elapsed().as_secs_f64() });
    writeln!(out, "{told}")?;
    let began = Instant::now();
    let bins = calls::bins(&plan).first.len();
    let told = serde_json::json!({ "what": "bins to count", "bins": bins, "seconds": began.elapsed().as_secs_f64() });
    writeln!(out, "{told}")?;
    let began = Instant::now();
    let (weighed, next) = {
        let weights = Weights::of(&plan);
        (weights.units.len(), weights.next.len())
    };
    let told = serde_json::json!({ "what": "weigh", "weighed": weighed, "next": next, "seconds": began.elapsed().as_secs_f64() });
    writeln!(out, "{told}")?;
    Ok(())
}
