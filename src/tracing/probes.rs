//! Tests that may be done next in a circuit.

use super::evidence::{Complaint, Evidence, Figure, Quantity, Spot, TestKind};
use super::groups::Group;
use super::next::Probe;
use super::scene::Scene;
use super::suspect::Site;
use super::warnings::{cranks, engine_runs};
use super::weighing::{Trial, states_of, usual_state};
use crate::circuit::{Device, PartId, TerminalId};
use crate::devices::{LoadShape, Model};
use crate::quantities::Band;
use crate::solving::Role;
use std::collections::BTreeSet;

/// Places whose joints are worth a look of their own.
const PLACES: usize = 10;
/// Seconds that a reading needs.
const LASTS_S: f64 = 3.0;

/// Every test worth weighing, done ones left out.
pub(super) fn probes(scene: &Scene<'_>, evidence: &Evidence, groups: &[Group]) -> Vec<Probe> {
    let Some(state) = usual_state(scene, evidence) else {
        return Vec::new();
    };
    let mut all = Vec::new();
    at_places(scene, groups, state, &mut all);
    match evidence.complaint {
        Complaint::FuseOpens => for_fuse(scene, evidence, state, &mut all),
        Complaint::Drain => for_drain(scene, &mut all),
        _ => for_load(scene, evidence, state, &mut all),
    }
    let mut once: Vec<Probe> = Vec::new();
    for probe in all {
        if !is_done(scene, evidence, &probe) && !once.contains(&probe) {
            once.push(probe);
        }
    }
    once
}

fn is_done(scene: &Scene<'_>, evidence: &Evidence, probe: &Probe) -> bool {
    match probe {
        Probe::Trial(trial) => evidence
            .tests
            .iter()
            .any(|done| done.test == trial.test && done.at == trial.at),
        Probe::Reading(figure) => {
            // Volts of a battery are those at its plus post.
            let same = |read: &Figure| match read.at {
                Spot::Part(part) if read.quantity == Quantity::Volts && read.to.is_none() => {
                    let plus = scene.frame.circuit.part(part).terminals.first();
                    let at = plus.map_or(read.at, |plus| Spot::Terminal(*plus));
                    Figure { at, ..read.clone() }.is_like(figure)
                }
                _ => read.is_like(figure),
            };
            evidence.figures.iter().any(same)
        }
    }
}

/// Looks, tugs and wiggles where the likeliest faults sit.
fn at_places(scene: &Scene<'_>, groups: &[Group], state: usize, all: &mut Vec<Probe>) {
    for group in groups.iter().take(PLACES) {
        let at = spot(group.site);
        for test in [TestKind::Look, TestKind::Tug, TestKind::Wiggle] {
            all.push(Probe::Trial(Trial { test, at, state }));
        }
        if let Site::Part(part) = group.site {
            all.extend(by_itself(scene, part, state));
        }
    }
}

/// How a part is tested by itself, if it is: on a battery's leads what is made to run
/// on them, by its own bench procedure what would be harmed or would harm.
fn by_itself(scene: &Scene<'_>, part: PartId, state: usize) -> Option<Probe> {
    let test = match (
        &scene.frame.circuit.part(part).device,
        scene.frame.resolved.part(part),
    ) {
        (Device::Pump(_), _) => TestKind::Direct,
        (Device::Load(_), Model::Load(load)) => match load.shape {
            LoadShape::Lamp { .. } | LoadShape::Resistance(_) => TestKind::Direct,
            LoadShape::Power(_) | LoadShape::Current(_) => return None,
        },
        (
            Device::Motor(_)
            | Device::Relay(_)
            | Device::Switch(_)
            | Device::Charger(_)
            | Device::Battery(_)
            | Device::Diode(_)
            | Device::Solenoid(_),
            _,
        ) => TestKind::Bench,
        _ => return None,
    };
    let at = Spot::Part(part);
    Some(Probe::Trial(Trial { test, at, state }))
}

fn spot(site: Site) -> Spot {
    match site {
        Site::Wire(wire) => Spot::Wire(wire),
        Site::Part(part) => Spot::Part(part),
        Site::Fuse(fuse) => Spot::Fuse(fuse),
        Site::Terminal(end) => Spot::Terminal(end),
    }
}

fn relays(scene: &Scene<'_>, state: usize, tests: &[TestKind], all: &mut Vec<Probe>) {
    let circuit = scene.frame.circuit;
    for part in circuit.part_ids() {
        // A starter's solenoid has no twin and is never bridged by hand.
        let plain = matches!(&circuit.part(part).device, Device::Relay(relay)
            if relay.class.as_ref().is_none_or(|class| !class.value.contains("solenoid")));
        if plain {
            for test in tests {
                all.push(Probe::Trial(Trial {
                    test: *test,
                    at: Spot::Part(part),
                    state,
                }));
            }
        }
    }
}

fn figure(at: Spot, quantity: Quantity, state: Option<usize>) -> Figure {
    Figure {
        at,
        to: None,
        quantity,
        value: Band {
            low: 0.0,
            typical: 0.0,
            high: 0.0,
        },
        state,
        unplugged: Vec::new(),
    }
}

