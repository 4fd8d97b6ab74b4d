//! Question in, interpretation out: the same for every family of parts.

use super::evidence::{Evidence, Run};
use super::family::{Bench, Family, Weighed, candidates};
use super::kernel::Kernel;
use super::odds::{self, DOUBTED, NONE_OF_THESE, Odds};
use super::sentences::{self, cautions_of, impossible, rig_in_words, statement};
use super::{Interpretation, Measure, Question, Verdict, next, ranges, words};
use crate::bench::{Draws, Refused};

/// Says what the readings mean.
///
/// # Errors
/// A figure no table has, or a rig without an operating point.
pub fn interpret(question: &Question) -> Result<Interpretation, Refused> {
    let family = question.examined.family();
    let family = family.as_ref();
    let kernel = Kernel::of(&question.rig)?;
    let mut draws = Draws::seeded(question.seed);
    let asked = asked(family, &question.evidence);
    let bench = Bench {
        rig: &question.rig,
        evidence: &question.evidence,
        runs: question.evidence.runs.iter().chain(&asked).collect(),
        priors: &question.priors,
        kernel: &kernel,
    };
    let groups = family.groups(&bench, &mut draws)?;
    let evidence = held_against(family, &question.evidence);
    let readings = odds::compared(&evidence, family.drawn());
    let prior_none = question.priors.of(NONE_OF_THESE);
    let mut odds = odds::odds(&groups, prior_none, &evidence, &readings, &kernel);
    let ranges = ranges::of_groups(&groups, &bench, family);
    let has_read = question.evidence.rest_v.is_some() || !readings.is_empty();
    if has_read && ranges::is_nowhere(&groups, &ranges) {
        odds.excluded(1.0 - ranges::NEARLY_ALL);
    }
    let weighed = Weighed {
        bench: &bench,
        groups: &groups,
        ranges: &ranges,
        odds: &odds,
    };
    let next_reading = next_reading(family, &weighed, &mut draws);
    let impossible = impossible(family, &weighed, &readings);
    let mut notes = family.notes(&weighed)?;
    notes.extend(sentences::small_fuse(family, &weighed));
    notes.extend(sentences::blunt(&odds));
    Ok(Interpretation {
        title: question.title.clone(),
        rig: rig_in_words(family, question),
        in_boat: question.rig.aboard.is_some(),
        cautions: cautions_of(family, &question.rig, weighed.may_be_shorted(family)),
        statement: statement(family, &weighed, impossible.is_some()),
        conditions: verdicts(family, &weighed),
        twins: if impossible.is_some() {
            // Readings that do not go together part nothing.
            Vec::new()
        } else {
            odds::twins(&groups, &odds)
        },
        estimates: family.estimates(&weighed, &mut draws),
        impossible,
        next_reading,
        notes,
        seed: question.seed,
    })
}

/// Runs that were not made; one at least where none was made at all.
fn asked(family: &dyn Family, evidence: &Evidence) -> Vec<Run> {
    let mut asked = family.asked(evidence);
    if asked.is_empty() && evidence.runs.is_empty() {
        asked.push(Run::default());
    }
    asked
}

/// The readings to hold against the specimens: not those that set a run.
fn held_against(family: &dyn Family, evidence: &Evidence) -> Evidence {
    let mut evidence = evidence.clone();
    for run in &mut evidence.runs {
        run.readings
            .retain(|(measure, _)| !family.given().contains(measure));
    }
    evidence
}

/// How to be sure of a short without power.
const SHORT_AGAIN: &str = "press the meter's leads together, note what they show, and read its ohms again, off the harness: what stays above the leads is its own";

/// How to know what the bench battery gave.
const READ_AT_REST: &str = "read the volts of the bench battery at rest, nothing connected, and add them as `--battery-volts`";

/// Whether volts of the battery, not read, leave a low one beside another fault.
fn asks_rest(family: &dyn Family, weighed: &Weighed<'_>) -> bool {
    let Bench { rig, evidence, .. } = weighed.bench;
    let is_unread = evidence.rest_v.is_none() && rig.aboard.is_none() && family.is_fed();
    let has_volts = evidence
        .readings()
        .any(|(_, of, _)| matches!(of, Measure::Volts | Measure::PostVolts));
    let low = weighed.share("low-supply");
    is_unread && has_volts && (DOUBTED..1.0 - DOUBTED).contains(&low)
}

fn next_reading(family: &dyn Family, weighed: &Weighed<'_>, draws: &mut Draws) -> Option<String> {
    let bench = weighed.bench;
    if let Some(own) = family.settles(weighed) {
        return Some(own);
    }
    if asks_rest(family, weighed) {
        return Some(READ_AT_REST.to_owned());
    }
    let left = candidates(family, weighed);
    if left.is_empty() && weighed.may_be_shorted(family) {
        return Some(SHORT_AGAIN.to_owned());
    }
    let worth = next::best(weighed.groups, weighed.odds, &left, bench.kernel, draws)?;
    let is_new = worth.run >= bench.evidence.runs.len();
    let kind = bench.runs[worth.run].kind;
    let how = if bench.rig.aboard.is_some() {
        family.how_aboard(worth.measure)
    } else {
        family.how(worth.measure)
    };
    Some(words::how_to_read(how, worth.measure, kind, is_new))
}

pub(super) fn verdicts(family: &dyn Family, weighed: &Weighed<'_>) -> Vec<Verdict> {
    let Odds { share, none, .. } = weighed.odds;
    let each = weighed.groups.iter().zip(weighed.ranges).zip(share);
    let mut all: Vec<Verdict> = each
        .map(|((group, ranges), share)| Verdict {
            condition: group.condition,
            means: family.words(group.condition).0,
            probability: *share,
            because: words::because(ranges, family.given()),
        })
        .collect();
    all.push(Verdict {
        condition: NONE_OF_THESE,
        means: family.words(NONE_OF_THESE).0,
        probability: *none,
        because: "anything the others do not show, even over all readings there can be".to_owned(),
    });
    all.sort_by(|a, b| b.probability.total_cmp(&a.probability));
    all
}
