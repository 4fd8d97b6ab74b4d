//! From text to circuit, and every mistake in one run.

mod bad_circuits;

use ampkeel::reading::{Reading, read};
use ampkeel::span::CircuitText;

/// Reads a text under a name of its own.
fn read_text(text: &str) -> Reading {
    read(&CircuitText::new("test.toml", text))
}
