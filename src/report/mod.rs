//! What people and programs get of a plan: the model of a page and its writer, the tables, the workbooks, and the answers of
//! `why`, `uses` and `weigh`.

mod answers;
#[allow(clippy::cast_possible_truncation, reason = "rows and columns of a sheet, which ends long before")]
pub mod every_order;
#[allow(clippy::cast_possible_truncation, reason = "rows and columns of a sheet, which ends long before")]
mod page;
pub(crate) mod prose;
mod tables;
#[allow(clippy::cast_possible_truncation, reason = "rows and columns of a sheet, which ends long before")]
mod workbooks;

pub(crate) use crate::plan::words as names;
pub use answers::{uses, weight_facts, weights, why};
pub use names::{job_name, pull_status, unit_status};
pub use page::xlsx::{made_alike, to_xlsx, to_xlsx_in};
pub(crate) use page::{fit, limits, listing, pages, shown, text_width, two_up};
pub use page::{sheet, value};
pub use tables::{Form, contents, table, to_csv, to_parquet, write_together};
pub use workbooks::front::plant_name;
pub use workbooks::pull_list::{listed, misses};
pub use workbooks::{
    File, Maker, WORKBOOK_FILES, WORKBOOKS, as_built, blank_book, call_words, day_words, findings, line_words,
    shortages_with, weighed, workbook_files, workbooks,
};
