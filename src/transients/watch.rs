//! What is watched for: each a number that rises through zero where it happens.

use super::build::Built;
use super::elements::Element;
use super::elements::link::Link;
use super::made::Made;
use super::relays::Relay;
use super::scenario::TransientError;
use super::system::{Point, System};
use crate::circuit::zones::fuse_name;
use crate::circuit::{Circuit, Condition};
use crate::devices::Model;
use crate::heating::{CLOSES_BELOW, WireLimits};
use crate::network::Parameters;
use crate::solving::{Role, Workings};

/// What happened.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// Switches stand as the state says, and what is wrong from the start begins.
    Switched,
    /// A shaft jams.
    Jams,
    /// A wire is shorted.
    Shorted,
    /// A fuse or breaker opens.
    Opens,
    /// A breaker closes again by itself.
    ClosesAgain,
    /// A relay pulls in.
    PullsIn,
    /// A relay lets go.
    LetsGo,
    /// A motor begins to turn.
    Turns,
    /// A motor comes to rest.
    Stands,
    /// Electronics have too few volts.
    CutsOff,
    /// Electronics have volts again.
    ComesBack,
    /// A wire's copper passes the temperature class of its insulation.
    InsulationPassed,
    /// A wire's insulation has been too hot for too long.
    InsulationFails,
    /// A standing winding passes what its enamel stands.
    WindingHot,
    /// A wire reaches the melting point of copper and parts.
    BurnsThrough,
}

impl What {
    /// The word of JSON and CSV.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Switched => "switched",
            Self::Jams => "jams",
            Self::Shorted => "shorted",
            Self::Opens => "opens",
            Self::ClosesAgain => "closes-again",
            Self::PullsIn => "pulls-in",
            Self::LetsGo => "lets-go",
            Self::Turns => "turns",
            Self::Stands => "stands",
            Self::CutsOff => "cuts-off",
            Self::ComesBack => "comes-back",
            Self::InsulationPassed => "insulation-passed",
            Self::InsulationFails => "insulation-fails",
            Self::WindingHot => "winding-hot",
            Self::BurnsThrough => "burns-through",
        }
    }
}

/// Volts electronics must come back above their cut-off.
const BACK_V: f64 = 0.2;

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
    /// Since when a wire carries more than it may for good, seconds.
    since_s: Option<f64>,
    /// Whether electronics run, or have been cut off; none before they first ran.
    pub(super) runs: Option<bool>,
}

/// Kinds of watch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Kind {
    /// Heat of a fuse against 1; of an opened breaker, against what it closes at.
    Heat,
    /// Rise of a wire's copper, kelvin, and what passing it means.
    Copper(f64, What),
    /// A wire's copper against what its insulation stands for so long.
    Limit {
        /// What it stands.
        limits: WireLimits,
        /// Air around it, degC.
        air_degc: f64,
        /// Square of the current it may carry for good.
        square_a2: f64,
    },
    /// Rise of a standing winding, kelvin.
    Winding(f64),
    /// Motion of a shaft.
    Motion,
    /// A relay's coil.
    Coil,
    /// Electronics against their cut-off, volts.
    CutOff(f64),
}

impl Watch {
    /// How far past it is at a moment.
    pub(super) fn past(
        &self,
        system: &System,
        relays: &[Relay],
        point: &Point,
        time_s: f64,
    ) -> f64 {
        if self.done {
            return f64::NEG_INFINITY;
        }
        if self.kind == Kind::Coil {
            return relays[self.at].past_change(system, point);
        }
        let x = &point.x[self.at];
        match (self.kind, &system.elements[self.at]) {
            (Kind::Heat, Element::Link(link)) if link.opens && !link.open => Link::heat(x) - 1.0,
            (Kind::Heat, Element::Link(link)) if link.open && link.closes_again => {
                CLOSES_BELOW - Link::heat(x)
            }
            (Kind::Copper(rise_k, _), Element::Wire(wire)) if !wire.burnt => x[0] - rise_k,
            (
                Kind::Limit {
                    limits, air_degc, ..
                },
                Element::Wire(_),
            ) => self.since_s.map_or(f64::NEG_INFINITY, |since_s| {
                air_degc + x[0] - limits.allowed(time_s - since_s).si()
            }),
            (Kind::Winding(rise_k), Element::Motor(_)) => x[2] - rise_k,
            (Kind::Motion, Element::Motor(motor)) => motor.past_change(x),
            (Kind::CutOff(cut_v), _) => {
                let volts = system.across(self.at, &point.v).abs();
                match self.runs {
                    None => f64::NEG_INFINITY,
                    Some(true) => cut_v - volts,
                    Some(false) => volts - cut_v - BACK_V,
                }
            }
            _ => f64::NEG_INFINITY,
        }
    }

