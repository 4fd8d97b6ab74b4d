//! A part that is shorted inside: a burnt winding, a shorted diode across a coil.
//!
//! # Limits
//! Its ohms and the share that opened the lead's fuse are judgement.

use super::aim::{Aim, aimed, decades_density};
use super::family::Words;
use crate::bench::{Draws, Load};

/// What such a condition is called in every family that has it.
pub(super) const SHORTED: &str = "shorted";
/// What its readings are like.
pub(super) const LIKE: &str =
    "is what a dead short inside shows, or the fuse it opened: keep it off any battery";
/// Its words, where a family has none of its own.
pub(super) const WORDS: Words = (SHORTED, "shorted inside", LIKE);
/// Odds of it from which nothing is asked that takes power.
pub(super) const SUSPECTED: f64 = 0.1;
/// Its ohms, evenly over the decades.
const SHORT_OHM: (f64, f64) = (0.02, 0.5);
/// A short inside a motor's winding against that winding: less than it, or nothing
/// would tell the two apart (judgement).
const OF_WINDING: (f64, f64) = (0.05, 0.6);
/// Share that has opened the lead's fuse.
const CUT: f64 = 0.8;
/// The same of motors, whose fuses are large (judgement).
const CUT_OF_MOTORS: f64 = 0.6;
/// Share of bad joints in a lead that do not conduct at all.
const LEAD_OPEN: f64 = 0.2;

/// One short.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Short {
    pub ohm: f64,
    /// What an ohmmeter shows of it, its leads nulled or not.
    pub shown_ohm: f64,
    /// Whether the lead's fuse has opened.
    pub is_cut: bool,
}

impl Short {
    pub(super) fn draw(leads_ohm: f64, draws: &mut Draws) -> Self {
        Shorts::USUAL.near(None, leads_ohm, draws).0
    }

    /// What it is on the lead.
    pub(super) fn load(self) -> Load {
        Load::resistance(self.ohm).scaled(if self.is_cut { 0.0 } else { 1.0 })
    }
}

/// How the shorts of a part spread.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Shorts {
    /// Their ohms, evenly over the decades.
    ohm: (f64, f64),
    /// Share that has opened the lead's fuse.
    cut: f64,
}

impl Shorts {
    /// Of a part with tenths of an ohm at least.
    pub(super) const USUAL: Self = Self {
        ohm: SHORT_OHM,
        cut: CUT,
    };

    /// Of a motor with few milliohms, behind a fuse or on cables without one.
    pub(super) fn of_winding(winding_ohm: f64, is_fused: bool) -> Self {
        Self {
            ohm: (OF_WINDING.0 * winding_ohm, OF_WINDING.1 * winding_ohm),
            cut: if is_fused { CUT_OF_MOTORS } else { 0.0 },
        }
    }

    /// One near an aim, and its weight.
    pub(super) fn near(self, aim: Aim, leads_ohm: f64, draws: &mut Draws) -> (Short, f64) {
        let (low, high) = self.ohm;
        let plain = |draws: &mut Draws| draws.decades(low, high);
        let (ohm, weight) = aimed(aim, draws, plain, |at| decades_density(self.ohm, at));
        let short = Short {
            ohm,
            shown_ohm: ohm + draws.between(0.0, leads_ohm),
            is_cut: draws.chance(self.cut),
        };
        (short, weight)
    }
}

/// Whether nothing comes through a lead, no volts, no current: a short has opened its
/// fuse, or its bad joint is an open one.
pub(super) fn is_lead_cut(short: Option<Short>, has_bad_joint: bool, draws: &mut Draws) -> bool {
    match short {
        Some(short) => short.is_cut,
        None => has_bad_joint && draws.chance(LEAD_OPEN),
    }
}
