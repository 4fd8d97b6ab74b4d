//! What was examined, and the family it belongs to.

use super::Measure;
use super::battery::Battery;
use super::coil::{CoilPart, Tried};
use super::contact::{ContactPart, Sort};
use super::evidence::{Evidence, RunKind};
use super::family::Family;
use super::motors::{Free, Pump, Use};
use crate::bench::{ChargerPart, Kind, Subject};
use crate::devices::{DiodeModel, LinkModel, LoadModel, MotorModel, PulsePump, RelayModel};
use crate::quantities::{Amps, Band, Ohms};
use crate::tables::OutOfTable;
use crate::tables::contacts::{ContactKind, faulty};

/// What was examined.
#[derive(Debug, Clone, PartialEq)]
pub enum Examined {
    /// A pump with a turning armature, and whether it pumps petrol.
    Pump(Box<MotorModel>, bool),
    /// A pump with a pulsed coil.
    Pulsed(Box<PulsePump>),
    /// A motor that turns free on the bench, and whether it trims.
    Motor(Box<MotorModel>, bool),
    /// A starter, turning free on jump cables.
    Starter(Box<MotorModel>),
    /// A relay, or the solenoid of a starter or shift.
    Relay(Box<RelayModel>),
    /// A winding: solenoid, injector, primary of an ignition coil.
    Coil(CoilPart),
    /// A fuse, breaker, switch, plug or joint.
    Contact(Box<ContactPart>),
    /// A rectifier-regulator with its stator.
    Charger(Box<ChargerPart>),
    /// A diode.
    Diode(DiodeModel),
    /// Another load.
    Load(Box<LoadModel>),
    /// The rig's own battery.
    Battery,
}

/// Why a part's readings are not interpreted.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NotExamined {
    /// A block of fuses: one of them is meant.
    #[error("name one fuse of the block: {0}")]
    WholeBlock(String),
    /// A figure no table has.
    #[error(transparent)]
    OutOfTable(#[from] OutOfTable),
}

impl Examined {
    /// The part on the bench.
    ///
    /// # Errors
    /// A whole block of fuses, or a table that cannot be read.
    pub fn of(subject: &Subject) -> Result<Self, NotExamined> {
        let fuel = subject.pumps_fuel();
        Ok(match subject.kind.clone() {
            Kind::Motor(motor) => Self::Pump(motor, fuel),
            Kind::Pulse(pump) => Self::Pulsed(Box::new(pump)),
            Kind::Relay(relay) => Self::Relay(Box::new(relay)),
            Kind::Drive(part) => Self::Motor(part.motor, subject.class == "trim"),
            Kind::Starter(motor) => Self::Starter(motor),
            Kind::Solenoid(part) => Self::Coil(CoilPart {
                ohms: part.model.coil_warm,
                tried: match (subject.class.ends_with("injector"), part.model.held) {
                    (true, None) => Tried::Taps,
                    (true, Some(_)) => Tried::Driven,
                    (false, _) => Tried::Steady,
                },
            }),
            Kind::Primary(part) => Self::Coil(CoilPart {
                ohms: part.ohms,
                tried: if part.capacitor_discharge {
                    Tried::Discharged
                } else {
                    Tried::ThroughLamp
                },
            }),
            Kind::Load(model) => Self::Load(Box::new(model)),
            Kind::Charger(part) => Self::Charger(Box::new(part)),
            Kind::Fuses(fuses) => match fuses.as_slice() {
                [fuse] => contact(
                    Sort::Fuse(fuse.style),
                    fuse.model.clone(),
                    ContactKind::FuseClips,
                )?,
                all => {
                    let names: Vec<&str> = all.iter().map(|fuse| fuse.name.as_str()).collect();
                    return Err(NotExamined::WholeBlock(names.join(", ")));
                }
            },
            Kind::Breaker(model) => contact(Sort::Breaker, model, ContactKind::BoltedJoint)?,
            Kind::Switch(part) => {
                let (kind, rating) = if part.heavy {
                    (ContactKind::MasterSwitch, HEAVY)
                } else {
                    (ContactKind::RockerSwitch, SMALL)
                };
                contact(Sort::Switch, bare(part.contact, rating), kind)?
            }
            Kind::Plug(part) => {
                let pin = bare(part.contact, LOOM);
                contact(Sort::Joint, pin, ContactKind::SealedPin)?
            }
            Kind::Stud(_) => {
                let ring = crate::tables::contacts::contact(ContactKind::RingOnStud)?.value;
                contact(Sort::Joint, bare(ring, LOOM), ContactKind::RingOnStud)?
            }
            Kind::Diode(model) => Self::Diode(model),
            Kind::Battery(_) => Self::Battery,
        })
    }

    pub(super) fn family(&self) -> Box<dyn Family + '_> {
        match self {
            Self::Pump(motor, fuel) => Box::new(Pump { motor, fuel: *fuel }),
            Self::Pulsed(pump) => Box::new(pump.as_ref().clone()),
            Self::Motor(motor, trims) => Box::new(Free {
                motor,
                used: if *trims { Use::Trim } else { Use::Other },
            }),
            Self::Starter(motor) => Box::new(Free {
                motor,
                used: Use::Starter,
            }),
            Self::Relay(relay) => Box::new(relay.as_ref().clone()),
            Self::Coil(coil) => Box::new(*coil),
            Self::Contact(contact) => Box::new(contact.as_ref().clone()),
            Self::Charger(charger) => Box::new(charger.as_ref().clone()),
            Self::Diode(diode) => Box::new(diode.clone()),
            Self::Load(load) => Box::new(load.as_ref().clone()),
            Self::Battery => Box::new(Battery),
        }
    }

    /// The kind of part, as the priors call it.
    pub fn part(&self) -> &'static str {
        self.family().part()
    }

    /// What can be read of it.
    pub fn measures(&self) -> Vec<Measure> {
        self.family().measures()
    }

    /// Kinds of run its readings may come from; empty where all are alike.
    pub fn kinds(&self) -> Vec<RunKind> {
        self.family().kinds().to_vec()
    }

    /// Why a set of readings says nothing of it, and what to add.
    pub fn lacks(&self, evidence: &Evidence) -> Option<&'static str> {
        self.family().lacks(evidence)
    }

    /// Whether it can be read in the boat, fed by its circuit.
    pub fn is_read_aboard(&self) -> bool {
        self.family().is_read_aboard()
    }

    /// Whether jump cables feed it, without a fuse.
    pub const fn is_heavy(&self) -> bool {
        matches!(self, Self::Starter(_))
    }
}

/// The most that flows through a switch that heavy cables end on (judgement).
const HEAVY: Amps = Amps::new(300.0);
/// Through any other (judgement).
const SMALL: Amps = Amps::new(20.0);
/// Through a pin of a plug, or a stud of the engine's loom (judgement).
const LOOM: Amps = Amps::new(30.0);

fn contact(sort: Sort, link: LinkModel, kind: ContactKind) -> Result<Examined, OutOfTable> {
    Ok(Examined::Contact(Box::new(ContactPart {
        sort,
        link,
        faulty: faulty(kind)?.value,
    })))
}

/// A contact without an element before it.
fn bare(contact: Band<Ohms>, rating: Amps) -> LinkModel {
    LinkModel {
        style: None,
        rating,
        cold: Band::exactly(Ohms::new(0.0)),
        clips: contact,
        rise_per_a2: 0.0,
        rise_cap: 0.0,
        ambient_factor: 1.0,
    }
}
