//! What a winding with each condition shows: solenoids, injectors, primaries of
//! ignition coils.
//!
//! A steady solenoid is a resistance in the rig's loop. An injector is read by
//! its ohms alone, and so is a coil that a capacitor discharges into: no battery
//! belongs on them for longer than a tap. A primary has a lamp in series.
//!
//! # Limits
//! A thermal choke's fall of current as it warms is not followed. Severities are
//! judgement.

use super::evidence::Evidence;
use super::family::{Bench, Family, Warned, Weighed, Words, among};
use super::joint::Joints;
use super::odds::DOUBTED;
use super::short::{self, SHORTED, Short, is_lead_cut};
use super::specimen::{Group, OPEN_OHM, SPECIMENS, Seen, Specimen};
use super::supply::{self, Trouble};
use super::{Estimate, Measure, estimates, words};
use crate::bench::{Draws, Feed, Load, Refused, Rig, Settled, lamp_for, lit, settled};
use crate::quantities::{Amps, Band, Ohms};
use crate::tables::readings::TestLamp;

/// How a winding is tried.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tried {
    /// On the lead for seconds: choke, primer, fuel valve.
    Steady,
    /// By ohms; short taps only show whether it ticks.
    Taps,
    /// Through a lamp: the primary of an inductive ignition coil.
    ThroughLamp,
    /// By ohms alone: an injector driven with a limited current.
    Driven,
    /// By ohms alone: an ignition coil that a capacitor discharges into.
    Discharged,
}

/// A winding on the bench.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoilPart {
    /// Its ohms at the temperature of the bench.
    pub ohms: Band<Ohms>,
    /// How it is tried.
    pub tried: Tried,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Fault {
    Healthy,
    Open,
    Shorted,
    Through,
    Stuck,
    PoorContact,
    LowSupply,
    Hot,
}

const FAULTS: [(Fault, &str); 8] = [
    (Fault::Healthy, "healthy"),
    (Fault::Open, "open"),
    (Fault::Shorted, "shorted-coil"),
    (Fault::Through, SHORTED),
    (Fault::Stuck, "stuck"),
    (Fault::PoorContact, "poor-contact"),
    (Fault::LowSupply, "low-supply"),
    (Fault::Hot, "hot"),
];

const WORDS: [Words; 8] = [
    short::WORDS,
    ("healthy", "electrically sound", "is what a sound one shows"),
    (
        "open",
        "open winding",
        "is what a burnt or broken winding, or its pin, shows",
    ),
    (
        "shorted-coil",
        "shorted turns",
        "is too few ohms; it overloads what switches it",
    ),
    (
        "stuck",
        "stuck or gummed plunger",
        "is a sound winding that moves nothing",
    ),
    (
        "poor-contact",
        "a poor contact in its leads",
        "is what it gets when a joint keeps volts from it",
    ),
    (
        "low-supply",
        "the battery is low or weak",
        "is what a sound one draws on too few volts",
    ),
    (
        "hot",
        "warm from work",
        "is what a warm winding shows; let it cool and read again",
    ),
];

/// Ohms of injectors of the normal kind, of those a driver limits, and of secondary
/// windings: 12 to 16 and 0.5 to 4 ohm in `engine-loads`, the meter and warmth beside
/// them; thousands are common practice.
const NORMAL_OHM: (f64, f64) = (10.0, 18.0);
const DRIVEN_OHM: (f64, f64) = (0.5, 4.5);
const SECONDARY_OHM: (f64, f64) = (1.5e3, 30e3);
/// Least share of the volts at which a plunger still moves (judgement).
const MOVES_FROM: Band<f64> = Band {
    low: 0.35,
    typical: 0.5,
    high: 0.7,
};
/// How to know that a tap arrives.
const TAP_AGAIN: &str = "tap it again with a small test lamp across its two pins: where the lamp stays dark the tap never arrives, by an opened lead fuse or a clip that does not bite; where it flashes and nothing ticks, the plunger is stuck";

/// What shorted turns leave of a winding.
const LEFT: Band<f64> = Band {
    low: 0.2,
    typical: 0.5,
    high: 0.8,
};
/// Temperatures of a winding that has worked, degrees C.
const WARM_DEGC: Band<f64> = Band {
    low: 45.0,
    typical: 70.0,
    high: 110.0,
};
/// A rating that asks for the largest test lamp.
const LAMP_FROM: Amps = Amps::new(10.0);

impl CoilPart {
    fn can_show(&self, fault: Fault) -> bool {
        match fault {
            Fault::Healthy | Fault::Open | Fault::Shorted | Fault::Through | Fault::Hot => true,
            Fault::Stuck => matches!(self.tried, Tried::Steady | Tried::Taps),
            Fault::PoorContact => self.tried != Tried::Driven && self.tried != Tried::Discharged,
            Fault::LowSupply => matches!(self.tried, Tried::Steady | Tried::ThroughLamp),
        }
    }
}

