//! What stands on a wiring diagram: a symbol a part, or several where a part's
//! contacts and coil, or a plug's pins, stand apart as in a detached drawing.

use super::lettering::cut;
use crate::circuit::{
    Circuit, Device, LoadLaw, Part, PartId, PartKind, Suppression, SwitchKind, TerminalId,
};
use crate::quantities::print::nominal;

/// What a symbol looks like (IEC 60617).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Glyph {
    /// Long and short plates.
    Battery,
    /// A circle with G: a generator with its regulator.
    Charger,
    /// A box with the line through it.
    Fuse,
    /// Fuses side by side on one feed.
    Block,
    /// A contact that opens by itself.
    Breaker,
    /// A contact worked by hand.
    Switch,
    /// A contact with several places.
    Selector,
    /// A relay's coil; with its diode or resistor.
    Coil,
    /// A relay's contact: make alone.
    Make,
    /// A relay's contact with a place at rest.
    Changeover,
    /// A module's outputs.
    Driver,
    /// A motor that drives a pump.
    Pump,
    /// A motor.
    Motor,
    /// A coil that moves something.
    Solenoid,
    /// A lamp.
    Lamp,
    /// A resistance.
    Resistance,
    /// Anything else that draws current.
    Load,
    /// A diode.
    Diode,
    /// A bar where wires meet.
    Stud,
    /// One pin of a plug.
    Pin,
}

impl Glyph {
    /// Whether its sign is no higher than the room of one conductor, however many
    /// meet at it.
    pub fn is_small(self) -> bool {
        !matches!(
            self,
            Self::Block | Self::Driver | Self::Selector | Self::Changeover | Self::Stud
        )
    }
}

/// Which way a terminal looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// To the supply.
    Left,
    /// Away from it.
    Right,
}

/// Longest mark inside a block's frame.
pub(super) const LONGEST_MARK: usize = 16;

/// A terminal of a symbol.
#[derive(Debug, Clone, PartialEq)]
pub struct Pin {
    /// The circuit's terminal.
    pub terminal: TerminalId,
    /// What is written beside it: a DIN number, a pin's or a slot's name.
    pub mark: String,
    /// Which way it looks; a bar's terminals look both ways.
    pub side: Option<Side>,
}

/// A symbol before it has a place.
#[derive(Debug, Clone, PartialEq)]
pub struct Symbol {
    /// Its part.
    pub part: PartId,
    /// What it looks like.
    pub glyph: Glyph,
    /// Written above it.
    pub name: String,
    /// Written under it: rating, class.
    pub under: String,
    /// Written beside that: on which other sheets its lines go on.
    pub elsewhere: String,
    /// Its terminals.
    pub pins: Vec<Pin>,
    /// Pairs of pins between which current may pass.
    pub ways: Vec<(usize, usize)>,
}

/// All symbols of a circuit, in the parts' order.
pub(super) fn symbols(circuit: &Circuit) -> Vec<Symbol> {
    let ids = circuit.part_ids();
    ids.flat_map(|id| of_part(circuit, id)).collect()
}

fn of_part(circuit: &Circuit, id: PartId) -> Vec<Symbol> {
    let part = circuit.part(id);
    let terminals: Vec<usize> = (0..part.terminals.len()).collect();
    match &part.device {
        Device::Relay(relay) => {
            let quench = match relay.suppression.map(|given| given.value) {
                Some(Suppression::Diode) => "coil, diode",
                Some(Suppression::Resistor) => "coil, resistor",
                _ => "coil",
            };
            let used = |at: &usize| is_used(circuit, part.terminals[*at]);
            let coil = piece(circuit, id, Glyph::Coil, quench.into(), &[1, 0]);
            let rest = used(&4);
            let (glyph, contacts): (_, &[usize]) = if rest {
                (Glyph::Changeover, &[2, 3, 4])
            } else {
                (Glyph::Make, &[2, 3])
            };
            let contact = piece(circuit, id, glyph, "contact".into(), contacts);
            [
                ([0, 1].iter().any(used), coil),
                ([2, 3, 4].iter().any(used), contact),
            ]
            .into_iter()
            .filter_map(|(shown, symbol)| shown.then_some(symbol))
            .collect()
        }
        Device::Plug(plug) => (0..plug.pins.len())
            .map(|pin| {
                piece(
                    circuit,
                    id,
                    Glyph::Pin,
                    String::new(),
                    &[2 * pin, 2 * pin + 1],
                )
            })
            .collect(),
        _ => vec![piece(circuit, id, glyph(part), under(part), &terminals)],
    }
}

fn is_used(circuit: &Circuit, terminal: TerminalId) -> bool {
    let wired = |wire: &crate::circuit::Wire| wire.from == terminal || wire.to == terminal;
    let bolted = |join: &crate::circuit::Join| join.part == terminal || join.to == terminal;
    circuit.wires.iter().any(wired) || circuit.joins.iter().any(bolted)
}

fn piece(circuit: &Circuit, id: PartId, glyph: Glyph, under: String, which: &[usize]) -> Symbol {
    let part = circuit.part(id);
    let pin = |at: &usize| Pin {
        terminal: part.terminals[*at],
        mark: match &part.device {
            Device::FuseBlock(block) => slot_mark(block, part.terminals[*at]),
            _ => mark(part, glyph, &circuit.terminal(part.terminals[*at]).name),
        },
        side: None,
    };
    let pins: Vec<Pin> = which.iter().map(pin).collect();
    let name = match (&part.device, glyph) {
        (Device::Plug(plug), _) => {
            format!(
                "{}.{}",
                part.name,
                plug.pins.get(which[0] / 2).map_or("", String::as_str)
            )
        }
        _ => part.name.clone(),
    };
    Symbol {
        part: id,
        glyph,
        name,
        under,
        elsewhere: String::new(),
        ways: ways(part, glyph, pins.len()),
        pins,
    }
}

