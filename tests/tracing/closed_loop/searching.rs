//! The search: ask, choose a test, do it, until one class has nine in ten, the
//! time is over, or no test is left. Three ways to choose the test.

use super::classes::{Classes, Key, Rule};
use super::dice::Dice;
use super::trying::{Bench, unpluggable};
use ampkeel::circuit::zones::{Zones, fuses};
use ampkeel::circuit::{Circuit, Device, PartId, TerminalId};
use ampkeel::quantities::Band;

use ampkeel::tracing::{
    Answer, Complaint, Evidence, Figure, Probe, Quantity, Spot, TestKind, Tracer, Trial,
};
use std::time::Instant;

/// Minutes until the search is given up.
pub(super) const MINUTES: f64 = 45.0;
/// Odds that end it.
const ENOUGH: f64 = 0.9;
/// Causes that are held against each other at each step.
const HELD: f64 = 0.01;

/// How the next test is chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Way {
    /// The best of the tool.
    Tool,
    /// The same, held to what a good meter separates.
    Strict,
    /// The trade's fixed order, top down.
    Order,
    /// The test whose outcomes are most even, whatever it takes.
    Half,
}

impl Way {
    /// All of them, in the order of a report.
    pub(super) const ALL: [Self; 4] = [Self::Tool, Self::Strict, Self::Half, Self::Order];

    /// What counts as one.
    pub(super) const fn rule(self) -> Rule {
        match self {
            Self::Strict => Rule::Millivolts,
            _ => Rule::Slip,
        }
    }
}

/// A class with its odds.
#[derive(Debug, Clone)]
pub(super) struct Held {
    pub key: Key,
    pub members: Vec<Key>,
    pub odds: f64,
}

/// What came of a search.
#[derive(Debug, Clone)]
pub(super) struct Found {
    pub minutes: f64,
    pub decided: bool,
    pub first: Vec<Held>,
    pub last: Vec<Held>,
    pub steps: Vec<String>,
    /// Seconds that the tracing took for each answer.
    pub answers_s: Vec<f64>,
}

/// Classes of an answer, likeliest first.
fn held(answer: &Answer, classes: &mut Classes, rule: Rule) -> Vec<Held> {
    let mut all: Vec<Held> = Vec::new();
    for cause in &answer.causes {
        let key = (cause.cause, cause.subject.clone());
        let own = all.iter().position(|held| {
            held.odds > HELD && cause.probability > HELD && classes.same(&held.key, &key, rule)
        });
        match own {
            Some(own) => {
                all[own].odds += cause.probability;
                all[own].members.push(key);
            }
            None => all.push(Held {
                members: vec![key.clone()],
                key,
                odds: cause.probability,
            }),
        }
    }
    all.sort_by(|a, b| b.odds.total_cmp(&a.odds));
    all
}

/// Searches from what the owner told.
pub(super) fn search(
    way: Way,
    tracer: &mut Tracer<'_>,
    told: &Evidence,
    bench: &Bench<'_>,
    classes: &mut Classes,
    dice: &mut Dice,
) -> Found {
    let mut evidence = told.clone();
    let mut answers_s = Vec::new();
    let mut ask = |evidence: &Evidence| {
        let started = Instant::now();
        let answer = tracer.answer(evidence).expect("an answer");
        answers_s.push(started.elapsed().as_secs_f64());
        answer
    };
    let mut answer = ask(&evidence);
    let first = held(&answer, classes, way.rule());
    let mut found = Found {
        minutes: 0.0,
        decided: false,
        last: first.clone(),
        first,
        steps: Vec::new(),
        answers_s: Vec::new(),
    };
    let mut order = Order::default();
    loop {
        if found.last.first().is_some_and(|top| top.odds >= ENOUGH) {
            found.decided = true;
            break;
        }
        let step = match way {
            Way::Tool | Way::Strict => chosen(&answer, MINUTES - found.minutes, |_| 0.0),
            Way::Half => chosen(&answer, MINUTES - found.minutes, unevenness),
            Way::Order => order.next(&answer, &evidence, bench.circuit, MINUTES - found.minutes),
        };
        let Some((probes, minutes)) = step else {
            break;
        };
        for probe in &probes {
            let outcome = bench.perform(probe, &mut evidence, dice);
            found
                .steps
                .push(format!("{} -> {outcome}", told_probe(bench.circuit, probe)));
        }
        found.minutes += minutes;
        answer = ask(&evidence);
        found.last = held(&answer, classes, way.rule());
    }
    found.answers_s = answers_s;
    found
}

