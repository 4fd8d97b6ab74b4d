//! What a lift pump with a pulsed coil shows with each condition: its mean and
//! peak current in the rig's loop, ohms, whether it ticks and delivers.
//!
//! # Limits
//! A meter's mean of the pulses; no stroke is followed. Severities are judgement.

use super::evidence::{Evidence, Run, RunKind};
use super::family::{Bench, Family, Warned, Weighed, Words, among};
use super::joint::Joints;
use super::short::{self, SHORTED, Short, is_lead_cut};
use super::specimen::{Group, OPEN_OHM, SPECIMENS, Seen, Specimen};
use super::supply::{self, Trouble};
use super::{Estimate, Measure, estimates, words};
use crate::bench::{Draws, Feed, Load, Refused, Rig, Settled, settled};
use crate::devices::PulsePump;
use crate::quantities::Band;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Fault {
    Healthy,
    Locked,
    Dragging,
    WornStage,
    Open,
    Shorted,
    Through,
    Dry,
    Reversed,
    PoorContact,
    LowSupply,
    Hot,
}

const FAULTS: [(Fault, &str); 12] = [
    (Fault::Healthy, "healthy"),
    (Fault::Locked, "locked"),
    (Fault::Dragging, "dragging"),
    (Fault::WornStage, "worn-stage"),
    (Fault::Open, "open"),
    (Fault::Shorted, "shorted-coil"),
    (Fault::Through, SHORTED),
    (Fault::Dry, "dry"),
    (Fault::Reversed, "reversed"),
    (Fault::PoorContact, "poor-contact"),
    (Fault::LowSupply, "low-supply"),
    (Fault::Hot, "hot"),
];

const WORDS: [Words; 12] = [
    short::WORDS,
    (
        "healthy",
        "electrically sound",
        "is what a sound one draws in the mean; judge pressure and flow too",
    ),
    (
        "locked",
        "stuck",
        "is what a stuck plunger shows, its coil on all the time: off at once",
    ),
    (
        "dragging",
        "gummed, its strokes slow",
        "is what a stiff plunger draws, its coil on for longer",
    ),
    (
        "worn-stage",
        "worn valve or diaphragm",
        "is a sound coil that moves too little",
    ),
    (
        "open",
        "open coil, contacts or driver",
        "is what an open coil or open contacts show; a tap on the case may wake it once more",
    ),
    (
        "shorted-coil",
        "shorted turns",
        "is too few ohms for its coil; do not run it",
    ),
    (
        "dry",
        "running dry or its inlet blocked",
        "is what it draws with nothing to pump: switch off at once",
    ),
    (
        "reversed",
        "its leads swapped",
        "is what an electronic one shows with its leads swapped",
    ),
    (
        "poor-contact",
        "a poor contact in its leads",
        "is what it draws when a joint keeps volts from it; mend that before judging the pump",
    ),
    (
        "low-supply",
        "the battery is low or weak",
        "is what a sound one draws on too few volts",
    ),
    (
        "hot",
        "hot",
        "is what a warm coil draws; let it cool and read again",
    ),
];

/// Share of stuck pumps whose driver goes on pulsing.
const STILL_PULSED: f64 = 0.3;
/// Strokes of a gummed pump last so many times as long.
const LONGER: Band<f64> = band(1.2, 1.6, 2.5);
/// The coil is on at most so long.
const MOST_ON: f64 = 0.95;
/// Strokes without liquid, against those with it.
const DRY_STROKES: Band<f64> = band(0.7, 0.95, 1.1);
/// What shorted turns leave of a coil.
const LEFT: Band<f64> = band(0.2, 0.5, 0.8);
/// Bad joints in the lead, ohms.
const JOINTS: Joints = Joints::new((0.5, 10.0), (0.1, 100.0));
/// Temperature of a coil that was left on, degrees C.
const WARM_DEGC: Band<f64> = band(45.0, 65.0, 100.0);
/// Share of worn pumps that deliver nothing at all.
const NO_FLOW: f64 = 0.6;
/// Share of pumps whose electronics pass current one way only.
const ELECTRONIC: f64 = 0.5;

