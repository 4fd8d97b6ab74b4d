//! Steps for solenoids: injectors by ohms and pulses, others by ohms and current.
//!
//! # Limits
//! A steady current at the temperature of the bench; a thermal choke's current
//! falls within a minute, which is told and not followed.

use super::assembly::{Sheet, on_rig, positive};
use super::circuit_loop::{Load, Settled, specimens, typical};
use super::part::SolenoidPart;
use super::preparation::{battery_step, jack_limit, ohms_read, tagged};
use super::rig::{Rig, read};
use super::steps::{Jack, Logged, Procedure, Quantity, Reading, Step, Unit};
use super::{Draws, Refused, SPECIMENS, Subject, chance};
use crate::quantities::print::nominal;
use crate::quantities::{Amps, Band, Ohms};
use crate::tables::OutOfTable;
use crate::tables::meters::Accuracy;
use crate::tables::readings::bench_limit;

pub(super) fn procedure(
    subject: &Subject,
    part: &SolenoidPart,
    rig: &Rig,
    draws: &mut Draws,
) -> Result<Procedure, Refused> {
    let ohms = ohms_read(&part.model.coil_warm, rig, draws);
    let current = readings(part, rig, draws, |s| s.current_a, &rig.amps_error)?;
    let volts = readings(part, rig, draws, |s| s.part_v, &rig.volts_error)?;
    let is_injector = subject.class.ends_with("injector");
    let mut steps = vec![battery_step(rig, draws)?];
    let answer = if is_injector {
        steps.extend(injector(subject, part, rig, ohms, current)?);
        format!(
            "a sound one has {} to {}, all of a set alike, and ticks at each short pulse; never leave it on",
            Ohms::new(ohms.low),
            Ohms::new(ohms.high)
        )
    } else {
        steps.extend(steady(subject, rig, ohms, current, volts)?);
        format!(
            "a sound one has {} to {} and draws {} to {} on this rig, typically {}",
            Ohms::new(ohms.low),
            Ohms::new(ohms.high),
            Amps::new(current.low.max(0.0)),
            Amps::new(current.high),
            Amps::new(current.typical)
        )
    };
    let sheet = Sheet {
        topics: if is_injector {
            &["injectors", "fuel"]
        } else {
            &["fuel"]
        },
        answer,
        steps,
        ..Sheet::default()
    };
    Ok(on_rig(subject, rig, draws, sheet))
}

fn readings(
    part: &SolenoidPart,
    rig: &Rig,
    draws: &mut Draws,
    figure: fn(&Settled) -> f64,
    error: &Accuracy,
) -> Result<Band<f64>, Refused> {
    let coil = &part.model.coil_warm;
    let one = typical(rig, Load::resistance(coil.typical.si()), 0.0)?;
    let many = specimens(rig, SPECIMENS, draws, |draws| {
        Load::resistance(draws.quantity(coil))
    })?;
    let sample = many.iter().map(|s| read(draws, error, figure(s)));
    Ok(chance::range(sample.collect(), figure(&one)))
}

fn injector(
    subject: &Subject,
    part: &SolenoidPart,
    rig: &Rig,
    ohms: Band<f64>,
    current: Band<f64>,
) -> Result<Vec<Step>, OutOfTable> {
    let others = if part.alike.is_empty() {
        "and of every other of its set".to_owned()
    } else {
        format!("and of `{}`", part.alike.join("`, `"))
    };
    let apart = bench_limit("injectors of one set, most between any two")?.value;
    let measured = Step::new(format!(
        "Fuel pressure off, plugs off: ohms across the two pins of `{}` {others}.",
        subject.name
    ))
    .cautions(tagged(&["relieve", "vapour"])?)
    .meter(Jack::Ohms)
    .expect(Reading::computed("coil", ohms, Unit::Ohms).logged(Logged::OfPart(Quantity::Ohms, None)))
    .expect(Reading::at_most(
        "between the highest and the lowest of the set",
        apart.high.unwrap_or(1.0),
        Unit::Ohms,
    ))
    .outside("open: coil or pin")
    .outside("clearly lower, or lower than its set: shorted turns, and the module's output behind it may be hurt")
    .outside("all alike: they are hardly to blame");
    if part.model.held.is_some() {
        let refused = Step::new("No pulses from a battery: this low-impedance kind is driven with a limited current, and straight on 12 V its coil burns within seconds. Leave the click to the engine's own module, cranking.")
            .cautions(tagged(&["injector-pulse"])?);
        return Ok(vec![measured, refused]);
    }
    let pulsed = Step::new(format!(
        "Rail empty, injector out and dry, away from fuel. Lead with a {} fuse and its switch; either way round. Tap the switch: on for half a second at most, five taps.",
        nominal(rig.fuse.rating)
    ))
    .cautions(tagged(&["injector-pulse", "vapour", "switch-far", "fuse-lead", "extinguisher"])?)
    .sign("one sharp tick at each tap, all injectors of the set alike")
    .outside("dull or no tick at good ohms: gummed; a cleaning may win it back")
    .stop_if(format!(
        "the switch sticks: left on it draws {} to {} and its coil burns",
        Amps::new(current.low.max(0.0)),
        Amps::new(current.high)
    ));
    Ok(vec![measured, pulsed])
}

fn steady(
    subject: &Subject,
    rig: &Rig,
    ohms: Band<f64>,
    current: Band<f64>,
    volts: Band<f64>,
) -> Result<Vec<Step>, OutOfTable> {
    let (sign, more) = match subject.class.as_str() {
        "choke" => (
            "it warms to the hand; the current falls as it does",
            "A thermal choke has no click.",
        ),
        "idle air valve" => (
            "the pintle moves",
            "Only the kind with two pins: a stepper with four is driven by its module and is not tried on a battery.",
        ),
        _ => (
            "one clear click on, one off; the plunger moves its whole way",
            "Drained, dry and away from fuel.",
        ),
    };
    Ok(vec![
        Step::new("Off the harness, measure ohms across its two terminals.")
            .cautions(tagged(&["relieve", "vapour"])?)
            .meter(Jack::Ohms)
            .expect(Reading::computed("coil", ohms, Unit::Ohms).logged(Logged::OfPart(Quantity::Ohms, None)))
            .outside("open: burnt coil")
            .outside("clearly lower: shorted turns, it opens its fuse"),
        Step::new(format!(
            "{more} Lead with a {} fuse and its switch, switch open, clips on. Switch on for 10 s at most; read the current, then the volts at its terminals.",
            nominal(rig.fuse.rating)
        ))
        .cautions(tagged(&["vapour", "switch-far", "fuse-lead", "extinguisher", "amps-jack"])?)
        .cautions(jack_limit(rig, current.high)?)
        .meter(rig.meter)
        .meter(Jack::Volts)
        .expect(Reading::computed("current", positive(current), Unit::Amps).logged(Logged::OfPart(Quantity::Amps, None)))
        .expect(Reading::computed("volts at its terminals", volts, Unit::Volts).logged(Logged::OfPart(Quantity::Volts, None)))
        .sign(sign)
        .outside("right current, nothing moves: stuck plunger")
        .outside("no current: open coil, or a clip that does not make")
        .stop_if(format!("it draws over {}, smells or smokes", Amps::new(current.high))),
        Step::new("Switch off, clips off last."),
    ])
}
