//! What a test would show under each suspect, and what came of it.

use super::complaint::{called_drain, opens, real, states_of};
use super::new_fuse::new_fuse;
use super::{Item, above};
use crate::circuit::PartId;
use crate::solving::Role;
use crate::tracing::cause::Cause as C;
use crate::tracing::evidence::{Complaint, Done, Evidence, Spot, TestKind};
use crate::tracing::frame::{absent, ohms};
use crate::tracing::scene::Scene;
use crate::tracing::simulate::{Changes, Rules};
use crate::tracing::sites::{is_inside, sits_at};
use crate::tracing::suspect::Suspect;
use crate::tracing::warnings::engine_runs;
use crate::tracing::weighing::lamps::lamp;
use crate::tracing::weighing::notices::spot_name;

/// What a test would show: its outcomes in words, and their odds under each
/// of the suspects asked for.
#[derive(Debug, Clone)]
pub(in crate::tracing) struct Outcomes {
    /// Outcomes in the words of a log.
    pub words: Vec<&'static str>,
    /// Odds of each outcome, one list a suspect.
    pub odds: Vec<Vec<f64>>,
}

/// A test that may be done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Trial {
    /// What.
    pub test: TestKind,
    /// On what.
    pub at: Spot,
    /// In which state.
    pub state: usize,
}

impl Trial {
    /// A lamp in a fuse's holder.
    pub(in crate::tracing) fn lamp_for(fuse: usize, state: usize) -> Self {
        Self {
            test: TestKind::Lamp,
            at: Spot::Fuse(fuse),
            state,
        }
    }
}

/// How often a look or a tug finds what is there, and what is not.
const FOUND: f64 = 0.65;
const IMAGINED: f64 = 0.04;
/// How often a test on the whole part tells right.
const SURE: f64 = 0.95;

/// The item of a test that was done; none where its outcome says nothing.
pub(super) fn item_of(words: &Outcomes, outcome: &str) -> Option<Vec<f64>> {
    let mut all = words.words.iter();
    let exactly = all.position(|word| *word == outcome);
    let like = || words.words.iter().position(|word| same(word, outcome));
    let column = exactly.or_else(like)?;
    Some(words.odds.iter().map(|odds| odds[column]).collect())
}

/// Words of an outcome that mean the same.
fn same(word: &str, outcome: &str) -> bool {
    let class = |word: &str| match word {
        "melted" | "corroded" | "loose" | "chafed" | "burnt" | "touching" | "bad" => 1,
        "good" | "firm" => 2,
        "cured" | "runs" | "holds" | "clears" => 3,
        "same" | "silent" | "opens" | "stays" => 4,
        "bright" => 5,
        "dim" => 6,
        "off" => 7,
        "changes" => 8,
        "beeps" => 9,
        "open" => 10,
        _ => 0,
    };
    word == outcome || (class(word) != 0 && class(word) == class(outcome))
}

/// A part that runs on a battery is good.
fn plain(done: &Done) -> &str {
    match (done.test, done.outcome.as_str()) {
        (TestKind::Bench | TestKind::Direct, "runs") => "good",
        (TestKind::Bench | TestKind::Direct, "silent") => "bad",
        (_, word) => word,
    }
}

pub(super) fn item_done(
    scene: &Scene<'_>,
    evidence: &Evidence,
    done: &Done,
    live: &[usize],
) -> Option<Item> {
    let state = done
        .state
        .or_else(|| usual_state(scene, evidence))
        .unwrap_or(0);
    let trial = Trial {
        test: done.test,
        at: done.at,
        state,
    };
    let odds = item_of(&outcomes(scene, evidence, &trial, live), plain(done))?;
    let mut all = vec![1.0; scene.suspects.len()];
    for (at, odds) in live.iter().zip(odds) {
        all[*at] = odds;
    }
    Some(super::item(
        format!(
            "{} at {}: {}",
            done.test.word(),
            spot_name(scene, done.at),
            done.outcome
        ),
        all.into_iter(),
    ))
}

/// The state in which the trouble shows. Where none is named: everything off for
/// a drain, else one in which the load is on, the quietest that serves for a fuse
/// that opens, and the busiest for what names no load.
pub(in crate::tracing) fn usual_state(scene: &Scene<'_>, evidence: &Evidence) -> Option<usize> {
    if let Some(state) = evidence.states.first() {
        return Some(*state);
    }
    if evidence.complaint == Complaint::Drain {
        return Some(scene.off());
    }
    let has_fuse = evidence.complaint == Complaint::FuseOpens;
    let dead = evidence.dead.first().filter(|_| !has_fuse);
    if let Some(part) = evidence.loads.first().or(dead) {
        return states_of(scene, evidence, *part).first().copied();
    }
    if let Some(quiet) = quiet_enough(scene, evidence) {
        return Some(quiet);
    }
    real(scene).max_by(|a, b| given(scene, *a).total_cmp(&given(scene, *b)))
}

fn given(scene: &Scene<'_>, state: usize) -> f64 {
    scene.battery_a(&scene.healthy[state])
}

