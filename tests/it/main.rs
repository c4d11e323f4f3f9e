//! All integration tests in one binary.

#![allow(clippy::disallowed_methods, reason = "tests read and write files of their own")]

mod advice;
mod bad_supply;
mod balances;
mod bins;
mod buyer;
mod calls;
mod changes;
mod commands;
mod compare;
mod consequences;
mod crew_less;
mod cures;
mod day;
mod edges;
mod every_order;
mod examples;
mod extremes;
mod findings;
mod fits;
mod fuzz;
mod hard_files;
mod kept;
mod large_plans;
mod loss;
mod marks;
mod outlooks;
mod own_files;
mod museum;
mod nasty;
mod oracle;
mod paper;
mod parquet;
mod properties;
mod published;
mod pull_paper;
mod pull_sheets;
mod questions;
mod random;
mod random_books;
mod rules;
mod second_plant;
mod shapes;
mod shop_orders_sheets;
mod short_books;
mod shortages_paper;
mod shortages_sheets;
mod silence;
mod spoiled;
mod spreadsheets;
mod starts;
mod sums;
mod support;
mod times;
mod told;
mod trial;
mod uses;
mod weigh;
mod why;
#[cfg(windows)]
mod windows;
#[cfg(target_os = "linux")]
mod writing;
