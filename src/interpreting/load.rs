//! What another load with each condition shows: lamps, horns, gauges, radios.
//!
//! # Limits
//! Steady draw; a shorted load opens its fuse in most cases, and then shows no
//! current. Severities are judgement.

use super::evidence::Evidence;
use super::family::{Bench, Family, Warned, Weighed, Words, among};
use super::joint::Joints;
use super::short::{SHORTED, Short};
use super::specimen::{Group, OPEN_OHM, SPECIMENS, Seen, Specimen};
use super::supply::{self, Trouble};
use super::{Estimate, Measure, estimates, words};
use crate::bench::{Draws, Feed, Load, Refused, Settled, settled};
use crate::devices::{LoadModel, LoadShape};

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Fault {
    Healthy,
    Open,
    Shorted,
    PoorContact,
    LowSupply,
}

const FAULTS: [(Fault, &str); 5] = [
    (Fault::Healthy, "healthy"),
    (Fault::Open, "open"),
    (Fault::Shorted, SHORTED),
    (Fault::PoorContact, "poor-contact"),
    (Fault::LowSupply, "low-supply"),
];

const WORDS: [Words; 5] = [
    ("healthy", "electrically sound", "is what a sound one draws"),
    (
        "open",
        "open inside, or waiting for a signal",
        "is what a burnt-out one shows, or one that does not get its signal here",
    ),
    (
        SHORTED,
        "shorted inside",
        "is what a short shows; do not power it again",
    ),
    (
        "poor-contact",
        "a poor contact in its leads",
        "is what it draws when a joint keeps volts from it",
    ),
    (
        "low-supply",
        "the battery is low or weak",
        "is what a sound one draws on too few volts",
    ),
];

/// Volts at which a load's share of a joint is reckoned.
const REFERENCE_V: f64 = 12.0;

impl Family for LoadModel {
    fn part(&self) -> &'static str {
        "load"
    }

    fn measures(&self) -> Vec<Measure> {
        let mut can = vec![Measure::Volts, Measure::Amps, Measure::PostVolts];
        if matches!(self.shape, LoadShape::Resistance(_)) {
            can.push(Measure::Ohms);
        }
        can
    }

    fn asks(&self, _: &Evidence, _: bool) -> Vec<Measure> {
        self.measures()
    }

    fn groups(&self, bench: &Bench<'_>, draws: &mut Draws) -> Result<Vec<Group>, Refused> {
        let of = |(fault, condition): (Fault, &'static str)| {
            let drawn: Vec<Drawn> = (0..SPECIMENS)
                .map(|_| draw(self, fault, bench, draws))
                .collect();
            let loops: Vec<(Feed, Load)> = drawn.iter().map(|one| (one.feed, one.load)).collect();
            let found = settled(&loops)?;
            let both = drawn.iter().zip(&found);
            let brings = supply::brings(bench, fault == Fault::LowSupply);
            Ok(Group {
                condition,
                prior: bench.priors.of(condition),
                brings: brings.into_iter().collect(),
                specimens: both.map(|(one, s)| one.specimen(fault, s, bench)).collect(),
            })
        };
        FAULTS.into_iter().map(of).collect()
    }

    fn estimates(&self, weighed: &Weighed<'_>, draws: &mut Draws) -> Vec<Estimate> {
        let Bench {
            rig,
            evidence,
            kernel,
            ..
        } = weighed.bench;
        estimates::of_loop(evidence, rig.aboard.is_some(), kernel, draws)
    }

    fn cautions(&self) -> Warned {
        (
            &["pump"],
            &["polarity", "vapour", "switch-far", "eyes", "short"],
        )
    }

    fn at_rest(&self, condition: &str) -> Option<&'static str> {
        words::at_rest(condition)
    }

    fn words(&self, condition: &str) -> (&'static str, &'static str) {
        among(&WORDS, condition)
    }
}

/// A load as drawn.
struct Drawn {
    weight: f64,
    feed: Feed,
    load: Load,
    ohms: f64,
}

fn draw(model: &LoadModel, fault: Fault, bench: &Bench<'_>, draws: &mut Draws) -> Drawn {
    let mut load = Load::of(model.branch_of(&mut |band| draws.of(band)));
    let drawn_a = load.parameters.current(REFERENCE_V).0;
    let mut ohms = REFERENCE_V / drawn_a.max(1e-6);
    let trouble = match fault {
        Fault::PoorContact => Trouble::joint(ohms * Joints::OF_LOAD.draw(draws)),
        Fault::LowSupply => Trouble::low_supply(draws),
        _ => Trouble::NONE,
    };
    let (feed, weight) = supply::feed(bench, &trouble, draws);
    match fault {
        Fault::Open => {
            load = load.scaled(0.0);
            ohms = OPEN_OHM;
        }
        Fault::Shorted => {
            let short = Short::draw(bench.rig.ohms_error.plus, draws);
            (ohms, load) = (short.ohm, short.load());
        }
        _ => {}
    }
    Drawn {
        weight,
        feed,
        load,
        ohms,
    }
}

impl Drawn {
    fn specimen(&self, fault: Fault, s: &Settled, bench: &Bench<'_>) -> Specimen {
        let volts = match fault {
            // The lead's fuse has opened.
            Fault::Shorted if self.load.scale == 0.0 => 0.0,
            Fault::Open => self.feed.open_v(),
            _ => s.part_v,
        };
        let seen = Seen::NOTHING
            .with(Measure::Volts, volts)
            .with(Measure::Amps, s.current_a)
            .with(Measure::PostVolts, s.post_v)
            .with(Measure::Ohms, self.ohms + 0.5 * bench.rig.ohms_error.plus);
        Specimen {
            weight: self.weight,
            runs: vec![seen; bench.runs.len()],
            winding_ohm: self.ohms,
        }
    }
}
