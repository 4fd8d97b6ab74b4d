//! A feed that bends: what a circuit in use gives one of its parts.
//!
//! Other loads let go as the volts fall, a battery that was charged gives
//! current all at once, fuses and wires heat: no one resistance holds from open
//! to stalled. The feed is solved at a few test resistances; between two of
//! them it is straight, an open voltage behind a resistance.
//!
//! # Limits
//! Straight between its knots: within 20 mV of the whole
//! circuit, as a test holds.

use super::circuit_loop::Feed;
use crate::network::{HeatedLink, Supply};
use crate::solving::Fed;

/// Test conductances of a feed, as multiples of the part's own running.
pub(super) const TRIED: [f64; 10] = [0.0, 0.3, 0.6, 0.8, 1.0, 1.2, 1.6, 2.4, 4.0, 8.0];
/// Which of them is the part running.
pub(super) const RUNNING: usize = 4;
/// Kinks looked for between them: a battery turns from charged to giving, a
/// regulator reaches its most.
const KINKS: usize = 2;
/// Knots of a feed.
const COUNT: usize = TRIED.len() + KINKS;
/// Change of resistance that makes a kink, ohms: heat alone changes less.
const KINK_OHM: f64 = 0.01;

/// What the circuit shows at one test resistance.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Knot {
    current_a: f64,
    part_v: f64,
    posts_v: f64,
}

/// A feed by its knots, at one of its stretches.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bend {
    knots: [Knot; COUNT],
    /// The stretch begins at this knot.
    at: usize,
    /// Volts of the battery at rest.
    rest_v: f64,
    /// Volts at the part by the volt of the battery at rest.
    follows: f64,
    /// Resistance of the battery, ohms.
    battery_ohm: f64,
    /// Current the other loads take from the battery, amperes; none while it is charged.
    others_a: f64,
}

/// A battery behind its feed: what of it enters besides the knots.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Behind {
    pub rest_v: f64,
    pub battery_ohm: f64,
    pub follows: f64,
}

/// Straight stretch: open volts, resistance, that of the posts alone, and what
/// the posts stand above the open volts.
struct Straight {
    open_v: f64,
    ohm: f64,
    posts_ohm: f64,
    posts_over_v: f64,
}

/// The knots with a kink between two of them where the straights on both sides
/// meet there.
fn with_kinks(mut knots: Vec<Knot>) -> Vec<Knot> {
    let mut at = 1;
    while at + 2 < knots.len() && knots.len() < COUNT {
        if let Some(kink) = kink(&knots[at - 1..at + 3]) {
            knots.insert(at + 1, kink);
            at += 1;
        }
        at += 1;
    }
    knots
}

/// Where the straight through the first two of four knots meets that through the
/// last two, if that is between the middle ones.
fn kink(four: &[Knot]) -> Option<Knot> {
    let [one, left, right, other] = four else {
        return None;
    };
    let more_a = |from: &Knot, to: &Knot| (to.current_a - from.current_a).max(1e-12);
    let ohm = |from: &Knot, to: &Knot| (from.part_v - to.part_v) / more_a(from, to);
    let (before, after) = (ohm(one, left), ohm(right, other));
    if (before - after).abs() < KINK_OHM {
        return None;
    }
    let start_v = left.part_v + before * left.current_a;
    let end_v = right.part_v + after * right.current_a;
    let current_a = (start_v - end_v) / (before - after);
    let room_a = 0.01 * more_a(left, right);
    let inside = left.current_a + room_a..right.current_a - room_a;
    let past_a = current_a - left.current_a;
    let posts_ohm = (one.posts_v - left.posts_v) / more_a(one, left);
    inside.contains(&current_a).then_some(Knot {
        current_a,
        part_v: left.part_v - before * past_a,
        posts_v: left.posts_v - posts_ohm * past_a,
    })
}

/// Least resistance of a stretch, ohms.
const LEAST_OHM: f64 = 1e-6;

impl Bend {
    pub(super) fn of(found: &[Fed], behind: Behind) -> Self {
        let tried = found.iter().map(|fed| Knot {
            // Leads swapped by relays run a motor the other way round.
            current_a: fed.current_a.abs(),
            part_v: fed.voltage_v.abs(),
            posts_v: fed.posts_v,
        });
        let knots = with_kinks(tried.collect());
        Self {
            knots: std::array::from_fn(|at| knots[at.min(knots.len() - 1)]),
            at: 0,
            rest_v: behind.rest_v,
            follows: behind.follows,
            battery_ohm: behind.battery_ohm,
            others_a: found[0].battery_a.max(0.0),
        }
    }

    fn straight(&self) -> Straight {
        let (one, other) = (self.knots[self.at], self.knots[self.at + 1]);
        let more_a = (other.current_a - one.current_a).max(1e-9);
        let ohm = ((one.part_v - other.part_v) / more_a).max(2.0 * LEAST_OHM);
        let posts_ohm = ((one.posts_v - other.posts_v) / more_a).clamp(LEAST_OHM, ohm - LEAST_OHM);
        let open_v = one.part_v + ohm * one.current_a;
        let posts_v = one.posts_v + posts_ohm * one.current_a;
        Straight {
            open_v,
            ohm,
            posts_ohm,
            posts_over_v: posts_v - open_v,
        }
    }

