//! What lies on the bench: a part of a circuit, or a class alone.

use super::Refused;
use crate::circuit::{Circuit, Device, Given, MotorSpec, PartId, Relay, Suppression};
use crate::devices::{Model, MotorModel, PulsePump, RelayModel, pump_alone, relay_alone};
use crate::findings::Assumed;
use crate::quantities::{Amps, Celsius};
use crate::span::Span;
use crate::tables::devices::{ClassKind, class_patterns, relay_class};

/// What can be bench-tested, with its figures.
#[derive(Debug, Clone, PartialEq)]
pub enum Kind {
    /// A pump with a turning armature.
    Motor(Box<MotorModel>),
    /// A pump with a pulsed coil.
    Pulse(PulsePump),
    /// A relay or the solenoid of a starter.
    Relay(RelayModel),
}

/// The part on the bench.
#[derive(Debug, Clone, PartialEq)]
pub struct Subject {
    /// What it is called: its name, or its class.
    pub name: String,
    /// Its class.
    pub class: String,
    /// Its figures at the temperature of the bench.
    pub kind: Kind,
    /// How a relay's coil is quenched, where known.
    pub suppression: Option<Suppression>,
    /// Largest fuse its maker allows.
    pub max_fuse: Option<Amps>,
    /// Defaults that entered its figures.
    pub assumed: Vec<Assumed>,
}

impl Subject {
    /// A part of a circuit, on the bench.
    ///
    /// # Errors
    /// A part without bench steps, or a class no table holds.
    pub fn of_part(circuit: &Circuit, id: PartId, air: Celsius) -> Result<Self, Refused> {
        let part = circuit.part(id);
        match &part.device {
            Device::Pump(spec) => Self::of_pump(spec, &part.name, air),
            Device::Relay(spec) => Self::of_relay(spec, &part.name, air),
            _ => Err(Refused::NoSteps {
                name: part.name.clone(),
                kind: part.kind().word(),
            }),
        }
    }

    /// A class alone.
    ///
    /// # Errors
    /// A class no table holds.
    pub fn of_class(class: &str, air: Celsius) -> Result<Self, Refused> {
        let given = Some(Given::new(class.to_owned(), Span::default()));
        if relay_class(class).is_ok() {
            let relay = Relay {
                class: given,
                ..Relay::default()
            };
            return Self::of_relay(&relay, class, air);
        }
        let pump = MotorSpec {
            class: given,
            ..MotorSpec::default()
        };
        Self::of_pump(&pump, class, air)
    }

    fn of_relay(spec: &Relay, name: &str, air: Celsius) -> Result<Self, Refused> {
        let (model, assumed) = relay_alone(spec, name, air)?;
        Ok(Self {
            name: name.to_owned(),
            class: class_or(spec.class.as_ref(), "plug-in"),
            kind: Kind::Relay(model),
            suppression: spec.suppression.map(|given| given.value),
            max_fuse: None,
            assumed,
        })
    }

    fn of_pump(spec: &MotorSpec, name: &str, air: Celsius) -> Result<Self, Refused> {
        let (model, assumed) = pump_alone(spec, name, air)?;
        let kind = match model {
            Model::Motor(motor) => Kind::Motor(motor),
            Model::PulsePump(pump) => Kind::Pulse(pump),
            // A pump is one of the two.
            _ => {
                return Err(Refused::NoSteps {
                    name: name.to_owned(),
                    kind: "pump of no known kind",
                });
            }
        };
        Ok(Self {
            name: name.to_owned(),
            class: class_or(spec.class.as_ref(), "high-pressure fuel pump"),
            kind,
            suppression: None,
            max_fuse: spec.max_fuse.map(|given| given.value),
            assumed,
        })
    }

    /// Its name with its class, where the two differ.
    pub fn in_words(&self) -> String {
        if self.name == self.class {
            self.name.clone()
        } else {
            format!("{} ({})", self.name, self.class)
        }
    }

    /// Whether it pumps petrol: bilge, livewell and washdown pumps do not.
    pub fn pumps_fuel(&self) -> bool {
        let water = ["bilge", "livewell", "washdown"];
        !water.iter().any(|word| self.class.starts_with(word))
    }
}

/// Every class with bench steps; N stands for a number.
pub fn classes() -> Vec<&'static str> {
    let of = |kind| class_patterns(kind).iter().copied();
    of(ClassKind::Pump).chain(of(ClassKind::Relay)).collect()
}

fn class_or(given: Option<&Given<String>>, usual: &str) -> String {
    given.map_or_else(|| usual.to_owned(), |class| class.value.clone())
}
