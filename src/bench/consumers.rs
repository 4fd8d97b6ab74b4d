//! Motors, solenoids and loads, off the harness.

use super::part::{DrivePart, PrimaryPart, SolenoidPart};
use super::subject::class_or;
use super::{Kind, Refused, Subject};
use crate::circuit::{Circuit, Device, Load, LoadLaw, MotorSpec, PartId, Solenoid};
use crate::devices::{Model, load_alone, motor_alone, solenoid_alone};
use crate::findings::Assumed;
use crate::quantities::{Celsius, Volts};
use crate::tables::OutOfTable;
use crate::tables::readings::engine_load_ohms;

impl Subject {
    pub(super) fn of_motor(
        spec: &MotorSpec,
        name: &str,
        terminals: usize,
        air: Celsius,
    ) -> Result<Self, Refused> {
        let (model, assumed) = motor_alone(spec, name, air)?;
        let class = class_or(spec.class.as_ref(), "motor");
        let Model::Motor(motor) = model else {
            // A motor always has an armature.
            return Err(Refused::NoSteps {
                name: name.to_owned(),
                kind: "motor",
            });
        };
        let kind = if class.starts_with("starter") {
            Kind::Starter(motor)
        } else {
            Kind::Drive(DrivePart {
                motor,
                two_fields: terminals > 2,
            })
        };
        Ok(Self {
            max_fuse: spec.max_fuse.map(|given| given.value),
            ..Self::named(name, &class, kind, assumed)
        })
    }

    pub(super) fn of_solenoid(
        spec: &Solenoid,
        name: &str,
        alike: Vec<String>,
        air: Celsius,
    ) -> Result<Self, OutOfTable> {
        let (model, assumed) = solenoid_alone(spec, name, air)?;
        let class = class_or(spec.class.as_ref(), "solenoid");
        let kind = Kind::Solenoid(SolenoidPart { model, alike });
        Ok(Self::named(name, &class, kind, assumed))
    }

    pub(super) fn of_load(spec: &Load, name: &str, nominal: Volts) -> Result<Self, OutOfTable> {
        let class = match &spec.law.value {
            LoadLaw::Class(class) => class.as_str(),
            LoadLaw::Lamp(_) => "lamp",
            LoadLaw::Resistance(_) => "resistance",
            LoadLaw::Power(_) | LoadLaw::Current(_) => "load",
        };
        let row = match class {
            "ignition coil" => Some("ignition coil, inductive"),
            "capacitor-discharge ignition" => Some("ignition coil, capacitor discharge"),
            _ => None,
        };
        let (kind, assumed) = if let Some(row) = row {
            let found = engine_load_ohms(row)?;
            let assumed = Assumed {
                subject: name.to_owned(),
                what: format!(
                    "primary {} ({} to {})",
                    found.value.typical, found.value.low, found.value.high
                ),
                source: found.source,
            };
            let primary = PrimaryPart {
                ohms: found.value,
                capacitor_discharge: class != "ignition coil",
            };
            (Kind::Primary(primary), vec![assumed])
        } else {
            let (model, assumed) = load_alone(spec, name, nominal)?;
            (Kind::Load(model), assumed)
        };
        Ok(Self {
            max_fuse: spec.max_fuse.map(|given| given.value),
            ..Self::named(name, class, kind, assumed)
        })
    }
}

/// Solenoids of the same class in the same circuit.
pub(super) fn alike(circuit: &Circuit, id: PartId, spec: &Solenoid) -> Vec<String> {
    let class = |spec: &Solenoid| spec.class.as_ref().map(|given| given.value.clone());
    let others = circuit.part_ids().filter(|other| *other != id);
    others
        .filter_map(|other| {
            let part = circuit.part(other);
            match &part.device {
                Device::Solenoid(other) if class(other) == class(spec) => Some(part.name.clone()),
                _ => None,
            }
        })
        .collect()
}
