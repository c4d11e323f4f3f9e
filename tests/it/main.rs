//! All integration tests in one binary.

mod shortages_sheets;
