//! How light an admissible choice could be at best.
//!
//! A choice of sizes is admissible if, with the ratings of the answer, the full
//! solve and `protect` find nothing in it that the answer does not have, every
//! relay stands as in the answer, every load is fed, every battery that takes
//! charge with the file's sizes takes it, and no wire breaks a rule of its own.
//!
//! 1. [`envelope`]: ranges that hold every current of every admissible choice.
//! 2. [`least`]: with the low ends of these ranges each limit becomes linear in
//!    the ohms of the wires, and weaker. No admissible choice breaks the
//!    weaker limits, so the least copper under them ([`search`], itself exact or
//!    with a bound) is a bound for all of them.
//! 3. [`shave`]: sizes that no choice lighter than the answer can have are taken
//!    away. What is left holds every lighter admissible choice, so 1 and 2 are
//!    done again with what is left, whose ranges are narrower, until nothing
//!    changes.
//! 4. Where it is open whether a battery gives or takes in a state, the drops
//!    of its loads count from other posts in the one case and in the other. Both
//!    are gone through on their own; the lower bound of the two holds.
//! 5. [`rest`]: where few choices are left, each is put to the full judge,
//!    lightest first. The first that holds is the least there is; where none
//!    holds the answer is. Where too many are left, the lightest of them are
//!    tried and the bound rises to where the trying stopped.
//!
//! # Limits
//! In loops the weaker limits count nothing, and shorts and starts are no part
//! of them, so where these decide the bound stays low unless step 5 finishes.
//! Numbers are plain `f64` with room for rounding at every cut.

mod envelope;
mod frame;
mod least;
mod range;
mod rest;
mod routes;
mod shave;
mod worth;

pub(super) use frame::DRAWS_A;

use super::judge::Judge;
use super::needs::Needs;
use super::plan::Task;
use super::problem::{Limit, Problem};
use super::rounds::Settled;
use super::search::search;
use crate::circuit::{Circuit, PartId};
use crate::devices::{Model, resolve};
use crate::findings::Finding;
use crate::solving::{Demand, Role, SolveError, Workings, workings};
use crate::tables::OutOfTable;
use envelope::{Domain, Envelope, Given};
use frame::{Frame, Held};
use shave::{NOTHING, Priced};
use std::collections::{BTreeMap, BTreeSet};

/// What was proven.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Proof {
    /// Copper below which no admissible choice lies, kg, as the search counts it.
    pub bound_kg: f64,
    /// A lighter choice that holds, by place of each wire's size.
    pub lighter: Option<Vec<usize>>,
}

/// Rounds of ranges and shaving.
const MOST_ROUNDS: usize = 8;
/// Choices put to the full judge in a small circuit, and in a larger one.
const MOST_TRIALS: [usize; 2] = [1500, 250];
/// Wires up to which a circuit counts as small.
const SMALL: usize = 12;
/// Halvings of the stretch between bound and answer in search of a part of it
/// that can be tried whole.
const HALVINGS: usize = 6;
/// Envelopes of one state, at most.
const MOST_CASES: usize = 8;
/// Times that both cases of a battery are gone through on their own.
const MOST_SPLITS: usize = 3;
/// Current from which it matters whether a battery gives or takes, amperes.
const MATTERS_A: f64 = 1e-3;

/// A supply of a state taken to give, or not to.
#[derive(Debug, Clone, Copy)]
struct Sign {
    frame: usize,
    supply: usize,
    gives: bool,
}

/// What a round leaves.
struct Round {
    needs: Needs,
    domain: Domain,
    /// A supply of a state of which it is open if it gives.
    open: Option<(usize, usize)>,
}

/// Seeks the bound of an answer, and lighter answers.
///
/// # Errors
/// A figure that no table has.
pub(super) fn proven(
    task: &Task<'_>,
    settled: &Settled,
    judge: &Judge<'_>,
) -> Result<Proof, SolveError> {
    let case = Case::of(task, settled)?;
    match case.start()? {
        Some(domain) => case.prove(judge, &case.charging(), 0, domain),
        None => Ok(Proof {
            bound_kg: 0.0,
            lighter: None,
        }),
    }
}

fn limits(needs: &Needs) -> Vec<Limit> {
    let limit = |row: &super::needs::Row| Limit {
        ohms: row.ohms,
        amps: row.amps.clone(),
        most_v: row.limit_v,
    };
    needs.rows.iter().map(limit).collect()
}

