//! Steps for a battery: at rest, under load, cranking.
//!
//! # Limits
//! A sound battery at one temperature; right after a charge it stands some
//! tenths of a volt higher.

use super::assembly::{Sheet, by_meter};
use super::circuit_loop::{Feed, Load, settled};
use super::part::{BatteryPart, Cranks};
use super::preparation::{figures, tagged};
use super::rig::{Rig, read};
use super::steps::{Jack, Logged, Procedure, Reading, Step, Unit};
use super::{Draws, Refused, SPECIMENS, Subject, chance};
use crate::circuit::Condition;
use crate::network::{HeatedLink, Supply};
use crate::quantities::{Amps, Band, Fraction, Volts};
use crate::tables::OutOfTable;
use crate::tables::batteries::open_volts;
use crate::tables::readings::bench_limit;

/// Charges whose volts at rest are told, percent.
const CHARGES: [f64; 4] = [1.0, 0.75, 0.5, 0.25];
/// Time constant of the slow resistance, seconds: `battery-resistance`.
const TAU_S: f64 = 20.0;
/// Length of the load test, seconds.
const LOAD_TEST_S: f64 = 15.0;
/// When a cranking reading is taken: after one to ten seconds, mostly three.
const CRANKING_S: Band<f64> = Band {
    low: 1.0,
    typical: 3.0,
    high: 10.0,
};
/// Share of its cold-cranking amperes a battery is loaded with.
const LOAD_SHARE: f64 = 0.5;

/// Share of the slow resistance built up after a time.
fn built_up(seconds: f64) -> f64 {
    1.0 - (-seconds / TAU_S).exp()
}

pub(super) fn procedure(
    subject: &Subject,
    part: &BatteryPart,
    rig: &Rig,
    draws: &mut Draws,
) -> Result<Procedure, Refused> {
    // What the answer names is what the step reads, the meter's error in it.
    let rest = figures(&part.model.open_volts, draws, |draws, volts| {
        read(draws, &rig.volts_error, volts)
    });
    let mut steps = vec![by_eye()?, at_rest(part, rest)?];
    steps.extend(load_test(part, rig, draws)?);
    if let Some(cranks) = &part.cranks {
        steps.push(cranking(part, cranks, rig, draws)?);
    }
    steps.push(charging()?);
    let sheet = Sheet {
        topics: &["battery", "cranking"],
        answer: format!(
            "a sound one reads {} to {} at rest; 10.4 to 10.8 V is one shorted cell",
            Volts::new(rest.low),
            Volts::new(rest.high)
        ),
        steps,
        ..Sheet::default()
    };
    Ok(by_meter(subject, rig, draws, sheet))
}

fn by_eye() -> Result<Step, OutOfTable> {
    Ok(Step::new("Engine and charger off for two hours, minus off first. Look: cracks, bulges, green posts, low electrolyte.")
        .cautions(tagged(&["eyes", "neg-first", "short", "no-break", "vapour"])?)
        .outside("cracked, bulged or frozen: do not charge it, do not load it")
        .stop_if("it is hot, hisses or smells of rotten eggs: leave it, air the place"))
}

fn at_rest(part: &BatteryPart, read: Band<f64>) -> Result<Step, OutOfTable> {
    let mut step =
        Step::new("Volts at its posts, nothing connected, nothing touched for two hours.")
            .cautions(tagged(&["amps-jack", "short"])?)
            .meter(Jack::Volts)
            .expect(Reading::computed("volts at rest", read, Unit::Volts).logged(Logged::AtRest));
    if let Some(chemistry) = part.chemistry {
        let at = |charge: f64| -> Result<String, OutOfTable> {
            let charge = Fraction::new(charge);
            let volts = open_volts(chemistry, charge, part.temperature)?
                .value
                .typical;
            Ok(format!("{volts} at {charge}"))
        };
        let told: Result<Vec<String>, OutOfTable> = CHARGES.into_iter().map(at).collect();
        step = step.note(format!(
            "at {}: {} of charge, each within some 15 % of charge",
            part.temperature,
            told?.join(", ")
        ));
    }
    Ok(step
        .outside("10.4 to 10.8 V: one shorted cell; it can overheat the rectifier, replace it")
        .outside("11.6 to 12.2 V: run down; charge it and measure again two hours later")
        .outside("higher: just charged; lamps on for a minute, then rest")
        .outside("12 V and more, but nothing runs: an open strap or a corroded post, the load test tells"))
}

