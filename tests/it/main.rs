//! All integration tests in one binary.

mod shop_orders_sheets;
