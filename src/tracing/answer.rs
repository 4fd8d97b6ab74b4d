//! The answer: causes with odds, what is excluded, what to do next.

use super::TraceError;
use super::cause::Cause;
use super::evidence::{Complaint, Evidence};
use super::groups::{Group, groups};
use super::next::{Probe, Ranked, in_words, named, ranked};
use super::pairs::pairs;
use super::plan::{Plan, plan};
use super::refine::finer;
use super::scene::Scene;
use super::telling::{because, distance_in_words, excluded, statement, stop, why_this_fuse};
use super::warnings::{cautions, step_cautions};
use super::weighing::{Weighed, usual_state, weigh};
use crate::circuit::Circuit;
use crate::findings::Assumed;
use crate::tables::OutOfTable;
use crate::tables::cautions::Caution;

/// A cause with its place and odds.
#[derive(Debug, Clone, PartialEq)]
pub struct CauseOdds {
    /// What is wrong.
    pub cause: Cause,
    /// What and where, in words.
    pub text: String,
    /// `NAME`, `BLOCK.SLOT` or `FROM to TO`.
    pub subject: String,
    /// Its odds.
    pub probability: f64,
    /// What it would show.
    pub because: String,
}

/// One outcome of a test.
#[derive(Debug, Clone, PartialEq)]
pub struct OutcomeView {
    /// The outcome's word.
    pub outcome: String,
    /// How likely it is.
    pub probability: f64,
    /// What it would leave: subjects with cause and odds, likeliest first.
    pub leaves: Vec<(Cause, String, f64)>,
}

/// A next test.
#[derive(Debug, Clone, PartialEq)]
pub struct NextTest {
    /// Its name in a log: `lamp`, `volts`, `unplug`, ...
    pub test: &'static str,
    /// What it is done at.
    pub at: String,
    /// What to do.
    pub how: String,
    /// State it is done in.
    pub state: Option<String>,
    /// Minutes.
    pub minutes: f64,
    /// 0 none, 1 low, 2 some, 3 high near fuel.
    pub risk: u8,
    /// Tools.
    pub tools: &'static str,
    /// Cautions of this step.
    pub cautions: Vec<Caution>,
    /// What may come of it.
    pub outcomes: Vec<OutcomeView>,
    /// What it tells, bits.
    pub bits: f64,
    /// The test itself, for adding its outcome to the evidence.
    pub probe: Probe,
}

/// What the evidence says.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// Every caution that applies.
    pub cautions: Vec<Caution>,
    /// The answer in one sentence.
    pub statement: String,
    /// Causes, likeliest first; together at least nine in ten.
    pub causes: Vec<CauseOdds>,
    /// What was likely beforehand and is not now, with the evidence that says so.
    pub excluded: Vec<(String, String)>,
    /// Next tests, best first.
    pub next_tests: Vec<NextTest>,
    /// Why the fuse complained of and not another.
    pub why_this_fuse: Option<String>,
    /// How far along its wire the likeliest short lies, where readings say so.
    pub distance: Option<String>,
    /// What the search will take.
    pub plan: Plan,
    /// When to stop looking.
    pub stop: String,
    /// Defaults that entered.
    pub assumed: Vec<Assumed>,
}

/// Odds of all causes listed together.
const LISTED: f64 = 0.93;
/// Most causes listed.
const MOST: usize = 40;
/// Tests told; a screen shows the first few.
const TESTS: usize = 12;

/// A circuit with every suspect of a complaint laid out and solved, to be asked
/// again after each piece of evidence.
pub struct Tracer<'c> {
    scene: Scene<'c>,
}

impl<'c> Tracer<'c> {
    /// Lays out and solves every suspect. `own` weights of causes take the
    /// place of the table's.
    ///
    /// # Errors
    /// A circuit without a network, or a table that cannot be read.
    pub fn new(
        circuit: &'c Circuit,
        complaint: Complaint,
        own: &[(Cause, f64)],
    ) -> Result<Self, TraceError> {
        Ok(Self {
            scene: Scene::new(circuit, complaint, own)?,
        })
    }

    /// What the evidence says, and what to test next.
    ///
    /// # Errors
    /// A table that cannot be read.
    pub fn answer(&mut self, evidence: &Evidence) -> Result<Answer, TraceError> {
        let evidence = &evidence.once_each();
        self.scene.memory.begin(evidence);
        let mut weighed = weigh(&self.scene, evidence);
        if !evidence.figures.is_empty() {
            let groups = groups(&self.scene, &weighed.odds);
            let finer = finer(&mut self.scene, &groups);
            if !finer.is_empty() {
                self.scene.add(finer);
                weighed = weigh(&self.scene, evidence);
            }
        }
        let has_pairs = |suspect: &super::suspect::Suspect| suspect.second.is_some();
        if self.scene.suspects.iter().any(has_pairs) {
            return Ok(answer(&self.scene, evidence, &weighed)?);
        }
        let pairs = pairs(&self.scene.suspects, &weighed);
        if pairs.is_empty() {
            return Ok(answer(&self.scene, evidence, &weighed)?);
        }
        self.scene.add(pairs);
        let weighed = weigh(&self.scene, evidence);
        Ok(answer(&self.scene, evidence, &weighed)?)
    }
}

