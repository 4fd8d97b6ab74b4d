//! Ohms of a way of the harness with things plugged in, judged against what this
//! circuit would show there.
//!
//! The whole circuit is drawn with its battery off, as an ohmmeter sees it; a
//! short, a partial short or a leak lies beside it, a load that is open is left
//! out of it. Odds as for parts. What each plugged-in load does to the reading
//! says which to unplug next.
//!
//! # Limits
//! A short lies where the probes are: the wire to it is not counted. Ohmmeters
//! hardly see diodes and drivers; electronics are taken as the class says.

use super::evidence::{Evidence, Run};
use super::family::{Bench, Family, Warned, Weighed, Words, among};
use super::kernel::Kernel;
use super::odds::{self, NONE_OF_THESE, Priors};
use super::ohms_words::{asks, cautions_of, next, notes, statement};
use super::ranges;
use super::specimen::{Group, SPECIMENS, Seen, Specimen};
use super::stuck::{self, STUCK, Stuck};
use super::verdict::verdicts;
use super::{Estimate, Interpretation, Measure, estimates};
use crate::bench::{Draws, Refused, Rig, Standing, ohms_between};
use crate::circuit::{Circuit, PartId, TerminalId};
use crate::devices::{Resolved, resolve};
use crate::tables::OutOfTable;

/// The kind of part its priors stand under.
pub const HARNESS: &str = "harness";

/// A way that was measured.
#[derive(Debug, Clone)]
pub struct OhmsQuestion<'a> {
    /// The circuit.
    pub circuit: &'a Circuit,
    /// How it stood.
    pub standing: Standing<'a>,
    /// The two terminals the probes were on.
    pub between: (TerminalId, TerminalId),
    /// The way in words: `from the load side of ... to the minus clamp`.
    pub way: String,
    /// How it stood, in words.
    pub stood: String,
    /// What was read, ohms, the leads taken off if they were measured; [`super::OPEN_OHM`]
    /// for open.
    pub read_ohm: f64,
    /// The reading in words.
    pub said: String,
    /// The meter.
    pub rig: &'a Rig,
    /// Odds beforehand, of the part [`HARNESS`].
    pub priors: Priors,
    /// Seed of the draws.
    pub seed: u64,
}

/// Ohms that something wrong puts beside the plugged-in loads: least and most,
/// drawn evenly in decades; the ends are those of `leak-readings`, down to copper on
/// copper (judgement).
pub(super) const BESIDE: [(&str, f64, f64); 3] = [
    ("short", 0.005, 2.0),
    ("partial-short", 2.0, 100.0),
    ("leak", 100.0, 1e6),
];
/// Share of a reading's conductance from which a load counts.
const COUNTS: f64 = 0.05;
/// Loads that are named.
pub(super) const NAMED: usize = 4;

const WORDS: [Words; 6] = [
    (
        "healthy",
        "no short in that",
        "is what a sound circuit shows there",
    ),
    (
        "short",
        "a dead short",
        "is less than what is plugged in explains; powered it opens the fuse before it, and burns where none stands",
    ),
    (
        "partial-short",
        "a partial short",
        "is less than what is plugged in explains; it drains the battery or warms",
    ),
    (
        "leak",
        "damp or a carbon track",
        "is less than what is plugged in explains; it opens no fuse",
    ),
    (
        "open",
        "an open load, plug or wire",
        "is more than a sound circuit shows; something does not conduct",
    ),
    (
        STUCK,
        "a contact that stays closed",
        "is what the load behind it shows: a float stuck down, a welded relay, a switch left on",
    ),
];

