//! Volts lost between battery and loads, with the loads on.

use super::SPECIMENS;
use crate::bench::chance;
use crate::bench::preparation::tagged;
use crate::bench::rig::{Rig, read};
use crate::bench::steps::{Jack, Logged, Reading, Step, Unit};
use crate::bench::{Draws, Refused};
use crate::circuit::zones::{FuseId, Zones};
use crate::circuit::{Circuit, ContactPosition, Device, PartId, State, SwitchKind, TerminalId};
use crate::devices::Resolved;
use crate::quantities::Volts;
use crate::solving::{Ladder, StateSolution, states};
use crate::tables::OutOfTable;
use crate::tables::drops::service_limit;
use crate::tables::readings::bench_limit;
use std::collections::BTreeMap;

/// Current from which a drop can be read, amperes.
const LEAST_A: f64 = 0.1;
/// Volts a meter's millivolt range goes up to.
const MILLIVOLTS_TO_V: f64 = 0.2;

/// A load to test, in the state it is tested in.
struct Tested {
    part: String,
    state: String,
}

/// One step a state, with the loads that are best tested in it.
pub(super) fn steps(
    circuit: &Circuit,
    resolved: &Resolved,
    solved: &[StateSolution],
    behind: Option<&[FuseId]>,
    rig: &Rig,
    draws: &mut Draws,
) -> Result<Vec<Step>, Refused> {
    let tested = tested(circuit, solved, behind);
    if tested.is_empty() {
        return Ok(Vec::new());
    }
    let samples = sampled(circuit, resolved, &tested, draws)?;
    let mut steps = Vec::new();
    for state in &circuit.states {
        let mut here = tested
            .iter()
            .filter(|one| one.state == state.name)
            .peekable();
        if here.peek().is_none() {
            continue;
        }
        let Some(found) = solved.iter().find(|found| found.name == state.name) else {
            continue;
        };
        let mut step = opening(circuit, state, found)?;
        for one in here {
            for side in [Side::Feed, Side::Return] {
                let Some(middle) = found.ladders.get(&one.part).map(|ladder| side.lost(ladder))
                else {
                    continue;
                };
                let sample = samples.get(&(one.part.clone(), side)).into_iter().flatten();
                let read_v = sample.map(|volts| {
                    let error = if volts.abs() < MILLIVOLTS_TO_V {
                        &rig.millivolts_error
                    } else {
                        &rig.volts_error
                    };
                    read(draws, error, *volts)
                });
                let band = chance::range(read_v.collect(), middle);
                let quantity = format!("`{}`, {}", one.part, side.words());
                step = step.expect(Reading {
                    logged: lost(circuit, found, &one.part, side),
                    ..Reading::computed(&quantity, band, Unit::Volts)
                });
            }
        }
        steps.push(step);
    }
    Ok(steps)
}

/// Feed or return.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Side {
    Feed,
    Return,
}

impl Side {
    fn lost(self, ladder: &Ladder) -> f64 {
        let rungs = match self {
            Self::Feed => &ladder.feed,
            Self::Return => &ladder.back,
        };
        rungs.iter().map(|rung| rung.drop_v).sum()
    }

    const fn words(self) -> &'static str {
        match self {
            Self::Feed => "plus post to its plus",
            Self::Return => "its minus to the minus post",
        }
    }
}

/// Between which terminals the volts of one side are lost: the posts of the
/// supply that feeds the load, and the load's own ends as they lie in the state.
fn lost(circuit: &Circuit, found: &StateSolution, load: &str, side: Side) -> Option<Logged> {
    let supply = &found.ladders.get(load)?.supply;
    let supply = circuit.part(circuit.find(supply)?);
    let post = |name: &str| {
        let mut all = supply.terminals.iter();
        all.find(|terminal| circuit.terminal(**terminal).name == name)
            .copied()
    };
    let part = circuit.part(circuit.find(load)?);
    let mut ends: Vec<(f64, TerminalId)> = part
        .terminals
        .iter()
        .filter_map(|terminal| {
            let volts = found.terminals_v.get(&circuit.terminal(*terminal).label);
            Some(((*volts?)?, *terminal))
        })
        .collect();
    ends.sort_by(|a, b| b.0.total_cmp(&a.0));
    let (at, to) = match side {
        Side::Feed => (post("plus")?, ends.first()?.1),
        Side::Return => (ends.last()?.1, post("minus")?),
    };
    Some(Logged::Lost {
        state: found.name.clone(),
        at,
        to,
    })
}

/// Each load with the state it draws most in, on the battery alone if it can.
fn tested(circuit: &Circuit, solved: &[StateSolution], behind: Option<&[FuseId]>) -> Vec<Tested> {
    let zones = Zones::of(circuit);
    let is_meant = |id: PartId| {
        let Some(fuses) = behind else {
            return true;
        };
        let terminals = &circuit.part(id).terminals;
        terminals
            .iter()
            .any(|t| zones.before_terminal(*t).any(|fuse| fuses.contains(&fuse)))
    };
    let charges = |name: &str| {
        let state = circuit.states.iter().find(|state| state.name == name);
        state.is_some_and(|state| !state.charging.is_empty())
    };
    let meant = circuit.part_ids().filter(|id| is_meant(*id));
    meant
        .filter_map(|id| {
            let part = &circuit.part(id).name;
            let on = solved
                .iter()
                .filter(|state| !state.what_if && state.ladders.contains_key(part))
                .map(|state| (state, state.drawn_a(part)))
                .filter(|(_, amps)| *amps >= LEAST_A);
            let best = on.max_by(|a, b| {
                let rank = |one: &(&StateSolution, f64)| (!charges(&one.0.name), one.1);
                let (a, b) = (rank(a), rank(b));
                a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
            })?;
            Some(Tested {
                part: part.clone(),
                state: best.0.name.clone(),
            })
        })
        .collect()
}

