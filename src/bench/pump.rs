//! Steps for a pump with a turning armature.
//!
//! # Limits
//! Outlet open into the can unless a pressure is asked for; the winding is at
//! the temperature of the bench. A centrifugal pump's fall of current with its
//! outlet shut is not modelled, so that row is left out for it.

use super::assembly::{Sheet, on_rig};
use super::circuit_loop::{Load, Settled, specimens, typical};
use super::preparation::{battery_step, jack_limit, lead_fuse_words, ohms_read, tagged};
use super::rig::{Rig, read};
use super::steps::{Jack, Logged, Procedure, Quantity, Reading, Run, Signature, Step, Unit};
use super::{Draws, Refused, SPECIMENS, Subject, chance};
use crate::circuit::Condition;
use crate::devices::{MotorModel, POOR_CONTACT_OHM};
use crate::quantities::print::nominal;
use crate::quantities::{Amps, Band, Pascals, Volts};
use crate::tables::OutOfTable;
use crate::tables::cautions::Caution;
use crate::tables::meters::Accuracy;

/// Ohms a sound winding has to its case at least: `leak-readings`, loads unplugged.
const SOUND_TO_CASE_OHM: f64 = 1e6;

/// What the pump reads on this rig.
pub(super) struct Expected {
    /// Current running, as the meter reads it.
    pub current: Band<f64>,
    /// Volts at its terminals.
    pub voltage: Band<f64>,
    /// Volts lost between posts and pump.
    pub lost: Band<f64>,
    /// Current if it does not turn, without meter error.
    pub stalled: Band<f64>,
}

pub(super) fn with(motor: &MotorModel, condition: Condition) -> Load {
    let law = motor.law(condition);
    Load::motor(law.branch()).scaled(if law.fed { 1.0 } else { 0.0 })
}

/// Works the readings out for a pump against `motor`'s pressure.
pub(super) fn expected(
    motor: &MotorModel,
    rig: &Rig,
    draws: &mut Draws,
) -> Result<Expected, Refused> {
    expected_of(motor, rig, draws, |motor| motor)
}

/// As [`expected`], with `on_shaft` saying what turns with each specimen.
pub(super) fn expected_of(
    motor: &MotorModel,
    rig: &Rig,
    draws: &mut Draws,
    on_shaft: impl Fn(MotorModel) -> MotorModel,
) -> Result<Expected, Refused> {
    let mut drawn = |condition| {
        specimens(rig, SPECIMENS, draws, |draws| {
            let one = motor.specimen(&mut |band| draws.of(band));
            with(&on_shaft(one), condition)
        })
    };
    let motor = &on_shaft(motor.clone());
    let running = drawn(Condition::Healthy)?;
    let stalls = drawn(Condition::Locked)?;
    let one = typical(rig, with(motor, Condition::Healthy), 0.0)?;
    let stalled = typical(rig, with(motor, Condition::Locked), 0.0)?;
    let mut readings = |figure: fn(&Settled) -> f64, error: &Accuracy| {
        let sample = running.iter().map(|s| read(draws, error, figure(s)));
        chance::range(sample.collect(), figure(&one))
    };
    Ok(Expected {
        current: readings(|s| s.current_a, &rig.amps_error),
        voltage: readings(|s| s.part_v, &rig.volts_error),
        lost: readings(|s| s.post_v - s.part_v, &rig.millivolts_error),
        stalled: chance::range(
            stalls.iter().map(|s| s.current_a).collect(),
            stalled.current_a,
        ),
    })
}

pub(super) fn procedure(
    subject: &Subject,
    motor: &MotorModel,
    rig: &Rig,
    draws: &mut Draws,
) -> Result<Procedure, Refused> {
    let found = expected(motor, rig, draws)?;
    let fuel = subject.pumps_fuel();
    let steps = vec![
        battery_step(rig, draws)?,
        winding(motor, rig, draws)
            .cautions(off_the_engine(fuel)?)
            .cautions(tagged(&["shorted-part"])?),
        case(),
        setting_up(rig, fuel, Pascals::new(motor.pressure_pa))?,
        running(rig, &found, fuel)?,
        losses(&found, "pump"),
        putting_away(fuel),
    ];
    let sheet = Sheet {
        topics: if fuel { &["fuel-pump"] } else { &["pump"] },
        answer: answer(motor, &found),
        steps,
        signatures: signatures(motor, rig, fuel)?,
        sources: vec![motor.source.clone()],
        ..Sheet::default()
    };
    Ok(on_rig(subject, rig, draws, sheet))
}

