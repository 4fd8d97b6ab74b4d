//! All tests in one binary.

mod reading;
