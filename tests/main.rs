//! All tests in one binary.
#![allow(
    clippy::unwrap_used,
    clippy::float_cmp,
    reason = "a test may fail by panicking, and exact figures are meant where they are compared"
)]

mod architecture;
mod cli;
mod fusing;
mod network;
mod reading;
mod readme;
mod tables;
mod wiring;
