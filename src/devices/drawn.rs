//! One specimen of a whole circuit: every range narrowed to one figure.
//!
//! Every figure that may differ from boat to boat is called by its [`Figure`],
//! always in the same order, so that a study can draw, number and name them.
//!
//! # Limits
//! Each figure is drawn on its own; what a maker's lot has in common is not known.

use super::specimen::one;
use super::{LinkModel, LoadModel, LoadShape, Model, MotorModel, Resolved, WireModel};
use crate::circuit::PartId;
use crate::quantities::{Band, Celsius, Quantity};

/// A figure of a circuit that may have a range.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Figure {
    /// Whose it is.
    pub of: Owner,
    /// Which of its figures.
    pub what: What,
}

/// Whose figure it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Owner {
    /// A part's.
    Part(PartId),
    /// One fuse's: of a part by its number there.
    Link(PartId, usize),
    /// A wire's, by its index in the circuit.
    Wire(usize),
    /// All bolted joints' alike.
    Bolted,
}

/// Which figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum What {
    /// Length, metres.
    Length,
    /// Between the thinnest and the thickest it may be, -1 to 1.
    Thickness,
    /// Both ends' joints together, ohms.
    Joints,
    /// Air around it, or its winding's temperature, degC.
    Warmth,
    /// Volts at rest.
    OpenVolts,
    /// Inside resistance at once, ohms.
    Inside,
    /// Inside resistance added after twenty seconds, ohms.
    Sag,
    /// Resistance against charging, ohms.
    Charging,
    /// Volts a charger regulates to.
    SetPoint,
    /// Cold resistance of a fuse's element, ohms.
    Element,
    /// Clips of a holder, ohms.
    Clips,
    /// Share of its rating that a fuse has in this air.
    AirFactor,
    /// A contact, ohms.
    Contact,
    /// Volts lost in a diode or a module's output.
    Drop,
    /// A coil as warm as its place, ohms.
    Coil,
    /// Share of the time that a pulsed pump is on.
    Duty,
    /// Current a driver holds a coil with, amperes.
    Held,
    /// A load's watts.
    Power,
    /// A load's current, amperes.
    Current,
    /// A load's resistance, ohms.
    Resistance,
    /// Volts below which electronics give up.
    CutOff,
    /// A motor's torque constant, V s.
    TorqueConstant,
    /// Its friction, N m.
    Friction,
    /// Its drag, N m s2.
    Drag,
    /// Its torque by pressure, N m/Pa.
    PressureTorque,
    /// What it lifts or cranks, N m.
    LoadTorque,
    /// Its inertia, kg m2.
    Inertia,
    /// Its inductance, H.
    Inductance,
    /// Its winding, ohms.
    Winding,
    /// Its current at the known working point, amperes.
    KnownCurrent,
    /// Its speed there, rad/s.
    KnownSpeed,
}

/// What narrows a figure's range to one value.
trait Pick: FnMut(Figure, Band<f64>) -> f64 {}
impl<F: FnMut(Figure, Band<f64>) -> f64> Pick for F {}

impl Resolved {
    /// The same circuit with every range narrowed to what `pick` takes of it.
    #[must_use]
    pub fn specimen(&self, pick: &mut impl FnMut(Band<f64>) -> f64) -> Self {
        let mut one = Self {
            parts: self.parts.clone(),
            wires: self.wires.clone(),
            bolted: self.bolted,
            assumed: Vec::new(),
        };
        self.narrow(&mut one, &mut |_, band| pick(band));
        one
    }

    /// Narrows every range to what `pick` takes of it, in place: `into` is a
    /// copy of this circuit, or a specimen of it.
    pub fn narrow(&self, into: &mut Self, pick: &mut impl FnMut(Figure, Band<f64>) -> f64) {
        for (id, (from, part)) in self.parts.iter().zip(&mut into.parts).enumerate() {
            narrow_part(PartId(id), from, part, pick);
        }
        for (index, (from, wire)) in self.wires.iter().zip(&mut into.wires).enumerate() {
            narrow_wire(Owner::Wire(index), from, wire, pick);
        }
        let bolted = &mut into.bolted;
        set(bolted, &self.bolted, Owner::Bolted, What::Contact, pick);
    }
}

/// Narrows one range of an owner.
fn set<Q: Quantity>(
    into: &mut Band<Q>,
    from: &Band<Q>,
    of: Owner,
    what: What,
    pick: &mut impl Pick,
) {
    *into = one(from, &mut |band| pick(Figure { of, what }, band));
}

/// Figures without a range of their own, which others may move.
fn moved(plain: f64, of: Owner, what: What, pick: &mut impl Pick) -> f64 {
    let band = Band {
        low: plain,
        typical: plain,
        high: plain,
    };
    pick(Figure { of, what }, band)
}

