//! A log of a tracing as text that is read back the same.

use super::trace_spots::Spots;
use crate::circuit::Circuit;
use crate::tracing::{Evidence, Figure, Quantity, Spot};
use std::fmt::Write;

/// The log of what is known.
pub(super) fn text(circuit: &Circuit, evidence: &Evidence) -> String {
    let mut log = Log {
        spots: Spots::of(circuit),
        circuit,
        text: "format = 1\n".to_owned(),
    };
    log.word("complaint", evidence.complaint.word());
    if let Some(fuse) = evidence.fuse {
        let name = log.spots.fuse_name(fuse);
        log.word("fuse", &name);
    }
    let part = |id: &crate::circuit::PartId| circuit.part(*id).name.clone();
    log.list("loads", evidence.loads.iter().map(part));
    let state = |at: &usize| circuit.states[*at].name.clone();
    log.list("states", evidence.states.iter().map(state));
    log.list("fine", evidence.fine.iter().map(state));
    log.list(
        "when",
        evidence.when.iter().map(|one| one.word().to_owned()),
    );
    log.list(
        "after",
        evidence.after.iter().map(|one| one.word().to_owned()),
    );
    if let Some(took) = evidence.opens_after {
        let value = range(took.low, took.high, "s");
        log.word("opens-after", &value);
    }
    if let Some(held) = evidence.holds_for {
        log.word("holds-for", &format!("{held} s"));
    }
    if let Some(element) = evidence.element {
        log.word("element", element.word());
    }
    if let Some(count) = evidence.so_far {
        log.line(&format!("so-far = {count}"));
    }
    log.list("dead", evidence.dead.iter().map(part));
    log.list("works", evidence.works.iter().map(part));
    let names: Vec<String> = evidence.altered.iter().map(|at| log.name(*at)).collect();
    log.list("altered", names.into_iter());
    log.entries(evidence);
    log.text
}

struct Log<'c> {
    spots: Spots<'c>,
    circuit: &'c Circuit,
    text: String,
}

impl Log<'_> {
    fn line(&mut self, line: &str) {
        self.text.push_str(line);
        self.text.push('\n');
    }

    fn word(&mut self, key: &str, value: &str) {
        // A name may hold quotes: TOML's own writing of a string.
        let value = toml_string(value);
        self.line(&format!("{key} = {value}"));
    }

    fn list(&mut self, key: &str, values: impl Iterator<Item = String>) {
        let values: Vec<String> = values.map(|value| toml_string(&value)).collect();
        if !values.is_empty() {
            self.line(&format!("{key} = [{}]", values.join(", ")));
        }
    }

    fn name(&self, spot: Spot) -> String {
        self.spots.name(spot)
    }

    fn entries(&mut self, evidence: &Evidence) {
        for (spot, sign) in &evidence.signs {
            let at = toml_string(&self.name(*spot));
            // Every sign is an entry of its own, as a person may write it too.
            self.line(&format!(
                "\n[[signs]]\nat = {at}\nsign = {}",
                toml_string(sign.word())
            ));
        }
        for figure in &evidence.figures {
            self.reading(figure);
        }
        for done in &evidence.tests {
            let at = self.name(done.at);
            self.line("\n[[test]]");
            self.word("test", done.test.word());
            self.word("at", &at);
            if let Some(state) = done.state {
                let name = self.circuit.states[state].name.clone();
                self.word("state", &name);
            }
            self.word("outcome", &done.outcome);
        }
    }

    fn reading(&mut self, figure: &Figure) {
        let at = self.name(figure.at);
        self.line("\n[[reading]]");
        self.word("at", &at);
        if let Some(to) = figure.to {
            let label = self.circuit.terminal(to).label.clone();
            self.word("to", &label);
        }
        self.word("quantity", figure.quantity.word());
        let value = figure.value;
        let text = match figure.quantity {
            Quantity::Volts => range(value.low, value.high, "V"),
            Quantity::Millivolts => range(value.low * 1000.0, value.high * 1000.0, "mV"),
            Quantity::Amps => range(value.low, value.high, "A"),
            Quantity::Ohms if value.low >= 1e7 => "open".to_owned(),
            Quantity::Ohms => range(value.low, value.high, "ohm"),
            Quantity::Speed => {
                let rpm = 60.0 / std::f64::consts::TAU;
                range(value.low * rpm, value.high * rpm, "rpm")
            }
        };
        self.word("value", &text);
        if let Some(state) = figure.state {
            let name = self.circuit.states[state].name.clone();
            self.word("state", &name);
        }
        let names = figure
            .unplugged
            .iter()
            .map(|part| self.circuit.part(*part).name.clone());
        let names: Vec<String> = names.collect();
        self.list("unplugged", names.into_iter());
    }
}

fn range(low: f64, high: f64, unit: &str) -> String {
    if (high - low).abs() <= 1e-9 * high.abs() {
        format!("{low} {unit}")
    } else {
        format!("{low} to {high} {unit}")
    }
}

fn toml_string(text: &str) -> String {
    let mut quoted = String::from("\"");
    for letter in text.chars() {
        match letter {
            '"' => quoted.push_str("\\\""),
            '\\' => quoted.push_str("\\\\"),
            control if control.is_control() => {
                let _ = write!(quoted, "\\u{:04X}", u32::from(control));
            }
            other => quoted.push(other),
        }
    }
    quoted.push('"');
    quoted
}
