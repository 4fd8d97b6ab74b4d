//! The boat's circuit as it was described: parts, wires, states, settings.
//!
//! A [`Circuit`] holds what the owner wrote, checked and resolved to indices,
//! each value with the place it was written at. Nothing is filled in here:
//! what was left out is `None`, and the devices take it from its class.
//!
//! Made by `reading`; used by `devices`, `solving` and the studies.

mod part;
mod reading;
mod settings;
mod state;
mod ways;
mod wire;
pub mod zones;

pub use part::{
    Battery, Breaker, Charger, Device, Diode, Driver, Fuse, FuseBlock, Load, LoadLaw, MotorSpec,
    Part, PartKind, Plug, Relay, Reset, Slot, Solenoid, Suppression, Switch, SwitchKind, Winding,
    WorkingPoint,
};
pub use reading::{Carrier, Reading, Taken};
pub use settings::{
    Ambient, BenchMeter, BenchRig, Boat, DropBasis, Engine, Fuel, FuseBasis, Limits, Place,
};
pub use state::{Condition, ContactPosition, State};
pub use wire::{Join, Unwritten, Wire, Written};

use crate::span::Span;

/// A value and the place in the file where it was written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Given<T> {
    /// The value.
    pub value: T,
    /// Where it stands.
    pub span: Span,
}

impl<T> Given<T> {
    /// Ties a value to its place.
    pub fn new(value: T, span: Span) -> Self {
        Self { value, span }
    }
}

/// Index of a part in [`Circuit::parts`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PartId(pub usize);

/// Index of a terminal in [`Circuit::terminals`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TerminalId(pub usize);

/// A terminal: a place where wires end.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Terminal {
    /// The part it belongs to.
    pub part: PartId,
    /// Its name on the part: `plus`, `87`, a slot's or a pin's name; empty for a stud.
    pub name: String,
    /// How people write it: `pump.plus`, or the bare name of a stud. The half
    /// of a pin whose wires are written `from` it ends in `.from`.
    pub label: String,
}

/// A whole circuit, sound as far as reading can tell.
#[derive(Debug, Clone, PartialEq)]
pub struct Circuit {
    /// The file's title, or its name.
    pub title: String,
    /// Which boat it is, for the rules that apply.
    pub boat: Boat,
    /// Air temperatures by place.
    pub ambient: Ambient,
    /// Chosen limits and bases.
    pub limits: Limits,
    /// The bench rig, as far as it was described.
    pub bench: BenchRig,
    /// All parts, sorted by name.
    pub parts: Vec<Part>,
    /// All terminals, grouped by part in the parts' order.
    pub terminals: Vec<Terminal>,
    /// All wires, sorted by the labels of their ends, then by name.
    pub wires: Vec<Wire>,
    /// Terminals bolted straight together.
    pub joins: Vec<Join>,
    /// Operating states in file order; never empty.
    pub states: Vec<State>,
    /// What the owner read on the boat, in file order.
    pub readings: Vec<Reading>,
}

impl Circuit {
    /// Returns a part.
    pub fn part(&self, id: PartId) -> &Part {
        &self.parts[id.0]
    }

    /// Returns a terminal.
    pub fn terminal(&self, id: TerminalId) -> &Terminal {
        &self.terminals[id.0]
    }

    /// Finds a part by its name.
    pub fn find(&self, name: &str) -> Option<PartId> {
        self.parts
            .iter()
            .position(|part| part.name == name)
            .map(PartId)
    }

    /// All part ids in order.
    pub fn part_ids(&self) -> impl Iterator<Item = PartId> + use<> {
        (0..self.parts.len()).map(PartId)
    }

    /// Whether a part is a starter motor.
    pub fn is_starter(&self, id: PartId) -> bool {
        let Device::Motor(spec) = &self.part(id).device else {
            return false;
        };
        let class = spec.class.as_ref();
        class.is_some_and(|class| class.value.starts_with("starter"))
    }

    /// The minus post of the first battery, which counts as ground.
    pub fn minus_post(&self) -> Option<TerminalId> {
        let is_battery = |part: &&Part| matches!(part.device, Device::Battery(_));
        let battery = self.parts.iter().find(is_battery)?;
        battery.terminals.get(1).copied()
    }

    /// How a wire is called: `FROM to TO`.
    pub fn wire_label(&self, wire: &Wire) -> String {
        format!(
            "{} to {}",
            self.terminal(wire.from).label,
            self.terminal(wire.to).label
        )
    }
}
