//! One instance of a fuse: its thermal states, stepped in closed form.
//!
//! du/dt = s (a m^2 - u)/tau for each state, open when the sum of u reaches 1;
//! m is the current over the rating in its air, s the pace of the clock. Under
//! a constant or exponentially falling m the sum is a sum of exponentials, so
//! the first instant at 1 and every maximum inside the stretch are found
//! exactly.

use super::course::Course;
use super::decays::Decays;
use super::pace::{Pace, horizon_s};
use crate::tables::fuses::ThermalState;

/// A fuse element with the pace of its clock.
#[derive(Debug, Clone, PartialEq)]
pub struct Element {
    /// Its thermal states.
    pub states: Vec<ThermalState>,
    /// Its clock.
    pub pace: Pace,
}

/// Heat of each state, as a share of the melting heat.
#[derive(Debug, Clone, PartialEq)]
pub struct Heat(pub Vec<f64>);

/// What a stretch of current did.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Passage {
    /// Seconds after its start at which it opened.
    pub opens_s: Option<f64>,
    /// Largest sum of heat; 1 where it opened.
    pub peak: f64,
}

/// The law of a state's heat under a current: `s (a m^2 - u) / tau`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drive {
    square: f64,
    pace: f64,
    pace_slope: f64,
}

impl Drive {
    /// Heat gained a second.
    #[inline]
    pub fn rate(&self, state: &ThermalState, heat: f64) -> f64 {
        self.pace * (state.a * self.square - heat) / state.tau.si()
    }

    /// How that changes with the state's own heat.
    #[inline]
    pub fn by_heat(&self, state: &ThermalState) -> f64 {
        -self.pace / state.tau.si()
    }

    /// How that changes with the square of the multiple.
    #[inline]
    pub fn by_square(&self, state: &ThermalState, heat: f64) -> f64 {
        let lag = state.a * self.square - heat;
        (self.pace * state.a + self.pace_slope * lag) / state.tau.si()
    }
}

/// Time constant from which a state belongs to holder and blades, seconds: it
/// stays warm when a fuse is replaced.
const HOLDER_S: f64 = 100.0;
/// Parts of a decay, and decays, a falling current is followed in for a matched
/// clock; after those it has arrived.
const PARTS_OF_DECAY: f64 = 32.0;
const DECAYS: f64 = 10.0;

impl Heat {
    /// Sum over the states: 0 cold, 1 melting.
    pub fn total(&self) -> f64 {
        self.0.iter().sum()
    }
}

impl Element {
    /// Cold.
    pub fn cold(&self) -> Heat {
        Heat(vec![0.0; self.states.len()])
    }

    /// Settled at a multiple of the rating.
    pub fn settled(&self, multiple: f64) -> Heat {
        Heat(
            self.states
                .iter()
                .map(|s| s.a * multiple * multiple)
                .collect(),
        )
    }

    /// A new fuse in the holder the old one has warmed: the slow states stay.
    pub fn replaced(&self, heat: &Heat) -> Heat {
        let kept = self.states.iter().zip(&heat.0);
        Heat(
            kept.map(|(state, u)| if state.tau.si() >= HOLDER_S { *u } else { 0.0 })
                .collect(),
        )
    }

    /// Adds the heat of a bad holder: its share of the melting heat at the
    /// rated current, on the slowest state.
    #[must_use]
    pub fn in_bad_holder(mut self, share_at_rating: f64) -> Self {
        let slowest = self
            .states
            .iter_mut()
            .max_by(|a, b| a.tau.si().total_cmp(&b.tau.si()));
        if let Some(state) = slowest {
            state.a += share_at_rating;
        }
        self
    }