const fn band(low: f64, typical: f64, high: f64) -> Band<f64> {
    Band { low, typical, high }
}

impl Family for PulsePump {
    fn part(&self) -> &'static str {
        "pulsed-pump"
    }

    fn noun(&self) -> &'static str {
        "pump"
    }

    fn measures(&self) -> Vec<Measure> {
        vec![
            Measure::Volts,
            Measure::Amps,
            Measure::Peak,
            Measure::PostVolts,
            Measure::Ohms,
            Measure::Flow,
            Measure::Moves,
        ]
    }

    fn kinds(&self) -> &'static [RunKind] {
        &[RunKind::Dry, RunKind::Wet]
    }

    fn asked(&self, evidence: &Evidence) -> Vec<Run> {
        if !evidence.runs.is_empty() {
            return Vec::new();
        }
        vec![Run {
            kind: Some(RunKind::Wet),
            readings: Vec::new(),
        }]
    }

    fn groups(&self, bench: &Bench<'_>, draws: &mut Draws) -> Result<Vec<Group>, Refused> {
        let of = |(fault, condition): (Fault, &'static str)| {
            let drawn: Vec<Drawn> = (0..SPECIMENS)
                .map(|_| draw(self, fault, bench, draws))
                .collect();
            let pulsed: Vec<(Feed, Load)> = drawn.iter().map(Drawn::pulsed).collect();
            let stroke: Vec<(Feed, Load)> = drawn.iter().map(Drawn::stroke).collect();
            let (pulsed, stroke) = (settled(&pulsed)?, settled(&stroke)?);
            let brings = supply::brings(bench, fault == Fault::LowSupply);
            let found = pulsed.iter().zip(&stroke);
            Ok(Group {
                condition,
                prior: bench.priors.of(condition),
                brings: brings.into_iter().collect(),
                specimens: drawn
                    .iter()
                    .zip(found)
                    .map(|(one, (mean, peak))| one.specimen(mean, peak, bench))
                    .collect(),
            })
        };
        FAULTS.into_iter().map(of).collect()
    }

    fn estimates(&self, weighed: &Weighed<'_>, _: &mut Draws) -> Vec<Estimate> {
        let words = "coil resistance, over all conditions by their odds";
        estimates::winding(weighed, words).into_iter().collect()
    }

    fn cautions(&self) -> Warned {
        (&["fuel-pump"], &["polarity", "eyes", "short"])
    }

    fn most_a(&self, rig: &Rig) -> Option<f64> {
        Some(rig.open_volts.high.si() / self.coil_warm.low.si())
    }

    fn at_rest(&self, condition: &str) -> Option<&'static str> {
        words::at_rest(condition)
    }

    fn words(&self, condition: &str) -> (&'static str, &'static str) {
        among(&WORDS, condition)
    }

    fn name(&self, measure: Measure) -> &'static str {
        match measure {
            Measure::Amps => "mean current",
            Measure::Peak => "peak of each stroke",
            Measure::Moves => "ticking",
            _ => measure.words(),
        }
    }

    fn how(&self, measure: Measure) -> Option<&'static str> {
        Some(match measure {
            Measure::Amps => "the mean current; it jumps with each stroke, take the middle",
            Measure::Peak => "the peak of its strokes (peak hold)",
            Measure::Moves => "whether it ticks",
            Measure::Ohms => "ohms across its two leads, unplugged, both ways round, the lower",
            _ => return None,
        })
    }
}

/// A pump as drawn.
struct Drawn {
    fault: Fault,
    weight: f64,
    feed: Feed,
    coil_ohm: f64,
    /// Ohms by a meter.
    shown_ohm: f64,
    /// Share of the time the coil is on; 0 where nothing flows.
    duty: f64,
    /// Whether an open joint or fuse keeps everything from it.
    is_cut: bool,
    ticks: bool,
    flows: bool,
}

