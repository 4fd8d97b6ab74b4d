//! Every place where a fault may sit, by cause; degrees are drawn here.

use super::dice::Dice;
use super::harm::{Harm, Hidden, Seat};
use ampkeel::circuit::zones::{fuse_name, fuse_terminals, fuses};
use ampkeel::circuit::{Circuit, Condition, Device, PartId, Suppression, SwitchKind, TerminalId};
use ampkeel::devices::{LoadShape, Model, Resolved, resolve};
use ampkeel::tracing::Cause;
use std::collections::BTreeSet;

/// Area from which a cable feeds a starter, mm2.
const HEAVY_MM2: f64 = 8.0;
/// Ohms of an open way.
const OPEN: f64 = 1e7;

/// A degree as a range, drawn evenly on a logarithmic scale, with its weight.
type Degrees = &'static [(f64, f64, f64)];

const SHORTS: Degrees = &[(0.005, 0.06, 0.65), (0.06, 3.0, 0.35)];
const JOINTS: Degrees = &[
    (0.04, 0.4, 0.35),
    (0.4, 5.0, 0.35),
    (5.0, 300.0, 0.2),
    (OPEN, OPEN, 0.1),
];
const HEAVY: Degrees = &[
    (0.004, 0.04, 0.35),
    (0.04, 0.5, 0.35),
    (0.5, 30.0, 0.2),
    (OPEN, OPEN, 0.1),
];
const CONTACTS: Degrees = &[(0.2, 2.0, 0.3), (2.0, 50.0, 0.25), (OPEN, OPEN, 0.45)];
const WATER: Degrees = &[(0.5, 5.0, 0.4), (5.0, 200.0, 0.6)];
const INSIDE: Degrees = &[(0.015, 0.2, 0.65), (0.2, 1.5, 0.35)];
const SOLID: Degrees = &[(0.01, 0.05, 1.0)];
const CUT: Degrees = &[(OPEN, OPEN, 1.0)];
const BRUSHES: Degrees = &[(0.3, 1.5, 1.0)];
const BAD_FUSE: Degrees = &[(0.3, 4.0, 1.0)];
const HOLDERS: Degrees = &[(0.05, 0.5, 0.35), (0.5, 8.0, 0.35), (OPEN, OPEN, 0.3)];
const LEAKING: Degrees = &[(0.05, 1.5, 0.8), (20.0, 120.0, 0.2)];
const COILS: Degrees = &[(0.1, 8.0, 1.0)];
const STUDS: Degrees = &[(0.5, 20.0, 0.7), (OPEN, OPEN, 0.3)];
const CHANNEL: Degrees = &[(1.0, 1.0, 1.0)];
const DEAD: Degrees = &[(0.1, 50.0, 1.0)];

/// What sort of harm a place takes; its degree is drawn.
#[derive(Clone, Debug)]
enum Sort {
    Leak(usize, f64),
    LeakAnywhere(usize),
    Across((TerminalId, TerminalId), Option<PartId>),
    Joint(usize),
    Cut(usize),
    Bolt(usize),
    Inside(PartId, usize),
    Contacts(PartId),
    Loose(TerminalId),
    Condition(PartId, Condition),
    Drag(PartId),
    CoilShort(PartId),
    Channel(PartId, usize, bool),
    Battery(PartId),
    Reversed,
    Rating(usize),
    Tired(usize),
    Hot(usize),
    Burnt(usize),
    Overload(usize),
    Draining(usize),
}

/// A place with its cause and weight.
#[derive(Clone, Debug)]
pub(super) struct Place {
    pub cause: Cause,
    pub subject: String,
    pub weight: f64,
    seat: Seat,
    sort: Sort,
    degrees: Degrees,
}

/// Every place of a circuit, for a complaint about a fuse or not.
pub(super) struct Places<'c> {
    circuit: &'c Circuit,
    resolved: Resolved,
    grounded: BTreeSet<TerminalId>,
    opens: bool,
    all: Vec<Place>,
}

