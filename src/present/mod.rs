//! How a document looks: on a terminal, as pictures of the circuit file, as
//! JSON, Markdown or a page of HTML with its pictures. Nothing is computed
//! here; figures arrive printed.
//!
//! Called by `cli`.

mod assumed;
pub mod findings;
pub mod html;
pub mod json;
mod look;
pub mod markdown;
pub mod snippet;
pub mod svg;
pub mod terminal;
mod wrap;

pub use look::{Look, Meaning};
