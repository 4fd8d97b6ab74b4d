//! Parts on the bench beside pumps and relays, with what their circuit knows.

use crate::circuit::{SwitchKind, Winding};
use crate::devices::{BatteryModel, ChargerModel, LinkModel, MotorModel, SolenoidModel};
use crate::quantities::{Amps, Band, Celsius, Fraction, Ohms};
use crate::tables::batteries::Chemistry;
use crate::tables::fuses::FuseStyle;

/// A motor that drives no pump.
#[derive(Debug, Clone, PartialEq)]
pub struct DrivePart {
    /// Its figures, loaded as in the boat.
    pub motor: Box<MotorModel>,
    /// Whether it has a field for each direction and a common return.
    pub two_fields: bool,
}

/// A solenoid.
#[derive(Debug, Clone, PartialEq)]
pub struct SolenoidPart {
    /// Its figures.
    pub model: SolenoidModel,
    /// Others of its class in the same circuit, by name.
    pub alike: Vec<String>,
}

/// The primary of an ignition coil.
#[derive(Debug, Clone, PartialEq)]
pub struct PrimaryPart {
    /// Winding at 20 degC.
    pub ohms: Band<Ohms>,
    /// Whether a capacitor discharges into it: no battery belongs on it.
    pub capacitor_discharge: bool,
}

/// A rectifier with regulator and stator.
#[derive(Debug, Clone, PartialEq)]
pub struct ChargerPart {
    /// Its figures.
    pub model: ChargerModel,
    /// How the winding lies to ground, where known.
    pub winding: Option<Winding>,
    /// Whether it regulates.
    pub regulated: bool,
    /// Charging coil between two leads at 20 degC.
    pub coil: Band<Ohms>,
}

/// A fuse in its holder or slot.
#[derive(Debug, Clone, PartialEq)]
pub struct FusePart {
    /// What it is called: its name or `BLOCK.SLOT`.
    pub name: String,
    /// Family.
    pub style: FuseStyle,
    /// Its figures.
    pub model: LinkModel,
    /// Rating printed on the cover.
    pub label: Option<Amps>,
    /// What it carries in the circuit, by state; empty where it stands in none.
    pub carries: Vec<(String, Amps)>,
}

/// A switch.
#[derive(Debug, Clone, PartialEq)]
pub struct SwitchPart {
    /// One contact.
    pub contact: Band<Ohms>,
    /// Simple or selector.
    pub kind: SwitchKind,
    /// Names of its terminals.
    pub terminals: Vec<String>,
    /// Whether heavy cables end on it.
    pub heavy: bool,
}

/// A battery.
#[derive(Debug, Clone, PartialEq)]
pub struct BatteryPart {
    /// Its figures as the file has it.
    pub model: BatteryModel,
    /// Chemistry, where it is one with tables.
    pub chemistry: Option<Chemistry>,
    /// Charge the file gives it.
    pub charge: Fraction,
    /// Its temperature.
    pub temperature: Celsius,
    /// The starter it turns, in a circuit that has one.
    pub cranks: Option<Cranks>,
}

/// A starter in its circuit.
#[derive(Debug, Clone, PartialEq)]
pub struct Cranks {
    /// Its name.
    pub starter: String,
    /// The state it turns in.
    pub state: String,
    /// Its figures.
    pub motor: Box<MotorModel>,
    /// Everything between posts and starter, ohms.
    pub path_ohm: f64,
    /// Current of everything else on the battery meanwhile, amperes.
    pub other_a: f64,
}

/// A plug.
#[derive(Debug, Clone, PartialEq)]
pub struct PlugPart {
    /// Contact of one pin.
    pub contact: Band<Ohms>,
    /// Pins, in file order.
    pub pins: Vec<String>,
}

/// A wire fastened to a stud.
#[derive(Debug, Clone, PartialEq)]
pub struct Fastened {
    /// Its other end.
    pub other_end: String,
    /// The state in which it carries most.
    pub state: String,
    /// What it carries there.
    pub current: Amps,
}
