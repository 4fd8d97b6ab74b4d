//! Conditions and readings in the words of a shop.

use super::estimates::middle_nine;
use super::evidence::{Evidence, Measure, RunKind};
use super::kernel::{Kernel, scaled};
use super::specimen::Group;
use crate::quantities::Fraction;

/// A condition in a few words, and what its readings are like.
pub(super) fn of_condition(part: &str, condition: &str) -> (&'static str, &'static str) {
    match (part, condition) {
        ("pump", "healthy") => (
            "electrically sound",
            "is what a sound one draws on this rig; judge pressure and flow too",
        ),
        ("pump", "locked") => (
            "locked or nearly",
            "is what a stalled winding draws on these leads",
        ),
        ("pump", "dragging") => ("dragging", "is what a stiff one draws that still turns"),
        ("pump", "worn-stage") => (
            "worn pumping stage or leaking relief",
            "is a sound motor with too little to push against",
        ),
        ("pump", "open") => (
            "open inside the pump",
            "is what an open winding, brush or its own plug shows; a tap on the case may wake it once more",
        ),
        ("pump", "coil-open") => ("one armature coil open", "is slow and weak at good volts"),
        ("pump", "shorted-coil") => (
            "shorted turns or a weak magnet",
            "is too much current for its speed; it runs hot",
        ),
        ("pump", "worn-brush") => (
            "worn brushes or a bad commutator",
            "is slow and weak at good volts",
        ),
        ("pump", "restricted") => (
            "outlet restricted",
            "is what it draws against too much pressure",
        ),
        ("pump", "dry") => (
            "running dry or its inlet blocked",
            "is what it draws with nothing to pump: switch off at once",
        ),
        ("pump", "reversed") => (
            "running backwards",
            "is what it draws without building pressure; swap its leads",
        ),
        ("pump", "poor-contact") => (
            "a poor contact in its leads",
            "is what it draws when a joint keeps volts from it; mend that before judging the pump",
        ),
        ("pump", "low-supply") => (
            "the battery is low or weak",
            "is what a sound one draws on too few volts",
        ),
        ("pump", "hot") => (
            "hot",
            "is what a warm winding draws; let it cool and read again",
        ),
        ("relay", "healthy") => ("sound", "is what a sound relay shows"),
        ("relay", "open-coil") => ("open coil", "is what a burnt coil shows"),
        ("relay", "shorted-coil") => (
            "shorted turns in the coil",
            "is too low for its coil; it overloads what switches it",
        ),
        ("relay", "burnt-contacts") => ("burnt contacts", "is lost across its contacts"),
        ("relay", "weak-pull-in") => (
            "closes too late",
            "is more than a sound one needs; it may drop out while cranking",
        ),
        ("relay", "diode-reversed") => (
            "its diode is the wrong way round",
            "is what the diode shows when it shorts the lead; 86 is plus",
        ),
        ("battery", "healthy") => ("sound", "is what a sound battery shows"),
        ("battery", "discharged") => (
            "discharged",
            "is what an empty one shows; charge it and test again",
        ),
        ("battery", "shorted-cell") => (
            "one cell shorted",
            "is two volts short of a whole battery; replace it",
        ),
        ("battery", "sulphated") => (
            "sulphated or worn out",
            "is what one shows that falls too far under a load",
        ),
        ("battery", "open-cell") => (
            "an open cell or strap",
            "is what one shows that has volts but gives no current; replace it, it can spark inside",
        ),
        ("harness", "healthy") => ("no short in that", "is what a sound circuit shows there"),
        ("harness", "short") => (
            "a dead short",
            "is less than what is plugged in explains; it opens a fuse at once",
        ),
        ("harness", "partial-short") => (
            "a partial short",
            "is less than what is plugged in explains; it drains the battery or warms",
        ),
        ("harness", "leak") => (
            "damp or a carbon track",
            "is less than what is plugged in explains; it opens no fuse",
        ),
        ("harness", "open") => (
            "an open load, plug or wire",
            "is more than a sound circuit shows; something does not conduct",
        ),
        _ => ("none of these", "fits none of them"),
    }
}

