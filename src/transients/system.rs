//! One step of the whole circuit.
//!
//! Unknown are the states `x` of each branch and the node voltages `V`:
//! `x' = f(x, v)` in each branch, and the branch currents `i(x, v)` balance at
//! each node. With `D = 1/(h g) - f_x` a stage's change of the states is
//! `k_x = D^-1 (r + f_v k_v)`, so a branch is to the network nothing but the
//! conductance `i_v + i_x D^-1 f_v` and the current `i + i_x D^-1 r`: each
//! stage is one solution of the plain node equations with the same factors.

use super::elements::{Element, MOST, Slopes, States};
use super::local::{Local, dot, padded, times};
use super::rosenbrock::{A, C, DENSE, GAMMA, STAGES, within};
use crate::network::{Linear, PlanError};

/// Nodes, branches and the linear network between them.
#[derive(Debug, Clone)]
pub(super) struct System {
    /// What each branch is.
    pub(super) elements: Vec<Element>,
    /// Its two nodes.
    pub(super) ends: Vec<(usize, usize)>,
    /// Count of nodes.
    pub(super) nodes: usize,
    linear: Linear,
    conductances_s: Vec<f64>,
    /// Branches without memory, with their currents at the step's beginning.
    still: Vec<(usize, f64)>,
    /// Branches with memory.
    locals: Vec<Local>,
    slopes: Slopes,
    /// Their states: at the step's beginning, at a stage, its right-hand side,
    /// and the stages' changes. Those beyond a branch's own stay zero.
    old: Vec<States>,
    x: Vec<States>,
    right: Vec<States>,
    stages_x: [Vec<States>; STAGES],
    /// Node voltages at a stage, and the stages' changes.
    volts: Vec<f64>,
    stages_v: [Vec<f64>; STAGES],
}

/// All unknowns at one moment.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Point {
    /// States of each branch.
    pub(super) x: Vec<States>,
    /// Volts of each node.
    pub(super) v: Vec<f64>,
}

/// A step taken but not yet accepted.
#[derive(Debug, Clone, Default)]
pub(super) struct Step {
    /// Where it ends.
    pub(super) end: Point,
    /// Estimated error over the error allowed; below 1 is accepted.
    pub(super) error: f64,
    /// Dense terms of states, by branch with memory, and of nodes.
    dense_x: [Vec<States>; 2],
    dense_v: [Vec<f64>; 2],
}

impl System {
    /// Plans the network.
    ///
    /// # Errors
    /// A branch that ends nowhere.
    pub(super) fn new(
        elements: Vec<Element>,
        ends: Vec<(usize, usize)>,
        nodes: usize,
        reference: usize,
    ) -> Result<Self, PlanError> {
        let mut still = Vec::new();
        let mut locals: Vec<Local> = Vec::new();
        for (branch, element) in elements.iter().enumerate() {
            let own = element.scales();
            if own.is_empty() {
                still.push((branch, 0.0));
                continue;
            }
            locals.push(Local::new(branch, ends[branch], own));
        }
        let states = vec![[0.0; MOST]; locals.len()];
        let volts = vec![0.0; nodes];
        Ok(Self {
            linear: Linear::new(nodes, reference, ends.iter().copied())?,
            conductances_s: vec![0.0; elements.len()],
            elements,
            ends,
            nodes,
            still,
            locals,
            slopes: Slopes::default(),
            old: states.clone(),
            x: states.clone(),
            right: states.clone(),
            stages_x: std::array::from_fn(|_| states.clone()),
            stages_v: std::array::from_fn(|_| volts.clone()),
            volts,
        })
    }

    /// Takes the scales of its branches anew: after something has happened.
    pub(super) fn rescale(&mut self) {
        for local in &mut self.locals {
            local.scales = padded(self.elements[local.branch].scales());
        }
    }

    /// Volts across a branch.
    pub(super) fn across(&self, branch: usize, v: &[f64]) -> f64 {
        let (from, to) = self.ends[branch];
        v[from] - v[to]
    }

    /// Current of a branch, amperes.
    pub(super) fn current(&self, branch: usize, point: &Point) -> f64 {
        let v = self.across(branch, &point.v);
        self.elements[branch].current(&point.x[branch], v)
    }