/// Traces a complaint in a circuit, once.
///
/// # Errors
/// A circuit without a network, or a table that cannot be read.
pub fn trace(
    circuit: &Circuit,
    evidence: &Evidence,
    own: &[(Cause, f64)],
) -> Result<Answer, TraceError> {
    Tracer::new(circuit, evidence.complaint, own)?.answer(evidence)
}

/// The answer from evidence that was weighed.
fn answer(scene: &Scene<'_>, evidence: &Evidence, weighed: &Weighed) -> Result<Answer, OutOfTable> {
    let groups = groups(scene, &weighed.odds);
    let tests = ranked(scene, evidence, weighed, &groups)?;
    let live = super::next::live(weighed);
    let next_tests = tests
        .iter()
        .take(TESTS)
        .map(|test| next_test(scene, weighed, &live, test))
        .collect::<Result<_, _>>()?;
    let state = usual_state(scene, evidence);
    let causes = listed(scene, evidence, state, weighed, &groups);
    Ok(Answer {
        cautions: cautions(scene, evidence)?,
        statement: statement(scene, evidence, weighed, &groups),
        causes,
        excluded: excluded(scene, weighed, &groups),
        next_tests,
        why_this_fuse: why_this_fuse(scene, evidence, state, weighed, &groups),
        distance: distance_in_words(scene, weighed, &groups),
        plan: plan(scene, weighed, &live, &tests, &groups),
        stop: stop(scene, &groups, &tests),
        assumed: scene.frame.resolved.assumed.clone(),
    })
}

fn listed(
    scene: &Scene<'_>,
    evidence: &Evidence,
    state: Option<usize>,
    weighed: &Weighed,
    groups: &[Group],
) -> Vec<CauseOdds> {
    let mut sum = 0.0;
    let mut causes = Vec::new();
    for group in groups {
        if sum >= LISTED || causes.len() >= MOST {
            break;
        }
        sum += group.odds;
        causes.push(CauseOdds {
            cause: group.cause,
            text: group.in_words(scene, &weighed.odds),
            subject: group.subject(scene),
            probability: group.odds,
            because: because(scene, evidence, state, group.leader(&weighed.odds)),
        });
    }
    causes
}

fn next_test(
    scene: &Scene<'_>,
    weighed: &Weighed,
    live: &[usize],
    test: &Ranked,
) -> Result<NextTest, OutOfTable> {
    let (name, at) = named(scene, &test.probe);
    let state = match &test.probe {
        Probe::Trial(trial) => Some(trial.state),
        Probe::Reading(figure) => figure.state,
    };
    let outcomes = test.outcomes.words.iter().enumerate();
    let outcomes = outcomes
        .map(|(column, word)| view(scene, weighed, live, test, column, word))
        .filter(|view| view.probability > 0.02)
        .collect();
    Ok(NextTest {
        test: name,
        at,
        how: in_words(scene, &test.probe),
        state: state.map(|state| scene.frame.circuit.states[state].name.clone()),
        minutes: test.cost.minutes,
        risk: test.cost.risk,
        tools: test.cost.tools,
        cautions: step_cautions(scene, &test.probe, state)?,
        outcomes,
        bits: test.bits,
        probe: test.probe.clone(),
    })
}

fn view(
    scene: &Scene<'_>,
    weighed: &Weighed,
    live: &[usize],
    test: &Ranked,
    column: usize,
    word: &str,
) -> OutcomeView {
    let mut left = vec![0.0; scene.suspects.len()];
    let mut total = 0.0;
    let mut whole = 0.0;
    for (at, odds) in live.iter().zip(&test.outcomes.odds) {
        whole += weighed.odds[*at];
        left[*at] = weighed.odds[*at] * odds[column];
        total += left[*at];
    }
    for odds in &mut left {
        *odds /= total.max(f64::MIN_POSITIVE);
    }
    let leaves = groups(scene, &left)
        .into_iter()
        .take(3)
        .filter(|group| group.odds > 0.05)
        .map(|group| (group.cause, group.subject(scene), group.odds))
        .collect();
    OutcomeView {
        outcome: word.to_owned(),
        probability: total / whole.max(f64::MIN_POSITIVE),
        leaves,
    }
}
