//! Ohms of a way of the harness in words: the sentence, the next reading, notes.

use super::family::Family;
use super::odds::{self, Odds};
use super::ohms::{BESIDE, DIGIT_OHM, Harness, NAMED, OhmsQuestion, Plugged, drawn};
use super::specimen::Group;
use super::stuck::{self, STUCK, Stuck};
use super::{Measure, OPEN_OHM, estimates, words};
use crate::bench::{Draws, Refused, Standing};
use crate::devices::Resolved;
use crate::quantities::{Band, Fraction, Ohms};
use crate::solving::states;
use crate::tables::cautions::{Caution, cautions};
use crate::tables::readings::leaks;

/// The middle of some ohms, and the ends nine in ten lie within.
pub(super) fn range(ohms: &[f64]) -> Band<f64> {
    let all = ohms.iter().map(|ohm| (*ohm, 1.0)).collect();
    estimates::middle_nine(all).unwrap_or_default()
}

pub(super) fn expected(ohms: &[f64]) -> String {
    let Band { low, high, .. } = range(ohms);
    let print = |ohm| Measure::Ohms.print(ohm);
    if low >= OPEN_OHM {
        return format!("over {}", Ohms::new(OPEN_OHM));
    }
    if high >= OPEN_OHM {
        return format!("{} or more", print(low));
    }
    format!("{} to {}", print(low), print(high))
}

pub(super) fn named(loads: &[Plugged]) -> String {
    let names: Vec<String> = loads
        .iter()
        .take(NAMED)
        .map(|load| format!("`{}`", load.name))
        .collect();
    let more = loads.len().saturating_sub(NAMED);
    match (names.as_slice(), more) {
        ([], _) => "wires alone".to_owned(),
        ([one], 0) => one.clone(),
        ([all @ .., last], 0) => format!("{} and {last}", all.join(", ")),
        (all, more) => format!("{} and {more} more", all.join(", ")),
    }
}

pub(super) fn statement(
    question: &OhmsQuestion<'_>,
    groups: &[Group],
    found: &Odds,
    (loads, stuck): (&[Plugged], &[Stuck]),
    shown: &[f64],
) -> String {
    let top = odds::likeliest(found).map(|at| groups[at].condition);
    let read = &question.said;
    let Some(top) = top else {
        return format!(
            "{read} fits nothing this circuit would show there: measure again, leads nulled"
        );
    };
    let range = expected(shown);
    let through = if loads.is_empty() {
        "with nothing plugged in that conducts".to_owned()
    } else {
        format!("through {} while plugged in", named(loads))
    };
    // All that a sound circuit can show, not the nine in ten that are printed.
    let least = shown.iter().copied().fold(f64::INFINITY, f64::min);
    let most = shown.iter().copied().fold(0.0, f64::max);
    let slack = question.rig.ohms_error.share.si() * question.read_ohm + 0.5 * DIGIT_OHM;
    let is_explained = (least - slack..=most + slack).contains(&question.read_ohm);
    let share = odds::likeliest(found).map_or(0.0, |at| found.share[at]);
    let surely = words::surely(share);
    let hidden = hidden(groups, found);
    let alone = groups.iter().position(|group| group.condition == "healthy");
    let alone = alone.map_or(0.0, |at| found.share[at]);
    let could_be_either = SHORTS.contains(&top) && is_explained || top == "healthy";
    if could_be_either && hidden > alone {
        return format!(
            "not settled: {read} is within what the loads alone may show (odds {}; nine in ten sound circuits show {range} there, {through}), or a short lies beside them ({}): measure again as below",
            Fraction::new(alone),
            Fraction::new(hidden)
        );
    }
    let (short, like) = Harness.words(top);
    if top == "healthy" {
        let like = if is_explained {
            like
        } else {
            "is near what a sound circuit shows there"
        };
        let but = if hidden < SURE {
            String::new()
        } else {
            format!(
                ", but one could hide in it (odds {}): measure again as below",
                Fraction::new(hidden)
            )
        };
        return format!("{surely}{short}: {read} {like} ({range}), {through}{but}");
    }
    let which = if top == STUCK {
        stuck::named(question, stuck)
            .map_or_else(String::new, |which| format!(", as {which} would"))
    } else {
        String::new()
    };
    format!("{surely}{short}: {read} {like}{which}; a sound circuit shows {range} there, {through}")
}

/// Odds of a short below which there is none.
const SURE: f64 = 0.1;

/// Shorts, dead or partial.
const SHORTS: [&str; 2] = ["short", "partial-short"];

/// Odds of one of them.
pub(super) fn hidden(groups: &[Group], found: &Odds) -> f64 {
    let is_short = |group: &Group| SHORTS.contains(&group.condition);
    let all = groups.iter().zip(&found.share);
    all.filter(|(group, _)| is_short(group))
        .map(|(_, share)| share)
        .sum()
}