/// The first of the tests on offer that fits, by a badness.
fn chosen(
    answer: &Answer,
    left: f64,
    bad: impl Fn(&ampkeel::tracing::NextTest) -> f64,
) -> Option<(Vec<Probe>, f64)> {
    let fit = answer.next_tests.iter().filter(|test| test.minutes <= left);
    let best = fit.min_by(|a, b| bad(a).total_cmp(&bad(b)));
    best.map(|test| (vec![test.probe.clone()], test.minutes))
}

/// Odds of the likeliest outcome: a half at best for two of them.
fn unevenness(test: &ampkeel::tracing::NextTest) -> f64 {
    test.outcomes
        .iter()
        .map(|outcome| outcome.probability)
        .fold(0.0, f64::max)
}

/// A probe in short.
fn told_probe(circuit: &Circuit, probe: &Probe) -> String {
    let at = |spot: Spot| match spot {
        Spot::Terminal(end) => circuit.terminal(end).label.clone(),
        Spot::Part(part) => circuit.part(part).name.clone(),
        Spot::Fuse(fuse) => ampkeel::circuit::zones::fuse_name(circuit, fuses(circuit)[fuse]),
        Spot::Wire(wire) => circuit.wire_label(&circuit.wires[wire]),
    };
    match probe {
        Probe::Trial(trial) => format!("{} {}", trial.test.word(), at(trial.at)),
        Probe::Reading(figure) => {
            let bare = if figure.unplugged.is_empty() {
                ""
            } else {
                " bare"
            };
            format!("{}{bare} {}", figure.quantity.word(), at(figure.at))
        }
    }
}

/// Where the trade's fixed order stands.
#[derive(Default)]
struct Order {
    row: usize,
    unplugged: Vec<PartId>,
    looked: Vec<Spot>,
    probed: Vec<TerminalId>,
}

impl Order {
    /// The next row of the table that applies and fits. Rows are those of the
    /// trade's table of tests; a row that needs a place takes the likeliest.
    fn next(
        &mut self,
        answer: &Answer,
        evidence: &Evidence,
        circuit: &Circuit,
        left: f64,
    ) -> Option<(Vec<Probe>, f64)> {
        // 1, asking, is done. The rest: 2 look, 3 tug, 4 battery, 5 lamp, 6 unplug,
        // 7 split, 8 one by one, 9 ohms, 10 wiggle, 11 swap, 12 bridge, 13 volts,
        // 14 amperes, 15 direct, 16 diodes, 17 drain; then 2 and 13 again, further on.
        const ROWS: [u8; 24] = [
            2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 2, 13, 2, 13, 2, 13, 2, 13,
        ];
        while let Some(row) = ROWS.get(self.row) {
            self.row += 1;
            let (probes, minutes) = self.row(*row, answer, evidence, circuit);
            if !probes.is_empty() && minutes <= left {
                return Some((probes, minutes));
            }
        }
        None
    }

