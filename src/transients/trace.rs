//! What is written down along the way.

use super::build::Built;
use super::elements::Element;
use super::elements::link::Link;
use super::relays::Relay;
use super::system::{Point, System};
use crate::circuit::zones::fuse_name;
use crate::circuit::{Circuit, Condition};
use crate::devices::Model;
use crate::solving::{Role, Workings};

/// One quantity over time.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// Part, `BLOCK.SLOT` or `FROM to TO`.
    pub subject: String,
    /// What of it, unit at the end: `current_a`, `speed_rpm`.
    pub quantity: &'static str,
    /// One value a time.
    pub values: Vec<f64>,
}

impl Column {
    /// `SUBJECT.QUANTITY`, as CSV and the plot name it.
    pub fn key(&self) -> String {
        format!("{}.{}", self.subject, self.quantity)
    }

    /// Largest magnitude with its time, between the samples too where three of
    /// them show a smooth top.
    pub fn peak(&self, times_s: &[f64]) -> (f64, f64) {
        let largest = |a: &usize, b: &usize| {
            let size = |at: usize| self.values[at].abs();
            size(*a).total_cmp(&size(*b)).then(b.cmp(a))
        };
        let Some(top) = (0..self.values.len()).max_by(largest) else {
            return (0.0, 0.0);
        };
        let found = (times_s[top], self.values[top]);
        if top == 0 || top + 1 >= self.values.len() {
            return found;
        }
        let [before, after] = [top - 1, top + 1].map(|at| {
            let time_s = times_s[at] - times_s[top];
            (time_s, self.values[at] - self.values[top])
        });
        vertex(before, after).map_or(found, |(time_s, value)| (found.0 + time_s, found.1 + value))
    }
}

/// Top of the parabola through the origin and a point on either side of it.
fn vertex(before: (f64, f64), after: (f64, f64)) -> Option<(f64, f64)> {
    let (a, p) = before;
    let (b, q) = after;
    if a >= 0.0 || b <= 0.0 || p * q <= 0.0 {
        return None;
    }
    let curve = (q / b - p / a) / (b - a);
    let slope = p / a - curve * a;
    let at = -slope / (2.0 * curve);
    (at > a && at < b).then_some((at, at * (slope + curve * at)))
}

/// Where a column's values come from.
#[derive(Debug, Clone, Copy)]
enum Probe {
    Volts(usize),
    Current(usize),
    Given(usize),
    Both(usize, usize),
    Speed(usize),
    Winding(usize, f64),
    Copper(usize, f64),
    Heat(usize),
    Coil(usize),
}

/// Writes columns.
#[derive(Debug)]
pub(super) struct Recorder {
    probes: Vec<Probe>,
    /// Names of the columns.
    heads: Vec<(String, &'static str)>,
    /// All values, moment after moment.
    values: Vec<f64>,
    /// The moments, seconds.
    times_s: Vec<f64>,
}

impl Recorder {
    /// Chooses what to write down.
    pub(super) fn new(
        circuit: &Circuit,
        workings: &Workings,
        built: &Built,
        relays: &[Relay],
    ) -> Self {
        let mut recorder = Self {
            probes: Vec::new(),
            heads: Vec::new(),
            values: Vec::new(),
            times_s: Vec::new(),
        };
        for (branch, role) in workings.net.roles.iter().enumerate() {
            recorder.of_role(circuit, workings, built, branch, *role);
        }
        for (index, relay) in relays.iter().enumerate() {
            let name = &circuit.part(relay.part).name;
            recorder.add(name, "coil_v", Probe::Coil(index));
        }
        if let Some(short) = built.short {
            recorder.add("short", "current_a", Probe::Current(short.short));
            recorder.add("short", "voltage_v", Probe::Volts(short.short));
        }
        recorder
    }

    fn add(&mut self, subject: &str, quantity: &'static str, probe: Probe) {
        self.probes.push(probe);
        self.heads.push((subject.to_owned(), quantity));
    }

