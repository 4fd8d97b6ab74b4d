//! One step of the whole circuit.
//!
//! Unknown are the states `x` of each branch and the node voltages `V`:
//! `x' = f(x, v)` in each branch, and the branch currents `i(x, v)` balance at
//! each node. With `D = 1/(h g) - f_x` a stage's change of the states is
//! `k_x = D^-1 (r + f_v k_v)`, so a branch is to the network nothing but the
//! conductance `i_v + i_x D^-1 f_v` and the current `i + i_x D^-1 r`: each
//! stage is one solution of the plain node equations with the same factors.

use super::elements::{Element, MOST, Slopes, States};
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
    locals: Vec<Local>,
    stages_x: Vec<[States; STAGES]>,
    stages_v: Vec<Vec<f64>>,
    right: Vec<States>,
    volts: Vec<f64>,
}

/// All unknowns at one moment.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Point {
    /// States of each branch.
    pub(super) x: Vec<States>,
    /// Volts of each node.
    pub(super) v: Vec<f64>,
}

/// A branch as the stages of one step see it.
#[derive(Debug, Clone, Copy)]
struct Local {
    count: usize,
    i: f64,
    f: States,
    i_x: States,
    inverse: [States; MOST],
    by_v: States,
}

/// A step taken but not yet accepted.
#[derive(Debug, Clone, Default)]
pub(super) struct Step {
    /// Where it ends.
    pub(super) end: Point,
    /// Estimated error over the error allowed; below 1 is accepted.
    pub(super) error: f64,
    dense_x: Vec<[States; 2]>,
    dense_v: Vec<[f64; 2]>,
}

