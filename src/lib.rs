//! Lineward: what leaves the stores, what each shop builds and what will be short, from a plant's own data.

pub mod base;
pub mod book;
pub mod check;
pub mod cli;
pub mod configure;
pub mod explode;
pub mod expression;
pub mod held;
pub mod line;
pub mod netting;
pub mod plan;
pub mod pulls;
pub mod report;
pub mod shops;
pub mod supply;
pub mod waves;
