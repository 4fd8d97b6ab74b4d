//! The damped method for a lane that plain Newton did not settle.
//!
//! All laws but constant power are monotone, so the point sought is the minimum of
//! a convex function, the co-content `sum over branches of the integral of i dv`;
//! Newton with a line search on its directional derivative finds it from anywhere.
//! Constant power is approached from above: first drawing nothing, then a held
//! current worked out afresh from each voltage, which falls toward the upper
//! solution or, if there is none, past the cut-off; Newton finishes.
//! A branch that falls past its cut-off keeps the linear law it has there.

use super::branch::Law;
use super::connectivity::{Reach, slot_of};
use super::laws;
use super::newton::{Group, Status};
use super::plan::Layout;
use super::stamping::State;

/// What a branch is held to while the damped method runs.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Mode {
    /// Its own law.
    Law,
    /// A constant current, amperes.
    Held(f64),
    /// A constant conductance, siemens.
    Linear(f64),
}

/// How a run of plain Newton steps ended.
enum Try {
    Balanced,
    NoSolutionHere,
    Undecided,
}

/// One lane being solved.
struct Lane<'a> {
    layout: &'a Layout,
    parameters: &'a [[f64; 1]],
    is_root: Vec<bool>,
    residual_a: f64,
    slots: Vec<Option<usize>>,
    modes: Vec<Mode>,
    voltages: Vec<f64>,
    conductances: Vec<f64>,
    injected: Vec<f64>,
    steps: u32,
}

/// Steps within which the convex problem converges in practice; more means it will not.
const MOST_DAMPED: usize = 300;
/// Held currents tried before a failing Newton is believed.
const HELD_BEFORE_VERDICT: usize = 40;
/// Held currents tried in all.
const MOST_HELD: usize = 2000;

/// Longest step of any node, volts.
const LONGEST_STEP_V: f64 = 1000.0;
/// Derivative along a step, relative to its start, that counts as its minimum.
const FLAT: f64 = 0.01;
/// Steps too small to matter after which an imbalance is believed to stay.
const MOST_TINY: usize = 20;

fn stiffer(spring_s: f64) -> f64 {
    (spring_s * 10.0).max(1e-9)
}

fn looser(spring_s: f64) -> f64 {
    if spring_s > 1e-12 {
        spring_s * 0.2
    } else {
        0.0
    }
}

/// Solves the one lane of `group` from its present voltages; leaves voltages and states there.
pub(crate) fn solve(
    layout: &Layout,
    group: &mut Group<1>,
    reach: &Reach,
    residual_a: f64,
) -> Status {
    let mut lane = Lane {
        layout,
        parameters: &group.parameters,
        is_root: reach.is_root.iter().map(|mask| mask & 1 != 0).collect(),
        residual_a,
        slots: (0..layout.sorted.len())
            .map(|at| slot_of(layout, at))
            .collect(),
        modes: vec![Mode::Law; layout.sorted.len()],
        voltages: group.voltages.iter().map(|v| v[0]).collect(),
        conductances: vec![0.0; layout.pivots + layout.symbolic.entries.len()],
        injected: vec![0.0; layout.nodes],
        steps: 0,
    };
    let status = lane.run();
    let heated = layout
        .sorted
        .iter()
        .enumerate()
        .filter(|(_, link)| link.law.has_state());
    for (state, (at, _)) in group.states.iter_mut().zip(heated) {
        let scale = lane.parameters[layout.parameters_at(at)][0];
        let current = lane.evaluate(at, lane.voltage(at)).0;
        *state = State {
            conductance: [0.0],
            i0: [if scale > 0.0 { current / scale } else { 0.0 }],
        };
    }
    for (voltage, v) in group.voltages.iter_mut().zip(&lane.voltages) {
        voltage[0] = *v;
    }
    group.steps = [lane.steps];
    status
}