/// Share of the suspects that open a fuse in some state, above which a quieter
/// one serves as well (judgement).
const SERVES: f64 = 0.75;

/// For a fuse that opens nobody knows when: the quietest state in which nearly
/// as many faults show as in any. Nobody searches a short while cranking.
fn quiet_enough(scene: &Scene<'_>, evidence: &Evidence) -> Option<usize> {
    if evidence.complaint != Complaint::FuseOpens {
        return None;
    }
    let opened = |state: usize| -> f64 {
        let all = scene.suspects.iter().zip(&scene.shown[state]);
        let of = all.filter(|(_, shown)| match evidence.fuse {
            Some(fuse) => shown.opened.first() == Some(&fuse),
            None => !shown.opened.is_empty(),
        });
        of.map(|(suspect, _)| suspect.weight).sum()
    };
    let shares: Vec<(usize, f64)> = real(scene).map(|state| (state, opened(state))).collect();
    let most = shares.iter().map(|(_, share)| *share).fold(0.0, f64::max);
    let serves = shares
        .iter()
        .filter(|(_, share)| *share > SERVES * most)
        .map(|(state, _)| *state);
    // Nobody searches beside an engine that runs either.
    let runs = |state: &usize| engine_runs(scene, *state);
    let draws = |state: &usize| given(scene, *state).abs();
    serves.min_by(|a, b| runs(a).cmp(&runs(b)).then(draws(a).total_cmp(&draws(b))))
}

/// What a test would show under each of `live`.
pub(in crate::tracing) fn outcomes(
    scene: &Scene<'_>,
    evidence: &Evidence,
    trial: &Trial,
    live: &[usize],
) -> Outcomes {
    let work = |new: &[usize]| worked_out(scene, evidence, trial, new);
    scene.memory.outcomes(trial, live, work)
}

fn worked_out(scene: &Scene<'_>, evidence: &Evidence, trial: &Trial, live: &[usize]) -> Outcomes {
    let yes_no = |words: [&'static str; 2], yes: &dyn Fn(usize) -> f64| Outcomes {
        words: words.to_vec(),
        odds: live
            .iter()
            .map(|at| {
                let yes = yes(*at).clamp(0.01, 0.99);
                vec![yes, 1.0 - yes]
            })
            .collect(),
    };
    let suspect = |at: usize| &scene.suspects[at];
    let there = |at: usize| sits_at(&scene.frame, suspect(at), trial.at);
    match trial.test {
        TestKind::Lamp => lamp(scene, trial, &Changes::new(), live),
        TestKind::Unplug => unplugged(scene, evidence, trial, live),
        TestKind::Swap => yes_no(["cured", "same"], &|at| {
            let inside = part_at(scene, trial.at).is_some_and(|part| is_inside(suspect(at), part));
            if inside { SURE } else { 0.04 }
        }),
        TestKind::Bridge => bridged(scene, evidence, trial, live),
        TestKind::Bench | TestKind::Direct => yes_no(["bad", "good"], &|at| {
            let inside = part_at(scene, trial.at).is_some_and(|part| is_inside(suspect(at), part));
            if inside { SURE } else { 0.04 }
        }),
        TestKind::Look | TestKind::Tug => yes_no(["bad", "good"], &|at| {
            if there(at) {
                seen(suspect(at), trial.test)
            } else {
                IMAGINED
            }
        }),
        TestKind::Clean => yes_no(["cured", "same"], &|at| {
            let joint = matches!(
                suspect(at).cause,
                C::HighResistanceJoint | C::BadGround | C::FuseHolder | C::Water | C::SneakPath
            );
            if joint && there(at) { 0.85 } else { 0.05 }
        }),
        TestKind::Wiggle => yes_no(["changes", "same"], &|at| {
            let loose = matches!(
                suspect(at).cause,
                C::ShortToGround
                    | C::OpenWire
                    | C::HighResistanceJoint
                    | C::BadGround
                    | C::FuseHolder
                    | C::SneakPath
                    | C::StopLine
            );
            if loose && there(at) { 0.45 } else { 0.03 }
        }),
        TestKind::NewFuse => new_fuse(scene, evidence, trial, live),
        TestKind::Continuity => yes_no(["open", "beeps"], &|at| {
            let open = match trial.at {
                // A fuse that is pulled says nothing of its holder.
                Spot::Fuse(fuse) => suspect(at).worn_out == Some(fuse),
                _ => there(at) && suspect(at).ohm.is_some_and(|ohm| ohm > 50.0),
            };
            if open {
                return SURE;
            }
            let blown = match trial.at {
                Spot::Fuse(fuse) => blows(scene, fuse, at),
                _ => 0.0,
            };
            0.03 + (SURE - 0.03) * blown
        }),
        TestKind::Jumper => yes_no(["cured", "same"], &|at| {
            let inside = !suspect(at).dulled.is_empty() || suspect(at).cause == C::BatteryWeak;
            if inside { 0.06 } else { 0.7 }
        }),
    }
}

