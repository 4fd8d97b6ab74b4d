//! From an operating point to readings by the owner's names.

use super::ladder;
use super::net::{Net, Role};
use super::operating::Operated;
use super::rule;
use super::solution::{
    BatteryReading, FuseReading, PartReading, RelayReading, StateSolution, WireReading,
};
use super::view::View;
use crate::circuit::zones::{FuseId, fuse_name};
use crate::circuit::{Circuit, Device, PartId, State};
use crate::devices::{BURNT, Model, Resolved};
use crate::network::Parameters;
use crate::tables::OutOfTable;
use std::collections::{BTreeMap, BTreeSet};

/// A state's readings, and what the judge needs beyond them.
#[derive(Debug, Clone)]
pub(super) struct Reported {
    /// The readings.
    pub state: StateSolution,
    /// Constant-power loads below their cut-off.
    pub collapsed: Vec<PartId>,
    /// Current through each relay's make and break contact, amperes.
    pub contact_a: BTreeMap<PartId, f64>,
    /// Relays whose diode conducts.
    pub reversed_coils: Vec<PartId>,
}

/// A "drop" below this means supplies in series, volts.
const SERIES_V: f64 = -1.0;

/// Current under which a load counts as switched off, amperes.
pub(super) const OFF_A: f64 = 1e-4;

/// Names every reading of a state.
pub(super) fn report(
    circuit: &Circuit,
    resolved: &Resolved,
    net: &Net,
    state: &State,
    operated: &Operated,
) -> Result<Reported, OutOfTable> {
    let view = View::new(circuit, resolved, net, operated)?;
    let mut solution = StateSolution {
        name: state.name.clone(),
        what_if: state.is_what_if(),
        terminals_v: view.terminals(),
        parts: BTreeMap::new(),
        wires: view.wires(),
        joins_a: view.joins(),
        fuses: view.fuses(),
        relays: view.relays(),
        batteries: BTreeMap::new(),
        chargers: BTreeMap::new(),
        residual_a: operated.point.residual_a,
        ladders: BTreeMap::new(),
    };
    for (index, role) in net.roles.iter().enumerate() {
        match *role {
            Role::Supply(part) => {
                let reading = BatteryReading {
                    voltage_v: view.across(index).unwrap_or(0.0),
                    // Not the negative: an idle battery gives 0 A, not -0 A.
                    current_a: 0.0 - operated.point.currents_a[index],
                };
                solution
                    .batteries
                    .insert(circuit.part(part).name.clone(), reading);
            }
            Role::Charger(part) => {
                solution.chargers.insert(
                    circuit.part(part).name.clone(),
                    0.0 - operated.point.currents_a[index],
                );
            }
            Role::Load { part, field } => view.load(&mut solution, index, part, field),
            _ => {}
        }
    }
    view.blocks(&mut solution);
    Ok(Reported {
        collapsed: view.collapsed(),
        contact_a: view.contacts(),
        reversed_coils: view.reversed_coils(),
        state: solution,
    })
}

