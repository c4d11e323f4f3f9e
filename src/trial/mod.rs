//! What if, and what else: a book with a few cells changed in memory, and other orders of the sequence, each planned whole.
//! Nothing here is written back to the book.

mod carts;
mod change;
mod edits;
mod instead;
mod measure;
mod moves;
mod sheet;
mod text;
mod written;

pub use carts::Carts;
pub use change::{Changed, apply, note};
pub use edits::{Act, Edit, WhichRows, from_file, parse};
pub use instead::{Instead, Proposal, Wish, instead};
pub use measure::{Measure, Rank, last_entries};
pub use moves::{Kind, Move, moves};
pub use sheet::sheet as instead_sheet;
pub use text::{costs, text as instead_text};
pub use written::{added, word, written};