/// Name and rating of the fuse at a block's terminal.
fn slot_mark(block: &crate::circuit::FuseBlock, terminal: TerminalId) -> String {
    let slot = block.slot_at(terminal);
    slot.map_or_else(String::new, |slot| {
        let slot = &block.slots[slot];
        // The name gives way: a rating is never cut.
        let rating = nominal(slot.fuse.rating.value);
        let room = LONGEST_MARK.saturating_sub(rating.chars().count() + 1);
        format!("{} {rating}", cut(&slot.name, room.max(2)))
    })
}

/// What stands beside a terminal; nothing where the symbol says it.
fn mark(part: &Part, glyph: Glyph, name: &str) -> String {
    match (glyph, name) {
        (Glyph::Battery | Glyph::Charger, "minus") => "\u{2212}".into(),
        (Glyph::Pin | Glyph::Stud | Glyph::Fuse | Glyph::Breaker | Glyph::Diode, _)
        | (Glyph::Switch, "in" | "out") => String::new(),
        _ if part.terminals.len() == 2 && name == "plus" => "+".into(),
        _ if part.terminals.len() == 2 && name == "minus" => String::new(),
        _ => name.to_owned(),
    }
}

fn ways(part: &Part, glyph: Glyph, pins: usize) -> Vec<(usize, usize)> {
    match (&part.device, glyph) {
        (Device::Switch(switch), Glyph::Selector) => match &switch.kind {
            SwitchKind::Selector { positions } => {
                let mut all: Vec<(usize, usize)> = positions
                    .iter()
                    .flat_map(|(_, pairs)| pairs.clone())
                    .collect();
                all.sort_unstable();
                all.dedup();
                all
            }
            SwitchKind::Simple { .. } => vec![(0, 1)],
        },
        (Device::FuseBlock(_), _) => (1..pins).map(|slot| (0, slot)).collect(),
        (Device::Driver(_), _) => (0..pins.saturating_sub(1)).map(|c| (c, pins - 1)).collect(),
        (_, Glyph::Stud) => Vec::new(),
        (_, Glyph::Changeover) => vec![(0, 1), (0, 2)],
        // A trim motor with two fields: each to common.
        (_, Glyph::Motor | Glyph::Pump) if pins == 3 => vec![(0, 2), (1, 2)],
        _ => vec![(0, 1)],
    }
}

fn glyph(part: &Part) -> Glyph {
    match &part.device {
        Device::Switch(switch) => match switch.kind {
            SwitchKind::Simple { .. } => Glyph::Switch,
            SwitchKind::Selector { .. } => Glyph::Selector,
        },
        Device::Load(load) => match &load.law.value {
            LoadLaw::Lamp(_) => Glyph::Lamp,
            LoadLaw::Resistance(_) => Glyph::Resistance,
            LoadLaw::Class(class) if class.contains("light") => Glyph::Lamp,
            LoadLaw::Class(_) | LoadLaw::Power(_) | LoadLaw::Current(_) => Glyph::Load,
        },
        device => match kind_glyph(device) {
            Some(glyph) => glyph,
            None => Glyph::Load,
        },
    }
}

fn kind_glyph(device: &Device) -> Option<Glyph> {
    Some(match device {
        Device::Battery(_) => Glyph::Battery,
        Device::Charger(_) => Glyph::Charger,
        Device::Fuse(_) => Glyph::Fuse,
        Device::FuseBlock(_) => Glyph::Block,
        Device::Breaker(_) => Glyph::Breaker,
        Device::Driver(_) => Glyph::Driver,
        Device::Pump(_) => Glyph::Pump,
        Device::Motor(_) => Glyph::Motor,
        Device::Solenoid(_) => Glyph::Solenoid,
        Device::Diode(_) => Glyph::Diode,
        Device::Stud => Glyph::Stud,
        Device::Switch(_) | Device::Relay(_) | Device::Load(_) | Device::Plug(_) => return None,
    })
}

/// What is written under a symbol.
fn under(part: &Part) -> String {
    match &part.device {
        Device::Fuse(fuse) => format!("{} {}", nominal(fuse.rating.value), fuse.style.value),
        Device::Breaker(breaker) => nominal(breaker.rating.value),
        Device::Battery(battery) => battery.cold_cranking.map_or_else(String::new, |amps| {
            format!("{} cold", nominal(amps.value.typical))
        }),
        Device::Charger(charger) => charger
            .output
            .map_or_else(String::new, |amps| nominal(amps.value.typical)),
        Device::Pump(spec) | Device::Motor(spec) => class(spec.class.as_ref()),
        Device::Solenoid(spec) => class(spec.class.as_ref()),
        Device::Load(load) => match &load.law.value {
            LoadLaw::Class(class) => class.clone(),
            LoadLaw::Power(watts) | LoadLaw::Lamp(watts) => nominal(watts.typical),
            LoadLaw::Current(amps) => nominal(amps.typical),
            LoadLaw::Resistance(ohms) => nominal(ohms.typical),
        },
        _ => match part.kind() {
            PartKind::Driver => "outputs".into(),
            _ => String::new(),
        },
    }
}

fn class(class: Option<&crate::circuit::Given<String>>) -> String {
    class.map_or_else(String::new, |given| given.value.clone())
}