impl View<'_> {
    fn terminals(&self) -> BTreeMap<String, Option<f64>> {
        let labels = self
            .circuit
            .terminals
            .iter()
            .map(|terminal| terminal.label.clone());
        labels.zip(self.operated.volts.iter().copied()).collect()
    }

    fn wires(&self) -> Vec<WireReading> {
        let cranking = self.cranking_wires();
        let mut wires = Vec::new();
        for (index, role) in self.net.roles.iter().enumerate() {
            let Role::Wire(number) = *role else { continue };
            let wire = &self.circuit.wires[number];
            let model = &self.resolved.wires[number];
            let rms_a = self.rms(index);
            wires.push(WireReading {
                wire: number,
                name: wire.name.as_ref().map(|given| given.value.clone()),
                from: self.circuit.terminal(wire.from).label.clone(),
                to: self.circuit.terminal(wire.to).label.clone(),
                size: wire.size.value.to_string(),
                current_a: self.current(index),
                rms_a,
                drop_v: self.wire_volts(index),
                temperature_degc: if self.operated.burning.contains(&number) {
                    BURNT.si()
                } else {
                    model.temperature(rms_a).si()
                },
                ampacity_a: model
                    .allowed
                    .as_ref()
                    .ok()
                    .map(|allowed| allowed.corrected.si()),
                cranking: cranking.contains(&number),
            });
        }
        wires
    }

    /// The net has its joints in the circuit's order.
    fn joins(&self) -> Vec<f64> {
        let roles = self.net.roles.iter().enumerate();
        roles
            .filter(|(_, role)| **role == Role::Join)
            .map(|(index, _)| self.current(index))
            .collect()
    }

    fn fuses(&self) -> BTreeMap<String, FuseReading> {
        let mut fuses = BTreeMap::new();
        for (index, role) in self.net.roles.iter().enumerate() {
            let Role::Link(id) = *role else { continue };
            let Model::Links(links) = self.resolved.part(id.part) else {
                continue;
            };
            let rating_a = links[id.slot.unwrap_or(0)].rating.si();
            let current_a = self.rms(index);
            let reading = FuseReading {
                current_a,
                rating_a,
                load_pct: 100.0 * current_a / rating_a,
            };
            fuses.insert(fuse_name(self.circuit, id), reading);
        }
        fuses
    }

    fn relays(&self) -> BTreeMap<String, RelayReading> {
        let mut relays = BTreeMap::new();
        for (index, role) in self.net.roles.iter().enumerate() {
            let Role::Coil(part) = *role else { continue };
            let Model::Relay(relay) = self.resolved.part(part) else {
                continue;
            };
            let pulled_in = if self.operated.chattering.contains(&part) {
                None
            } else {
                Some(self.operated.pulled_in.contains(&part))
            };
            let reading = RelayReading {
                coil_v: self.across(index),
                pulled_in,
                pull_in_v: relay.pull_in_warm.si(),
                drop_out_v: relay.drop_out_warm.si(),
            };
            relays.insert(self.circuit.part(part).name.clone(), reading);
        }
        relays
    }

    fn load(&self, solution: &mut StateSolution, index: usize, part: PartId, field: usize) {
        let name = self.circuit.part(part).name.clone();
        let current_a = self.current(index);
        // A two-field motor shows the field that is fed.
        if field > 0
            && current_a.abs()
                <= solution
                    .parts
                    .get(&name)
                    .and_then(|p| p.current_a)
                    .unwrap_or(0.0)
                    .abs()
        {
            return;
        }
        let voltage_v = self.across(index);
        let drop = self.drop_of(index, current_a);
        let limit_pct = rule::limit_pct(self.circuit, part);
        let reading = PartReading {
            kind: self.circuit.part(part).kind(),
            voltage_v,
            current_a: voltage_v.map(|_| current_a),
            // More volts than its supply has: batteries in series, no drop to speak of.
            drop_v: drop
                .as_ref()
                .map(|drop| drop.supply_v - voltage_v.unwrap_or(0.0).abs())
                .filter(|drop_v| *drop_v > SERIES_V),
            rule_drop_v: drop.as_ref().map(|drop| drop.rule_v),
            rule_drop_pct: drop.as_ref().map(|drop| self.percent(drop.rule_v)),
            limit_pct,
            speed_rad_s: self.speed(index),
        };
        if let Some(drop) = drop {
            solution
                .ladders
                .insert(name.clone(), ladder::climb(self, index, drop.supply));
        }
        solution.parts.insert(name, reading);
    }

    fn speed(&self, index: usize) -> Option<f64> {
        let setting = &self.operated.settings[index];
        match setting.parameters {
            Parameters::Motor(motor) if setting.scale > 0.0 => {
                Some(motor.speed_rad_s(self.across(index)?))
            }
            _ => None,
        }
    }

    /// Nodes where a branch's current enters and leaves it.
    pub(super) fn ends(&self, index: usize) -> (usize, usize) {
        let branch = self.net.branches[index];
        if self.current(index) > 0.0 {
            (branch.from, branch.to)
        } else {
            (branch.to, branch.from)
        }
    }

    /// Feeds of fuse blocks: the drop on the way to them alone.
    fn blocks(&self, solution: &mut StateSolution) {
        for id in self.circuit.part_ids() {
            let part = self.circuit.part(id);
            let Device::FuseBlock(block) = &part.device else {
                continue;
            };
            let feed = part.terminals[0];
            let slots = (0..block.slots.len()).map(|slot| FuseId {
                part: id,
                slot: Some(slot),
            });
            let current_a: f64 = slots.map(|slot| self.link_current(slot)).sum();
            let supply = if current_a > OFF_A {
                self.main_supply(feed.0)
            } else {
                None
            };
            let rule_v = supply.map(|s| self.shares.feed[s][feed.0].drop_v);
            let drop_v = supply.and_then(|s| {
                let plus = self.supplies[s].1.plus;
                Some(self.operated.volts[plus]? - self.operated.volts[feed.0]?)
            });
            let reading = PartReading {
                kind: part.kind(),
                voltage_v: self.operated.volts[feed.0],
                current_a: self.operated.volts[feed.0].map(|_| current_a),
                drop_v,
                rule_drop_v: rule_v,
                rule_drop_pct: rule_v.map(|v| self.percent(v)),
                limit_pct: rule::limit_pct(self.circuit, id),
                speed_rad_s: None,
            };
            solution.parts.insert(part.name.clone(), reading);
        }
    }

    pub(super) fn link_current(&self, id: FuseId) -> f64 {
        let index = self
            .net
            .roles
            .iter()
            .position(|role| *role == Role::Link(id));
        index.map_or(0.0, |index| self.current(index))
    }

    /// Wires that carry mostly a starter motor's current, by index in the circuit.
    fn cranking_wires(&self) -> BTreeSet<usize> {
        let mut wires = BTreeSet::new();
        for (index, role) in self.net.roles.iter().enumerate() {
            let Role::Load { part, .. } = *role else {
                continue;
            };
            let starter_a = self.current(index);
            let node = self.net.branches[index].from;
            let Some(supply) = self.main_supply(node).filter(|_| starter_a > OFF_A) else {
                continue;
            };
            if !self.circuit.is_starter(part) {
                continue;
            }
            for branch in ladder::branches(self, index, supply) {
                if let Role::Wire(wire) = self.net.roles[branch]
                    && starter_a > 0.5 * self.current(branch).abs()
                {
                    wires.insert(wire);
                }
            }
        }
        wires
    }

    fn collapsed(&self) -> Vec<PartId> {
        let part = |index: &usize| match self.net.roles[*index] {
            Role::Load { part, .. } => Some(part),
            _ => None,
        };
        self.operated
            .point
            .collapsed
            .iter()
            .filter_map(part)
            .collect()
    }

    fn contacts(&self) -> BTreeMap<PartId, f64> {
        let mut contacts: BTreeMap<PartId, f64> = BTreeMap::new();
        for (index, role) in self.net.roles.iter().enumerate() {
            if let Role::Make(part) | Role::Break(part) = *role {
                let most = contacts.entry(part).or_default();
                *most = most.max(self.current(index).abs());
            }
        }
        contacts
    }

    fn reversed_coils(&self) -> Vec<PartId> {
        let conducting = self
            .net
            .roles
            .iter()
            .enumerate()
            .filter(|(index, _)| self.current(*index) > 1e-3);
        conducting
            .filter_map(|(_, role)| match role {
                Role::CoilDiode(part) => Some(*part),
                _ => None,
            })
            .collect()
    }
}
