//! `check`: is the circuit file sound?

use super::{Answer, CircuitArgs, Failure, Reply};
use crate::circuit::{Circuit, Wire};
use crate::document::Document;
use crate::findings::Severity;
use crate::present::findings::count;
use crate::present::json::Object;
use crate::reading::read;
use crate::span::CircuitText;
use std::collections::BTreeSet;

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
            document.answer(is_sound(&opened.text, &circuit));
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

fn is_sound(text: &CircuitText, circuit: &Circuit) -> String {
    format!(
        "`{}` is sound: {}, {}{}, {}",
        text.name,
        counted(circuit.parts.len(), "part"),
        counted(circuit.wires.len(), "wire"),
        of_list(text, circuit),
        counted(circuit.states.len(), "state"),
    )
}

/// How many wires a wire list gave, and which of its columns are only kept: a
/// heading that was meant for something else is seen here.
fn of_list(text: &CircuitText, circuit: &Circuit) -> String {
    let Some(list) = &text.list else {
        return String::new();
    };
    let wires = circuit.wires.iter();
    let of_list: Vec<&Wire> = wires
        .filter(|wire| text.is_in_list(wire.written.table.start))
        .collect();
    let columns = of_list.iter().flat_map(|wire| &wire.columns);
    let kept: BTreeSet<String> = columns.map(|(heading, _)| format!("`{heading}`")).collect();
    let kept = if kept.is_empty() {
        String::new()
    } else {
        let all: Vec<String> = kept.into_iter().collect();
        format!(", which also keeps {}", all.join(", "))
    };
    format!(" ({} from `{}`{kept})", of_list.len(), list.name)
}

fn counted(count: usize, word: &str) -> String {
    let plural = if count == 1 { "" } else { "s" };
    format!("{count} {word}{plural}")
}