    fn row(
        &mut self,
        row: u8,
        answer: &Answer,
        evidence: &Evidence,
        circuit: &Circuit,
    ) -> (Vec<Probe>, f64) {
        let opens = evidence.complaint == Complaint::FuseOpens;
        let drain = evidence.complaint == Complaint::Drain;
        let load = evidence.loads.first().or(evidence.dead.first()).copied();
        let state = state_of(circuit, evidence, load);
        let trial = |test, at| Probe::Trial(Trial { test, at, state });
        let volts = |end| Probe::Reading(figure(Spot::Terminal(end), Quantity::Volts, Some(state)));
        let fuse = evidence
            .fuse
            .or_else(|| load.and_then(|load| fuse_before(circuit, load)));
        let battery = circuit
            .part_ids()
            .find(|part| matches!(circuit.part(*part).device, Device::Battery(_)));
        match row {
            2 => {
                let at = if self.looked.is_empty() {
                    fuse.map(Spot::Fuse)
                } else {
                    likeliest(answer, circuit)
                        .into_iter()
                        .find(|spot| !self.looked.contains(spot))
                };
                let Some(at) = at else {
                    return (Vec::new(), 3.0);
                };
                self.looked.push(at);
                (vec![trial(TestKind::Look, at)], 3.0)
            }
            3 => (
                battery
                    .map(|part| trial(TestKind::Tug, Spot::Part(part)))
                    .into_iter()
                    .collect(),
                3.0,
            ),
            4 => {
                let post = battery.map(|part| circuit.part(part).terminals[0]);
                (post.map(volts).into_iter().collect(), 5.0)
            }
            5 if opens => (
                fuse.map(|fuse| trial(TestKind::Lamp, Spot::Fuse(fuse)))
                    .into_iter()
                    .collect(),
                5.0,
            ),
            6 if opens || drain => {
                let part = likeliest(answer, circuit)
                    .into_iter()
                    .find_map(|spot| match spot {
                        Spot::Part(part) if unpluggable(circuit).contains(&part) => Some(part),
                        _ => None,
                    });
                self.unplugged.extend(part);
                (
                    part.map(|part| trial(TestKind::Unplug, Spot::Part(part)))
                        .into_iter()
                        .collect(),
                    5.0,
                )
            }
            7 if opens => {
                let plug = circuit
                    .part_ids()
                    .find(|part| matches!(circuit.part(*part).device, Device::Plug(_)));
                (
                    plug.map(|part| trial(TestKind::Unplug, Spot::Part(part)))
                        .into_iter()
                        .collect(),
                    10.0,
                )
            }
            8 if opens => {
                let loads = unpluggable(circuit).into_iter().filter(|part| {
                    !matches!(
                        circuit.part(*part).device,
                        Device::Plug(_) | Device::Relay(_)
                    ) && !self.unplugged.contains(part)
                });
                (
                    loads
                        .map(|part| trial(TestKind::Unplug, Spot::Part(part)))
                        .collect(),
                    22.0,
                )
            }
            9 if opens => {
                let at = Spot::Fuse(fuse.unwrap_or(0));
                let mut bare = figure(at, Quantity::Ohms, Some(state));
                bare.unplugged = unpluggable(circuit)
                    .into_iter()
                    .filter(|part| {
                        !matches!(
                            circuit.part(*part).device,
                            Device::Plug(_) | Device::Relay(_) | Device::Charger(_)
                        )
                    })
                    .collect();
                (
                    fuse.map(|_| Probe::Reading(bare)).into_iter().collect(),
                    10.0,
                )
            }
            10 if !drain => {
                let at = likeliest(answer, circuit)
                    .into_iter()
                    .find(|spot| !matches!(spot, Spot::Part(_)));
                (
                    at.map(|at| trial(TestKind::Wiggle, at))
                        .into_iter()
                        .collect(),
                    10.0,
                )
            }
            11 | 12 if !opens && !drain => {
                let relay = likeliest(answer, circuit)
                    .into_iter()
                    .find_map(|spot| match spot {
                        Spot::Part(part) if is_plain_relay(circuit, part) => Some(part),
                        _ => None,
                    });
                let relay = relay.or_else(|| {
                    circuit
                        .part_ids()
                        .find(|part| is_plain_relay(circuit, *part))
                        .filter(|_| row == 11)
                });
                let (test, minutes) = if row == 11 {
                    (TestKind::Swap, 2.0)
                } else {
                    (TestKind::Bridge, 5.0)
                };
                (
                    relay
                        .map(|part| trial(test, Spot::Part(part)))
                        .into_iter()
                        .collect(),
                    minutes,
                )
            }
            13 if !opens && !drain => (self.volts(answer, circuit, load, &volts), 10.0),
            14 if !drain => {
                let amps = fuse.map(|fuse| {
                    Probe::Reading(figure(Spot::Fuse(fuse), Quantity::Amps, Some(state)))
                });
                (amps.into_iter().collect(), 5.0)
            }
            15 if !opens && !drain => (
                load.map(|load| trial(TestKind::Direct, Spot::Part(load)))
                    .into_iter()
                    .collect(),
                10.0,
            ),
            16 => {
                let charger = circuit
                    .part_ids()
                    .find(|part| matches!(circuit.part(*part).device, Device::Charger(_)));
                (
                    charger
                        .map(|part| trial(TestKind::Bench, Spot::Part(part)))
                        .into_iter()
                        .collect(),
                    10.0,
                )
            }
            17 if drain => {
                let off = quietest(circuit);
                let all = 0..fuses(circuit).len();
                let amps =
                    all.map(|at| Probe::Reading(figure(Spot::Fuse(at), Quantity::Amps, Some(off))));
                (amps.collect(), 15.0)
            }
            _ => (Vec::new(), 0.0),
        }
    }

