//! What may be wrong, and how it is put into a boat.

use super::boat::Boat;
use ampkeel::circuit::{Condition, ContactPosition, Device, Given, PartId, TerminalId};
use ampkeel::devices::Model;
use ampkeel::quantities::{Band, Volts};
use ampkeel::span::Span;
use ampkeel::tracing::Cause;

/// A change to a boat.
#[derive(Clone, Debug)]
pub(super) enum Harm {
    /// A wire touches ground at a share of its length.
    Leak { wire: usize, along: f64, ohm: f64 },
    /// Ohms between two terminals; inside a part where one is named.
    Across {
        ends: (TerminalId, TerminalId),
        ohm: f64,
        of: Option<PartId>,
    },
    /// A wire's joint.
    Joint { wire: usize, ohm: f64 },
    /// A wire is cut.
    Cut { wire: usize },
    /// A bolted joint.
    Bolt { join: usize, ohm: f64 },
    /// Ohms inside a part at one of its terminals; open from a megohm.
    Inside { part: PartId, at: usize, ohm: f64 },
    /// Ohms of a relay's contact; a winding fed past it stays as it is.
    Contacts { relay: PartId, ohm: f64 },
    /// Every ring on a stud is loose.
    Loose { stud: TerminalId, ohm: f64 },
    /// A part in a condition, in every state.
    Condition { part: PartId, what: Condition },
    /// Friction of a motor over its own.
    Drag { part: PartId, times: f64 },
    /// A relay whose coil is shorted: it draws and does not pull.
    CoilShort { relay: PartId, ohm: f64 },
    /// A channel that stays as it is: on or off.
    Channel {
        driver: PartId,
        channel: usize,
        on: bool,
    },
    /// A battery's volts below a full one's, and its ohms over a good one's.
    Battery {
        part: PartId,
        lost_v: f64,
        times: f64,
    },
    /// The battery the wrong way round.
    Reversed,
    /// A fuse that holds less; the ohms its clips have.
    Weak { fuse: usize, share: f64, ohm: f64 },
    /// A fuse that is open.
    Burnt { fuse: usize },
    /// A load behind a fuse, drawing a multiple of its rating or amperes.
    Added { fuse: usize, amps: f64 },
}

/// Where a person would find it.
#[derive(Clone, Debug, Default)]
pub(super) struct Seat {
    pub wire: Option<usize>,
    pub part: Option<PartId>,
    pub fuse: Option<usize>,
    pub terminal: Option<TerminalId>,
    /// The fault is inside `part`, so that a new one cures it.
    pub inside: bool,
}

/// A fault with its place.
#[derive(Clone, Debug)]
pub(super) struct Hidden {
    pub cause: Cause,
    /// As the answer names it: a part, a fuse, `FROM to TO`.
    pub subject: String,
    pub seat: Seat,
    pub harm: Harm,
}

/// Ohms from which a way counts as open.
const OPEN_OHM: f64 = 1e6;

impl Hidden {
    /// Puts it into a boat.
    pub(super) fn in_boat(&self, boat: &Boat) -> Boat {
        let mut boat = boat.clone();
        boat.harm(&self.harm);
        boat
    }
}

impl Boat {
    fn harm(&mut self, harm: &Harm) {
        match *harm {
            Harm::Leak { wire, along, ohm } => {
                let ground = self.metal_near(wire);
                let middle = self.split(wire, along);
                self.resistor(middle, ground, ohm);
            }
            Harm::Across { ends, ohm, of } => {
                let own = self.resistor(ends.0, ends.1, ohm);
                if let Some(of) = of {
                    self.of.push((own, of));
                }
            }
            Harm::Joint { wire, ohm } => self.worsen(wire, ohm),
            Harm::Cut { wire } => self.worsen(wire, OPEN_OHM),
            Harm::Bolt { join, ohm } => {
                let join = self.circuit.joins.remove(join);
                if ohm < OPEN_OHM {
                    self.ohms(join.part, join.to, ohm);
                }
            }
            Harm::Inside { part, at, ohm } => {
                self.inside(part, at, (ohm < OPEN_OHM).then_some(ohm));
            }
            Harm::Contacts { relay, ohm } => {
                if let Model::Relay(model) = &mut self.resolved.parts[relay.0] {
                    model.contact = Band::exactly(ampkeel::quantities::Ohms::new(ohm));
                }
            }
            Harm::Loose { stud, ohm } => {
                for wire in 0..self.circuit.wires.len() {
                    let ends = &self.circuit.wires[wire];
                    if ends.from == stud || ends.to == stud {
                        self.worsen(wire, ohm);
                    }
                }
            }
            Harm::Condition { part, what } => {
                for state in &mut self.circuit.states {
                    state
                        .conditions
                        .insert(part, Given::new(what, Span::default()));
                }
            }
            Harm::Drag { part, times } => {
                if let Model::Motor(motor) = &mut self.resolved.parts[part.0] {
                    let torque = &mut motor.parameters;
                    for band in [&mut torque.tc, &mut torque.load_torque] {
                        band.typical *= times;
                    }
                }
            }
            Harm::CoilShort { relay, ohm } => {
                let t = self.circuit.parts[relay.0].terminals.clone();
                if ohm < 4.0 {
                    self.inside(relay, 1, None);
                }
                let own = self.resistor(t[1], t[0], ohm);
                self.of.push((own, relay));
            }
            Harm::Channel {
                driver,
                channel,
                on,
            } => self.channel(driver, channel, on),
            Harm::Battery {
                part,
                lost_v,
                times,
            } => {
                if let Model::Battery(battery) = &mut self.resolved.parts[part.0] {
                    let volts = battery.open_volts.typical.si() - lost_v;
                    battery.open_volts = Band::exactly(Volts::new(volts));
                    battery.fast = battery.fast.scaled(times);
                    battery.slow = battery.slow.scaled(times);
                }
            }
            Harm::Reversed => self.reverse(),
            Harm::Weak { fuse, share, ohm } => {
                self.fuses[fuse].weaken(share);
                let id = self.fuse_ids()[fuse];
                if ohm > 0.0 {
                    self.inside(id.part, self.far_of(id), Some(ohm));
                }
            }
            Harm::Burnt { fuse } => self.open_fuse(fuse),
            Harm::Added { fuse, amps } => {
                let id = self.fuse_ids()[fuse];
                let far = ampkeel::circuit::zones::fuse_terminals(&self.circuit, id).1;
                let ground = self.any_metal();
                self.resistor(far, ground, 12.3 / amps);
            }
        }
    }