impl Family for CoilPart {
    fn part(&self) -> &'static str {
        "coil"
    }

    fn measures(&self) -> Vec<Measure> {
        let fed = [Measure::Volts, Measure::Amps, Measure::PostVolts];
        let mut can = vec![Measure::Ohms];
        if self.is_fed() {
            can.extend(fed);
        }
        if self.can_show(Fault::Stuck) {
            can.push(Measure::Moves);
        }
        can
    }

    fn asks(&self, _: &Evidence, _: bool) -> Vec<Measure> {
        self.measures()
    }

    fn groups(&self, bench: &Bench<'_>, draws: &mut Draws) -> Result<Vec<Group>, Refused> {
        let lamp = lamp_for(LAMP_FROM)?.value;
        let trial = Trial {
            part: self,
            bench,
            lamp: &lamp,
        };
        let all = FAULTS
            .into_iter()
            .filter(|(fault, _)| self.can_show(*fault));
        all.map(|(fault, word)| trial.group(fault, word, draws))
            .collect()
    }

    fn estimates(&self, weighed: &Weighed<'_>, _: &mut Draws) -> Vec<Estimate> {
        let words = "winding resistance, over all conditions by their odds";
        estimates::winding(weighed, words).into_iter().collect()
    }

    /// Whether the tap came through at all, where nothing moved at it.
    fn settles(&self, weighed: &Weighed<'_>) -> Option<String> {
        let may_be = |condition| weighed.share(condition) >= DOUBTED;
        let is_either = may_be("stuck") && may_be("poor-contact");
        (self.tried == Tried::Taps && is_either).then(|| TAP_AGAIN.to_owned())
    }

    /// What another kind of the same part shows.
    fn stands_for(&self, evidence: &Evidence) -> Option<&'static str> {
        let mut ohms = evidence
            .readings()
            .filter(|(_, of, _)| *of == Measure::Ohms);
        let (_, _, read_ohm) = ohms.next()?;
        let is_within = |(low, high): (f64, f64)| (low..=high).contains(&read_ohm);
        match self.tried {
            Tried::Driven if is_within(NORMAL_OHM) => Some(
                "that is what an injector of the normal kind shows, 12 to 16 ohm (`engine-loads`), and no fault of one: look which kind it is, and ask again as `--class injector`",
            ),
            Tried::Taps if is_within(DRIVEN_OHM) => Some(
                "that is what an injector of the low-impedance kind shows, 0.5 to 4 ohm (`engine-loads`), which only a driver that limits its current may feed: look which kind it is",
            ),
            Tried::ThroughLamp | Tried::Discharged if is_within(SECONDARY_OHM) => Some(
                "that is what the secondary winding of an ignition coil shows, some thousands of ohms: the primary's two small terminals are meant",
            ),
            _ => None,
        }
    }

    fn cautions(&self) -> Warned {
        match self.tried {
            Tried::Steady => (
                &["fuel"],
                &["vapour", "switch-far", "fuse-lead", "eyes", "short"],
            ),
            Tried::Taps | Tried::Driven => (
                &["injectors", "fuel"],
                &["vapour", "switch-far", "eyes", "short"],
            ),
            Tried::ThroughLamp => (
                &["ignition"],
                &[
                    "vapour",
                    "extinguisher",
                    "switch-far",
                    "lamp-hot",
                    "eyes",
                    "short",
                ],
            ),
            Tried::Discharged => (&["ignition"], &["kill"]),
        }
    }

    fn most_a(&self, rig: &Rig) -> Option<f64> {
        let is_steady = self.tried == Tried::Steady;
        is_steady.then(|| rig.open_volts.high.si() / self.ohms.low.si())
    }

    fn is_fed(&self) -> bool {
        matches!(self.tried, Tried::Steady | Tried::ThroughLamp)
    }

    fn is_tried_behind_a_lamp(&self) -> bool {
        self.tried == Tried::ThroughLamp
    }

    /// A pulsed winding draws by its driver, not by its feed.
    fn is_read_aboard(&self) -> bool {
        self.tried == Tried::Steady
    }

    fn at_rest(&self, condition: &str) -> Option<&'static str> {
        words::at_rest(condition)
    }

    fn words(&self, condition: &str) -> (&'static str, &'static str) {
        among(&WORDS, condition)
    }

    fn name(&self, measure: Measure) -> &'static str {
        match (self.tried, measure) {
            (Tried::ThroughLamp, Measure::Volts) => "volts across it, a lamp in series",
            (Tried::ThroughLamp, Measure::Amps) => "current through lamp and winding",
            (_, Measure::Volts) => "volts at its terminals",
            (_, Measure::Ohms) => "ohms of the winding, unplugged",
            _ => measure.words(),
        }
    }

    fn how(&self, measure: Measure) -> Option<&'static str> {
        Some(match (self.tried, measure) {
            (_, Measure::Ohms) => "its ohms, off the harness, the meter's leads nulled",
            (Tried::ThroughLamp, Measure::Volts) => {
                "the volts across it with a 55 W lamp in series, a tap of half a second"
            }
            (Tried::ThroughLamp, Measure::Amps) => {
                "the current through it with a 55 W lamp in series, a tap of half a second"
            }
            (Tried::Taps, Measure::Moves) => {
                "whether it ticks at a tap of half a second, rail dry and relieved"
            }
            (_, Measure::Moves) => "whether its plunger moves",
            _ => return None,
        })
    }
}

