//! Damped Newton on the convex part: every law but constant power.

use super::{Lane, Law};

/// Steps within which the convex problem converges in practice; more means it will not.
const MOST_DAMPED: usize = 300;
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

/// The directional derivative of the co-content along a step.
struct Along<'l> {
    lane: &'l Lane<'l>,
    /// Of the linear branches, where the step starts.
    start: f64,
    /// Of the linear branches, what the whole step adds.
    rise: f64,
    /// The other branches that the step changes, and by how many volts.
    curved: Vec<(usize, f64)>,
}

impl Along<'_> {
    /// The derivative at `part` of the step.
    fn derivative(&self, part: f64) -> f64 {
        let linear = self.start + part * self.rise;
        self.curved.iter().fold(linear, |sum, &(at, change)| {
            let v = self.lane.voltage(at) + part * change;
            sum + self.lane.evaluate(at, v).0 * change
        })
    }
}

impl Lane<'_> {
    /// Damped Newton on the convex problem; true once balanced.
    ///
    /// Far out on a law that has gone flat (a diode blocking, a charger at its limit) the
    /// Newton step means nothing: then a spring ties every node to where it is, stiffer
    /// while steps are poor and let go while they are good. It moves no solution.
    pub(super) fn descend(&mut self) -> bool {
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

    /// The co-content's derivative along `step` from the present voltages.
    fn along(&self, step: &[f64]) -> Along<'_> {
        let change = |at: usize| {
            let link = &self.layout.sorted[at];
            step[link.from as usize] - step[link.to as usize]
        };
        let linear = 0..self.layout.of_law[Law::Conductor as usize].len();
        let (start, rise) = linear.fold((0.0, 0.0), |(start, rise), at| {
            let (change, (current, slope)) = (change(at), self.lines[at]);
            (start + current * change, rise + slope * change * change)
        });
        let curved = self.curved.iter().map(|&at| (at, change(at)));
        Along {
            lane: self,
            start,
            rise,
            curved: curved.filter(|(_, change)| *change != 0.0).collect(),
        }
    }

    /// The part of `step` to take: where the derivative has clearly shrunk.
    fn line_search(&self, step: &[f64]) -> f64 {
        let along = self.along(step);
        let start = along.derivative(0.0);
        if !(start < 0.0) {
            return 1.0;
        }
        let (mut low, mut at_low) = (0.0, start);
        let (mut high, mut at_high) = (1.0, along.derivative(1.0));
        let mut doublings = 0;
        while at_high < 0.9 * start && doublings < 20 {
            (low, at_low) = (high, at_high);
            high *= 2.0;
            at_high = along.derivative(high);
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
            let here = along.derivative(part);
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
    pub(super) fn excess(&mut self) -> (usize, f64) {
        self.measure();
        let mut sums = vec![(0.0_f64, 0.5 * self.residual_a); self.layout.nodes];
        for (at, link) in self.layout.sorted.iter().enumerate() {
            let (current, slope) = self.lines[at];
            if self.slots[at].is_none() || (current == 0.0 && slope == 0.0) {
                continue;
            }
            let (from, to) = (
                self.voltages[link.from as usize],
                self.voltages[link.to as usize],
            );
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

    /// Works out current and slope of every branch at the present voltages.
    fn measure(&mut self) {
        let linear = 0..self.layout.of_law[Law::Conductor as usize].len();
        for at in linear.chain(self.curved.iter().copied()) {
            self.lines[at] = self.evaluate(at, self.voltage(at));
        }
    }

    /// Where a full Newton step leads from the voltages whose balance was told last;
    /// `spring_s` ties every node to where it is.
    ///
    /// Errors with the position of a pivot without positive conductance.
    pub(super) fn target(&mut self, spring_s: f64) -> Result<Vec<f64>, usize> {
        let symbolic = &self.layout.symbolic;
        let pivots = self.layout.pivots;
        self.conductances.fill(0.0);
        self.injected.fill(0.0);
        for (at, link) in self.layout.sorted.iter().enumerate() {
            let Some(slot) = self.slots[at] else { continue };
            let (current, slope) = self.lines[at];
            let rest = current - slope * self.voltage(at);
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
