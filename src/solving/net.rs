//! From parts and wires to branches between nodes, once a circuit.
//!
//! A node is a terminal. Every branch that any state could need is in the plan;
//! states, relay positions and conditions are values only.

use crate::circuit::zones::{FuseId, fuse_terminals, fuses};
use crate::circuit::{Circuit, Device, PartId, SwitchKind, TerminalId};
use crate::devices::{LoadShape, Model, Resolved};
use crate::network::{Branch, Law};

/// What a branch of the network is in the boat.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Role {
    /// A battery, plus to minus.
    Supply(PartId),
    /// A charger, plus to minus.
    Charger(PartId),
    /// A fuse or breaker.
    Link(FuseId),
    /// A switch's contact: the simple one, or one pair of a selector's terminals.
    Switch(PartId, usize, usize),
    /// Contact 30-87 of a relay.
    Make(PartId),
    /// Contact 30-87a of a relay.
    Break(PartId),
    /// Coil of a relay, 86 to 85.
    Coil(PartId),
    /// Diode across a coil, 85 to 86.
    CoilDiode(PartId),
    /// Second winding of a shift solenoid, 86 to 87.
    PullWinding(PartId),
    /// A driver's channel, either way round.
    Channel {
        /// The driver.
        part: PartId,
        /// Channel's index.
        channel: usize,
    },
    /// A load; the second field of a two-field motor has `field` 1.
    Load {
        /// The part.
        part: PartId,
        /// 0 but for a second field.
        field: usize,
    },
    /// A diode.
    Diode(PartId),
    /// A pin of a plug.
    Pin(PartId),
    /// A wire.
    Wire(usize),
    /// A bolted joint.
    Join,
}

/// The branches of a circuit with their roles.
#[derive(Debug, Clone)]
pub(crate) struct Net {
    /// Topology, one entry a role.
    pub branches: Vec<Branch>,
    /// What each branch is.
    pub roles: Vec<Role>,
    /// Count of nodes: one a terminal.
    pub nodes: usize,
    /// Node counted as zero volts: minus of the first battery.
    pub reference: usize,
}

impl Net {
    /// Builds all branches in the circuit's own order.
    pub(crate) fn of(circuit: &Circuit, resolved: &Resolved) -> Self {
        let mut net = Self {
            branches: Vec::new(),
            roles: Vec::new(),
            nodes: circuit.terminals.len(),
            reference: 0,
        };
        for id in circuit.part_ids() {
            net.part(circuit, resolved, id);
        }
        for id in fuses(circuit) {
            let (from, to) = fuse_terminals(circuit, id);
            net.add(Role::Link(id), Law::HeatedLink, from, to);
        }
        for (index, wire) in circuit.wires.iter().enumerate() {
            net.add(Role::Wire(index), Law::HeatedConductor, wire.from, wire.to);
        }
        for join in &circuit.joins {
            net.add(Role::Join, Law::Conductor, join.part, join.to);
        }
        net.reference = circuit.minus_post().map_or(0, |post| post.0);
        net
    }

    fn add(&mut self, role: Role, law: Law, from: TerminalId, to: TerminalId) {
        self.branches.push(Branch {
            law,
            from: from.0,
            to: to.0,
        });
        self.roles.push(role);
    }

    fn part(&mut self, circuit: &Circuit, resolved: &Resolved, id: PartId) {
        let part = circuit.part(id);
        let t = &part.terminals;
        match (&part.device, resolved.part(id)) {
            (Device::Battery(_), _) => self.add(Role::Supply(id), Law::Supply, t[0], t[1]),
            (Device::Charger(_), _) => self.add(Role::Charger(id), Law::Charger, t[0], t[1]),
            (Device::Switch(switch), _) => self.switch(id, &switch.kind, t),
            (Device::Relay(_), Model::Relay(relay)) => {
                self.add(Role::Coil(id), Law::Conductor, t[1], t[0]);
                if relay.diode {
                    self.add(Role::CoilDiode(id), Law::Diode, t[0], t[1]);
                }
                if relay.pull_winding.is_some() {
                    self.add(Role::PullWinding(id), Law::Conductor, t[1], t[3]);
                }
                self.add(Role::Make(id), Law::Conductor, t[2], t[3]);
                self.add(Role::Break(id), Law::Conductor, t[2], t[4]);
            }
            (Device::Driver(driver), _) => self.driver(id, driver.channels.len(), t),
            (Device::Diode(_), _) => self.add(Role::Diode(id), Law::Diode, t[0], t[1]),
            (Device::Plug(plug), _) => {
                for pin in 0..plug.pins.len() {
                    self.add(Role::Pin(id), Law::Conductor, t[2 * pin], t[2 * pin + 1]);
                }
            }
            (_, model) => self.load(id, model, t),
        }
    }

    fn switch(&mut self, id: PartId, kind: &SwitchKind, t: &[TerminalId]) {
        match kind {
            SwitchKind::Simple { .. } => {
                self.add(Role::Switch(id, 0, 1), Law::Conductor, t[0], t[1]);
            }
            SwitchKind::Selector { positions } => {
                let mut pairs: Vec<(usize, usize)> = positions
                    .iter()
                    .flat_map(|(_, pairs)| pairs.iter().map(|&(a, b)| (a.min(b), a.max(b))))
                    .collect();
                pairs.sort_unstable();
                pairs.dedup();
                for (a, b) in pairs {
                    self.add(Role::Switch(id, a, b), Law::Conductor, t[a], t[b]);
                }
            }
        }
    }

    /// A channel drops the same volts either way, so it is a pair of diodes.
    fn driver(&mut self, id: PartId, channels: usize, t: &[TerminalId]) {
        for channel in 0..channels {
            let role = Role::Channel { part: id, channel };
            self.add(role, Law::Diode, t[channel], t[channels]);
            self.add(role, Law::Diode, t[channels], t[channel]);
        }
    }

    fn load(&mut self, id: PartId, model: &Model, t: &[TerminalId]) {
        let law = match model {
            Model::Motor(_) => Law::Motor,
            Model::PulsePump(_) => Law::Conductor,
            Model::Solenoid(solenoid) => {
                if solenoid.held.is_some() {
                    Law::ConstantCurrent
                } else {
                    Law::Conductor
                }
            }
            Model::Load(load) => match load.shape {
                LoadShape::Power(_) => Law::ConstantPower,
                LoadShape::Current(_) => Law::ConstantCurrent,
                LoadShape::Resistance(_) => Law::Conductor,
                LoadShape::Lamp { .. } => Law::Lamp,
            },
            _ => return,
        };
        // Two terminals: plus, minus. Three: up, down, common.
        let common = t.len() - 1;
        for field in 0..common {
            self.add(Role::Load { part: id, field }, law, t[field], t[common]);
        }
    }
}