impl Step {
    /// Puts the unknowns at the share `s` of the step that began at `old` into `point`.
    pub(super) fn at(&self, old: &Point, s: f64, point: &mut Point) {
        point.x.resize(old.x.len(), [0.0; MOST]);
        point.v.resize(old.v.len(), 0.0);
        let states = old.x.iter().zip(&self.end.x).zip(&self.dense_x);
        for (x, ((old, new), dense)) in point.x.iter_mut().zip(states) {
            for at in 0..MOST {
                x[at] = within(s, old[at], new[at], [dense[0][at], dense[1][at]]);
            }
        }
        let volts = old.v.iter().zip(&self.end.v).zip(&self.dense_v);
        for (v, ((old, new), dense)) in point.v.iter_mut().zip(volts) {
            *v = within(s, *old, *new, *dense);
        }
    }
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
        let count = elements.len();
        let local = |element: &Element| Local {
            count: element.scales().len(),
            i: 0.0,
            f: [0.0; MOST],
            i_x: [0.0; MOST],
            inverse: [[0.0; MOST]; MOST],
            by_v: [0.0; MOST],
        };
        let locals = elements.iter().map(local).collect();
        Ok(Self {
            linear: Linear::new(nodes, reference, ends.iter().copied())?,
            elements,
            ends,
            nodes,
            conductances_s: vec![0.0; count],
            locals,
            stages_x: vec![[[0.0; MOST]; STAGES]; count],
            stages_v: vec![vec![0.0; nodes]; STAGES],
            right: vec![[0.0; MOST]; count],
            volts: vec![0.0; nodes],
        })
    }

    /// Volts across a branch.
    pub(super) fn across(&self, branch: usize, v: &[f64]) -> f64 {
        let (from, to) = self.ends[branch];
        v[from] - v[to]
    }

    /// Current of a branch, amperes.
    pub(super) fn current(&self, branch: usize, point: &Point) -> f64 {
        let v = self.across(branch, &point.v);
        self.elements[branch].value(&point.x[branch], v).0
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
        for (branch, element) in self.elements.iter().enumerate() {
            let (from, to) = self.ends[branch];
            let v = old.v[from] - old.v[to];
            let local = &mut self.locals[branch];
            if local.count == 0 {
                (local.i, self.conductances_s[branch]) = element.still(v);
                continue;
            }
            let slopes = element.slopes(&old.x[branch], v);
            local.invert(&slopes, over);
            local.by_v = times(&local.inverse, &slopes.f_v, local.count);
            local.i = slopes.i;
            local.f = slopes.f;
            local.i_x = slopes.i_x;
            self.conductances_s[branch] = slopes.i_v + dot(&slopes.i_x, &local.by_v, local.count);
        }
        self.linear.factor(&self.conductances_s) >= 0.0
    }

    fn stage(&mut self, old: &Point, h: f64, stage: usize) {
        let volts = &mut self.volts;
        volts.copy_from_slice(&old.v);
        for earlier in 0..stage {
            let share = taken(stage, earlier);
            for (volts, k) in volts.iter_mut().zip(&self.stages_v[earlier]) {
                *volts += share * k;
            }
        }
        let over = 1.0 / h;
        let mut injected = std::mem::take(&mut self.stages_v[stage]);
        injected.fill(0.0);
        for (branch, element) in self.elements.iter().enumerate() {
            let local = &self.locals[branch];
            if local.count == 0 {
                let (from, to) = self.ends[branch];
                let i = if stage == 0 {
                    local.i
                } else {
                    element.still(volts[from] - volts[to]).0
                };
                injected[from] -= i;
                injected[to] += i;
                continue;
            }
            let k = &self.stages_x[branch];
            let mut x = old.x[branch];
            for earlier in 0..stage {
                let share = taken(stage, earlier);
                for state in 0..local.count {
                    x[state] += share * k[earlier][state];
                }
            }
            let (from, to) = self.ends[branch];
            let (mut i, mut right) = if stage == 0 {
                (local.i, local.f)
            } else {
                element.value(&x, volts[from] - volts[to])
            };
            for earlier in 0..stage {
                let share = C[stage][earlier] * over;
                for state in 0..local.count {
                    right[state] += share * k[earlier][state];
                }
            }
            let alone = times(&local.inverse, &right, local.count);
            i += dot(&local.i_x, &alone, local.count);
            self.right[branch] = alone;
            injected[from] -= i;
            injected[to] += i;
        }
        self.linear.solve(&mut injected);
        for (branch, local) in self.locals.iter().enumerate() {
            let (from, to) = self.ends[branch];
            let k_v = injected[from] - injected[to];
            let k = &mut self.stages_x[branch][stage];
            for state in 0..local.count {
                k[state] = self.right[branch][state] + local.by_v[state] * k_v;
            }
        }
        self.stages_v[stage] = injected;
    }

    fn finish(&self, old: &Point, tolerance: f64, step: &mut Step) {
        let mut worst: f64 = 0.0;
        let mut off = |error: f64, scale: f64, old: f64, new: f64| {
            let share = (error / (tolerance * (scale + old.abs().max(new.abs())))).abs();
            // What is not a number must count as the worst.
            if share.is_nan() || share > worst {
                worst = if share.is_nan() { f64::INFINITY } else { share };
            }
        };
        step.end.x.clone_from(&old.x);
        step.end.v.clone_from(&old.v);
        step.dense_x.resize(old.x.len(), [[0.0; MOST]; 2]);
        step.dense_v.resize(old.v.len(), [0.0; 2]);
        for (branch, element) in self.elements.iter().enumerate() {
            if self.locals[branch].count == 0 {
                continue;
            }
            let k = &self.stages_x[branch];
            for (state, &scale) in element.scales().iter().enumerate() {
                let (change, dense) = sums(|stage| k[stage][state]);
                let start = old.x[branch][state];
                step.end.x[branch][state] = start + change;
                step.dense_x[branch][0][state] = dense[0];
                step.dense_x[branch][1][state] = dense[1];
                off(k[5][state], scale, start, start + change);
            }
        }
        for node in 0..self.nodes {
            let (change, dense) = sums(|stage| self.stages_v[stage][node]);
            let start = old.v[node];
            step.end.v[node] = start + change;
            step.dense_v[node] = dense;
            off(self.stages_v[5][node], VOLTS_SCALE, start, start + change);
        }
        step.error = worst;
    }
}

