//! Steps for the primary of an ignition coil: ohms, and a pulse through a lamp.
//!
//! # Limits
//! Its secondary, and modules built into coils, are left to the engine's manual.

use super::assembly::{Sheet, on_rig, positive};
use super::lamp::{across, current_of, lamp_for};
use super::part::PrimaryPart;
use super::preparation::{battery_step, ohms_read, tagged};
use super::rig::Rig;
use super::steps::{Jack, Logged, Procedure, Quantity, Reading, Step, Unit};
use super::{Draws, Refused, Subject};
use crate::quantities::print::nominal;
use crate::quantities::{Amps, Ohms};

/// Current the largest test lamp lets through without endangering a primary.
const LAMP_FROM: Amps = Amps::new(10.0);

pub(super) fn procedure(
    subject: &Subject,
    part: &PrimaryPart,
    rig: &Rig,
    draws: &mut Draws,
) -> Result<Procedure, Refused> {
    let warmth = (234.5 + rig.air.si()) / 254.5;
    let coil = part.ohms.scaled(warmth);
    let ohms = ohms_read(&coil, rig, draws);
    let mut steps = vec![
        battery_step(rig, draws)?,
        Step::new("Coil off the engine, leads nulled: ohms across its two primary terminals.")
            .cautions(tagged(&["high-volts"])?)
            .meter(Jack::Ohms)
            .expect(
                Reading::computed("primary", ohms, Unit::Ohms)
                    .logged(Logged::OfPart(Quantity::Ohms, None)),
            )
            .outside("open: broken primary")
            .outside("three or more terminals: a module sits inside and ohms say nothing")
            .outside("the leads' own ohms are as large: without nulling only open shows"),
    ];
    if part.capacitor_discharge {
        steps.push(Step::new("No battery on this coil: a capacitor discharges into it, it was never made for 12 V. Judge it by a spark tester on the engine, as its manual says.")
            .cautions(tagged(&["high-volts", "kill"])?));
    } else {
        steps.push(pulse(&coil, rig, draws)?);
    }
    let sheet = Sheet {
        topics: &["ignition"],
        answer: format!(
            "a sound primary has {} to {}, typically {}",
            Ohms::new(ohms.low),
            Ohms::new(ohms.high),
            Ohms::new(ohms.typical)
        ),
        steps,
        ..Sheet::default()
    };
    Ok(on_rig(subject, rig, draws, sheet))
}

fn pulse(
    coil: &crate::quantities::Band<Ohms>,
    rig: &Rig,
    draws: &mut Draws,
) -> Result<Step, Refused> {
    let lamp = lamp_for(LAMP_FROM)?.value;
    let coil = *coil;
    let under = across(rig, &lamp, draws, |pick, current_a| {
        current_a * pick(coil.si())
    })?;
    Ok(Step::new(format!(
        "Far from any fuel and from the battery: a spark tester from its high-tension lead to a bare ground on the coil, both laid down: no hand on coil, lead or tester from here on. Lead with a {} fuse and its switch, a {} in series, onto the primary. Tap the switch: on for half a second at most.",
        nominal(rig.fuse.rating),
        lamp.name
    ))
    .cautions(tagged(&["vapour", "high-tension", "high-volts", "extinguisher", "switch-far", "fuse-lead", "amps-jack"])?)
    .meter(rig.meter)
    .expect(Reading::computed(
        "current through lamp and primary",
        positive(under.current),
        Unit::Amps,
    ))
    .sign(format!(
        "the lamp lights at each tap, and each opening of the switch gives one spark in the tester; without the lamp the coil would take several times the lamp's {}",
        current_of(&lamp)
    ))
    .outside("the lamp lights but no spark: secondary, or a module inside; a good known coil in its place decides")
    .outside("no light: open primary")
    .stop_if("it sparks anywhere but in the tester, or a module is built in"))
}
