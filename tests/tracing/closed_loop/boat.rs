//! A boat as it really is: the circuit of its file with other figures, open to
//! being changed part by part, and solved by the steady solver.
//!
//! Nothing of `tracing` is used: a fault, a test and a meter are changes to the
//! circuit's own parts and wires.

use super::dice::Dice;
use super::fuse_law::RealFuse;
use ampkeel::circuit::zones::{FuseId, fuse_name, fuse_terminals, fuses};
use ampkeel::circuit::{
    Circuit, ContactPosition, Device, Given, Load, LoadLaw, Part, PartId, SwitchKind, Terminal,
    TerminalId, Wire,
};
use ampkeel::devices::{BatteryModel, LoadModel, LoadShape, Model, Resolved, resolve};
use ampkeel::quantities::{Amps, Band, Metres, Ohms, Quantity, Volts};
use ampkeel::solving::{StateSolution, states};
use ampkeel::span::Span;
use std::collections::BTreeMap;

/// A real boat.
#[derive(Clone)]
pub(super) struct Boat {
    pub circuit: Circuit,
    pub resolved: Resolved,
    pub fuses: Vec<RealFuse>,
    /// Volts below which its control unit is dead, where it has one.
    pub unit: Option<(PartId, f64)>,
    /// Parts that belong to another: they go when its plug is pulled.
    pub of: Vec<(PartId, PartId)>,
    /// Terminals of the file.
    pub terminals: usize,
}

/// What one state shows.
#[derive(Clone, Debug)]
pub(super) struct Point {
    /// Volts of the file's terminals; nought where nothing feeds them.
    pub volts: Vec<f64>,
    /// Amperes through each fuse.
    pub fuse_a: Vec<f64>,
    /// The whole solution.
    pub solution: StateSolution,
}

fn scaled(band: Band<f64>, factor: f64) -> Band<f64> {
    Band {
        low: band.low * factor,
        typical: band.typical * factor,
        high: band.high * factor,
    }
}

fn times<Q: Quantity>(band: &mut Band<Q>, factor: f64) {
    *band = band.scaled(factor);
}

impl Boat {
    /// The boat of the file, with fuses at the middle of their law.
    pub(super) fn of_file(circuit: &Circuit) -> Self {
        let resolved = resolve(circuit).expect("an example resolves");
        let fuses = fuses(circuit);
        let real = |id: &FuseId| RealFuse::of(circuit, *id);
        Self {
            fuses: fuses.iter().map(real).collect(),
            unit: control_unit(circuit),
            of: Vec::new(),
            terminals: circuit.terminals.len(),
            circuit: circuit.clone(),
            resolved,
        }
    }

    /// Another boat of the same drawing: no figure is quite what the file says.
    pub(super) fn drawn(circuit: &Circuit, dice: &mut Dice) -> Self {
        let mut boat = Self::of_file(circuit);
        for wire in &mut boat.resolved.wires {
            // Length and copper, each up to a quarter off.
            times(&mut wire.length, dice.between(0.75, 1.25));
            let copper = dice.between(0.75, 1.25);
            wire.area_mm2 *= copper;
            wire.per_metre_ohm.value /= copper;
            times(&mut wire.joints, dice.factor(0.5));
        }
        times(&mut boat.resolved.bolted, dice.factor(0.5));
        for at in 0..boat.resolved.parts.len() {
            skew(&mut boat.resolved.parts[at], dice);
        }
        for fuse in &mut boat.fuses {
            fuse.scatter(dice);
        }
        let giving = dice.between(0.7, 1.1);
        for state in &mut boat.circuit.states {
            for amps in state.charging.values_mut() {
                times(amps, giving);
            }
        }
        if let Some((_, cut_v)) = &mut boat.unit {
            *cut_v = dice.between(6.0, 9.0);
        }
        boat
    }

    pub(super) fn fuse_ids(&self) -> Vec<FuseId> {
        fuses(&self.circuit)
    }