/// The readings of all runs: `17.6 A, 10.49 V, 0 rpm`.
pub(super) fn readings(evidence: &Evidence) -> String {
    let order = [
        Measure::Amps,
        Measure::Volts,
        Measure::Speed,
        Measure::Pressure,
        Measure::Ohms,
        Measure::Millivolts,
        Measure::PullIn,
        Measure::PostVolts,
    ];
    let of_run = |run: &super::Run| {
        let read = order
            .into_iter()
            .filter_map(|measure| Some((measure, run.get(measure)?)));
        let figures: Vec<String> = read.take(4).map(|(of, value)| figure(of, value)).collect();
        figures.join(", ")
    };
    let runs: Vec<String> = evidence
        .runs
        .iter()
        .map(of_run)
        .filter(|run| !run.is_empty())
        .collect();
    match (runs.is_empty(), evidence.rest_v) {
        (true, Some(rest)) => format!("{} at rest", Measure::PostVolts.print(rest)),
        (true, None) => "this".to_owned(),
        _ => runs.join("; then "),
    }
}

fn figure(measure: Measure, value: f64) -> String {
    let printed = measure.print(value);
    match measure {
        Measure::Ohms if printed == "open" => "no ohms at all".to_owned(),
        Measure::PullIn => format!("closing at {printed}"),
        Measure::PostVolts => format!("{printed} at the posts"),
        _ => printed,
    }
}

/// What a condition would show, beside what was read.
pub(super) fn because(group: &Group, evidence: &Evidence, kernel: &Kernel) -> String {
    let mut said = Vec::new();
    for brings in &group.brings {
        let slack = 2.0 * kernel.deviation(brings.measure, brings.read);
        let fits = (brings.low - slack..=brings.high + slack).contains(&brings.read);
        let of = |value| brings.measure.print(value);
        said.push(sentence(
            brings.what,
            &of(brings.low),
            &of(brings.high),
            &of(brings.read),
            fits,
        ));
    }
    for (run, measure, read) in evidence.readings() {
        if measure == Measure::Pressure {
            continue;
        }
        let shown = group
            .specimens
            .iter()
            .map(|one| (one.runs[run].get(measure), one.weight));
        let Some(band) = middle_nine(shown.filter(|(value, _)| value.is_finite()).collect()) else {
            continue;
        };
        if measure == Measure::Flow {
            let usual = if band.typical > 0.0 {
                "a stream"
            } else {
                "no stream"
            };
            said.push(format!("{usual} is usual"));
            continue;
        }
        let place = scaled(measure, read);
        let slack = 2.0 * kernel.deviation(measure, band.typical);
        let low = scaled(measure, band.low) - slack;
        let high = scaled(measure, band.high) + slack;
        let fits = (low..=high).contains(&place);
        let of = |value| measure.print(value);
        said.push(sentence(
            measure.words(),
            &of(band.low),
            &of(band.high),
            &of(read),
            fits,
        ));
    }
    said.join("; ")
}

fn sentence(what: &str, low: &str, high: &str, read: &str, fits: bool) -> String {
    let range = if low == high {
        format!("near {low}")
    } else {
        format!("{low} to {high}")
    };
    if fits {
        format!("{what} {range}: {read} fits")
    } else {
        format!("{what} {range}, not {read}")
    }
}

/// How to take a reading, and in which run.
pub(super) fn how_to_read(measure: Measure, kind: RunKind, is_new: bool, in_boat: bool) -> String {
    let what = match measure {
        Measure::Volts => "the volts right at its own terminals while it runs",
        Measure::Amps => "the current with a zeroed clamp around one lead",
        Measure::Speed => "its speed, from the ripple of the current or by ear against a known one",
        Measure::Pressure => "the pressure at its outlet",
        Measure::PostVolts => "the volts at the battery's posts under load",
        Measure::Ohms => "ohms across its terminals, unplugged, the lowest of ten tries",
        Measure::Millivolts if in_boat => {
            "millivolts across the fuse before it, or across a relay's closed contacts under their load"
        }
        Measure::Millivolts => "millivolts across the closed contacts under a 55 W lamp",
        Measure::Flow => "whether it delivers a stream",
        Measure::Peak => "the largest current of the start (peak hold)",
        Measure::Settling => "how long the current takes to settle",
        Measure::PullIn => "the volts at which it just closes, raised slowly",
    };
    match (is_new, kind) {
        (true, RunKind::AtPressure) => {
            format!("run it against its working pressure and read {what}")
        }
        _ => format!("read {what}"),
    }
}

/// A likelihood in words before a verdict.
pub(super) fn surely(probability: f64) -> String {
    let percent = Fraction::new(probability);
    match probability {
        p if p >= 0.9 => String::new(),
        p if p >= 0.6 => format!("probably ({percent}) "),
        _ => format!("not settled; likeliest ({percent}) "),
    }
}
