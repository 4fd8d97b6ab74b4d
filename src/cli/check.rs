//! `check`: is the circuit file sound?

use super::{Answer, CircuitArgs, Failure, Reply};
use crate::circuit::Circuit;
use crate::document::Document;
use crate::findings::Severity;
use crate::present::findings::count;
use crate::present::json::Object;
use crate::reading::read;

const EXAMPLES: &str = "\
Examples:
  ampkeel check boat.toml
  ampkeel check --json boat.toml
  cat boat.toml | ampkeel check -";

/// Find every mistake in a circuit file, each with its line and a hint
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    #[command(flatten)]
    circuit: CircuitArgs,
}

impl Args {
    pub(super) fn run(&self) -> Result<Reply, Failure> {
        let opened = self.circuit.open()?;
        let reading = read(&opened.text);
        let sound = count(&reading.findings, Severity::Mistake) == 0;
        let mut document = Document::new();
        if let Some(line) = opened.about {
            document.about(line);
        }
        if let Some(circuit) = reading.circuit.filter(|_| sound) {
            document.answer(is_sound(&opened.text.name, &circuit));
        }
        let answer = Answer {
            command: "check",
            document,
            body: Object::new()
                .text("file", &opened.text.name)
                .flag("sound", sound),
            text: Some(opened.text),
            findings: reading.findings,
            ..Answer::default()
        };
        Ok(answer.into())
    }
}

fn is_sound(name: &str, circuit: &Circuit) -> String {
    format!(
        "`{name}` is sound: {}, {}, {}",
        counted(circuit.parts.len(), "part"),
        counted(circuit.wires.len(), "wire"),
        counted(circuit.states.len(), "state"),
    )
}

fn counted(count: usize, word: &str) -> String {
    let plural = if count == 1 { "" } else { "s" };
    format!("{count} {word}{plural}")
}
