//! All tests in one binary.

mod network;
mod reading;
