//! A bad joint in the lead of a part: how many ohms it has.
//!
//! Most are met where somebody begins to complain, at some tenths of what the part
//! itself has or a few times that; the others may be anywhere from just above a sound
//! joint to a green splice that passes next to nothing. An open one is drawn apart
//! (`short::is_lead_cut`).
//!
//! # Limits
//! The ranges and the shares are judgement.

use super::aim::{Aim, aimed, decades_density};
use super::specimen::triangle_density;
use crate::bench::Draws;
use crate::quantities::Band;

/// Share of bad joints that may have any ohms (judgement).
const ANY: f64 = 0.4;

/// How the bad joints of a part spread, ohms, or times its own ohms.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Joints {
    /// Where most are met.
    usual: Band<f64>,
    /// Whether those spread evenly over decades.
    in_decades: bool,
    /// Where the others are met, evenly over decades.
    any: (f64, f64),
}

impl Joints {
    /// Against the ohms of a load or a coil: at 12.5 V they leave 12.1 to 0.1 V of it.
    pub(super) const OF_LOAD: Self = Self::new((0.1, 3.0), (0.03, 100.0));

    /// Usual ones evenly over decades.
    pub(super) const fn new(usual: (f64, f64), any: (f64, f64)) -> Self {
        let usual = Band {
            low: usual.0,
            typical: usual.0,
            high: usual.1,
        };
        Self {
            usual,
            in_decades: true,
            any,
        }
    }

    /// Usual ones as a triangle.
    pub(super) const fn around(usual: Band<f64>, any: (f64, f64)) -> Self {
        Self {
            usual,
            in_decades: false,
            any,
        }
    }

    /// One near an aim, and its weight.
    pub(super) fn near(&self, aim: Aim, draws: &mut Draws) -> (f64, f64) {
        aimed(aim, draws, |draws| self.draw(draws), |at| self.density(at))
    }

    fn density(&self, at: f64) -> f64 {
        let usual = if self.in_decades {
            decades_density((self.usual.low, self.usual.high), at)
        } else {
            triangle_density(&self.usual, at)
        };
        ANY * decades_density(self.any, at) + (1.0 - ANY) * usual
    }

    pub(super) fn draw(&self, draws: &mut Draws) -> f64 {
        if draws.chance(ANY) {
            draws.decades(self.any.0, self.any.1)
        } else if self.in_decades {
            draws.decades(self.usual.low, self.usual.high)
        } else {
            draws.of(self.usual)
        }
    }
}