    /// Lets a current run and moves the heat along; stops where it opens.
    pub fn pass(&self, heat: &mut Heat, course: &Course) -> Passage {
        if course.is_constant() || self.pace == Pace::Passive {
            let pace = self.pace_at(course.from);
            return self.stretch(heat, course, pace);
        }
        let falls_s = course.lasts_s.min(DECAYS * course.decay_s);
        let parts = (falls_s / course.decay_s * PARTS_OF_DECAY).ceil().max(1.0) as u32;
        let part_s = falls_s / f64::from(parts);
        let mut peak = heat.total();
        for part in 0..parts {
            let start_s = f64::from(part) * part_s;
            let middle = course.at(start_s + 0.5 * part_s);
            let pace = self.pace_at(middle);
            let done = self.stretch(heat, &course.later(start_s, part_s), pace);
            peak = peak.max(done.peak);
            if let Some(opens_s) = done.opens_s {
                return Passage {
                    opens_s: Some(start_s + opens_s),
                    peak,
                };
            }
        }
        let rest = course.later(falls_s, course.lasts_s - falls_s);
        if rest.lasts_s <= 0.0 {
            return Passage {
                opens_s: None,
                peak,
            };
        }
        let pace = self.pace_at(rest.towards);
        let done = self.stretch(heat, &rest, pace);
        Passage {
            opens_s: done.opens_s.map(|opens_s| falls_s + opens_s),
            peak: peak.max(done.peak),
        }
    }

    fn pace_at(&self, multiple: f64) -> f64 {
        self.pace.at(multiple * multiple).0
    }

    /// What a current of the square of a multiple does to its heat at once.
    pub fn drive(&self, square: f64) -> Drive {
        let (pace, pace_slope) = self.pace.at(square);
        Drive {
            square,
            pace,
            pace_slope,
        }
    }

    /// A stretch at one pace.
    fn stretch(&self, heat: &mut Heat, course: &Course, pace: f64) -> Passage {
        let settles_s = horizon_s(&self.states) / pace.min(1.0) + 60.0 * course.decay_s;
        let lasts_s = course.lasts_s.min(settles_s);
        let solved: Vec<Vec<(f64, f64)>> = self
            .states
            .iter()
            .zip(&heat.0)
            .map(|(state, u)| solve(state, *u, course, pace))
            .collect();
        let end = |t: f64| -> Vec<f64> {
            let sum = |terms: &Vec<(f64, f64)>| terms.iter().map(|(c, r)| c * (-r * t).exp()).sum();
            solved.iter().map(sum).collect()
        };
        let before = heat.total();
        let hottest = self.bound(heat, course);
        let total = Decays::new(solved.iter().flatten().copied());
        let over = Decays::new(solved.iter().flatten().copied().chain([(-1.0, 0.0)]));
        // Without current it is open and cools.
        if before >= 1.0 && course.from.max(course.towards) > 0.0 {
            return Passage {
                opens_s: Some(0.0),
                peak: before,
            };
        }
        if before < 1.0
            && hottest >= 1.0
            && let Some(opens_s) = over.crossings(0.0, lasts_s).first().copied()
        {
            heat.0 = end(opens_s);
            return Passage {
                opens_s: Some(opens_s),
                peak: 1.0,
            };
        }
        heat.0 = end(lasts_s);
        let ends = before.max(heat.total());
        let inside = if hottest > ends {
            total.slope().crossings(0.0, lasts_s)
        } else {
            Vec::new()
        };
        let peak = inside.into_iter().map(|t| total.at(t)).fold(ends, f64::max);
        Passage {
            opens_s: None,
            peak,
        }
    }

    /// More than the sum of heat can reach.
    fn bound(&self, heat: &Heat, course: &Course) -> f64 {
        let most = course.from.abs().max(course.towards.abs());
        let of = |(state, u): (&ThermalState, &f64)| u.max(state.a * most * most);
        self.states.iter().zip(&heat.0).map(of).sum()
    }
}

/// One state under a course: its exponentials, coefficient and rate.
fn solve(state: &ThermalState, start: f64, course: &Course, pace: f64) -> Vec<(f64, f64)> {
    let mut rate = pace / state.tau.si();
    let (end, fall) = (course.towards, course.from - course.towards);
    if course.is_constant() {
        let settled = state.a * course.from * course.from;
        return vec![(settled, 0.0), (start - settled, rate)];
    }
    let falls = 1.0 / course.decay_s;
    // At resonance the two exponentials merge; a shift of a few millionths
    // keeps them apart and costs no digit that is shown.
    for resonance in [falls, 2.0 * falls] {
        if (rate / resonance - 1.0).abs() < 1e-6 {
            rate = resonance * (1.0 + 2e-6);
        }
    }
    let settled = state.a * end * end;
    let first = state.a * 2.0 * end * fall * rate / (rate - falls);
    let second = state.a * fall * fall * rate / (rate - 2.0 * falls);
    vec![
        (settled, 0.0),
        (first, falls),
        (second, 2.0 * falls),
        (start - settled - first - second, rate),
    ]
}
