//! Steps for a starter: clamped down, turning free on jump cables.
//!
//! # Limits
//! Free running: friction alone. Its winding is a few milliohms, below what an
//! ohmmeter shows; stall is worked out, never tried.

use super::assembly::{Sheet, on_rig};
use super::drive::signatures;
use super::preparation::{battery_step, tagged};
use super::pump::{Expected, expected_of};
use super::rig::Rig;
use super::steps::{Jack, Logged, Procedure, Quantity, Reading, Step, Unit};
use super::{Draws, Refused, Subject};
use crate::devices::MotorModel;
use crate::quantities::{Amps, Volts};
use crate::tables::OutOfTable;

/// What an ohmmeter may show across brushes and armature, leads included, ohms.
const THROUGH_OHM: f64 = 1.0;
/// A corroded cable end of a textbook's starter, ohms: `contact-resistance`.
const POOR_CONTACT_OHM: f64 = 0.09;

pub(super) fn procedure(
    subject: &Subject,
    motor: &MotorModel,
    rig: &Rig,
    draws: &mut Draws,
) -> Result<Procedure, Refused> {
    let found = expected_of(motor, rig, draws, |motor| motor.unloaded())?;
    let steps = vec![
        battery_step(rig, draws)?,
        through()?,
        setting_up()?,
        running(rig, &found)?,
        losses(&found)?,
        putting_back()?,
    ];
    let sheet = Sheet {
        topics: &["motor", "starter"],
        answer: answer(&found),
        steps,
        signatures: signatures(motor, rig, POOR_CONTACT_OHM)?
            .into_iter()
            // What a worn brush adds is known of small motors only.
            .filter(|row| row.fault != "worn-brush")
            .collect(),
        sources: vec![motor.source.clone()],
        ..Sheet::default()
    };
    Ok(on_rig(subject, rig, draws, sheet))
}

fn answer(found: &Expected) -> String {
    format!(
        "turning free, a sound one draws {} to {}, typically {} with {} at its stud; stalled it would draw {} to {}, so never hold it fast",
        Amps::new(found.current.low.max(0.0)),
        Amps::new(found.current.high),
        Amps::new(found.current.typical),
        Volts::new(found.voltage.typical),
        Amps::new(found.stalled.low),
        Amps::new(found.stalled.high),
    )
}

fn through() -> Result<Step, OutOfTable> {
    Ok(Step::new("Off the engine, battery minus off before its cable: ohms from its stud to its case while you turn the shaft.")
        .cautions(tagged(&["neg-first"])?)
        .meter(Jack::Ohms)
        .expect(Reading::at_most("ohms through the brushes", THROUGH_OHM, Unit::Ohms).logged(Logged::OfPart(Quantity::Ohms, None)))
        .outside("open or jumping: brushes worn or hung up, or a burnt bar; its few milliohms are below any hand meter, only the run judges the winding"))
}

fn setting_up() -> Result<Step, OutOfTable> {
    Ok(Step::new("Clamp it down hard in a vice, pinion clear. Jump cables: minus to its case, plus through a starter solenoid to its stud; a push button on a thin 5 A fused lead works the solenoid. Jaws on first, button last.")
        .cautions(tagged(&[
            "clamp-starter",
            "vapour",
            "polarity",
            "eyes",
            "short",
            "amps-jack",
        ])?))
}

fn running(rig: &Rig, found: &Expected) -> Result<Step, OutOfTable> {
    Ok(
        Step::new("Large clamp zeroed and around one cable. Press for 3 s, 10 s at most; after the first second read the current, then the volts from stud to case.")
            .cautions(tagged(&["starter-time", "lock2", "no-bridge"])?)
            .meter(rig.meter)
            .meter(Jack::Volts)
            .expect(Reading::computed(
                "current",
                found.current,
                Unit::Amps,
            ).logged(Logged::OfPart(Quantity::Amps, None)))
            .expect(Reading::computed(
                "volts at the starter",
                found.voltage,
                Unit::Volts,
            ).logged(Logged::OfPart(Quantity::Volts, None)))
            .sign("up to speed at once with an even whine, pinion out and back")
            .outside("outside: look for the row that fits in the table below")
            .stop_if(format!(
                "it does not spin within 2 s, smells or smokes: stalled it draws {} to {} and nothing on these cables opens",
                Amps::new(found.stalled.low),
                Amps::new(found.stalled.high)
            )),
    )
}

fn losses(found: &Expected) -> Result<Step, OutOfTable> {
    Ok(Step::new("On another run, after two minutes' rest: from the plus post to the stud, and from the case to the minus post, read the volts lost in cables, jaws and solenoid; add the two.")
        .cautions(tagged(&["starter-time"])?)
        .meter(Jack::Volts)
        .expect(Reading::computed(
            "volts lost on the way",
            found.lost,
            Unit::Volts,
        ))
        .outside("more: a jaw or the solenoid loses it; mend the rig before you judge the starter"))
}

fn putting_back() -> Result<Step, OutOfTable> {
    Ok(Step::new("Jaws off. Free running proves brushes and bearings, not its strength: judge that cranking in the boat, 9.5 V at least at its stud. Back on the engine, or a new one made for this engine.")
        .cautions(tagged(&["ign-protected", "neg-first"])?))
}
