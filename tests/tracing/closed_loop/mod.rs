//! The closed loop: hidden faults in every example circuit, an oracle that
//! shows what such a boat would show, evidence with noise, and the tracing
//! asked for its next test until one class has nine in ten, 45 minutes are
//! over, or no test is left.
//!
//! `AMPKEEL_LOOP_CASES=100 cargo test --release --test main closed_loop -- --nocapture`
//! prints the figures of a hundred faults a circuit and every miss;
//! `AMPKEEL_LOOP_FILE=marl` takes one circuit, `AMPKEEL_LOOP_SEED` other faults,
//! `AMPKEEL_LOOP_TOOL_ALONE=1` leaves the baselines out.
//! A few of each are held in every run.
//!
//! # The oracle
//! It shares nothing with the tracing but the circuit and the steady solver: a
//! fault, a test and a meter are changes to parts and wires of the circuit
//! (`boat`, `harm`). The real boat differs from its file: every wire's length
//! and copper by up to a quarter, one fuse in ten of a neighbouring rating,
//! motors, loads, holders, contacts and the battery by factors of their own
//! (`boat::skew`), fuses by another law (`fuse_law`). Hit rates of looks and
//! tugs, what an owner calls dead, how he rounds times and where he slips are
//! its own too (`owner`, `trying`).
//!
//! # Hidden faults
//! A complaint's column of `trace-priors` gives the cause, its places share it
//! (wire by length, joints and parts alike), degrees are drawn evenly on a
//! logarithmic scale. What shows nothing, or makes another complaint, is drawn
//! again and counted. Faults that no meter separates count as one (`classes`);
//! the line `Strict` of the figures is the tool with the finer of two meters.
//!
//! # The other ways
//! Both have the same engine for the odds. `Order` is the trade's table of
//! tests top down, each at the likeliest place where it needs one. `Half` takes
//! of the dozen tests on offer the one whose likeliest outcome is least likely,
//! whatever it takes.
//!
//! # Limits
//! Single faults. Steady faults: nothing that comes and goes. A test always
//! succeeds in its usual time.
#![allow(
    clippy::too_many_lines,
    clippy::struct_excessive_bools,
    clippy::type_complexity,
    clippy::unused_self,
    reason = "the trade's table is one list, a case's marks are flags"
)]

mod boat;
mod classes;
mod dice;
mod figures;
mod fuse_law;
mod harm;
mod owner;
mod places;
mod searching;
mod shown;
mod trying;

use ampkeel::circuit::Circuit;
use ampkeel::reading::read;
use ampkeel::span::CircuitText;
use ampkeel::tables::tracing::{WeightColumn, cause_weights};
use ampkeel::tracing::{Cause, Evidence, Tracer};
use boat::Boat;
use classes::Classes;
use dice::Dice;
use figures::{Case, report};
use harm::Hidden;
use owner::{NoCase, Owner, Walk};
use places::{Place, Places};
use searching::{Found, Held, Way, search};
use shown::Playing;
use std::collections::BTreeMap;
use trying::Bench;

/// How often each complaint is drawn: after the counts of proved repairs (34
/// with a fuse, 34 dead or weak, 3 drains) and nine reversals.
const COLUMNS: [(WeightColumn, f64); 4] = [
    (WeightColumn::FuseOpens, 34.0),
    (WeightColumn::DeadOrWeak, 34.0),
    (WeightColumn::Drain, 3.0),
    (WeightColumn::Reversed, 3.0),
];
/// Tries until a complaint is given up in a circuit that cannot make it.
const TRIES: usize = 400;

fn asked(name: &str) -> Option<u64> {
    std::env::var(name).ok().and_then(|text| text.parse().ok())
}

/// The ways to search: all, or the tool's alone where nothing is compared.
fn ways() -> Vec<Way> {
    if asked("AMPKEEL_LOOP_TOOL_ALONE").is_some() {
        return vec![Way::Tool];
    }
    Way::ALL.to_vec()
}

/// Every example circuit: name and text.
fn files() -> Vec<(String, Circuit)> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("circuits");
    let only = std::env::var("AMPKEEL_LOOP_FILE").unwrap_or_default();
    let mut all = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path
            .file_stem()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned();
        if path.extension().is_some_and(|ending| ending == "toml") && name.contains(&only) {
            let text = std::fs::read_to_string(&path).unwrap();
            let circuit = read(&CircuitText::new(name.clone(), text)).circuit.unwrap();
            all.push((name, circuit));
        }
    }
    all.sort_by(|a, b| a.0.cmp(&b.0));
    all
}

/// A circuit with its places and classes, for complaints about fuses and others.
struct Yard {
    name: String,
    circuit: &'static Circuit,
    places: [Vec<Place>; 2],
    classes: [Classes; 2],
    turned_down: BTreeMap<NoCase, usize>,
}

