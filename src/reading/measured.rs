//! `[[reading]]`: what the owner read, put to parts, fuses, wires and terminals.
//!
//! Read once the circuit stands, since a wire is called by both its ends.

use super::codes;
use super::nearest::did_you_mean;
use super::roster::short;
use super::sink::Sink;
use super::value::{Entry, Named, Record};
use super::words;
use crate::circuit::zones::{FuseId, fuse_name, fuse_terminals, fuses};
use crate::circuit::{Carrier, Circuit, Device, PartId, Reading, Taken, TerminalId};
use crate::findings::{Code, Finding};
use crate::quantities::{Band, Dimension, parse_band_in};

/// What is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Measured {
    /// Volts.
    Volts,
    /// Millivolts.
    Millivolts,
    /// Amperes.
    Amps,
}

/// What a name on the boat stands for.
#[derive(Debug, Clone, Copy)]
enum Spot {
    Part(PartId),
    Fuse(FuseId),
    Wire(usize),
    Terminal(TerminalId),
}

/// An entry as far as it speaks for itself.
pub(super) struct Entered<'r> {
    record: &'r Record,
    at: Named,
    /// What was read; none where that is a mistake, told already.
    read: Option<(Measured, Band<f64>)>,
}

/// Reads what every entry says of itself, whatever the circuit is.
pub(super) fn entered<'r>(out: &mut Sink, records: &'r [Record]) -> Vec<Entered<'r>> {
    let each = records.iter();
    each.filter_map(|record| {
        let value = record.entry("value").and_then(Entry::named);
        let quantity = record.word("quantity", words::MEASURED);
        let read = quantity.zip(value).and_then(|(quantity, text)| {
            let band = figure(out, quantity.value, &text)?;
            Some((quantity.value, band))
        });
        Some(Entered {
            record,
            at: record.entry("at").and_then(Entry::named)?,
            read,
        })
    })
    .collect()
}

/// Puts all entries to their places in the circuit.
pub(super) fn placed(out: &mut Sink, circuit: &Circuit, entered: Vec<Entered>) -> Vec<Reading> {
    let each = entered.into_iter();
    each.filter_map(|entry| place(out, circuit, entry))
        .collect()
}

fn place(out: &mut Sink, circuit: &Circuit, entry: Entered) -> Option<Reading> {
    let Entered { record, at, read } = entry;
    // Every mistake of an entry is told at once.
    let spot = spot(out, circuit, &at);
    let state = state(out, circuit, record);
    let black = match record.entry("to").and_then(Entry::named) {
        Some(name) => Some(terminal(out, circuit, &name)?),
        None => None,
    };
    let (quantity, band) = read?;
    let read = (quantity, band.typical.abs());
    let taken = taken(out, circuit, &at, spot?, read, black)?;
    Some(Reading {
        at: at.text,
        taken,
        value: band.typical.abs(),
        within: (band.high > band.low).then_some((band.high - band.low) / 2.0),
        state: state?,
        span: record.header,
    })
}

fn unknown(out: &mut Sink, code: Code, name: &Named, what: &str, hint: String) {
    out.push(
        Finding::new(code, "", what.to_owned())
            .with_label(name.span, "unknown")
            .with_hint(hint),
    );
}

