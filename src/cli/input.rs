//! Where a circuit comes from: a file, a pipe, or a built-in one.

use super::Failure;
use super::builtin::{EXAMPLE, TYPICAL, typical};
use super::failure::in_words;
use crate::circuit::Circuit;
use crate::findings::{Finding, Severity};
use crate::reading::{LARGEST, read, wanted_list};
use crate::span::{CircuitText, NoList};
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
    /// Use a typical boat of a kind instead of a file
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
        let (circuit, about) = match self.typical.as_deref().and_then(typical) {
            Some(circuit) => (
                circuit,
                format!(
                    "answered for a typical {}, not for your boat; `{}` writes it down for you to correct",
                    circuit.kind,
                    new_like(circuit.kind)
                ),
            ),
            None => (
                &EXAMPLE,
                format!(
                    "answered for the built-in example `{}`, not for your boat",
                    EXAMPLE.file
                ),
            ),
        };
        Ok(Opened {
            text: CircuitText::new(circuit.file, circuit.text),
            about: Some(about),
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
            text: with_list(CircuitText::new(name, text), path),
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

/// Puts the wire list beside the text that it names, if it names one.
fn with_list(text: CircuitText, path: &Path) -> CircuitText {
    let Some(asked) = wanted_list(&text.text) else {
        return text;
    };
    if text.name == "-" {
        let why = NoList {
            why: "a circuit from a pipe lies in no folder".to_owned(),
            hint: "give the circuit as a file, with its wire list beside it".to_owned(),
        };
        return text.with_list(asked, Err(why));
    }
    let list = path.with_file_name(asked);
    text.with_list(list.display().to_string(), list_text(&list))
}

fn list_text(path: &Path) -> Result<String, NoList> {
    let missing = |why: String, hint: String| NoList { why, hint };
    let failed = |reason: io::Error| {
        let hint = format!("it is looked for at `{}`", path.display());
        missing(in_words(&reason), hint)
    };
    // A pipe under this name would never end.
    if !std::fs::metadata(path).map_err(failed)?.is_file() {
        return Err(missing(
            "it is no file".to_owned(),
            "name the list itself: wires = \"list.csv\"".to_owned(),
        ));
    }
    let bytes = std::fs::File::open(path)
        .and_then(bounded)
        .map_err(failed)?;
    String::from_utf8(bytes).map_err(|error| {
        missing(
            format!(
                "it is no UTF-8 text: byte {} does not fit",
                error.utf8_error().valid_up_to() + 1
            ),
            "save it from the spreadsheet as CSV with UTF-8".to_owned(),
        )
    })
}

/// Reads no more than shows that it is too much: a device file never ends.
fn bounded(input: impl Read) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    input.take(LARGEST as u64 + 1).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// The kinds of boat of the built-in circuits.
pub(super) fn kinds() -> PossibleValuesParser {
    PossibleValuesParser::new(TYPICAL.iter().map(|circuit| circuit.kind))
}

/// The command that writes a typical boat down.
pub(super) fn new_like(kind: &str) -> String {
    format!("ampkeel new --like \"{kind}\" -o boat.toml")
}