/// A case before anyone looks for it.
struct Hiding {
    sound: Playing,
    now: Playing,
    walk: Walk,
    hidden: Hidden,
    told: Evidence,
    opens: bool,
}

impl Yard {
    fn new(name: String, circuit: Circuit) -> Self {
        let circuit: &'static Circuit = Box::leak(Box::new(circuit));
        Self {
            name,
            places: [Places::of(circuit, false), Places::of(circuit, true)],
            classes: [Classes::of(circuit, false), Classes::of(circuit, true)],
            circuit,
            turned_down: BTreeMap::new(),
        }
    }

    /// A sound boat of this drawing: no fuse opens, every state has a solution.
    fn boat(&self, dice: &mut Dice) -> Playing {
        let file = Boat::of_file(self.circuit);
        for attempt in 0..40 {
            let mut boat = Boat::drawn(self.circuit, dice);
            if attempt > 20 {
                for (fuse, as_written) in boat.fuses.iter_mut().zip(&file.fuses) {
                    fuse.as_in_file(as_written);
                }
            }
            let playing = Playing::new(boat);
            let sound = (0..self.circuit.states.len())
                .filter(|state| !self.circuit.states[*state].is_what_if())
                .all(|state| {
                    playing
                        .see(state)
                        .is_some_and(|seen| seen.opened.is_empty())
                });
            if sound {
                return playing;
            }
        }
        Playing::new(file)
    }

    fn hide(&mut self, column: WeightColumn, dice: &mut Dice) -> Option<Hiding> {
        let opens = column == WeightColumn::FuseOpens;
        let weights = cause_weights(column).unwrap().value;
        for _ in 0..TRIES {
            let names: Vec<f64> = weights.iter().map(|(_, weight)| *weight).collect();
            let cause = Cause::from_word(weights[dice.weighted(&names)].0);
            let places: Vec<&Place> = self.places[usize::from(opens)]
                .iter()
                .filter(|place| Some(place.cause) == cause)
                .collect();
            let shares: Vec<f64> = places.iter().map(|place| place.weight).collect();
            let Some(place) = places.get(dice.weighted(&shares)) else {
                continue;
            };
            let sound = self.boat(dice);
            let rating_a: Vec<f64> = sound.boat.fuses.iter().map(|fuse| fuse.rating_a).collect();
            let hidden = place.draw(&rating_a, dice);
            let now = Playing::new(hidden.in_boat(&sound.boat));
            let walk = Walk::of(&now, &sound);
            let owner = Owner {
                circuit: self.circuit,
                now: &now,
                walk: &walk,
                hidden: &hidden,
            };
            match owner.tells(column, dice) {
                Ok(told) => {
                    return Some(Hiding {
                        sound,
                        now,
                        walk,
                        hidden,
                        told,
                        opens,
                    });
                }
                Err(why) => *self.turned_down.entry(why).or_default() += 1,
            }
        }
        None
    }

    fn judge(&mut self, hiding: &Hiding, way: Way, found: Found) -> figures::Result {
        let truth = (hiding.hidden.cause, hiding.hidden.subject.clone());
        let classes = &mut self.classes[usize::from(hiding.opens)];
        let mut is_truth = |held: &Held| {
            held.members.contains(&truth)
                || held
                    .members
                    .iter()
                    .any(|key| classes.same(key, &truth, way.rule()))
        };
        let mut sum = 0.0;
        let mut in_set = false;
        for held in &found.last {
            if sum < 0.9 {
                in_set |= is_truth(held);
            }
            sum += held.odds;
        }
        let right = found.last.first().is_some_and(&mut is_truth);
        let right_at_first = found.first.first().is_some_and(&mut is_truth);
        let truth_odds = found
            .last
            .iter()
            .filter(|held| is_truth(held))
            .map(|held| held.odds)
            .sum();
        figures::Result {
            named: found.last.first().is_some_and(|held| held.key == truth),
            right,
            in_set,
            right_at_first,
            truth_odds,
            found,
        }
    }

    fn case(&mut self, column: WeightColumn, seed: u64) -> Option<Case> {
        let mut dice = Dice::new(seed);
        let hiding = self.hide(column, &mut dice)?;
        let mut results = BTreeMap::new();
        for way in ways() {
            let mut tracer = Tracer::new(self.circuit, hiding.told.complaint, &[]).unwrap();
            let bench = Bench {
                circuit: self.circuit,
                now: &hiding.now,
                sound: &hiding.sound,
                walk: &hiding.walk,
                hidden: &hiding.hidden,
            };
            let classes = &mut self.classes[usize::from(hiding.opens)];
            let found = search(
                way,
                &mut tracer,
                &hiding.told,
                &bench,
                classes,
                &mut Dice::new(seed ^ 0x5eed),
            );
            results.insert(way, self.judge(&hiding, way, found));
        }
        Some(Case {
            circuit: self.name.clone(),
            complaint: hiding.told.complaint.word(),
            truth: format!(
                "{} {} {:?}",
                hiding.hidden.cause.word(),
                hiding.hidden.subject,
                hiding.hidden.harm
            ),
            cause: hiding.hidden.cause.word(),
            told: told_in_words(self.circuit, &hiding.told),
            results,
        })
    }
}

