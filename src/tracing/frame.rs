//! The circuit with a place for every fault: one plan for all of them.
//!
//! Every wire has a joint in its middle that may leak to ground; across every
//! load, coil, diode and charger lies a branch that may short it; a lamp and a
//! meter may take the place of every fuse; terminals that lie side by side may
//! be bridged. All of these are open until a fault or a test closes them, so
//! faults, states and tests are values only and eight of them are solved side
//! by side.
//!
//! # Limits
//! Wires have the temperature of the air. Electronics, fuses and outputs of
//! modules are plain ohms. Figures are the typical ones.

use super::contacts::Moving;
use super::grounds::{ground, grounded};
use super::plain::plain_law;
use crate::circuit::zones::{FuseId, fuse_terminals, fuses};
use crate::circuit::{Circuit, Device, LoadLaw, PartId, State, TerminalId};
use crate::devices::{Model, Resolved, resolve};
use crate::network::{Branch, Conductor, HeatedConductor, Lamp, Law, Parameters, Plan, Supply};
use crate::solving::{Net, Role, Setting, SolveError, plain_settings};
use std::collections::{BTreeMap, BTreeSet};

/// What lies between two terminals beyond the circuit itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Extra {
    /// Second half of a wire.
    Half(usize),
    /// From the middle of a wire to ground.
    Leak(usize),
    /// Across a branch of the circuit.
    Shunt(usize),
    /// From the load side of a fuse to ground, for a load somebody added.
    Added(usize),
    /// A lamp in the holder of a fuse.
    Lamp(usize),
    /// An ohmmeter from a terminal to ground: the load side of a fuse, a load's
    /// feed or a relay's contact, which at rest hides what lies behind it.
    Meter(TerminalId),
    /// Between two terminals side by side.
    Bridge(usize),
}

/// The frame of a circuit.
#[derive(Debug)]
pub(super) struct Frame<'a> {
    /// The circuit.
    pub circuit: &'a Circuit,
    /// Its figures.
    pub resolved: Resolved,
    /// Its own branches, wires cut in half.
    pub net: Net,
    /// Plan of all branches.
    pub plan: Plan,
    /// Ends of every branch, the circuit's own first.
    pub branches: Vec<Branch>,
    /// Every fuse and breaker.
    pub fuses: Vec<FuseId>,
    /// Branch of each fuse.
    pub links: Vec<usize>,
    /// Pairs of terminals that may be bridged.
    pub pairs: Vec<(TerminalId, TerminalId)>,
    /// Terminals that wires and bolts alone tie to a minus post.
    pub grounded: BTreeSet<TerminalId>,
    /// Feeds of the engine control unit that the drivers' outputs need, with the
    /// volts each gives up at; none where there is no driver.
    pub module: Vec<(PartId, f64)>,
    /// Node that a chafed wire touches.
    pub ground: usize,
    /// What changes what conducts.
    pub moving: Moving,
    /// Branches of each part's windings and coils.
    pub fed: BTreeMap<PartId, Vec<usize>>,
    extras: BTreeMap<(u8, usize), usize>,
}

fn fed(net: &Net) -> BTreeMap<PartId, Vec<usize>> {
    let mut all: BTreeMap<PartId, Vec<usize>> = BTreeMap::new();
    for (at, role) in net.roles.iter().enumerate() {
        if let Role::Load { part, .. } | Role::Coil(part) = *role {
            all.entry(part).or_default().push(at);
        }
    }
    all
}

/// The lamp that is put into a holder: 55 W at 12 V (common practice).
pub(super) const LAMP: Lamp = Lamp {
    v_nominal_v: 12.0,
    i_nominal_a: 55.0 / 12.0,
};

/// What an ohmmeter drives.
pub(super) const METER: Supply = Supply {
    emf_v: 0.4,
    r_ohm: 100.0,
    r_charge_ohm: 100.0,
};

const fn key(extra: Extra) -> (u8, usize) {
    match extra {
        Extra::Half(at) => (0, at),
        Extra::Leak(at) => (1, at),
        Extra::Shunt(at) => (2, at),
        Extra::Added(at) => (3, at),
        Extra::Lamp(at) => (4, at),
        Extra::Meter(at) => (5, at.0),
        Extra::Bridge(at) => (6, at),
    }
}

