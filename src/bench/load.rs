//! Steps for other loads: what they draw on the rig.
//!
//! # Limits
//! Steady draw after the first second; a filament's cold surge is told only.

use super::assembly::{Sheet, on_rig, positive};
use super::circuit_loop::{Load, Settled, specimens, typical};
use super::preparation::{battery_step, jack_limit, ohms_read, tagged};
use super::rig::{Rig, read};
use super::steps::{Jack, Logged, Procedure, Quantity, Reading, Step, Unit};
use super::{Draws, Refused, SPECIMENS, Subject, chance};
use crate::devices::{LoadModel, LoadShape};
use crate::quantities::print::nominal;
use crate::quantities::{Amps, Band, Volts};
use crate::tables::OutOfTable;
use crate::tables::meters::Accuracy;
use crate::tables::readings::bench_limit;

/// Current below which a 10 A jack shows nothing worth reading, amperes.
const LEAST_READ_A: f64 = 0.01;

pub(super) fn procedure(
    subject: &Subject,
    load: &LoadModel,
    rig: &Rig,
    draws: &mut Draws,
) -> Result<Procedure, Refused> {
    let found = |draws: &mut Draws, figure, error| readings(load, rig, draws, figure, error);
    let current = found(draws, |s| s.current_a, &rig.amps_error)?;
    let volts = found(draws, |s| s.part_v, &rig.volts_error)?;
    let mut steps = vec![battery_step(rig, draws)?];
    steps.extend(by_ohms(subject, load, rig, draws)?);
    let mut answer =
        "judged by its ohms alone: its current is below what the 10 A jack shows".to_owned();
    if current.typical >= LEAST_READ_A {
        steps.push(on_the_rig(load, rig, current, volts)?);
        steps.push(Step::new("Switch off, clips off last."));
        answer = format!(
            "a sound one draws {} to {} on this rig, typically {} with {} at its terminals",
            Amps::new(current.low.max(0.0)),
            Amps::new(current.high),
            Amps::new(current.typical),
            Volts::new(volts.typical)
        );
    }
    let sheet = Sheet {
        topics: &["pump"],
        answer,
        steps,
        ..Sheet::default()
    };
    Ok(on_rig(subject, rig, draws, sheet))
}

fn readings(
    load: &LoadModel,
    rig: &Rig,
    draws: &mut Draws,
    figure: fn(&Settled) -> f64,
    error: &Accuracy,
) -> Result<Band<f64>, Refused> {
    let one = typical(rig, Load::of(load.branch()), 0.0)?;
    let many = specimens(rig, SPECIMENS, draws, |draws| {
        Load::of(load.branch_of(&mut |band| draws.of(band)))
    })?;
    let sample = many.iter().map(|s| read(draws, error, figure(s)));
    Ok(chance::range(sample.collect(), figure(&one)))
}

/// Resistances by ohms; filaments and horns only for being whole; electronics
/// not at all: ohms do not judge them, and some are hurt by them.
fn by_ohms(
    subject: &Subject,
    load: &LoadModel,
    rig: &Rig,
    draws: &mut Draws,
) -> Result<Option<Step>, OutOfTable> {
    let step = Step::new("Off the harness: ohms across its two terminals.").meter(Jack::Ohms);
    Ok(match &load.shape {
        LoadShape::Resistance(ohms) => Some(
            step.expect(Reading::computed(
                "its ohms",
                ohms_read(ohms, rig, draws),
                Unit::Ohms,
            ))
            .outside("open: burnt out or a broken lead")
            .outside("near zero: shorted, do not power it"),
        ),
        LoadShape::Lamp { nominal_v, current } => {
            let hot_ohm = nominal_v / current.low.si();
            Some(
                step.expect(Reading::at_most("its ohms, cold", hot_ohm, Unit::Ohms))
                    .note("a cold filament reads about a tenth of what it has when lit")
                    .outside("open both ways round: burnt out; an LED lamp may read open though it is sound, the rig decides"),
            )
        }
        _ if subject.class == "horn" => {
            let most = bench_limit("horn with a coil, by an ohmmeter")?.value.high;
            Some(
                step.expect(Reading::at_most(
                    "its ohms",
                    most.unwrap_or(10.0),
                    Unit::Ohms,
                ))
                .outside("open: burnt contacts or coil; tap it, its points may only stick"),
            )
        }
        LoadShape::Power(_) | LoadShape::Current(_) => None,
    })
}

fn on_the_rig(
    load: &LoadModel,
    rig: &Rig,
    current: Band<f64>,
    volts: Band<f64>,
) -> Result<Step, OutOfTable> {
    let sign = match &load.shape {
        LoadShape::Lamp { .. } => {
            "it lights; the first hundredth of a second takes up to ten times as much"
        }
        LoadShape::Resistance(_) => "it does its work: needle, heat",
        LoadShape::Power(_) | LoadShape::Current(_) => "it does its work: sound, display, light",
    };
    Ok(Step::new(format!(
        "Lead with a {} fuse and its switch, switch open; plus to plus, minus to minus, clips on. Switch on; after the first second read the current, then the volts at its terminals.",
        nominal(rig.fuse.rating)
    ))
    .cautions(tagged(&["polarity", "vapour", "switch-far", "fuse-lead", "amps-jack"])?)
    .cautions(jack_limit(rig, current.high)?)
    .meter(rig.meter)
    .meter(Jack::Volts)
    .expect(Reading::computed("current", positive(current), Unit::Amps).logged(Logged::OfPart(Quantity::Amps, None)))
    .expect(Reading::computed("volts at its terminals", volts, Unit::Volts).logged(Logged::OfPart(Quantity::Volts, None)))
    .sign(sign)
    .outside("no current: open, or waiting for a signal it does not get here (modules, displays)")
    .stop_if(format!("it draws over {}, smells or smokes", Amps::new(current.high))))
}
