//! What stands behind the operating points, for studies that go on from them:
//! the branches with their roles, their settings, and where each state rests.

use super::net::Net;
use super::operating::Operated;
use super::values::{Setting, Standing, setting, settings};
use super::{Operation, SolveError, operations};
use crate::circuit::{Circuit, PartId, State};
use crate::devices::{Resolved, resolve};
use crate::network::Plan;
use std::collections::{BTreeMap, BTreeSet};

/// A circuit's network with the operating point of every state that has one.
#[derive(Debug, Clone)]
pub(crate) struct Workings {
    /// Figures of parts and wires.
    pub(crate) resolved: Resolved,
    /// Branches and their roles.
    pub(crate) net: Net,
    /// Operating points in the order of the circuit's states.
    pub(crate) points: Vec<Option<Operated>>,
}

/// Solves every state and keeps what was used.
///
/// # Errors
/// As [`solve`](super::solve).
pub(crate) fn workings(circuit: &Circuit) -> Result<Workings, SolveError> {
    let resolved = resolve(circuit)?;
    let net = Net::of(circuit, &resolved);
    let plan = Plan::new(net.nodes, net.reference, &net.branches)?;
    let found = operations(circuit, &resolved, &net, &plan);
    let points = found.into_iter().map(|Operation { point, .. }| point.ok());
    Ok(Workings {
        points: points.collect(),
        resolved,
        net,
    })
}

impl Workings {
    /// Settings of every branch in a state, relays as given, without ripple.
    pub(crate) fn settings(
        &self,
        circuit: &Circuit,
        state: &State,
        pulled_in: &BTreeSet<PartId>,
    ) -> Vec<Setting> {
        plain_settings(circuit, &self.resolved, &self.net, state, pulled_in)
    }
}

/// Settings of every branch in a state, relays as given: no ripple, no wire
/// that burns (in time a wire warms as it goes).
pub(crate) fn plain_settings(
    circuit: &Circuit,
    resolved: &Resolved,
    net: &Net,
    state: &State,
    pulled_in: &BTreeSet<PartId>,
) -> Vec<Setting> {
    let ripple_a2 = BTreeMap::new();
    let standing = Standing {
        state,
        pulled_in,
        ripple_a2: &ripple_a2,
        burning: &BTreeSet::new(),
    };
    settings(circuit, resolved, net, &standing)
}

/// A circuit as it stands in a state, for settings of its branches with figures
/// drawn anew: relays, ripple and burning wires as they were found.
#[derive(Debug, Clone)]
pub(crate) struct AsFound<'a> {
    /// The circuit.
    pub(crate) circuit: &'a Circuit,
    /// Its branches.
    pub(crate) net: &'a Net,
    /// Where the state rests, or was before a relay closed.
    pub(crate) at: &'a Operated,
}

impl AsFound<'_> {
    /// The setting of a branch with these figures in this state.
    pub(crate) fn setting(&self, resolved: &Resolved, state: &State, branch: usize) -> Setting {
        let standing = Standing {
            state,
            pulled_in: &self.at.pulled_in,
            ripple_a2: &self.at.ripple_a2,
            burning: &self.at.burning,
        };
        setting(self.circuit, resolved, self.net, &standing, branch)
    }
}
