//! GPX through the public interface. Every walk and every place is invented.

#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    reason = "helpers of a test fail by panicking"
)]

mod bad_input;
mod field;
mod walks;
