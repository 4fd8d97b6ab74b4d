//! The states a proof looks at, and the cases each falls into.

use super::envelope::{self, Envelope, Given};
use super::frame::{Frame, Held};
use super::{MATTERS_A, MOST_CASES, Sign, range};
use crate::circuit::Circuit;
use crate::sizing::rounds::Settled;
use crate::solving::{Demand, Role, Workings};
use crate::tables::OutOfTable;
use std::collections::BTreeSet;

/// The frame of every judged state whose relays have come to rest.
pub(super) fn frames(
    circuit: &Circuit,
    settled: &Settled,
    works: &Workings,
    open: &BTreeSet<&str>,
) -> Vec<Frame> {
    let mut frames = Vec::new();
    for (state, operated) in circuit.states.iter().zip(&works.points) {
        let Some(operated) = operated else { continue };
        let name = &state.name;
        let survey = &settled.survey;
        let contributions = survey.contributions.iter().find(|c| c.state == *name);
        let readings = survey.solution.states.iter().find(|s| s.name == *name);
        let (Some(contributions), Some(readings)) = (contributions, readings) else {
            continue;
        };
        if state.is_what_if() || !operated.chattering.is_empty() || !operated.burning.is_empty() {
            continue;
        }
        let cranking = readings.wires.iter().filter(|reading| reading.cranking);
        let mut frame = Frame::of(
            circuit,
            &works.net,
            operated,
            name,
            &contributions.consumers,
            cranking.map(|reading| reading.wire).collect(),
        );
        // Any wire on a starter's way may carry mostly its current.
        let is_starter = |held: &&Held| matches!(held.demand, Demand::Starter { .. });
        let starters = frame.held.iter().filter(is_starter);
        let ways = starters.flat_map(|held| &held.ways);
        let steps: Vec<usize> = ways
            .flat_map(|ways| [Some(&ways.feed), ways.back.as_ref()])
            .flatten()
            .flat_map(|route| {
                route
                    .bridges
                    .iter()
                    .map(|(at, _)| *at)
                    .chain(route.loose.iter().copied())
            })
            .collect();
        for at in steps {
            if let Role::Wire(wire) = frame.branches[at].role {
                frame.cranking.insert(wire);
            }
        }
        frame
            .held
            .retain(|held| !open.contains(circuit.part(held.part).name.as_str()));
        frames.push(frame);
    }
    frames
}

/// The envelopes of a state, one of which holds: where it is open whether a
/// battery gives or takes, one for each.
pub(super) fn cases(
    frame: &Frame,
    given: &Given<'_>,
    signs: &[Sign],
) -> Result<Vec<Envelope>, OutOfTable> {
    let mut widest = Some(Envelope::widest(frame));
    for sign in signs {
        widest = widest.and_then(|all| all.where_it_gives(sign.supply, sign.gives));
    }
    let whole = match widest {
        Some(widest) => widest.cut(frame, given)?,
        None => None,
    };
    let mut cases: Vec<Envelope> = whole.into_iter().collect();
    if frame.supplies.len() < 2 {
        return Ok(cases);
    }
    for &supply in &frame.supplies {
        if !matches!(frame.branches[supply].role, Role::Supply(_)) || cases.len() >= MOST_CASES {
            continue;
        }
        let mut parted = Vec::new();
        for case in cases {
            if !case.is_open(supply) {
                parted.push(case);
                continue;
            }
            for gives in [true, false] {
                if let Some(one) = case.where_it_gives(supply, gives) {
                    parted.extend(one.cut(frame, given)?);
                }
            }
        }
        cases = parted;
    }
    Ok(cases)
}

/// A battery that gives in one case and takes in another, more than leaks.
pub(super) fn undecided(frame: &Frame, cases: &[Envelope]) -> Option<usize> {
    let is_battery = |at: &&usize| matches!(frame.branches[**at].role, Role::Supply(_));
    let batteries = frame.supplies.iter().filter(is_battery);
    let open = |at: &&usize| {
        let amps = cases.iter().map(|case| case.amps[**at]);
        let all = amps.reduce(range::Range::or);
        let both = cases
            .iter()
            .any(|case| case.amps[**at].low < -envelope::GIVES_A)
            && cases
                .iter()
                .any(|case| case.amps[**at].high > -envelope::GIVES_A);
        both && all.is_some_and(|all| all.most() > MATTERS_A)
    };
    batteries.into_iter().find(open).copied()
}