/// What the ohms of a way say.
///
/// # Errors
/// A figure no table has, or wiring that makes no network.
pub fn interpret_ohms(question: &OhmsQuestion<'_>) -> Result<Interpretation, Refused> {
    let resolved = resolve(question.circuit)?;
    let kernel = of_meter(question.rig)?;
    let mut draws = Draws::seeded(question.seed);
    let loads = loads(question, &resolved, &mut draws)?;
    let sound = drawn(question, &resolved, &question.standing, &mut draws)?;
    let shown = through_leads(question, &sound, &mut draws);
    let stuck = stuck::stuck(question, &resolved, &mut draws)?;
    let groups = groups(question, &resolved, (&loads, &stuck), &sound, &mut draws)?;
    let evidence = Evidence {
        runs: vec![Run {
            kind: None,
            readings: vec![(Measure::Ohms, question.read_ohm)],
        }],
        ..Evidence::default()
    };
    let bench = Bench {
        rig: question.rig,
        evidence: &evidence,
        runs: evidence.runs.iter().collect(),
        priors: &question.priors,
        kernel: &kernel,
    };
    let readings = odds::compared(&evidence, &[]);
    let none = question.priors.of(NONE_OF_THESE);
    let found = odds::odds(&groups, none, &evidence, &readings, &kernel);
    let top = odds::likeliest(&found).map(|at| groups[at].condition);
    let weighed = Weighed {
        bench: &bench,
        groups: &groups,
        ranges: &ranges::of_groups(&groups, &bench, &Harness),
        odds: &found,
    };
    Ok(Interpretation {
        title: question.way.clone(),
        rig: question.stood.clone(),
        in_boat: true,
        cautions: cautions_of(),
        statement: statement(question, &groups, &found, (&loads, &stuck), &shown),
        conditions: verdicts(&Harness, &weighed),
        twins: odds::twins(&groups, &found),
        estimates: beside(question, top, &sound, &kernel, &mut draws)
            .into_iter()
            .collect(),
        impossible: None,
        next_reading: Some(match parting(question, &groups, &found.share, &stuck) {
            Some(how) => how,
            None => next(question, &resolved, &loads, &mut draws)?,
        }),
        notes: [
            notes(question, &loads, top)?,
            asks(question, &resolved, top, &mut draws)?,
        ]
        .concat(),
        seed: question.seed,
    })
}

/// The harness in words; [`interpret_ohms`] draws its specimens itself.
pub(super) struct Harness;

impl Family for Harness {
    fn part(&self) -> &'static str {
        HARNESS
    }

    fn measures(&self) -> Vec<Measure> {
        vec![Measure::Ohms]
    }

    fn groups(&self, _: &Bench<'_>, _: &mut Draws) -> Result<Vec<Group>, Refused> {
        Ok(Vec::new())
    }

    fn estimates(&self, _: &Weighed<'_>, _: &mut Draws) -> Vec<Estimate> {
        Vec::new()
    }

    fn cautions(&self) -> Warned {
        (
            &["tracing", "metering"],
            &["neg-first", "eyes", "short", "relieve"],
        )
    }

    fn is_fed(&self) -> bool {
        false
    }

    fn words(&self, condition: &str) -> (&'static str, &'static str) {
        among(&WORDS, condition)
    }

    fn name(&self, _: Measure) -> &'static str {
        "ohms"
    }
}

/// A load that conducts on the way, and its share of the reading's conductance.
pub(super) struct Plugged {
    pub(super) id: PartId,
    pub(super) name: String,
    pub(super) share: f64,
}

/// The loads that count, the largest share first.
fn loads(
    question: &OhmsQuestion<'_>,
    resolved: &Resolved,
    draws: &mut Draws,
) -> Result<Vec<Plugged>, Refused> {
    let circuit = question.circuit;
    let mut conducts = |standing: &Standing<'_>| -> Result<f64, Refused> {
        let found = ohms_between(circuit, resolved, standing, question.between, 1, draws)?;
        Ok(found[0].map_or(0.0, |ohm| 1.0 / ohm))
    };
    let whole = conducts(&question.standing)?;
    let mut found = Vec::new();
    for id in circuit.part_ids() {
        let part = circuit.part(id);
        let is_load = part.kind().is_consumer_or_charger();
        if whole <= 0.0 || !is_load || question.standing.unplugged.contains(&id) {
            continue;
        }
        let mut without = question.standing.clone();
        without.unplugged.insert(id);
        let share = 1.0 - conducts(&without)? / whole;
        if share >= COUNTS {
            found.push(Plugged {
                id,
                name: part.name.clone(),
                share,
            });
        }
    }
    found.sort_by(|a, b| b.share.total_cmp(&a.share));
    Ok(found)
}

/// Ohms of the drawn circuits; those of an open way are a hundred megohms.
pub(super) fn drawn(
    question: &OhmsQuestion<'_>,
    resolved: &Resolved,
    standing: &Standing<'_>,
    draws: &mut Draws,
) -> Result<Vec<f64>, Refused> {
    let standing = Standing {
        film: true,
        ..standing.clone()
    };
    let found = ohms_between(
        question.circuit,
        resolved,
        &standing,
        question.between,
        SPECIMENS,
        draws,
    )?;
    let ohms = found.into_iter().take(SPECIMENS);
    Ok(ohms.map(|ohm| ohm.unwrap_or(NOTHING_OHM)).collect())
}