/// A fuel pump comes off a line that may stand under pressure.
pub(super) fn off_the_engine(fuel: bool) -> Result<Vec<Caution>, OutOfTable> {
    tagged(if fuel { &["relieve"] } else { &[] })
}

fn answer(motor: &MotorModel, found: &Expected) -> String {
    let against = if motor.pressure_pa > 0.0 {
        format!("against {}", Pascals::new(motor.pressure_pa))
    } else {
        "with its outlet open".to_owned()
    };
    format!(
        "a sound one draws {} to {} {against}, typically {} with {} at its terminals; stalled it would draw {} to {}",
        Amps::new(found.current.low),
        Amps::new(found.current.high),
        Amps::new(found.current.typical),
        Volts::new(found.voltage.typical),
        Amps::new(found.stalled.low),
        Amps::new(found.stalled.high),
    )
}

pub(super) fn winding(motor: &MotorModel, rig: &Rig, draws: &mut Draws) -> Step {
    let cold = motor.parameters.r;
    let warmth = motor.law(Condition::Healthy).r_ohm / cold.typical.si();
    let band = ohms_read(&cold.scaled(warmth), rig, draws);
    Step::new("Off the harness, measure ohms across its two terminals; tap the case or turn the shaft a little between ten tries.")
        .meter(Jack::Ohms)
        .expect(Reading::computed("lowest ohms of ten tries", band, Unit::Ohms).logged(Logged::OfPart(Quantity::Ohms, None)).above_proves_nothing())
        .outside("open every time: winding, brush or its own lead is open; a tap may wake it once more")
        .outside("higher: proves nothing, brushes and their film can read five times the winding; the run decides")
        .outside("near zero with the leads nulled: shorted inside; do not run it")
}

pub(super) fn case() -> Step {
    Step::new("Measure ohms from each terminal to its metal case.")
        .meter(Jack::Ohms)
        .expect(Reading::at_least(
            "ohms to the case",
            SOUND_TO_CASE_OHM,
            Unit::Ohms,
        ))
        .outside(
            "lower: damp or a carbon track; under 100 ohm it is shorted to its case, do not run it",
        )
}

pub(super) fn setting_up(rig: &Rig, fuel: bool, against: Pascals) -> Result<Step, OutOfTable> {
    let (medium, tags): (&str, &[&str]) = if fuel {
        (
            "Fill the pump with test liquid, both hoses in one can, outlet open.",
            &[
                "vapour",
                "test-fluid",
                "far-battery",
                "switch-far",
                "fuse-lead",
                "polarity",
                "extinguisher",
                "static",
            ],
        )
    } else if against.si() > 0.0 {
        (
            "Its inlet hose in a bucket of clean water, its own hose and nozzle on its outlet, the nozzle open: it is judged against that; with a bare outlet it draws far less.",
            &["switch-far", "fuse-lead", "polarity"],
        )
    } else {
        (
            "Stand the pump in a bucket of clean water, outlet open.",
            &["switch-far", "fuse-lead", "polarity"],
        )
    };
    Ok(Step::new(format!(
        "{medium} Lead with a {} fuse and its switch, switch open; plus to plus, clips on.",
        nominal(rig.fuse.rating)
    ))
    .cautions(tagged(tags)?))
}

