//! All tests in one binary.

mod tables;