fn spot(out: &mut Sink, circuit: &Circuit, name: &Named) -> Option<Spot> {
    let text = name.text.as_str();
    if let Some(fuse) = fuses(circuit)
        .into_iter()
        .find(|fuse| fuse_name(circuit, *fuse) == text)
    {
        return Some(Spot::Fuse(fuse));
    }
    if let Some(part) = circuit.find(text) {
        return Some(match circuit.part(part).device {
            Device::Stud => Spot::Terminal(circuit.part(part).terminals[0]),
            _ => Spot::Part(part),
        });
    }
    let mut wires = circuit.wires.iter();
    let called = |wire: &crate::circuit::Wire| {
        let own = wire.name.as_ref().is_some_and(|own| own.value == text);
        own || circuit.wire_label(wire) == text
    };
    if let Some(wire) = wires.position(called) {
        return Some(Spot::Wire(wire));
    }
    let is_it = |terminal: &crate::circuit::Terminal| terminal.label == text;
    if let Some(terminal) = circuit.terminals.iter().position(is_it) {
        return Some(Spot::Terminal(TerminalId(terminal)));
    }
    let parts = circuit.parts.iter().map(|part| part.name.clone());
    let labels = circuit.wires.iter().map(|wire| circuit.wire_label(wire));
    let terminals = circuit.terminals.iter().map(|t| t.label.clone());
    let all: Vec<String> = parts.chain(labels).chain(terminals).collect();
    let known: Vec<&str> = all.iter().map(String::as_str).collect();
    let what = format!("nothing on this boat is called `{}`", short(text));
    let hint = did_you_mean(text, &known, "known are");
    unknown(out, codes::UNKNOWN_PART, name, &what, hint);
    None
}

fn terminal(out: &mut Sink, circuit: &Circuit, name: &Named) -> Option<TerminalId> {
    if let Spot::Terminal(terminal) = spot(out, circuit, name)? {
        return Some(terminal);
    }
    let hint = "write a terminal with its part, for example \"house.minus\"".to_owned();
    let what = format!("`{}` is no terminal", name.text);
    unknown(out, codes::TERMINAL_NEEDED, name, &what, hint);
    None
}

fn state(out: &mut Sink, circuit: &Circuit, record: &Record) -> Option<usize> {
    let names: Vec<&str> = circuit.states.iter().map(|s| s.name.as_str()).collect();
    let Some(written) = record.entry("state") else {
        if names.len() == 1 {
            return Some(0);
        }
        out.push(
            Finding::new(codes::MISSING_FIELD, "", "this `reading` has no `state`")
                .with_label(record.header, "`state` is missing")
                .with_hint(did_you_mean("", &names, "the file's states")),
        );
        return None;
    };
    let name = written.named()?;
    let found = names.iter().position(|state| *state == name.text);
    if found.is_none() {
        let what = format!("there is no state `{}`", short(&name.text));
        let hint = did_you_mean(&name.text, &names, "the file's states");
        unknown(out, codes::UNKNOWN_STATE, &name, &what, hint);
    }
    found
}

fn figure(out: &mut Sink, quantity: Measured, text: &Named) -> Option<Band<f64>> {
    let (dimension, most) = match quantity {
        Measured::Amps => (Dimension::Current, 2000.0),
        Measured::Volts | Measured::Millivolts => (Dimension::Voltage, 100.0),
    };
    let finding = match parse_band_in(dimension, &text.text) {
        Ok(band) if band.low >= band.high && text.text.contains("+/-") => {
            Finding::new(codes::OUT_OF_RANGE, "", "no meter is free of error")
                .with_label(text.span, "error of nought")
                .with_hint("write how far the meter may be off, or leave `+/-` out: the usual error of a meter is taken then")
        }
        Ok(band) if band.low.abs().max(band.high.abs()) <= most => return Some(band),
        Ok(_) => Finding::new(codes::OUT_OF_RANGE, "", "no meter reads that on a boat")
            .with_label(text.span, "too much")
            .with_hint("look at the unit: millivolts are written mV, milliamperes mA"),
        Err(error) => Finding::new(codes::BAD_FIGURE, "", error.message)
            .with_label(text.span, "not read")
            .with_hint(
                error
                    .hint
                    .unwrap_or_else(|| "write \"11.8 V\" or \"3.2 A\"".to_owned()),
            ),
    };
    out.push(finding);
    None
}