impl Place {
    fn hidden(&self, ohm: f64, other: f64, rating_a: &[f64]) -> Hidden {
        let harm = match self.sort {
            Sort::Leak(wire, along) => Harm::Leak { wire, along, ohm },
            Sort::LeakAnywhere(wire) => Harm::Leak {
                wire,
                along: 0.02 + 0.96 * other,
                ohm,
            },
            Sort::Across(ends, of) => Harm::Across { ends, ohm, of },
            Sort::Joint(wire) => Harm::Joint { wire, ohm },
            Sort::Cut(wire) => Harm::Cut { wire },
            Sort::Bolt(join) => Harm::Bolt { join, ohm },
            Sort::Inside(part, at) => Harm::Inside { part, at, ohm },
            Sort::Contacts(relay) => Harm::Contacts { relay, ohm },
            Sort::Loose(stud) => Harm::Loose { stud, ohm },
            Sort::Condition(part, what) => Harm::Condition { part, what },
            Sort::Drag(part) => Harm::Drag {
                part,
                times: 2.0 + 5.0 * other,
            },
            Sort::CoilShort(relay) => Harm::CoilShort { relay, ohm },
            Sort::Channel(driver, channel, on) => Harm::Channel {
                driver,
                channel,
                on,
            },
            Sort::Battery(part) => match (4.0 * other) as u8 {
                0 => Harm::Battery {
                    part,
                    lost_v: 0.7 + other,
                    times: 1.4,
                },
                1 => Harm::Battery {
                    part,
                    lost_v: 2.1,
                    times: 2.5,
                },
                2 => Harm::Battery {
                    part,
                    lost_v: 0.2,
                    times: 4.0 + 10.0 * other,
                },
                _ => Harm::Battery {
                    part,
                    lost_v: 3.0 + other,
                    times: 4.0,
                },
            },
            Sort::Reversed => Harm::Reversed,
            Sort::Rating(fuse) => Harm::Weak {
                fuse,
                share: 0.4 + 0.27 * other,
                ohm: 0.0,
            },
            Sort::Tired(fuse) => Harm::Weak {
                fuse,
                share: 0.4 + 0.4 * other,
                ohm: 0.0,
            },
            Sort::Hot(fuse) => Harm::Weak {
                fuse,
                share: 0.55 + 0.3 * other,
                ohm,
            },
            Sort::Burnt(fuse) => Harm::Burnt { fuse },
            Sort::Overload(fuse) => Harm::Added {
                fuse,
                amps: rating_a[fuse] * (0.3 + 2.3 * other),
            },
            Sort::Draining(fuse) => Harm::Added {
                fuse,
                amps: 0.05 * (12.0_f64).powf(other),
            },
        };
        Hidden {
            cause: self.cause,
            subject: self.subject.clone(),
            seat: self.seat.clone(),
            harm,
        }
    }

    /// One fault at this place.
    pub(super) fn draw(&self, rating_a: &[f64], dice: &mut Dice) -> Hidden {
        let weights: Vec<f64> = self.degrees.iter().map(|degree| degree.2).collect();
        let (low, high, _) = self.degrees[dice.weighted(&weights)];
        let (ohm, other) = (dice.log_between(low, high), dice.share());
        self.hidden(ohm, other, rating_a)
    }

    /// A handful that stands for all its degrees: those every place of the like
    /// shares, so that like is held against like.
    pub(super) fn samples(&self, rating_a: &[f64]) -> Vec<Hidden> {
        const GRID: [f64; 9] = [0.02, 0.1, 0.3, 1.0, 3.0, 30.0, 100.0, 1000.0, OPEN];
        let within = |ohm: &&f64| {
            let inside = |(low, high, _): &(f64, f64, f64)| *low <= **ohm && **ohm <= *high;
            self.degrees.iter().any(inside)
        };
        let mut ohms: Vec<f64> = GRID.iter().filter(within).copied().collect();
        if ohms.is_empty() {
            ohms.push(self.degrees[0].0);
        }
        if let Sort::LeakAnywhere(_) = self.sort {
            ohms.retain(|ohm| (*ohm - 0.02).abs() < 1e-9 || (*ohm - 1.0).abs() < 1e-9);
        }
        let others: &[f64] = match self.sort {
            Sort::Battery(_) => &[0.1, 0.4, 0.6, 0.9],
            Sort::Drag(_)
            | Sort::Overload(_)
            | Sort::Draining(_)
            | Sort::Rating(_)
            | Sort::Tired(_)
            | Sort::Hot(_)
            | Sort::LeakAnywhere(_) => &[0.1, 0.5, 0.9],
            _ => &[0.5],
        };
        let mut all = Vec::new();
        for ohm in ohms {
            all.extend(
                others
                    .iter()
                    .map(|other| self.hidden(ohm, *other, rating_a)),
            );
        }
        all
    }
}

