//! Where specimens are drawn near what the readings ask for.
//!
//! A resistance that may lie anywhere over three decades is met by few of some thousand
//! draws. Half of them are drawn where volts and amperes put it, the others as they
//! come; each is weighed by its own density over that of both together, so the mean
//! stays that of the plain draws.
//!
//! # Source
//! Importance sampling with a mixture; textbook statistics.

use super::Measure;
use super::evidence::{Evidence, Run};
use crate::bench::Draws;

/// Ends between which a resistance is sought, ohms.
pub(super) type Aim = Option<(f64, f64)>;

/// Where the volts and amperes of a run put a joint before the part, and a short in it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Aims {
    pub joint: Aim,
    pub short: Aim,
}

/// Current below which a quotient says nothing, amperes.
const LEAST_A: f64 = 0.05;
/// Volts of a battery that nobody read.
const SUPPLY_V: (f64, f64) = (11.5, 12.9);
/// Share of its volts at rest that a battery keeps under the load of a bench.
const KEEPS: f64 = 0.95;
/// How far beside the quotient it is sought.
const BESIDE: f64 = 0.08;
/// Most that sound leads of the rig have of it, ohms, and as a share.
const LEADS_OHM: f64 = 0.12;
const LEADS_SHARE: f64 = 0.5;

impl Aims {
    pub(super) fn of(evidence: &Evidence) -> Self {
        let both = |run| Some((Run::get(run, Measure::Volts)?, run.get(Measure::Amps)?, run));
        let mut read = evidence.runs.iter().filter_map(both);
        let Some((volts, amps, run)) = read.find(|(_, amps, _)| *amps >= LEAST_A) else {
            return Self::default();
        };
        let (low_v, high_v) = match (run.get(Measure::PostVolts), evidence.rest_v) {
            (Some(posts), _) => (posts, posts),
            (None, Some(rest)) => (KEEPS * rest, rest),
            (None, None) => SUPPLY_V,
        };
        let whole = |from_v: f64| (from_v - volts) / amps;
        let least = (1.0 - BESIDE) * whole(low_v);
        let joint = (
            (least - LEADS_OHM).max(LEADS_SHARE * least).max(1e-3),
            (1.0 + BESIDE) * whole(high_v),
        );
        let own = volts / amps;
        let short = ((1.0 - BESIDE) * own, (1.0 + BESIDE) * own);
        let sound = |(low, high): (f64, f64)| (low > 0.0 && high > low).then_some((low, high));
        Self {
            joint: sound(joint),
            short: sound(short),
        }
    }
}

/// Density of a figure that lies evenly over decades.
pub(super) fn decades_density((low, high): (f64, f64), at: f64) -> f64 {
    if at < low || at > high {
        return 0.0;
    }
    1.0 / (at * (high / low).ln())
}

/// A draw, and its weight; `plain` draws one as it comes, `density` is of those.
pub(super) fn aimed(
    aim: Aim,
    draws: &mut Draws,
    plain: impl Fn(&mut Draws) -> f64,
    density: impl Fn(f64) -> f64,
) -> (f64, f64) {
    let Some((low, high)) = aim else {
        return (plain(draws), 1.0);
    };
    let found = if draws.chance(0.5) {
        draws.decades(low, high)
    } else {
        plain(draws)
    };
    let own = density(found);
    let either = 0.5 * own + 0.5 * decades_density((low, high), found);
    (found, if either > 0.0 { own / either } else { 0.0 })
}