impl<'a> Frame<'a> {
    /// Lays out every branch that any fault or test may need.
    pub(super) fn new(circuit: &'a Circuit) -> Result<Self, SolveError> {
        let resolved = resolve(circuit)?;
        let net = Net::of(circuit, &resolved);
        let grounded = grounded(circuit);
        let ground = ground(circuit, &grounded).unwrap_or(net.reference);
        let fuses = fuses(circuit);
        let pairs = pairs(circuit);
        let mut frame = Self {
            circuit,
            branches: net.branches.clone(),
            links: fuses.iter().map(|fuse| link_of(&net, *fuse)).collect(),
            plan: Plan::new(net.nodes, net.reference, &net.branches)?,
            fuses,
            pairs,
            module: module(circuit, &resolved),
            grounded,
            ground,
            moving: Moving::of(&net, &resolved),
            fed: fed(&net),
            extras: BTreeMap::new(),
            resolved,
            net,
        };
        frame.lay_out();
        let nodes = frame.net.nodes + circuit.wires.len();
        frame.plan = Plan::new(nodes, frame.net.reference, &frame.branches)?;
        Ok(frame)
    }

    fn lay_out(&mut self) {
        for own in 0..self.net.branches.len() {
            let Branch { from, to, law } = self.net.branches[own];
            self.branches[own].law = plain_law(law, self.net.roles[own]);
            if let Role::Wire(wire) = self.net.roles[own] {
                let middle = self.middle(wire);
                self.branches[own].to = middle;
                self.add(Extra::Half(wire), Law::Conductor, middle, to);
                self.add(Extra::Leak(wire), Law::Conductor, middle, self.ground);
            } else if self.may_short(own) {
                self.add(Extra::Shunt(own), Law::Conductor, from, to);
            }
        }
        for at in 0..self.fuses.len() {
            let (from, to) = fuse_terminals(self.circuit, self.fuses[at]);
            self.add(Extra::Lamp(at), Law::Lamp, from.0, to.0);
            self.add(Extra::Added(at), Law::Conductor, to.0, self.ground);
            self.meter(to);
        }
        for part in &self.circuit.parts {
            let met = match part.device {
                Device::Relay(_) => &part.terminals[2..],
                Device::Pump(_) | Device::Motor(_) | Device::Solenoid(_) | Device::Load(_) => {
                    &part.terminals[..part.terminals.len() - 1]
                }
                _ => &[],
            };
            for terminal in met {
                self.meter(*terminal);
            }
        }
        for at in 0..self.pairs.len() {
            let (from, to) = self.pairs[at];
            self.add(Extra::Bridge(at), Law::Conductor, from.0, to.0);
        }
    }

    fn meter(&mut self, at: TerminalId) {
        if self.extra(Extra::Meter(at)).is_none() && !self.grounded.contains(&at) {
            self.add(Extra::Meter(at), Law::Supply, at.0, self.net.reference);
        }
    }

    fn add(&mut self, extra: Extra, law: Law, from: usize, to: usize) {
        if from == to {
            return;
        }
        self.extras.insert(key(extra), self.branches.len());
        self.branches.push(Branch { law, from, to });
    }

    /// Node in the middle of a wire.
    pub(super) fn middle(&self, wire: usize) -> usize {
        self.net.nodes + wire
    }

    /// Branch of an addition, where it is laid out.
    pub(super) fn extra(&self, extra: Extra) -> Option<usize> {
        self.extras.get(&key(extra)).copied()
    }

    fn may_short(&self, own: usize) -> bool {
        matches!(
            self.net.roles[own],
            Role::Load { .. }
                | Role::Coil(_)
                | Role::Diode(_)
                | Role::Charger(_)
                | Role::Make(_)
                | Role::Switch(..)
        )
    }

    /// Own branches of a part, in order.
    pub(super) fn of_part(&self, part: PartId) -> impl Iterator<Item = usize> + '_ {
        (0..self.net.roles.len()).filter(move |own| part_of(self.net.roles[*own]) == Some(part))
    }

    /// Settings of every branch of the sound circuit, relays as given.
    pub(super) fn settings(&self, state: &State, pulled_in: &BTreeSet<PartId>) -> Vec<Setting> {
        // What a what-if state supposes is for the suspects to say.
        let state = State {
            conditions: BTreeMap::new(),
            ..state.clone()
        };
        let own = plain_settings(self.circuit, &self.resolved, &self.net, &state, pulled_in);
        let mut all: Vec<Setting> = self
            .branches
            .iter()
            .map(|branch| absent(branch.law))
            .collect();
        for (at, setting) in own.into_iter().enumerate() {
            let Role::Wire(wire) = self.net.roles[at] else {
                all[at] = setting;
                continue;
            };
            let half = half_of(setting);
            all[at] = half;
            if let Some(other) = self.extra(Extra::Half(wire)) {
                all[other] = half;
            }
        }
        all
    }

    /// A wire's half: share of its copper, and ohms added to its end.
    pub(super) fn half(&self, wire: usize, share: f64, added_ohm: f64) -> Setting {
        let model = &self.resolved.wires[wire];
        whole(HeatedConductor {
            r_joint_ohm: model.joints.typical.si() / 2.0 + added_ohm,
            r_ambient_ohm: (model.copper_ohm() * share).max(1e-7),
            kappa_per_a2: 0.0,
            extra_a2: 0.0,
        })
    }

    /// Both halves of a wire: the one at `from`, the one at `to`.
    pub(super) fn halves(&self, wire: usize) -> [Option<usize>; 2] {
        let own = self
            .net
            .roles
            .iter()
            .position(|role| *role == Role::Wire(wire));
        [own, self.extra(Extra::Half(wire))]
    }
}

