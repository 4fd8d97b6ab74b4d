//! Whether another choice of sizes is as good as an answer: solved and held
//! against every fuse, it breaks nothing more, every load is fed, every battery
//! charged and every relay stands as before.

use super::fuses::Rated;
use super::guard::Guard;
use super::plan::Task;
use super::proof::DRAWS_A;
use super::rounds::Settled;
use crate::circuit::Circuit;
use crate::findings::{Finding, Severity};
use crate::solving::{Solution, SolveError, StateSolution, solve};
use std::collections::BTreeSet;

/// What kind of trouble, and whose.
type Trouble = (&'static str, String);

/// An answer as a standard for others with the same ratings.
pub(super) struct Judge<'a> {
    task: &'a Task<'a>,
    ratings: Vec<Rated>,
    relays: Vec<(String, String, Option<bool>)>,
    states: usize,
    fed: BTreeSet<(String, String)>,
    open: BTreeSet<Trouble>,
    starts: BTreeSet<usize>,
}

impl<'a> Judge<'a> {
    /// Takes an answer, solved, as the standard.
    ///
    /// # Errors
    /// As [`Guard::of`].
    pub(super) fn of(
        task: &'a Task<'a>,
        settled: &Settled,
    ) -> Result<Self, SolveError> {
        let solution = &settled.survey.solution;
        let guard = Guard::of(&settled.circuit, task.choices, task.fuses)?;
        let guarded = guard.open(task.stock.overloads);
        Ok(Self {
            relays: relays(solution),
            states: solution.states.len(),
            fed: fed(solution),
            open: solution
                .findings
                .iter()
                .filter(|finding| counts(finding))
                .chain(guarded)
                .map(trouble)
                .collect(),
            starts: guard.starts.iter().copied().collect(),
            ratings: settled.plan.ratings.clone(),
            task,
        })
    }

    /// Copper that some places cost, kg.
    pub(super) fn cost_kg(&self, places: &[usize]) -> f64 {
        self.task.cost_kg(&self.task.sizes(places))
    }

    /// The circuit with sizes at some places.
    pub(super) fn circuit(&self, places: &[usize]) -> Circuit {
        let sizes = self.task.sizes(places);
        self.task.applied(&sizes, &self.ratings)
    }

    /// Whether the sizes at some places are as good.
    ///
    /// # Errors
    /// A figure that no table has.
    pub(super) fn holds(&self, places: &[usize]) -> Result<bool, SolveError> {
        Ok(self.worse(&self.circuit(places))?.is_none())
    }

    /// The first thing that is worse in a circuit with other sizes, as its
    /// finding; none where nothing is.
    ///
    /// # Errors
    /// A figure that no table has.
    pub(super) fn worse(&self, circuit: &Circuit) -> Result<Option<Worse>, SolveError> {
        let solution = solve(circuit)?;
        let works = solution.states.len() == self.states
            && relays(&solution) == self.relays
            && self.fed.is_subset(&fed(&solution))
            && self.task.keeps_charging(&solution);
        if !works {
            return Ok(Some(Worse::OtherWorking));
        }
        let found = solution.findings.iter().filter(|finding| counts(finding));
        if let Some(finding) = self.first_new(found) {
            return Ok(Some(Worse::Finding(Box::new(finding))));
        }
        let guard = Guard::of(circuit, self.task.choices, self.task.fuses)?;
        if let Some(finding) = self.first_new(guard.open(self.task.stock.overloads)) {
            return Ok(Some(Worse::Finding(Box::new(finding))));
        }
        let start = guard.starts.iter().find(|at| !self.starts.contains(at));
        Ok(start.map(|at| Worse::Start(*at)))
    }

    fn first_new<'f>(&self, findings: impl Iterator<Item = &'f Finding>) -> Option<Finding> {
        let mut new = findings.filter(|finding| !self.open.contains(&trouble(finding)));
        new.next().cloned()
    }
}

/// What another choice does worse.
#[derive(Debug, Clone)]
pub(super) enum Worse {
    /// A state is lost, a load not fed, a battery not charged, or a relay stands
    /// otherwise.
    OtherWorking,
    /// Something is found that sizing could mend.
    Finding(Box<Finding>),
    /// A fuse, by its place, would not ride its starts out.
    Start(usize),
}

/// Volts the wrong way round from which a coil counts as reversed.
const COIL_V: f64 = 1.0;

fn trouble(finding: &Finding) -> Trouble {
    (finding.code.name(), finding.subject.clone())
}

/// What sizing could mend, cautions too, and whatever breaks a rule.
fn counts(finding: &Finding) -> bool {
    finding.sizing_can_mend || finding.severity() == Severity::Violation
}

/// Loads that draw, the right way round, by state.
fn fed(solution: &Solution) -> BTreeSet<(String, String)> {
    let of = |state: &StateSolution| {
        let parts = state.parts.iter();
        let draws = parts.filter(|(_, part)| part.current_a.is_some_and(|a| a > DRAWS_A));
        let named = draws.map(|(name, _)| (state.name.clone(), name.clone()));
        named.collect::<Vec<_>>()
    };
    solution.states.iter().flat_map(of).collect()
}

/// Where every relay stands, and whether its coil is fed the right way round.
fn relays(solution: &Solution) -> Vec<(String, String, Option<bool>)> {
    let of = |state: &StateSolution| {
        let relays = state.relays.iter();
        let named = relays.map(|(name, relay)| {
            let forward = relay.coil_v.is_none_or(|coil_v| coil_v > -COIL_V);
            let stands = relay.pulled_in.filter(|_| forward);
            (state.name.clone(), name.clone(), stands)
        });
        named.collect::<Vec<_>>()
    };
    solution.states.iter().flat_map(of).collect()
}
