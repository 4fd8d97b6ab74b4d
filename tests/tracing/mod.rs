//! Tracing: why a fuse opens, why a load is dead.

mod command;
mod closed_loop;
mod field_cases;
mod stories;