    /// Puts the unknowns at the share `s` of a step that began at `old` into
    /// `point`.
    pub(super) fn within(&self, step: &Step, old: &Point, s: f64, point: &mut Point) {
        point.x.resize(old.x.len(), [0.0; MOST]);
        point.v.resize(old.v.len(), 0.0);
        let dense = step.dense_x[0].iter().zip(&step.dense_x[1]);
        for (local, (first, second)) in self.locals.iter().zip(dense) {
            let branch = local.branch;
            let (old, new) = (&old.x[branch], &step.end.x[branch]);
            let x = &mut point.x[branch];
            for state in 0..MOST {
                x[state] = within(s, old[state], new[state], [first[state], second[state]]);
            }
        }
        let [first, second] = &step.dense_v;
        let ends = old.v.iter().zip(&step.end.v);
        let dense = first.iter().zip(second);
        for ((v, (old, new)), (first, second)) in point.v.iter_mut().zip(ends).zip(dense) {
            *v = within(s, *old, *new, [*first, *second]);
        }
    }

    /// Takes a step of `h` seconds from `old`; none where the falling
    /// characteristic of constant power outweighs the rest of the network or a
    /// number is lost.
    pub(super) fn step(&mut self, old: &Point, h: f64, tolerance: f64, step: &mut Step) -> bool {
        if !self.linearise(old, h) {
            return false;
        }
        for stage in 0..STAGES {
            self.stage(old, h, stage);
        }
        self.finish(old, tolerance, step);
        step.error.is_finite()
    }

    fn linearise(&mut self, old: &Point, h: f64) -> bool {
        let over = 1.0 / (h * GAMMA);
        for (branch, current) in &mut self.still {
            let (from, to) = self.ends[*branch];
            let v = old.v[from] - old.v[to];
            (*current, self.conductances_s[*branch]) = self.elements[*branch].still(v);
        }
        for (local, own) in self.locals.iter_mut().zip(&mut self.old) {
            let (from, to) = local.ends;
            let v = old.v[from] - old.v[to];
            *own = old.x[local.branch];
            let slopes = &mut self.slopes;
            slopes.clear(local.count);
            self.elements[local.branch].slopes(own, v, slopes);
            local.take(slopes, over);
            self.conductances_s[local.branch] =
                slopes.i_v + dot(&local.i_x, &local.by_v, local.count);
        }
        self.linear.factor(&self.conductances_s) >= 0.0
    }

    fn stage(&mut self, old: &Point, h: f64, stage: usize) {
        let shares: [f64; STAGES] = std::array::from_fn(|earlier| taken(stage, earlier));
        combine(&mut self.volts, &old.v, &self.stages_v[..stage], &shares);
        let over = 1.0 / h;
        self.x.copy_from_slice(&self.old);
        self.right.fill([0.0; MOST]);
        for earlier in 0..stage {
            let k = self.stages_x[earlier].as_flattened();
            axpy(self.x.as_flattened_mut(), shares[earlier], k);
            axpy(self.right.as_flattened_mut(), C[stage][earlier] * over, k);
        }
        let mut injected = std::mem::take(&mut self.stages_v[stage]);
        injected.fill(0.0);
        for &(branch, at_start) in &self.still {
            let (from, to) = self.ends[branch];
            let i = if stage == 0 {
                at_start
            } else {
                let v = self.volts[from] - self.volts[to];
                self.elements[branch].still(v).0
            };
            injected[from] -= i;
            injected[to] += i;
        }
        let states = self.x.iter().zip(&mut self.right);
        for (local, (x, right)) in self.locals.iter().zip(states) {
            let (from, to) = local.ends;
            let (mut i, f) = if stage == 0 {
                (local.i, local.f)
            } else {
                let v = self.volts[from] - self.volts[to];
                self.elements[local.branch].value(x, v)
            };
            for state in 0..MOST {
                right[state] += f[state];
            }
            *right = times(&local.inverse, right, local.count);
            i += dot(&local.i_x, right, local.count);
            injected[from] -= i;
            injected[to] += i;
        }
        self.linear.solve(&mut injected);
        let k = self.stages_x[stage].iter_mut().zip(&self.right);
        for (local, (k, alone)) in self.locals.iter().zip(k) {
            let (from, to) = local.ends;
            let k_v = injected[from] - injected[to];
            for state in 0..MOST {
                k[state] = alone[state] + local.by_v[state] * k_v;
            }
        }
        self.stages_v[stage] = injected;
    }

