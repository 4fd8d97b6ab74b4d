//! The last look: lighter choices tried by the full solve.
//!
//! The search holds for given currents. Where ways run side by side a size
//! also shifts current from one way to the other, and a lighter choice may be
//! right that the rounds never met. A small circuit is tried whole, lightest
//! choice first; in a larger one wires are taken down one by one, and one down
//! while another goes up where currents depend on sizes.

use super::plan::Task;
use super::rounds::Settled;
use crate::circuit::Circuit;
use crate::findings::Finding;
use crate::solving::{Solution, SolveError, solve};
use std::collections::BTreeSet;

/// Choices up to which all are looked at.
const ALL_OF: usize = 1500;
/// Solves spent on the neighbours of a larger circuit.
const MOST_SOLVES: usize = 400;

/// What must not get worse.
struct Standard {
    relays: Vec<(String, String, Option<bool>)>,
    states: usize,
    open: BTreeSet<(&'static str, String)>,
}

impl Standard {
    fn of(solution: &Solution) -> Self {
        Self {
            relays: relays(solution),
            states: solution.states.len(),
            open: solution.findings.iter().filter_map(mendable).collect(),
        }
    }

    fn is_met(&self, solution: &Solution) -> bool {
        let mut open = solution.findings.iter().filter_map(mendable);
        solution.states.len() == self.states
            && relays(solution) == self.relays
            && open.all(|finding| self.open.contains(&finding))
    }
}

fn mendable(finding: &Finding) -> Option<(&'static str, String)> {
    let key = || (finding.code.name(), finding.subject.clone());
    finding.sizing_can_mend.then(key)
}

fn relays(solution: &Solution) -> Vec<(String, String, Option<bool>)> {
    let of = |state: &crate::solving::StateSolution| {
        let relays = state.relays.iter();
        let named = relays.map(|(name, r)| (state.name.clone(), name.clone(), r.pulled_in));
        named.collect::<Vec<_>>()
    };
    solution.states.iter().flat_map(of).collect()
}

/// The places of a lighter choice that breaks nothing more than the answer
/// does; none where there is none or none was found. `file` has the places of
/// the file's own sizes.
///
/// # Errors
/// As [`solve`].
pub(super) fn lighter(
    task: &Task<'_>,
    settled: &Settled,
    file: &[Option<usize>],
) -> Result<Option<Vec<Option<usize>>>, SolveError> {
    let mut needs = settled.needs.clone();
    if shifts_currents(settled) {
        // Its currents are not those of another choice: the solve is to judge.
        needs.forget_currents();
    }
    let (legal, _) = task.legal(&needs, &settled.plan.targets)?;
    let standard = Standard::of(&settled.survey.solution);
    let now: Vec<usize> = settled.plan.sizes.iter().map(|s| s.unwrap_or(0)).collect();
    let try_out = Trial {
        task,
        settled,
        standard,
    };
    let count = legal
        .iter()
        .try_fold(1usize, |all, of| all.checked_mul(of.len()))
        .unwrap_or(usize::MAX);
    let found = if count <= ALL_OF {
        try_out.whole(&legal, &now)?
    } else {
        try_out.neighbours(&legal, now)?
    };
    let Some(found) = found else {
        return Ok(None);
    };
    // Of choices alike in copper the file's own, so that nothing changes idly.
    let own: Vec<usize> = file.iter().map(|size| size.unwrap_or(0)).collect();
    let is_legal = own.iter().zip(&legal).all(|(place, of)| of.contains(place));
    let is_light = try_out.kg(&own) <= try_out.kg(&found) * (1.0 + 1e-9);
    if is_legal && is_light && try_out.holds(&own)? {
        return Ok(Some(task.sizes(&own)));
    }
    Ok(Some(task.sizes(&found)))
}

/// Whether sizes shift current from one wire to another in any state.
fn shifts_currents(settled: &Settled) -> bool {
    let states = &settled.survey.contributions;
    states.iter().any(|state| !state.by_loads_alone)
}

struct Trial<'a> {
    task: &'a Task<'a>,
    settled: &'a Settled,
    standard: Standard,
}