/// Tries what is left, lightest first.
fn rest_of(
    judge: &Judge<'_>,
    priced: &Priced<'_>,
    bound_kg: f64,
    best_kg: f64,
) -> Result<Proof, SolveError> {
    let small = usize::from(priced.options.len() > SMALL);
    let most = MOST_TRIALS[small];
    let mut below_kg = best_kg * (1.0 - NOTHING);
    for _ in 0..=HALVINGS {
        let Some(left) = rest::lighter(priced, below_kg, most) else {
            below_kg = 0.5 * (bound_kg + below_kg);
            continue;
        };
        for (kg, places) in left {
            if judge.holds(&places)? {
                return Ok(Proof {
                    bound_kg: kg,
                    lighter: Some(places),
                });
            }
        }
        let whole = below_kg >= best_kg * (1.0 - 2.0 * NOTHING);
        return Ok(Proof {
            bound_kg: if whole { best_kg } else { bound_kg.max(below_kg) },
            lighter: None,
        });
    }
    Ok(Proof {
        bound_kg,
        lighter: None,
    })
}

/// Ohms of every switch's contact.
type Switches = BTreeMap<PartId, range::Range>;

/// What all rounds share.
struct Case<'a> {
    task: &'a Task<'a>,
    settled: &'a Settled,
    frames: Vec<Frame>,
    within_class: Vec<bool>,
}

impl<'a> Case<'a> {
    fn of(task: &'a Task<'a>, settled: &'a Settled) -> Result<Self, SolveError> {
        let circuit = &settled.circuit;
        let works = workings(circuit)?;
        let open: BTreeSet<&str> = settled
            .survey
            .solution
            .findings
            .iter()
            .filter(|finding| limits_volts(finding))
            .map(|finding| finding.subject.as_str())
            .collect();
        let hot: BTreeSet<&str> = settled
            .survey
            .solution
            .findings
            .iter()
            .filter(|finding| ["wire-above-ampacity", "wire-hot"].contains(&finding.code.name()))
            .map(|finding| finding.subject.as_str())
            .collect();
        let within_class = circuit.wires.iter().zip(task.choices).map(|(wire, of)| {
            !of.fixed && !hot.contains(circuit.wire_label(wire).as_str())
        });
        Ok(Self {
            within_class: within_class.collect(),
            frames: frames(circuit, settled, &works, &open),
            task,
            settled,
        })
    }