fn running(rig: &Rig, found: &Expected, fuel: bool) -> Result<Step, OutOfTable> {
    let (how_long, tags): (&str, &[&str]) = if fuel {
        ("Switch on for 10 s at most.", &["time10", "dry5", "lock2"])
    } else {
        ("Switch on.", &["lock2"])
    };
    Ok(Step::new(format!(
        "{how_long} After the first second read the current, then the volts right at the pump's terminals."
    ))
    .cautions(tagged(tags)?)
    .cautions(jack_limit(rig, found.stalled.high)?)
    .meter(rig.meter)
    .meter(Jack::Volts)
    .expect(Reading::computed("current", found.current, Unit::Amps).logged(Logged::OfPart(Quantity::Amps, Some(Run::Wet))))
    .expect(Reading::computed(
        "volts at the pump",
        found.voltage,
        Unit::Volts,
    ).logged(Logged::OfPart(Quantity::Volts, Some(Run::Wet))))
    .sign("an even hum and a steady stream")
    .outside("outside: look for the row that fits in the table below, both figures and the sign")
    .stop_if(format!(
        "it does not turn within 2 s, smells, smokes or leaks. Stalled it draws {} to {}, {}; your hand on the switch protects it, not the fuse",
        Amps::new(found.stalled.low),
        Amps::new(found.stalled.high),
        lead_fuse_words(rig, found.stalled)?
    )))
}

pub(super) fn losses(found: &Expected, part: &str) -> Step {
    Step::new(format!("On the same run, or the next after a minute's rest: from the plus post to the {part}'s plus, and from its minus to the minus post, read the volts lost; add the two."))
        .meter(Jack::Millivolts)
        .expect(Reading::computed(
            "volts lost on the way",
            found.lost,
            Unit::Volts,
        ))
        .outside(format!("more: a clip, lead or the switch loses it; mend the rig before you judge the {part}"))
}

fn putting_away(fuel: bool) -> Step {
    Step::new(if fuel {
        "Switch off, clips off last, plug the ports. Judge pressure and flow by the engine maker's figures: the right current alone does not make a good pump."
    } else {
        "Switch off, clips off last. Judge the flow too: through hose and height about half of what its name says (common practice)."
    })
}

/// The typical pump with each fault, on the typical rig.
fn signatures(motor: &MotorModel, rig: &Rig, fuel: bool) -> Result<Vec<Signature>, Refused> {
    let mut rows = Vec::new();
    let mut row = |fault, load, more_ohm, sign| -> Result<(), Refused> {
        let settled = typical(rig, load, more_ohm)?;
        rows.push(Signature::of(fault, &settled, load.scale > 0.0, sign));
        Ok(())
    };
    let of = |condition| with(motor, condition);
    row(
        "healthy",
        of(Condition::Healthy),
        0.0,
        "even hum, steady stream",
    )?;
    row(
        "locked",
        of(Condition::Locked),
        0.0,
        "no sound, no stream: off at once",
    )?;
    row(
        "dragging",
        of(Condition::Dragging),
        0.0,
        "slow and laboured",
    )?;
    if motor.parameters.ap_per_pa.typical > 0.0 {
        let shut = motor.at_pressure(motor.parameters.dp_ref);
        let load = with(&shut, Condition::Restricted);
        row(
            "restricted",
            load,
            0.0,
            "outlet pinched or blocked: pressure high",
        )?;
    }
    row(
        "shorted-coil",
        of(Condition::ShortedCoil),
        0.0,
        "usual speed, gets hot",
    )?;
    row(
        "worn-brush",
        of(Condition::WornBrush),
        0.0,
        "slow and ragged at good volts",
    )?;
    if fuel {
        row(
            "dry",
            of(Condition::Dry),
            0.0,
            "fast, loud, no stream: off at once",
        )?;
    }
    let contact = "volts missing between post and pump";
    row(
        "poor-contact",
        of(Condition::Healthy),
        POOR_CONTACT_OHM,
        contact,
    )?;
    row("open", of(Condition::Open), 0.0, "silent at full volts")?;
    Ok(rows)
}

/// What a pump works against on the bench where nothing else is asked for:
/// fuel pumps pump into an open can; a washdown pump works on its nozzle.
pub fn usual_pressure(class: &str, motor: &MotorModel) -> Pascals {
    if class.starts_with("washdown") {
        motor.parameters.dp_ref
    } else {
        Pascals::new(0.0)
    }
}
