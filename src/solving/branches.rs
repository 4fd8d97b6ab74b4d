//! The equations behind each state, for checking them with another program.
//!
//! [`branches`] lists what the network holds between every two terminals once
//! the relays have come to rest, with the current it found there. Together
//! with the documented laws of [`crate::network`] that is everything needed to
//! solve the state anew by other means.

use super::net::Net;
use super::operating::Operated;
use super::{Operation, SolveError, operations};
use crate::circuit::{Circuit, State, TerminalId};
use crate::devices::resolve;
use crate::network::{Parameters, Plan};

/// What the network holds between two terminals in one state.
#[derive(Debug, Clone, PartialEq)]
pub struct StateBranch {
    /// Label of the terminal at which positive current enters.
    pub from: String,
    /// Label of the terminal at which positive current leaves.
    pub to: String,
    /// Its law with the figures of this state; units stand in the field names.
    pub parameters: Parameters,
    /// Share of the law's current that flows: 1 whole, a duty below that, and
    /// 0 for a branch that is not there at all.
    pub scale: f64,
    /// Current that was found, amperes, from `from` to `to`, the scale in it.
    pub current_a: f64,
}

/// Everything the network held in one state.
#[derive(Debug, Clone, PartialEq)]
pub struct StateBranches {
    /// State's name.
    pub name: String,
    /// Branches in the order of the plan: wires among them in the circuit's order.
    pub branches: Vec<StateBranch>,
}

/// Lists the branches of every state that has an operating point, in file order.
///
/// # Errors
/// As [`solve`](super::solve).
pub fn branches(circuit: &Circuit) -> Result<Vec<StateBranches>, SolveError> {
    let resolved = resolve(circuit)?;
    let net = Net::of(circuit, &resolved);
    let plan = Plan::new(net.nodes, net.reference, &net.branches)?;
    let operations = operations(circuit, &resolved, &net, &plan);
    let found = operations
        .into_iter()
        .filter_map(|Operation { state, point }| Some((state, point.ok()?)))
        .map(|(state, operated)| of_state(circuit, &net, state, &operated));
    Ok(found.collect())
}

fn of_state(circuit: &Circuit, net: &Net, state: &State, operated: &Operated) -> StateBranches {
    let label = |node: usize| circuit.terminal(TerminalId(node)).label.clone();
    let settings = net.branches.iter().zip(&operated.settings);
    let branches =
        settings
            .zip(&operated.point.currents_a)
            .map(|((branch, setting), &current_a)| StateBranch {
                from: label(branch.from),
                to: label(branch.to),
                parameters: setting.parameters,
                scale: setting.scale,
                current_a,
            });
    StateBranches {
        name: state.name.clone(),
        branches: branches.collect(),
    }
}