    /// Both sides at the load's plug; then the likeliest ends not yet probed.
    fn volts(
        &mut self,
        answer: &Answer,
        circuit: &Circuit,
        load: Option<PartId>,
        volts: &dyn Fn(TerminalId) -> Probe,
    ) -> Vec<Probe> {
        let ends: Vec<TerminalId> = match load {
            Some(load) if self.probed.is_empty() => {
                let t = &circuit.part(load).terminals;
                vec![t[0], t[t.len() - 1]]
            }
            _ => likeliest(answer, circuit)
                .into_iter()
                .flat_map(|spot| match spot {
                    Spot::Wire(wire) => vec![circuit.wires[wire].from, circuit.wires[wire].to],
                    Spot::Part(part) => circuit.part(part).terminals.clone(),
                    Spot::Terminal(end) => vec![end],
                    Spot::Fuse(fuse) => {
                        let ends =
                            ampkeel::circuit::zones::fuse_terminals(circuit, fuses(circuit)[fuse]);
                        vec![ends.0, ends.1]
                    }
                })
                .filter(|end| !self.probed.contains(end))
                .take(2)
                .collect(),
        };
        self.probed.extend(&ends);
        ends.into_iter().map(volts).collect()
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

/// Places of the causes, likeliest first.
fn likeliest(answer: &Answer, circuit: &Circuit) -> Vec<Spot> {
    let mut all = Vec::new();
    for cause in &answer.causes {
        let subject = &cause.subject;
        let wire = circuit
            .wires
            .iter()
            .position(|wire| circuit.wire_label(wire) == *subject);
        let fuse = fuses(circuit)
            .iter()
            .position(|id| ampkeel::circuit::zones::fuse_name(circuit, *id) == *subject);
        let spot = wire
            .map(Spot::Wire)
            .or(fuse.map(Spot::Fuse))
            .or(circuit.find(subject).map(Spot::Part));
        if let Some(spot) = spot
            && !all.contains(&spot)
        {
            all.push(spot);
        }
    }
    all
}

fn is_plain_relay(circuit: &Circuit, part: PartId) -> bool {
    matches!(&circuit.part(part).device, Device::Relay(relay)
        if relay.class.as_ref().is_none_or(|class| !class.value.contains("solenoid")))
}

fn fuse_before(circuit: &Circuit, load: PartId) -> Option<usize> {
    let zones = Zones::of(circuit);
    let before = circuit
        .part(load)
        .terminals
        .iter()
        .find_map(|end| zones.before_terminal(*end).next())?;
    fuses(circuit).iter().position(|id| *id == before)
}

/// The state in which the trouble shows: as told, else one named after nothing
/// off, the first in which the load might run.
fn state_of(circuit: &Circuit, evidence: &Evidence, load: Option<PartId>) -> usize {
    if let Some(state) = evidence.states.first() {
        return *state;
    }
    if evidence.complaint == Complaint::Drain {
        return quietest(circuit);
    }
    let solved = ampkeel::solving::solve(circuit);
    let (Some(load), Ok(solved)) = (load, solved) else {
        return 0;
    };
    let name = &circuit.part(load).name;
    let runs = |state: &ampkeel::solving::StateSolution| {
        let reading = state.parts.get(name);
        !state.what_if
            && reading
                .and_then(|one| one.current_a)
                .is_some_and(|amps| amps.abs() > 1e-3)
    };
    let found = solved.states.iter().find(|state| runs(state));
    found
        .and_then(|found| {
            circuit
                .states
                .iter()
                .position(|state| state.name == found.name)
        })
        .unwrap_or(0)
}

/// The state in which the sound boat takes least.
fn quietest(circuit: &Circuit) -> usize {
    let Ok(solved) = ampkeel::solving::solve(circuit) else {
        return 0;
    };
    let amps = |name: &str| {
        let state = solved.states.iter().find(|state| state.name == name);
        state.map_or(f64::INFINITY, |state| {
            state.batteries.values().map(|one| one.current_a).sum()
        })
    };
    let all = 0..circuit.states.len();
    let quiet = all
        .min_by(|a, b| amps(&circuit.states[*a].name).total_cmp(&amps(&circuit.states[*b].name)));
    quiet.unwrap_or(0)
}