    /// A new terminal that nothing is fastened to.
    pub(super) fn node(&mut self) -> TerminalId {
        let id = TerminalId(self.circuit.terminals.len());
        let part = PartId(self.circuit.parts.len());
        let name = format!("~{}", id.0);
        self.circuit.terminals.push(Terminal {
            part,
            name: String::new(),
            label: name.clone(),
        });
        self.push(name, vec![id], Device::Stud, Model::Stud);
        id
    }

    fn push(
        &mut self,
        name: String,
        terminals: Vec<TerminalId>,
        device: Device,
        model: Model,
    ) -> PartId {
        let id = PartId(self.circuit.parts.len());
        let place = self.circuit.parts[0].place;
        self.circuit.parts.push(Part {
            name,
            place,
            place_given: false,
            span: Span::default(),
            terminals,
            device,
        });
        self.resolved.parts.push(model);
        id
    }

    /// Ohms between two terminals: a short wire with a bad joint.
    pub(super) fn ohms(&mut self, from: TerminalId, to: TerminalId, ohm: f64) {
        let wire = Wire {
            from,
            to,
            ..self.circuit.wires[0].clone()
        };
        let mut model = self.resolved.wires[0].clone();
        model.length = Band::exactly(Metres::new(1e-6));
        model.joints = Band::exactly(Ohms::new(ohm));
        model.kappa_per_a2 = 0.0;
        self.circuit.wires.push(wire);
        self.resolved.wires.push(model);
    }

    /// A resistance as a part of its own, so that it can be taken out with another.
    pub(super) fn load(&mut self, from: TerminalId, to: TerminalId, shape: LoadShape) -> PartId {
        let name = format!("~load {}", self.circuit.parts.len());
        self.push(
            name,
            vec![from, to],
            any_load(),
            Model::Load(load_of(shape)),
        )
    }

    pub(super) fn resistor(&mut self, from: TerminalId, to: TerminalId, ohm: f64) -> PartId {
        self.load(
            from,
            to,
            LoadShape::Resistance(Band::exactly(Ohms::new(ohm))),
        )
    }

    /// Ohms inside a part, between its own works and a terminal; none for open.
    pub(super) fn inside(&mut self, part: PartId, at: usize, ohm: Option<f64>) {
        let outer = self.circuit.parts[part.0].terminals[at];
        let inner = self.node();
        self.circuit.parts[part.0].terminals[at] = inner;
        if let Device::FuseBlock(block) = &mut self.circuit.parts[part.0].device {
            for slot in &mut block.slots {
                if slot.terminal == outer {
                    slot.terminal = inner;
                }
            }
        }
        if let Some(ohm) = ohm {
            self.ohms(inner, outer, ohm);
        }
    }

    /// Index of a fuse's far terminal among its part's.
    pub(super) fn far_of(&self, fuse: FuseId) -> usize {
        fuse.slot.map_or(1, |slot| slot + 1)
    }

    pub(super) fn open_fuse(&mut self, fuse: usize) {
        let id = self.fuse_ids()[fuse];
        self.inside(id.part, self.far_of(id), None);
    }

    /// Takes a part out of the circuit, with whatever shorts it inside.
    pub(super) fn unplug(&mut self, part: PartId) {
        let mut parts = vec![part];
        parts.extend(
            self.of
                .iter()
                .filter(|(_, of)| *of == part)
                .map(|(own, _)| *own),
        );
        for part in parts {
            for at in 0..self.circuit.parts[part.0].terminals.len() {
                self.inside(part, at, None);
            }
        }
    }

    /// Cuts a wire in two at a share of its length; the new middle.
    pub(super) fn split(&mut self, wire: usize, along: f64) -> TerminalId {
        let middle = self.node();
        let far = std::mem::replace(&mut self.circuit.wires[wire].to, middle);
        let mut rest = self.circuit.wires[wire].clone();
        (rest.from, rest.to) = (middle, far);
        let mut model = self.resolved.wires[wire].clone();
        times(&mut model.length, 1.0 - along);
        times(&mut model.joints, 0.5);
        let first = &mut self.resolved.wires[wire];
        times(&mut first.length, along.max(1e-4));
        times(&mut first.joints, 0.5);
        self.circuit.wires.push(rest);
        self.resolved.wires.push(model);
        middle
    }

