//! A scenario run three times, once for each instance of its fuses.

use super::scenario::{Scenario, TransientError};
use super::watch::What;
use super::{Ready, Transient};
use crate::circuit::Circuit;
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
}

/// Runs a scenario with the fuses it asks for, and with the others of their band.
///
/// # Errors
/// As [`run`](super::run).
pub fn study(circuit: &Circuit, scenario: &Scenario) -> Result<Study, TransientError> {
    let ready = Ready::new(circuit)?;
    let run = ready.run(scenario)?;
    let mut openings: BTreeMap<String, Openings> = BTreeMap::new();
    if let Some(shown) = scenario.fuses {
        for edge in Edge::ALL {
            let other;
            let of_edge = if edge == shown {
                &run
            } else {
                other = ready.run(&Scenario {
                    fuses: Some(edge),
                    ..scenario.clone()
                })?;
                &other
            };
            let opened = of_edge
                .events
                .iter()
                .filter(|event| event.what == What::Opens);
            for event in opened {
                let times = openings.entry(event.subject.clone()).or_default();
                let time_s = match edge {
                    Edge::Early => &mut times.earliest_s,
                    Edge::Nominal => &mut times.middle_s,
                    Edge::Late => &mut times.latest_s,
                };
                *time_s = Some(event.time_s);
            }
        }
    }
    Ok(Study {
        scenario: scenario.clone(),
        run,
        openings,
    })
}
