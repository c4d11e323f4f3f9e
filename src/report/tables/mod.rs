//! The plan as plain tables for programs, and what writes them: CSV, Parquet, and the list of all files.

mod columns;
pub mod contents;
mod csv;
mod digits;
mod files;
mod lists;
mod parquet;
pub mod table;

pub use files::{Form, to_csv, to_parquet, write_together};
