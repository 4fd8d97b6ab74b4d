//! Wires that nobody measured: a range stands for what the file leaves out.
//!
//! The length goes by where the wire lies, the size by the smallest fuse before
//! it, or before the part it returns from.

use super::codes;
use crate::circuit::zones::{FuseId, Written, Zones, written};
use crate::circuit::{Circuit, Device, PartKind, Place, TerminalId, Unwritten, Wire};
use crate::findings::Finding;
use crate::quantities::{Band, Metres, WireSize};
use crate::span::Span;
use crate::tables::OutOfTable;
use crate::tables::unwritten::{HangsOn, Lies, length, sizes};

/// Size of a wire until [`fill`] has found the likely one.
pub(super) const SIZE: WireSize = WireSize::Awg(16);
/// Length of a wire until [`fill`] has found the likely one.
pub(super) const LENGTH: Band<Metres> = Band {
    low: Metres::new(1.0),
    typical: Metres::new(1.0),
    high: Metres::new(1.0),
};

/// What is missing of a wire, by placeholders that [`fill`] replaces.
pub(super) fn of(size: bool, length: bool) -> Unwritten {
    Unwritten {
        length: length.then_some(Lies::Boat),
        size: size.then_some(HangsOn::Unknown),
    }
}

/// Puts a range in place of everything that was left out.
///
/// # Errors
/// When the tables of ranges cannot be read.
pub(super) fn fill(circuit: &mut Circuit) -> Result<(), OutOfTable> {
    if circuit.wires.iter().all(|wire| wire.unwritten.is_nothing()) {
        return Ok(());
    }
    let zones = Zones::of(circuit);
    for at in 0..circuit.wires.len() {
        if circuit.wires[at].unwritten.is_nothing() {
            continue;
        }
        let (lies, hangs_on) = (lies(circuit, at), hangs_on(circuit, &zones, at));
        let wire = &mut circuit.wires[at];
        if wire.unwritten.length.is_some() {
            wire.length.value = length(lies)?.value;
            wire.unwritten.length = Some(lies);
        }
        if wire.unwritten.size.is_some() {
            wire.size.value = sizes(hangs_on)?.value.typical;
            wire.unwritten.size = Some(hangs_on);
        }
    }
    Ok(())
}

/// A damaged build, told like a mistake.
pub(super) fn refused(why: &OutOfTable) -> Finding {
    Finding::new(codes::OUT_OF_RANGE, "", why.to_string())
        .with_label(Span::new(0, 0), "")
        .with_hint("write sizes and lengths of all wires")
}

fn is_post(circuit: &Circuit, end: TerminalId) -> bool {
    let part = circuit.part(circuit.terminal(end).part);
    matches!(part.device, Device::Battery(_))
}

/// Whether an end is on a battery's post, or on what is bolted to one.
fn touches_battery(circuit: &Circuit, wire: &Wire) -> bool {
    let is_post = |end| is_post(circuit, end);
    let bolted = |end: TerminalId| {
        circuit.joins.iter().any(|join| {
            (join.part == end && is_post(join.to)) || (join.to == end && is_post(join.part))
        })
    };
    let ends = [wire.from, wire.to];
    ends.iter().any(|end| is_post(*end) || bolted(*end))
}

/// Whether an end is on a starter motor: its cables are as heavy as the posts'.
fn touches_starter(circuit: &Circuit, wire: &Wire) -> bool {
    [wire.from, wire.to]
        .iter()
        .any(|end| circuit.is_starter(circuit.terminal(*end).part))
}

fn lies(circuit: &Circuit, wire: usize) -> Lies {
    let wire = &circuit.wires[wire];
    if is_post(circuit, wire.from) || is_post(circuit, wire.to) {
        return Lies::AtTheBattery;
    }
    match wire.place {
        Place::EngineSpace => Lies::EngineSpace,
        Place::Boat => Lies::Boat,
        Place::Bench => Lies::Bench,
    }
}

/// The rating of the smallest of some fuses, amperes. Above its label a fuse is
/// no sign of a thicker wire: the label's rating counts.
fn smallest(circuit: &Circuit, fuses: impl Iterator<Item = FuseId>) -> Option<f64> {
    let made_for = |fuse: Written| {
        let rating_a = fuse.rating.value.si();
        let label_a = fuse.label.map(|label| label.value.si());
        label_a.map_or(rating_a, |label_a| label_a.min(rating_a))
    };
    let fuses = fuses.filter_map(|fuse| written(circuit, fuse));
    fuses.map(made_for).reduce(f64::min)
}

fn hangs_on(circuit: &Circuit, zones: &Zones, at: usize) -> HangsOn {
    let wire = &circuit.wires[at];
    if let Some(rating) = smallest(circuit, zones.before(at)) {
        return HangsOn::Fuse(rating);
    }
    if zones.bare.contains_key(&at) || touches_starter(circuit, wire) {
        return HangsOn::Post;
    }
    // A return: by the fuse before the part it comes from, else by the post it
    // goes to.
    let before = |end| {
        let part = circuit.part(circuit.terminal(end).part);
        if !part.kind().is_consumer_or_charger() || part.kind() == PartKind::Charger {
            return None;
        }
        let terminals = part.terminals.iter();
        let fuses = terminals.flat_map(|terminal| zones.before_terminal(*terminal));
        smallest(circuit, fuses)
    };
    [wire.from, wire.to]
        .into_iter()
        .filter_map(before)
        .reduce(f64::min)
        .map_or_else(
            || {
                if touches_battery(circuit, wire) {
                    HangsOn::Post
                } else {
                    HangsOn::Unknown
                }
            },
            HangsOn::Fuse,
        )
}
