//! One state with its contacts where the answer has them: the branches that
//! conduct, the ways from each supply to each load, and what is held there.

use super::routes::{Edge, Route, Routes};
use super::worth::Worth;
use crate::circuit::{Circuit, Device, PartId};
use crate::solving::{Consumer, Demand, Net, Operated, Role};
use std::collections::BTreeSet;

/// Current from which a load counts as fed, amperes; the judge's own.
pub(in crate::sizing) const DRAWS_A: f64 = 1e-4;

/// A branch that conducts.
#[derive(Debug, Clone)]
pub(super) struct Branch {
    /// What it is in the boat.
    pub role: Role,
    /// Node where a positive current enters.
    pub from: usize,
    /// Node where it leaves.
    pub to: usize,
    /// Its law.
    pub worth: Worth,
    /// Mean square of what pulses, over the square of its mean.
    pub pulse: f64,
    /// Whether it is a load that draws in the answer: an admissible choice
    /// feeds it, the right way round.
    pub draws: bool,
}

/// A limit on the volts of one consumer.
#[derive(Debug, Clone)]
pub(super) struct Held {
    /// Whose.
    pub part: PartId,
    /// What it asks.
    pub demand: Demand,
    /// Its own branch; none for the feed of a fuse block.
    pub load: Option<usize>,
    /// Ways from each supply that could feed it, and back.
    pub ways: Vec<Ways>,
}

/// Ways between one supply and a consumer.
#[derive(Debug, Clone)]
pub(super) struct Ways {
    /// Branch of the supply.
    pub supply: usize,
    /// From its plus.
    pub feed: Route,
    /// To its minus; none where no wiring leads there.
    pub back: Option<Route>,
}

/// A state as the bound sees it.
#[derive(Debug, Clone)]
pub(super) struct Frame {
    /// State's name.
    pub state: String,
    /// Its branches.
    pub branches: Vec<Branch>,
    /// Branches at each node, and whether they leave it.
    pub at_node: Vec<Vec<(usize, bool)>>,
    /// Nodes counted as zero volts, one an island.
    pub zeros: Vec<usize>,
    /// Batteries and chargers by branch, batteries first.
    pub supplies: Vec<usize>,
    /// What is held.
    pub held: Vec<Held>,
    /// Wires that a starter's current may excuse from the ampacity rule.
    pub cranking: BTreeSet<usize>,
}

impl Frame {
    /// Builds a state's frame from its operating point in the answer.
    pub(super) fn of(
        circuit: &Circuit,
        net: &Net,
        operated: &Operated,
        state: &str,
        consumers: &[Consumer],
        cranking: BTreeSet<usize>,
    ) -> Self {
        let mut frame = Self {
            state: state.to_owned(),
            branches: Vec::new(),
            at_node: vec![Vec::new(); net.nodes],
            zeros: Vec::new(),
            supplies: Vec::new(),
            held: Vec::new(),
            cranking,
        };
        let mut amps = Vec::new();
        for (index, (role, ends)) in net.roles.iter().zip(&net.branches).enumerate() {
            let setting = operated.settings[index];
            let wire = match role {
                Role::Wire(wire) => Some(*wire),
                _ => None,
            };
            let Some(worth) = Worth::of(setting.parameters, setting.scale, wire) else {
                continue;
            };
            let is_load = matches!(role, Role::Load { .. });
            let pulses = is_load && setting.scale < 1.0;
            let branch = frame.branches.len();
            frame.at_node[ends.from].push((branch, true));
            frame.at_node[ends.to].push((branch, false));
            frame.branches.push(Branch {
                role: *role,
                from: ends.from,
                to: ends.to,
                worth,
                pulse: if pulses {
                    (1.0 - setting.scale) / setting.scale
                } else {
                    0.0
                },
                draws: is_load && operated.point.currents_a[index] > DRAWS_A,
            });
            amps.push(operated.point.currents_a[index]);
        }
        frame.find_supplies(circuit);
        frame.find_zeros();
        frame.find_held(circuit, &amps, consumers);
        frame
    }

