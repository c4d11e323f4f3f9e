//! All integration tests in one binary.

#![allow(clippy::disallowed_methods, reason = "tests make the folders they read")]

mod pull_sheets;