/// A winding as drawn.
struct Drawn {
    /// Ohms by a meter, where they are those of a short.
    shown_ohm: Option<f64>,
    /// Whether an open joint or fuse keeps everything from it.
    is_cut: bool,
    /// Whether a bad joint leaves too little to move it.
    is_starved: bool,
    weight: f64,
    feed: Feed,
    load: Load,
    ohms: f64,
}

struct Trial<'a> {
    part: &'a CoilPart,
    bench: &'a Bench<'a>,
    /// In series with a primary.
    lamp: &'a TestLamp,
}

impl Trial<'_> {
    fn group(
        &self,
        fault: Fault,
        condition: &'static str,
        draws: &mut Draws,
    ) -> Result<Group, Refused> {
        let drawn: Vec<Drawn> = (0..SPECIMENS).map(|_| self.draw(fault, draws)).collect();
        let loops: Vec<(Feed, Load)> = drawn.iter().map(|one| (one.feed, one.load)).collect();
        let found = settled(&loops)?;
        let both = drawn.iter().zip(&found);
        let brings = supply::brings(self.bench, fault == Fault::LowSupply);
        Ok(Group {
            condition,
            prior: self.bench.priors.of(condition),
            brings: brings.into_iter().collect(),
            specimens: both.map(|(one, s)| self.specimen(fault, one, s)).collect(),
        })
    }

    fn draw(&self, fault: Fault, draws: &mut Draws) -> Drawn {
        let mut ohms = draws.quantity(&self.part.ohms);
        let trouble = match fault {
            Fault::PoorContact => Trouble::joint(ohms * Joints::OF_LOAD.draw(draws)),
            Fault::LowSupply => Trouble::low_supply(draws),
            _ => Trouble::NONE,
        };
        let air = self.bench.rig.air.si();
        let inside = Short::draw(self.bench.rig.ohms_error.plus, draws);
        let short = (fault == Fault::Through).then_some(inside);
        match fault {
            Fault::Shorted => ohms *= draws.of(LEFT),
            Fault::Through => ohms = inside.ohm,
            Fault::Hot => ohms *= (234.5 + draws.of(WARM_DEGC).max(air)) / (234.5 + air),
            _ => {}
        }
        let (mut feed, weight) = supply::feed(self.bench, &trouble, draws);
        let mut load = if self.part.tried == Tried::ThroughLamp {
            feed.link.r_contacts_ohm += ohms;
            lit(self.lamp, draws)
        } else {
            Load::resistance(ohms)
        };
        // Through a lamp nothing opens a fuse.
        let opens = short.filter(|_| self.part.tried != Tried::ThroughLamp);
        let is_cut = is_lead_cut(opens, fault == Fault::PoorContact, draws);
        if fault == Fault::Open || is_cut {
            load = load.scaled(0.0);
        }
        if fault == Fault::Open {
            ohms = OPEN_OHM;
        }
        // A joint of twice the winding leaves a third of the volts.
        let left = 1.0 / (1.0 + trouble.lead_ohm / ohms);
        let is_starved = fault == Fault::PoorContact && left < draws.of(MOVES_FROM);
        Drawn {
            is_starved,
            shown_ohm: short.map(|short| short.shown_ohm),
            is_cut,
            weight,
            feed,
            load,
            ohms,
        }
    }

    fn specimen(&self, fault: Fault, one: &Drawn, s: &Settled) -> Specimen {
        let volts = match (fault, self.part.tried) {
            _ if one.is_cut => 0.0,
            // Nothing flows: all the volts stand across the gap.
            (Fault::Open, _) => one.feed.open_v(),
            (_, Tried::ThroughLamp) => s.current_a * one.ohms,
            _ => s.part_v,
        };
        let moves = !one.is_cut
            && !one.is_starved
            && !matches!(fault, Fault::Open | Fault::Stuck | Fault::Through);
        let not_nulled = 0.5 * self.bench.rig.ohms_error.plus;
        let seen = Seen::NOTHING
            .with(Measure::Volts, volts)
            .with(Measure::Amps, s.current_a)
            .with(Measure::PostVolts, s.post_v)
            .with(
                Measure::Ohms,
                one.shown_ohm.unwrap_or(one.ohms + not_nulled),
            )
            .with(Measure::Moves, f64::from(u8::from(moves)));
        Specimen {
            weight: one.weight,
            runs: vec![seen; self.bench.runs.len()],
            winding_ohm: one.ohms,
        }
    }
}
