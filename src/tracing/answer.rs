//! The answer: causes with odds, what is excluded, what to do next.

use super::TraceError;
use super::cause::Cause;
use super::evidence::{Complaint, Evidence, TestKind};
use super::groups::{Group, groups, subject};
use super::next::{Probe, Ranked, in_words, named, ranked};
use super::pairs::pairs;
use super::plan::{Plan, plan};
use super::refine::{distance, finer};
use super::scene::Scene;
use super::suspect::Site;
use super::weighing::{Weighed, states_in_words, usual_state, weigh};
use crate::circuit::Circuit;
use crate::circuit::zones::fuse_name;
use crate::findings::Assumed;
use crate::quantities::print::{percent, significant};
use crate::tables::OutOfTable;
use crate::tables::cautions::{Caution, caution, cautions_for};

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
/// Odds from which a cause is called found.
const FOUND: f64 = 0.9;

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
    let causes = listed(scene, evidence, weighed, &groups);
    Ok(Answer {
        cautions: cautions(scene, evidence)?,
        statement: statement(scene, evidence, weighed, &groups),
        causes,
        excluded: excluded(scene, weighed, &groups),
        next_tests,
        why_this_fuse: why_this_fuse(scene, evidence, weighed, &groups),
        distance: distance_in_words(scene, weighed, &groups),
        plan: plan(scene, weighed, &live, &tests, &groups),
        stop: stop(&groups, &tests),
        assumed: scene.frame.resolved.assumed.clone(),
    })
}

fn distance_in_words(scene: &Scene<'_>, weighed: &Weighed, groups: &[Group]) -> Option<String> {
    let first = groups.first()?;
    let band = distance(scene, &weighed.odds, first)?;
    let Site::Wire(wire) = first.site else {
        return None;
    };
    let circuit = scene.frame.circuit;
    let from = &circuit.terminal(circuit.wires[wire].from).label;
    let metres = |m: f64| significant(m, 2);
    Some(format!(
        "the short lies about {} m along the wire from `{from}`, nine in ten between {} m and {} m",
        metres(band.typical),
        metres(band.low),
        metres(band.high)
    ))
}

fn listed(
    scene: &Scene<'_>,
    evidence: &Evidence,
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
            because: because(scene, evidence, group.leader(&weighed.odds)),
        });
    }
    causes
}

/// What the likeliest suspect of a group shows.
fn because(scene: &Scene<'_>, evidence: &Evidence, at: usize) -> String {
    let Some(state) = usual_state(scene, evidence) else {
        return String::new();
    };
    let circuit = scene.frame.circuit;
    let name = &circuit.states[state].name;
    let shown = &scene.shown[state][at];
    if evidence.complaint == Complaint::FuseOpens {
        let fuse = evidence
            .fuse
            .or_else(|| shown.opened.first().copied())
            .unwrap_or(0);
        let threats = scene.threats(state, at);
        if let Some(threat) = threats.get(fuse) {
            let amps = shown.first_a.get(fuse).copied().unwrap_or(0.0);
            let of = fuse_name(circuit, scene.frame.fuses[fuse]);
            let times = significant(threat.multiple, 2);
            return if threat.multiple > 1.3 {
                format!(
                    "in `{name}` {} A through `{of}`, {times} times its rating: it opens after about {}",
                    significant(amps, 3),
                    seconds(threat.middle_s)
                )
            } else {
                format!(
                    "in `{name}` {} A through `{of}`, {times} times its rating",
                    significant(amps, 3)
                )
            };
        }
    }
    if evidence.complaint == Complaint::Drain {
        let off = scene.off();
        return format!(
            "{} mA from the battery with everything off",
            significant(scene.battery_a(&scene.shown[off][at]) * 1000.0, 2)
        );
    }
    let Some(part) = evidence.loads.first().or(evidence.dead.first()) else {
        return String::new();
    };
    format!(
        "in `{name}` {} V and {} A at `{}`",
        legible(scene.across(shown, *part), 3),
        legible(scene.part_a(shown, *part), 2),
        circuit.part(*part).name
    )
}