    fn of_role(
        &mut self,
        circuit: &Circuit,
        workings: &Workings,
        built: &Built,
        branch: usize,
        role: Role,
    ) {
        match role {
            Role::Supply(part) | Role::Charger(part) => {
                let name = &circuit.part(part).name;
                self.add(name, "voltage_v", Probe::Volts(branch));
                self.add(name, "current_a", Probe::Given(branch));
            }
            Role::Link(fuse) => {
                let name = fuse_name(circuit, fuse);
                self.add(&name, "current_a", Probe::Current(branch));
                self.add(&name, "heat", Probe::Heat(branch));
            }
            Role::Load { part, field } => {
                let mut name = circuit.part(part).name.clone();
                if field > 0 || circuit.part(part).terminals.len() > 2 {
                    name = format!("{name}.{}", ["up", "down"][field.min(1)]);
                }
                self.add(&name, "voltage_v", Probe::Volts(branch));
                let mut capacitors = built.capacitors.iter();
                let probe = match capacitors.find(|(load, _)| *load == branch) {
                    Some(&(load, capacitor)) => Probe::Both(load, capacitor),
                    None => Probe::Current(branch),
                };
                self.add(&name, "current_a", probe);
                if let Model::Motor(model) = workings.resolved.part(part) {
                    let given = built.state.conditions.get(&part);
                    let condition = given.map_or(Condition::Healthy, |given| given.value);
                    let degc = model.winding_degc(condition);
                    self.add(&name, "speed_rpm", Probe::Speed(branch));
                    self.add(&name, "winding_degc", Probe::Winding(branch, degc));
                }
            }
            Role::Wire(wire) => {
                let label = circuit.wire_label(&circuit.wires[wire]);
                let air = workings.resolved.wires[wire].ambient.si();
                self.add(&label, "current_a", Probe::Current(branch));
                self.add(&label, "temperature_degc", Probe::Copper(branch, air));
            }
            _ => {}
        }
    }

    /// Writes one moment down.
    pub(super) fn write(&mut self, time_s: f64, system: &System, relays: &[Relay], point: &Point) {
        self.times_s.push(time_s);
        let probes = self.probes.iter();
        self.values
            .extend(probes.map(|probe| probe.read(system, relays, point)));
    }

    /// The moments and the columns.
    pub(super) fn into_columns(self) -> (Vec<f64>, Vec<Column>) {
        let width = self.probes.len().max(1);
        let columns = self.heads.into_iter().enumerate();
        let column = |(at, (subject, quantity))| Column {
            subject,
            quantity,
            values: self
                .values
                .iter()
                .skip(at)
                .step_by(width)
                .copied()
                .collect(),
        };
        (self.times_s, columns.map(column).collect())
    }
}

impl Probe {
    fn read(self, system: &System, relays: &[Relay], point: &Point) -> f64 {
        let rpm = 60.0 / std::f64::consts::TAU;
        let value = match self {
            Self::Volts(branch) => system.across(branch, &point.v),
            Self::Current(branch) => system.current(branch, point),
            Self::Given(branch) => -system.current(branch, point),
            Self::Both(one, other) => system.current(one, point) + system.current(other, point),
            Self::Speed(branch) => match system.elements[branch] {
                Element::Motor(_) => point.x[branch][1] * rpm,
                _ => 0.0,
            },
            Self::Winding(branch, degc) => match system.elements[branch] {
                Element::Motor(_) => degc + point.x[branch][2],
                _ => degc,
            },
            Self::Copper(branch, air) => match &system.elements[branch] {
                Element::Wire(_) => air + point.x[branch][0],
                _ => air,
            },
            Self::Heat(branch) => Link::heat(&point.x[branch]),
            Self::Coil(relay) => system.across(relays[relay].coil, &point.v).abs(),
        };
        value + 0.0
    }
}
