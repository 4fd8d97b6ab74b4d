//! A part that is shorted inside: a burnt winding, a shorted diode across a coil.
//!
//! # Limits
//! Its ohms and the share that opened the lead's fuse are judgement.

use crate::bench::{Draws, Load};

/// What such a condition is called in every family that has it.
pub(super) const SHORTED: &str = "shorted";
/// Odds of it from which nothing is asked that takes power.
pub(super) const SUSPECTED: f64 = 0.1;
/// Its ohms, evenly over the decades.
const SHORT_OHM: (f64, f64) = (0.02, 0.5);
/// Share that has opened the lead's fuse.
const CUT: f64 = 0.8;
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
        let ohm = draws.decades(SHORT_OHM.0, SHORT_OHM.1);
        Self {
            ohm,
            shown_ohm: ohm + draws.between(0.0, leads_ohm),
            is_cut: draws.chance(CUT),
        }
    }

    /// What it is on the lead.
    pub(super) fn load(self) -> Load {
        Load::resistance(self.ohm).scaled(if self.is_cut { 0.0 } else { 1.0 })
    }
}

/// Whether a bad joint in a lead is an open one: no volts, no current behind it.
pub(super) fn is_lead_open(draws: &mut Draws) -> bool {
    draws.chance(LEAD_OPEN)
}
