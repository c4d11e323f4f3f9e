//! Lineward: what leaves the stores, what each shop builds and what will be short, from a plant's own data.
//!
//! The modules stand in the order of the data's path; each uses only those above it.
#![doc = ""]
#![doc = include_str!("RULES.md")]
#![deny(missing_docs, unsafe_code)]
#![deny(
    clippy::print_stdout,
    clippy::print_stderr,
    clippy::exit,
    clippy::float_arithmetic,
    clippy::iter_over_hash_type,
    clippy::panic,
    clippy::todo,
    clippy::unimplemented,
    clippy::dbg_macro,
    clippy::cast_possible_truncation
)]
#![cfg_attr(not(test), deny(clippy::unwrap_used, clippy::expect_used))]

pub mod base;
pub mod book;
pub mod expression;
pub mod check;
pub mod configure;
pub mod line;
pub mod explode;
pub mod every_order;
pub mod netting;
pub mod shops;
pub mod supply;
pub mod waves;
pub mod pulls;
pub mod plan;
pub mod cures;
pub mod calls;
pub mod forecast;
pub mod run_out;
pub mod first_builds;
pub mod crew_less;
pub mod why;
pub mod uses;
pub mod weigh;
pub mod report;
pub mod compare;
pub mod trial;
pub mod owed;
pub mod views;
pub mod cli;