fn taken(
    out: &mut Sink,
    circuit: &Circuit,
    at: &Named,
    spot: Spot,
    (quantity, read_v): (Measured, f64),
    black: Option<TerminalId>,
) -> Option<Taken> {
    if quantity == Measured::Amps {
        let carrier = match spot {
            Spot::Part(part) if shares_out(circuit, part) => {
                let hint = "name one of its fuses or ways, or the wire the clamp was around";
                let what = format!(
                    "`{}` has no current of its own: several go through it",
                    at.text
                );
                unknown(out, codes::WRONG_PART, at, &what, hint.to_owned());
                return None;
            }
            Spot::Part(part) => Carrier::Part(part),
            Spot::Fuse(fuse) => Carrier::Fuse(fuse),
            Spot::Wire(wire) => Carrier::Wire(wire),
            Spot::Terminal(_) => {
                let hint = "name the part, fuse or wire the clamp was around".to_owned();
                let what = format!(
                    "`{}` is a terminal: amperes flow in a part or wire",
                    at.text
                );
                unknown(out, codes::WRONG_PART, at, &what, hint);
                return None;
            }
        };
        return Some(Taken::Amps(carrier));
    }
    if quantity == Measured::Volts
        && black.is_none()
        && let Some(far) = beyond_its_loss(circuit, spot, read_v)
    {
        out.push(to_minus(at, far));
        return None;
    }
    let (red, other) = match spot {
        Spot::Terminal(terminal) => (terminal, black.or_else(|| circuit.minus_post())?),
        Spot::Wire(wire) => (circuit.wires[wire].from, circuit.wires[wire].to),
        Spot::Fuse(fuse) => fuse_terminals(circuit, fuse),
        Spot::Part(part) => across(out, circuit, at, part)?,
    };
    Some(match quantity {
        Measured::Millivolts => Taken::Millivolts(red, other),
        _ => Taken::Volts(red, other),
    })
}

/// Whether several currents go through a part, none of them its own.
fn shares_out(circuit: &Circuit, part: PartId) -> bool {
    let device = &circuit.part(part).device;
    matches!(device, Device::FuseBlock(_) | Device::Plug(_))
}

/// Volts that no sound fuse loses from clip to clip (a blade fuse loses some 0.1 V
/// at its rating), and that no wire loses under a load that still runs (judgement):
/// what is more was read to minus, or something is open.
const LOST_V: [f64; 2] = [1.0, 6.0];

/// The far terminal of a fuse or wire, where so many volts are none along it.
fn beyond_its_loss(circuit: &Circuit, spot: Spot, read_v: f64) -> Option<&str> {
    let [in_a_fuse_v, in_a_wire_v] = LOST_V;
    let (far, most_v) = match spot {
        Spot::Fuse(fuse) => (fuse_terminals(circuit, fuse).1, in_a_fuse_v),
        Spot::Wire(wire) => (circuit.wires[wire].to, in_a_wire_v),
        Spot::Part(_) | Spot::Terminal(_) => return None,
    };
    (read_v > most_v).then(|| circuit.terminal(far).label.as_str())
}

/// Volts at a fuse or wire that are none along it.
fn to_minus(at: &Named, far: &str) -> Finding {
    let what = format!(
        "so many volts are not lost along `{}` while its load runs",
        at.text
    );
    Finding::new(codes::TERMINAL_NEEDED, "", what)
        .with_label(at.span, "along it, or to minus?")
        .with_hint(format!(
            "read to the battery's minus, it is at = \"{far}\"; what is lost along it are millivolts: quantity = \"millivolts\"; all the battery's volts along it say that it is open, which `ampkeel trace` looks into"
        ))
}

/// The two terminals a meter across a part is on.
fn across(
    out: &mut Sink,
    circuit: &Circuit,
    at: &Named,
    part: PartId,
) -> Option<(TerminalId, TerminalId)> {
    let terminals = &circuit.part(part).terminals;
    match (&circuit.part(part).device, terminals.as_slice()) {
        (Device::Relay(_), [minus, plus, ..]) => Some((*plus, *minus)),
        (_, [one, other]) => Some((*one, *other)),
        _ => {
            let hint = "name the two terminals: at = \"PART.ONE\" and to = \"PART.OTHER\"";
            let what = format!("`{}` has more than two terminals", at.text);
            unknown(out, codes::TERMINAL_NEEDED, at, &what, hint.to_owned());
            None
        }
    }
}
