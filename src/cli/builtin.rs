//! Circuits built into the program: the example, and one a kind of boat.

/// A built-in circuit.
#[derive(Debug, Clone, Copy)]
pub struct BuiltIn {
    /// The kind of boat it stands for.
    pub kind: &'static str,
    /// Its file name.
    pub file: &'static str,
    /// Its text.
    pub text: &'static str,
}

macro_rules! circuits {
    ($($kind:literal in $file:literal),* $(,)?) => {
        &[$(BuiltIn {
            kind: $kind,
            file: $file,
            text: include_str!(concat!("../../circuits/typical/", $file)),
        }),*]
    };
}

/// The example: every wire of it measured.
pub const EXAMPLE: BuiltIn = BuiltIn {
    kind: "example",
    file: "gabbro-injected-outboard.toml",
    text: include_str!("../../circuits/gabbro-injected-outboard.toml"),
};

/// Typical boats, half known: what `--typical` answers for and `new --like`
/// writes down.
pub const TYPICAL: &[BuiltIn] = circuits![
    "injected outboard" in "injected-outboard.toml",
    "carburetted outboard" in "carburetted-outboard.toml",
    "bilge pump and lights" in "bilge-pump-and-lights.toml",
    "inboard auxiliary" in "inboard-auxiliary.toml",
    "console boat" in "console-boat.toml",
    "bench rig" in "bench-rig.toml",
];

/// The typical boat of a kind, whichever case it is written in.
pub fn typical(kind: &str) -> Option<&'static BuiltIn> {
    TYPICAL
        .iter()
        .find(|circuit| circuit.kind.eq_ignore_ascii_case(kind))
}