    /// The boat with one state alone, and those its relays come from; it is the last.
    pub(super) fn only(&self, state: usize) -> Self {
        let mut boat = self.clone();
        let mut chain = vec![state];
        while let Some(before) = self.circuit.states[chain[chain.len() - 1]].after {
            chain.push(before);
        }
        chain.reverse();
        let states = chain.iter().enumerate().map(|(at, own)| {
            let mut state = self.circuit.states[*own].clone();
            state.after = at.checked_sub(1);
            state
        });
        boat.circuit.states = states.collect();
        boat
    }

    /// Everything switched off, as a state of its own.
    pub(super) fn switch_off(&mut self, as_in: Option<usize>) {
        let mut off = self.circuit.states[as_in.unwrap_or(0)].clone();
        "~off".clone_into(&mut off.name);
        off.charging.clear();
        off.after = None;
        off.conditions.clear();
        for (part, contact) in &mut off.contacts {
            // Hands set switches; a module without its battery drives nothing.
            let is_switch = matches!(self.circuit.parts[part.0].device, Device::Switch(_));
            if as_in.is_some() && is_switch {
                continue;
            }
            *contact = resting(&self.circuit.parts[part.0].device);
        }
        self.circuit.states = vec![off];
    }

    /// Solves every state; none for one without a solution.
    pub(super) fn solve(&self) -> Vec<Option<Point>> {
        let mut boat = self.clone();
        let mut found = boat.once();
        let Some((unit, cut_v)) = self.unit else {
            return found;
        };
        // A control unit without volts lets go of its outputs.
        for _ in 0..2 {
            let t = &self.circuit.parts[unit.0].terminals;
            let fed = |point: &Point| {
                let of = |end: TerminalId| {
                    let label = &self.circuit.terminals[end.0].label;
                    point.solution.terminals_v.get(label).copied().flatten()
                };
                of(t[0])
                    .zip(of(t[1]))
                    .is_some_and(|(plus, minus)| plus - minus > cut_v)
            };
            let mut moved = false;
            for (at, point) in found.iter().enumerate() {
                // A state without a solution says nothing of the unit.
                if point.as_ref().is_none_or(fed) {
                    continue;
                }
                for contact in boat.circuit.states[at].contacts.values_mut() {
                    if let ContactPosition::Channels { closed } = contact
                        && !closed.is_empty()
                    {
                        closed.clear();
                        moved = true;
                    }
                }
            }
            if !moved {
                break;
            }
            found = boat.once();
        }
        found
    }

    fn once(&self) -> Vec<Option<Point>> {
        let solved = states(&self.circuit, &self.resolved).unwrap_or_default();
        let mut by_name: BTreeMap<String, StateSolution> = solved
            .into_iter()
            .map(|one| (one.name.clone(), one))
            .collect();
        let ids = self.fuse_ids();
        let one = |name: &String| {
            let solution = by_name.remove(name)?;
            let volts = self.circuit.terminals[..self.terminals]
                .iter()
                .map(|terminal| {
                    solution
                        .terminals_v
                        .get(&terminal.label)
                        .copied()
                        .flatten()
                        .unwrap_or(0.0)
                });
            let amps = ids.iter().map(|id| {
                let name = fuse_name(&self.circuit, *id);
                solution.fuses.get(&name).map_or(0.0, |fuse| fuse.current_a)
            });
            Some(Point {
                volts: volts.collect(),
                fuse_a: amps.collect(),
                solution,
            })
        };
        let names: Vec<String> = self
            .circuit
            .states
            .iter()
            .map(|state| state.name.clone())
            .collect();
        names.iter().map(one).collect()
    }

    /// A lamp in the place of a fuse.
    pub(super) fn lamp_in(&mut self, fuse: usize) -> (TerminalId, TerminalId) {
        let ends = fuse_terminals(&self.circuit, self.fuse_ids()[fuse]);
        self.open_fuse(fuse);
        self.load(ends.0, ends.1, headlamp());
        ends
    }

