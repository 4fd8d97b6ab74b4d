//! The complaint itself, when it shows and when not, what is dead and what works.

use super::{Item, RARE_SLIP, SLIP, above, firm, item};
use crate::circuit::PartId;
use crate::circuit::zones::fuse_name;
use crate::devices::Model;
use crate::tracing::cause::Cause;
use crate::tracing::evidence::{Complaint, Evidence};
use crate::tracing::opening::{Threat, WATCHED_S, normal};
use crate::tracing::scene::Scene;

/// Odds that something else is dead beside a fuse that opens, for reasons of
/// its own (judgement).
const ALSO_DEAD: f64 = 0.12;
/// How much a state that was passed on the way counts as one where it held.
const PASSED: f64 = 0.6;
/// How often somebody calls a load dead who has not looked at its fuse (judgement).
const UNLOOKED: f64 = 0.3;
/// Amperes from the battery that pop, smoke and melt (judgement).
const MELTS_A: f64 = 150.0;
/// How often a motor that runs by itself is told as a drain alone (judgement).
const UNHEARD: f64 = 0.2;
/// Amperes of a motor that nobody overhears: trim and starter (judgement).
const LOUD_A: f64 = 8.0;
/// Amperes from the battery at rest that are a drain (common practice: 50 mA).
const DRAIN_A: f64 = 0.05;

/// Odds that a load is called dead, weak, working, by what it does.
pub(super) fn called_dead(work: f64) -> f64 {
    1.0 - above(work, 0.25, 0.06)
}

pub(super) fn called_working(work: f64) -> f64 {
    above(work, 0.8, 0.06)
}

pub(super) fn called_weak(work: f64) -> f64 {
    (1.0 - called_dead(work) - called_working(work)).max(0.0)
}

/// Odds that a current from the battery at rest is called a drain.
pub(super) fn called_drain(amps: f64) -> f64 {
    above(amps.max(1e-4).ln(), DRAIN_A.ln(), 0.4)
}

/// States of use.
pub(super) fn real<'a>(scene: &'a Scene<'_>) -> impl Iterator<Item = usize> + 'a {
    (0..scene.healthy.len()).filter(|at| !scene.frame.circuit.states[*at].is_what_if())
}

pub(super) fn items(scene: &Scene<'_>, evidence: &Evidence) -> Vec<Item> {
    let mut items = match evidence.complaint {
        Complaint::FuseOpens => fuse_opens(scene, evidence),
        Complaint::Drain => vec![drain(scene)],
        _ => Vec::new(),
    };
    if evidence.complaint != Complaint::FuseOpens && evidence.complaint != Complaint::Drain {
        items.push(unlooked(scene, evidence));
    }
    let weak = evidence.complaint == Complaint::LoadWeak;
    for part in &evidence.loads {
        items.push(load(scene, evidence, *part, weak));
        if evidence.complaint != Complaint::FuseOpens {
            items.extend(elsewhere(scene, evidence, *part));
        }
    }
    for part in &evidence.dead {
        let mut item = load(scene, evidence, *part, false);
        if evidence.complaint == Complaint::FuseOpens {
            // A battery run down by the fault leaves more dead than the fault.
            for ln in &mut item.ln {
                *ln = ln.max(ALSO_DEAD.ln());
            }
        }
        items.push(item);
    }
    items.extend(
        evidence
            .works
            .iter()
            .map(|part| works(scene, evidence, *part)),
    );
    items
}

/// States that a load is judged in: those named, else those in which it is on.
pub(in crate::tracing) fn states_of(
    scene: &Scene<'_>,
    evidence: &Evidence,
    part: PartId,
) -> Vec<usize> {
    let on: Vec<usize> = real(scene).filter(|at| scene.is_on(*at, part)).collect();
    let named: Vec<usize> = evidence
        .states
        .iter()
        .copied()
        .filter(|at| on.contains(at))
        .collect();
    if named.is_empty() { on } else { named }
}

fn mean(values: impl Iterator<Item = f64>) -> f64 {
    let (sum, count) = values.fold((0.0, 0.0), |(sum, count), value| (sum + value, count + 1.0));
    if count > 0.0 { sum / count } else { 0.0 }
}

fn name(scene: &Scene<'_>, part: PartId) -> String {
    format!("`{}`", scene.frame.circuit.part(part).name)
}