/// Ohms of a way on which nothing conducts.
const NOTHING_OHM: f64 = 1e8;

/// The meter's own error: its last digit, for the leads are drawn.
fn of_meter(rig: &Rig) -> Result<Kernel, OutOfTable> {
    let mut rig = rig.clone();
    rig.ohms_error.plus = 0.5 * DIGIT_OHM;
    Kernel::of(&rig)
}

/// What a hand meter's last digit is worth, ohms.
pub const DIGIT_OHM: f64 = 0.1;

/// Some ohms as they are read, with what the leads add: anything up to all of it.
fn through_leads(question: &OhmsQuestion<'_>, ohms: &[f64], draws: &mut Draws) -> Vec<f64> {
    let most_ohm = question.rig.ohms_error.plus;
    let with = |ohm: &f64| ohm + draws.between(0.0, most_ohm);
    ohms.iter().map(with).collect()
}

fn groups(
    question: &OhmsQuestion<'_>,
    resolved: &Resolved,
    (loads, stuck): (&[Plugged], &[Stuck]),
    sound: &[f64],
    draws: &mut Draws,
) -> Result<Vec<Group>, Refused> {
    let group = |condition: &'static str, ohms: &[f64], draws: &mut Draws| Group {
        condition,
        prior: question.priors.of(condition),
        brings: Vec::new(),
        specimens: through_leads(question, ohms, draws)
            .into_iter()
            .map(|ohm| Specimen {
                weight: 1.0,
                runs: vec![Seen::NOTHING.with(Measure::Ohms, ohm)],
                winding_ohm: f64::NAN,
            })
            .collect(),
    };
    let mut groups = vec![group("healthy", sound, draws)];
    for (condition, least, most) in BESIDE {
        let with = |ohm: &f64| 1.0 / (1.0 / ohm + 1.0 / draws.decades(least, most));
        let with: Vec<f64> = sound.iter().map(with).collect();
        groups.push(group(condition, &with, draws));
    }
    let mut open = Vec::new();
    for load in loads.iter().take(NAMED) {
        let mut without = question.standing.clone();
        without.unplugged.insert(load.id);
        let ohms = drawn(question, resolved, &without, draws)?;
        // As many as its share of the reading.
        let count = (load.share * SPECIMENS as f64).ceil() as usize;
        open.extend(ohms.into_iter().take(count));
    }
    if !open.is_empty() {
        groups.push(group("open", &open, draws));
    }
    let closed: Vec<f64> = stuck.iter().flat_map(|one| one.ohms.clone()).collect();
    if !closed.is_empty() {
        groups.push(group(STUCK, &closed, draws));
    }
    Ok(groups)
}

/// The reading that tells a contact that stays closed, where one is likely.
fn parting(
    question: &OhmsQuestion<'_>,
    groups: &[Group],
    shares: &[f64],
    stuck: &[Stuck],
) -> Option<String> {
    let at = groups.iter().position(|group| group.condition == STUCK)?;
    (shares[at] > odds::DOUBTED).then(|| stuck::next(question, stuck))?
}

/// What lies beside the loads, where something does.
fn beside(
    question: &OhmsQuestion<'_>,
    top: Option<&'static str>,
    sound: &[f64],
    kernel: &Kernel,
    draws: &mut Draws,
) -> Option<Estimate> {
    top.filter(|top| BESIDE.iter().any(|(word, ..)| word == top))?;
    let plus = question.rig.ohms_error.plus;
    let reach = kernel.reach(Measure::Ohms, question.read_ohm);
    let beside = sound.iter().filter_map(|ohm| {
        let leads_ohm = draws.between(0.0, plus);
        let off = draws.between(-reach, reach);
        let true_ohm = (question.read_ohm + off - leads_ohm).max(0.0);
        let more_s = 1.0 / true_ohm.max(1e-3) - 1.0 / ohm;
        (more_s > 0.0).then(|| (1.0 / more_s, 1.0))
    });
    let band = estimates::middle_nine(beside.collect())?;
    Some(Estimate::new(
        "ohms of what lies beside the loads that are plugged in",
        band,
        "ohm",
    ))
}
