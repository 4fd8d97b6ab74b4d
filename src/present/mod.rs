//! How a document looks: on a terminal, as pictures of the circuit file, as
//! JSON. Nothing is computed here; figures arrive printed.
//!
//! Called by `cli`.

pub mod findings;
pub mod json;
mod look;
pub mod snippet;
pub mod terminal;
mod wrap;

pub use look::{Look, Meaning};