fn draw(pump: &PulsePump, fault: Fault, bench: &Bench<'_>, draws: &mut Draws) -> Drawn {
    let mut coil_ohm = draws.quantity(&pump.coil_warm);
    let own_duty = draws.quantity(&pump.duty);
    let air = bench.rig.air.si();
    let inside = Short::draw(bench.rig.ohms_error.plus, draws);
    let short = (fault == Fault::Through).then_some(inside);
    match fault {
        Fault::Shorted => coil_ohm *= draws.of(LEFT),
        Fault::Through => coil_ohm = inside.ohm,
        Fault::Hot => coil_ohm *= (234.5 + draws.of(WARM_DEGC).max(air)) / (234.5 + air),
        _ => {}
    }
    let trouble = match fault {
        Fault::PoorContact => Trouble::joint(JOINTS.draw(draws)),
        Fault::LowSupply => Trouble::low_supply(draws),
        _ => Trouble::NONE,
    };
    let (feed, weight) = supply::feed(bench, &trouble, draws);
    let is_cut = is_lead_cut(short, fault == Fault::PoorContact, draws);
    let duty = match fault {
        _ if is_cut => 0.0,
        Fault::Open | Fault::Reversed => 0.0,
        Fault::Through => 1.0,
        Fault::Locked if !draws.chance(STILL_PULSED) => 1.0,
        Fault::Dragging => (own_duty * draws.of(LONGER)).min(MOST_ON),
        Fault::Dry => own_duty * draws.of(DRY_STROKES),
        _ => own_duty,
    };
    // Half of the volts and less lift no plunger against its spring (judgement).
    let is_starved = trouble.lead_ohm > coil_ohm;
    let still = is_cut
        || is_starved
        || matches!(
            fault,
            Fault::Locked | Fault::Open | Fault::Reversed | Fault::Through
        );
    let is_empty = matches!(fault, Fault::Dry);
    let leaks = fault == Fault::WornStage && draws.chance(NO_FLOW);
    let open_to_a_meter = match fault {
        // Contacts and driver may be open while the coil is whole.
        Fault::Open => draws.chance(0.7),
        _ => false,
    };
    // The lower of both ways round: electronics add a diode or two.
    let electronics_ohm = if draws.chance(ELECTRONIC) {
        draws.decades(1.0, 1e3)
    } else {
        0.0
    };
    Drawn {
        fault,
        weight,
        feed,
        coil_ohm,
        shown_ohm: match fault {
            _ if open_to_a_meter => OPEN_OHM,
            Fault::Through => inside.shown_ohm,
            _ => coil_ohm + electronics_ohm + 0.5 * bench.rig.ohms_error.plus,
        },
        duty,
        is_cut,
        ticks: !still,
        flows: !still && !is_empty && !leaks,
    }
}

impl Drawn {
    fn pulsed(&self) -> (Feed, Load) {
        (self.feed, Load::resistance(self.coil_ohm).scaled(self.duty))
    }

    /// The loop while the coil is on.
    fn stroke(&self) -> (Feed, Load) {
        let on = if self.duty > 0.0 { 1.0 } else { 0.0 };
        (self.feed, Load::resistance(self.coil_ohm).scaled(on))
    }

    fn specimen(&self, mean: &Settled, stroke: &Settled, bench: &Bench<'_>) -> Specimen {
        let yes = |is: bool| f64::from(u8::from(is));
        let seen = Seen::NOTHING
            .with(Measure::Volts, if self.is_cut { 0.0 } else { mean.part_v })
            .with(Measure::Amps, mean.current_a)
            .with(Measure::Peak, stroke.current_a)
            .with(Measure::PostVolts, mean.post_v)
            .with(Measure::Ohms, self.shown_ohm)
            .with(Measure::Moves, yes(self.ticks))
            .with(Measure::Flow, yes(self.flows));
        let of_run = |run: &&Run| {
            // Nothing flows where nothing was to pump.
            if run.kind == Some(RunKind::Dry) {
                seen.with(Measure::Flow, 0.0)
            } else {
                seen
            }
        };
        Specimen {
            weight: self.weight,
            runs: bench.runs.iter().map(of_run).collect(),
            winding_ohm: if self.fault == Fault::Open {
                f64::NAN
            } else {
                self.coil_ohm
            },
        }
    }
}
