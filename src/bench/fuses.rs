//! Steps for fuses with their holder, for a block, and for breakers.
//!
//! # Limits
//! Cold elements: above 60 % of its rating a fuse is hotter and the current by
//! its millivolts comes out up to 30 % high.

use super::assembly::{Sheet, on_rig, positive};
use super::lamp::{across, current_of, lamp_for, volts_words};
use super::part::FusePart;
use super::preparation::{battery_step, ohms_read, tagged};
use super::rig::Rig;
use super::steps::{Jack, Procedure, Reading, Step, Unit};
use super::{Draws, Refused, Subject};
use crate::devices::LinkModel;
use crate::quantities::print::{nominal, significant};
use crate::quantities::{Amps, Band, Ohms, Volts};
use crate::tables::OutOfTable;
use crate::tables::contacts::{ContactKind, faulty};
use crate::tables::drops::service_limit;
use crate::tables::fuses::amps_per_millivolt;
use crate::tables::readings::dead_fuses;

/// Limit of a fuse with its clips at its rated current: a row of `drop-limits`.
const FUSE_DROP: &str = "fuse with its clips at rated current";

pub(super) fn procedure(
    subject: &Subject,
    fuses: &[FusePart],
    rig: &Rig,
    draws: &mut Draws,
) -> Result<Procedure, Refused> {
    let (drop, answer) = under_load(fuses, rig, draws)?;
    let steps = vec![
        by_eye(fuses, subject.is_class_alone())?,
        by_ohms(fuses, rig, draws),
        battery_step(rig, draws)?,
        drop,
        clips()?,
        in_the_boat(fuses)?,
        heat()?,
    ];
    let sheet = Sheet {
        topics: &["tracing"],
        answer,
        steps,
        ..Sheet::default()
    };
    Ok(on_rig(subject, rig, draws, sheet))
}

fn by_eye(fuses: &[FusePart], is_class_alone: bool) -> Result<Step, OutOfTable> {
    let mut step = Step::new("Battery minus off. Pull the fuse and look at element and body; read its rating off the body and hold it against the cover.")
        .cautions(tagged(&["neg-first", "fuse-never"])?);
    for fuse in fuses {
        // A class alone is its own rating: no file says another.
        if !is_class_alone {
            step = step.note(printed(fuse));
        }
    }
    for look in dead_fuses()?.iter().filter(|look| look.body != "-") {
        step = step.outside(format!(
            "{}; body {}: {}. Ask first: {}",
            look.element, look.body, look.cause, look.ask
        ));
    }
    Ok(step)
}

/// What a fuse should have printed on it.
fn printed(fuse: &FusePart) -> String {
    let fitted = format!(
        "`{}`: {} {} by the file",
        fuse.name,
        nominal(fuse.model.rating),
        fuse.style
    );
    match fuse.label {
        Some(label) if label != fuse.model.rating => {
            format!(
                "{fitted}, but the cover says {}: that is what belongs there, once the cause is found",
                nominal(label)
            )
        }
        Some(label) => format!("{fitted}, {} on the cover", nominal(label)),
        None => fitted,
    }
}

fn by_ohms(fuses: &[FusePart], rig: &Rig, draws: &mut Draws) -> Step {
    let mut step =
        Step::new("Out of its holder: ohms from blade to blade, or cap to cap.").meter(Jack::Ohms);
    for fuse in fuses {
        let ohms = ohms_read(&fuse.model.cold, rig, draws);
        let quantity = format!("`{}`", fuse.name);
        step = step.expect(Reading::computed(&quantity, ohms, Unit::Ohms));
    }
    step
        .outside("open: it is gone, whatever it looks like")
        .outside("wandering while you flex it: a cracked element, replace it by the same rating")
        .outside("the leads' own ohms hide the fuse's: a good reading tells no more than that it is whole")
}

/// Volts across element and clips at a current.
fn link_volts(
    model: &LinkModel,
    pick: &mut dyn FnMut(Band<f64>) -> f64,
    current_a: f64,
    with_clips: bool,
) -> f64 {
    let mut ohms = |band: &Band<Ohms>| pick(band.si());
    let rise = (model.rise_per_a2 * current_a * current_a).min(model.rise_cap);
    let clips_ohm = if with_clips { ohms(&model.clips) } else { 0.0 };
    current_a * (ohms(&model.cold) * (1.0 + rise) + clips_ohm)
}

