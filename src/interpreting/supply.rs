//! The battery and lead that feed a part, with what may be wrong with them.
//!
//! Battery at rest is drawn near what was read and weighed by how well a
//! condition explains it; one on the bench that was not read may be anywhere from
//! run down to full.

use super::Measure;
use super::family::Bench;
use super::specimen::{Brings, Expected};
use crate::bench::{Draws, Feed, Rig};
use crate::quantities::Band;

/// Volts a battery fresh off the charger still shows.
const FRESH_V: f64 = 13.3;
/// Volts down to which a flat battery is met.
const FLATTEST_V: f64 = 8.0;
/// The last row of `open-volts-flooded`, run down but not flat: a battery on the
/// bench that nobody measured may be as far down (judgement).
const RUN_DOWN_V: f64 = 11.89;
/// Share of low supplies that are weak and not flat.
const WEAK: f64 = 0.3;
/// Times the resistance of a sound battery that a weak one has.
const WEAK_TIMES: Band<f64> = Band {
    low: 3.0,
    typical: 6.0,
    high: 30.0,
};

/// What is wrong with battery and lead.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Trouble {
    /// Resistance added to the lead, ohms.
    pub lead_ohm: f64,
    /// Factor on the rig's leads.
    pub leads_times: f64,
    /// Factor on the battery's resistance.
    pub battery_times: f64,
    /// Whether the battery is flat.
    pub is_flat: bool,
}

impl Trouble {
    /// Nothing.
    pub(super) const NONE: Self = Self {
        lead_ohm: 0.0,
        leads_times: 1.0,
        battery_times: 1.0,
        is_flat: false,
    };

    /// A bad joint in the lead, ohms.
    pub(super) fn joint(lead_ohm: f64) -> Self {
        Self {
            lead_ohm,
            ..Self::NONE
        }
    }

    /// Leads heavier than the usual ones, evenly down to a share of them.
    pub(super) fn stiff(least: f64, draws: &mut Draws) -> Self {
        Self {
            leads_times: draws.between(least, 1.0),
            ..Self::NONE
        }
    }

    /// A battery that is flat, or charged but weak in three of ten.
    pub(super) fn low_supply(draws: &mut Draws) -> Self {
        if draws.between(0.0, 1.0) < WEAK {
            return Self {
                battery_times: draws.of(WEAK_TIMES),
                ..Self::NONE
            };
        }
        Self {
            is_flat: true,
            ..Self::NONE
        }
    }
}

/// Volts of the battery at rest that go with a flat one, or any other.
fn at_rest(rig: &Rig, is_flat: bool) -> Expected {
    let open = rig.open_volts;
    let (low, typical) = (open.low.si(), open.typical.si());
    if is_flat {
        Expected::new(FLATTEST_V, FLATTEST_V.midpoint(low + 1.0), low + 0.1, 16.0)
    } else {
        Expected::new(low - 0.2, typical, FRESH_V.max(typical + 0.3), 16.0)
    }
}

/// Volts at rest of a battery nobody measured, none flat.
fn unread(rig: &Rig) -> Band<f64> {
    let open = rig.open_volts.si();
    Band {
        low: open.low.min(RUN_DOWN_V),
        ..open
    }
}

/// What a condition brings along of the volts at rest, where they were read.
pub(super) fn brings(bench: &Bench<'_>, is_flat: bool) -> Option<Brings> {
    let expected = at_rest(bench.rig, is_flat);
    let of = |read| Brings::within("battery at rest", Measure::PostVolts, expected.band, read);
    bench.evidence.rest_v.map(of)
}

/// A specimen of the rig with a trouble, and the density of the volts at rest.
pub(super) fn feed(bench: &Bench<'_>, trouble: &Trouble, draws: &mut Draws) -> (Feed, f64) {
    let mut feed = bench.rig.specimen(draws);
    let read = bench.evidence.rest_v;
    let deviation = bench
        .kernel
        .deviation(Measure::PostVolts, read.unwrap_or(0.0));
    let mut weight = 1.0;
    if read.is_some() || trouble.is_flat {
        let expected = at_rest(bench.rig, trouble.is_flat);
        let (rest_v, density) = expected.given(read, deviation, draws);
        feed = feed.at_rest(rest_v);
        weight = density;
    } else if bench.rig.aboard.is_none() {
        feed = feed.at_rest(draws.of(unread(bench.rig)));
    }
    feed = feed
        .weakened(trouble.battery_times)
        .leads_scaled(trouble.leads_times);
    feed.link.r_contacts_ohm += trouble.lead_ohm;
    (feed, weight)
}