    /// The sixth stage stands where the fifth would end; its change is the error.
    fn finish(&mut self, old: &Point, tolerance: f64, step: &mut Step) {
        let last = STAGES - 1;
        let change = self.stages_x[last].as_flattened();
        axpy(self.x.as_flattened_mut(), 1.0, change);
        axpy(&mut self.volts, 1.0, &self.stages_v[last]);
        step.end.v.clone_from(&self.volts);
        step.end.x.clone_from(&old.x);
        let mut worst = 0.0;
        for (at, local) in self.locals.iter().enumerate() {
            let (k, old, new) = (&self.stages_x[last][at], &self.old[at], &self.x[at]);
            for state in 0..MOST {
                worst = worse(
                    worst,
                    off(k[state], old[state], new[state], local.scales[state]),
                );
            }
            step.end.x[local.branch] = *new;
        }
        for node in 0..self.nodes {
            let (k, old, new) = (self.stages_v[last][node], old.v[node], self.volts[node]);
            worst = worse(worst, off(k, old, new, VOLTS_SCALE));
        }
        step.error = worst / tolerance;
        for (at, weights) in DENSE.iter().enumerate() {
            let (x, v) = (&mut step.dense_x[at], &mut step.dense_v[at]);
            x.clear();
            x.resize(self.x.len(), [0.0; MOST]);
            v.clear();
            v.resize(self.nodes, 0.0);
            for stage in 0..last {
                axpy(
                    x.as_flattened_mut(),
                    weights[stage],
                    self.stages_x[stage].as_flattened(),
                );
                axpy(v, weights[stage], &self.stages_v[stage]);
            }
        }
    }
}

/// Error of an unknown over its size and scale.
fn off(error: f64, old: f64, new: f64, scale: f64) -> f64 {
    error.abs() / (scale + old.abs().max(new.abs()))
}

/// The larger; what is not a number counts as the worst.
fn worse(worst: f64, one: f64) -> f64 {
    if one.is_nan() {
        f64::INFINITY
    } else {
        worst.max(one)
    }
}

/// `out = base + sum share * k`.
fn combine(out: &mut [f64], base: &[f64], ks: &[Vec<f64>], shares: &[f64]) {
    out.copy_from_slice(base);
    for (k, share) in ks.iter().zip(shares) {
        axpy(out, *share, k);
    }
}

/// `out += share * k`.
fn axpy(out: &mut [f64], share: f64, k: &[f64]) {
    for (out, k) in out.iter_mut().zip(k) {
        *out += share * k;
    }
}

/// What a stage's point takes of an earlier stage; the sixth stands at the
/// fifth's point plus the fifth's change.
fn taken(stage: usize, earlier: usize) -> f64 {
    match (stage, earlier) {
        (5, 4) => 1.0,
        (_, 5) => 0.0,
        (5, _) => A[4][earlier],
        _ => A[stage][earlier],
    }
}

/// Node voltages count as small below this.
const VOLTS_SCALE: f64 = 10.0;

#[cfg(test)]
mod tests {
    use super::{Point, Step, System};
    use crate::network::{ConstantPower, Diode};
    use crate::transients::balance::Balance;
    use crate::transients::elements::battery::Battery;
    use crate::transients::elements::filament::Filament;
    use crate::transients::elements::motor::{Motion, Motor};
    use crate::transients::elements::wire::Wire;
    use crate::transients::elements::{Element, MOST};

    /// A fuel pump as it turns.
    fn pump() -> Motor {
        Motor {
            winding: crate::heating::StandingWinding {
                r_ohm: 0.5,
                per_k: 0.004,
                heat_j_per_k: 8.0,
                cools_s: 60.0,
            },
            v_brush_v: 0.8,
            k_v_s: 0.014,
            l_h: 3e-4,
            j_kgm2: 8e-6,
            forward_nm: 0.03,
            reverse_nm: 0.01,
            linear_nm_s: 0.0,
            drag_nm_s2: 8e-8,
            motion: Motion::Forward,
            turned: true,
        }
    }

    /// Battery, wire, and behind it a turning motor, a lamp beyond half its
    /// volts, electronics and a diode into a second lamp.
    fn system() -> (System, Point) {
        let motor = pump();
        let diode = Diode {
            v_drop_v: 0.7,
            r_on_ohm: 0.01,
        };
        let electronics = ConstantPower {
            p_w: 20.0,
            v_cut_v: 6.0,
        };
        let elements = vec![
            Element::Battery(Battery::new(12.6, 0.02, 0.01, 0.3)),
            Element::Wire(Wire::new(0.01, 0.08, 1.0, None)),
            Element::Motor(motor),
            Element::Filament(Filament::new(12.0, 1.5, 10.0)),
            Element::Still(electronics.into(), 1.0),
            Element::Still(diode.into(), 1.0),
            Element::Filament(Filament::new(12.0, 0.8, 10.0)),
        ];
        let ends = vec![(1, 0), (1, 2), (2, 0), (2, 0), (2, 0), (2, 3), (3, 0)];
        let system = System::new(elements, ends, 4, 0).expect("plan");
        let mut point = Point {
            x: vec![[0.0; MOST]; 7],
            v: vec![0.0; 4],
        };
        point.x[2] = [2.0, 400.0, 10.0, 0.0, 0.0];
        point.x[3][0] = 0.8;
        point.x[6][0] = 0.8;
        let mut balance = Balance::new(&system, 0).expect("plan");
        assert!(balance.afresh(&system, &mut point));
        (system, point)
    }

