//! Progress while a person watches: what is being done, how far it is, and about how long it still takes.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::io::IsTerminal;
use std::time::Duration;

/// A bar on the terminal that goes away when it is done; nothing where nobody watches.
pub struct Progress(ProgressBar);

/// The steps of a plan, and about what share of the time each takes, in hundredths.
pub const READ: (&str, u64) = ("reading the book", 3);
/// Planning.
pub const PLAN: (&str, u64) = ("planning", 17);
/// Writing the tables.
pub const TABLES: (&str, u64) = ("writing the tables", 40);
/// Writing the workbooks.
pub const WORKBOOKS: (&str, u64) = ("writing the workbooks", 40);

impl Progress {
    /// Begins; what takes less than half a second shows nothing.
    pub fn begin() -> Self {
        let bar = ProgressBar::with_draw_target(Some(100), ProgressDrawTarget::stderr_with_hz(10));
        let style = ProgressStyle::with_template("{msg} [{bar:30}] {percent}%, {elapsed}, about {eta} more");
        if let Ok(style) = style {
            bar.set_style(style.progress_chars("=> "));
        }
        // The clock is a thread of its own: where the system gives no more, the bar stands still between steps.
        let may_tick = || std::thread::Builder::new().spawn(|| ()).is_ok();
        if std::io::stderr().is_terminal() && may_tick() {
            bar.enable_steady_tick(Duration::from_millis(500));
        }
        Self(bar)
    }

    /// Says how far something is that is told by number.
    pub fn at(&self, what: &'static str, done: usize, of: usize) {
        self.0.set_message(what);
        self.0.set_position((done * 100 / of.max(1)) as u64);
    }

    /// Runs a step.
    pub fn step<T>(&self, (what, share): (&'static str, u64), work: impl FnOnce() -> T) -> T {
        self.0.set_message(what);
        let done = work();
        self.0.inc(share);
        done
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.0.finish_and_clear();
    }
}