fn for_fuse(scene: &Scene<'_>, evidence: &Evidence, state: usize, all: &mut Vec<Probe>) {
    let circuit = scene.frame.circuit;
    let trial = |test, at| Probe::Trial(Trial { test, at, state });
    if let Some(fuse) = evidence.fuse {
        all.push(trial(TestKind::Lamp, Spot::Fuse(fuse)));
        // Switches as when it opens: an open one would hide what lies behind it.
        let plugged_in = figure(Spot::Fuse(fuse), Quantity::Ohms, Some(state));
        let mut bare = plugged_in.clone();
        all.push(Probe::Reading(plugged_in));
        bare.unplugged = circuit
            .part_ids()
            .filter(|part| super::plain::is_load(scene.frame.resolved.part(*part)))
            .collect();
        all.push(Probe::Reading(bare));
        for part in circuit.part_ids() {
            let load = super::plain::is_load(scene.frame.resolved.part(part));
            let opens = matches!(
                circuit.part(part).device,
                Device::Plug(_) | Device::Relay(_) | Device::Charger(_)
            );
            if load || opens {
                all.push(trial(TestKind::Unplug, Spot::Part(part)));
            }
        }
    }
    // A clamp needs time: only where the fuse lasts.
    if evidence
        .opens_after
        .is_some_and(|took| took.typical > LASTS_S)
    {
        for at in 0..scene.frame.fuses.len() {
            all.push(Probe::Reading(figure(
                Spot::Fuse(at),
                Quantity::Amps,
                Some(state),
            )));
        }
        battery_posts(scene, state, all);
    }
}

fn battery_posts(scene: &Scene<'_>, state: usize, all: &mut Vec<Probe>) {
    let circuit = scene.frame.circuit;
    for part in &circuit.parts {
        if matches!(part.device, Device::Battery(_)) {
            let post = Spot::Terminal(part.terminals[0]);
            all.push(Probe::Reading(figure(post, Quantity::Volts, Some(state))));
        }
    }
}

fn for_drain(scene: &Scene<'_>, all: &mut Vec<Probe>) {
    let off = scene.off();
    for at in 0..scene.frame.fuses.len() {
        all.push(Probe::Reading(figure(
            Spot::Fuse(at),
            Quantity::Amps,
            Some(off),
        )));
    }
    for part in scene.frame.circuit.part_ids() {
        if matches!(
            scene.frame.resolved.part(part),
            Model::Charger(_) | Model::Relay(_)
        ) || super::plain::is_load(scene.frame.resolved.part(part))
        {
            all.push(Probe::Trial(Trial {
                test: TestKind::Unplug,
                at: Spot::Part(part),
                state: off,
            }));
        }
    }
    battery_posts(scene, off, all);
    volts_at_ends(scene, off, all);
}

/// Volts at every terminal that a probe reaches.
fn volts_at_ends(scene: &Scene<'_>, state: usize, all: &mut Vec<Probe>) {
    for end in probed(scene) {
        let end = Spot::Terminal(end);
        all.push(Probe::Reading(figure(end, Quantity::Volts, Some(state))));
    }
}

/// Another state in which a load that is in trouble should run, where nobody
/// said in which it does not: up works and down is dead. Not with the engine
/// turning: nobody probes beside a flywheel for a question that can be asked.
fn other_state(scene: &Scene<'_>, evidence: &Evidence, state: usize) -> Option<usize> {
    let part = evidence.loads.first()?;
    let turns = |state: usize| cranks(scene, state) || engine_runs(scene, state);
    let mut states = states_of(scene, evidence, *part).into_iter();
    states.find(|other| evidence.states.is_empty() && *other != state && !turns(*other))
}

fn for_load(scene: &Scene<'_>, evidence: &Evidence, state: usize, all: &mut Vec<Probe>) {
    volts_at_ends(scene, state, all);
    if let Some(other) = other_state(scene, evidence, state) {
        volts_at_ends(scene, other, all);
    }
    for at in 0..scene.frame.fuses.len() {
        all.push(Probe::Reading(figure(
            Spot::Fuse(at),
            Quantity::Amps,
            Some(state),
        )));
        for test in [TestKind::NewFuse, TestKind::Continuity] {
            all.push(Probe::Trial(Trial {
                test,
                at: Spot::Fuse(at),
                state,
            }));
        }
    }
    relays(scene, state, &[TestKind::Swap, TestKind::Bridge], all);
    for part in evidence.loads.iter().chain(&evidence.dead) {
        all.extend(by_itself(scene, *part, state));
    }
}

/// Terminals that a probe reaches: ends of wires.
fn probed(scene: &Scene<'_>) -> BTreeSet<TerminalId> {
    let circuit = scene.frame.circuit;
    let ends = circuit.wires.iter().flat_map(|wire| [wire.from, wire.to]);
    let switch_like = |end: &TerminalId| {
        let part = circuit.terminal(*end).part;
        !scene
            .frame
            .of_part(part)
            .any(|at| matches!(scene.frame.net.roles[at], Role::Join))
    };
    ends.filter(switch_like).collect()
}
