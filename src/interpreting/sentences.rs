//! The sentences of an interpretation: answer, slip, notes, cautions.

use super::evidence::{Evidence, Measure};
use super::kernel::Kernel;
use super::odds::{self, Odds};
use super::specimen::Group;
use super::{Examined, Question, slip, words};
use crate::bench::{Refused, fuse_words};
use crate::circuit::Condition;
use crate::quantities::{Amps, Band};
use crate::tables::cautions::{Caution, cautions};

/// The rig, with the battery as it was read.
pub(super) fn rig_in_words(question: &Question) -> String {
    let rest_v = question.evidence.rest_v;
    if let Some(aboard) = &question.rig.aboard {
        let battery = match rest_v {
            Some(rest) => format!("at rest it was read as {}", Measure::PostVolts.print(rest)),
            None => "not read at rest".to_owned(),
        };
        return format!("{}; {}, {battery}", aboard.in_words(rest_v), aboard.battery);
    }
    let battery = match rest_v {
        Some(rest) => format!("battery read as {} at rest", Measure::PostVolts.print(rest)),
        None => "battery taken for charged, not read".to_owned(),
    };
    let rest = question
        .rig
        .words
        .split_once(", ")
        .map_or("", |(_, rest)| rest);
    match question.examined {
        Examined::Battery => format!("battery, {}", question.rig.air),
        _ => format!("{battery}, {rest}"),
    }
}

/// Why the readings cannot be, where no condition explains them.
pub(super) fn impossible(
    question: &Question,
    evidence: &Evidence,
    groups: &[Group],
    odds: &Odds,
    kernel: &Kernel,
) -> Option<String> {
    if odds.misfit <= 0.5 {
        return None;
    }
    let weighed = odds.share.iter().zip(&odds.taken).zip(groups);
    let best: f64 = weighed
        .map(|((_, taken), group)| group.prior * taken.likelihood)
        .sum();
    let read = words::readings(evidence);
    let slip = slip::likeliest(groups, evidence, kernel, best);
    let part = question.examined.part();
    let said = match slip {
        Some(slip) => format!(
            "{read} together cannot come from one {part} on this rig; the likeliest slip: {slip}. Take the readings again"
        ),
        None => format!(
            "{read} together cannot come from one {part} with one fault on this rig, and no single slip of the meter explains it; check the rig and take all readings again"
        ),
    };
    Some(placed(question, &said))
}

/// The answer in one sentence.
pub(super) fn statement(
    question: &Question,
    groups: &[Group],
    odds: &Odds,
    is_impossible: bool,
) -> String {
    let read = words::readings(&question.evidence);
    let part = question.examined.part();
    match odds::likeliest(odds) {
        Some(at) if !is_impossible => {
            let (short, like) = words::of_condition(part, groups[at].condition);
            let surely = words::surely(odds.share[at]);
            let nothing_read = question
                .evidence
                .runs
                .iter()
                .all(|run| run.readings.is_empty())
                && question.evidence.rest_v.is_none();
            if nothing_read {
                return "nothing was read yet: these are the odds before a test".to_owned();
            }
            let like = placed(question, like);
            format!("{surely}{short}: {read} {like}")
        }
        _ => placed(
            question,
            &format!(
                "these readings do not go together: {read} fits no one condition of this {part} on this rig"
            ),
        ),
    }
}

/// Words of the bench as they are in the boat.
fn placed(question: &Question, words: &str) -> String {
    if question.rig.aboard.is_none() {
        return words.to_owned();
    }
    let feed = "on this feed";
    words
        .replace("on this rig", feed)
        .replace("on these leads", feed)
}

/// What else to know.
pub(super) fn notes(
    question: &Question,
    groups: &[Group],
    odds: &Odds,
    kernel: &Kernel,
) -> Result<Vec<String>, Refused> {
    let mut notes = Vec::new();
    let word = odds::likeliest(odds).map(|at| groups[at].condition);
    let is_pump = matches!(question.examined, Examined::Pump(..));
    let amps = question
        .evidence
        .runs
        .iter()
        .find_map(|run| run.get(Measure::Amps));
    if let (true, Some("locked"), Some(amps)) = (is_pump, word, amps) {
        let reach = kernel.reach(Measure::Amps, amps);
        let current_a = Band {
            low: amps - reach,
            typical: amps,
            high: amps + reach,
        };
        let when = fuse_words(&question.rig, current_a)?;
        notes.extend(when.map(|when| format!(
            "{} is {when}. That is for a cool, sound fuse: after repeated tries, in a hot holder or with age it can open all the same, so a fuse found open does not speak against a locked pump. The copper heats and the current sags, so it may also hold while the pump cooks.",
            Amps::new(amps)
        )));
    }
    let has = |of: Condition| {
        groups
            .iter()
            .zip(&odds.share)
            .any(|(g, s)| g.condition == of.word() && *s > 0.05)
    };
    if is_pump && has(Condition::CoilOpen) && has(Condition::WornBrush) {
        notes.push("An open coil and worn brushes differ in the ripple of the current alone: one deep notch at each brush against a ragged trace.".to_owned());
    }
    if odds.wider > 1.0 {
        notes.push(format!(
            "Few specimens come near all these readings; each was taken {} times as loosely as its meter allows, so the odds are a little blunt.",
            odds.wider
        ));
    }
    Ok(notes)
}

/// Cautions of the part's topic, and of the rig or the boat's state.
pub(super) fn cautions_of(question: &Question) -> Vec<Caution> {
    let examined = &question.examined;
    if let Some(aboard) = &question.rig.aboard {
        let tags = [&aboard.tags[..], &["eyes", "short", "lock2"]].concat();
        let applies = |caution: &Caution| {
            caution.applies(&["metering"]) || tags.contains(&caution.tag.as_str())
        };
        return cautions().into_iter().filter(applies).collect();
    }
    let (topic, tags): (&str, &[&str]) = match examined {
        Examined::Pump(_, true) => ("fuel-pump", &["polarity", "eyes", "short"]),
        Examined::Pump(_, false) => ("pump", &["polarity", "eyes", "short"]),
        Examined::Relay(_) => (
            "relay",
            &["vapour", "switch-far", "eyes", "short", "lamp-hot"],
        ),
        Examined::Battery => ("battery", &["vapour"]),
    };
    let applies =
        |caution: &Caution| caution.applies(&[topic]) || tags.contains(&caution.tag.as_str());
    cautions().into_iter().filter(applies).collect()
}
