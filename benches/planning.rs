//! Times planning alone, for run.py: `cargo bench --bench planning -- BOOK` prints seconds as JSON, and writes nothing.
//!
//! It takes the same path as `lineward plan`; tables and workbooks are made in full and thrown away.

#![allow(clippy::disallowed_methods, reason = "a benchmark looks at the clock")]

use lineward::base::Moment;
use lineward::report::{Form, table::Table};
use lineward::{book, check, plan, report};
use rayon::prelude::*;
use std::error::Error;
use std::io::Write;
use std::path::PathBuf;
use std::time::Instant;

/// The tables that rivals make, too.
const LARGE: [&str; 3] = ["demands", "pegs", "pulls"];

/// Seconds by stage.
struct Steps {
    last: Instant,
    seconds: Vec<(&'static str, f64)>,
}

impl Steps {
    fn done(&mut self, name: &'static str) {
        self.seconds.push((name, self.last.elapsed().as_secs_f64()));
        self.last = Instant::now();
    }

    fn report(&self) -> serde_json::Value {
        let steps: serde_json::Map<_, _> = self.seconds.iter().map(|(name, s)| ((*name).into(), (*s).into())).collect();
        let total: f64 = self.seconds.iter().map(|step| step.1).sum();
        serde_json::json!({ "engine": "planning", "seconds": total, "steps": steps })
    }
}

/// Counts bytes and forgets them.
struct Nowhere(usize);

impl Write for Nowhere {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        self.0 += bytes.len();
        Ok(bytes.len())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

fn main() -> Result<(), Box<dyn Error>> {
    let words: Vec<String> = std::env::args().skip(1).filter(|word| !word.starts_with("--")).collect();
    let Some(path) = words.first().map(PathBuf::from) else { return Ok(()) };
    let mut steps = Steps { last: Instant::now(), seconds: Vec::new() };
    let book = book::open(&path).map_err(|_| "this book can't be read")?;
    steps.done("read");
    let (now, _) = Moment::parse("2027-09-13 06:00").ok_or("a moment")?;
    let (plant, _) = check::plant(&book, None, now);
    drop(book);
    steps.done("check");
    let (plan, _) = plan::plan(&plant, &plan::Request::default());
    let plan = plan.ok_or("this book has errors")?;
    steps.done("plan");
    let rows = rows(&plan);
    steps.done("rows of demands, pegs, pulls");
    let written = write(&plan)?;
    steps.done("parquet of demands, pegs, pulls");
    let files = report::workbook_files(&plan, &std::env::temp_dir()).map_err(|(name, why)| format!("{name}: {why}"))?;
    steps.done("workbooks");
    let bytes: usize = files.iter().map(|file| file.1.len()).sum();
    writeln!(std::io::stderr(), "{rows} rows, {written} bytes of tables, {bytes} of workbooks")?;
    writeln!(std::io::stdout(), "{}", steps.report())?;
    Ok(())
}

/// Hands over all rows of the large tables side by side, as a writer takes them, and counts them.
fn rows(plan: &plan::Plan<'_>) -> usize {
    let large = report::table::TABLES.par_iter().filter(|table| LARGE.contains(&table.name));
    let counts = large.map(|table| {
        let mut count = 0;
        table.each_chunk(plan, &mut |chunk| count += chunk.rows);
        count
    });
    counts.sum()
}

/// The large tables as Parquet, side by side as `lineward plan` writes them; gives their bytes.
fn write(plan: &plan::Plan<'_>) -> std::io::Result<usize> {
    let large = report::table::TABLES.iter().filter(|table| LARGE.contains(&table.name));
    let (by_part, others): (Vec<&Table>, Vec<&Table>) = large.partition(|table| table.by_part());
    let sizes = [by_part, others].into_par_iter().map(|tables| {
        let mut outs: Vec<Nowhere> = tables.iter().map(|_| Nowhere(0)).collect();
        report::write_together(Form::Parquet, &tables, plan, &mut outs)?;
        Ok(outs.iter().map(|out| out.0).sum::<usize>())
    });
    sizes.sum()
}