fn load(scene: &Scene<'_>, evidence: &Evidence, part: PartId, weak: bool) -> Item {
    let states = states_of(scene, evidence, part);
    let word = if weak { "weak" } else { "dead" };
    // What is complained of is surer than what is said to be dead beside it.
    let is_complaint = evidence.loads.contains(&part);
    let slip = if is_complaint { RARE_SLIP } else { SLIP };
    let odds = |suspect: usize| {
        mean(states.iter().map(|state| {
            let work = scene.work(*state, suspect, part);
            if weak {
                called_weak(work)
            } else {
                called_dead(work)
            }
        }))
    };
    firm(
        format!("{} is {word}", name(scene, part)),
        slip,
        (0..scene.suspects.len()).map(odds),
    )
}

fn works(scene: &Scene<'_>, evidence: &Evidence, part: PartId) -> Item {
    let states = states_of(scene, evidence, part);
    let odds = |suspect: usize| {
        mean(
            states
                .iter()
                .map(|state| called_working(scene.work(*state, suspect, part))),
        )
    };
    item(
        format!("{} works", name(scene, part)),
        (0..scene.suspects.len()).map(odds),
    )
}

/// States in which the load is said to be fine.
fn elsewhere(scene: &Scene<'_>, evidence: &Evidence, part: PartId) -> Option<Item> {
    let fine: Vec<usize> = evidence
        .fine
        .iter()
        .copied()
        .filter(|at| scene.is_on(*at, part))
        .collect();
    if fine.is_empty() {
        return None;
    }
    let odds = |suspect: usize| {
        mean(
            fine.iter()
                .map(|state| called_working(scene.work(*state, suspect, part))),
        )
    };
    Some(item(
        format!(
            "{} is fine in {}",
            name(scene, part),
            states_in_words(scene, &fine)
        ),
        (0..scene.suspects.len()).map(odds),
    ))
}

/// Whoever finds a load dead mostly looks at its fuse first.
fn unlooked(scene: &Scene<'_>, evidence: &Evidence) -> Item {
    let told = evidence.fuse.is_some();
    let odds = |suspect: usize| {
        let opens = scene
            .shown
            .iter()
            .any(|state| !state[suspect].opened.is_empty());
        if opens && !told { UNLOOKED } else { 1.0 }
    };
    item(
        "no fuse was said to open".to_owned(),
        (0..scene.suspects.len()).map(odds),
    )
}

pub(in crate::tracing) fn states_in_words(scene: &Scene<'_>, states: &[usize]) -> String {
    let names: Vec<String> = states
        .iter()
        .map(|at| format!("`{}`", scene.frame.circuit.states[*at].name))
        .collect();
    names.join(", ")
}

/// Odds that the fuse complained of opens in a state; any fuse where none is named.
pub(super) fn opens(scene: &Scene<'_>, fuse: Option<usize>, state: usize, suspect: usize) -> f64 {
    let threats = scene.threats(state, suspect);
    if threats.is_empty() {
        return 0.0;
    }
    if let Some(fuse) = fuse {
        return Threat::opens_first(&threats, fuse);
    }
    // No fuse named: one opens, or a wire melts with none before it.
    let any = threats
        .iter()
        .map(|threat| threat.opens)
        .fold(0.0, f64::max);
    let battery_a = scene.first_battery_a(state, suspect).max(1e-3);
    any.max(above(battery_a.ln(), MELTS_A.ln(), 0.3))
}