    /// What an ohmmeter reads to ground behind a fuse that was pulled, battery
    /// off, everything switched off.
    pub(super) fn ohms_behind(
        &self,
        fuse: usize,
        state: Option<usize>,
        unplugged: &[PartId],
        dice: &mut Dice,
    ) -> f64 {
        let mut boat = self.clone();
        boat.switch_off(state);
        boat.unit = None;
        let minus = boat
            .circuit
            .parts
            .iter()
            .find(|part| matches!(part.device, Device::Battery(_)))
            .map(|part| part.terminals[1])
            .expect("a battery");
        let far = fuse_terminals(&boat.circuit, boat.fuse_ids()[fuse]).1;
        boat.open_fuse(fuse);
        for part in unplugged {
            boat.unplug(*part);
        }
        for at in 0..boat.circuit.parts.len() {
            boat.asleep(PartId(at), dice);
        }
        let meter = Model::Battery(BatteryModel {
            open_volts: Band::exactly(Volts::new(METER_V)),
            fast: Band::exactly(Ohms::new(METER_OHM)),
            slow: Band::exactly(Ohms::new(0.0)),
            charging: Band::exactly(Ohms::new(METER_OHM)),
            cold_cranking: None,
        });
        let device = Device::Battery(ampkeel::circuit::Battery::default());
        boat.push("~meter".to_owned(), vec![far, minus], device, meter);
        let point = boat.once().pop().flatten();
        let Some(reading) = point.and_then(|one| one.solution.batteries.get("~meter").cloned())
        else {
            return OPEN_OHM;
        };
        if reading.current_a.abs() < 1e-9 {
            return OPEN_OHM;
        }
        (reading.voltage_v / reading.current_a).abs().min(OPEN_OHM)
    }

    /// A part as an ohmmeter meets it.
    fn asleep(&mut self, part: PartId, dice: &mut Dice) {
        let cold = match &self.resolved.parts[part.0] {
            Model::Battery(_) | Model::Charger(_) => {
                self.inside(part, 0, None);
                return;
            }
            Model::Motor(motor) => motor.parameters.r.typical.si() * dice.between(1.0, 1.6) + 0.05,
            Model::PulsePump(pump) => pump.coil_warm.typical.si(),
            Model::Solenoid(solenoid) => solenoid.coil_warm.typical.si(),
            Model::Load(load) => match &load.shape {
                LoadShape::Resistance(ohms) => ohms.typical.si(),
                LoadShape::Lamp { nominal_v, current } => {
                    nominal_v / current.typical.si() / dice.between(9.0, 13.0)
                }
                LoadShape::Power(_) | LoadShape::Current(_) => dice.log_between(1500.0, 20_000.0),
            },
            _ => return,
        };
        let resting = Device::Load(Load {
            law: Given::new(
                LoadLaw::Resistance(Band::exactly(Ohms::new(cold))),
                Span::default(),
            ),
            inrush: None,
            cut_off: None,
            max_fuse: None,
        });
        self.circuit.parts[part.0].device = resting;
        let shape = LoadShape::Resistance(Band::exactly(Ohms::new(cold)));
        self.resolved.parts[part.0] = Model::Load(load_of(shape));
    }
}

/// What an ohmmeter drives, and behind what.
const METER_V: f64 = 0.8;
const METER_OHM: f64 = 700.0;
/// Ohms that a meter shows as open.
pub(super) const OPEN_OHM: f64 = 1e7;

/// A 55 W headlamp.
fn headlamp() -> LoadShape {
    LoadShape::Lamp {
        nominal_v: 12.0,
        current: Band::exactly(Amps::new(55.0 / 12.0)),
    }
}

fn load_of(shape: LoadShape) -> LoadModel {
    LoadModel {
        shape,
        cut_off: Band::exactly(Volts::new(6.0)),
    }
}

