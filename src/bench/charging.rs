//! Steps for a rectifier with its regulator and the stator before it.
//!
//! # Limits
//! By meter alone, then running in the boat; diodes are judged by the meter's
//! diode range, which sends about a milliampere.

use super::assembly::{Sheet, by_meter, positive};
use super::engine_words::ON_MUFFS;
use super::part::ChargerPart;
use super::preparation::{figures, ohms_read, tagged};
use super::rig::{Rig, read};
use super::steps::{Jack, Logged, Procedure, Quantity, Reading, Step, Unit};
use super::{Draws, Refused, Subject};
use crate::circuit::Winding;
use crate::quantities::{AmpHours, Amps, Band, Celsius, Fraction, Ohms, RadiansPerSecond, Volts};
use crate::tables::OutOfTable;
use crate::tables::batteries::{Chemistry, charge_acceptance, default_battery, open_volts};
use crate::tables::devices::{charger_defaults, charging_output};
use crate::tables::meters::{MeterReading, accuracy};
use crate::tables::readings::{bench_limit, charging_volts, plugged_in};

/// Most a regulated system of 9 to 18 A may show before its regulator is bad.
const REPLACE_ABOVE: &str = "replace the regulator above, 9 to 18 A outboards";
/// Volts above which a battery boils.
const BOILS_V: f64 = 15.0;
/// Engine speeds at which output is listed, rpm; 700 is idle.
const SPEEDS: [(f64, &str); 4] = [
    (700.0, "idle"),
    (1000.0, "1000 rpm"),
    (2000.0, "2000 rpm"),
    (3000.0, "3000 rpm"),
];

pub(super) fn procedure(
    subject: &Subject,
    part: &ChargerPart,
    rig: &Rig,
    draws: &mut Draws,
) -> Result<Procedure, Refused> {
    let steps = vec![
        apart()?,
        diodes(rig, draws)?,
        to_ground()?,
        stator(part, rig, draws),
        winding(part, rig, draws)?,
        running(part, rig, draws)?,
        output(part, draws)?,
        ripple()?,
    ];
    let sheet = Sheet {
        topics: &["charging", "running", "battery"],
        answer: answer(part),
        steps,
        ..Sheet::default()
    };
    Ok(by_meter(subject, rig, draws, sheet))
}

fn answer(part: &ChargerPart) -> String {
    let volts = held(part);
    if part.regulated {
        format!(
            "a sound one conducts one way only on the diode range and holds {} to {} at the battery, running",
            volts.low, volts.high
        )
    } else {
        format!(
            "a sound one conducts one way only on the diode range; unregulated, it may reach about {} at full speed with the battery charged",
            volts.typical
        )
    }
}

/// Volts it holds: the file's set-point within what the manuals accept of any.
fn held(part: &ChargerPart) -> Band<Volts> {
    let own = part.model.set_point;
    match charger_defaults() {
        Ok(usual) if part.regulated && !own.is_range() => {
            let usual = usual.value.set_point;
            let low = if usual.low < own.low {
                usual.low
            } else {
                own.low
            };
            let high = if usual.high > own.high {
                usual.high
            } else {
                own.high
            };
            Band::new(low, own.typical, high)
        }
        _ => own,
    }
}

fn apart() -> Result<Step, OutOfTable> {
    Ok(Step::new("Key off, battery minus off. Look, then unplug rectifier and stator: cracked or swollen potting, green or brown pins, a chafed stator lead.")
        .cautions(tagged(&["neg-first", "eyes", "short"])?)
        .sign("if the fuse that kept opening now holds, it was the rectifier")
        .outside("one diode shorted with a floating stator shows nothing at rest but cooks the stator; both of a leg shorted are a dead short with the key off"))
}

fn diodes(rig: &Rig, draws: &mut Draws) -> Result<Step, Refused> {
    let row = charging_volts("diode test, each lead to plus and ground to each lead")?.value;
    let volts = |end: Option<f64>, usual| Volts::new(end.unwrap_or(usual));
    let forward = Band::between(volts(row.low, 0.5), volts(row.high, 0.6));
    let read = figures(&forward, draws, |draws, volts| {
        read(draws, &rig.volts_error, volts)
    });
    Ok(Step::new("Rectifier alone: red lead on each coil lead in turn, black on its plus; then red on its ground, black on each coil lead. Then swap the leads and do all of them again.")
        .meter(Jack::Diode)
        .expect(Reading::computed("each diode, one way", read, Unit::Volts).logged(Logged::OfPart(Quantity::Forward, None)))
        .sign("the other way round: open, every one")
        .outside("near zero both ways: that diode is shorted, the usual opener of main fuses")
        .outside("open both ways: that diode is open, output is down")
        .outside("a regulated unit may hide its thyristors: open both ways on one side only is then as made; its manual rules"))
}

