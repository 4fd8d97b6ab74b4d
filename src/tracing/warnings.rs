//! Cautions of a tracing: of the whole job, and of each step.

use super::evidence::{Complaint, Evidence, Quantity, TestKind};
use super::next::Probe;
use super::scene::Scene;
use crate::tables::OutOfTable;
use crate::tables::cautions::{Caution, caution, cautions_for};

/// Cautions of the whole job.
pub(super) fn cautions(scene: &Scene<'_>, evidence: &Evidence) -> Result<Vec<Caution>, OutOfTable> {
    let mut all = cautions_for("tracing");
    let fuel = scene.frame.circuit.boat.fuel.map(|given| given.value);
    if fuel != Some(crate::circuit::Fuel::Diesel) {
        all.push(caution("vapour")?);
    }
    if evidence.complaint == Complaint::Reversed {
        all.push(caution("polarity")?);
    }
    let mut once: Vec<Caution> = Vec::new();
    for one in all {
        if !once.contains(&one) {
            once.push(one);
        }
    }
    Ok(once)
}

pub(super) fn step_cautions(
    scene: &Scene<'_>,
    probe: &Probe,
    state: Option<usize>,
) -> Result<Vec<Caution>, OutOfTable> {
    let mut tags: Vec<&str> = Vec::new();
    match probe {
        Probe::Trial(trial) => match trial.test {
            TestKind::Lamp => tags.extend(["lamp-hot", "fuse-never"]),
            TestKind::Unplug => tags.extend(["lamp-hot", "relieve"]),
            TestKind::Bridge => tags.extend(["no-bridge", "fuse-lead"]),
            TestKind::Direct | TestKind::Bench => {
                tags.extend(["vapour", "switch-far", "far-battery", "time10", "fuse-lead"]);
            }
            TestKind::Tug | TestKind::Clean => tags.extend(["neg-first", "short"]),
            TestKind::NewFuse => tags.extend(["fuse-never"]),
            _ => {}
        },
        Probe::Reading(figure) => match figure.quantity {
            Quantity::Ohms => tags.extend(["neg-first", "amps-jack"]),
            _ => tags.extend(["vapour", "amps-jack"]),
        },
    }
    if state.is_some_and(|state| cranks(scene, state)) {
        tags.extend(["kill", "rotate", "starter-time"]);
    }
    tags.into_iter().map(caution).collect()
}

/// Whether an engine runs in a state: it charges then.
pub(super) fn engine_runs(scene: &Scene<'_>, state: usize) -> bool {
    !scene.frame.circuit.states[state].charging.is_empty()
}

/// Whether a starter turns in a state of the sound circuit.
pub(super) fn cranks(scene: &Scene<'_>, state: usize) -> bool {
    let circuit = scene.frame.circuit;
    circuit
        .part_ids()
        .any(|part| circuit.is_starter(part) && scene.is_on(state, part))
}