impl Lane<'_> {
    fn run(&mut self) -> Status {
        let of_power = self.layout.of_law[Law::ConstantPower as usize].clone();
        let powers: Vec<usize> = of_power
            .filter(|&at| self.law_value(at, 0) * self.law_value(at, 1) > 0.0)
            .collect();
        if powers.is_empty() {
            return if self.descend() {
                Status::Solved
            } else {
                self.not_converged()
            };
        }
        // Each round either ends or takes at least one branch below its cut-off for good.
        for _ in 0..=powers.len() {
            if let Some(status) = self.approach(&powers) {
                return status;
            }
        }
        self.not_converged()
    }

    fn not_converged(&self) -> Status {
        Status::NotConverged {
            position: self.excess().0,
        }
    }

    /// Approaches constant power from above; none if a branch newly fell below its cut-off.
    fn approach(&mut self, powers: &[usize]) -> Option<Status> {
        let alive: Vec<usize> = powers
            .iter()
            .copied()
            .filter(|&at| !matches!(self.modes[at], Mode::Linear(_)))
            .collect();
        for &at in &alive {
            self.modes[at] = Mode::Held(0.0);
        }
        if !self.descend() {
            return Some(self.not_converged());
        }
        let mut next_try = 1;
        for held in 0..MOST_HELD {
            let fallen: Vec<usize> = alive
                .iter()
                .copied()
                .filter(|&at| self.over_cut(at) < 1.0)
                .collect();
            if !fallen.is_empty() {
                // What is below the cut-off without any draw can never be above it with;
                // later on the lowest falls first and may save the others.
                let lowest = self.lowest(&fallen);
                for at in fallen.into_iter().filter(|&at| held == 0 || at == lowest) {
                    self.fall(at);
                }
                return None;
            }
            if held + 1 >= next_try || alive.is_empty() {
                next_try *= 2;
                let from = self.voltages.clone();
                for &at in &alive {
                    self.modes[at] = Mode::Law;
                }
                match self.plain(&alive) {
                    Try::Balanced => return Some(self.verdict(powers)),
                    Try::NoSolutionHere if held >= HELD_BEFORE_VERDICT => {
                        self.voltages = from;
                        let lowest = self.lowest(&alive);
                        self.fall(lowest);
                        return None;
                    }
                    Try::NoSolutionHere | Try::Undecided => self.voltages = from,
                }
            }
            for &at in &alive {
                let v = self.voltage(at);
                let current = self.law_value(at, 0) * self.law_value(at, 1) / v;
                self.modes[at] = Mode::Held(current);
            }
            let from = self.voltages.clone();
            if !self.descend() {
                // Nothing can carry what is held: the lowest gives up.
                self.voltages = from;
                let lowest = self.lowest(&alive);
                self.fall(lowest);
                return None;
            }
        }
        let position = self.node_of(self.lowest(&alive));
        Some(Status::Collapse { position })
    }

    /// The balanced point stands if every fallen branch is indeed below its cut-off.
    fn verdict(&self, powers: &[usize]) -> Status {
        let risen = powers.iter().find(|&&at| {
            matches!(self.modes[at], Mode::Linear(_)) && self.over_cut(at) > 1.0 + 1e-9
        });
        risen.map_or(Status::Solved, |&at| Status::Collapse {
            position: self.node_of(at),
        })
    }

    fn fall(&mut self, at: usize) {
        self.modes[at] = Mode::Linear(self.law_value(at, 0) * self.law_value(at, 3));
    }

    fn law_value(&self, at: usize, slot: usize) -> f64 {
        self.parameters[self.layout.parameters_at(at) + slot][0]
    }

    /// Voltage over cut-off voltage of a constant-power branch.
    fn over_cut(&self, at: usize) -> f64 {
        self.voltage(at).abs() / self.law_value(at, 2)
    }

    fn lowest(&self, among: &[usize]) -> usize {
        let by_height =
            |one: &&usize, other: &&usize| self.over_cut(**one).total_cmp(&self.over_cut(**other));
        among.iter().min_by(by_height).copied().unwrap_or_default()
    }

    fn node_of(&self, at: usize) -> usize {
        self.layout.sorted[at].from as usize
    }

    fn voltage(&self, at: usize) -> f64 {
        let link = &self.layout.sorted[at];
        self.voltages[link.from as usize] - self.voltages[link.to as usize]
    }

    /// Current and slope of a branch at `v` volts.
    fn evaluate(&self, at: usize, v: f64) -> (f64, f64) {
        match self.modes[at] {
            Mode::Held(current) => (current, 0.0),
            Mode::Linear(conductance) => (conductance * v, conductance),
            Mode::Law => {
                let law = self.layout.sorted[at].law;
                let first = self.layout.parameters_at(at);
                let mut p = [0.0; Law::MOST_STORED];
                let p = &mut p[..law.stored()];
                for (slot, value) in p.iter_mut().enumerate() {
                    *value = self.parameters[first + slot][0];
                }
                laws::exact(law, p, v)
            }
        }
    }

    /// Plain Newton from here, constant power by its law.
    fn plain(&mut self, alive: &[usize]) -> Try {
        for _ in 0..15 {
            if self.excess().1 <= 0.0 {
                return Try::Balanced;
            }
            let Ok(target) = self.target(0.0) else {
                return Try::NoSolutionHere;
            };
            self.voltages = target;
            self.steps += 1;
            if alive.iter().any(|&at| self.over_cut(at) < 1.0) {
                return Try::NoSolutionHere;
            }
        }
        Try::Undecided
    }

    /// Damped Newton on the convex problem; true once balanced.
    ///
    /// Far out on a law that has gone flat (a diode blocking, a charger at its limit) the
    /// Newton step means nothing: then a spring ties every node to where it is, stiffer
    /// while steps are poor and let go while they are good. It moves no solution.
    fn descend(&mut self) -> bool {
        let mut spring_s = 0.0;
        let mut tiny = 0;
        for _ in 0..MOST_DAMPED {
            if self.excess().1 <= 0.0 {
                return true;
            }
            let Ok(target) = self.target(spring_s) else {
                spring_s = stiffer(spring_s);
                continue;
            };
            let mut step: Vec<f64> = target
                .iter()
                .zip(&self.voltages)
                .map(|(new, old)| new - old)
                .collect();
            let size = step
                .iter()
                .fold(0.0_f64, |size, change| size.max(change.abs()));
            if !size.is_finite() {
                return false;
            }
            if size > LONGEST_STEP_V {
                spring_s = stiffer(spring_s);
                for change in &mut step {
                    *change *= LONGEST_STEP_V / size;
                }
            }
            let part = if size < 1e-7 {
                1.0
            } else {
                self.line_search(&step)
            };
            if part < 0.1 {
                spring_s = stiffer(spring_s);
            } else if size <= LONGEST_STEP_V {
                spring_s = looser(spring_s);
            }
            tiny = if size < 1e-7 { tiny + 1 } else { 0 };
            if tiny > MOST_TINY {
                return false;
            }
            for (v, change) in self.voltages.iter_mut().zip(&step) {
                *v += part * change;
            }
            self.steps += 1;
        }
        false
    }

    /// Derivative of the co-content along `step`, at `part` of it.
    fn derivative(&self, step: &[f64], part: f64) -> f64 {
        let links = self.layout.sorted.iter().enumerate();
        links.fold(0.0, |sum, (at, link)| {
            let change = step[link.from as usize] - step[link.to as usize];
            let v = self.voltage(at) + part * change;
            if change == 0.0 {
                sum
            } else {
                sum + self.evaluate(at, v).0 * change
            }
        })
    }

    /// The part of `step` to take: where the derivative has clearly shrunk.
    fn line_search(&self, step: &[f64]) -> f64 {
        let start = self.derivative(step, 0.0);
        if !(start < 0.0) {
            return 1.0;
        }
        let (mut low, mut at_low) = (0.0, start);
        let (mut high, mut at_high) = (1.0, self.derivative(step, 1.0));
        let mut doublings = 0;
        while at_high < 0.9 * start && doublings < 20 {
            (low, at_low) = (high, at_high);
            high *= 2.0;
            at_high = self.derivative(step, high);
            doublings += 1;
        }
        // A clearly positive derivative may have been so all along: no descent is sure there.
        if at_high <= FLAT * -start {
            return high;
        }
        for turn in 0..60 {
            let straight = low - at_low * (high - low) / (at_high - at_low);
            // Every third turn halves, so the bracket shrinks whatever the shape.
            let part = if turn % 3 == 2 || !straight.is_finite() {
                0.5 * (low + high)
            } else {
                straight
            };
            let here = self.derivative(step, part);
            if here <= FLAT * -start && here >= 0.5 * start {
                return part;
            }
            if here < 0.0 {
                (low, at_low) = (part, here);
            } else {
                (high, at_high) = (part, here);
            }
        }
        if low > 0.0 { low } else { 0.5 * (low + high) }
    }

    /// Position with the largest imbalance less allowance, and that excess.
    fn excess(&self) -> (usize, f64) {
        let mut sums = vec![(0.0_f64, 0.5 * self.residual_a); self.layout.nodes];
        for (at, link) in self.layout.sorted.iter().enumerate() {
            if self.slots[at].is_none() {
                continue;
            }
            let (from, to) = (
                self.voltages[link.from as usize],
                self.voltages[link.to as usize],
            );
            let (current, slope) = self.evaluate(at, from - to);
            let rounding =
                32.0 * f64::EPSILON * (slope.abs() * (from.abs() + to.abs()) + current.abs());
            sums[link.from as usize].0 += current;
            sums[link.to as usize].0 -= current;
            sums[link.from as usize].1 += rounding;
            sums[link.to as usize].1 += rounding;
        }
        let excess = sums
            .iter()
            .map(|(sum, allowed)| sum.abs() - allowed)
            .enumerate();
        excess
            .max_by(|one, other| one.1.total_cmp(&other.1))
            .unwrap_or((0, 0.0))
    }

    /// Where a full Newton step leads; `spring_s` ties every node to where it is.
    ///
    /// Errors with the position of a pivot without positive conductance.
    fn target(&mut self, spring_s: f64) -> Result<Vec<f64>, usize> {
        let symbolic = &self.layout.symbolic;
        let pivots = self.layout.pivots;
        self.conductances.fill(0.0);
        self.injected.fill(0.0);
        for (at, link) in self.layout.sorted.iter().enumerate() {
            let Some(slot) = self.slots[at] else { continue };
            let v = self.voltage(at);
            let (current, slope) = self.evaluate(at, v);
            let rest = current - slope * v;
            self.conductances[slot] += slope;
            self.injected[link.from as usize] -= rest;
            self.injected[link.to as usize] += rest;
        }
        for (position, pivot) in symbolic.pivots.iter().enumerate() {
            let base = if position < self.layout.statics {
                symbolic.static_at
            } else {
                symbolic.work_at
            };
            let first = pivot.first_entry as usize;
            let count = pivot.count as usize;
            let to_reference = self.conductances[position] + spring_s;
            let injected = self.injected[position] + spring_s * self.voltages[position];
            let row = pivots + first..pivots + first + count;
            let sum = self.conductances[row.clone()]
                .iter()
                .fold(to_reference, |sum, conductance| sum + conductance);
            if self.is_root[position] {
                self.conductances[row].fill(0.0);
                self.injected[position] = 0.0;
                continue;
            }
            if !(sum > 0.0) {
                return Err(position);
            }
            let mut updates = symbolic.updates[pivot.first_update as usize..].iter();
            for at in 0..count {
                let share = self.conductances[row.start + at] / sum;
                let later = symbolic.entries[first + at].row as usize;
                if later < pivots {
                    self.conductances[later] += share * to_reference;
                }
                self.injected[later] += share * injected;
                for other in at + 1..count {
                    if let Some(update) = updates.next() {
                        self.conductances[update.to as usize - base] +=
                            share * self.conductances[row.start + other];
                    }
                }
                self.conductances[row.start + at] = share;
            }
            self.injected[position] = injected / sum;
        }
        let mut target = vec![0.0; pivots + 1];
        for (position, pivot) in symbolic.pivots.iter().enumerate().rev() {
            let first = pivot.first_entry as usize;
            target[position] =
                (first..first + pivot.count as usize).fold(self.injected[position], |v, entry| {
                    v + self.conductances[pivots + entry]
                        * target[symbolic.entries[entry].row as usize]
                });
        }
        Ok(target)
    }
}