fn any_load() -> Device {
    Device::Load(Load {
        law: Given::new(
            LoadLaw::Resistance(Band::exactly(Ohms::new(1.0))),
            Span::default(),
        ),
        inrush: None,
        cut_off: None,
        max_fuse: None,
    })
}

fn resting(device: &Device) -> ContactPosition {
    match device {
        Device::Switch(switch) => match &switch.kind {
            SwitchKind::Simple { normally_closed } => ContactPosition::Simple {
                closed: *normally_closed,
            },
            SwitchKind::Selector { positions } => ContactPosition::Selector {
                position: positions
                    .iter()
                    .position(|(name, _)| name == "off")
                    .unwrap_or(0),
            },
        },
        _ => ContactPosition::Channels { closed: Vec::new() },
    }
}

/// The control unit whose outputs die with it.
fn control_unit(circuit: &Circuit) -> Option<(PartId, f64)> {
    let drives = circuit
        .parts
        .iter()
        .any(|part| matches!(part.device, Device::Driver(_)));
    let is_unit = |part: &PartId| match &circuit.part(*part).device {
        Device::Load(load) => {
            matches!(&load.law.value, LoadLaw::Class(class) if class == "engine control unit")
        }
        _ => false,
    };
    circuit
        .part_ids()
        .find(is_unit)
        .filter(|_| drives)
        .map(|part| (part, 7.0))
}

/// A part's figures as they happen to be.
fn skew(model: &mut Model, dice: &mut Dice) {
    match model {
        Model::Battery(battery) => {
            let charge_v = dice.between(-0.35, 0.1);
            let at = |volts: Volts| Volts::new(volts.si() + charge_v);
            let open = battery.open_volts;
            battery.open_volts = Band::new(at(open.low), at(open.typical), at(open.high));
            let worn = dice.factor(0.3);
            times(&mut battery.fast, worn);
            times(&mut battery.slow, worn);
        }
        Model::Charger(charger) => {
            let off_v = dice.between(-0.2, 0.2);
            charger.set_point = Band::exactly(Volts::new(charger.set_point.typical.si() + off_v));
        }
        Model::Links(links) => {
            for link in links {
                // Clips are mostly better than the book, and a few much worse.
                times(&mut link.clips, 0.7 * dice.factor(0.7));
                times(&mut link.cold, dice.factor(0.1));
            }
        }
        Model::Switch(contact) | Model::Plug(contact) => times(contact, dice.factor(0.6)),
        Model::Relay(relay) => {
            times(&mut relay.coil_warm, dice.between(0.9, 1.12));
            times(&mut relay.contact, dice.factor(0.5));
            relay.pull_in_warm = relay.pull_in_warm * dice.between(0.85, 1.08);
            relay.drop_out_warm = relay.drop_out_warm * dice.between(0.7, 1.2);
        }
        Model::Driver(driver) => times(&mut driver.drop, dice.factor(0.3)),
        Model::Motor(motor) => {
            let p = &mut motor.parameters;
            // Windings lie mostly below their class, friction mostly above.
            times(&mut p.r, 0.94 * dice.factor(0.18));
            p.k = scaled(p.k, dice.factor(0.05));
            p.tc = scaled(p.tc, 1.1 * dice.factor(0.25));
            p.c2 = scaled(p.c2, dice.factor(0.15));
            p.load_torque = scaled(p.load_torque, dice.factor(0.1));
        }
        Model::PulsePump(pump) => times(&mut pump.coil_warm, dice.factor(0.15)),
        Model::Solenoid(solenoid) => times(&mut solenoid.coil_warm, dice.factor(0.12)),
        Model::Load(load) => {
            let off = 1.04 * dice.factor(0.13);
            match &mut load.shape {
                LoadShape::Power(power) => times(power, off),
                LoadShape::Current(current) | LoadShape::Lamp { current, .. } => {
                    times(current, off);
                }
                LoadShape::Resistance(ohms) => times(ohms, off),
            }
        }
        Model::Diode(diode) => times(&mut diode.drop, dice.factor(0.12)),
        Model::Stud => {}
    }
}
