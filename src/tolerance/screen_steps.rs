//! What to measure next, on a screen, and what stays open after it.

use super::screen::percent;
use super::{Measure, Study, Way};

/// What to do, in shop words.
pub(super) fn measured(measure: &Measure) -> String {
    let subject = &measure.subject;
    match measure.way {
        Way::Tape => format!("the length of `{subject}` with a tape"),
        Way::Print => format!("the size of `{subject}`, printed on it or by its strands"),
        Way::DropAtWork => format!(
            "millivolts over {} of `{subject}` while its load runs",
            joined(&measure.what)
        ),
        Way::AtWork => format!("volts and amperes of `{subject}` while it works"),
        Way::AtRest => format!("volts of `{subject}` at rest, hours after charge or load"),
        Way::UnderLoad => format!("volts of `{subject}` before and under a known load"),
        Way::WhileCharging => format!("volts at the battery and amperes while `{subject}` charges"),
        Way::Ohms => format!("ohms of `{subject}`, its plug pulled"),
        Way::Thermometer => format!("the temperature of the {subject}"),
        Way::None => format!("{} of `{subject}`", joined(&measure.what)),
    }
}

fn joined(what: &[&str]) -> String {
    let mut once: Vec<&str> = Vec::new();
    for what in what {
        if !once.contains(what) {
            once.push(what);
        }
    }
    once.join(" and ")
}

/// A step and what it would settle.
pub(super) fn measure(measure: &Measure) -> String {
    let settles = if measure.settles.is_empty() {
        format!(
            "settles nothing alone, but makes {} of the spread of a verdict",
            percent(measure.share)
        )
    } else {
        let each: Vec<String> = measure
            .settles
            .iter()
            .take(4)
            .map(|(verdict, chance)| format!("{verdict} (in {} of boats)", percent(*chance)))
            .collect();
        format!("then told: {}", each.join("; "))
    };
    let text = measured(measure);
    format!("{text}: {settles}")
}

/// Verdicts that none of the steps tells for good.
pub(super) fn left_open(study: &Study) -> Option<String> {
    if study.left_open.is_empty() {
        return None;
    }
    let each = study
        .left_open
        .iter()
        .map(|(verdict, share)| format!("{verdict} (in {} of boats)", percent(*share)));
    let each: Vec<String> = each.collect();
    let after = if study.next.is_empty() {
        "Nothing that an owner could measure tells"
    } else {
        "Still not told after all of these:"
    };
    Some(format!("{after} {}.", each.join("; ")))
}