/// A figure as a meter shows it: what is below its last digit is nought.
fn legible(value: f64, digits: i32) -> String {
    if value.abs() < 0.01 {
        "0".to_owned()
    } else {
        significant(value, digits)
    }
}

/// Seconds as people say them.
fn seconds(seconds: f64) -> String {
    if seconds < 0.1 {
        format!("{} ms", significant(seconds * 1000.0, 2))
    } else if seconds < 120.0 {
        format!("{} s", significant(seconds, 2))
    } else {
        format!("{} min", significant(seconds / 60.0, 2))
    }
}

fn statement(
    scene: &Scene<'_>,
    evidence: &Evidence,
    weighed: &Weighed,
    groups: &[Group],
) -> String {
    let Some(first) = groups.first() else {
        return "nothing in this circuit can do that".to_owned();
    };
    let what = first.in_words(scene, &weighed.odds);
    let odds = percent(first.odds);
    let also = groups.get(1).map_or_else(String::new, |second| {
        format!(
            ", then {} ({})",
            second.in_words(scene, &weighed.odds),
            percent(second.odds)
        )
    });
    let complaint = complaint_in_words(scene, evidence);
    if first.odds >= FOUND {
        format!("{complaint}: almost surely {what} ({odds})")
    } else {
        format!("{complaint}: most likely {what} ({odds}){also}; the next test tells more")
    }
}

fn complaint_in_words(scene: &Scene<'_>, evidence: &Evidence) -> String {
    let circuit = scene.frame.circuit;
    let loads: Vec<String> = evidence
        .loads
        .iter()
        .map(|part| format!("`{}`", circuit.part(*part).name))
        .collect();
    let loads = if loads.is_empty() {
        "a load".to_owned()
    } else {
        loads.join(", ")
    };
    let states = if evidence.states.is_empty() {
        String::new()
    } else {
        format!(" in {}", states_in_words(scene, &evidence.states))
    };
    match evidence.complaint {
        Complaint::FuseOpens => {
            let fuse = evidence.fuse.map_or_else(
                || "a fuse".to_owned(),
                |fuse| format!("`{}`", fuse_name(circuit, scene.frame.fuses[fuse])),
            );
            format!("{fuse} opens{states}")
        }
        Complaint::LoadDead => format!("{loads} dead{states}"),
        Complaint::LoadWeak => format!("{loads} weak{states}"),
        Complaint::Drain => "the battery drains".to_owned(),
        Complaint::DiedTogether => format!("{loads} died together{states}"),
        Complaint::Reversed => "the battery was connected backwards".to_owned(),
    }
}

/// Odds beforehand from which it is worth saying that something is out.
const WORTH: f64 = 0.015;
/// What is left of them when it is out.
const OUT: f64 = 0.1;
/// Lines of what is excluded.
const EXCLUDED: usize = 6;

fn excluded(scene: &Scene<'_>, weighed: &Weighed, groups: &[Group]) -> Vec<(String, String)> {
    let prior = |group: &Group| -> f64 {
        let members = group.members.iter();
        members.map(|at| scene.suspects[*at].weight).sum()
    };
    let mut out: Vec<(f64, String, String)> = Vec::new();
    for group in groups {
        let before = prior(group);
        if before < WORTH || group.odds > OUT * before {
            continue;
        }
        let leader = group.leader(&weighed.odds);
        let against = weighed
            .items
            .iter()
            .min_by(|a, b| a.ln[leader].total_cmp(&b.ln[leader]));
        if let Some(against) = against {
            out.push((
                before,
                group.in_words(scene, &weighed.odds),
                against.label.clone(),
            ));
        }
    }
    out.sort_by(|a, b| b.0.total_cmp(&a.0));
    out.truncate(EXCLUDED);
    out.into_iter().map(|(_, what, why)| (what, why)).collect()
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
        .map(|group| (group.cause, subject(scene, group.site), group.odds))
        .collect();
    OutcomeView {
        outcome: word.to_owned(),
        probability: total / whole.max(f64::MIN_POSITIVE),
        leaves,
    }
}