    /// Motor current, speed, lamp and the volts of the motor after 4 ms.
    fn after(steps: u32) -> [f64; 4] {
        let (mut system, mut point) = system();
        let mut step = Step::default();
        // The balance holds motor currents to a nanoampere's worth only: one tiny
        // step first, the same for every count, takes that away.
        assert!(system.step(&point, 1e-9, 1.0, &mut step));
        std::mem::swap(&mut point, &mut step.end);
        for _ in 0..steps {
            assert!(system.step(&point, 4e-3 / f64::from(steps), 1.0, &mut step));
            std::mem::swap(&mut point, &mut step.end);
        }
        [point.x[2][0], point.x[2][1], point.x[3][0], point.v[2]]
    }

    #[test]
    fn halving_the_step_divides_the_error_of_states_and_voltages_by_sixteen() {
        let exact = after(512);
        let error = |steps| {
            let found = after(steps);
            [0, 1, 2, 3].map(|at| (found[at] - exact[at]).abs())
        };
        let (coarse, fine) = (error(16), error(32));
        for at in 0..4 {
            let order = (coarse[at] / fine[at]).log2();
            assert!((3.5..5.5).contains(&order), "{at}: order {order}");
        }
    }

    /// Without friction and brushes a start is a damped oscillator: i = E/(L b)
    /// exp(-a t) sinh(b t), a = R/2L, b = sqrt(a^2 - k^2/(L J)).
    #[test]
    fn a_frictionless_start_is_the_textbook_closed_form() {
        for (r, l, k, j, ohm) in [
            (0.55, 3e-4, 0.0138, 8e-6, 0.1),
            (0.9, 5e-4, 0.015, 1e-5, 0.01),
            (0.1, 1.5e-4, 0.0235, 1.2e-4, 0.03),
        ] {
            let motor = Motor {
                winding: crate::heating::StandingWinding {
                    r_ohm: r,
                    ..pump().winding
                },
                v_brush_v: 0.0,
                k_v_s: k,
                l_h: l,
                j_kgm2: j,
                forward_nm: 0.0,
                reverse_nm: 0.0,
                drag_nm_s2: 0.0,
                ..pump()
            };
            let battery = Battery::new(12.0, ohm, 0.0, ohm);
            let elements = vec![Element::Battery(battery), Element::Motor(motor)];
            let mut system = System::new(elements, vec![(1, 0), (1, 0)], 2, 0).expect("plan");
            let mut point = Point {
                x: vec![[0.0; MOST]; 2],
                v: vec![0.0, 12.0],
            };
            let (a, h) = ((r + ohm) / (2.0 * l), 1e-5);
            let b = (a * a - k * k / (l * j)).sqrt();
            let mut step = Step::default();
            for n in 1..=2000 {
                assert!(system.step(&point, h, 1.0, &mut step));
                std::mem::swap(&mut point, &mut step.end);
                let t = f64::from(n) * h;
                let expected = 12.0 / (l * b) * (-a * t).exp() * (b * t).sinh();
                // The leak across the terminals takes a microampere.
                assert!(
                    (point.x[1][0] - expected).abs() < 1e-5,
                    "{t}: {}",
                    point.x[1][0]
                );
            }
        }
    }

    #[test]
    fn the_dense_output_is_the_step_itself_to_third_order() {
        let (mut system, point) = system();
        let (mut whole, mut half) = (Step::default(), Step::default());
        let mut off = |h: f64| {
            assert!(system.step(&point, h, 1.0, &mut whole));
            assert!(system.step(&point, 0.5 * h, 1.0, &mut half));
            let (mut inside, mut end) = (Point::default(), Point::default());
            system.within(&whole, &point, 0.5, &mut inside);
            system.within(&whole, &point, 1.0, &mut end);
            assert_eq!(end.v, whole.end.v);
            (inside.x[2][0] - half.end.x[2][0]).abs()
        };
        let order = (off(4e-4) / off(2e-4)).log2();
        assert!(order > 3.4, "order {order}");
    }
}
