//! Circuits built into the program, one a kind of boat.

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
            text: include_str!(concat!("../../circuits/", $file)),
        }),*]
    };
}

/// All built-in circuits; the first is the example.
pub const BUILT_IN: &[BuiltIn] = circuits![
    "injected outboard" in "gabbro-injected-outboard.toml",
    "carburetted two-stroke" in "flint-carburetted-two-stroke.toml",
    "tiller outboard" in "marl-tiller-9hp.toml",
    "inboard diesel" in "gneiss-inboard-diesel.toml",
];
