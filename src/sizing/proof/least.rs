//! What every admissible choice asks at least: the low ends of the ranges put
//! together as limits that the search can use.
//!
//! The drop of a load is the sum over the wires on its way of ohms times
//! amperes. Along bridges all that the load gets passes, so there the amperes
//! are the wire's own, at least the low end of its range; in loops nothing is
//! counted. Where its drop may count from several supplies, of each wire the
//! least is taken. So each limit is weaker than the real one, for any sizes,
//! and the least copper under them is a bound for all of them.

use super::envelope::{Envelope, Given, ohms_of, oriented};
use super::frame::{Frame, Held, Ways};
use crate::circuit::Circuit;
use crate::sizing::needs::{Needs, Row, RowKind, WireNeed};
use crate::solving::{Demand, Role};
use std::collections::BTreeMap;

/// Amperes by wire, and volts left to them.
type Sum = (BTreeMap<usize, f64>, f64);

/// Needs of no current at all, with what the answer says of use and cranking.
pub(super) fn none(circuit: &Circuit, answer: &Needs) -> Needs {
    let wires = answer.wires.iter().map(|need| WireNeed {
        used: need.used,
        cranks: need.cranks,
        ..WireNeed::default()
    });
    let mut needs = Needs {
        wires: wires.collect(),
        ..Needs::default()
    };
    needs.wires.resize(circuit.wires.len(), WireNeed::default());
    needs
}

/// Takes in what a state asks at least; `cases` are its envelopes, one of
/// which holds.
pub(super) fn take(needs: &mut Needs, frame: &Frame, given: &Given<'_>, cases: &[Envelope]) {
    for (at, branch) in frame.branches.iter().enumerate() {
        let Role::Wire(wire) = branch.role else {
            continue;
        };
        let least = cases.iter().map(|case| case.amps[at].least());
        let least_a = least.fold(f64::INFINITY, f64::min);
        let need = &mut needs.wires[wire];
        need.most_a = need.most_a.max(least_a);
        need.heating_a = need.heating_a.max(least_a);
        if frame.cranking.contains(&wire) {
            need.cranking_a = need.cranking_a.max(least_a);
        } else {
            need.steady_a = need.steady_a.max(least_a);
        }
    }
    for held in &frame.held {
        let Some((amps, limit_v)) = weakest(frame, given, held, cases) else {
            continue;
        };
        needs.rows.push(Row {
            kind: kind(held.demand),
            part: held.part,
            state: frame.state.clone(),
            ohms: ohms_of(held.demand),
            amps: amps.into_iter().filter(|(_, amps)| *amps > 0.0).collect(),
            limit_v: limit_v + ROUNDING * limit_v.abs(),
        });
    }
}

/// Relative room for rounding when a limit is met exactly.
const ROUNDING: f64 = 1e-9;

/// The limit that holds in every case and for every supply; none where one of
/// them says nothing.
fn weakest(frame: &Frame, given: &Given<'_>, held: &Held, cases: &[Envelope]) -> Option<Sum> {
    let mut all: Option<Sum> = None;
    for case in cases {
        let ways = case.main(frame, held);
        if ways.is_empty() {
            return None;
        }
        for ways in ways {
            let one = sum(frame, given, case, held, ways)?;
            all = Some(match all {
                Some(sum) => weaker(sum, one),
                None => one,
            });
        }
    }
    all
}

const fn kind(demand: Demand) -> RowKind {
    match demand {
        Demand::Drop { .. } => RowKind::Drop,
        Demand::Starter { .. } => RowKind::Starter,
        Demand::Coil { .. } => RowKind::Coil,
    }
}

/// A limit that both imply.
fn weaker(one: Sum, other: Sum) -> Sum {
    let least = |(wire, amps): (usize, f64)| {
        let also = other.0.get(&wire).copied().unwrap_or(0.0);
        (wire, amps.min(also))
    };
    (one.0.into_iter().map(least).collect(), one.1.max(other.1))
}

/// The limit of a consumer whose drop counts from one supply, in one case.
///
/// A drop counts from a supply only if its current reaches the load, so along
/// the bridges none flows backwards. Volts across a starter or coil are those
/// of the posts less all that is lost on the way, whoever feeds it; there every
/// current has to be known as forward, and the way back as well.
fn sum(
    frame: &Frame,
    given: &Given<'_>,
    case: &Envelope,
    held: &Held,
    ways: &Ways,
) -> Option<Sum> {
    let is_drop = matches!(held.demand, Demand::Drop { .. });
    let back = ways.back.as_ref().filter(|_| case.returns(ways));
    if !is_drop && back.is_none() {
        return None;
    }
    let steps = ways.feed.bridges.iter();
    let steps = steps.chain(back.iter().flat_map(|back| &back.bridges));
    let mut amps = BTreeMap::new();
    let mut beside_v = 0.0;
    for (at, forward) in steps {
        let least_a = oriented(case.amps[*at], *forward).low;
        if !is_drop && least_a < 0.0 {
            return None;
        }
        let least_a = least_a.max(0.0);
        if let Role::Wire(wire) = frame.branches[*at].role {
            *amps.entry(wire).or_insert(0.0) += least_a;
            let sizes = given.domain[wire].iter();
            let joints = sizes.map(|place| {
                let choice = &given.choices[wire].all[*place];
                choice.model.joints.typical.si()
            });
            beside_v += least_a * joints.fold(f64::INFINITY, f64::min);
        } else {
            beside_v += oriented(case.volts[*at], *forward).low.max(0.0);
        }
    }
    let posts_v = case.volts[ways.supply].high;
    let limit_v = match held.demand {
        Demand::Drop { limit_v, .. } => limit_v,
        Demand::Starter { needs_v, .. } => posts_v - needs_v - beside_v,
        Demand::Coil { drop_out_v, .. } => posts_v - drop_out_v - beside_v,
    };
    // Loops on the way lose something too; it is left out.
    (is_drop || ways.feed.loose.is_empty()).then_some((amps, limit_v))
}