/// Cautions of the whole job.
fn cautions(scene: &Scene<'_>, evidence: &Evidence) -> Result<Vec<Caution>, OutOfTable> {
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

fn step_cautions(
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
            super::evidence::Quantity::Ohms => tags.extend(["neg-first", "amps-jack"]),
            _ => tags.extend(["vapour", "amps-jack"]),
        },
    }
    if state.is_some_and(|state| cranks(scene, state)) {
        tags.extend(["kill", "rotate", "starter-time"]);
    }
    tags.into_iter().map(caution).collect()
}

/// Whether a starter turns in a state of the sound circuit.
fn cranks(scene: &Scene<'_>, state: usize) -> bool {
    let circuit = scene.frame.circuit;
    circuit.part_ids().any(|part| {
        let class = match &circuit.part(part).device {
            crate::circuit::Device::Motor(spec) => spec.class.as_ref(),
            _ => None,
        };
        class.is_some_and(|class| class.value.starts_with("starter")) && scene.is_on(state, part)
    })
}

/// Why this fuse opens and not another that carries the same current.
fn why_this_fuse(
    scene: &Scene<'_>,
    evidence: &Evidence,
    weighed: &Weighed,
    groups: &[Group],
) -> Option<String> {
    let fuse = evidence.fuse?;
    if evidence.complaint != Complaint::FuseOpens {
        return None;
    }
    let state = usual_state(scene, evidence)?;
    let leader = groups.first()?.leader(&weighed.odds);
    let shown = &scene.shown[state][leader];
    let threats = scene.threats(state, leader);
    let own = threats.get(fuse)?;
    let name = |at: usize| fuse_name(scene.frame.circuit, scene.frame.fuses[at]);
    let other = (0..threats.len())
        .filter(|at| *at != fuse && shown.first_a.get(*at).copied().unwrap_or(0.0) > 0.5)
        .max_by(|a, b| threats[*a].multiple.total_cmp(&threats[*b].multiple));
    let current = |at: usize| significant(shown.first_a.get(at).copied().unwrap_or(0.0), 3);
    Some(match other {
        Some(at) if threats[at].multiple > 1.1 => format!(
            "`{}` carries {} A, {} times its rating, and opens after about {}; `{}` carries {} A, {} times its rating, and opens after about {}: which is first {}",
            name(fuse),
            current(fuse),
            significant(own.multiple, 2),
            seconds(own.middle_s),
            name(at),
            current(at),
            significant(threats[at].multiple, 2),
            seconds(threats[at].middle_s),
            if crate::tracing::opening::Threat::opens_first(&threats, fuse) > 0.8 {
                "is plain"
            } else {
                "is open: their bands overlap"
            }
        ),
        Some(at) => format!(
            "`{}` carries {} A, {} times its rating; of the other fuses `{}` comes next with {} A, {} times its rating, and holds: the fault lies between them",
            name(fuse),
            current(fuse),
            significant(own.multiple, 2),
            name(at),
            current(at),
            significant(threats[at].multiple, 2)
        ),
        None => format!(
            "only `{}` carries the current of that fault: {} A, {} times its rating",
            name(fuse),
            current(fuse),
            significant(own.multiple, 2)
        ),
    })
}

fn stop(groups: &[Group], tests: &[Ranked]) -> String {
    let first = groups.first().map_or(0.0, |group| group.odds);
    if first >= FOUND {
        "Stop here: mend it, fit the fuse the label asks for, run every load in turn and clamp the feed: the sum of the loads must come out.".to_owned()
    } else if tests.is_empty() {
        "No test here tells more: measure wire lengths and loads, so that the drawing is sharper, or call a licensed electrician.".to_owned()
    } else {
        "Stop when one cause has nine in ten, when a wire is hot, or when two fuses are gone: a lamp costs nothing.".to_owned()
    }
}