    fn find_supplies(&mut self, circuit: &Circuit) {
        let is_supply = |role: Role| matches!(role, Role::Supply(_) | Role::Charger(_));
        let mut all: Vec<usize> = (0..self.branches.len())
            .filter(|branch| is_supply(self.branches[*branch].role))
            .collect();
        all.sort_by_key(|branch| match self.branches[*branch].role {
            Role::Supply(part) | Role::Charger(part) => {
                let is_battery = matches!(circuit.part(part).device, Device::Battery(_));
                (!is_battery, part)
            }
            _ => (true, PartId(0)),
        });
        self.supplies = all;
    }

    /// One node of every island: the minus of a supply where it has one.
    fn find_zeros(&mut self) {
        let mut seen = vec![false; self.at_node.len()];
        let minus = self.supplies.iter().map(|s| self.branches[*s].to);
        let starts: Vec<usize> = minus.chain(0..self.at_node.len()).collect();
        for start in starts {
            if seen[start] {
                continue;
            }
            self.zeros.push(start);
            seen[start] = true;
            let mut open = vec![start];
            while let Some(at) = open.pop() {
                for (branch, leaves) in &self.at_node[at] {
                    let ends = &self.branches[*branch];
                    let other = if *leaves { ends.to } else { ends.from };
                    if !seen[other] {
                        seen[other] = true;
                        open.push(other);
                    }
                }
            }
        }
    }

    fn find_held(&mut self, circuit: &Circuit, amps: &[f64], consumers: &[Consumer]) {
        let carries = |role: &Role| {
            !matches!(
                role,
                Role::Supply(_)
                    | Role::Charger(_)
                    | Role::Load { .. }
                    | Role::Coil(_)
                    | Role::CoilDiode(_)
                    | Role::PullWinding(_)
            )
        };
        let edges: Vec<Edge> = self
            .branches
            .iter()
            .enumerate()
            .filter(|(_, branch)| carries(&branch.role))
            .map(|(number, branch)| Edge {
                branch: number,
                from: branch.from,
                to: branch.to,
            })
            .collect();
        let routes = Routes::of(self.at_node.len(), &edges);
        for consumer in consumers {
            if matches!(consumer.demand, Demand::Coil { closing: true, .. }) {
                continue;
            }
            let (enters, leaves, load) = match circuit.part(consumer.part).device {
                Device::FuseBlock(_) => {
                    let feed = circuit.part(consumer.part).terminals[0];
                    (feed.0, None, None)
                }
                _ => {
                    let Some(load) = self.main_branch(consumer.part, amps) else {
                        continue;
                    };
                    let ends = &self.branches[load];
                    (ends.from, Some(ends.to), Some(load))
                }
            };
            let ways = self.supplies.iter().filter_map(|&supply| {
                let posts = &self.branches[supply];
                Some(Ways {
                    supply,
                    feed: routes.between(posts.from, enters)?,
                    back: leaves.and_then(|leaves| routes.between(leaves, posts.to)),
                })
            });
            self.held.push(Held {
                part: consumer.part,
                demand: consumer.demand,
                load,
                ways: ways.collect(),
            });
        }
    }

    /// The branch of a part that carries most, forward.
    fn main_branch(&self, part: PartId, amps: &[f64]) -> Option<usize> {
        let own = self.branches.iter().enumerate().filter(|(_, branch)| {
            matches!(branch.role, Role::Load { part: of, .. } | Role::Coil(of) if of == part)
        });
        let most = own.max_by(|a, b| amps[a.0].total_cmp(&amps[b.0]).then(b.0.cmp(&a.0)));
        most.map(|(branch, _)| branch)
            .filter(|branch| amps[*branch] > 0.0)
    }

    /// Sum of what all supplies stand at with nothing on them, volts: no two
    /// nodes of an island stand further apart.
    pub(super) fn most_v(&self) -> f64 {
        let open = self.branches.iter().filter_map(|b| b.worth.open_v());
        open.map(f64::abs).sum()
    }
}
