//! What a solved circuit means: each rule held against every state.
//!
//! One file a subject. What-if states are never judged by load and drop rules.
//! A finding that several states share is reported once, for the state in
//! which it is worst.

mod batteries;
mod drops;
mod fuses;
mod loads;
mod protection;
mod relays;
mod starters;
mod together;
mod wires;

pub use fuses::LEGAL_SHARE;
pub use protection::most_m as most_unguarded_m;

use super::cranking::cranking_wires;
use super::report::Reported;
use crate::circuit::Circuit;
use crate::circuit::zones::Zones;
use crate::devices::Resolved;
use crate::findings::Finding;
use crate::tables::OutOfTable;
use std::collections::BTreeSet;

/// A circuit with all that the rules look at.
pub(super) struct Case<'a> {
    pub circuit: &'a Circuit,
    pub resolved: &'a Resolved,
    pub zones: Zones,
    pub states: &'a [Reported],
    /// Wires of the starter's own circuit.
    pub cranking: BTreeSet<usize>,
}

impl Case<'_> {
    /// States that load and drop rules hold for.
    pub(super) fn judged(&self) -> impl Iterator<Item = &Reported> {
        self.states
            .iter()
            .filter(|reported| !reported.state.what_if)
    }
}

/// Holds every rule against every state.
pub(super) fn judge(
    circuit: &Circuit,
    resolved: &Resolved,
    states: &[Reported],
) -> Result<Vec<Finding>, OutOfTable> {
    let case = Case {
        circuit,
        resolved,
        zones: Zones::of(circuit),
        states,
        cranking: cranking_wires(circuit, states.iter().map(|reported| &reported.state)),
    };
    let mut findings = Vec::new();
    findings.extend(drops::judge(&case)?);
    findings.extend(wires::judge(&case)?);
    findings.extend(fuses::judge(&case)?);
    findings.extend(together::judge(&case));
    findings.extend(protection::judge(&case)?);
    findings.extend(relays::judge(&case));
    findings.extend(starters::judge(&case)?);
    findings.extend(loads::judge(&case));
    findings.extend(batteries::judge(&case));
    Ok(findings)
}

/// Keeps, of findings with the same code and subject, the one with the largest
/// key, and names the other states in its statement.
fn worst(found: Vec<(f64, Finding)>) -> Vec<Finding> {
    let mut kept: Vec<(f64, Finding, Vec<String>)> = Vec::new();
    for (key, finding) in found {
        let same = |other: &Finding| other.code == finding.code && other.subject == finding.subject;
        match kept.iter_mut().find(|(_, other, _)| same(other)) {
            None => kept.push((key, finding, Vec::new())),
            Some((most, other, also)) => {
                let loser = if key > *most {
                    *most = key;
                    std::mem::replace(other, finding)
                } else {
                    finding
                };
                also.extend(loser.state);
            }
        }
    }
    kept.into_iter()
        .map(|(_, finding, also)| also_in(finding, &also))
        .collect()
}

fn also_in(mut finding: Finding, also: &[String]) -> Finding {
    if !also.is_empty() {
        let states: Vec<String> = also.iter().map(|state| format!("`{state}`")).collect();
        finding.statement = format!("{} (less in {})", finding.statement, states.join(", "));
    }
    finding
}
