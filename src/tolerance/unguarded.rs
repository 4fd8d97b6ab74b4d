//! Wire between a battery's plus post and the first fuse, whose length is a range.

use super::gather::Gather;
use super::questions::{Limit, Probe, Question, Side};
use super::unknowns::Way;
use crate::circuit::zones::Zones;
use crate::circuit::{Circuit, Wire};
use crate::findings::code;
use crate::quantities::{Band, Dimension, Metres};
use crate::solving::{SolveError, cranking_wires, most_unguarded_m};

/// A step by which a length is moved to see what it belongs to, metres.
const STEP_M: f64 = 1e-3;

/// The last wire of every way from a post that has no fuse before it, where some
/// length on that way is a range; feeds of a starter are exempt.
pub(super) fn unguarded(gather: &Gather<'_, '_>) -> Result<Vec<Question>, SolveError> {
    let circuit = gather.circuit;
    let bare = Zones::of(circuit).bare;
    let cranking = cranking_wires(circuit, &gather.found.solution.states);
    let ranges: Vec<usize> = bare
        .keys()
        .copied()
        .filter(|wire| circuit.wires[*wire].length.value.is_range())
        .collect();
    let moved: Vec<_> = ranges
        .iter()
        .map(|wire| Zones::of(&longer(circuit, *wire)).bare)
        .collect();
    let mut all = Vec::new();
    for (&wire, &reach_m) in &bare {
        let leads_on = bare
            .iter()
            .any(|(other, further_m)| *further_m > reach_m && touch(circuit, *other, wire));
        if cranking.contains(&wire) || leads_on || feeds_a_load(circuit, &circuit.wires[wire]) {
            continue;
        }
        let on_the_way = ranges.iter().zip(&moved).filter(|(_, moved)| {
            let there_m = moved.get(&wire).copied().unwrap_or(reach_m);
            there_m > reach_m + 0.5 * STEP_M
        });
        let on_the_way: Vec<usize> = on_the_way.map(|(wire, _)| *wire).collect();
        if !on_the_way.is_empty() {
            all.push(question(gather, wire, reach_m, &on_the_way)?);
        }
    }
    Ok(all)
}

fn question(
    gather: &Gather<'_, '_>,
    wire: usize,
    reach_m: f64,
    on_the_way: &[usize],
) -> Result<Question, SolveError> {
    let circuit = gather.circuit;
    let number = |wire: &usize| {
        let label = circuit.wire_label(&circuit.wires[*wire]);
        let mut unknowns = gather.batch.unknowns.iter();
        unknowns.position(|of| of.way == Way::Tape && of.subject == label)
    };
    let typical_m = |wire: &usize| circuit.wires[*wire].length.value.typical.si();
    let varying_m: f64 = on_the_way.iter().map(typical_m).sum();
    let is_unwritten = |wire: &usize| circuit.wires[*wire].unwritten.length.is_some();
    Ok(Question {
        code: code("wire-unprotected"),
        subject: circuit.wire_label(&circuit.wires[wire]),
        state: None,
        dimension: Dimension::Length,
        setup: 0,
        probe: Probe::Metres(
            reach_m - varying_m,
            on_the_way.iter().filter_map(number).collect(),
        ),
        limit: Limit::Fixed(most_unguarded_m(&circuit.wires[wire])?),
        side: Side::Above,
        is_guessed: on_the_way.iter().any(is_unwritten),
    })
}

/// The circuit with one wire a little longer.
fn longer(circuit: &Circuit, wire: usize) -> Circuit {
    let mut other = circuit.clone();
    let length = &mut other.wires[wire].length.value;
    *length = Band::exactly(Metres::new(length.typical.si() + STEP_M));
    other
}

fn touch(circuit: &Circuit, one: usize, other: usize) -> bool {
    let parts = |wire: usize| {
        let wire = &circuit.wires[wire];
        [wire.from, wire.to].map(|end| circuit.terminal(end).part)
    };
    let post = |part| {
        matches!(
            circuit.part(part).device,
            crate::circuit::Device::Battery(_)
        )
    };
    one != other
        && parts(other)
            .iter()
            .any(|part| !post(*part) && parts(one).contains(part))
}

/// Whether a wire ends on a load: no fuse at all is no matter of its length.
fn feeds_a_load(circuit: &Circuit, wire: &Wire) -> bool {
    [wire.from, wire.to].iter().any(|end| {
        let part = circuit.part(circuit.terminal(*end).part);
        part.kind().is_consumer_or_charger()
    })
}