/// The step under load with its answer.
fn under_load(fuses: &[FusePart], rig: &Rig, draws: &mut Draws) -> Result<(Step, String), Refused> {
    let mut step = Step::new(format!(
        "Fuse in its holder, holder off the harness: lead with a {} fuse and its switch, then the holder, then the lamp named with each reading, then minus. Switch on; probes on the two test points of the fuse's own body, then on the holder's two wires.",
        nominal(rig.fuse.rating)
    ))
    .cautions(tagged(&["switch-far", "fuse-lead", "lamp-hot", "vapour"])?)
    .meter(Jack::Millivolts);
    let mut answer = String::new();
    for fuse in fuses {
        let lamp = lamp_for(fuse.model.rating)?.value;
        let mut of = |with_clips| {
            across(rig, &lamp, draws, |pick, current_a| {
                link_volts(&fuse.model, pick, current_a, with_clips)
            })
        };
        let element = of(false)?;
        let holder = of(true)?;
        let reading = |what: &str, band| {
            let quantity = format!("`{}` {what}, {} on it", fuse.name, lamp.name);
            Reading::computed(&quantity, positive(band), Unit::Volts)
        };
        step = step
            .expect(reading("across the fuse", element.across))
            .expect(reading("with its clips", holder.across));
        if answer.is_empty() {
            answer = format!(
                "a sound one loses {} on a {} ({}), {} with its clips",
                volts_words(element.across),
                lamp.name,
                current_of(&lamp),
                volts_words(holder.across)
            );
        }
    }
    let step = step
        .outside("across the fuse more: a tired or wrong fuse; replace it by the same rating")
        .outside("with clips much more: the clips lose it, see the next step")
        .outside("the lamp is dark and the fuse has all the volts across it: it is open");
    Ok((step, answer))
}

fn clips() -> Result<Step, OutOfTable> {
    let bad = faulty(ContactKind::FuseClips)?.value;
    Ok(Step::new("Fuse out: look at both clips and their wires; push the fuse in and pull it, it must bite; tug each wire.")
        .sign("bright, springy, no green, no brown, no soft plastic")
        .outside(format!(
            "over {} at the clips, or brown: renew the holder, and crimp its wires anew; cleaning alone does not last",
            nominal(bad)
        )))
}

fn in_the_boat(fuses: &[FusePart]) -> Result<Step, OutOfTable> {
    let mut step = Step::new("In the boat, load on: millivolts across the test points of the fuse tell its current without opening anything.")
        .cautions(tagged(&["fuse-never"])?)
        .meter(Jack::Millivolts);
    for fuse in fuses {
        let per_mv = amps_per_millivolt(fuse.style, fuse.model.rating);
        if let Ok(per_mv) = per_mv {
            step = step.note(format!(
                "`{}`: {} A for each millivolt",
                fuse.name,
                significant(per_mv.value, 2)
            ));
        }
        for (state, amps) in &fuse.carries {
            let volts = link_volts(&fuse.model, &mut |band| band.typical, amps.si(), false);
            step = step.note(format!(
                "`{}` in `{state}`: about {amps}, so {}",
                fuse.name,
                Volts::new(volts)
            ));
        }
    }
    let limit = service_limit(FUSE_DROP)?.value;
    Ok(step.outside(format!(
        "over {} from wire to wire at its rated current: the clips, not the fuse",
        Volts::new(limit)
    )))
}

fn heat() -> Result<Step, OutOfTable> {
    Ok(Step::new("After five minutes at its working load lay a finger on the body.")
        .cautions(tagged(&["fuse-never"])?)
        .sign("warm at most")
        .outside("too hot to hold: clips (heat where it enters), or loaded near its rating all the time: find out what draws so much")
        .stop_if("plastic softens or smells"))
}

/// Steps for a breaker.
pub(super) fn breaker(
    subject: &Subject,
    model: &LinkModel,
    rig: &Rig,
    draws: &mut Draws,
) -> Result<Procedure, Refused> {
    let lamp = lamp_for(model.rating)?.value;
    let ohms = ohms_read(&model.cold, rig, draws);
    let under = across(rig, &lamp, draws, |pick, current_a| {
        link_volts(model, pick, current_a, true)
    })?;
    let steps = vec![
        Step::new("Battery minus off, one wire off it. Trip it by hand where it has a button, reset it, and feel for a firm latch.")
            .cautions(tagged(&["neg-first"])?)
            .sign("latches and stays")
            .outside("does not latch: replace it"),
        Step::new("Ohms across it, reset; then tripped.")
            .meter(Jack::Ohms)
            .expect(Reading::computed("reset", ohms, Unit::Ohms))
            .expect(Reading::at_least("tripped", 1e6, Unit::Ohms))
            .outside("reset and open: burnt contacts"),
        battery_step(rig, draws)?,
        Step::new(format!(
            "Lead with a {} fuse and its switch, then the breaker, then a {}. Switch on; millivolts from stud to stud.",
            nominal(rig.fuse.rating),
            lamp.name
        ))
        .cautions(tagged(&["switch-far", "fuse-lead", "lamp-hot", "vapour"])?)
        .meter(Jack::Millivolts)
        .expect(Reading::computed("volts across it", positive(under.across), Unit::Volts))
        .outside("much more: burnt contacts or a loose stud, it trips early from its own heat")
        .stop_if("it trips on this lamp"),
        Step::new("Do not overload it to see it trip. Back in its place, or one of the same rating.")
            .cautions(tagged(&["fuse-never", "ign-protected"])?),
    ];
    let sheet = Sheet {
        topics: &["tracing", "boat"],
        answer: format!(
            "a sound {} breaker loses {} on a {} ({})",
            nominal(model.rating),
            volts_words(under.across),
            lamp.name,
            current_of(&lamp)
        ),
        steps,
        ..Sheet::default()
    };
    Ok(on_rig(subject, rig, draws, sheet))
}

/// A rating whose fuse the largest test lamp loads.
pub(super) const ANY_LAMP: Amps = Amps::new(10.0);
