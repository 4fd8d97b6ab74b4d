//! An operating point with the wiring it belongs to, and what is read off it:
//! volts across branches, currents, and the drop on the way from a supply.

use super::net::{Net, Role};
use super::operating::Operated;
use super::report::OFF_A;
use super::rule;
use super::share::{Portion, Shares, Stream, Supplied, follow};
use crate::circuit::{Circuit, Device, PartId};
use crate::devices::Resolved;
use crate::tables::OutOfTable;

/// An operating point with the wiring it belongs to.
pub(super) struct View<'a> {
    pub circuit: &'a Circuit,
    pub resolved: &'a Resolved,
    pub net: &'a Net,
    pub operated: &'a Operated,
    /// Supplies in order, with the part of each.
    pub supplies: Vec<(PartId, Supplied)>,
    pub shares: Shares,
    /// Every branch but the supplies, as the sharing sees it.
    pub streams: Vec<Stream>,
    /// Branch of the network behind each stream.
    pub stream_branches: Vec<usize>,
    /// Volts of each node; zero where nothing feeds it.
    pub node_v: Vec<f64>,
}

impl<'a> View<'a> {
    pub(super) fn new(
        circuit: &'a Circuit,
        resolved: &'a Resolved,
        net: &'a Net,
        operated: &'a Operated,
    ) -> Result<Self, OutOfTable> {
        let mut streams = Vec::new();
        let mut stream_branches = Vec::new();
        let mut supplies = Vec::new();
        for (index, (role, branch)) in net.roles.iter().zip(&net.branches).enumerate() {
            let current_a = operated.point.currents_a[index];
            if !matches!(role, Role::Supply(_) | Role::Charger(_)) {
                stream_branches.push(index);
            }
            match *role {
                Role::Supply(part) | Role::Charger(part) => {
                    supplies.push((
                        part,
                        Supplied {
                            plus: branch.from,
                            minus: branch.to,
                            delivered_a: -current_a,
                        },
                    ));
                }
                Role::Wire(wire) => {
                    let rms_a = heating(current_a, operated.ripple_a2.get(&index));
                    let rule_ohm =
                        rule::rule_ohm(circuit.limits.drop_basis, &resolved.wires[wire], rms_a)?;
                    streams.push(Stream {
                        from: branch.from,
                        to: branch.to,
                        current_a,
                        rule_ohm,
                    });
                }
                _ => streams.push(Stream {
                    from: branch.from,
                    to: branch.to,
                    current_a,
                    rule_ohm: 0.0,
                }),
            }
        }
        // Batteries before chargers: a load's drop counts from a battery where one feeds it.
        supplies.sort_by_key(|(part, _)| {
            (
                !matches!(circuit.part(*part).device, Device::Battery(_)),
                *part,
            )
        });
        let supplied: Vec<Supplied> = supplies.iter().map(|(_, supplied)| *supplied).collect();
        let node_v: Vec<f64> = operated.volts.iter().map(|v| v.unwrap_or(0.0)).collect();
        let shares = follow(&node_v, &streams, &supplied);
        Ok(Self {
            circuit,
            resolved,
            net,
            operated,
            supplies,
            shares,
            streams,
            stream_branches,
            node_v,
        })
    }

    /// Volts across a branch, `from` less `to`.
    pub(super) fn across(&self, index: usize) -> Option<f64> {
        let branch = self.net.branches[index];
        Some(self.operated.volts[branch.from]? - self.operated.volts[branch.to]?)
    }

    pub(super) fn current(&self, index: usize) -> f64 {
        self.operated.point.currents_a[index]
    }

    pub(super) fn rms(&self, index: usize) -> f64 {
        heating(self.current(index), self.operated.ripple_a2.get(&index))
    }

    /// Volts lost along a wire, signed like its current.
    pub(super) fn wire_volts(&self, index: usize) -> f64 {
        let branch = self.net.branches[index];
        let volts = &self.operated.point.voltages_v;
        volts[branch.from] - volts[branch.to]
    }

    pub(super) fn percent(&self, volts: f64) -> f64 {
        100.0 * volts / self.circuit.boat.nominal.si()
    }

    pub(super) fn drop_of(&self, index: usize, current_a: f64) -> Option<Drop> {
        if current_a.abs() < OFF_A {
            return None;
        }
        let (enters, leaves) = self.ends(index);
        let supply = self.main_supply(enters)?;
        let posts = self.supplies[supply].1;
        let supply_v = self.operated.volts[posts.plus]? - self.operated.volts[posts.minus]?;
        let rule_v =
            self.shares.feed[supply][enters].drop_v + self.shares.back[supply][leaves].drop_v;
        Some(Drop {
            supply,
            supply_v,
            rule_v,
        })
    }

    /// The supply that feeds most of what enters a node: a battery if any does.
    pub(super) fn main_supply(&self, node: usize) -> Option<usize> {
        let share = |supply: &usize| self.shares.feed[*supply][node];
        let fed: Vec<usize> = (0..self.supplies.len())
            .filter(|s| share(s).share > 1e-6)
            .collect();
        let is_battery = |s: &usize| {
            matches!(
                self.circuit.part(self.supplies[*s].0).device,
                Device::Battery(_)
            )
        };
        let batteries: Vec<usize> = fed.iter().copied().filter(is_battery).collect();
        let among = if batteries.is_empty() { fed } else { batteries };
        let most = |a: &usize, b: &usize| {
            let (Portion { share: x, .. }, Portion { share: y, .. }) = (share(a), share(b));
            x.total_cmp(&y).then(b.cmp(a))
        };
        among.into_iter().max_by(most)
    }
}

/// The drop of a load.
pub(super) struct Drop {
    pub supply: usize,
    pub supply_v: f64,
    pub rule_v: f64,
}

/// Root of the mean square: mean current and ripple together.
fn heating(mean_a: f64, ripple_a2: Option<&f64>) -> f64 {
    (mean_a * mean_a + ripple_a2.copied().unwrap_or(0.0)).sqrt()
}