fn told_in_words(circuit: &Circuit, told: &Evidence) -> String {
    let parts = |ids: &[ampkeel::circuit::PartId]| -> Vec<String> {
        ids.iter()
            .map(|id| circuit.part(*id).name.clone())
            .collect()
    };
    let states = |ids: &[usize]| -> Vec<String> {
        ids.iter()
            .map(|id| circuit.states[*id].name.clone())
            .collect()
    };
    let fuse = told.fuse.map(|fuse| {
        let all = ampkeel::circuit::zones::fuses(circuit);
        ampkeel::circuit::zones::fuse_name(circuit, all[fuse])
    });
    format!(
        "told: fuse {fuse:?} loads {:?} states {:?} fine {:?} after {:?} element {:?} dead {:?} works {:?} signs {:?} altered {:?}",
        parts(&told.loads),
        states(&told.states),
        states(&told.fine),
        told.opens_after.map(|after| after.typical),
        told.element,
        parts(&told.dead),
        parts(&told.works),
        told.signs,
        told.altered
    )
}

/// A seed of its own for every case of every circuit.
fn mixed(seed: u64, name: &str, at: u64) -> u64 {
    let start = seed.wrapping_mul(0x9e37_79b9_7f4a_7c15).wrapping_add(at);
    name.bytes().fold(start, |mix, byte| {
        (mix ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    })
}

/// Plays so many cases in every circuit.
#[allow(clippy::print_stdout, reason = "the figures of a run are its result")]
fn play(asked_for: Option<u64>) -> Vec<Case> {
    let seed = asked("AMPKEEL_LOOP_SEED").unwrap_or(1);
    let count = asked_for.unwrap_or(FEW);
    let mut cases = Vec::new();
    for (name, circuit) in files() {
        // Every run holds the small boats; the large ones take minutes.
        if asked_for.is_none() && circuit.wires.len() > SMALL {
            continue;
        }
        let mut yard = Yard::new(name, circuit);
        let mut dice = Dice::new(mixed(seed, &yard.name, u64::MAX));
        for at in 0..count {
            let weights: Vec<f64> = COLUMNS.iter().map(|(_, weight)| *weight).collect();
            let column = COLUMNS[dice.weighted(&weights)].0;
            let started = std::time::Instant::now();
            if let Some(case) = yard.case(column, mixed(seed, &yard.name, at)) {
                let tool = &case.results[&Way::Tool];
                if count > 10 {
                    let answers = &tool.found.answers_s;
                    println!(
                        "{} {at}: {} {} in {:.0} min; {:.1} s, of which {:.2} s an answer, {:.2} s the longest later one",
                        case.circuit,
                        case.truth,
                        if tool.right { "found" } else { "MISSED" },
                        tool.found.minutes,
                        started.elapsed().as_secs_f64(),
                        answers.iter().sum::<f64>() / answers.len() as f64,
                        answers[1..].iter().copied().fold(0.0, f64::max)
                    );
                }
                if !tool.right && count > 2 {
                    println!("{}", figures::story(&case));
                }
                cases.push(case);
            }
        }
        println!("{}: drawn again {:?}", yard.name, yard.turned_down);
    }
    cases
}

/// Faults a small circuit in every run.
const FEW: u64 = 3;
/// Wires of a small circuit.
const SMALL: usize = 30;

/// Plays and prints.
#[allow(clippy::print_stdout, reason = "the figures of a run are its result")]
fn show() -> Vec<Case> {
    let cases = play(asked("AMPKEEL_LOOP_CASES"));
    println!("{}", report(&cases));
    cases
}

/// The whole program, for whoever runs it outside the tests.
#[allow(dead_code, reason = "the test runs it itself")]
pub(super) fn run() {
    show();
}

#[test]
fn hidden_faults_are_found_by_asking_for_the_next_test() {
    let cases = show();
    let all: Vec<&Case> = cases.iter().collect();
    let tool = figures::line(&all, Way::Tool);
    assert!(tool.cases > 0);
    assert!(
        tool.right_pct > 25.0,
        "the true class is first in {:.0} %",
        tool.right_pct
    );
}
