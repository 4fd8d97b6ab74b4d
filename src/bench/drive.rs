//! Steps for trim motors and blowers: clamped down, turning free.
//!
//! # Limits
//! Free running: friction and drag alone. Stall is worked out, never tried.

use super::assembly::{Sheet, on_rig};
use super::circuit_loop::typical;
use super::part::DrivePart;
use super::preparation::{battery_step, jack_limit, lead_fuse_words, tagged};
use super::pump::{Expected, case, expected_of, losses, winding, with};
use super::rig::Rig;
use super::steps::{Jack, Logged, Procedure, Quantity, Reading, Signature, Step, Unit};
use super::{Draws, Refused, Subject};
use crate::circuit::Condition;
use crate::devices::{MotorModel, POOR_CONTACT_OHM};
use crate::quantities::print::nominal;
use crate::quantities::{Amps, Volts};
use crate::tables::OutOfTable;

pub(super) fn procedure(
    subject: &Subject,
    part: &DrivePart,
    rig: &Rig,
    draws: &mut Draws,
) -> Result<Procedure, Refused> {
    let motor = &part.motor;
    let trim = subject.class == "trim";
    let found = expected_of(motor, rig, draws, |motor| motor.unloaded())?;
    let mut steps = vec![
        battery_step(rig, draws)?,
        winding(motor, rig, draws).cautions(tagged(if trim {
            &["trim-drop", "shorted-part"]
        } else {
            &["shorted-part"]
        })?),
        case(),
        setting_up(rig, part, trim)?,
        running(rig, &found)?,
    ];
    if trim {
        steps.push(other_way(part, rig, &found)?);
    }
    steps.push(losses(&found, "motor"));
    steps.push(putting_back(trim)?);
    let sheet = Sheet {
        topics: if trim { &["motor", "trim"] } else { &["motor"] },
        answer: answer(&found),
        steps,
        signatures: signatures(motor, rig, POOR_CONTACT_OHM)?,
        sources: vec![motor.source.clone()],
        ..Sheet::default()
    };
    Ok(on_rig(subject, rig, draws, sheet))
}

fn answer(found: &Expected) -> String {
    format!(
        "turning free, a sound one draws {} to {}, typically {} with {} at its terminals; stalled it would draw {} to {}, so never hold it fast",
        Amps::new(found.current.low.max(0.0)),
        Amps::new(found.current.high),
        Amps::new(found.current.typical),
        Volts::new(found.voltage.typical),
        Amps::new(found.stalled.low),
        Amps::new(found.stalled.high),
    )
}

fn setting_up(rig: &Rig, part: &DrivePart, trim: bool) -> Result<Step, OutOfTable> {
    let terminals = if part.two_fields {
        "plus to `up`, minus to `common`"
    } else if trim {
        "plus to one lead, minus to the other"
    } else {
        "plus to plus"
    };
    let tags: &[&str] = if trim {
        &["vapour", "switch-far", "fuse-lead", "polarity", "no-bridge"]
    } else {
        &["vapour", "switch-far", "fuse-lead", "polarity"]
    };
    let shaft = if trim {
        "Motor off its hydraulic pump: clamp it down, nothing on its shaft."
    } else {
        "Clamp it down, fan free, fingers and rags away from it."
    };
    Ok(Step::new(format!(
        "{shaft} Lead with a {} fuse and its switch, switch open; {terminals}, clips on.",
        nominal(rig.fuse.rating)
    ))
    .cautions(tagged(tags)?))
}

fn running(rig: &Rig, found: &Expected) -> Result<Step, OutOfTable> {
    Ok(Step::new(
        "Switch on for 10 s at most. After the first second read the current, then the volts right at the motor.",
    )
    .cautions(tagged(&["lock2", "amps-jack"])?)
    .cautions(jack_limit(rig, found.stalled.high)?)
    .meter(rig.meter)
    .meter(Jack::Volts)
    .expect(
        Reading::computed("current", found.current, Unit::Amps)
            .logged(Logged::OfPart(Quantity::Amps, None)),
    )
    .expect(Reading::computed(
        "volts at the motor",
        found.voltage,
        Unit::Volts,
    ))
    .sign("up to speed within half a second, even, no grinding, hardly a spark at the brushes")
    .outside("outside: look for the row that fits in the table below")
    .stop_if(format!(
        "it does not turn within 2 s, smells or smokes. Stalled it draws {} to {}, {}; your hand on the switch protects it, not the fuse",
        Amps::new(found.stalled.low),
        Amps::new(found.stalled.high),
        lead_fuse_words(rig, found.stalled)?
    )))
}

fn other_way(part: &DrivePart, rig: &Rig, found: &Expected) -> Result<Step, OutOfTable> {
    let swap = if part.two_fields {
        "Switch open, move plus from `up` to `down`."
    } else {
        "Switch open, swap the two clips: it must turn the other way."
    };
    Ok(Step::new(format!("{swap} Run it once more, 10 s at most."))
        .cautions(tagged(&["lock2"])?)
        .meter(rig.meter)
        .expect(Reading::computed(
            "current the other way",
            found.current,
            Unit::Amps,
        ))
        .outside(
            "fine one way only: a field or brush, or, in the boat, the relay of that direction",
        ))
}

fn putting_back(trim: bool) -> Result<Step, OutOfTable> {
    if trim {
        return Ok(Step::new("Switch off, clips off last, motor back on its pump. Free running proves motor and brushes, not the hydraulics: judge those by the engine maker's times and currents, run to the stop for a moment only.")
            .cautions(tagged(&["trim-drop"])?));
    }
    Ok(
        Step::new("Switch off, clips off last. Back in the boat, or a new one in its place.")
            .cautions(tagged(&["ign-protected"])?),
    )
}

/// The typical motor with each fault, turning free on the typical rig.
pub(super) fn signatures(
    motor: &MotorModel,
    rig: &Rig,
    poor_contact_ohm: f64,
) -> Result<Vec<Signature>, Refused> {
    let free = motor.unloaded();
    let rows = [
        (
            "healthy",
            Condition::Healthy,
            0.0,
            "even, up to speed at once",
        ),
        (
            "locked",
            Condition::Locked,
            0.0,
            "does not turn: off at once",
        ),
        (
            "dragging",
            Condition::Dragging,
            0.0,
            "slow and laboured: dry or worn bearings",
        ),
        (
            "shorted-coil",
            Condition::ShortedCoil,
            0.0,
            "ragged, gets hot within seconds",
        ),
        (
            "worn-brush",
            Condition::WornBrush,
            0.0,
            "weak and ragged at good volts, sparks",
        ),
        (
            "poor-contact",
            Condition::Healthy,
            poor_contact_ohm,
            "volts missing between post and motor",
        ),
        ("open", Condition::Open, 0.0, "silent at full volts"),
    ];
    rows.into_iter()
        .map(|(fault, condition, more_ohm, sign)| {
            let load = with(&free, condition);
            let settled = typical(rig, load, more_ohm)?;
            Ok(Signature::of(fault, &settled, load.scale > 0.0, sign))
        })
        .collect()
}
