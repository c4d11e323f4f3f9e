//! A page as people hold it: sheets of titles, facts and tables, how wide and how long they are, and the spreadsheet writer.

mod cell;
pub mod fit;
pub mod limits;
pub mod listing;
pub mod pages;
pub mod sheet;
pub mod shown;
mod spans;
pub mod text_width;
pub mod two_up;
pub mod value;
pub mod xlsx;
