//! Reports: the plan as plain tables, then one file per view, then the writers.

mod csv;
mod names;
mod parquet;
pub mod table;

pub use csv::to_csv;
pub use names::{job_name, pull_status, unit_status};
pub use parquet::to_parquet;
