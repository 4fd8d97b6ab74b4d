//! One specimen of a whole circuit: every range narrowed to one figure.
//!
//! # Limits
//! Each figure is drawn on its own; what a maker's lot has in common is not known.

use super::specimen::one;
use super::{LinkModel, LoadModel, LoadShape, Model, Resolved, WireModel};
use crate::quantities::Band;

impl Resolved {
    /// The same circuit with every range narrowed to what `pick` takes of it.
    #[must_use]
    pub fn specimen(&self, pick: &mut impl FnMut(Band<f64>) -> f64) -> Self {
        Self {
            parts: self.parts.iter().map(|part| one_part(part, pick)).collect(),
            wires: self.wires.iter().map(|wire| one_wire(wire, pick)).collect(),
            bolted: one(&self.bolted, pick),
            assumed: Vec::new(),
        }
    }
}

fn one_wire(wire: &WireModel, pick: &mut impl FnMut(Band<f64>) -> f64) -> WireModel {
    WireModel {
        length: one(&wire.length, pick),
        joints: one(&wire.joints, pick),
        ..wire.clone()
    }
}

fn one_link(link: &LinkModel, pick: &mut impl FnMut(Band<f64>) -> f64) -> LinkModel {
    LinkModel {
        cold: one(&link.cold, pick),
        clips: one(&link.clips, pick),
        ..link.clone()
    }
}

fn one_load(load: &LoadModel, pick: &mut impl FnMut(Band<f64>) -> f64) -> LoadModel {
    let shape = match &load.shape {
        LoadShape::Power(power) => LoadShape::Power(one(power, pick)),
        LoadShape::Current(current) => LoadShape::Current(one(current, pick)),
        LoadShape::Resistance(ohms) => LoadShape::Resistance(one(ohms, pick)),
        LoadShape::Lamp { nominal_v, current } => LoadShape::Lamp {
            nominal_v: *nominal_v,
            current: one(current, pick),
        },
    };
    LoadModel {
        shape,
        cut_off: one(&load.cut_off, pick),
    }
}

fn one_part(model: &Model, pick: &mut impl FnMut(Band<f64>) -> f64) -> Model {
    let mut model = model.clone();
    match &mut model {
        Model::Battery(battery) => {
            battery.open_volts = one(&battery.open_volts, pick);
            battery.fast = one(&battery.fast, pick);
            battery.slow = one(&battery.slow, pick);
            battery.charging = one(&battery.charging, pick);
        }
        Model::Charger(charger) => charger.set_point = one(&charger.set_point, pick),
        Model::Links(links) => {
            for link in links {
                *link = one_link(link, pick);
            }
        }
        Model::Switch(contact) | Model::Plug(contact) => *contact = one(contact, pick),
        Model::Relay(relay) => {
            // Coil and pull-in stay typical: a specimen that does not close is another state.
            relay.contact = one(&relay.contact, pick);
        }
        Model::Driver(driver) => driver.drop = one(&driver.drop, pick),
        Model::Motor(motor) => **motor = motor.specimen(pick),
        Model::PulsePump(pump) => {
            pump.coil_warm = one(&pump.coil_warm, pick);
            pump.duty = one(&pump.duty, pick);
        }
        Model::Solenoid(solenoid) => {
            solenoid.coil_warm = one(&solenoid.coil_warm, pick);
            solenoid.held = solenoid.held.map(|held| one(&held, pick));
        }
        Model::Load(load) => *load = one_load(load, pick),
        Model::Diode(diode) => diode.drop = one(&diode.drop, pick),
        Model::Stud => {}
    }
    model
}
