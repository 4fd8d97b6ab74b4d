//! A circuit solved: per operating state, who gets how many volts and amperes.
//!
//! [`solve`] builds the network once, finds each state's operating point from
//! the relay positions of the state before it, follows the currents for the
//! drop rule, and judges what it finds.
//!
//! # Limits
//! Steady states only: no inrush, no sag over minutes. Every figure is the
//! typical one of its class unless the file gives it.

mod branches;
mod connection;
mod contributions;
mod cranking;
mod feed;
mod judge;
mod ladder;
mod net;
mod operating;
mod report;
mod ripple;
mod rule;
mod screen;
mod share;
mod solution;
mod thickness;
mod unread;
mod values;
mod view;
mod workings;

pub use branches::{StateBranch, StateBranches, branches};
pub use contributions::{Consumer, Contributions, Demand};
pub use cranking::cranking_wires;
pub use feed::{Fed, NoFeed, Socket};
pub use judge::{LEGAL_SHARE, most_unguarded_m};
pub(crate) use net::{Net, Role};
pub(crate) use operating::Operated;
pub use rule::{basis_source, rule_ohm};
pub use screen::{document, first_screen};
pub(crate) use screen::{found_mark, fuse_mark, load_mark};
pub use solution::{
    BatteryReading, FuseReading, Ladder, PartReading, RelayReading, Rung, RungKind, Solution,
    StateSolution, WireReading,
};
pub use thickness::{BUNDLE_FROM, excepted_from_least, least_above};
pub use unread::{is_guessed, least_for};

pub(crate) use values::Setting;
pub(crate) use workings::{AsFound, Workings, plain_settings, workings};

use crate::circuit::{Circuit, PartId, State};
use crate::devices::{Resolved, resolve};
use crate::findings::{Finding, code};
use crate::network::{Plan, PlanError};
use crate::tables::OutOfTable;
use std::collections::BTreeSet;

/// Why nothing could be solved at all.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SolveError {
    /// A figure that no table has.
    #[error(transparent)]
    Table(#[from] OutOfTable),
    /// The wiring makes no network.
    #[error(transparent)]
    Plan(#[from] PlanError),
}

/// Solves and judges every state of a circuit.
///
/// # Errors
/// A wire size or class that no table holds. A single state without a solution
/// is a finding, not an error.
pub fn solve(circuit: &Circuit) -> Result<Solution, SolveError> {
    Ok(run(circuit, false)?.solution)
}

/// A solved circuit with what each wire costs each consumer.
#[derive(Debug, Clone, PartialEq)]
pub struct Survey {
    /// As [`solve`] gives it.
    pub solution: Solution,
    /// Of every judged state that was solved, in file order.
    pub contributions: Vec<Contributions>,
}

/// Solves and judges a circuit, and says how its consumers' volts hang on its
/// wires.
///
/// # Errors
/// As [`solve`].
pub fn survey(circuit: &Circuit) -> Result<Survey, SolveError> {
    run(circuit, true)
}

fn run(circuit: &Circuit, with_contributions: bool) -> Result<Survey, SolveError> {
    let resolved = resolve(circuit)?;
    let net = Net::of(circuit, &resolved);
    let plan = Plan::new(net.nodes, net.reference, &net.branches)?;
    let mut solved = Vec::new();
    let mut findings = Vec::new();
    let mut contributions = Vec::new();
    for Operation { state, point } in operations(circuit, &resolved, &net, &plan) {
        let operated = match point {
            Ok(operated) => operated,
            Err(why) => {
                findings.push(not_found(circuit, state, &why));
                continue;
            }
        };
        solved.push(report::report(circuit, &resolved, &net, state, &operated)?);
        if with_contributions && !state.is_what_if() {
            let view = view::View::new(circuit, &resolved, &net, &operated)?;
            contributions.push(contributions::of_state(&view, &state.name)?);
        }
    }
    findings.extend(judge::judge(circuit, &resolved, &solved)?);
    let states = solved.into_iter().map(|reported| reported.state).collect();
    let solution = Solution {
        states,
        findings,
        assumed: resolved.assumed,
    };
    Ok(Survey {
        solution,
        contributions,
    })
}

/// Solves every state with figures that were resolved, or drawn, before; judges
/// nothing. A state without a solution is left out.
///
/// # Errors
/// As [`solve`].
pub fn states(circuit: &Circuit, resolved: &Resolved) -> Result<Vec<StateSolution>, SolveError> {
    let net = Net::of(circuit, resolved);
    let plan = Plan::new(net.nodes, net.reference, &net.branches)?;
    let mut solved = Vec::new();
    for Operation { state, point } in operations(circuit, resolved, &net, &plan) {
        if let Ok(operated) = point {
            solved.push(report::report(circuit, resolved, &net, state, &operated)?.state);
        }
    }
    Ok(solved)
}

/// What came of one state.
struct Operation<'a> {
    state: &'a State,
    point: Result<Operated, operating::NoPoint>,
}

/// The operating point of every state in file order, each found from where the
/// relays of the state it follows came to rest.
fn operations<'a>(
    circuit: &'a Circuit,
    resolved: &Resolved,
    net: &Net,
    plan: &Plan,
) -> Vec<Operation<'a>> {
    let mut ends: Vec<Option<BTreeSet<PartId>>> = vec![None; circuit.states.len()];
    let mut found = Vec::new();
    for index in order(circuit) {
        let state = &circuit.states[index];
        let before = state.after.and_then(|after| ends[after].clone());
        let before = before.unwrap_or_default();
        let point = operating::operate(circuit, resolved, net, plan, state, &before);
        if let Ok(operated) = &point {
            ends[index] = Some(operated.pulled_in.clone());
        }
        found.push((index, Operation { state, point }));
    }
    found.sort_by_key(|(index, _)| *index);
    found.into_iter().map(|(_, operation)| operation).collect()
}

/// States in an order in which each comes after the one it starts from.
fn order(circuit: &Circuit) -> Vec<usize> {
    let mut done = vec![false; circuit.states.len()];
    let mut order = Vec::new();
    // Reading refuses circles, so every pass places at least one.
    while order.len() < circuit.states.len() {
        let before = order.len();
        for (index, state) in circuit.states.iter().enumerate() {
            if !done[index] && state.after.is_none_or(|after| done[after]) {
                done[index] = true;
                order.push(index);
            }
        }
        if order.len() == before {
            break;
        }
    }
    order
}

fn not_found(circuit: &Circuit, state: &State, why: &operating::NoPoint) -> Finding {
    use crate::network::Failure;
    let near = match why {
        operating::NoPoint::Balance(
            Failure::Collapse { node } | Failure::NotConverged { node, .. },
        ) => Some(circuit.terminals[*node].label.clone()),
        operating::NoPoint::Figure(_) => None,
    };
    let at = near
        .as_ref()
        .map_or_else(String::new, |label| format!(" near `{label}`"));
    let subject = near.unwrap_or_default();
    Finding::new(
        code("solution-not-found"),
        subject,
        format!("no steady state was found in `{}`{at}: {why}", state.name),
    )
    .in_state(&state.name)
    .with_hint("check sizes, lengths and loads there for a slip")
}
