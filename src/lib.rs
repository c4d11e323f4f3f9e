//! Lineward: what leaves the stores, what each shop builds and what will be short, from a plant's own data.

pub mod base;
pub mod book;
pub mod check;
pub mod expression;
