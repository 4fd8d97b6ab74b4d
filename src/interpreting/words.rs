//! Conditions and readings in the words of a shop.

use super::Measure;
use super::evidence::{Evidence, RunKind};
use super::ranges::Range;
use crate::quantities::Fraction;

/// The readings of all runs: `17.6 A, 10.49 V, 0 rpm`.
pub(super) fn readings(evidence: &Evidence) -> String {
    let order = [
        Measure::Amps,
        Measure::Volts,
        Measure::Speed,
        Measure::Pressure,
        Measure::Ohms,
        Measure::PullOhms,
        Measure::Millivolts,
        Measure::LoadAmps,
        Measure::PullIn,
        Measure::PostVolts,
        Measure::AcVolts,
        Measure::ToGround,
        Measure::PlusToGround,
        Measure::Forward,
        Measure::Backward,
        Measure::Peak,
        Measure::Settling,
        Measure::Flow,
        Measure::Moves,
    ];
    let of_run = |run: &super::Run| {
        let read = order
            .into_iter()
            .filter_map(|measure| Some((measure, run.get(measure)?)));
        let figures: Vec<String> = read.take(4).map(|(of, value)| figure(of, value)).collect();
        let off = if run.is_off() && !figures.is_empty() {
            "off: "
        } else {
            ""
        };
        format!("{off}{}", figures.join(", "))
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

pub(super) fn figure(measure: Measure, value: f64) -> String {
    let printed = measure.print(value);
    match measure {
        Measure::Ohms if printed == "open" => "no ohms at all".to_owned(),
        Measure::PullOhms if printed == "open" => "a pull winding without ohms".to_owned(),
        Measure::PullOhms => format!("{printed} of pull winding"),
        Measure::LoadAmps => format!("under {printed}"),
        Measure::PullIn => format!("closing at {printed}"),
        Measure::PostVolts => format!("{printed} at the posts"),
        Measure::AcVolts => format!("{printed} of ac"),
        Measure::ToGround => format!("{printed} to ground"),
        Measure::PlusToGround => format!("{printed} from plus to ground"),
        Measure::Forward => format!("diode range {printed}"),
        Measure::Backward => format!("{printed} with the leads swapped"),
        Measure::Peak => format!("a peak of {printed}"),
        Measure::Settling => format!("settled in {printed}"),
        Measure::Flow => yes_or_no(value, "a stream", "no stream").to_owned(),
        Measure::Moves => yes_or_no(value, "a click or move", "no click or move").to_owned(),
        _ => printed,
    }
}

fn yes_or_no(value: f64, yes: &'static str, no: &'static str) -> &'static str {
    if value > 0.0 { yes } else { no }
}

/// What a condition would show, beside what was read; the readings that only set a
/// run are no reason.
pub(super) fn because(ranges: &[Range], given: &[Measure]) -> String {
    let reasons = ranges.iter().filter(|range| !range.is_of(given));
    let said: Vec<String> = reasons.map(Range::sentence).collect();
    said.join("; ")
}

/// How to take a reading, and in which run.
pub(super) fn how_to_read(
    how: Option<&str>,
    measure: Measure,
    kind: Option<RunKind>,
    is_new: bool,
) -> String {
    let what = how.unwrap_or_else(|| usual_way(measure));
    match kind.filter(|_| is_new) {
        Some(RunKind::AtPressure) => {
            format!("run it against its working pressure and read {what}")
        }
        Some(RunKind::Off) => format!("switch it off and read {what}"),
        _ => format!("read {what}"),
    }
}

const fn usual_way(measure: Measure) -> &'static str {
    match measure {
        Measure::Volts => "the volts right at its own terminals while it runs",
        Measure::Amps => "the current with a zeroed clamp around one lead",
        Measure::Speed => "its speed, from the ripple of the current or by ear against a known one",
        Measure::Pressure => "the pressure at its outlet",
        Measure::PostVolts => "the volts at the battery's posts under load",
        Measure::Ohms => "ohms across its terminals, unplugged, the lowest of ten tries",
        Measure::PullOhms => {
            "ohms of its pull winding, from the key's stud to the motor's stud, cable off"
        }
        Measure::Millivolts => "millivolts across the fuse or contact under load",
        Measure::Flow => "whether it delivers a stream",
        Measure::Peak => "the largest current of the start (peak hold)",
        Measure::Settling => "how long the current takes to settle",
        Measure::PullIn => "the volts at which it just closes, raised slowly",
        Measure::LoadAmps => "the current through its contacts",
        Measure::AcVolts => "the ac volts across the battery's posts",
        Measure::ToGround => "ohms to ground, unplugged",
        Measure::PlusToGround => "ohms from plus to ground, unplugged, the higher way round",
        Measure::Forward => "the diode range, red on the anode",
        Measure::Backward => "the diode range, leads swapped",
        Measure::Moves => "whether it clicks or moves",
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

/// What readings without power of a part that turns, pulls or glows are like: the words
/// of a run would say more than was read.
pub(super) fn at_rest(condition: &str) -> Option<&'static str> {
    Some(match condition {
        "healthy" => {
            "is what a sound one reads at rest; what it does under power, only a run tells"
        }
        "shorted" => "is what a dead short inside reads: keep it off any battery",
        "shorted-coil" => "is less than a sound winding reads at rest",
        "hot" => "is what a warm winding reads; let it cool and read again",
        "worn-brush" => {
            "is more than a winding reads: a worn brush, a dirty commutator or only the film on them; the run decides"
        }
        "locked" | "dragging" | "dry" | "restricted" | "reversed" | "worn-stage" | "stuck"
        | "low-supply" | "poor-contact" => {
            "is what a sound one reads at rest too: only a run tells"
        }
        _ => return None,
    })
}
