//! Where a circuit comes from: a file, a pipe, or a built-in one.

use super::Failure;
use super::builtin::{TYPICAL, example, typical};
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
        let (text, about) = if let Some(boat) = self.typical.as_deref().and_then(typical) {
            let text = CircuitText::new(boat.file, boat.text);
            (text, about_typical(boat.kind, ""))
        } else {
            let text = example();
            let name = &text.name;
            let about = format!("answered for the built-in example `{name}`, not for your boat");
            (text, about)
        };
        Ok(Opened {
            text,
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
        let why = NoList::new(
            "a circuit from a pipe lies in no folder",
            "give the circuit as a file, with its wire list beside it",
        );
        return text.with_list(asked, Err(why));
    }
    let list = path.with_file_name(asked);
    text.with_list(list.display().to_string(), list_text(&list))
}

fn list_text(path: &Path) -> Result<String, NoList> {
    let failed = |reason: io::Error| {
        let hint = format!("it is looked for at `{}`", path.display());
        NoList::new(in_words(&reason), hint)
    };
    // A pipe under this name would never end.
    if !std::fs::metadata(path).map_err(failed)?.is_file() {
        return Err(NoList::new(
            "it is no file",
            "name the list itself: wires = \"list.csv\"",
        ));
    }
    let bytes = std::fs::File::open(path)
        .and_then(bounded)
        .map_err(failed)?;
    String::from_utf8(bytes).map_err(|error| {
        let byte = error.utf8_error().valid_up_to() + 1;
        NoList::new(
            format!("it is no UTF-8 text: byte {byte} does not fit"),
            "save it from the spreadsheet as CSV with UTF-8",
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

/// The first line of an answer for a typical boat; `more` follows on its first half.
pub(super) fn about_typical(kind: &str, more: &str) -> String {
    format!(
        "answered for a typical {kind}, not for your boat{more}; `{}` writes it down for you to correct",
        new_like(kind)
    )
}

/// The command that writes a typical boat down.
pub(super) fn new_like(kind: &str) -> String {
    format!("ampkeel new --like \"{kind}\" -o boat.toml")
}
