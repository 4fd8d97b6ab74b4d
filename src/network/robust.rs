//! The damped method for a lane that plain Newton did not settle.
//!
//! All laws but constant power are monotone, so the point sought is the minimum of
//! a convex function, the co-content `sum over branches of the integral of i dv`;
//! Newton with a line search on its directional derivative finds it from anywhere.
//! Constant power is approached from above: first drawing nothing, then a held
//! current worked out afresh from each voltage, which falls toward the upper
//! solution or, if there is none, past the cut-off; Newton finishes.
//! A branch that falls past its cut-off keeps the linear law it has there.

mod descent;

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
    parameters: &'a [f64],
    is_root: Vec<bool>,
    residual_a: f64,
    slots: Vec<Option<usize>>,
    /// Branches in circuit that are not linear.
    curved: Vec<usize>,
    modes: Vec<Mode>,
    voltages: Vec<f64>,
    /// Current and slope of every branch at the voltages where the balance was last told.
    lines: Vec<(f64, f64)>,
    conductances: Vec<f64>,
    injected: Vec<f64>,
    steps: u32,
}

/// Held currents tried before a failing Newton is believed.
const HELD_BEFORE_VERDICT: usize = 40;
/// Held currents tried in all.
const MOST_HELD: usize = 2000;

/// Solves the one lane of `group` from its present voltages; leaves voltages and states there.
pub(crate) fn solve(
    layout: &Layout,
    group: &mut Group<1>,
    reach: &Reach,
    residual_a: f64,
) -> Status {
    let parameters = group.parameters.as_flattened();
    let linear = layout.of_law[Law::Conductor as usize].len();
    let mut lane = Lane {
        layout,
        parameters,
        is_root: reach.is_root.iter().map(|mask| mask & 1 != 0).collect(),
        residual_a,
        slots: (0..layout.sorted.len())
            .map(|at| slot_of(layout, at))
            .collect(),
        curved: (linear..layout.sorted.len())
            .filter(|&at| parameters[layout.parameters_at(at)] > 0.0)
            .collect(),
        modes: vec![Mode::Law; layout.sorted.len()],
        lines: vec![(0.0, 0.0); layout.sorted.len()],
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
        let scale = lane.parameters[layout.parameters_at(at)];
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

    fn not_converged(&mut self) -> Status {
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
        self.parameters[self.layout.parameters_at(at) + slot]
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
                laws::exact(law, &self.parameters[first..first + law.stored()], v)
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
}
