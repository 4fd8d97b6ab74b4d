//! A first answer: every wire at its least, raised where a volt costs least
//! copper; then lowered and swapped while that saves any.

use super::problem::Problem;

/// Volts used up under each limit, and copper, of the groups decided so far.
#[derive(Debug, Clone)]
pub(super) struct Load {
    volts: Vec<f64>,
    /// Copper of the groups, kg.
    pub(super) kg: f64,
}

/// Relative room for rounding when volts are summed up.
const ROUNDING: f64 = 1e-12;

impl Load {
    /// Nothing decided.
    pub(super) fn none(problem: &Problem) -> Self {
        Self {
            volts: vec![0.0; problem.limits_v.len()],
            kg: 0.0,
        }
    }

    fn of(problem: &Problem, picks: &[usize]) -> Self {
        let mut load = Self::none(problem);
        for (group, point) in picks.iter().enumerate() {
            load.add(problem, group, *point);
        }
        load
    }

    /// Volts used up under a limit.
    pub(super) fn volts(&self, row: usize) -> f64 {
        self.volts[row]
    }

    /// Whether volts stay within a limit.
    pub(super) fn fits(problem: &Problem, row: usize, volts: f64) -> bool {
        let limit_v = problem.limits_v[row];
        volts <= limit_v + ROUNDING * (limit_v.abs() + volts.abs())
    }

    /// Takes a point of a group in.
    pub(super) fn add(&mut self, problem: &Problem, group: usize, point: usize) {
        self.change(problem, group, point, 1.0);
    }

    /// Takes it out again.
    pub(super) fn remove(&mut self, problem: &Problem, group: usize, point: usize) {
        self.change(problem, group, point, -1.0);
    }

    fn change(&mut self, problem: &Problem, group: usize, point: usize, sign: f64) {
        let of = &problem.groups[group];
        let point = &of.points[point];
        self.kg += sign * point.kg;
        for (row, amps) in &of.amps {
            self.volts[*row] += sign * amps * point.ohm[problem.ohms[*row]];
        }
    }

    fn holds(&self, problem: &Problem) -> bool {
        (0..self.volts.len()).all(|row| Self::fits(problem, row, self.volts[row]))
    }
}

/// The thickest of every group with which all limits are met, from the
/// thinnest on by the most excess volts taken away per copper added.
pub(super) fn first_answer(problem: &Problem) -> Vec<usize> {
    raised(problem, vec![0; problem.groups.len()])
}

/// Raises a choice until it meets all limits.
pub(super) fn raised(problem: &Problem, mut picks: Vec<usize>) -> Vec<usize> {
    let mut load = Load::of(problem, &picks);
    while !load.holds(problem) {
        let mut best: Option<(f64, usize, usize)> = None;
        for (group, &from) in picks.iter().enumerate() {
            for to in from + 1..problem.groups[group].points.len() {
                let gain = gain(problem, &load, group, from, to);
                if gain > 0.0 && best.is_none_or(|(most, ..)| gain > most) {
                    best = Some((gain, group, to));
                }
            }
        }
        let Some((_, group, to)) = best else { break };
        load.remove(problem, group, picks[group]);
        load.add(problem, group, to);
        picks[group] = to;
    }
    picks
}

/// Excess volts taken away, each as a share of its excess, per copper added.
fn gain(problem: &Problem, load: &Load, group: usize, from: usize, to: usize) -> f64 {
    let of = &problem.groups[group];
    let (from, to) = (&of.points[from], &of.points[to]);
    let mut taken = 0.0;
    for (row, amps) in &of.amps {
        let excess_v = load.volts[*row] - problem.limits_v[*row];
        if Load::fits(problem, *row, load.volts[*row]) {
            continue;
        }
        let kind = problem.ohms[*row];
        let less_v = amps * (from.ohm[kind] - to.ohm[kind]);
        taken += less_v.min(excess_v) / excess_v;
    }
    taken / (to.kg - from.kg).max(f64::MIN_POSITIVE)
}

/// Lowers each group as far as the others allow, most copper first, then tries
/// raising one by a step or two so that others may come down.
pub(super) fn improve(problem: &Problem, picks: Vec<usize>) -> Vec<usize> {
    let mut best = lowered(problem, picks);
    let mut best_kg = problem.kg(&best);
    loop {
        let mut found = None;
        for group in 0..best.len() {
            for step in 1..=2 {
                let to = best[group] + step;
                if to >= problem.groups[group].points.len() {
                    continue;
                }
                let mut swapped = best.clone();
                swapped[group] = to;
                let swapped = lowered_but(problem, swapped, group);
                let kg = problem.kg(&swapped);
                if kg < best_kg * (1.0 - 1e-9) {
                    best_kg = kg;
                    found = Some(swapped);
                }
            }
        }
        match found {
            Some(better) => best = better,
            None => return best,
        }
    }
}

fn lowered(problem: &Problem, picks: Vec<usize>) -> Vec<usize> {
    lowered_but(problem, picks, usize::MAX)
}

/// Lowers every group but one to its lightest point that still fits, that with
/// the most to save first.
fn lowered_but(problem: &Problem, mut picks: Vec<usize>, held: usize) -> Vec<usize> {
    let mut load = Load::of(problem, &picks);
    loop {
        let mut best: Option<(f64, usize, usize)> = None;
        for (group, &from) in picks.iter().enumerate() {
            if group == held {
                continue;
            }
            load.remove(problem, group, from);
            let to = (0..from).find(|&to| fits_with(problem, &load, group, to));
            load.add(problem, group, from);
            if let Some(to) = to {
                let points = &problem.groups[group].points;
                let saved_kg = points[from].kg - points[to].kg;
                if best.is_none_or(|(most, ..)| saved_kg > most) {
                    best = Some((saved_kg, group, to));
                }
            }
        }
        let Some((_, group, to)) = best else {
            return picks;
        };
        load.remove(problem, group, picks[group]);
        load.add(problem, group, to);
        picks[group] = to;
    }
}

fn fits_with(problem: &Problem, load: &Load, group: usize, point: usize) -> bool {
    let of = &problem.groups[group];
    of.amps.iter().all(|(row, amps)| {
        let volts = load.volts[*row] + amps * of.points[point].ohm[problem.ohms[*row]];
        Load::fits(problem, *row, volts)
    })
}
