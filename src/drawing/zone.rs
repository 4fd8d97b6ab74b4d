//! What is written on a conductor, and where along it.

use super::graph::Conductor;
use super::grid::Stop;
use super::lettering::cut;
use super::rows::Arrangement;
use super::symbol::Side;
use crate::circuit::{Circuit, Wire};
use crate::quantities::print::nominal;

/// Longest colour written whole; size and length always are.
const LONGEST_COLOUR: usize = 24;

/// `16 AWG red 0.762 m`, or that it is bolted.
pub(super) fn words(circuit: &Circuit, conductor: Conductor) -> String {
    match conductor {
        Conductor::Wire(wire) => of_wire(&circuit.wires[wire]),
        Conductor::Join(_) => "bolted".to_owned(),
    }
}

fn of_wire(wire: &Wire) -> String {
    let colour = wire
        .colour
        .as_ref()
        .map_or("", |given| given.value.as_str());
    let space = if colour.is_empty() { "" } else { " " };
    format!(
        "{}{space}{} {}",
        wire.size.value,
        cut(colour, LONGEST_COLOUR),
        nominal(wire.length.value.typical)
    )
}

/// Where the lettering of a conductor goes: a channel, a side of it, and the stop.
#[derive(Debug, Clone, Copy)]
pub(super) struct Zone {
    pub channel: usize,
    pub side: Side,
    pub stop: Stop,
}

/// Beside the end it leads to, else where it first leaves a channel.
pub(super) fn zone(now: &Arrangement<'_>, edge: usize) -> Zone {
    let mut first = None;
    let mut at_end = None;
    let mut fallback = None;
    for (channel, stretches) in now.grid.channels.iter().enumerate() {
        for stretch in stretches.iter().filter(|s| s.edge == edge) {
            for at in [0, 1] {
                let here = Zone {
                    channel,
                    side: stretch.sides[at],
                    stop: stretch.stops[at],
                };
                match (here.side, here.stop) {
                    (Side::Right, Stop::End(_)) => at_end = at_end.or(Some(here)),
                    (Side::Right, Stop::Column(_)) => first = first.or(Some(here)),
                    (Side::Left, _) => fallback = fallback.or(Some(here)),
                }
            }
        }
    }
    at_end.or(first).or(fallback).unwrap_or(Zone {
        channel: 0,
        side: Side::Left,
        stop: Stop::End(0),
    })
}
