//! The first moments of every state, followed in the actual circuit: what each
//! fuse carries while motors run up, filaments warm and capacitors fill.
//!
//! A state begins where the file says (`after`), else cold and dead. Fuses are
//! held while it is followed, so that their currents can be laid on any
//! instance and any rating.
//!
//! # Limits
//! Those of `transients`; a fuse that opens on the way would change what
//! follows.

use crate::circuit::Circuit;
use crate::heating::{Course, Duty, Protector};
use crate::solving::Solution;
use crate::transients::{Ready, Scenario, Transient};

/// A state from its first moment on.
#[derive(Debug, Clone)]
pub(super) struct Switched {
    /// The state.
    pub state: String,
    /// The state it comes from; cold and dead where there is none.
    pub from: Option<String>,
    run: Transient,
}

/// How long a state is followed, seconds.
const FOLLOWED_S: f64 = 6.0;
/// Pieces of one start that a fuse is led through.
const PIECES: usize = 200;
/// Share of the way from its end to its peak at which a current has settled.
const SETTLED: f64 = 0.05;
/// Current below which a part counts as switched off, amperes.
const OFF_A: f64 = 0.02;
/// First over settled current from which there is an inrush.
const INRUSH: f64 = 1.2;

/// What a fuse carries while something starts.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Start {
    /// Its current before, amperes.
    pub before_a: f64,
    /// Lengths in seconds with the rms current in each, until all has settled.
    pub pieces: Vec<(f64, f64)>,
    /// Largest current, amperes.
    pub peak_a: f64,
    /// When, seconds.
    pub peak_s: f64,
    /// When all has settled, seconds.
    pub settled_s: f64,
}

impl Start {
    /// The start as a duty of some fuse.
    pub(super) fn duty(&self, device: &Protector) -> Duty {
        let piece =
            |(lasts_s, amps): &(f64, f64)| Course::constant(device.multiple(*amps), *lasts_s);
        Duty::once(self.pieces.iter().map(piece).collect())
    }
}

/// Follows every judged state; those that cannot be followed are left out.
pub(super) fn switched(circuit: &Circuit, solution: &Solution) -> Vec<Switched> {
    let Ok(ready) = Ready::new(circuit) else {
        return Vec::new();
    };
    let judged = solution.states.iter().filter(|state| !state.what_if);
    judged
        .filter_map(|state| {
            let written = circuit.states.iter().find(|one| one.name == state.name)?;
            let from = written
                .after
                .map(|index| circuit.states[index].name.clone());
            let scenario = Scenario {
                from: from.clone(),
                fuses: None,
                ..Scenario::new(&state.name, FOLLOWED_S)
            };
            Some(Switched {
                state: state.name.clone(),
                from,
                run: ready.run(&scenario).ok()?,
            })
        })
        .collect()
}

impl Switched {
    fn values(&self, subject: &str, quantity: &str) -> Option<&[f64]> {
        let column = self.run.column(subject, quantity)?;
        Some(&column.values)
    }

    /// Speeds of a motor that stands at first and turns in the end; of either
    /// field where it has two.
    fn starting(&self, motor: &str) -> Option<&[f64]> {
        let fields = ["", ".up", ".down"].map(|field| format!("{motor}{field}"));
        let mut speeds = fields
            .iter()
            .filter_map(|name| self.values(name, "speed_rpm"));
        speeds.find(|rpm| {
            let (first, last) = (rpm.first().copied(), rpm.last().copied());
            first.is_some_and(|rpm| rpm.abs() < 1.0) && last.is_some_and(|rpm| rpm.abs() > 1.0)
        })
    }

    /// Whether a motor stands at first and turns in the end.
    pub(super) fn starts(&self, motor: &str) -> bool {
        self.starting(motor).is_some()
    }

    /// When a motor comes to 99 % of its last speed, seconds.
    pub(super) fn runs_s(&self, motor: &str) -> Option<f64> {
        let rpm = self.starting(motor)?;
        let enough = 0.99 * rpm.last()?.abs();
        let at = rpm.iter().position(|rpm| rpm.abs() >= enough)?;
        Some(self.run.times_s[at])
    }

    /// Whether a load that was off takes more at first than in the end, and how
    /// much more.
    pub(super) fn inrush(&self, load: &str, before_a: f64) -> Option<f64> {
        let amps = self.values(load, "current_a")?;
        let last = amps.last()?.abs();
        let peak = self.run.column(load, "current_a")?.peak(&self.run.times_s);
        let inrushes = before_a.abs() < OFF_A && peak.1.abs() > INRUSH * last + OFF_A;
        inrushes.then_some(peak.1.abs())
    }

    /// What a fuse carries, until all behind it has settled.
    pub(super) fn start(&self, fuse: &str, before_a: f64) -> Option<Start> {
        let amps = self.values(fuse, "current_a")?;
        let times = &self.run.times_s;
        let column = self.run.column(fuse, "current_a")?;
        let (peak_s, peak_a) = column.peak(times);
        let last = amps.last()?.abs();
        let threshold = last + SETTLED * (peak_a.abs() - last).max(0.0);
        let settled = amps.iter().rposition(|a| a.abs() > threshold)?;
        let settled = (settled + 1).min(amps.len() - 1);
        Some(Start {
            before_a,
            pieces: pieces(&times[..=settled], &amps[..=settled]),
            peak_a: peak_a.abs(),
            peak_s,
            settled_s: times[settled],
        })
    }
}

/// A trace as lengths with their rms currents: samples that lie close together
/// or differ little are taken as one.
fn pieces(times: &[f64], amps: &[f64]) -> Vec<(f64, f64)> {
    let peak = amps.iter().map(|a| a.abs()).fold(0.0, f64::max);
    let whole_s = times.last().copied().unwrap_or_default();
    let mut all = Vec::new();
    let (mut lasts_s, mut heat) = (0.0, 0.0);
    let mut first = amps.first().copied().unwrap_or_default();
    for n in 1..times.len() {
        let h = times[n] - times[n - 1];
        let (a, b) = (amps[n - 1], amps[n]);
        lasts_s += h;
        // Straight from sample to sample.
        heat += h * (a * a + a * b + b * b) / 3.0;
        let moved = (b - first).abs() > peak / PIECES as f64;
        let long = lasts_s > whole_s / PIECES as f64;
        if lasts_s > 0.0 && (moved || long || n + 1 == times.len()) {
            all.push((lasts_s, (heat / lasts_s).sqrt()));
            (lasts_s, heat) = (0.0, 0.0);
            first = b;
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::pieces;

    /// A straight fall from 10 to 0 A within 3 s carries 10^2 x 3 / 3 = 100 A2s.
    #[test]
    fn pieces_keep_the_time_and_the_heat_of_a_trace() {
        let times: Vec<f64> = (0..=3000).map(|n| 1e-3 * f64::from(n)).collect();
        let amps: Vec<f64> = times.iter().map(|t| 10.0 - t * 10.0 / 3.0).collect();
        let found = pieces(&times, &amps);
        let lasts: f64 = found.iter().map(|piece| piece.0).sum();
        let heat: f64 = found.iter().map(|(s, a)| s * a * a).sum();
        assert!((lasts - 3.0).abs() < 1e-9 && (heat - 100.0).abs() < 1e-6);
        assert!(found.len() <= 420);
    }
}
