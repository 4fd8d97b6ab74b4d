//! Question in, interpretation out.

use super::evidence::{Evidence, Measure, Run, RunKind};
use super::kernel::Kernel;
use super::odds::{self, NONE_OF_THESE, Odds, Priors};
use super::specimen::Group;
use super::{Estimate, battery, estimates, next, pump, relay, slip, words};
use crate::bench::{Draws, Refused, Rig, fuse_words};
use crate::circuit::Condition;
use crate::devices::{MotorModel, RelayModel};
use crate::quantities::{Amps, Band};
use crate::tables::cautions::{Caution, cautions};

/// What was examined.
#[derive(Debug, Clone, PartialEq)]
pub enum Examined {
    /// A pump with a turning armature, and whether it pumps petrol.
    Pump(Box<MotorModel>, bool),
    /// A relay.
    Relay(RelayModel),
    /// The rig's own battery.
    Battery,
}

impl Examined {
    /// The kind of part, as the priors call it.
    pub const fn part(&self) -> &'static str {
        match self {
            Self::Pump(..) => "pump",
            Self::Relay(_) => "relay",
            Self::Battery => "battery",
        }
    }

    /// What can be read of it.
    pub fn measures(&self) -> Vec<Measure> {
        use Measure as M;
        match self {
            Self::Pump(motor, _) => {
                let all = Measure::ALL.into_iter().filter(|of| *of != M::PullIn);
                let builds = motor.parameters.ap_per_pa.typical > 0.0;
                all.filter(|of| builds || *of != M::Pressure).collect()
            }
            Self::Relay(_) => {
                vec![M::Volts, M::Amps, M::PostVolts, M::Ohms, M::Millivolts, M::PullIn]
            }
            Self::Battery => vec![M::Volts, M::PostVolts, M::Amps],
        }
    }
}

/// A part, its rig, and what was read.
#[derive(Debug, Clone)]
pub struct Question {
    /// The part in words.
    pub title: String,
    /// What it is.
    pub examined: Examined,
    /// The rig.
    pub rig: Rig,
    /// The readings.
    pub evidence: Evidence,
    /// Odds before anything was read.
    pub priors: Priors,
    /// Seed of the draws.
    pub seed: u64,
}

/// One condition with its odds.
#[derive(Debug, Clone, PartialEq)]
pub struct Verdict {
    /// The condition's word.
    pub condition: &'static str,
    /// Its odds; all of them add up to 1.
    pub probability: f64,
    /// What it would show, beside what was read.
    pub because: String,
}

/// What the readings say.
#[derive(Debug, Clone, PartialEq)]
pub struct Interpretation {
    /// The part in words.
    pub title: String,
    /// The rig in words.
    pub rig: String,
    /// Every caution that applies.
    pub cautions: Vec<Caution>,
    /// The answer in one sentence.
    pub statement: String,
    /// All conditions, likeliest first.
    pub conditions: Vec<Verdict>,
    /// Conditions these readings do not tell from the likeliest.
    pub twins: Vec<&'static str>,
    /// Figures worked out.
    pub estimates: Vec<Estimate>,
    /// Why the readings cannot be, with the likeliest slip.
    pub impossible: Option<String>,
    /// The reading that would separate the conditions best.
    pub next_reading: Option<String>,
    /// More to know.
    pub notes: Vec<String>,
    /// Seed of the draws.
    pub seed: u64,
}

/// Says what the readings mean.
///
/// # Errors
/// A figure no table has, or a rig without an operating point.
pub fn interpret(question: &Question) -> Result<Interpretation, Refused> {
    let kernel = Kernel::of(&question.rig)?;
    let mut draws = Draws::seeded(question.seed);
    let asked = asked(question);
    let groups = groups(question, &asked, &kernel, &mut draws)?;
    let evidence = held_against(question);
    let readings = odds::compared(&evidence);
    let prior_none = question.priors.of(NONE_OF_THESE);
    let odds = odds::odds(&groups, prior_none, &evidence, &readings, &kernel);
    let worth = next::best(&groups, &odds, &candidates(question, &asked), &kernel, &mut draws);
    let next_reading = worth.map(|worth| {
        let made = question.evidence.runs.len();
        let run = question.evidence.runs.get(worth.run).or(asked.first());
        let kind = run.map_or(RunKind::Wet, Run::kind);
        words::how_to_read(worth.measure, kind, worth.run >= made)
    });
    let impossible = impossible(question, &evidence, &groups, &odds, &kernel);
    let conditions = verdicts(&groups, &odds, &evidence, &kernel);
    Ok(Interpretation {
        title: question.title.clone(),
        rig: question.rig.words.clone(),
        cautions: cautions_of(&question.examined),
        statement: statement(question, &groups, &odds, impossible.is_some()),
        conditions,
        twins: odds::twins(&groups, &odds).into_iter().map(|at| groups[at].condition).collect(),
        estimates: estimated(question, &groups, &odds, &kernel, &mut draws),
        impossible,
        next_reading,
        notes: notes(question, &groups, &odds)?,
        seed: question.seed,
    })
}

