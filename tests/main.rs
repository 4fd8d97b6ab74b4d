//! All tests in one binary.

mod architecture;
mod cli;
mod network;
mod reading;
mod readme;
mod tables;
