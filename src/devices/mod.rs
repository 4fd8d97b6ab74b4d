//! From a part as written to its electrical figures.
//!
//! [`resolve`] fills what was left out from the sourced class of each part and
//! lists it as assumed. Bands stay bands; a single solution uses the typical
//! value. No equation of the network stands here: `solving` turns these
//! figures into branches.

mod alone;
mod battery;
mod charger;
mod coil;
mod contact;
mod drawn;
mod fuse;
mod load;
mod motor;
mod shelf;
mod specimen;
mod winding;
mod wire;

pub use alone::{
    Alone, battery_alone, block_alone, breaker_alone, charger_alone, diode_alone, fuse_alone,
    load_alone, motor_alone, plug_alone, pump_alone, relay_alone, solenoid_alone, switch_alone,
};
pub use battery::BatteryModel;
pub use charger::ChargerModel;
pub use coil::{RelayModel, SolenoidModel};
pub use contact::{DiodeModel, DriverModel};
pub use drawn::{Figure, Owner, What};
pub use fuse::{LinkModel, breaker_rating_factor};
pub use load::{LoadModel, LoadShape};
pub use motor::{MotorModel, POOR_CONTACT_OHM, PulsePump, RunningLaw};
pub use winding::Winding;
pub use wire::{Allowed, BURNT, COPPER_PER_K, Laid, WireModel, usual_tin, wire_ends, wire_of_size};

use crate::circuit::{Circuit, Device, Part, PartId};
use crate::findings::Assumed;
use crate::quantities::{Band, Ohms};
use crate::tables::OutOfTable;
use shelf::Shelf;

/// Electrical figures of a part.
#[derive(Debug, Clone, PartialEq)]
pub enum Model {
    /// A battery.
    Battery(BatteryModel),
    /// A charger.
    Charger(ChargerModel),
    /// Fuse or breaker, and each slot of a block in the slots' order.
    Links(Vec<LinkModel>),
    /// A switch: its contact.
    Switch(Band<Ohms>),
    /// A relay.
    Relay(RelayModel),
    /// A driver.
    Driver(DriverModel),
    /// Pump or motor with a turning armature.
    Motor(Box<MotorModel>),
    /// Pump driven by a pulsed coil.
    PulsePump(PulsePump),
    /// A solenoid.
    Solenoid(SolenoidModel),
    /// Any other load.
    Load(LoadModel),
    /// A diode.
    Diode(DiodeModel),
    /// A stud: nothing electrical of its own.
    Stud,
    /// A plug: contact of one pin.
    Plug(Band<Ohms>),
}

/// A circuit's parts and wires with all their figures.
#[derive(Debug, Clone, PartialEq)]
pub struct Resolved {
    /// One model a part, in the circuit's order.
    pub parts: Vec<Model>,
    /// One model a wire, in the circuit's order.
    pub wires: Vec<WireModel>,
    /// Resistance of a bolted joint.
    pub bolted: Band<Ohms>,
    /// Every default that entered.
    pub assumed: Vec<Assumed>,
}

impl Resolved {
    /// The model of a part.
    pub fn part(&self, id: PartId) -> &Model {
        &self.parts[id.0]
    }
}

/// Gives every part and wire its electrical figures.
///
/// # Errors
/// A wire size or class that no table holds.
pub fn resolve(circuit: &Circuit) -> Result<Resolved, OutOfTable> {
    let mut shelf = Shelf::default();
    let parts = circuit
        .parts
        .iter()
        .map(|part| model(circuit, part, &mut shelf))
        .collect::<Result<_, _>>()?;
    let wires = circuit
        .wires
        .iter()
        .map(|wire| wire::resolve(circuit, wire, &mut shelf))
        .collect::<Result<_, _>>()?;
    let bolted = contact::bolted()?;
    if !circuit.joins.is_empty() {
        let what = format!("each bolted joint {}", shelf::in_words(&bolted.value));
        shelf.note("joints", what, bolted.source.clone());
    }
    Ok(Resolved {
        parts,
        wires,
        bolted: bolted.value,
        assumed: shelf.into_assumed(),
    })
}

fn model(circuit: &Circuit, part: &Part, shelf: &mut Shelf) -> Result<Model, OutOfTable> {
    let ambient = circuit.ambient.at(part.place);
    let name = part.name.as_str();
    Ok(match &part.device {
        Device::Battery(spec) => Model::Battery(battery::resolve(spec, name, ambient, shelf)?),
        Device::Charger(spec) => Model::Charger(charger::resolve(spec, name, shelf)?),
        Device::Fuse(spec) => Model::Links(vec![fuse::resolve(spec, name, ambient, shelf)?]),
        Device::FuseBlock(block) => Model::Links(fuse::resolve_block(block, name, ambient, shelf)?),
        Device::Breaker(spec) => {
            Model::Links(vec![fuse::resolve_breaker(spec, name, ambient, shelf)?])
        }
        Device::Switch(spec) => Model::Switch(contact::switch(spec, circuit, part, shelf)?),
        Device::Relay(spec) => Model::Relay(coil::resolve_relay(spec, name, ambient, shelf)?),
        Device::Driver(spec) => Model::Driver(contact::driver(spec, name, shelf)),
        Device::Pump(spec) => motor::resolve(spec, name, motor::Family::Pump, ambient, shelf)?,
        Device::Motor(spec) => motor::resolve(spec, name, motor::Family::Motor, ambient, shelf)?,
        Device::Solenoid(spec) => {
            Model::Solenoid(coil::resolve_solenoid(spec, name, ambient, shelf)?)
        }
        Device::Load(spec) => Model::Load(load::resolve(spec, name, circuit.boat.nominal, shelf)?),
        Device::Diode(spec) => Model::Diode(contact::diode(spec, name, shelf)),
        Device::Stud => Model::Stud,
        Device::Plug(spec) => Model::Plug(contact::plug(spec, name, shelf)?),
    })
}
