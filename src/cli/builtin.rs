//! Circuits built into the program: the example, and one a kind of boat.

use crate::span::CircuitText;

/// A typical boat.
#[derive(Debug, Clone, Copy)]
pub struct BuiltIn {
    /// The kind of boat it stands for.
    pub kind: &'static str,
    /// A fuse of it to trace first, the one before all or most of it.
    pub fuse: &'static str,
    /// Its file name.
    pub file: &'static str,
    /// Its text.
    pub text: &'static str,
}

macro_rules! circuits {
    ($($kind:literal with $fuse:literal in $file:literal),* $(,)?) => {
        &[$(BuiltIn {
            kind: $kind,
            fuse: $fuse,
            file: $file,
            text: include_str!(concat!("../../circuits/typical/", $file)),
        }),*]
    };
}

/// The example: every wire of it measured.
pub fn example() -> CircuitText {
    CircuitText::new(
        "gabbro-injected-outboard.toml",
        include_str!("../../circuits/gabbro-injected-outboard.toml"),
    )
}

/// Typical boats, half known: what `--typical` answers for and `new --like`
/// writes down.
pub const TYPICAL: &[BuiltIn] = circuits![
    "injected outboard" with "main" in "injected-outboard.toml",
    "carburetted outboard" with "main" in "carburetted-outboard.toml",
    "bilge pump and lights" with "main" in "bilge-pump-and-lights.toml",
    "inboard auxiliary" with "main" in "inboard-auxiliary.toml",
    "console boat" with "main" in "console-boat.toml",
    "bench rig" with "inline" in "bench-rig.toml",
];

/// The typical boat of a kind, whichever case it is written in.
pub fn typical(kind: &str) -> Option<&'static BuiltIn> {
    TYPICAL
        .iter()
        .find(|circuit| circuit.kind.eq_ignore_ascii_case(kind))
}