fn narrow_wire(of: Owner, from: &WireModel, into: &mut WireModel, pick: &mut impl Pick) {
    set(&mut into.length, &from.length, of, What::Length, pick);
    set(&mut into.joints, &from.joints, of, What::Joints, pick);
    into.ambient = Celsius::new(moved(from.ambient.si(), of, What::Warmth, pick));
    if from.may_be.is_some() {
        let what = What::Thickness;
        let band = Band {
            low: -1.0,
            typical: 0.0,
            high: 1.0,
        };
        into.set_thickness(from, pick(Figure { of, what }, band));
    }
}

fn narrow_link(of: Owner, from: &LinkModel, into: &mut LinkModel, pick: &mut impl Pick) {
    set(&mut into.cold, &from.cold, of, What::Element, pick);
    set(&mut into.clips, &from.clips, of, What::Clips, pick);
    into.ambient_factor = moved(from.ambient_factor, of, What::AirFactor, pick);
}

fn narrow_load(of: Owner, from: &LoadModel, into: &mut LoadModel, pick: &mut impl Pick) {
    match (&from.shape, &mut into.shape) {
        (LoadShape::Power(from), LoadShape::Power(into)) => {
            set(into, from, of, What::Power, pick);
        }
        (LoadShape::Resistance(from), LoadShape::Resistance(into)) => {
            set(into, from, of, What::Resistance, pick);
        }
        (LoadShape::Current(from), LoadShape::Current(into))
        | (LoadShape::Lamp { current: from, .. }, LoadShape::Lamp { current: into, .. }) => {
            set(into, from, of, What::Current, pick);
        }
        _ => {}
    }
    set(&mut into.cut_off, &from.cut_off, of, What::CutOff, pick);
}

fn narrow_motor(of: Owner, from: &MotorModel, into: &mut MotorModel, pick: &mut impl Pick) {
    let degc = moved(from.winding.si(), of, What::Warmth, pick);
    into.winding = Celsius::new(degc);
    into.parameters = from.narrowed(&mut |what, band| pick(Figure { of, what }, band));
}

fn narrow_part(id: PartId, from: &Model, into: &mut Model, pick: &mut impl Pick) {
    let of = Owner::Part(id);
    match (from, into) {
        (Model::Battery(from), Model::Battery(into)) => {
            let volts = &mut into.open_volts;
            set(volts, &from.open_volts, of, What::OpenVolts, pick);
            set(&mut into.fast, &from.fast, of, What::Inside, pick);
            set(&mut into.slow, &from.slow, of, What::Sag, pick);
            set(&mut into.charging, &from.charging, of, What::Charging, pick);
        }
        (Model::Charger(from), Model::Charger(into)) => {
            let volts = &mut into.set_point;
            set(volts, &from.set_point, of, What::SetPoint, pick);
        }
        (Model::Links(from), Model::Links(into)) => {
            for (slot, (from, into)) in from.iter().zip(into).enumerate() {
                narrow_link(Owner::Link(id, slot), from, into, pick);
            }
        }
        (Model::Switch(from), Model::Switch(into)) | (Model::Plug(from), Model::Plug(into)) => {
            set(into, from, of, What::Contact, pick);
        }
        (Model::Relay(from), Model::Relay(into)) => {
            // Pull-in stays typical, for a specimen that does not close is another
            // state; the coil moves with its air alone.
            set(&mut into.contact, &from.contact, of, What::Contact, pick);
            let warm = moved(from.coil_warm.typical.si(), of, What::Coil, pick);
            into.coil_warm.typical = Quantity::new(warm);
        }
        (Model::Driver(from), Model::Driver(into)) => {
            set(&mut into.drop, &from.drop, of, What::Drop, pick);
        }
        (Model::Motor(from), Model::Motor(into)) => narrow_motor(of, from, into, pick),
        (Model::PulsePump(from), Model::PulsePump(into)) => {
            set(&mut into.coil_warm, &from.coil_warm, of, What::Coil, pick);
            set(&mut into.duty, &from.duty, of, What::Duty, pick);
        }
        (Model::Solenoid(from), Model::Solenoid(into)) => {
            set(&mut into.coil_warm, &from.coil_warm, of, What::Coil, pick);
            if let (Some(from), Some(into)) = (&from.held, &mut into.held) {
                set(into, from, of, What::Held, pick);
            }
        }
        (Model::Load(from), Model::Load(into)) => narrow_load(of, from, into, pick),
        (Model::Diode(from), Model::Diode(into)) => {
            set(&mut into.drop, &from.drop, of, What::Drop, pick);
        }
        _ => {}
    }
}
