//! What every fuse and breaker of a circuit is up to.
//!
//! [`study`] holds each against its load, the starts and stalls of its motors,
//! a short at the far end of every wire behind it, overloads, its place, its
//! breaking capacity, the device before it, the wire rules and its label. Each
//! [`Check`] has a verdict, figures, sources and one sentence.
//!
//! Starts are followed in the actual circuit (`switching`); fault currents flow
//! in the whole network of feeds, chargers included (`faults`).
//!
//! # Limits
//! One motor stalls at once. Which device opens first is told for cold fuses,
//! by their gates.

mod case;
mod chargers;
mod chart;
mod check;
mod driven;
mod faults;
mod places;
mod reclosing;
mod screen;
mod selectivity;
mod shorts;
mod stalls;
mod starts;
mod supply;
mod switching;
mod tried;
mod ways;
mod wires;

use chart::chart;
pub use check::{Check, Figure, Kind, Verdict};
pub use places::{First, Pinch, Place};
pub use screen::{Shown, document, tried_document};
pub use selectivity::Order;
pub use tried::{Tried, tried};

use crate::circuit::Circuit;
use crate::document::Chart;
use crate::findings::{Assumed, Finding};
use crate::heating::Family;
use crate::quantities::Amps;
use crate::solving::SolveError;
use crate::sources::Source;
use case::{Case, Fitted};
use std::collections::BTreeSet;

/// One fuse with its checks.
#[derive(Debug, Clone, PartialEq)]
pub struct Report {
    /// `NAME` or `BLOCK.SLOT`.
    pub name: String,
    /// What it is.
    pub family: Family,
    /// Rating printed on it.
    pub rating: Amps,
    /// Rating in the air around it.
    pub effective: Amps,
    /// What a dead short right behind it draws; none where no battery feeds it.
    pub fault: Option<Amps>,
    /// Its checks.
    pub checks: Vec<Check>,
    /// A short at the far end of each wire behind it.
    pub places: Vec<Place>,
    /// Time against current.
    pub chart: Chart,
}

impl Report {
    /// The worst verdict.
    pub fn worst(&self) -> Verdict {
        let verdicts = self.checks.iter().map(|check| check.verdict);
        verdicts.max().unwrap_or(Verdict::Holds)
    }
}

/// The answer for a circuit.
#[derive(Debug, Clone, PartialEq)]
pub struct Study {
    /// Every fuse and breaker, in the circuit's order.
    pub fuses: Vec<Report>,
    /// Wires on a battery that lead to no device, by name.
    pub bare: Vec<(String, Check)>,
    /// Chargers into their own wires, by name.
    pub chargers: Vec<(String, Check)>,
    /// What was found.
    pub findings: Vec<Finding>,
    /// Defaults that entered.
    pub assumed: Vec<Assumed>,
    /// Citations.
    pub sources: Vec<Source>,
}

/// Codes of solving that speak about a fuse.
const OF_FUSES: [&str; 9] = [
    "fuse-above-label",
    "fuse-above-maker",
    "fuse-above-rating",
    "fuse-above-wire",
    "fuse-above-wire-practice",
    "fuse-below-label",
    "fuse-loaded-high",
    "ampacity-unknown",
    "wire-size-unread",
];

/// Holds every fuse of a circuit against everything it guards.
///
/// # Errors
/// As [`solve`](crate::solving::solve).
pub fn study(circuit: &Circuit) -> Result<Study, SolveError> {
    let case = Case::of(circuit)?;
    let mut findings: Vec<Finding> = case
        .solution
        .findings
        .iter()
        .filter(|finding| OF_FUSES.contains(&finding.code.name()))
        .cloned()
        .collect();
    let mut fuses = Vec::new();
    for fuse in &case.fuses {
        fuses.push(report(&case, fuse, &mut findings)?);
    }
    let bare = supply::bare(&case)?;
    findings.extend(
        bare.iter()
            .filter_map(|(wire, check)| supply::unprotected(wire, check)),
    );
    let mut chargers = Vec::new();
    for (name, check, finding) in chargers::chargers(&case) {
        chargers.push((name, check));
        findings.extend(finding);
    }
    let mut seen = BTreeSet::new();
    let cited = fuses
        .iter()
        .flat_map(|fuse| &fuse.checks)
        .chain(chargers.iter().map(|(_, check)| check))
        .flat_map(|check| &check.sources);
    let sources: Vec<Source> = cited
        .cloned()
        .chain([supply::fast_source()])
        .filter(|source| seen.insert(source.clone()))
        .collect();
    Ok(Study {
        fuses,
        bare,
        chargers,
        findings,
        assumed: case.solution.assumed.clone(),
        sources,
    })
}

fn report(
    case: &Case<'_>,
    fuse: &Fitted,
    findings: &mut Vec<Finding>,
) -> Result<Report, SolveError> {
    let mut checks = vec![supply::load(case, fuse)?];
    let mut take = |found: Option<(Check, Option<Finding>)>, checks: &mut Vec<Check>| {
        if let Some((check, finding)) = found {
            checks.push(check);
            findings.extend(finding);
        }
    };
    for found in starts::starts(case, fuse)? {
        take(Some(found), &mut checks);
    }
    let mut of_stalls = Vec::new();
    for part in case.motors(fuse) {
        if let Some(driven) = driven::Driven::of(case, fuse, part) {
            let (check, found) = stalls::stalls(case, fuse, &driven)?;
            checks.push(check);
            of_stalls.extend(found);
        }
    }
    let places = places::places(case, fuse);
    take(reclosing::reclosing(case, fuse, &places), &mut checks);
    take(wires::overload(case, fuse), &mut checks);
    take(supply::breaking(case, fuse)?, &mut checks);
    findings.extend(of_stalls);
    if let Some((check, found)) = shorts::shorts(case, fuse, &places) {
        checks.push(check);
        findings.extend(found);
    }
    checks.extend(wires::hold(case, fuse));
    let place = supply::place(case, fuse)?;
    findings.extend(supply::unprotected(&fuse.name, &place));
    checks.push(place);
    if let Some((check, found)) = selectivity::judge(case, fuse, &places) {
        checks.push(check);
        findings.extend(found);
    }
    checks.extend(wires::rules(case, fuse)?);
    checks.extend(supply::label(case, fuse));
    Ok(Report {
        name: fuse.name.clone(),
        family: fuse.device.family,
        rating: fuse.device.rating,
        effective: fuse.device.effective,
        fault: case.available(fuse).map(|fault| Amps::new(fault.typical)),
        checks,
        places,
        chart: chart(case, fuse),
    })
}
