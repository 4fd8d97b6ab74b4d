//! A scenario run three times, once for each instance of its fuses.

use super::judge::judge;
use super::scenario::{Scenario, TransientError};
use super::watch::What;
use super::{Ready, Transient};
use crate::circuit::Circuit;
use crate::findings::Finding;
use crate::tables::fuses::Edge;
use std::collections::BTreeMap;

/// When a fuse opens if every fuse is an early, a middle or a late one, seconds;
/// none where it holds to the end of that run.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Openings {
    /// Early ones.
    pub earliest_s: Option<f64>,
    /// Middle ones.
    pub middle_s: Option<f64>,
    /// Late ones.
    pub latest_s: Option<f64>,
}

/// What came of a scenario.
#[derive(Debug, Clone, PartialEq)]
pub struct Study {
    /// What was asked.
    pub scenario: Scenario,
    /// The run that is shown: with the fuses the scenario asks for.
    pub run: Transient,
    /// Fuses that open in any of the runs; empty where fuses are held.
    pub openings: BTreeMap<String, Openings>,
    /// What is wrong, over all instances of the fuses.
    pub findings: Vec<Finding>,
}

/// Runs a scenario with the fuses it asks for, and with the others of their band.
///
/// # Errors
/// As [`run`](super::run).
pub fn study(circuit: &Circuit, scenario: &Scenario) -> Result<Study, TransientError> {
    let ready = Ready::new(circuit)?;
    let edges = match scenario.fuses {
        Some(_) => Edge::ALL.map(Some).to_vec(),
        None => vec![None],
    };
    let mut runs: Vec<(Option<Edge>, Transient)> = Vec::new();
    for fuses in edges {
        let of_edge = Scenario {
            fuses,
            ..scenario.clone()
        };
        runs.push((fuses, ready.run(&of_edge)?));
    }
    let mut openings: BTreeMap<String, Openings> = BTreeMap::new();
    for (edge, run) in &runs {
        for event in run.events.iter().filter(|event| event.what == What::Opens) {
            let times = openings.entry(event.subject.clone()).or_default();
            let time_s = match edge {
                Some(Edge::Early) => &mut times.earliest_s,
                Some(Edge::Late) => &mut times.latest_s,
                _ => &mut times.middle_s,
            };
            // A breaker may open more than once.
            time_s.get_or_insert(event.time_s);
        }
    }
    let all: Vec<_> = runs.iter().map(|(edge, run)| (*edge, run)).collect();
    let findings = judge(&ready, scenario, &all);
    let shown = runs.iter().position(|(edge, _)| *edge == scenario.fuses);
    let (_, run) = runs.swap_remove(shown.unwrap_or_default());
    Ok(Study {
        scenario: scenario.clone(),
        run,
        openings,
        findings,
    })
}
