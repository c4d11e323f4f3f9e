//! How long a book takes to be read and checked: `cargo bench --bench reading -- PATH`, stage by stage, best and median of ten.

use lineward::base::Moment;
use lineward::{book, check};
use std::path::Path;
use std::time::{Duration, Instant};

#[expect(clippy::disallowed_methods, reason = "a benchmark looks at the clock")]
fn main() {
    let path = std::env::args().skip(1).find(|word| !word.starts_with('-'));
    let path = path.unwrap_or_else(|| "data/alder-fen".to_owned());
    let now = Moment::parse("2027-09-13 06:00").map(|(moment, _)| moment).unwrap_or_default();
    let (mut open, mut checked) = (Vec::new(), Vec::new());
    for _ in 0..10 {
        let start = Instant::now();
        let found = book::open(Path::new(&path)).unwrap_or_else(|why| panic!("{why}"));
        let opened = Instant::now();
        let (plant, findings) = check::plant(&found, None, now);
        checked.push(opened.elapsed());
        open.push(opened - start);
        assert!(!findings.any_error() && !plant.bills.is_empty(), "{path} is no sound book");
    }
    tell("open", &mut open);
    tell("check", &mut checked);
}

fn tell(stage: &str, times: &mut [Duration]) {
    times.sort();
    println!("{stage:8} best {:7.1?} median {:7.1?}", times[0], times[times.len() / 2]);
}