/// The run that was not made and might tell more: a fuel pump against pressure.
fn asked(question: &Question) -> Vec<Run> {
    let Examined::Pump(motor, _) = &question.examined else {
        return Vec::new();
    };
    let runs = &question.evidence.runs;
    let builds = motor.parameters.ap_per_pa.typical > 0.0 && motor.pressure_pa > 0.0;
    let is_made = runs.iter().any(|run| run.kind() == RunKind::AtPressure);
    if builds && !is_made || runs.is_empty() {
        return vec![Run {
            kind: Some(if builds { RunKind::AtPressure } else { RunKind::Wet }),
            readings: Vec::new(),
        }];
    }
    Vec::new()
}

fn groups(
    question: &Question,
    asked: &[Run],
    kernel: &Kernel,
    draws: &mut Draws,
) -> Result<Vec<Group>, Refused> {
    let Question {
        rig,
        evidence,
        priors,
        ..
    } = question;
    match &question.examined {
        Examined::Pump(motor, _) => pump::groups(motor, rig, evidence, asked, priors, kernel, draws),
        Examined::Relay(relay) => relay::groups(relay, rig, evidence, priors, kernel, draws),
        Examined::Battery => Ok(battery::groups(rig, evidence, priors, kernel, draws)),
    }
}

/// The readings to hold against the specimens; a battery's current is its load.
fn held_against(question: &Question) -> Evidence {
    let mut evidence = question.evidence.clone();
    if question.examined == Examined::Battery {
        for run in &mut evidence.runs {
            run.readings.retain(|(measure, _)| *measure != Measure::Amps);
        }
    }
    evidence
}

fn candidates(question: &Question, asked: &[Run]) -> Vec<(usize, Measure)> {
    let made = &question.evidence.runs;
    let can = question.examined.measures();
    let last = made.len().saturating_sub(1);
    let mut found = Vec::new();
    match (&question.examined, made.last()) {
        (Examined::Battery, _) => found.push((made.len(), Measure::PostVolts)),
        (_, Some(run)) => {
            let left = can.iter().filter(|of| run.get(**of).is_none());
            let fuse = question.evidence.fuse_ohm.is_some();
            let is_relay = matches!(question.examined, Examined::Relay(_));
            let left = left.filter(|of| **of != Measure::Millivolts || is_relay || fuse);
            found.extend(left.map(|of| (last, *of)));
        }
        (Examined::Relay(_), None) => found.extend(can.iter().map(|of| (0, *of))),
        _ => {}
    }
    if !asked.is_empty() {
        let usual = [Measure::Amps, Measure::Speed, Measure::Pressure, Measure::Volts];
        found.extend(usual.into_iter().filter(|of| can.contains(of)).map(|of| (made.len(), of)));
    }
    found
}

fn verdicts(groups: &[Group], odds: &Odds, evidence: &Evidence, kernel: &Kernel) -> Vec<Verdict> {
    let mut all: Vec<Verdict> = groups
        .iter()
        .zip(&odds.share)
        .map(|(group, share)| Verdict {
            condition: group.condition,
            probability: *share,
            because: words::because(group, evidence, kernel),
        })
        .collect();
    all.push(Verdict {
        condition: NONE_OF_THESE,
        probability: odds.none,
        because: "anything the others do not show, even over all readings there can be".to_owned(),
    });
    all.sort_by(|a, b| b.probability.total_cmp(&a.probability));
    all
}