impl<'c> Places<'c> {
    /// Every place, laid out anew from the parts and wires.
    pub(super) fn of(circuit: &'c Circuit, opens: bool) -> Vec<Place> {
        let mut places = Self {
            circuit,
            resolved: resolve(circuit).expect("an example resolves"),
            grounded: grounded(circuit),
            opens,
            all: Vec::new(),
        };
        places.wires();
        places.joints();
        for part in circuit.part_ids() {
            places.part(part);
        }
        places.neighbours();
        places.fuses();
        places.all
    }

    fn add(&mut self, cause: Cause, weight: f64, seat: Seat, sort: Sort, degrees: Degrees) {
        let subject = self.subject(&seat);
        self.all.push(Place {
            cause,
            subject,
            weight,
            seat,
            sort,
            degrees,
        });
    }

    fn subject(&self, seat: &Seat) -> String {
        let circuit = self.circuit;
        if let Some(wire) = seat.wire {
            return circuit.wire_label(&circuit.wires[wire]);
        }
        if let Some(fuse) = seat.fuse {
            return fuse_name(circuit, fuses(circuit)[fuse]);
        }
        if let Some(part) = seat.part {
            return circuit.part(part).name.clone();
        }
        let Some(end) = seat.terminal else {
            return String::new();
        };
        let label = &circuit.terminal(end).label;
        let join = circuit.joins.iter().find(|join| join.part == end);
        join.map_or_else(
            || label.clone(),
            |join| format!("{label} to {}", circuit.terminal(join.to).label),
        )
    }

    fn is_grounded(&self, wire: usize) -> bool {
        let wire = &self.circuit.wires[wire];
        self.grounded.contains(&wire.from) && self.grounded.contains(&wire.to)
    }

    fn is_heavy(&self, wire: usize) -> bool {
        self.resolved.wires[wire].area_mm2 >= HEAVY_MM2
    }

    fn wires(&mut self) {
        for wire in 0..self.circuit.wires.len() {
            let metres = 0.3 + self.circuit.wires[wire].length.value.typical.si();
            let seat = Seat {
                wire: Some(wire),
                ..Seat::default()
            };
            if self.is_grounded(wire) {
                self.add(Cause::BadGround, 0.5, seat, Sort::Cut(wire), CUT);
                continue;
            }
            self.add(
                Cause::ShortToGround,
                metres,
                seat.clone(),
                Sort::LeakAnywhere(wire),
                SHORTS,
            );
            self.add(Cause::OpenWire, metres, seat.clone(), Sort::Cut(wire), CUT);
            self.add(Cause::Water, 0.4, seat, Sort::Leak(wire, 0.95), WATER);
        }
    }

    fn joints(&mut self) {
        for wire in 0..self.circuit.wires.len() {
            let (heavy, grounded) = (self.is_heavy(wire), self.is_grounded(wire));
            let cause = match (self.opens && heavy, grounded) {
                (true, _) => Cause::SneakPath,
                (_, true) => Cause::BadGround,
                _ => Cause::HighResistanceJoint,
            };
            for end in [self.circuit.wires[wire].from, self.circuit.wires[wire].to] {
                let seat = Seat {
                    wire: Some(wire),
                    terminal: Some(end),
                    ..Seat::default()
                };
                let degrees = if heavy { HEAVY } else { JOINTS };
                self.add(cause, 1.0, seat, Sort::Joint(wire), degrees);
            }
        }
        for (at, join) in self.circuit.joins.iter().enumerate() {
            let post = matches!(self.device(join.part), Device::Battery(_));
            let cause = match (self.opens && post, self.grounded.contains(&join.part)) {
                (true, _) => Cause::SneakPath,
                (_, true) => Cause::BadGround,
                _ => Cause::HighResistanceJoint,
            };
            let seat = Seat {
                terminal: Some(join.part),
                ..Seat::default()
            };
            let degrees = if post { HEAVY } else { JOINTS };
            self.add(cause, 1.0, seat, Sort::Bolt(at), degrees);
        }
    }