    fn given<'g>(&'g self, domain: &'g Domain, switches: &'g Switches) -> Given<'g> {
        Given {
            choices: self.task.choices,
            domain,
            basis: self.settled.circuit.limits.drop_basis,
            within_class: &self.within_class,
            switches,
        }
    }

    /// Contacts of switches with all wires at their thinnest, and thickest.
    fn switches(&self, domain: &Domain) -> Result<Switches, OutOfTable> {
        let mut found = Switches::new();
        let ends: [fn(&[usize]) -> Option<&usize>; 2] = [<[usize]>::first, <[usize]>::last];
        for end in ends {
            let places = domain.iter().map(|of| end(of).copied().unwrap_or(0));
            let places: Vec<usize> = places.collect();
            let sizes = self.task.sizes(&places);
            let circuit = self.task.applied(&sizes, &self.settled.plan.ratings);
            let resolved = resolve(&circuit)?;
            for part in circuit.part_ids() {
                if let Model::Switch(contact) = resolved.part(part) {
                    let one = range::Range::exactly(contact.typical.si());
                    let all = found.entry(part).or_insert(one);
                    *all = all.or(one);
                }
            }
        }
        Ok(found)
    }

    /// The batteries that have to take charge.
    fn charging(&self) -> Vec<Sign> {
        let mut signs = Vec::new();
        for (at, frame) in self.frames.iter().enumerate() {
            for &supply in &frame.supplies {
                let Role::Supply(part) = frame.branches[supply].role else {
                    continue;
                };
                let name = self.settled.circuit.part(part).name.clone();
                if self.task.charged.contains(&(frame.state.clone(), name)) {
                    signs.push(Sign {
                        frame: at,
                        supply,
                        gives: false,
                    });
                }
            }
        }
        signs
    }

    /// Every size that breaks no rule of its wire whatever the currents; none
    /// where a wire has no such size, so that the answer breaks one itself.
    fn start(&self) -> Result<Option<Domain>, OutOfTable> {
        let needs = least::none(&self.settled.circuit, &self.settled.needs);
        let (legal, _) = self.task.legal(&needs, &self.settled.plan.targets)?;
        // The answer's own sizes stay in, whatever they break.
        let with_own = legal
            .into_iter()
            .zip(&self.settled.plan.sizes)
            .map(|(mut places, own)| {
                places.extend(own.filter(|own| !places.contains(own)));
                places.sort_unstable();
                places
            });
        let domain: Domain = with_own.collect();
        Ok((!domain.iter().any(Vec::is_empty)).then_some(domain))
    }

    /// Seeks the bound of all choices with some sizes, the supplies as some
    /// signs have them.
    fn prove(
        &self,
        judge: &Judge<'_>,
        signs: &[Sign],
        splits: usize,
        mut domain: Domain,
    ) -> Result<Proof, SolveError> {
        let best_kg = self.task.cost_kg(&self.settled.plan.sizes);
        let most_kg = best_kg * (1.0 - NOTHING);
        let done = Proof {
            bound_kg: best_kg,
            lighter: None,
        };
        let mut bound_kg: f64 = 0.0;
        for last in (0..MOST_ROUNDS).rev() {
            let Some(round) = self.round(&domain, signs)? else {
                return Ok(done);
            };
            domain = round.domain;
            let options = self.task.options(&round.needs, &domain)?;
            let limits = limits(&round.needs);
            let problem = Problem::new(&options, &limits);
            let found = search(&problem);
            bound_kg = bound_kg.max(found.bound_kg);
            if bound_kg >= most_kg {
                return Ok(done);
            }
            let mut prices = vec![0.0; limits.len()];
            for (row, price) in problem.rows.iter().zip(&found.prices) {
                prices[*row] = *price;
            }
            let priced = Priced::new(&options, &limits, &prices);
            let shaved = priced.shave(&mut domain, most_kg);
            if domain.iter().any(Vec::is_empty) {
                return Ok(done);
            }
            if shaved && last > 0 {
                continue;
            }
            return match round.open.filter(|_| splits < MOST_SPLITS) {
                Some(open) => self.split(judge, signs, splits, &domain, open),
                None => rest_of(judge, &priced, bound_kg, best_kg),
            };
        }
        Ok(done)
    }

    /// Both cases of a supply, each on its own: the lower bound holds, and the
    /// lighter choice counts.
    fn split(
        &self,
        judge: &Judge<'_>,
        signs: &[Sign],
        splits: usize,
        domain: &Domain,
        (frame, supply): (usize, usize),
    ) -> Result<Proof, SolveError> {
        let mut both = Vec::new();
        for gives in [true, false] {
            let sign = Sign {
                frame,
                supply,
                gives,
            };
            let with = [signs, &[sign]].concat();
            both.push(self.prove(judge, &with, splits + 1, domain.clone())?);
        }
        let cost_kg = |proof: &Proof| match &proof.lighter {
            Some(places) => judge.cost_kg(places),
            None => f64::INFINITY,
        };
        let bound_kg = both.iter().map(|proof| proof.bound_kg);
        Ok(Proof {
            bound_kg: bound_kg.fold(f64::INFINITY, f64::min),
            lighter: both
                .iter()
                .min_by(|a, b| cost_kg(a).total_cmp(&cost_kg(b)))
                .and_then(|proof| proof.lighter.clone()),
        })
    }

    /// Ranges and limits for the sizes still open; none where no choice is
    /// left in a state.
    fn round(&self, domain: &Domain, signs: &[Sign]) -> Result<Option<Round>, OutOfTable> {
        let switches = self.switches(domain)?;
        let given = self.given(domain, &switches);
        let mut needs = least::none(&self.settled.circuit, &self.settled.needs);
        let mut open = None;
        for (at, frame) in self.frames.iter().enumerate() {
            let signs: Vec<Sign> = signs.iter().copied().filter(|s| s.frame == at).collect();
            let cases = cases(frame, &given, &signs)?;
            if cases.is_empty() {
                return Ok(None);
            }
            open = open.or_else(|| Some((at, undecided(frame, &cases)?)));
            least::take(&mut needs, frame, &given, &cases);
        }
        let (legal, stuck) = self.task.legal(&needs, &self.settled.plan.targets)?;
        let mut narrowed = domain.clone();
        for (wire, places) in narrowed.iter_mut().enumerate() {
            if !stuck.iter().any(|(of, _)| *of == wire) {
                places.retain(|place| legal[wire].contains(place));
            }
            if places.is_empty() {
                return Ok(None);
            }
        }
        Ok(Some(Round {
            needs,
            domain: narrowed,
            open,
        }))
    }
}

/// Whether a finding is about a limit on volts that sizing would have to keep.
fn limits_volts(finding: &Finding) -> bool {
    ["drop-above-limit", "starter-volts-low"].contains(&finding.code.name())
}

