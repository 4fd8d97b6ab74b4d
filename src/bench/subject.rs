//! What lies on the bench: a part of a circuit, or a class alone.

use super::Refused;
use super::part::{
    BatteryPart, ChargerPart, DrivePart, Fastened, FusePart, PlugPart, PrimaryPart, SolenoidPart,
    SwitchPart,
};
use crate::circuit::{Given, MotorSpec, Relay, Suppression};
use crate::devices::{
    DiodeModel, LinkModel, LoadModel, Model, MotorModel, PulsePump, RelayModel, pump_alone,
    relay_alone,
};
use crate::findings::Assumed;
use crate::quantities::{Amps, Celsius};
use crate::span::Span;
use crate::tables::devices::{ClassKind, USUAL_PUMP, class_patterns, pumps_fuel, relay_class};

/// What can be bench-tested, with its figures.
#[derive(Debug, Clone, PartialEq)]
pub enum Kind {
    /// A pump with a turning armature.
    Motor(Box<MotorModel>),
    /// A pump with a pulsed coil.
    Pulse(PulsePump),
    /// A relay or the solenoid of a starter.
    Relay(RelayModel),
    /// A motor that drives no pump: trim, blower.
    Drive(DrivePart),
    /// A starter.
    Starter(Box<MotorModel>),
    /// A solenoid.
    Solenoid(SolenoidPart),
    /// The primary of an ignition coil.
    Primary(PrimaryPart),
    /// Any other load.
    Load(LoadModel),
    /// A rectifier, its regulator and the stator before it.
    Charger(ChargerPart),
    /// A fuse, or every fuse of a block.
    Fuses(Vec<FusePart>),
    /// A breaker.
    Breaker(LinkModel),
    /// A switch.
    Switch(SwitchPart),
    /// A battery.
    Battery(BatteryPart),
    /// A diode.
    Diode(DiodeModel),
    /// A plug.
    Plug(PlugPart),
    /// A ground stud, bus bar or splice.
    Stud(Vec<Fastened>),
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
    /// A class alone.
    ///
    /// # Errors
    /// A class no table holds.
    pub fn of_class(class: &str, air: Celsius) -> Result<Self, Refused> {
        let given = Some(Given::new(class.to_owned(), Span::default()));
        let other = Self::of_plain_class(class, air);
        if let Some(found) = other.or_else(|| Self::of_other_class(class, air)) {
            return found;
        }
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

    pub(super) fn of_relay(spec: &Relay, name: &str, air: Celsius) -> Result<Self, Refused> {
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

    pub(super) fn of_pump(spec: &MotorSpec, name: &str, air: Celsius) -> Result<Self, Refused> {
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
            class: class_or(spec.class.as_ref(), USUAL_PUMP),
            kind,
            suppression: None,
            max_fuse: spec.max_fuse.map(|given| given.value),
            assumed,
        })
    }

    /// Its name with its class, where the two differ.
    pub fn in_words(&self) -> String {
        if self.is_class_alone() {
            self.name.clone()
        } else {
            format!("{} ({})", self.name, self.class)
        }
    }

    /// Whether it is a class, and no part of a file.
    pub fn is_class_alone(&self) -> bool {
        self.name == self.class
    }

    /// Whether it pumps petrol: bilge, livewell and washdown pumps do not.
    pub fn pumps_fuel(&self) -> bool {
        pumps_fuel(&self.class)
    }
}

/// Every class with bench steps; N stands for a number.
pub fn classes() -> Vec<&'static str> {
    let of = |kind| class_patterns(kind).iter().copied();
    let kinds = [
        ClassKind::Pump,
        ClassKind::Motor,
        ClassKind::Relay,
        ClassKind::Solenoid,
        ClassKind::Load,
    ];
    kinds.into_iter().flat_map(of).collect()
}

pub(super) fn class_or(given: Option<&Given<String>>, usual: &str) -> String {
    given.map_or_else(|| usual.to_owned(), |class| class.value.clone())
}