/// What a stage's point takes of an earlier stage; the sixth stands at the
/// fifth's point plus the fifth's change.
fn taken(stage: usize, earlier: usize) -> f64 {
    match (stage, earlier) {
        (5, 4) => 1.0,
        (5, _) => A[4][earlier],
        _ => A[stage][earlier],
    }
}

/// Node voltages count as small below this.
const VOLTS_SCALE: f64 = 10.0;

/// Change over the step and the two dense terms of one unknown.
fn sums(k: impl Fn(usize) -> f64) -> (f64, [f64; 2]) {
    let mut change = k(4) + k(5);
    let mut dense = [0.0; 2];
    for stage in 0..5 {
        change += A[4][stage] * k(stage);
        dense[0] += DENSE[0][stage] * k(stage);
        dense[1] += DENSE[1][stage] * k(stage);
    }
    (change, dense)
}

fn dot(a: &States, b: &States, count: usize) -> f64 {
    (0..count).map(|at| a[at] * b[at]).sum()
}

fn times(matrix: &[States; MOST], vector: &States, count: usize) -> States {
    let mut out = [0.0; MOST];
    for row in 0..count {
        out[row] = dot(&matrix[row], vector, count);
    }
    out
}

impl Local {
    /// Inverts `over` less the slopes of the rates, by elimination with the
    /// largest pivot of each column.
    fn invert(&mut self, slopes: &Slopes, over: f64) {
        let (count, inverse) = (self.count, &mut self.inverse);
        if count == 1 {
            inverse[0][0] = 1.0 / (over - slopes.f_x[0][0]);
            return;
        }
        let mut matrix = slopes.f_x;
        for row in 0..count {
            for column in 0..count {
                matrix[row][column] = -matrix[row][column];
                inverse[row][column] = 0.0;
            }
            matrix[row][row] += over;
            inverse[row][row] = 1.0;
        }
        for column in 0..count {
            let largest = |a: &usize, b: &usize| {
                let size = |row: usize| matrix[row][column].abs();
                size(*a).total_cmp(&size(*b))
            };
            let pivot = (column..count).max_by(largest).unwrap_or(column);
            matrix.swap(column, pivot);
            inverse.swap(column, pivot);
            let over = 1.0 / matrix[column][column];
            for at in 0..count {
                matrix[column][at] *= over;
                inverse[column][at] *= over;
            }
            for row in (0..count).filter(|&row| row != column) {
                let share = matrix[row][column];
                for at in 0..count {
                    matrix[row][at] -= share * matrix[column][at];
                    inverse[row][at] -= share * inverse[column][at];
                }
            }
        }
    }
}

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

    /// Battery, wire, and behind it a turning motor, a lamp beyond half its
    /// volts, electronics and a diode into a second lamp.
    fn system() -> (System, Point) {
        let motor = Motor {
            r_ohm: 0.5,
            per_k: 0.004,
            v_brush_v: 0.8,
            k_v_s: 0.014,
            l_h: 3e-4,
            j_kgm2: 8e-6,
            forward_nm: 0.03,
            reverse_nm: 0.01,
            linear_nm_s: 0.0,
            drag_nm_s2: 8e-8,
            heat_j_per_k: 8.0,
            motion: Motion::Forward,
            turned: true,
        };
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
            Element::Wire(Wire::new(0.01, 0.08, 2e-4, 0.05, 1.0, 0.004)),
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

    #[test]
    fn the_dense_output_is_the_step_itself_to_third_order() {
        let (mut system, point) = system();
        let (mut whole, mut half) = (Step::default(), Step::default());
        let mut off = |h: f64| {
            assert!(system.step(&point, h, 1.0, &mut whole));
            assert!(system.step(&point, 0.5 * h, 1.0, &mut half));
            let (mut inside, mut end) = (Point::default(), Point::default());
            whole.at(&point, 0.5, &mut inside);
            whole.at(&point, 1.0, &mut end);
            assert_eq!(end.v, whole.end.v);
            (inside.x[2][0] - half.end.x[2][0]).abs()
        };
        let order = (off(4e-4) / off(2e-4)).log2();
        assert!(order > 3.4, "order {order}");
    }
}