fn impossible(
    question: &Question,
    evidence: &Evidence,
    groups: &[Group],
    odds: &Odds,
    kernel: &Kernel,
) -> Option<String> {
    if odds.misfit <= 0.5 {
        return None;
    }
    let weighed = odds.share.iter().zip(&odds.taken).zip(groups);
    let best: f64 = weighed.map(|((_, taken), group)| group.prior * taken.likelihood).sum();
    let read = words::readings(evidence);
    let slip = slip::likeliest(groups, evidence, kernel, best);
    let part = question.examined.part();
    Some(match slip {
        Some(slip) => format!(
            "{read} together cannot come from one {part} on this rig; the likeliest slip: {slip}. Take the readings again"
        ),
        None => format!(
            "{read} together cannot come from one {part} with one fault on this rig, and no single slip of the meter explains it; check the rig and take all readings again"
        ),
    })
}

fn statement(question: &Question, groups: &[Group], odds: &Odds, is_impossible: bool) -> String {
    let read = words::readings(&question.evidence);
    let part = question.examined.part();
    match odds::likeliest(odds) {
        Some(at) if !is_impossible => {
            let (short, like) = words::of_condition(part, groups[at].condition);
            let surely = words::surely(odds.share[at]);
            let nothing_read = question.evidence.runs.iter().all(|run| run.readings.is_empty())
                && question.evidence.rest_v.is_none();
            if nothing_read {
                return "nothing was read yet: these are the odds before a test".to_owned();
            }
            format!("{surely}{short}: {read} {like}")
        }
        _ => format!("these readings do not go together: {read} fits no one condition of this {part} on this rig"),
    }
}

fn estimated(
    question: &Question,
    groups: &[Group],
    odds: &Odds,
    kernel: &Kernel,
    draws: &mut Draws,
) -> Vec<Estimate> {
    let evidence = &question.evidence;
    match &question.examined {
        Examined::Pump(motor, _) => {
            let mut found = estimates::of_loop(evidence, kernel);
            let words = "winding resistance, brushes taken out, over all conditions by their odds";
            found.extend(estimates::winding(groups, odds, words));
            found.extend(estimates::back_emf(motor, evidence, kernel, draws));
            found
        }
        Examined::Relay(_) => {
            let words = "coil resistance, over all conditions by their odds";
            estimates::winding(groups, odds, words).into_iter().collect()
        }
        Examined::Battery => estimates::of_battery(evidence, kernel),
    }
}

fn notes(question: &Question, groups: &[Group], odds: &Odds) -> Result<Vec<String>, Refused> {
    let mut notes = Vec::new();
    let word = odds::likeliest(odds).map(|at| groups[at].condition);
    let is_pump = matches!(question.examined, Examined::Pump(..));
    let amps = question.evidence.runs.iter().find_map(|run| run.get(Measure::Amps));
    if let (true, Some("locked"), Some(amps)) = (is_pump, word, amps) {
        let current_a = Band {
            low: amps,
            typical: amps,
            high: amps,
        };
        let when = fuse_words(&question.rig, current_a)?;
        notes.push(format!(
            "{} is {when}. That is for a cool, sound fuse: after repeated tries, in a hot holder or with age it can open all the same, so a fuse found open does not speak against a locked pump. The copper heats and the current sags, so it may also hold while the pump cooks.",
            Amps::new(amps)
        ));
    }
    let has = |of: Condition| groups.iter().zip(&odds.share).any(|(g, s)| g.condition == of.word() && *s > 0.05);
    if is_pump && has(Condition::CoilOpen) && has(Condition::WornBrush) {
        notes.push("An open coil and worn brushes differ in the ripple of the current alone: one deep notch at each brush against a ragged trace.".to_owned());
    }
    if odds.wider > 1.0 {
        notes.push(format!(
            "Few specimens come near all these readings; each was taken {} times as loosely as its meter allows, so the odds are a little blunt.",
            odds.wider
        ));
    }
    Ok(notes)
}

/// Cautions of the part's topic, and of the rig.
fn cautions_of(examined: &Examined) -> Vec<Caution> {
    let (topic, tags): (&str, &[&str]) = match examined {
        Examined::Pump(_, true) => ("fuel-pump", &["polarity", "eyes", "short"]),
        Examined::Pump(_, false) => ("pump", &["polarity", "eyes", "short"]),
        Examined::Relay(_) => ("relay", &["vapour", "switch-far", "eyes", "short", "lamp-hot"]),
        Examined::Battery => ("battery", &["vapour"]),
    };
    let applies = |caution: &Caution| {
        let of_topic = caution.applies_to.iter().any(|t| t == topic || t == "all");
        of_topic || tags.contains(&caution.tag.as_str())
    };
    cautions().into_iter().filter(applies).collect()
}
