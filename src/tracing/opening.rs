//! When a fuse opens under a current, as odds over time.

use crate::circuit::Circuit;
use crate::circuit::zones::{FuseId, written};
use crate::heating::{Family, Protector, Zone};
use crate::quantities::Amps;
use crate::tables::OutOfTable;

/// Minutes somebody watches an overload, in seconds.
pub(super) const WATCHED_S: f64 = 1800.0;
/// Seconds that somebody cranks at most (common practice: 10 s, then a rest).
pub(super) const CRANKED_S: f64 = 12.0;
/// Odds that a fuse opens within that time where nothing is promised, at the
/// upper end of that range (judgement).
const UNPROMISED: f64 = 0.4;
/// Odds that a fuse opens below what it is made to hold (judgement).
const NEVER: f64 = 0.002;
/// A band's ends hold nine in ten genuine fuses (judgement).
const NINE_IN_TEN: f64 = 2.0 * 1.645;
/// Odds that the fuse in the holder is one size smaller, or one larger, than
/// the file says, whatever else is wrong (judgement).
const MISWRITTEN: f64 = 0.04;
/// One size in ratings that shops sell (common practice: 10, 15, 20, 30 A).
const ONE_SIZE: f64 = 1.4;
/// Share of the rating below which the next smaller holds too.
const IDLE: f64 = 0.6;
/// Least spread of an opening time, natural logarithm.
const LEAST_SPREAD: f64 = 0.25;

/// A fuse or breaker on guard.
#[derive(Debug, Clone)]
pub(super) struct Guard {
    protector: Option<Protector>,
    /// Its rating, amperes.
    pub rating_a: f64,
}

/// How a fuse stands against a current.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Threat {
    /// Odds that it opens at all while somebody watches.
    pub opens: f64,
    /// Middle of its opening time, seconds.
    pub middle_s: f64,
    /// Spread of the time's logarithm.
    pub spread: f64,
    /// Current over the rating in its air.
    pub multiple: f64,
}

impl Guard {
    /// The fuse where it sits; without figures where no table has its rating.
    pub(super) fn of(circuit: &Circuit, id: FuseId) -> Self {
        let air = circuit.ambient.at(circuit.part(id.part).place);
        let (family, rating) = match written(circuit, id) {
            Some(fuse) => (Family::of(&fuse), fuse.rating.value),
            None => (Family::Breaker, Amps::new(1.0)),
        };
        let with_air = Protector::new(family, rating, Some(air));
        let made: Result<Protector, OutOfTable> =
            with_air.or_else(|_| Protector::new(family, rating, None));
        Self {
            protector: made.ok(),
            rating_a: rating.si(),
        }
    }

    /// How it stands against a current for so many seconds, the rating as the
    /// file has it or one size off.
    pub(super) fn threat(&self, current_a: f64, watched_s: f64) -> Threat {
        let own = self.as_written(current_a, watched_s);
        if own.multiple < IDLE {
            return own;
        }
        let smaller = self.as_written(current_a * ONE_SIZE, watched_s);
        let larger = self.as_written(current_a / ONE_SIZE, watched_s);
        let opens = own.opens
            + MISWRITTEN * (smaller.opens - own.opens)
            + MISWRITTEN * (larger.opens - own.opens);
        // Where the one written hardly opens, the smaller one says when.
        let when = if own.opens < MISWRITTEN * smaller.opens {
            smaller
        } else {
            own
        };
        Threat {
            opens,
            multiple: own.multiple,
            ..when
        }
    }

    /// The same of the fuse that the file has.
    fn as_written(&self, current_a: f64, watched_s: f64) -> Threat {
        let Some(protector) = &self.protector else {
            return Threat::by_rule(current_a / self.rating_a, watched_s);
        };
        let opening = protector.opening(Amps::new(current_a));
        let multiple = opening.multiple;
        match (opening.zone, opening.earliest, opening.latest) {
            (Zone::Opens | Zone::AboveGates, Some(earliest), Some(latest)) => {
                let (early, late) = (earliest.si().max(1e-4), latest.si().max(2e-4));
                Threat {
                    opens: 0.0,
                    middle_s: (early * late).sqrt(),
                    spread: ((late / early).ln() / NINE_IN_TEN).max(LEAST_SPREAD),
                    multiple,
                }
                .watched(watched_s)
            }
            (Zone::Holds, ..) => Threat::holds(multiple),
            _ => {
                let low = protector.holds_to();
                let share = ((multiple - low) / (1.35 - low)).clamp(0.0, 1.0);
                Threat {
                    opens: NEVER + UNPROMISED * share * (watched_s / WATCHED_S).min(1.0),
                    middle_s: WATCHED_S / 2.0,
                    spread: 1.0,
                    multiple,
                }
            }
        }
    }
}

impl Threat {
    fn holds(multiple: f64) -> Self {
        Self {
            opens: NEVER,
            middle_s: WATCHED_S,
            spread: 1.0,
            multiple,
        }
    }

    /// By multiple alone, where no table has the fuse.
    fn by_rule(multiple: f64, watched_s: f64) -> Self {
        if multiple < 1.2 {
            return Self::holds(multiple);
        }
        Self {
            opens: 0.0,
            middle_s: 60.0 / (multiple * multiple - 1.0),
            spread: 1.2,
            multiple,
        }
        .watched(watched_s)
    }

    /// With the odds that it opens within the time watched.
    fn watched(mut self, watched_s: f64) -> Self {
        self.opens = normal((watched_s.ln() - self.middle_s.ln()) / self.spread).max(NEVER);
        self
    }

    /// The fuse that most likely opens, and first; none where all hold.
    pub(super) fn first(all: &[Self]) -> Option<usize> {
        let opening = all
            .iter()
            .enumerate()
            .filter(|(_, threat)| threat.opens > 0.5);
        opening
            .min_by(|a, b| a.1.middle_s.total_cmp(&b.1.middle_s))
            .map(|(at, _)| at)
    }

    /// Odds that this fuse opens, and before every other.
    pub(super) fn opens_first(all: &[Self], fuse: usize) -> f64 {
        let own = all[fuse];
        let others = all.iter().enumerate().filter(|(at, _)| *at != fuse);
        others.fold(own.opens, |odds, (_, other)| {
            let spread = own.spread.hypot(other.spread);
            let sooner = normal((own.middle_s.ln() - other.middle_s.ln()) / spread);
            odds * (1.0 - other.opens * sooner)
        })
    }

    /// Odds density of an opening time, against the logarithm of seconds.
    pub(super) fn at_time(&self, seconds: f64) -> f64 {
        let spread = self.spread.hypot(0.4);
        let z = (seconds.ln() - self.middle_s.ln()) / spread;
        (-0.5 * z * z).exp() / spread
    }
}

/// Share of the normal distribution below a deviate (Abramowitz and Stegun
/// 26.2.17, from memory; error below 1e-7).
pub(super) fn normal(z: f64) -> f64 {
    let t = 1.0 / (1.0 + 0.231_641_9 * z.abs());
    let series = t
        * (0.319_381_530
            + t * (-0.356_563_782
                + t * (1.781_477_937 + t * (-1.821_255_978 + t * 1.330_274_429))));
    let upper = 0.398_942_280_4 * (-0.5 * z * z).exp() * series;
    if z > 0.0 { 1.0 - upper } else { upper }
}