/// A branch that is not there.
pub(super) fn absent(law: Law) -> Setting {
    Setting {
        parameters: Parameters::placeholder(law),
        scale: 0.0,
    }
}

/// A branch that is wholly there.
pub(super) fn whole(parameters: impl Into<Parameters>) -> Setting {
    Setting {
        parameters: parameters.into(),
        scale: 1.0,
    }
}

/// Ohms between two ends; infinite for an open way.
pub(super) fn ohms(resistance_ohm: f64) -> Setting {
    whole(Conductor {
        conductance_s: 1.0 / resistance_ohm,
    })
}

fn half_of(setting: Setting) -> Setting {
    let Parameters::HeatedConductor(law) = setting.parameters else {
        return setting;
    };
    Setting {
        parameters: HeatedConductor {
            r_joint_ohm: law.r_joint_ohm / 2.0,
            r_ambient_ohm: law.r_ambient_ohm / 2.0,
            kappa_per_a2: 0.0,
            extra_a2: 0.0,
        }
        .into(),
        scale: setting.scale,
    }
}

/// The part a branch belongs to.
pub(super) fn part_of(role: Role) -> Option<PartId> {
    match role {
        Role::Supply(part)
        | Role::Charger(part)
        | Role::Switch(part, ..)
        | Role::Make(part)
        | Role::Break(part)
        | Role::Coil(part)
        | Role::CoilDiode(part)
        | Role::PullWinding(part)
        | Role::Channel { part, .. }
        | Role::Load { part, .. }
        | Role::Diode(part)
        | Role::Pin(part) => Some(part),
        Role::Link(fuse) => Some(fuse.part),
        Role::Wire(_) | Role::Join => None,
    }
}

fn link_of(net: &Net, fuse: FuseId) -> usize {
    let found = net.roles.iter().position(|role| *role == Role::Link(fuse));
    found.unwrap_or(0)
}

/// Every feed of an engine control unit of a circuit with drivers.
fn module(circuit: &Circuit, resolved: &Resolved) -> Vec<(PartId, f64)> {
    let drives = |part: &crate::circuit::Part| matches!(part.device, Device::Driver(_));
    if !circuit.parts.iter().any(drives) {
        return Vec::new();
    }
    let units = circuit.part_ids().filter_map(|part| {
        let Device::Load(spec) = &circuit.part(part).device else {
            return None;
        };
        let LoadLaw::Class(class) = &spec.law.value else {
            return None;
        };
        let Model::Load(load) = resolved.part(part) else {
            return None;
        };
        let cut_v = match load.branch() {
            Parameters::ConstantPower(law) => law.v_cut_v,
            Parameters::ConstantCurrent(law) => law.v_cut_v,
            _ => 6.0,
        };
        (class == "engine control unit").then_some((part, cut_v))
    });
    units.collect()
}

/// Terminals side by side: neighbouring pins of a plug, terminals of a switch.
fn pairs(circuit: &Circuit) -> Vec<(TerminalId, TerminalId)> {
    let mut pairs = Vec::new();
    for part in &circuit.parts {
        let t = &part.terminals;
        match &part.device {
            Device::Plug(plug) => {
                for pin in 1..plug.pins.len() {
                    pairs.push((t[2 * pin - 2], t[2 * pin]));
                }
            }
            Device::Switch(_) if t.len() > 2 => {
                for (at, from) in t.iter().enumerate() {
                    pairs.extend(t[at + 1..].iter().map(|to| (*from, *to)));
                }
            }
            _ => {}
        }
    }
    pairs
}