    /// Ohms in a wire; from a megohm it is cut.
    fn worsen(&mut self, wire: usize, ohm: f64) {
        if ohm >= OPEN_OHM {
            let end = self.node();
            self.circuit.wires[wire].to = end;
            return;
        }
        let joints = &mut self.resolved.wires[wire].joints;
        let total = joints.typical.si() + ohm;
        *joints = Band::exactly(ampkeel::quantities::Ohms::new(total));
    }

    fn channel(&mut self, driver: PartId, channel: usize, on: bool) {
        for state in &mut self.circuit.states {
            if let Some(ContactPosition::Channels { closed }) = state.contacts.get_mut(&driver) {
                closed.retain(|one| *one != channel);
                if on {
                    closed.push(channel);
                    closed.sort_unstable();
                }
            }
        }
    }

    /// Batteries backwards; rectifiers then conduct from ground to plus.
    fn reverse(&mut self) {
        let mut rectifiers = Vec::new();
        for at in 0..self.circuit.parts.len() {
            match &mut self.resolved.parts[at] {
                Model::Battery(battery) => {
                    let volts = -battery.open_volts.typical.si();
                    battery.open_volts = Band::exactly(Volts::new(volts));
                }
                Model::Charger(_) => rectifiers.push(at),
                _ => {}
            }
        }
        for at in rectifiers {
            let t = self.circuit.parts[at].terminals.clone();
            self.rectifier(t[1], t[0]);
        }
    }

    /// Two diodes in a row.
    fn rectifier(&mut self, from: TerminalId, to: TerminalId) {
        let part = self.resistor(from, to, 1.0);
        self.circuit.parts[part.0].device = Device::Diode(ampkeel::circuit::Diode::default());
        self.resolved.parts[part.0] = Model::Diode(ampkeel::devices::DiodeModel {
            drop: Band::exactly(Volts::new(1.6)),
        });
    }

    /// Grounded metal that a wire may touch: the grounded stud in the same
    /// place with most wires on it, else any.
    fn metal_near(&self, wire: usize) -> TerminalId {
        let place = self.circuit.wires[wire].place;
        let here = self.grounded_studs().into_iter().filter(|stud| {
            let part = self.circuit.terminals[stud.0].part;
            self.circuit.parts[part.0].place == place
        });
        here.max_by_key(|stud| (self.wires_on(*stud), stud.0))
            .unwrap_or_else(|| self.any_metal())
    }

    fn any_metal(&self) -> TerminalId {
        let studs = self.grounded_studs();
        let most = studs
            .into_iter()
            .max_by_key(|stud| (self.wires_on(*stud), stud.0));
        most.unwrap_or_else(|| {
            let battery = self
                .circuit
                .parts
                .iter()
                .find(|part| matches!(part.device, Device::Battery(_)));
            battery.map_or(TerminalId(0), |part| part.terminals[1])
        })
    }

    fn wires_on(&self, stud: TerminalId) -> usize {
        let on = |wire: &&ampkeel::circuit::Wire| wire.from == stud || wire.to == stud;
        self.circuit.wires.iter().filter(on).count()
    }

    fn grounded_studs(&self) -> Vec<TerminalId> {
        let grounded = super::places::grounded(&self.circuit);
        let is_stud = |end: &TerminalId| {
            let part = self.circuit.terminals[end.0].part;
            end.0 < self.terminals && matches!(self.circuit.parts[part.0].device, Device::Stud)
        };
        grounded.into_iter().filter(is_stud).collect()
    }
}
