//! Whole circuits sized: against every other choice, by the full solve, by
//! published choices, and as people run it.

mod brute_force;
mod command;
mod examples;
mod files;
mod generated;
mod guarded;
mod linear;
mod longest;
mod published;
mod rules;
mod sixty;

use ampkeel::circuit::Circuit;
use ampkeel::quantities::{Amps, WireSize};
use ampkeel::reading::read;
use ampkeel::sizing::{SizedFuse, SizedWire, Sizing, Stock, size};
use ampkeel::span::CircuitText;
use ampkeel::tables::conductors::area;

/// The circuit of a text, which must have no mistake.
#[track_caller]
fn circuit(text: &str) -> Circuit {
    let reading = read(&CircuitText::new("test.toml", text));
    let said: Vec<String> = reading
        .findings
        .iter()
        .map(|finding| finding.statement.clone())
        .collect();
    reading
        .circuit
        .unwrap_or_else(|| panic!("{}\n{text}", said.join("\n")))
}

#[track_caller]
fn sized(text: &str, stock: &Stock) -> Sizing {
    size(&circuit(text), stock).unwrap()
}

fn awg(sizes: &[i32]) -> Stock {
    Stock {
        sizes: Some(sizes.iter().map(|number| WireSize::Awg(*number)).collect()),
        ..Stock::default()
    }
}

fn amps(ratings_a: &[f64]) -> Stock {
    let ratings = ratings_a.iter().map(|rating| (None, Amps::new(*rating)));
    Stock {
        ratings: Some(ratings.collect()),
        ..Stock::default()
    }
}

#[track_caller]
fn wire<'a>(sizing: &'a Sizing, label: &str) -> &'a SizedWire {
    let named =
        |wire: &&SizedWire| sizing.circuit.wire_label(&sizing.circuit.wires[wire.wire]) == label;
    sizing.wires.iter().find(named).expect(label)
}

#[track_caller]
fn fuse<'a>(sizing: &'a Sizing, name: &str) -> &'a SizedFuse {
    let mut fuses = sizing.fuses.iter();
    fuses.find(|fuse| fuse.name == name).expect(name)
}

/// Copper by hand: 8.89 g/cm3.
fn copper_kg(circuit: &Circuit) -> f64 {
    let wires = circuit.wires.iter();
    let grams = wires.map(|wire| {
        8.89 * area(wire.size.value).unwrap().value.si() * wire.length.value.typical.si()
    });
    grams.sum::<f64>() / 1000.0
}