fn to_ground() -> Result<Step, OutOfTable> {
    let (least, _) = plugged_in("rectifier plus to ground")?.value;
    Ok(Step::new(
        "Rectifier still unplugged: ohms from its plus lead to its ground, both ways round.",
    )
    .meter(Jack::Ohms)
    .expect(
        Reading::at_least(
            "plus to ground, the higher way round",
            least.si(),
            Unit::Ohms,
        )
        .logged(Logged::OfPart(Quantity::PlusToGround, None)),
    )
    .sign("on the diode range 0.9 to 1.5 V one way round: two diodes in a row")
    .outside("under 5 ohm: a shorted leg, replace it; this opens a main fuse with the key off"))
}

fn coil_at(part: &ChargerPart, rig: &Rig) -> Band<Ohms> {
    part.coil.scaled((234.5 + rig.air.si()) / 254.5)
}

fn stator(part: &ChargerPart, rig: &Rig, draws: &mut Draws) -> Step {
    let ohms = ohms_read(&coil_at(part, rig), rig, draws);
    Step::new("Stator plug, leads nulled: ohms between its coil leads; with three leads every pair of them.")
        .meter(Jack::Ohms)
        .expect(Reading::computed("between two coil leads", ohms, Unit::Ohms).logged(Logged::OfPart(Quantity::Ohms, None)))
        .outside("open: broken coil or pin")
        .outside("one pair unlike the others: shorted turns or a bad pin; a short between turns hides behind the leads' own ohms, go by the output")
}

fn winding(part: &ChargerPart, rig: &Rig, draws: &mut Draws) -> Result<Step, OutOfTable> {
    let step = Step::new("Stator still unplugged: ohms from each coil lead to the engine block.")
        .meter(Jack::Ohms);
    let least = bench_limit("winding or contact to its case")?.value;
    let open = Reading::at_least("coil lead to block", least.low.unwrap_or(1e6), Unit::Ohms)
        .logged(Logged::OfPart(Quantity::ToGround, None));
    Ok(match part.winding {
        Some(Winding::Floating) => step
            .expect(open)
            .outside("lower: this stator floats, so a coil that touches its core is shorted to ground"),
        Some(Winding::Grounded) => step
            .expect(Reading::computed(
                "coil lead to block",
                ohms_read(&coil_at(part, rig), rig, draws),
                Unit::Ohms,
            ).logged(Logged::OfPart(Quantity::ToGround, None)))
            .outside("open: the coil or its ground joint; this stator is made with one end on the block"),
        None => step
            .expect(open)
            .outside("lower: a floating stator is then shorted to ground; one made with a grounded end reads its coil here and is sound. The manual says which it is"),
    })
}

/// Volts of a battery that nothing holds, the engine idling: what is left of the
/// output beside the loads charges it, and it takes some tenths of an ampere to as many
/// amperes at 14.4 V.
///
/// # Source
/// `open-volts-flooded`, `charge-acceptance`, the output's curve; a straight line from
/// the volts at rest through 14.4 V is ours.
fn unregulated_at_idle(part: &ChargerPart) -> Result<Band<Volts>, OutOfTable> {
    const ACCEPTANCE_V: f64 = 14.4;
    let (rpm, _) = SPEEDS[0];
    let idle = RadiansPerSecond::new(rpm * std::f64::consts::TAU / 60.0);
    let capacity = default_battery()?.value.capacity;
    let volts = |charge: f64, output: Amps, capacity: AmpHours, typical: bool| {
        let charge = Fraction::new(charge);
        let open_v = open_volts(Chemistry::Flooded, charge, Celsius::new(20.0))?.value;
        let accepted = charge_acceptance(capacity, charge)?.value;
        let taken_a = if typical {
            accepted.typical
        } else {
            accepted.low
        };
        let ohm = (ACCEPTANCE_V - open_v.typical.si()) / taken_a.si().max(1e-3);
        let idle_a = charging_output(output, idle)?.value.si();
        Ok(open_v.typical.si() + idle_a * ohm)
    };
    let most = part.model.output;
    let low_v = open_volts(Chemistry::Flooded, Fraction::new(0.75), Celsius::new(20.0))?.value;
    let top_v = held(part).high.si();
    let typical_v = volts(0.9, most.typical * 0.5, capacity.typical, true)?;
    let high_v = volts(1.0, most.high, capacity.low, false)?.min(top_v);
    let low_v = low_v.typical.si();
    let typical_v = typical_v.clamp(low_v, high_v);
    Ok(Band::new(
        Volts::new(low_v),
        Volts::new(typical_v),
        Volts::new(high_v),
    ))
}

