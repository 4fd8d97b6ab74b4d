//! What is watched for: each a number that rises through zero where it happens.

use super::build::Built;
use super::elements::Element;
use super::elements::link::Link;
use super::machines::winding_degc;
use super::relays::Relay;
use super::system::{Point, System};
use crate::circuit::zones::fuse_name;
use crate::circuit::{Circuit, Condition};
use crate::devices::Model;
use crate::solving::{Role, Workings};

/// What happened.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// Switches stand as the state says, and what is wrong begins.
    Switched,
    /// A fuse or breaker opens.
    Opens,
    /// A relay pulls in.
    PullsIn,
    /// A relay lets go.
    LetsGo,
    /// A motor begins to turn.
    Turns,
    /// A motor comes to rest.
    Stands,
    /// A wire's copper passes the temperature class of its insulation.
    InsulationPassed,
    /// A standing winding passes 155 degC, a usual class of its enamel.
    WindingHot,
    /// A wire reaches the melting point of copper and parts.
    BurnsThrough,
}

impl What {
    /// The word of JSON and CSV.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Switched => "switched",
            Self::Opens => "opens",
            Self::PullsIn => "pulls-in",
            Self::LetsGo => "lets-go",
            Self::Turns => "turns",
            Self::Stands => "stands",
            Self::InsulationPassed => "insulation-passed",
            Self::WindingHot => "winding-hot",
            Self::BurnsThrough => "burns-through",
        }
    }
}

/// Enamel class a winding is held against, degC: class F, judgement.
const ENAMEL_DEGC: f64 = 155.0;
/// Melting point of copper, degC: table `copper`.
const MELTING_DEGC: f64 = 1083.0;

/// One thing watched.
#[derive(Debug, Clone)]
pub(super) struct Watch {
    /// Branch it is about, or the relay's index.
    pub(super) at: usize,
    /// Name of what it is about.
    pub(super) subject: String,
    /// Which.
    pub(super) kind: Kind,
    /// Told already; for those that change nothing.
    pub(super) done: bool,
}

/// Kinds of watch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Kind {
    /// Heat of a fuse against 1.
    Heat,
    /// Rise of a wire's copper, kelvin, and what passing it means.
    Copper(f64, What),
    /// Rise of a standing winding, kelvin.
    Winding(f64),
    /// Motion of a shaft.
    Motion,
    /// A relay's coil.
    Coil,
}

impl Watch {
    /// How far past it is.
    pub(super) fn past(&self, system: &System, relays: &[Relay], point: &Point) -> f64 {
        if self.done {
            return f64::NEG_INFINITY;
        }
        if self.kind == Kind::Coil {
            return relays[self.at].past_change(system, point);
        }
        let x = &point.x[self.at];
        match (self.kind, &system.elements[self.at]) {
            (Kind::Heat, Element::Link(link)) if link.opens && !link.open => Link::heat(x) - 1.0,
            (Kind::Copper(rise_k, _), Element::Wire(wire)) if !wire.burnt => {
                wire.rise_k(x) - rise_k
            }
            (Kind::Winding(rise_k), Element::Motor(_)) => x[2] - rise_k,
            (Kind::Motion, Element::Motor(motor)) => motor.past_change(x),
            _ => f64::NEG_INFINITY,
        }
    }
}

/// Everything watched in a run.
pub(super) fn all(
    circuit: &Circuit,
    workings: &Workings,
    built: &Built,
    relays: &[Relay],
) -> Vec<Watch> {
    let mut watches = Vec::new();
    let mut add = |at: usize, subject: &str, kind: Kind| {
        watches.push(Watch {
            at,
            subject: subject.to_owned(),
            kind,
            done: false,
        });
    };
    for (branch, role) in workings.net.roles.iter().enumerate() {
        match *role {
            Role::Link(fuse) => add(branch, &fuse_name(circuit, fuse), Kind::Heat),
            Role::Wire(wire) => {
                let model = &workings.resolved.wires[wire];
                let label = circuit.wire_label(&circuit.wires[wire]);
                let air = model.ambient.si();
                let far = built.short.filter(|short| short.near == branch);
                for at in [Some(branch), far.map(|short| short.far)]
                    .into_iter()
                    .flatten()
                {
                    if let Ok(allowed) = &model.allowed {
                        let rise_k = allowed.class.si() - air;
                        add(at, &label, Kind::Copper(rise_k, What::InsulationPassed));
                    }
                    add(
                        at,
                        &label,
                        Kind::Copper(MELTING_DEGC - air, What::BurnsThrough),
                    );
                }
            }
            Role::Load { part, .. } => {
                if let Model::Motor(model) = workings.resolved.part(part) {
                    let name = &circuit.part(part).name;
                    let given = built.state.conditions.get(&part);
                    let condition = given.map_or(Condition::Healthy, |given| given.value);
                    add(branch, name, Kind::Motion);
                    let rise_k = ENAMEL_DEGC - winding_degc(model, condition);
                    add(branch, name, Kind::Winding(rise_k));
                }
            }
            _ => {}
        }
    }
    for (index, relay) in relays.iter().enumerate() {
        add(index, &circuit.part(relay.part).name, Kind::Coil);
    }
    watches
}
