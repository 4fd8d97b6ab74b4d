//! Tracing: why a fuse opens, why a load is dead.

mod closed_loop;
mod command;
mod field_cases;
mod stories;
mod workshop;