fn running(part: &ChargerPart, rig: &Rig, draws: &mut Draws) -> Result<Step, OutOfTable> {
    let held = if part.regulated {
        held(part)
    } else {
        unregulated_at_idle(part)?
    };
    let volts = figures(&held, draws, |draws, volts| {
        read(draws, &rig.volts_error, volts)
    });
    let step = Step::new("All plugged in, battery on, engine idling on water, battery charged: volts at the battery's posts.")
        .cautions(tagged(&[
            "water",
            "exhaust",
            "rotate",
            "kill",
            "vapour",
            "battery-on",
            "high-volts",
            "polarity",
        ])?)
        .meter(Jack::Volts)
        .expect(Reading::computed("volts at the posts", volts, Unit::Volts))
        .outside("no higher than at rest: no charge at idle; try it a little faster; then unplugged stator, fuse in the charging lead, regulator");
    Ok(if part.regulated {
        let limit = charging_volts(REPLACE_ABOVE)?.value;
        step.outside(format!(
            "over {} for long: the regulator; one maker of 9 to 18 A systems replaces it above {} already",
            held.high,
            Volts::new(limit.high.unwrap_or(14.5))
        ))
        .stop_if(format!("it climbs over {}: the battery boils", Volts::new(BOILS_V)))
    } else {
        step.outside(
            "they rise with the speed: that is right, nothing holds them; over 15.5 V at 4500 rpm suspect the battery first, it does not take the charge",
        )
        .stop_if("it climbs over 16.5 V")
    })
}

fn output(part: &ChargerPart, draws: &mut Draws) -> Result<Step, OutOfTable> {
    let error = accuracy(MeterReading::ClampAmps)?.value;
    let mut step = Step::new(format!("Battery run down a little first (lamps on for ten minutes), for a full one takes less: clamp around the charging lead. {ON_MUFFS}"))
        .cautions(tagged(&["water", "rotate", "amps-jack"])?)
        .meter(Jack::Clamp)
        .outside("half of it or less, the battery low: one coil, one diode, or the plug between them");
    let most = part.model.output;
    for (rpm, words) in SPEEDS {
        let speed = RadiansPerSecond::new(rpm * std::f64::consts::TAU / 60.0);
        let of = |rating: Amps| charging_output(rating, speed).map(|found| found.value);
        let (Ok(low), Ok(typical), Ok(high)) = (of(most.low), of(most.typical), of(most.high))
        else {
            continue;
        };
        // A system's curve is good to a fifth (judgement).
        let spread = |amps: Amps, factor: f64| amps * factor;
        let given = Band::new(spread(low, 0.8), typical, spread(high, 1.2));
        let amps = figures(&given, draws, |draws, amps| read(draws, &error, amps));
        let quantity = format!("amperes at {words}");
        step = step.expect(Reading::computed(&quantity, positive(amps), Unit::Amps));
    }
    Ok(step)
}

fn ripple() -> Result<Step, OutOfTable> {
    let most = bench_limit("ac on the battery while charging, most")?.value;
    Ok(Step::new("Same run, meter on ac volts across the battery's posts.")
        .cautions(tagged(&["battery-on", "high-volts"])?)
        .meter(Jack::AcVolts)
        .expect(Reading::at_most(
            "ac volts at the posts",
            most.high.unwrap_or(0.3),
            Unit::Volts,
        ))
        .outside("more: a diode is gone, or the battery is; engine off, then off with the battery's minus"))
}