/// Volts lost on each side of each load, over whole circuits drawn anew.
fn sampled(
    circuit: &Circuit,
    resolved: &Resolved,
    tested: &[Tested],
    draws: &mut Draws,
) -> Result<BTreeMap<(String, Side), Vec<f64>>, Refused> {
    let mut samples: BTreeMap<(String, Side), Vec<f64>> = BTreeMap::new();
    for _ in 0..SPECIMENS {
        let one = resolved.specimen(&mut |band| draws.of(band));
        let found = states(circuit, &one)?;
        for load in tested {
            let state = found.iter().find(|state| state.name == load.state);
            let Some(ladder) = state.and_then(|state| state.ladders.get(&load.part)) else {
                continue;
            };
            for side in [Side::Feed, Side::Return] {
                let key = (load.part.clone(), side);
                samples.entry(key).or_default().push(side.lost(ladder));
            }
        }
    }
    Ok(samples)
}

/// Whether a starter turns in a state.
fn cranks(circuit: &Circuit, found: &StateSolution) -> bool {
    circuit.part_ids().any(|id| {
        let amps = found.drawn_a(&circuit.part(id).name);
        circuit.is_starter(id) && amps > 1.0
    })
}

/// Whether a trim motor moves the unit in a state.
fn runs_trim(circuit: &Circuit, found: &StateSolution) -> bool {
    circuit.parts.iter().any(|part| {
        let Device::Motor(motor) = &part.device else {
            return false;
        };
        let class = motor.class.as_ref();
        class.is_some_and(|class| class.value == "trim") && found.drawn_a(&part.name) > 1.0
    })
}

/// Whether a pump of the circuit moves fuel: it must not be run dry meanwhile.
fn has_fuel_pump(circuit: &Circuit) -> bool {
    circuit.parts.iter().any(|part| match &part.device {
        Device::Pump(spec) => spec.class.as_ref().is_none_or(|class| {
            class.value.ends_with("fuel pump") || class.value.ends_with("lift pump")
        }),
        _ => false,
    })
}

/// How a state is read, and the tags of its cautions.
pub(in crate::bench) struct Working {
    cranks: bool,
    pub how: &'static str,
    pub tags: Vec<&'static str>,
}

impl Working {
    pub(in crate::bench) fn of(circuit: &Circuit, state: &State, found: &StateSolution) -> Self {
        let cranks = cranks(circuit, found);
        let runs = !state.charging.is_empty();
        let mut tags = vec!["vapour", "amps-jack"];
        if has_fuel_pump(circuit) {
            tags.push("dry5");
        }
        if runs_trim(circuit, found) {
            tags.push("trim-drop");
        }
        let how = if cranks {
            tags.extend(["kill", "rotate", "starter-time", "high-volts", "no-bridge"]);
            "crank for 3 s a reading, ignition disabled"
        } else if runs {
            tags.extend([
                "kill",
                "water",
                "exhaust",
                "rotate",
                "battery-on",
                "high-volts",
            ]);
            "engine idling on water in neutral: what only gear or speed would switch on is left out"
        } else {
            "engine standing"
        };
        Self { cranks, how, tags }
    }
}

fn opening(circuit: &Circuit, state: &State, found: &StateSolution) -> Result<Step, OutOfTable> {
    let Working { cranks, how, tags } = Working::of(circuit, state, found);
    let limit = bench_limit("volts lost on one side of a load, a fault from")?.value;
    let limit = Volts::new(limit.high.unwrap_or(0.5));
    let mut step = Step::new(format!(
        "Minus on last, fuses in. State `{}`{}, {how}, loads plugged in and on: for each load the volts lost on its way there and on its way back, probes slipped in from behind its plug, never through the insulation.",
        state.name,
        set_words(circuit, state)
    ))
    .cautions(tagged(&tags)?)
    .meter(Jack::Millivolts)
    .meter(Jack::Volts)
    .outside(format!(
        "more: move one probe along, joint by joint, until the volts jump: there it is (`ampkeel solve` lists the way); {limit} on one side is a fault by any rule, also where the wires drawn let you expect as much"
    ))
    .outside("next to nothing with the load dead: the load, or an open way on the other side, where then the whole battery shows");
    if cranks {
        let plus = service_limit("plus side, cranking, starter-tester manual")?.value;
        let minus = service_limit("ground side, cranking, starter-tester manual")?.value;
        step = step.outside(format!(
            "the starter: over {} on its plus side or {} on its ground side while cranking",
            Volts::new(plus),
            Volts::new(minus)
        ));
    }
    Ok(step)
}

/// How the hand-worked contacts stand: ` (key at run, float closed)`.
fn set_words(circuit: &Circuit, state: &State) -> String {
    let words: Vec<String> = state
        .contacts
        .iter()
        .filter_map(|(id, position)| {
            let part = circuit.part(*id);
            let Device::Switch(switch) = &part.device else {
                return None;
            };
            match (&switch.kind, position) {
                (SwitchKind::Selector { positions }, ContactPosition::Selector { position }) => {
                    let name = &positions.get(*position)?.0;
                    Some(format!("`{}` at `{name}`", part.name))
                }
                (SwitchKind::Simple { normally_closed }, ContactPosition::Simple { closed })
                    if closed != normally_closed =>
                {
                    let word = if *closed { "closed" } else { "open" };
                    Some(format!("`{}` {word}", part.name))
                }
                _ => None,
            }
        })
        .collect();
    if words.is_empty() {
        String::new()
    } else {
        format!(" ({})", words.join(", "))
    }
}