    /// The stretch that holds a current.
    fn stretch(&self, current_a: f64) -> usize {
        let last = self.knots.len() - 2;
        let within = |at: &usize| current_a <= self.knots[at + 1].current_a;
        (0..last).find(within).unwrap_or(last)
    }

    /// Volts at the part with nothing drawn, and the resistance behind it from
    /// there to a current.
    pub(super) fn thevenin(&self, current_a: f64) -> (f64, f64) {
        let at = Self {
            at: self.stretch(current_a),
            ..*self
        };
        let straight = at.straight();
        let open_v = self.knots[0].part_v;
        let part_v = straight.open_v - straight.ohm * current_a;
        (open_v, (open_v - part_v) / current_a.max(1e-9))
    }

    /// The feed at its first stretch.
    pub(super) fn feed(self) -> Feed {
        let straight = self.straight();
        let supply = Supply {
            emf_v: straight.open_v,
            r_ohm: straight.posts_ohm,
            r_charge_ohm: straight.posts_ohm,
        };
        let link = HeatedLink {
            r_contacts_ohm: straight.ohm - straight.posts_ohm,
            r_cold_ohm: 1e-9,
            beta_per_a2: 0.0,
            extra_a2: 0.0,
            rise_cap: 0.0,
        };
        Feed {
            supply,
            link,
            posts_over_v: straight.posts_over_v,
            bend: Some(self),
        }
    }
}

impl Feed {
    /// The same feed with its battery at other volts at rest.
    #[must_use]
    pub fn at_rest(mut self, rest_v: f64) -> Self {
        let Some(mut bend) = self.bend else {
            self.supply.emf_v = rest_v;
            return self;
        };
        let more_v = bend.follows * (rest_v - bend.rest_v);
        bend.rest_v = rest_v;
        for knot in &mut bend.knots {
            knot.part_v += more_v;
            knot.posts_v += more_v;
        }
        self.bent(&bend)
    }

    /// The same feed with so many times its battery's resistance: the other
    /// loads pull it down too.
    #[must_use]
    pub fn weakened(mut self, times: f64) -> Self {
        let Some(mut bend) = self.bend else {
            self.supply.r_ohm *= times;
            self.supply.r_charge_ohm = self.supply.r_ohm;
            return self;
        };
        let more_ohm = bend.battery_ohm * (times - 1.0);
        bend.battery_ohm *= times;
        for knot in &mut bend.knots {
            let less_v = more_ohm * (bend.others_a + knot.current_a);
            knot.part_v -= less_v;
            knot.posts_v -= less_v;
        }
        self.bent(&bend)
    }

    /// The same feed with so many times the resistance between posts and part.
    #[must_use]
    pub fn leads_scaled(mut self, times: f64) -> Self {
        let Some(mut bend) = self.bend else {
            self.link.r_contacts_ohm *= times;
            self.link.r_cold_ohm *= times;
            return self;
        };
        let open_v = bend.knots[0].posts_v - bend.knots[0].part_v;
        for knot in &mut bend.knots {
            let lost_v = (knot.posts_v - knot.part_v) - open_v;
            knot.part_v += (1.0 - times) * lost_v;
        }
        self.bent(&bend)
    }

    /// Volts at the part while it draws nothing.
    pub fn open_v(&self) -> f64 {
        self.bend
            .map_or(self.supply.emf_v, |bend| bend.knots[0].part_v)
    }

    /// Resistance before the part, its fuse cold, ohms.
    pub fn ohm(&self) -> f64 {
        self.supply.r_ohm + self.link.r_contacts_ohm + self.link.r_cold_ohm
    }

    /// The same feed as it is near a current.
    #[must_use]
    pub fn towards(self, current_a: f64) -> Self {
        self.on_stretch(current_a).unwrap_or(self)
    }

    /// The same feed on the stretch that a current lies on; none where it is on
    /// it, or does not bend.
    pub(super) fn on_stretch(&self, current_a: f64) -> Option<Self> {
        let bend = self.bend?;
        let at = bend.stretch(current_a);
        if at == bend.at {
            return None;
        }
        Some(self.bent(&Bend { at, ..bend }))
    }

    /// The feed bent otherwise; what was added in the lead stays.
    fn bent(self, bend: &Bend) -> Self {
        let Some(before) = self.bend.map(|bend| bend.straight()) else {
            return self;
        };
        let after = bend.straight();
        let mut feed = self;
        feed.link.r_contacts_ohm += (after.ohm - after.posts_ohm) - (before.ohm - before.posts_ohm);
        feed.supply.emf_v += after.open_v - before.open_v;
        feed.supply.r_ohm = after.posts_ohm;
        feed.supply.r_charge_ohm = after.posts_ohm;
        feed.posts_over_v = after.posts_over_v;
        feed.bend = Some(*bend);
        feed
    }
}
