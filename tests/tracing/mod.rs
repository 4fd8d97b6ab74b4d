//! Tracing: why a fuse opens, why a load is dead.

mod command;
mod field_cases;
mod stories;
