//! Contacts that stay closed though nothing tells them to: a float stuck down, a
//! welded relay, a switch that was left on. What they feed reads as if it were short.
//!
//! # Limits
//! One contact at a time; switches of several positions are left out, for how a key
//! stands is seen. How often it happens is judgement (`condition-priors`).

use super::Measure;
use super::ohms::{NAMED, OhmsQuestion, drawn};
use super::ohms_words::range;
use crate::bench::{Draws, Refused, Standing, ohms_between};
use crate::circuit::{ContactPosition, Device, PartId, State, SwitchKind};
use crate::devices::{Model, Resolved};
use crate::quantities::Band;
use crate::span::Span;
use std::collections::BTreeMap;

/// The condition.
pub(super) const STUCK: &str = "stuck-contact";
/// Share of a sound reading under which a contact counts.
const COUNTS: f64 = 0.95;

/// A contact that would change the reading if it stayed closed.
pub(super) struct Stuck {
    name: String,
    is_relay: bool,
    /// Ohms of the way then, before the leads.
    pub(super) ohms: Vec<f64>,
}

/// Every contact that would.
pub(super) fn stuck(
    question: &OhmsQuestion<'_>,
    resolved: &Resolved,
    draws: &mut Draws,
) -> Result<Vec<Stuck>, Refused> {
    let typical = |standing: &Standing<'_>, draws: &mut Draws| -> Result<f64, Refused> {
        let (circuit, between) = (question.circuit, question.between);
        let found = ohms_between(circuit, resolved, standing, between, 1, draws)?;
        Ok(found[0].unwrap_or(f64::INFINITY))
    };
    let sound_ohm = typical(&question.standing, draws)?;
    let mut all = Vec::new();
    for id in question.circuit.part_ids() {
        let Some((state, is_relay)) = closed(question, resolved, id) else {
            continue;
        };
        let mut standing = Standing {
            state: state.as_ref(),
            ..question.standing.clone()
        };
        if is_relay {
            standing.pulled_in.insert(id);
        }
        if typical(&standing, draws)? < COUNTS * sound_ohm {
            all.push(Stuck {
                name: question.circuit.part(id).name.clone(),
                is_relay,
                ohms: drawn(question, resolved, &standing, draws)?,
            });
        }
    }
    Ok(all)
}

/// The switches with this part's contact closed, and whether it is a relay's; none
/// where it is closed as it stands, or has none.
fn closed(
    question: &OhmsQuestion<'_>,
    resolved: &Resolved,
    id: PartId,
) -> Option<(Option<State>, bool)> {
    let standing = &question.standing;
    if standing.unplugged.contains(&id) {
        return None;
    }
    if matches!(resolved.part(id), Model::Relay(_)) {
        let state = standing.state.cloned();
        return (!standing.pulled_in.contains(&id)).then_some((state, true));
    }
    let Device::Switch(switch) = &question.circuit.part(id).device else {
        return None;
    };
    let SwitchKind::Simple { normally_closed } = switch.kind else {
        return None;
    };
    let position = standing.state.and_then(|state| state.contacts.get(&id));
    let is_closed = match position {
        Some(ContactPosition::Simple { closed }) => *closed,
        _ => normally_closed,
    };
    let mut state = standing.state.cloned().unwrap_or_else(at_rest);
    let made = ContactPosition::Simple { closed: true };
    state.contacts.insert(id, made);
    (!is_closed).then_some((Some(state), false))
}

/// A state in which no switch is told anything: an ohmmeter then sees each at rest.
fn at_rest() -> State {
    State {
        name: String::new(),
        span: Span::default(),
        contacts: BTreeMap::new(),
        charging: BTreeMap::new(),
        duty: BTreeMap::new(),
        after: None,
        conditions: BTreeMap::new(),
    }
}

/// The contacts that would show what was read, nearest first.
fn explaining<'a>(question: &OhmsQuestion<'_>, all: &'a [Stuck]) -> Vec<(&'a Stuck, Band<f64>)> {
    let plus = question.rig.ohms_error.plus;
    let read = question.read_ohm;
    let mut found: Vec<_> = all.iter().map(|one| (one, range(&one.ohms))).collect();
    found.retain(|(_, band)| (0.9 * band.low..=1.1 * band.high + plus).contains(&read));
    let off = |band: &Band<f64>| (read - band.typical).abs();
    found.sort_by(|(_, a), (_, b)| off(a).total_cmp(&off(b)));
    found.truncate(NAMED);
    found
}

/// Which contacts, and what each would show.
pub(super) fn named(question: &OhmsQuestion<'_>, all: &[Stuck]) -> Option<String> {
    let print = |ohm| Measure::Ohms.print(ohm);
    let found = explaining(question, all).into_iter();
    let each: Vec<String> = found
        .map(|(one, band)| {
            format!(
                "`{}` ({} to {})",
                one.name,
                print(band.low),
                print(band.high)
            )
        })
        .collect();
    (!each.is_empty()).then(|| each.join(", "))
}

/// The reading that parts a stuck contact from a short.
pub(super) fn next(question: &OhmsQuestion<'_>, all: &[Stuck]) -> Option<String> {
    let (one, _) = *explaining(question, all).first()?;
    let how = if one.is_relay {
        format!(
            "pull `{}` out of its socket, or take the wire off its 87",
            one.name
        )
    } else {
        format!(
            "lift and let go what works `{}`, then take a wire off it",
            one.name
        )
    };
    Some(format!(
        "{how}, and measure again: far more then, its contact stays closed; still near {}, it is a short",
        question.said
    ))
}
