//! All integration tests in one binary.

mod pull_sheets;