    /// Sees where a step that began at `from_s` has come to.
    pub(super) fn keep_up(&mut self, system: &System, point: &Point, from_s: f64) {
        match self.kind {
            Kind::Limit {
                limits,
                air_degc,
                square_a2,
            } => {
                let current_a = system.current(self.at, point);
                if current_a * current_a > square_a2 {
                    self.since_s.get_or_insert(from_s);
                } else if air_degc + point.x[self.at][0] < limits.class.si() {
                    self.since_s = None;
                }
            }
            Kind::CutOff(cut_v) if self.runs.is_none() => {
                let volts = system.across(self.at, &point.v).abs();
                self.runs = (volts > cut_v + BACK_V).then_some(true);
            }
            _ => {}
        }
    }
}

/// Everything watched in a run.
///
/// # Errors
/// When a table cannot be read.
pub(super) fn all(
    circuit: &Circuit,
    workings: &Workings,
    made: &Made,
    built: &Built,
    relays: &[Relay],
) -> Result<Vec<Watch>, TransientError> {
    let mut watches = Watches::default();
    for (branch, role) in workings.net.roles.iter().enumerate() {
        match *role {
            Role::Link(fuse) => watches.add(branch, &fuse_name(circuit, fuse), Kind::Heat),
            Role::Wire(wire) => {
                let air_degc = workings.resolved.wires[wire].ambient.si();
                let label = circuit.wire_label(&circuit.wires[wire]);
                let far = built.short.filter(|short| short.near == branch);
                for at in [Some(branch), far.map(|short| short.far)]
                    .into_iter()
                    .flatten()
                {
                    watches.wire(at, &label, air_degc, made, wire);
                }
            }
            Role::Load { part, .. } => {
                let name = &circuit.part(part).name;
                if let Model::Motor(model) = workings.resolved.part(part) {
                    let given = built.state.conditions.get(&part);
                    let condition = given.map_or(Condition::Healthy, |given| given.value);
                    let limit = model.winding_body()?.limit;
                    let rise_k = limit.si() - model.winding_degc(condition);
                    watches.add(branch, name, Kind::Motion);
                    watches.add(branch, name, Kind::Winding(rise_k));
                }
                if let (Model::Load(_), Some(cut_v)) = (
                    workings.resolved.part(part),
                    cut_off(&built.system.elements[branch]),
                ) {
                    watches.add(branch, name, Kind::CutOff(cut_v));
                }
            }
            _ => {}
        }
    }
    for (index, relay) in relays.iter().enumerate() {
        watches.add(index, &circuit.part(relay.part).name, Kind::Coil);
    }
    Ok(watches.0)
}

#[derive(Default)]
struct Watches(Vec<Watch>);

impl Watches {
    fn add(&mut self, at: usize, subject: &str, kind: Kind) {
        self.0.push(Watch {
            at,
            subject: subject.to_owned(),
            kind,
            done: false,
            since_s: None,
            runs: None,
        });
    }

    fn wire(&mut self, at: usize, label: &str, air_degc: f64, made: &Made, wire: usize) {
        if let Some((body, limits)) = made.wires[wire] {
            let rise_k = limits.class.si() - air_degc;
            self.add(at, label, Kind::Copper(rise_k, What::InsulationPassed));
            let limit = Kind::Limit {
                limits,
                air_degc,
                square_a2: body.square_for(limits.class),
            };
            self.add(at, label, limit);
        }
        let melts_k = made.melts_degc - air_degc;
        self.add(at, label, Kind::Copper(melts_k, What::BurnsThrough));
    }
}

/// Volts below which electronics no longer work as they should.
fn cut_off(element: &Element) -> Option<f64> {
    match element {
        Element::Still(Parameters::ConstantPower(law), scale) if *scale > 0.0 => Some(law.v_cut_v),
        Element::Still(Parameters::ConstantCurrent(law), scale) if *scale > 0.0 => {
            Some(law.v_cut_v)
        }
        _ => None,
    }
}