/// The frame of every judged state whose relays have come to rest.
fn frames(
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
            .flat_map(|route| route.bridges.iter().map(|(at, _)| *at).chain(route.loose.iter().copied()))
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
fn cases(
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
fn undecided(frame: &Frame, cases: &[Envelope]) -> Option<usize> {
    let is_battery = |at: &&usize| matches!(frame.branches[**at].role, Role::Supply(_));
    let batteries = frame.supplies.iter().filter(is_battery);
    let open = |at: &&usize| {
        let amps = cases.iter().map(|case| case.amps[**at]);
        let all = amps.reduce(range::Range::or);
        let both = cases.iter().any(|case| case.amps[**at].low < -envelope::GIVES_A)
            && cases.iter().any(|case| case.amps[**at].high > -envelope::GIVES_A);
        both && all.is_some_and(|all| all.most() > MATTERS_A)
    };
    batteries.into_iter().find(open).copied()
}

#[cfg(test)]
mod tests {
    use super::{Case, Envelope, Frame, Judge, cases};
    use crate::reading::read;
    use crate::sizing::{Stock, learned, with_task};
    use crate::solving::{Operated, Role, workings};
    use crate::span::CircuitText;

    const TRIES: usize = 12;

    /// The first current of a wire or load that its range does not hold.
    fn outside(
        frame: &Frame,
        envelope: &Envelope,
        roles: &[Role],
        point: &Operated,
    ) -> Option<String> {
        frame.branches.iter().enumerate().find_map(|(at, branch)| {
            let is_told = matches!(branch.role, Role::Wire(_) | Role::Load { .. });
            let number = roles.iter().position(|role| *role == branch.role);
            let amps = point.point.currents_a[number.expect("in the net")];
            let range = envelope.amps[at];
            let is_held = (range.low - 1e-6..=range.high + 1e-6).contains(&amps);
            (is_told && !is_held).then(|| format!("{:?}: {amps} in {range:?}", branch.role))
        })
    }

    /// Tries random choices with the full judge; how many were admissible.
    fn tried(text: &str, seed: u64) -> usize {
        let text = CircuitText::new("test.toml", text);
        let circuit = read(&text).circuit.expect("sound");
        let mut random = fastrand::Rng::with_seed(seed);
        let stock = Stock::default();
        with_task(&circuit, &stock, |task, _| {
            let settled = learned::guarded(task)?;
            let judge = Judge::of(task, &settled)?;
            let case = Case::of(task, &settled)?;
            let domain = case.start()?.expect("every wire has a size");
            let switches = case.switches(&domain)?;
            let given = case.given(&domain, &switches);
            let all: Vec<Vec<Envelope>> = (0..case.frames.len())
                .map(|at| {
                    let signs = case.charging().into_iter().filter(|s| s.frame == at);
                    let signs: Vec<_> = signs.collect();
                    cases(&case.frames[at], &given, &signs).expect("tables")
                })
                .collect();
            let now: Vec<usize> = settled.plan.sizes.iter().map(|s| s.unwrap_or(0)).collect();
            let mut admissible = 0;
            for _ in 0..TRIES {
                let mut places = now.clone();
                for (wire, place) in places.iter_mut().enumerate() {
                    let more = if random.f64() < 0.8 { random.usize(0..3) } else { 0 };
                    let most = domain[wire].last().copied().unwrap_or(0);
                    *place = (*place + more).min(most).max(domain[wire][0]);
                    if random.f64() < 0.05 {
                        *place = domain[wire][random.usize(..domain[wire].len())];
                    }
                }
                if !judge.holds(&places)? {
                    continue;
                }
                admissible += 1;
                let works = workings(&judge.circuit(&places))?;
                for (frame, envelopes) in case.frames.iter().zip(&all) {
                    let state = circuit.states.iter().position(|s| s.name == frame.state);
                    let point = works.points[state.expect("a state")].as_ref();
                    let point = point.expect("solved");
                    let wrong: Vec<String> = envelopes
                        .iter()
                        .filter_map(|one| outside(frame, one, &works.net.roles, point))
                        .collect();
                    assert!(
                        wrong.len() < envelopes.len(),
                        "{}, state {}: {wrong:?}",
                        circuit.title,
                        frame.state
                    );
                }
            }
            Ok(admissible)
        })
        .expect("solved")
    }

    #[test]
    fn the_ranges_hold_every_admissible_choice_that_was_tried() {
        for (seed, text) in [
            include_str!("../../../circuits/gneiss-inboard-diesel.toml"),
            include_str!("../../../circuits/marl-tiller-9hp.toml"),
            include_str!("../../../circuits/flint-carburetted-two-stroke.toml"),
            include_str!("../../../circuits/schist-console-boat.toml"),
        ]
        .into_iter()
        .enumerate()
        {
            let admissible = tried(text, seed as u64);
            assert!(admissible >= 2, "{admissible} of {TRIES} say little");
        }
    }
}
