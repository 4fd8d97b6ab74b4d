//! Where a circuit comes from: a file, a pipe, or a built-in one.

use super::Failure;
use super::builtin::{BUILT_IN, BuiltIn};
use crate::circuit::Circuit;
use crate::findings::{Finding, Severity};
use crate::reading::{LARGEST, read};
use crate::span::CircuitText;
use clap::builder::PossibleValuesParser;
use std::io::{self, IsTerminal, Read};
use std::path::{Path, PathBuf};

/// The circuit to answer for; exactly one of the three.
#[derive(Debug, Clone, clap::Args)]
#[group(required = true, multiple = false)]
pub struct CircuitArgs {
    /// Circuit file; `-` reads it from a pipe
    #[arg(value_name = "FILE")]
    pub file: Option<PathBuf>,
    /// Use the built-in example instead of a file
    #[arg(long)]
    pub example: bool,
    /// Use the built-in circuit of a kind of boat
    #[arg(long, value_name = "BOAT", value_parser = kinds(), ignore_case = true)]
    pub typical: Option<String>,
}

/// A circuit's text, and the line that says so where it is not the user's own.
#[derive(Debug, Clone)]
pub struct Opened {
    /// The text.
    pub text: CircuitText,
    /// First line of the output for a built-in circuit.
    pub about: Option<String>,
}

/// A circuit read without mistakes.
#[derive(Debug, Clone)]
pub struct Loaded {
    /// The text.
    pub text: CircuitText,
    /// First line of the output for a built-in circuit.
    pub about: Option<String>,
    /// The circuit.
    pub circuit: Circuit,
    /// Cautions and notes of the reading.
    pub findings: Vec<Finding>,
}

impl CircuitArgs {
    /// Fetches the text.
    ///
    /// # Errors
    /// Files and pipes that cannot be read.
    pub fn open(&self) -> Result<Opened, Failure> {
        if let Some(path) = &self.file {
            return from_file(path);
        }
        let asked = self.typical.as_deref();
        let typical = BUILT_IN
            .iter()
            .find(|circuit| asked.is_some_and(|kind| circuit.kind.eq_ignore_ascii_case(kind)));
        Ok(match typical {
            Some(circuit) => built_in(circuit, &format!("a typical {}:", circuit.kind)),
            None => built_in(&BUILT_IN[0], "the built-in example"),
        })
    }

    /// Fetches and reads the circuit.
    ///
    /// # Errors
    /// As [`Self::open`], and [`Failure::Mistakes`] if the file has any.
    pub fn load(&self) -> Result<Loaded, Failure> {
        let Opened { text, about } = self.open()?;
        let reading = read(&text);
        let findings = reading.findings;
        let unsound = findings.iter().any(|f| f.severity() == Severity::Mistake);
        match reading.circuit {
            Some(circuit) if !unsound => Ok(Loaded {
                text,
                about,
                circuit,
                findings,
            }),
            _ => Err(Failure::Mistakes { text, findings }),
        }
    }
}

fn from_file(path: &Path) -> Result<Opened, Failure> {
    let unreadable = |reason| Failure::Unreadable {
        path: path.to_owned(),
        reason,
    };
    let name = path.display().to_string();
    let bytes = if name == "-" {
        piped(&unreadable)?
    } else {
        let file = std::fs::File::open(path).map_err(unreadable)?;
        bounded(file).map_err(unreadable)?
    };
    match String::from_utf8(bytes) {
        Ok(text) => Ok(Opened {
            text: CircuitText::new(name, text),
            about: None,
        }),
        Err(error) => Err(Failure::NotText {
            name,
            byte: error.utf8_error().valid_up_to() + 1,
        }),
    }
}

fn piped(unreadable: &impl Fn(io::Error) -> Failure) -> Result<Vec<u8>, Failure> {
    let mut input = io::stdin().lock();
    if input.is_terminal() {
        return Err(Failure::NothingPiped);
    }
    bounded(&mut input).map_err(unreadable)
}

/// Reads no more than shows that it is too much: a device file never ends.
fn bounded(input: impl Read) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    input.take(LARGEST as u64 + 1).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// The kinds of boat of the built-in circuits.
pub(super) fn kinds() -> PossibleValuesParser {
    PossibleValuesParser::new(BUILT_IN.iter().map(|circuit| circuit.kind))
}

fn built_in(circuit: &BuiltIn, stands_for: &str) -> Opened {
    let about = format!(
        "answered for {stands_for} `{}`, not for your boat",
        circuit.file
    );
    Opened {
        text: CircuitText::new(circuit.file, circuit.text),
        about: Some(about),
    }
}