pub(super) fn part_at(scene: &Scene<'_>, spot: Spot) -> Option<PartId> {
    match spot {
        Spot::Part(part) => Some(part),
        Spot::Terminal(end) => Some(scene.frame.circuit.terminal(end).part),
        Spot::Fuse(fuse) => Some(scene.frame.fuses[fuse].part),
        Spot::Wire(_) => None,
    }
}

/// How often a look or a tug finds a cause where it sits (judgement).
fn seen(suspect: &Suspect, test: TestKind) -> f64 {
    let cause = suspect.cause;
    let by_eye = match cause {
        // A fuse that a reversal opened looks like any that is open.
        C::ReversedPolarity if suspect.worn_out.is_some() => FOUND + 0.15,
        C::FuseHolder | C::Water | C::WrongFuse | C::TiredFuse | C::OverloadAdded => FOUND + 0.15,
        C::HighResistanceJoint
        | C::BadGround
        | C::SneakPath
        | C::ShortToGround
        | C::OpenWire
        | C::StopLine => FOUND - 0.15,
        // Plus on the minus post is seen by whoever looks.
        C::ReversedPolarity => 0.93,
        _ => 0.12,
    };
    let by_hand = match cause {
        C::HighResistanceJoint | C::BadGround | C::SneakPath | C::FuseHolder => FOUND,
        C::OpenWire => 0.5,
        _ => 0.06,
    };
    if test == TestKind::Tug {
        by_hand
    } else {
        by_eye
    }
}

/// With a part's or plug's connections pulled: does the trouble go?
fn unplugged(scene: &Scene<'_>, evidence: &Evidence, trial: &Trial, live: &[usize]) -> Outcomes {
    let words = vec!["clears", "stays"];
    let pulled = match trial.at {
        Spot::Wire(wire) => scene
            .frame
            .halves(wire)
            .into_iter()
            .flatten()
            .map(|at| (at, absent(crate::network::Law::HeatedConductor)))
            .collect(),
        spot => part_at(scene, spot).map_or_else(Changes::new, |part| scene.unplugging(part)),
    };
    let odds = match (evidence.complaint, evidence.fuse) {
        (Complaint::FuseOpens, Some(fuse)) => {
            let plugged_in = Trial::lamp_for(fuse, trial.state);
            let before = outcomes(scene, evidence, &plugged_in, live);
            let after = lamp(scene, &plugged_in, &pulled, live);
            let pairs = before.odds.iter().zip(&after.odds);
            pairs
                .map(|(before, after)| {
                    // It clears where a lamp that shone goes dim or dark.
                    let shone = before[0];
                    let gone = shone * (1.0 - after[0]);
                    (gone + 0.02).min(0.98)
                })
                .collect::<Vec<f64>>()
        }
        (Complaint::Drain, _) => {
            let off = scene.off();
            let shown = scene.again(off, live, &pulled, Rules::IN_USE);
            let before = live
                .iter()
                .map(|at| scene.battery_a(&scene.shown[off][*at]));
            before
                .zip(&shown)
                .map(|(before, after)| {
                    let share = scene.battery_a(after) / before.max(1e-3);
                    // Where nothing drains, nothing falls.
                    (called_drain(before) * (1.0 - share)).clamp(0.02, 0.98)
                })
                .collect()
        }
        _ => live
            .iter()
            .map(|at| {
                let there = sits_at(&scene.frame, &scene.suspects[*at], trial.at);
                if there { 0.5 } else { 0.05 }
            })
            .collect(),
    };
    Outcomes {
        words,
        odds: odds.into_iter().map(|yes| vec![yes, 1.0 - yes]).collect(),
    }
}

/// The relay bridged from 30 to 87: do the loads run?
fn bridged(scene: &Scene<'_>, evidence: &Evidence, trial: &Trial, live: &[usize]) -> Outcomes {
    let words = vec!["runs", "silent"];
    let make = part_at(scene, trial.at).and_then(|part| {
        let roles = &scene.frame.net.roles;
        roles.iter().position(|role| *role == Role::Make(part))
    });
    let (Some(make), Some(load)) = (make, evidence.loads.first().or(evidence.dead.first())) else {
        return Outcomes {
            words,
            odds: vec![vec![0.5, 0.5]; live.len()],
        };
    };
    let changes = vec![(make, ohms(0.02))];
    let shown = scene.again(trial.state, live, &changes, Rules::IN_USE);
    let odds = live.iter().zip(&shown).map(|(at, shown)| {
        let work = scene.work_shown(trial.state, &scene.suspects[*at], shown, *load);
        let runs = above(work, 0.45, 0.08).clamp(0.03, 0.97);
        vec![runs, 1.0 - runs]
    });
    Outcomes {
        words,
        odds: odds.collect(),
    }
}

/// Odds that a fault has opened a fuse in whatever state the boat was in.
fn blows(scene: &Scene<'_>, fuse: usize, suspect: usize) -> f64 {
    real(scene)
        .map(|state| opens(scene, Some(fuse), state, suspect))
        .fold(0.0, f64::max)
}
