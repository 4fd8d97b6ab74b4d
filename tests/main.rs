//! All tests in one binary.
