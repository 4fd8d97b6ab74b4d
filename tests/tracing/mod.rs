//! Tracing: why a fuse opens, why a load is dead.

mod field_cases;
