//! Finding what happens within an accepted step, and landing on it.
//!
//! The dense output gives the moment to its own order; stepping anew from the
//! step's beginning to there, and once or twice more by the slope, gives it to
//! the order of the steps.

use super::march::{LEAST_STEP_S, March};
use super::system::{Point, Step};
use super::watch::Watch;

/// Looks within each step.
const LOOKS: usize = 4;
/// Steps longer than this share of a run are written down at every look, shorter
/// ones in their middle and at their end.
const LONG: f64 = 1.0 / 80.0;

impl March<'_> {
    /// Looks at four moments of an accepted step; lands on the first thing that
    /// happens. Moments before it are written down.
    pub(super) fn look(&mut self, step: &mut Step, h: f64) -> Option<usize> {
        let mut inside = std::mem::take(&mut self.inside);
        let is_long = h > LONG * self.scenario.duration_s;
        let mut from = 0.0;
        let mut found = None;
        for look in 1..=LOOKS {
            let share = look as f64 / LOOKS as f64;
            self.built
                .system
                .within(step, &self.point, share, &mut inside);
            let time_s = self.time_s + share * h;
            let past =
                |watch: &Watch| watch.past(&self.built.system, &self.relays, &inside, time_s);
            if self.watches.iter().any(|watch| past(watch) >= 0.0) {
                let fired: Vec<usize> = (0..self.watches.len())
                    .filter(|&at| past(&self.watches[at]) >= 0.0)
                    .collect();
                let (watch, root) = self.earliest(step, h, &fired, from, share);
                self.land(step, h, watch, root);
                found = Some(watch);
                break;
            }
            if look < LOOKS && (is_long || 2 * look == LOOKS) {
                self.recorder
                    .write(time_s, &self.built.system, &self.relays, &inside);
            }
            from = share;
        }
        self.inside = inside;
        found
    }

    /// Which of the fired comes first, and at what share of the step.
    fn earliest(&self, step: &Step, h: f64, fired: &[usize], from: f64, to: f64) -> (usize, f64) {
        let mut point = Point::default();
        let mut root = |watch: usize| {
            let (mut low, mut high) = (from, to);
            for _ in 0..44 {
                let middle = 0.5 * (low + high);
                self.built
                    .system
                    .within(step, &self.point, middle, &mut point);
                let time_s = self.time_s + middle * h;
                let past =
                    self.watches[watch].past(&self.built.system, &self.relays, &point, time_s);
                if past >= 0.0 {
                    high = middle;
                } else {
                    low = middle;
                }
            }
            (watch, high)
        };
        let by_share = |a: &(usize, f64), b: &(usize, f64)| a.1.total_cmp(&b.1);
        let roots = fired.iter().map(|&watch| root(watch));
        roots.min_by(by_share).unwrap_or((fired[0], to))
    }

    /// Steps anew from the step's beginning so that it ends where `watch` rises
    /// through zero; the dense output gives the first guess and the slope.
    fn land(&mut self, step: &mut Step, h: f64, watch: usize, share: f64) {
        let slope = {
            let mut point = Point::default();
            let mut past = |share: f64| {
                self.built
                    .system
                    .within(step, &self.point, share, &mut point);
                let time_s = self.time_s + share * h;
                self.watches[watch].past(&self.built.system, &self.relays, &point, time_s)
            };
            let by = 1e-3;
            (past(share + by) - past(share - by)) / (2.0 * by * h)
        };
        let mut shorter = (share * h).max(LEAST_STEP_S);
        for _ in 0..4 {
            let tolerance = self.scenario.tolerance;
            if !self
                .built
                .system
                .step(&self.point, shorter, tolerance, step)
            {
                break;
            }
            let time_s = self.time_s + shorter;
            let past =
                self.watches[watch].past(&self.built.system, &self.relays, &step.end, time_s);
            let off = past / slope;
            let next = (shorter - off).clamp(0.0, h);
            if !off.is_finite() || (next - shorter).abs() <= 1e-12 + 1e-9 * shorter {
                break;
            }
            shorter = next.max(LEAST_STEP_S);
        }
        self.arrive(shorter, step);
        self.steps += 1;
    }
}