    fn device(&self, end: TerminalId) -> &'c Device {
        &self.circuit.part(self.circuit.terminal(end).part).device
    }

    fn inside(part: PartId) -> Seat {
        Seat {
            part: Some(part),
            inside: true,
            ..Seat::default()
        }
    }

    fn part(&mut self, part: PartId) {
        let t = self.circuit.part(part).terminals.clone();
        let inside = Self::inside(part);
        match &self.circuit.part(part).device {
            Device::Battery(_) => {
                self.add(
                    Cause::BatteryWeak,
                    1.0,
                    inside,
                    Sort::Battery(part),
                    CHANNEL,
                );
            }
            Device::Charger(_) => {
                let sort = Sort::Across((t[0], t[1]), Some(part));
                self.add(Cause::RectifierShort, 1.0, inside, sort, LEAKING);
            }
            Device::Relay(relay) => {
                let diode = relay
                    .suppression
                    .is_some_and(|given| given.value == Suppression::Diode);
                self.relay(part, &t, diode);
            }
            Device::Switch(switch) => self.switch(part, &t, &switch.kind),
            Device::Driver(driver) => {
                for channel in 0..driver.channels.len() {
                    for on in [true, false] {
                        let sort = Sort::Channel(part, channel, on);
                        self.add(Cause::Module, 0.5, inside.clone(), sort, CHANNEL);
                    }
                }
            }
            Device::Diode(_) => {
                let sort = Sort::Across((t[0], t[1]), Some(part));
                self.add(Cause::DiodeShort, 1.0, inside.clone(), sort, SOLID);
                self.add(Cause::OpenWire, 0.5, inside, Sort::Inside(part, 0), CUT);
            }
            Device::Plug(plug) => {
                let seat = Seat {
                    part: Some(part),
                    ..Seat::default()
                };
                for pin in 0..plug.pins.len() {
                    let sort = Sort::Inside(part, 2 * pin + 1);
                    self.add(
                        Cause::HighResistanceJoint,
                        1.0,
                        seat.clone(),
                        sort.clone(),
                        JOINTS,
                    );
                    self.add(Cause::Water, 0.5, seat.clone(), sort, JOINTS);
                }
            }
            Device::Stud => self.stud(part, t[0]),
            _ => self.load(part, &t),
        }
        self.touching(part, &t);
    }

    fn relay(&mut self, part: PartId, t: &[TerminalId], diode: bool) {
        let inside = Self::inside(part);
        let welded = Sort::Across((t[2], t[3]), Some(part));
        self.add(Cause::RelayStuck, 1.0, inside.clone(), welded, SOLID);
        self.add(
            Cause::RelayStuck,
            0.7,
            inside.clone(),
            Sort::Inside(part, 1),
            CUT,
        );
        self.add(
            Cause::RelayStuck,
            0.3,
            inside.clone(),
            Sort::Inside(part, 3),
            CUT,
        );
        self.add(
            Cause::RelayContactsBurnt,
            1.0,
            inside.clone(),
            Sort::Contacts(part),
            CONTACTS,
        );
        self.add(
            Cause::RelayCoilShort,
            1.0,
            inside.clone(),
            Sort::CoilShort(part),
            COILS,
        );
        if diode {
            let across = Sort::Across((t[0], t[1]), Some(part));
            self.add(Cause::DiodeShort, 1.0, inside, across, SOLID);
        }
    }

    fn switch(&mut self, part: PartId, t: &[TerminalId], kind: &SwitchKind) {
        let inside = Self::inside(part);
        let pairs: BTreeSet<(usize, usize)> = match kind {
            SwitchKind::Simple { .. } => BTreeSet::from([(0, 1)]),
            SwitchKind::Selector { positions } => positions
                .iter()
                .flat_map(|(_, pairs)| pairs.clone())
                .collect(),
        };
        for &(a, b) in &pairs {
            // The contact's own side, not the common one.
            let used = |end: usize| {
                pairs
                    .iter()
                    .filter(|pair| pair.0 == end || pair.1 == end)
                    .count()
            };
            let own = if used(a) < used(b) { a } else { b };
            let worn = Sort::Inside(part, own);
            self.add(Cause::SwitchFault, 1.0, inside.clone(), worn, CONTACTS);
            let closed = Sort::Across((t[a], t[b]), Some(part));
            self.add(Cause::SwitchFault, 0.5, inside.clone(), closed, SOLID);
            self.stop_line(part, (t[a], t[b]));
        }
    }

    /// A contact that grounds something stops the engine.
    fn stop_line(&mut self, part: PartId, (a, b): (TerminalId, TerminalId)) {
        let stop = match (self.grounded.contains(&a), self.grounded.contains(&b)) {
            (false, true) => a,
            (true, false) => b,
            _ => return,
        };
        let seat = Seat {
            part: Some(part),
            ..Seat::default()
        };
        for other in self.circuit.part(part).terminals.clone() {
            if other != stop && !self.grounded.contains(&other) {
                let sort = Sort::Across((stop, other), None);
                self.add(Cause::StopLine, 1.0, seat.clone(), sort, SOLID);
            }
        }
        for (wire, laid) in self.circuit.wires.iter().enumerate() {
            if laid.from == stop || laid.to == stop {
                let seat = Seat {
                    wire: Some(wire),
                    ..Seat::default()
                };
                self.add(Cause::StopLine, 1.0, seat, Sort::Leak(wire, 0.5), SOLID);
            }
        }
    }

    fn stud(&mut self, part: PartId, end: TerminalId) {
        let on = |wire: &&ampkeel::circuit::Wire| wire.from == end || wire.to == end;
        if self.circuit.wires.iter().filter(on).count() < 2 {
            return;
        }
        let cause = if self.grounded.contains(&end) {
            Cause::BadGround
        } else {
            Cause::HighResistanceJoint
        };
        let seat = Seat {
            part: Some(part),
            terminal: Some(end),
            ..Seat::default()
        };
        self.add(cause, 0.3, seat, Sort::Loose(end), STUDS);
    }

    /// A live stud of a solenoid, motor or post that touches metal.
    fn touching(&mut self, part: PartId, t: &[TerminalId]) {
        let bare = match &self.circuit.part(part).device {
            Device::Relay(relay) => relay
                .class
                .as_ref()
                .is_some_and(|class| class.value.ends_with("solenoid")),
            Device::Motor(_) | Device::Stud | Device::Battery(_) => true,
            _ => false,
        };
        let ground = self.grounded.first().copied();
        let (true, Some(ground)) = (bare, ground) else {
            return;
        };
        for end in t {
            let wired = self
                .circuit
                .wires
                .iter()
                .any(|wire| wire.from == *end || wire.to == *end);
            if wired && !self.grounded.contains(end) {
                let seat = Seat {
                    part: Some(part),
                    terminal: Some(*end),
                    ..Seat::default()
                };
                let sort = Sort::Across((*end, ground), None);
                self.add(Cause::ShortToGround, 0.2, seat, sort, SOLID);
            }
        }
    }

    fn load(&mut self, part: PartId, t: &[TerminalId]) {
        let inside = Self::inside(part);
        let common = t.len() - 1;
        let model = self.resolved.part(part).clone();
        let is_load = matches!(
            model,
            Model::Motor(_) | Model::PulsePump(_) | Model::Solenoid(_) | Model::Load(_)
        );
        if !is_load {
            return;
        }
        for field in 0..common {
            let sort = Sort::Across((t[field], t[common]), Some(part));
            self.add(Cause::ShortInLoad, 1.0, inside.clone(), sort, INSIDE);
        }
        let open = Sort::Inside(part, common);
        match model {
            Model::Motor(_) => {
                let starter = matches!(self.circuit.part(part).device, Device::Motor(_));
                let seizes = if starter { 0.4 } else { 1.0 };
                let locked = Sort::Condition(part, Condition::Locked);
                self.add(Cause::LockedMotor, seizes, inside.clone(), locked, CHANNEL);
                self.add(
                    Cause::DraggingMotor,
                    seizes,
                    inside.clone(),
                    Sort::Drag(part),
                    CHANNEL,
                );
                let turns = Sort::Condition(part, Condition::ShortedCoil);
                self.add(Cause::ShortInLoad, 0.2, inside.clone(), turns, CHANNEL);
                self.add(Cause::OpenWire, 0.6, inside.clone(), open.clone(), BRUSHES);
                self.add(Cause::OpenWire, 1.5, inside, open, CUT);
            }
            Model::PulsePump(_) => {
                let stuck = Sort::Condition(part, Condition::Locked);
                self.add(Cause::LockedMotor, 0.7, inside.clone(), stuck, CHANNEL);
                self.add(Cause::OpenWire, 1.5, inside, open, CUT);
            }
            Model::Load(load) if is_electronic(&load.shape) => {
                self.add(Cause::Module, 1.0, inside.clone(), open, CUT);
                let sort = Sort::Across((t[0], t[common]), Some(part));
                self.add(Cause::Module, 0.6, inside, sort, DEAD);
            }
            _ => self.add(Cause::OpenWire, 1.3, inside, open, CUT),
        }
    }

    /// Neighbouring pins of a plug, terminals of a switch.
    fn neighbours(&mut self) {
        for part in self.circuit.part_ids() {
            let t = &self.circuit.part(part).terminals;
            let mut pairs = Vec::new();
            match &self.circuit.part(part).device {
                Device::Plug(plug) => {
                    pairs.extend((1..plug.pins.len()).map(|pin| (t[2 * pin - 2], t[2 * pin])));
                }
                Device::Switch(_) if t.len() > 2 => {
                    for (at, from) in t.iter().enumerate() {
                        pairs.extend(t[at + 1..].iter().map(|to| (*from, *to)));
                    }
                }
                _ => {}
            }
            let seat = Seat {
                part: Some(part),
                ..Seat::default()
            };
            for ends in pairs {
                let sort = Sort::Across(ends, None);
                self.add(Cause::Water, 1.0, seat.clone(), sort.clone(), WATER);
                self.add(Cause::ShortToGround, 0.2, seat.clone(), sort, SOLID);
            }
        }
    }

    fn fuses(&mut self) {
        let all = fuses(self.circuit);
        for (at, id) in all.iter().enumerate() {
            let seat = Seat {
                fuse: Some(at),
                part: None,
                inside: false,
                ..Seat::default()
            };
            let far = self
                .circuit
                .part(id.part)
                .terminals
                .iter()
                .position(|end| *end == fuse_terminals(self.circuit, *id).1)
                .unwrap_or(1);
            let clips = if self.opens {
                Sort::Hot(at)
            } else {
                Sort::Inside(id.part, far)
            };
            let degrees = if self.opens { &HOLDERS[..1] } else { HOLDERS };
            self.add(Cause::FuseHolder, 1.0, seat.clone(), clips.clone(), degrees);
            self.add(Cause::Water, 0.5, seat.clone(), clips, degrees);
            let extra = if self.opens {
                Sort::Overload(at)
            } else {
                Sort::Draining(at)
            };
            self.add(Cause::OverloadAdded, 1.0, seat.clone(), extra, CHANNEL);
            self.add(
                Cause::WrongFuse,
                1.0,
                seat.clone(),
                Sort::Rating(at),
                CHANNEL,
            );
            if self.opens {
                self.add(Cause::TiredFuse, 1.0, seat, Sort::Tired(at), CHANNEL);
                continue;
            }
            self.add(
                Cause::TiredFuse,
                1.0,
                seat.clone(),
                Sort::Burnt(at),
                CHANNEL,
            );
            let weak = Sort::Inside(id.part, far);
            self.add(Cause::TiredFuse, 0.5, seat.clone(), weak, BAD_FUSE);
            self.add(Cause::ReversedPolarity, 1.0, seat, Sort::Burnt(at), CHANNEL);
        }
        let is_battery =
            |part: &PartId| matches!(self.circuit.part(*part).device, Device::Battery(_));
        if let Some(battery) = self.circuit.part_ids().find(is_battery)
            && self.opens
        {
            let seat = Seat {
                part: Some(battery),
                ..Seat::default()
            };
            self.add(Cause::ReversedPolarity, 1.0, seat, Sort::Reversed, CHANNEL);
        }
    }
}

fn is_electronic(shape: &LoadShape) -> bool {
    matches!(shape, LoadShape::Power(_) | LoadShape::Current(_))
}

/// Terminals that wires, bolts and plugs alone tie to a minus post.
pub(super) fn grounded(circuit: &Circuit) -> BTreeSet<TerminalId> {
    let mut ways: Vec<(TerminalId, TerminalId)> = Vec::new();
    ways.extend(circuit.wires.iter().map(|wire| (wire.from, wire.to)));
    ways.extend(circuit.joins.iter().map(|join| (join.part, join.to)));
    let mut open = Vec::new();
    for part in &circuit.parts {
        match &part.device {
            Device::Battery(_) => open.push(part.terminals[1]),
            Device::Plug(_) => ways.extend(part.terminals.chunks(2).map(|pin| (pin[0], pin[1]))),
            _ => {}
        }
    }
    let mut reached = BTreeSet::new();
    while let Some(at) = open.pop() {
        if !reached.insert(at) {
            continue;
        }
        for (a, b) in &ways {
            if *a == at {
                open.push(*b);
            } else if *b == at {
                open.push(*a);
            }
        }
    }
    reached
}