fn fuse_opens(scene: &Scene<'_>, evidence: &Evidence) -> Vec<Item> {
    let circuit = scene.frame.circuit;
    let count = scene.suspects.len();
    let what = evidence.fuse.map_or_else(
        || "a fuse".to_owned(),
        |fuse| format!("`{}`", fuse_name(circuit, scene.frame.fuses[fuse])),
    );
    let table: Vec<Vec<f64>> = (0..circuit.states.len())
        .map(|state| {
            (0..count)
                .map(|suspect| opens(scene, evidence.fuse, state, suspect))
                .collect()
        })
        .collect();
    let mut items = Vec::new();
    if evidence.states.is_empty() {
        let odds = |suspect: usize| {
            real(scene)
                .map(|state| table[state][suspect])
                .fold(0.0, f64::max)
        };
        items.push(firm(
            format!("{what} opens"),
            RARE_SLIP,
            (0..count).map(odds),
        ));
    } else {
        let odds = |suspect: usize| mean(evidence.states.iter().map(|s| table[*s][suspect]));
        let states = states_in_words(scene, &evidence.states);
        items.push(firm(
            format!("{what} opens in {states}"),
            RARE_SLIP,
            (0..count).map(odds),
        ));
    }
    if !evidence.fine.is_empty() {
        let odds = |suspect: usize| {
            let states = evidence.fine.iter();
            states.map(|s| 1.0 - table[*s][suspect]).product::<f64>()
        };
        let states = states_in_words(scene, &evidence.fine);
        items.push(item(format!("it holds in {states}"), (0..count).map(odds)));
    }
    items.extend(passed(scene, evidence, &table));
    items.extend(time_it_took(scene, evidence));
    items
}

/// States passed on the way to the first that shows it, and not mentioned.
fn passed(scene: &Scene<'_>, evidence: &Evidence, table: &[Vec<f64>]) -> Option<Item> {
    let first = *evidence.states.iter().min()?;
    let passed: Vec<usize> = (0..first)
        .filter(|at| !evidence.fine.contains(at) && !scene.frame.circuit.states[*at].is_what_if())
        .collect();
    if passed.is_empty() {
        return None;
    }
    let odds = |suspect: usize| {
        let states = passed.iter();
        states
            .map(|s| 1.0 - PASSED * table[*s][suspect])
            .product::<f64>()
    };
    Some(item(
        format!("nothing is said of {}", states_in_words(scene, &passed)),
        (0..scene.suspects.len()).map(odds),
    ))
}

fn time_it_took(scene: &Scene<'_>, evidence: &Evidence) -> Vec<Item> {
    let Some(fuse) = evidence.fuse else {
        return Vec::new();
    };
    let states: Vec<usize> = if evidence.states.is_empty() {
        (0..scene.healthy.len()).collect()
    } else {
        evidence.states.clone()
    };
    let best = |suspect: usize| {
        let threats = states
            .iter()
            .filter_map(|state| scene.threats(*state, suspect).get(fuse).copied());
        threats.max_by(|a, b| a.multiple.total_cmp(&b.multiple))
    };
    let mut items = Vec::new();
    let all = 0..scene.suspects.len();
    if let Some(took) = evidence.opens_after {
        let odds = |suspect: usize| {
            // Nobody times less than half a second.
            best(suspect).map_or(0.0, |threat| {
                let at = Threat {
                    middle_s: threat.middle_s.max(0.5),
                    ..threat
                };
                at.at_time(took.typical.max(0.5)) * threat.opens
            })
        };
        items.push(firm(
            format!("it opens after about {:.1} s", took.typical),
            RARE_SLIP,
            all.clone().map(odds),
        ));
    }
    if let Some(held) = evidence.holds_for {
        let odds = |suspect: usize| {
            best(suspect).map_or(1.0, |threat| {
                let by_then =
                    normal((held.min(WATCHED_S).ln() - threat.middle_s.ln()) / threat.spread);
                1.0 - threat.opens * by_then
            })
        };
        items.push(item(format!("it held for {held:.0} s"), all.map(odds)));
    }
    items
}

/// Whether a loud motor turns that should rest.
fn runs_by_itself(scene: &Scene<'_>, state: usize, suspect: usize) -> bool {
    let circuit = scene.frame.circuit;
    let mut motors = circuit.part_ids().filter(|part| {
        matches!(scene.frame.resolved.part(*part), Model::Motor(_)) && !scene.is_on(state, *part)
    });
    motors.any(|part| scene.part_a(&scene.shown[state][suspect], part) > LOUD_A)
}

fn drain(scene: &Scene<'_>) -> Item {
    let off = scene.off();
    let odds = |suspect: usize| {
        if scene.suspects[suspect].cause == Cause::BatteryWeak {
            return 0.5;
        }
        let shown = &scene.shown[off][suspect];
        let heard = if runs_by_itself(scene, off, suspect) {
            UNHEARD
        } else {
            1.0
        };
        heard * called_drain(scene.battery_a(shown))
    };
    firm(
        "the battery drains with everything off".to_owned(),
        RARE_SLIP,
        (0..scene.suspects.len()).map(odds),
    )
}