fn load_test(part: &BatteryPart, rig: &Rig, draws: &mut Draws) -> Result<Vec<Step>, OutOfTable> {
    let Some(rated) = part.model.cold_cranking else {
        return Ok(Vec::new());
    };
    let current_a = rated.si() * LOAD_SHARE;
    let model = &part.model;
    let left =
        |emf: f64, fast: f64, slow: f64| emf - current_a * (fast + slow * built_up(LOAD_TEST_S));
    let middle = left(
        model.open_volts.typical.si(),
        model.fast.typical.si(),
        model.slow.typical.si(),
    );
    let sample = (0..SPECIMENS).map(|_| {
        let volts = left(
            draws.quantity(&model.open_volts),
            draws.quantity(&model.fast),
            draws.quantity(&model.slow),
        );
        read(draws, &rig.volts_error, volts)
    });
    let volts = chance::range(sample.collect(), middle);
    let least = bench_limit("battery under half its cold-cranking amperes for 15 s, least")?.value;
    let least = Volts::new(least.low.unwrap_or(9.6));
    Ok(vec![
        Step::new(format!(
            "Load test with a carbon-pile or fixed battery tester, its own switch off until its clamps bite: {} (half its cold-cranking amperes) for 15 s; volts at the posts in the last second.",
            Amps::new(current_a)
        ))
        .cautions(tagged(&["no-break", "eyes", "vapour", "polarity"])?)
        .meter(Jack::Volts)
        .expect(Reading::computed("volts under load", volts, Unit::Volts))
        .outside(format!("under {least}, well charged, at 20 \u{b0}C or warmer: replace it"))
        .outside("falls 2 V below that at once: one shorted cell")
        .outside("falls to nearly nothing: an open strap inside")
        .outside("colder or half charged gives less: charge and warm it before you judge it")
        .stop_if("a post, clamp or cell smokes, spits or gets hot"),
    ])
}

fn cranking(
    part: &BatteryPart,
    cranks: &Cranks,
    rig: &Rig,
    draws: &mut Draws,
) -> Result<Step, Refused> {
    let one = loop_of(part, cranks, &mut |band| band.typical);
    let many: Vec<(Feed, Load)> = (0..SPECIMENS)
        .map(|_| loop_of(part, cranks, &mut |band| draws.of(band)))
        .collect();
    let typical = settled(&[one])?[0];
    let all = settled(&many)?;
    let volts = all.iter().map(|s| read(draws, &rig.volts_error, s.post_v));
    let volts = chance::range(volts.collect(), typical.post_v);
    let drop = bench_limit("post to clamp while cranking, most")?.value;
    Ok(Step::new(format!(
        "In the boat, state `{}`: ignition disabled as the manual says, crank `{}` for 3 s and read volts at the posts themselves; then from each post to its clamp.",
        cranks.state, cranks.starter
    ))
    .cautions(tagged(&["kill", "rotate", "exhaust", "vapour", "starter-time", "no-bridge", "high-volts"])?)
    .meter(Jack::Volts)
    .expect(Reading::computed("volts at the posts, cranking", volts, Unit::Volts))
    .expect(Reading::at_most(
        "post to clamp",
        drop.high.unwrap_or(0.1),
        Unit::Volts,
    ))
    .outside("under 9.6 V with a well charged battery: battery, or a starter or engine that drags; the load test tells them apart")
    .outside("post to clamp more: clean and tighten it, minus off first")
    .stop_if("it does not turn within 2 s: a stalled starter draws several times as much"))
}

/// The starter in its circuit behind one battery.
fn loop_of(
    part: &BatteryPart,
    cranks: &Cranks,
    pick: &mut impl FnMut(Band<f64>) -> f64,
) -> (Feed, Load) {
    let plain = |low: f64, typical: f64, high: f64| Band { low, typical, high };
    let model = &part.model;
    let slow = pick(plain(
        model.slow.low.si(),
        model.slow.typical.si(),
        model.slow.high.si(),
    ));
    let fast = pick(plain(
        model.fast.low.si(),
        model.fast.typical.si(),
        model.fast.high.si(),
    ));
    let open = model.open_volts;
    let emf_v = pick(plain(open.low.si(), open.typical.si(), open.high.si()));
    let r_ohm = fast + slow * built_up(pick(CRANKING_S));
    let motor = cranks.motor.specimen(pick);
    let supply = Supply {
        emf_v: emf_v - cranks.other_a * r_ohm,
        r_ohm,
        r_charge_ohm: r_ohm,
    };
    let link = HeatedLink {
        r_contacts_ohm: cranks.path_ohm,
        r_cold_ohm: 1e-9,
        beta_per_a2: 0.0,
        extra_a2: 0.0,
        rise_cap: 0.0,
    };
    let feed = Feed::alone(supply, link);
    (feed, Load::motor(motor.law(Condition::Healthy).branch()))
}

fn charging() -> Result<Step, OutOfTable> {
    Ok(Step::new("On charge, in the open: watch volts and current climb. Charger off at the mains before its clips come off.")
        .cautions(tagged(&["no-break", "vapour", "polarity"])?)
        .meter(Jack::Volts)
        .sign("climbs slowly to about 14.4 V while the current tapers")
        .outside("over 15 V at little current: sulphated; a slow charge may win part of it back")
        .outside("stays under 13 V and warms: a shorted cell, take it off")
        .stop_if("it gets hot to the hand or one cell boils alone"))
}
