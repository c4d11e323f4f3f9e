//! What must hold and does not: a mistake in the program, never in a book. It ends the command instead of giving a wrong number.

use std::panic::resume_unwind;

/// Why a command was ended: something that must hold did not.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Broken(pub String);

/// Ends the command: something that must hold does not. Files that are being written are taken away, nothing is put in place,
/// and `cli::run` tells what it was. It may be called on any thread: the threads' library hands it on to the one that waits.
///
/// For what a book can cause there are findings; this is for what no book can.
#[cold]
#[inline(never)]
pub fn broken(what: impl Into<String>) -> ! {
    // No hook is called: what was broken is told once, in plain words.
    resume_unwind(Box::new(Broken(what.into())))
}

/// An index as a number of 32 bits, of which all that is numbered has fewer: rows, lines, jobs and slots have limits far below.
#[inline]
pub fn numbered(index: usize) -> u32 {
    u32::try_from(index).must("more than 2^32 things are to be numbered")
}

/// What must be there.
pub trait MustBe<T> {
    /// The value, or the end of the command: see [`broken`].
    fn must(self, what: &'static str) -> T;
}

impl<T> MustBe<T> for Option<T> {
    #[inline]
    fn must(self, what: &'static str) -> T {
        self.unwrap_or_else(|| broken(what))
    }
}

impl<T, E> MustBe<T> for Result<T, E> {
    #[inline]
    fn must(self, what: &'static str) -> T {
        self.unwrap_or_else(|_| broken(what))
    }
}