impl Trial<'_> {
    fn kg(&self, places: &[usize]) -> f64 {
        self.task.kg(&self.task.sizes(places))
    }

    fn holds(&self, places: &[usize]) -> Result<bool, SolveError> {
        let sizes = self.task.sizes(places);
        let circuit: Circuit = self.task.applied(&sizes, &self.settled.plan.ratings);
        Ok(self.standard.is_met(&solve(&circuit)?))
    }

    /// The lightest of all choices below the answer that holds.
    fn whole(&self, legal: &[Vec<usize>], now: &[usize]) -> Result<Option<Vec<usize>>, SolveError> {
        let mut all: Vec<Vec<usize>> = vec![Vec::new()];
        for places in legal {
            let longer = all.iter().flat_map(|head| {
                let with = |place: &usize| [head.as_slice(), &[*place]].concat();
                places.iter().map(with)
            });
            all = longer.collect();
        }
        let most_kg = self.kg(now) * (1.0 - 1e-9);
        let weighed = all.into_iter().map(|places| (self.kg(&places), places));
        let mut below: Vec<(f64, Vec<usize>)> = weighed.filter(|(kg, _)| *kg < most_kg).collect();
        below.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        for (_, places) in below {
            if self.holds(&places)? {
                return Ok(Some(places));
            }
        }
        Ok(None)
    }

    /// Steps to lighter neighbours while there are any.
    fn neighbours(
        &self,
        legal: &[Vec<usize>],
        mut now: Vec<usize>,
    ) -> Result<Option<Vec<usize>>, SolveError> {
        let pairs = shifts_currents(self.settled);
        let mut solves = 0;
        let mut moved = false;
        'again: loop {
            let mut next = self.one_down(legal, &now);
            if pairs {
                next.extend(self.one_down_one_up(legal, &now));
            }
            for places in next {
                solves += 1;
                if solves > MOST_SOLVES {
                    break 'again;
                }
                if self.holds(&places)? {
                    now = places;
                    moved = true;
                    continue 'again;
                }
            }
            break;
        }
        Ok(moved.then_some(now))
    }

    /// Choices with one wire a step thinner, most copper saved first.
    fn one_down(&self, legal: &[Vec<usize>], now: &[usize]) -> Vec<Vec<usize>> {
        let down = |wire: usize| Some(with(now, wire, stepped(&legal[wire], now[wire], false)?));
        let all = (0..now.len()).filter_map(down);
        self.lightest_first(all.collect(), now)
    }

    /// Choices with one wire a step thinner and another a step thicker.
    fn one_down_one_up(&self, legal: &[Vec<usize>], now: &[usize]) -> Vec<Vec<usize>> {
        let mut all = Vec::new();
        for thinner in self.one_down(legal, now) {
            for wire in 0..now.len() {
                if let Some(up) = stepped(&legal[wire], thinner[wire], true) {
                    all.push(with(&thinner, wire, up));
                }
            }
        }
        self.lightest_first(all, now)
    }

    fn lightest_first(&self, all: Vec<Vec<usize>>, now: &[usize]) -> Vec<Vec<usize>> {
        let most_kg = self.kg(now) * (1.0 - 1e-9);
        let weighed = all.into_iter().map(|places| (self.kg(&places), places));
        let mut lighter: Vec<(f64, Vec<usize>)> = weighed.filter(|(kg, _)| *kg < most_kg).collect();
        lighter.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        lighter.into_iter().map(|(_, places)| places).collect()
    }
}

/// The next legal place above or below one.
fn stepped(legal: &[usize], place: usize, up: bool) -> Option<usize> {
    if up {
        legal.iter().copied().find(|other| *other > place)
    } else {
        legal.iter().copied().rfind(|other| *other < place)
    }
}

fn with(now: &[usize], wire: usize, place: usize) -> Vec<usize> {
    let mut other = now.to_vec();
    other[wire] = place;
    other
}
