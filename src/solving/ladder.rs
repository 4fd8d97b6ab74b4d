//! The ladder of a load: where the volts go, joint by joint, feed and return.
//!
//! From the load the way is followed against the current, always along the
//! branch that carries most, until a post of the supply is reached.

use super::net::Role;
use super::solution::{Ladder, Rung, RungKind};
use super::view::View;
use crate::circuit::zones::fuse_name;
use crate::network::Parameters;
use std::collections::BTreeSet;

/// Current not worth following, amperes.
const LEAST_A: f64 = 1e-6;

/// Climbs from a load's branch to both posts of its supply.
pub(super) fn climb(view: &View<'_>, load: usize, supply: usize) -> Ladder {
    let branch = view.net.branches[load];
    let current_a = view.operated.point.currents_a[load];
    let (enters, leaves) = if current_a > 0.0 {
        (branch.from, branch.to)
    } else {
        (branch.to, branch.from)
    };
    let (part, posts) = view.supplies[supply];
    let rungs = |way: Vec<usize>, against| {
        way.into_iter()
            .flat_map(|index| steps(view, index, against))
            .collect()
    };
    let (taken, from) = way(view, enters, posts.plus, true);
    let mut feed: Vec<Rung> = rungs(taken, true);
    feed.reverse();
    // While an engine charges, its current comes from there, past the battery.
    let source = if from == posts.plus {
        part
    } else {
        view.circuit
            .terminals
            .get(from)
            .map_or(part, |end| end.part)
    };
    Ladder {
        supply: view.circuit.part(source).name.clone(),
        feed,
        back: rungs(way(view, leaves, posts.minus, false).0, false),
    }
}

/// The branches a load's current takes, feed and return.
pub(super) fn branches(view: &View<'_>, load: usize, supply: usize) -> Vec<usize> {
    let branch = view.net.branches[load];
    let posts = view.supplies[supply].1;
    let (mut all, _) = way(view, branch.from, posts.plus, true);
    all.extend(way(view, branch.to, posts.minus, false).0);
    all
}

/// Branches from a node to a post: against the current on the feed, with it on
/// the return; and the node where it ends.
fn way(view: &View<'_>, start: usize, post: usize, against: bool) -> (Vec<usize>, usize) {
    let mut taken = Vec::new();
    let mut at = start;
    let mut seen = BTreeSet::from([start]);
    while at != post {
        let Some((index, next)) = largest(view, at, against, &seen) else {
            break;
        };
        taken.push(index);
        seen.insert(next);
        at = next;
    }
    (taken, at)
}

/// The branch with most current into (`against`) or out of a node, and its other end.
fn largest(
    view: &View<'_>,
    at: usize,
    against: bool,
    seen: &BTreeSet<usize>,
) -> Option<(usize, usize)> {
    let mut best: Option<(f64, usize, usize)> = None;
    for (index, branch) in view.net.branches.iter().enumerate() {
        if matches!(view.net.roles[index], Role::Supply(_) | Role::Charger(_)) {
            continue;
        }
        let current_a = view.operated.point.currents_a[index];
        let (source, sink) = if current_a > 0.0 {
            (branch.from, branch.to)
        } else {
            (branch.to, branch.from)
        };
        let (here, other) = if against {
            (sink, source)
        } else {
            (source, sink)
        };
        if here != at || seen.contains(&other) || current_a.abs() < LEAST_A {
            continue;
        }
        if best.is_none_or(|(most, _, _)| current_a.abs() > most) {
            best = Some((current_a.abs(), index, other));
        }
    }
    best.map(|(_, index, other)| (index, other))
}

/// What a branch shows on the ladder: a wire is copper and joints apart.
fn steps(view: &View<'_>, index: usize, against: bool) -> Vec<Rung> {
    let current_a = view.operated.point.currents_a[index].abs();
    let volts = &view.operated.point.voltages_v;
    let branch = view.net.branches[index];
    let drop_v = (volts[branch.from] - volts[branch.to]).abs();
    let circuit = view.circuit;
    let name = |part| circuit.part(part).name.clone();
    let one = |kind: RungKind, what: String| {
        vec![Rung {
            kind,
            what,
            drop_v,
            current_a,
        }]
    };
    match view.net.roles[index] {
        Role::Wire(number) => {
            let wire = &circuit.wires[number];
            let joint_ohm = match view.operated.settings[index].parameters {
                Parameters::HeatedConductor(law) => law.r_joint_ohm,
                _ => 0.0,
            };
            let label = circuit.wire_label(wire);
            let joints_v = joint_ohm * current_a;
            let copper = format!("{label}, {} {}", wire.size.value, wire.length.value.typical);
            let mut rungs = vec![
                Rung {
                    kind: RungKind::Copper,
                    what: copper,
                    drop_v: (drop_v - joints_v).max(0.0),
                    current_a,
                },
                Rung {
                    kind: RungKind::WireEnds,
                    what: format!("joints at both ends of {label}"),
                    drop_v: joints_v,
                    current_a,
                },
            ];
            if against {
                rungs.reverse();
            }
            rungs
        }
        Role::Link(id) => one(
            RungKind::Fuse,
            format!("`{}` fuse and clips", fuse_name(circuit, id)),
        ),
        Role::Switch(part, ..) => one(RungKind::Contact, format!("`{}` switch", name(part))),
        Role::Make(part) => one(RungKind::Contact, format!("`{}` contact 30-87", name(part))),
        Role::Break(part) => one(
            RungKind::Contact,
            format!("`{}` contact 30-87a", name(part)),
        ),
        Role::Channel { part, .. } => one(RungKind::Contact, format!("`{}` channel", name(part))),
        Role::Diode(part) => one(RungKind::Contact, format!("`{}` diode", name(part))),
        Role::Pin(part) => one(RungKind::Contact, format!("`{}` pin", name(part))),
        Role::Join => one(RungKind::Contact, "bolted joint".to_owned()),
        Role::Load { part, .. }
        | Role::Coil(part)
        | Role::PullWinding(part)
        | Role::CoilDiode(part) => one(RungKind::Through, format!("through `{}`", name(part))),
        Role::Supply(part) | Role::Charger(part) => {
            one(RungKind::Through, format!("`{}`", name(part)))
        }
    }
}
