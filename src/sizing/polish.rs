//! The last look: lighter neighbours of an answer, put to the full judge.
//!
//! The search holds for given currents, and what looks at earlier answers have
//! raised may be raised for nothing. So wires are taken down one by one, and
//! one down while another goes up where currents depend on sizes.

use super::frontier::Option3;
use super::judge::Judge;
use super::needs::Row;
use super::plan::Task;
use super::rounds::Settled;
use crate::solving::SolveError;

/// Choices of neighbours put to the judge.
const MOST_TRIALS: usize = 400;

/// The places of a lighter choice that breaks nothing more than the answer
/// does, or of the file's own sizes, `file`, where they are as light; none
/// where neither was found.
///
/// # Errors
/// A figure that no table has.
pub(super) fn lighter(
    task: &Task<'_>,
    settled: &Settled,
    judge: &Judge<'_>,
    file: &[Option<usize>],
) -> Result<Option<Vec<usize>>, SolveError> {
    let mut needs = settled.needs.clone();
    if shifts_currents(settled) {
        // Its currents are not those of another choice: the solve is to judge.
        needs.forget_currents();
    }
    let (legal, _) = task.legal(&needs, &settled.plan.targets)?;
    let options = task.options(&settled.needs, &legal)?;
    let now: Vec<usize> = settled.plan.sizes.iter().map(|s| s.unwrap_or(0)).collect();
    let steps = Steps {
        task,
        judge,
        rows: &settled.needs.rows,
        legal: &legal,
        options: &options,
        start: &now,
    };
    let found = steps.descend(now.clone(), shifts_currents(settled))?;
    // Of choices alike in copper the file's own, so that nothing changes idly.
    let own: Vec<usize> = file.iter().map(|size| size.unwrap_or(0)).collect();
    let best = found.clone().unwrap_or(now.clone());
    let is_legal = own.iter().zip(&legal).all(|(place, of)| of.contains(place));
    let is_light = judge.cost_kg(&own) <= judge.cost_kg(&best) * (1.0 + 1e-9);
    let is_in_stock = file
        .iter()
        .zip(task.choices)
        .all(|(place, of)| of.fixed || place.is_some());
    if own != now && is_legal && is_in_stock && is_light && judge.holds(&own)? {
        return Ok(Some(own));
    }
    Ok(found)
}

/// Whether sizes shift current from one wire to another in any state.
fn shifts_currents(settled: &Settled) -> bool {
    let states = &settled.survey.contributions;
    states.iter().any(|state| !state.by_loads_alone)
}

struct Steps<'a> {
    task: &'a Task<'a>,
    judge: &'a Judge<'a>,
    rows: &'a [Row],
    legal: &'a [Vec<usize>],
    options: &'a [Vec<Option3>],
    start: &'a [usize],
}

/// How far above a limit, for the answer's currents, a choice may stand to be
/// worth a trial: sizes shift currents by less than that.
const WORTH: f64 = 1.15;

impl Steps<'_> {
    /// Steps to lighter neighbours while there are any.
    fn descend(&self, mut now: Vec<usize>, pairs: bool) -> Result<Option<Vec<usize>>, SolveError> {
        let mut trials = 0;
        let mut moved = false;
        'again: loop {
            let mut next = self.one_down(&now);
            if pairs {
                next.extend(self.one_down_one_up(&now));
            }
            for places in next.into_iter().filter(|places| self.is_promising(places)) {
                trials += 1;
                if trials > MOST_TRIALS {
                    break 'again;
                }
                if self.judge.holds(&places)? {
                    now = places;
                    moved = true;
                    continue 'again;
                }
            }
            break;
        }
        Ok(moved.then_some(now))
    }

    /// Whether a choice is worth a trial by the limits for the answer's currents.
    fn is_promising(&self, places: &[usize]) -> bool {
        self.rows.iter().all(|row| {
            let most_v = row.limit_v.max(self.volts(row, self.start));
            self.volts(row, places) <= WORTH * most_v
        })
    }

    fn volts(&self, row: &Row, places: &[usize]) -> f64 {
        let volts = row.amps.iter().map(|(wire, amps)| {
            let mut options = self.options[*wire].iter();
            let chosen = options.find(|option| option.choice == places[*wire]);
            chosen.map_or(0.0, |option| amps * option.ohm[row.ohms as usize])
        });
        volts.sum()
    }

    /// Choices with one wire a step thinner, most copper saved first.
    fn one_down(&self, now: &[usize]) -> Vec<Vec<usize>> {
        let down = |wire: usize| Some(with(now, wire, self.stepped(wire, now[wire], false)?));
        let all = (0..now.len()).filter_map(down);
        self.lightest_first(all.collect(), now)
    }

    /// Choices with one wire a step thinner and another a step thicker.
    fn one_down_one_up(&self, now: &[usize]) -> Vec<Vec<usize>> {
        let mut all = Vec::new();
        for thinner in self.one_down(now) {
            for wire in 0..now.len() {
                if let Some(up) = self.stepped(wire, thinner[wire], true) {
                    all.push(with(&thinner, wire, up));
                }
            }
        }
        self.lightest_first(all, now)
    }

    /// The next legal place of a wire above or below one.
    fn stepped(&self, wire: usize, place: usize, up: bool) -> Option<usize> {
        let mut legal = self.legal[wire].iter().copied();
        if self.task.choices[wire].fixed {
            None
        } else if up {
            legal.find(|other| *other > place)
        } else {
            legal.rfind(|other| *other < place)
        }
    }

    fn lightest_first(&self, all: Vec<Vec<usize>>, now: &[usize]) -> Vec<Vec<usize>> {
        let most_kg = self.judge.cost_kg(now) * (1.0 - 1e-9);
        let weighed = all
            .into_iter()
            .map(|places| (self.judge.cost_kg(&places), places));
        let mut lighter: Vec<(f64, Vec<usize>)> = weighed.filter(|(kg, _)| *kg < most_kg).collect();
        lighter.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        lighter.into_iter().map(|(_, places)| places).collect()
    }
}

fn with(now: &[usize], wire: usize, place: usize) -> Vec<usize> {
    let mut other = now.to_vec();
    other[wire] = place;
    other
}
