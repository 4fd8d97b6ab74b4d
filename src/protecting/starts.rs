//! The start of a motor through its fuse, and what it costs the fuse.

use super::case::{Case, Fitted};
use super::check::{Check, Kind, Verdict};
use super::driven::{Driven, duty};
use crate::findings::{Finding, code};
use crate::heating::{Life, starts_before_fatigue};
use crate::quantities::{Amps, Seconds, print};
use crate::tables::OutOfTable;
use crate::tables::fuses::Edge;

/// Start of one motor through its fuse.
pub(super) fn starts(
    case: &Case<'_>,
    fuse: &Fitted,
    driven: &Driven<'_>,
) -> Result<(Check, Option<Finding>), OutOfTable> {
    let found = driven.start(case);
    let duty_here = duty(&fuse.device, &found, driven.beside_a);
    let beside = fuse.device.multiple(driven.beside_a);
    let outcome = fuse
        .device
        .run(&duty_here, |element| element.settled(beside));
    let cold = fuse.device.element(Edge::Nominal);
    let alone = cold.run(cold.cold(), &duty(&fuse.device, &found, 0.0));
    let life = starts_before_fatigue(alone.peak)?;
    let peak = Amps::new(found.peak_a + driven.beside_a);
    let takes = match found.runs_s {
        Some(seconds) => format!("runs after {}", Seconds::new(seconds)),
        None => "does not come up to speed".into(),
    };
    let head = format!(
        "`{}` starts with {peak} through it and {takes}",
        driven.name
    );
    let (verdict, tail) = match (outcome.early.opens, outcome.late.opens) {
        (None, _) => (
            Verdict::Holds,
            format!(
                "even the earliest fuse reaches only {} of its melting heat",
                print::percent(outcome.early.peak)
            ),
        ),
        (Some(_), None) => (
            Verdict::Caution,
            "some fuses may open on it; find out whether the motor is stiff before anything else"
                .into(),
        ),
        (Some(_), Some(_)) => (
            Verdict::Caution,
            "it opens on every start; this fuse does not suit this motor".into(),
        ),
    };
    let worn = match life.value {
        _ if outcome.early.opens.is_some() => String::new(),
        Life::Long => String::new(),
        Life::Starts(count) => format!(
            "; some {} starts wear it out (chart of wire-element fuses)",
            print::significant(count, 1)
        ),
        Life::Short => "; fewer than 100 starts wear it out (chart of wire-element fuses)".into(),
    };
    let starts = match life.value {
        Life::Starts(count) => Some(count),
        Life::Short | Life::Long => None,
    };
    let check = Check::new(Kind::Start, verdict, format!("{head}; {tail}{worn}"))
        .about(driven.name)
        .figure("peak_a", peak.si())
        .figure("peak_s", found.peak_s)
        .figure("runs_s", found.runs_s)
        .figure("heat_earliest", outcome.early.peak)
        .figure("heat_middle", outcome.middle.peak)
        .figure("heat_from_cold", alone.peak)
        .figure("opens_earliest_s", outcome.early.opens.map(|at| at.0))
        .figure("opens_latest_s", outcome.late.opens.map(|at| at.0))
        .figure("starts_before_fatigue", starts)
        .source(driven.motor.source.clone())
        .source(life.source)
        .source(fuse.device.network_source.clone());
    let finding = outcome.early.opens.map(|_| {
        Finding::new(
            code("fuse-opens-at-start"),
            &fuse.name,
            format!("`{}` may open each time `{}` starts, with {peak} through it", fuse.name, driven.name),
        )
        .with_hint("measure the motor's start current first: a stiff motor or low volts draws it out; never fit a larger fuse to stop one from opening")
        .with_measure(peak.si(), None, "A")
        .with_label(fuse.span, "this fuse")
    });
    Ok((check, finding))
}
