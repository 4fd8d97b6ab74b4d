//! Wires that nobody measured: a range stands for what the file leaves out.
//!
//! The length goes by where the wire lies, the size by the smallest fuse before
//! it, or before the part it returns from.

use super::codes;
use crate::circuit::zones::{Zones, written};
use crate::circuit::{Circuit, Device, PartKind, Place, TerminalId, Unwritten, Wire};
use crate::findings::Finding;
use crate::quantities::{Band, Metres, WireSize};
use crate::span::Span;
use crate::tables::OutOfTable;
use crate::tables::unwritten::{HangsOn, Lies, Sizes, length, sizes};

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
    let any = Sizes {
        thinnest: SIZE,
        typical: SIZE,
        thickest: SIZE,
    };
    Unwritten {
        length: length.then_some(Lies::Boat),
        size: size.then_some((HangsOn::Unknown, any)),
    }
}

/// Puts a range in place of everything that was left out.
///
/// # Errors
/// When the tables of ranges cannot be read.
pub(super) fn fill(circuit: &mut Circuit) -> Result<(), OutOfTable> {
    let is_missing = |wire: &Wire| wire.unwritten != Unwritten::default();
    if !circuit.wires.iter().any(is_missing) {
        return Ok(());
    }
    let fuses = smallest_fuses(circuit);
    for at in 0..circuit.wires.len() {
        let (lies, hangs_on) = (lies(circuit, at), hangs_on(circuit, &fuses, at));
        let wire = &mut circuit.wires[at];
        if wire.unwritten.length.is_some() {
            wire.length.value = length(lies)?.value;
            wire.unwritten.length = Some(lies);
        }
        if wire.unwritten.size.is_some() {
            let found = sizes(hangs_on)?.value;
            wire.size.value = found.typical;
            wire.unwritten.size = Some((hangs_on, found));
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

/// The smallest fuse before each wire and each terminal, amperes.
struct Smallest {
    wires: Vec<Option<f64>>,
    terminals: Vec<Option<f64>>,
    /// Wires that live on a post with no fuse between.
    bare: Vec<bool>,
}

fn smallest_fuses(circuit: &Circuit) -> Smallest {
    let zones = Zones::of(circuit);
    let mut found = Smallest {
        wires: vec![None; circuit.wires.len()],
        terminals: vec![None; circuit.terminals.len()],
        bare: vec![false; circuit.wires.len()],
    };
    let least = |old: &mut Option<f64>, new: f64| {
        *old = Some(old.map_or(new, |old| old.min(new)));
    };
    for (fuse, wires) in &zones.wires {
        let Some(rating) = written(circuit, *fuse).map(|fuse| fuse.rating.value.si()) else {
            continue;
        };
        for wire in wires {
            least(&mut found.wires[*wire], rating);
        }
        for terminal in zones.terminals.get(fuse).into_iter().flatten() {
            least(&mut found.terminals[terminal.0], rating);
        }
    }
    for wire in zones.bare.keys() {
        found.bare[*wire] = true;
    }
    found
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
    [wire.from, wire.to].iter().any(|end| {
        let part = circuit.part(circuit.terminal(*end).part);
        match &part.device {
            Device::Motor(spec) => spec
                .class
                .as_ref()
                .is_some_and(|class| class.value.starts_with("starter")),
            _ => false,
        }
    })
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

fn hangs_on(circuit: &Circuit, fuses: &Smallest, at: usize) -> HangsOn {
    let wire = &circuit.wires[at];
    if let Some(rating) = fuses.wires[at] {
        return HangsOn::Fuse(rating);
    }
    if fuses.bare[at] || touches_starter(circuit, wire) {
        return HangsOn::Post;
    }
    // A return: by the fuse before the part it comes from, else by the post it
    // goes to.
    let before = |end| {
        let part = circuit.part(circuit.terminal(end).part);
        let is_load = part.kind().is_consumer_or_charger() && part.kind() != PartKind::Charger;
        let plus = part.terminals.iter().filter(|_| is_load);
        plus.filter_map(|terminal| fuses.terminals[terminal.0])
            .reduce(f64::min)
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
