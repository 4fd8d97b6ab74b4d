//! When a real fuse opens: a law of its own, unlike the program's thermal
//! networks and bands.
//!
//! With x the square of current over what the fuse holds for ever, it opens
//! after tau/(x - 1), a hyperbola over the whole range, and never below x = 1.
//! Each specimen has its own tau and holds its own share of its rating.

use super::dice::Dice;
use ampkeel::circuit::zones::FuseId;
use ampkeel::circuit::{Circuit, Device};
use ampkeel::tables::fuses::FuseStyle;

/// Ratings that shops sell.
const SOLD_A: [f64; 20] = [
    1.0, 2.0, 3.0, 4.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 50.0, 60.0, 70.0, 80.0,
    100.0, 125.0, 150.0,
];
/// How often a file has a neighbouring rating.
const WRONG_IN_FILE: f64 = 0.1;

/// A fuse as fitted.
#[derive(Clone, Debug)]
pub(super) struct RealFuse {
    /// What is printed on it.
    pub rating_a: f64,
    /// Current it holds for ever, over its rating.
    holds: f64,
    tau_s: f64,
}

impl RealFuse {
    /// The middle of its kind.
    pub(super) fn of(circuit: &Circuit, id: FuseId) -> Self {
        let (rating_a, style) = match (&circuit.part(id.part).device, id.slot) {
            (Device::Fuse(fuse), _) => (fuse.rating.value.si(), Some(fuse.style.value)),
            (Device::FuseBlock(block), Some(slot)) => {
                let fuse = &block.slots[slot].fuse;
                (fuse.rating.value.si(), Some(fuse.style.value))
            }
            (Device::Breaker(breaker), _) => (breaker.rating.value.si(), None),
            _ => (1.0, None),
        };
        let tau_s = match style {
            Some(FuseStyle::Strip) => 9.0,
            Some(FuseStyle::SlowGlass) => 12.0,
            Some(FuseStyle::HighCurrentBlade) => 4.0,
            Some(_) => 1.8,
            None => 25.0,
        };
        Self {
            rating_a,
            holds: 1.2,
            tau_s,
        }
    }

    /// One specimen; one in ten is not what the file says.
    pub(super) fn scatter(&mut self, dice: &mut Dice) {
        self.holds = dice.between(1.1, 1.32);
        self.tau_s *= dice.factor(0.45);
        if dice.chance(WRONG_IN_FILE) {
            let own = self.rating_a;
            let at = SOLD_A.iter().position(|sold| *sold >= own).unwrap_or(0);
            let next = if dice.chance(0.5) {
                at + 1
            } else {
                at.saturating_sub(1)
            };
            self.rating_a = SOLD_A[next.min(SOLD_A.len() - 1)];
        }
    }

    /// Back to the rating of the file.
    pub(super) fn as_in_file(&mut self, file: &Self) {
        self.rating_a = file.rating_a;
    }

    /// A fuse that holds less than it should.
    pub(super) fn weaken(&mut self, share: f64) {
        self.holds *= share;
    }

    /// Seconds under a steady current; none where it holds.
    pub(super) fn opens_after_s(&self, current_a: f64) -> Option<f64> {
        let x = (current_a / (self.rating_a * self.holds)).powi(2);
        (x > 1.0).then(|| self.tau_s / (x - 1.0))
    }

    /// Current over the rating.
    pub(super) fn multiple(&self, current_a: f64) -> f64 {
        current_a / self.rating_a
    }
}
