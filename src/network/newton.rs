//! Newton's method for a lane group: the hot loop.

use super::balance;
use super::elimination::{
    back_substitute, back_substitute_static, eliminate_static, eliminate_step,
};
use super::plan::Layout;
use super::stamping::{Known, State, stamp_linear, stamp_step};
use super::start::{Settings, Start};

/// How far a lane came.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Status {
    /// Solved and balanced.
    Solved,
    /// To be handed to the damped method.
    Stuck,
    /// Constant power asks for more than the supply can give.
    Collapse {
        /// Position of the node in question.
        position: usize,
    },
    /// No balanced point was found.
    NotConverged {
        /// Position of the node with the largest imbalance.
        position: usize,
    },
}

/// Everything a lane group needs, allocated once.
#[derive(Debug)]
pub(crate) struct Group<const W: usize> {
    /// Parameters, in the plan's layout.
    pub(crate) parameters: Vec<[f64; W]>,
    /// Conductances and injected currents, in the plan's layout.
    pub(crate) store: Vec<[f64; W]>,
    /// Voltages by position, the reference's zero last.
    pub(crate) voltages: Vec<[f64; W]>,
    /// States of heated branches.
    pub(crate) states: Vec<State<W>>,
    /// Branch currents, sorted order.
    pub(crate) currents: Vec<[f64; W]>,
    /// Sum of currents leaving each position.
    pub(crate) imbalance: Vec<[f64; W]>,
    /// Largest imbalance of each lane, amperes.
    pub(crate) residual_a: [f64; W],
    /// Newton steps of each lane.
    pub(crate) steps: [u32; W],
    /// Smallest pivot sum of each lane in the last step.
    pub(crate) lowest: [f64; W],
    /// How far each lane came.
    pub(crate) status: [Status; W],
}

impl<const W: usize> Group<W> {
    pub(crate) fn new(layout: &Layout) -> Self {
        let states = layout
            .sorted
            .iter()
            .filter(|link| link.law.has_state())
            .count();
        Self {
            parameters: vec![[0.0; W]; layout.parameters],
            store: vec![[0.0; W]; layout.symbolic.store],
            voltages: vec![[0.0; W]; layout.nodes],
            states: vec![
                State {
                    conductance: [0.0; W],
                    i0: [0.0; W]
                };
                states
            ],
            currents: vec![[0.0; W]; layout.sorted.len()],
            imbalance: vec![[0.0; W]; layout.nodes],
            residual_a: [0.0; W],
            steps: [0; W],
            lowest: [0.0; W],
            status: [Status::Stuck; W],
        }
    }

    /// Puts voltages and states where `start` says; returns the load voltage of a flat start.
    pub(crate) fn begin(&mut self, layout: &Layout, start: &Start) -> Option<f64> {
        match start {
            Start::Flat { load_v } => {
                self.voltages.fill([0.0; W]);
                self.states.fill(State {
                    conductance: [0.0; W],
                    i0: [0.0; W],
                });
                Some(*load_v)
            }
            Start::From {
                voltages_v,
                currents_a,
            } => {
                let reference = voltages_v
                    .get(layout.node_at[layout.pivots])
                    .copied()
                    .unwrap_or(0.0);
                for (voltage, &node) in self.voltages.iter_mut().zip(&layout.node_at) {
                    *voltage = [voltages_v.get(node).copied().unwrap_or(0.0) - reference; W];
                }
                let heated = layout.sorted.iter().filter(|link| link.law.has_state());
                for (state, link) in self.states.iter_mut().zip(heated) {
                    let i0 = currents_a.get(link.branch).copied().unwrap_or(0.0);
                    *state = State {
                        conductance: [0.0; W],
                        i0: [i0; W],
                    };
                }
                None
            }
        }
    }
}

/// Runs plain Newton on every lane until it has converged or is stuck.
#[multiversion::multiversion(targets("x86_64+avx2"), dispatcher = "direct")]
pub(crate) fn run<const W: usize>(
    layout: &Layout,
    group: &mut Group<W>,
    flat: Option<f64>,
    settings: &Settings,
) {
    let mut active = [1.0; W];
    group.steps = [0; W];
    group.status = [Status::Solved; W];
    stamp_linear(layout, &group.parameters, &mut group.store);
    let static_lowest = eliminate_static(layout, &mut group.store);
    for turn in 0..settings.most_steps {
        let is_first = turn == 0;
        let flat = flat.filter(|_| is_first);
        let known = Known {
            layout,
            parameters: &group.parameters,
            voltages: &group.voltages,
            active: &active,
            is_first,
            flat,
        };
        let distance = stamp_step(&known, &mut group.states, &mut group.store);
        group.lowest = eliminate_step::<W, false>(layout, &mut group.store, static_lowest);
        let step = back_substitute(layout, &group.store, &active, &mut group.voltages);
        for lane in 0..W {
            if active[lane] > 0.0 {
                group.steps[lane] += 1;
                let is_settled = step[lane] < settings.step_v
                    && distance[lane] < settings.step_v
                    && flat.is_none();
                if group.lowest[lane] < 0.0 {
                    group.status[lane] = Status::Stuck;
                    active[lane] = 0.0;
                } else if is_settled {
                    active[lane] = 0.0;
                }
            }
        }
        if active.iter().all(|&lane| lane == 0.0) {
            break;
        }
    }
    back_substitute_static(layout, &group.store, &mut group.voltages);
    balance::settle(layout, group);
    for lane in 0..W {
        if active[lane] > 0.0 {
            group.status[lane] = Status::Stuck;
        }
    }
}

/// Stamps at the present point and eliminates, keeping what later right-hand sides need.
#[multiversion::multiversion(targets("x86_64+avx2"), dispatcher = "direct")]
pub(crate) fn linearise<const W: usize>(layout: &Layout, group: &mut Group<W>) {
    let active = [1.0; W];
    stamp_linear(layout, &group.parameters, &mut group.store);
    let static_lowest = eliminate_static(layout, &mut group.store);
    let known = Known {
        layout,
        parameters: &group.parameters,
        voltages: &group.voltages,
        active: &active,
        is_first: false,
        flat: None,
    };
    stamp_step(&known, &mut group.states, &mut group.store);
    group.lowest = eliminate_step::<W, true>(layout, &mut group.store, static_lowest);
}

/// Branch currents and imbalances at the present point.
#[multiversion::multiversion(targets("x86_64+avx2"), dispatcher = "direct")]
pub(crate) fn settle<const W: usize>(layout: &Layout, group: &mut Group<W>) {
    balance::settle(layout, group);
}