/// The next reading: without the load that does most.
pub(super) fn next(
    question: &OhmsQuestion<'_>,
    resolved: &Resolved,
    loads: &[Plugged],
    draws: &mut Draws,
) -> Result<String, Refused> {
    let Some(load) = loads.first() else {
        let is_whole = question.standing.unplugged.is_empty();
        if question.read_ohm >= OPEN_OHM && is_whole {
            return Ok("no load conducts there with the switches as they stand: close by hand what feeds it, a float or a key (`--state`), and read again".to_owned());
        }
        if question.read_ohm >= OPEN_OHM {
            return Ok("nothing is low there: plug its loads in again one at a time and read it after each; what drops it to a few ohms at once is where the short is".to_owned());
        }
        return Ok("split the harness: pull the largest plug between and look on which side it stays low; wiggle the loom a hand at a time".to_owned());
    };
    let mut without = question.standing.clone();
    without.unplugged.insert(load.id);
    if question.read_ohm >= OPEN_OHM {
        return Ok(format!(
            "unplug `{}` and measure across its own terminals: open there too, it is `{}` itself, else its plug or a wire",
            load.name, load.name
        ));
    }
    let after = drawn(question, resolved, &without, draws)?;
    Ok(format!(
        "unplug `{}` and measure again: a sound circuit then shows {}; where it stays near {} the fault is not in `{}`",
        load.name,
        expected(&after),
        question.said,
        load.name
    ))
}

/// What the table says of the condition found, never of another beside it.
fn meaning(
    question: &OhmsQuestion<'_>,
    top: Option<&'static str>,
) -> Result<Option<&'static str>, Refused> {
    let of_top = BESIDE.iter().find(|(word, ..)| Some(*word) == top);
    let Some((_, least, most)) = of_top.copied() else {
        return Ok(None);
    };
    let within = question.read_ohm.clamp(least, most * (1.0 - 1e-9));
    let all = leaks()?.into_iter();
    let mut rows = all.filter(|(low, high, _)| (low.si()..high.si()).contains(&within));
    Ok(rows.next().map(|(_, _, meaning)| meaning))
}

pub(super) fn notes(
    question: &OhmsQuestion<'_>,
    loads: &[Plugged],
    top: Option<&'static str>,
) -> Result<Vec<String>, Refused> {
    let mut notes = Vec::new();
    if !loads.is_empty() {
        let shares: Vec<String> = loads
            .iter()
            .take(NAMED)
            .map(|load| format!("`{}` {:.0} %", load.name, 100.0 * load.share))
            .collect();
        notes.push(format!(
            "Of a sound circuit's conductance there: {}.",
            shares.join(", ")
        ));
    } else if let Some(meaning) = meaning(question, top)? {
        notes.push(format!(
            "With every load unplugged {} means: {meaning}.",
            question.said
        ));
    }
    notes.push(format!(
        "What the leads add is taken as up to {}: press them together and give what the meter shows as `--leads`. Electronics read anything above 100 ohm.",
        Ohms::new(question.rig.ohms_error.plus)
    ));
    Ok(notes)
}

/// States in whose switches the reading would be that of the loads: a relay
/// bridged or a switch left closed is the commonest slip.
pub(super) fn asks(
    question: &OhmsQuestion<'_>,
    resolved: &Resolved,
    top: Option<&'static str>,
    draws: &mut Draws,
) -> Result<Vec<String>, Refused> {
    let is_low = BESIDE.iter().any(|(word, ..)| Some(*word) == top);
    let is_closed = top == Some(STUCK);
    if !(is_low || is_closed) || !question.standing.pulled_in.is_empty() {
        return Ok(Vec::new());
    }
    let circuit = question.circuit;
    let leads_ohm = 0.5 * question.rig.ohms_error.plus;
    for found in states(circuit, resolved)?
        .iter()
        .filter(|found| !found.what_if)
    {
        let closed = found
            .relays
            .iter()
            .filter(|(_, relay)| relay.pulled_in == Some(true));
        let standing = Standing {
            state: circuit.states.iter().find(|state| state.name == found.name),
            pulled_in: closed.filter_map(|(name, _)| circuit.find(name)).collect(),
            ..question.standing.clone()
        };
        let Band { low, high, .. } = range(&drawn(question, resolved, &standing, draws)?);
        let slack_ohm = leads_ohm + 0.1 * low;
        if (low - slack_ohm..=high + slack_ohm).contains(&question.read_ohm) {
            return Ok(vec![format!(
                "With the switches as in `{}` and its relays bridged {} would be the loads themselves: if they stood so, add `--state {}`.",
                found.name, question.said, found.name
            )]);
        }
    }
    Ok(Vec::new())
}

pub(super) fn cautions_of() -> Vec<Caution> {
    let applies = |caution: &Caution| {
        caution.applies(&["tracing", "metering"])
            || ["neg-first", "eyes", "short", "relieve"].contains(&caution.tag.as_str())
    };
    cautions().into_iter().filter(applies).collect()
}
