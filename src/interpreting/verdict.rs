//! Question in, interpretation out.

use super::evidence::{Evidence, Measure, Run, RunKind};
use super::kernel::Kernel;
use super::odds::{self, NONE_OF_THESE, Odds};
use super::sentences::{cautions_of, impossible, notes, rig_in_words, statement};
use super::specimen::Group;
use super::{
    Estimate, Examined, Interpretation, Question, Verdict, battery, estimates, next, pump, relay,
    words,
};
use crate::bench::{Draws, Refused};

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
    let worth = next::best(
        &groups,
        &odds,
        &candidates(question, &asked),
        &kernel,
        &mut draws,
    );
    let next_reading = worth.map(|worth| {
        let made = question.evidence.runs.len();
        let run = question.evidence.runs.get(worth.run).or(asked.first());
        let kind = run.map_or(RunKind::Wet, Run::kind);
        words::how_to_read(
            worth.measure,
            kind,
            worth.run >= made,
            question.rig.aboard.is_some(),
        )
    });
    let impossible = impossible(question, &evidence, &groups, &odds, &kernel);
    let conditions = verdicts(&groups, &odds, &evidence, &kernel);
    Ok(Interpretation {
        title: question.title.clone(),
        rig: rig_in_words(question),
        in_boat: question.rig.aboard.is_some(),
        cautions: cautions_of(question),
        statement: statement(question, &groups, &odds, impossible.is_some()),
        conditions,
        twins: odds::twins(&groups, &odds)
            .into_iter()
            .map(|at| groups[at].condition)
            .collect(),
        estimates: estimated(question, &groups, &odds, &kernel, &mut draws),
        impossible,
        next_reading,
        notes: notes(question, &groups, &odds, &kernel)?,
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
            kind: Some(if builds {
                RunKind::AtPressure
            } else {
                RunKind::Wet
            }),
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
        Examined::Pump(motor, _) => {
            pump::groups(motor, rig, evidence, asked, priors, kernel, draws)
        }
        Examined::Relay(relay) => relay::groups(relay, rig, evidence, priors, kernel, draws),
        Examined::Battery => Ok(battery::groups(rig, evidence, priors, kernel, draws)),
    }
}

/// The readings to hold against the specimens; a battery's current is its load.
fn held_against(question: &Question) -> Evidence {
    let mut evidence = question.evidence.clone();
    if question.examined == Examined::Battery {
        for run in &mut evidence.runs {
            run.readings
                .retain(|(measure, _)| *measure != Measure::Amps);
        }
    }
    evidence
}

fn candidates(question: &Question, asked: &[Run]) -> Vec<(usize, Measure)> {
    let made = &question.evidence.runs;
    let mut can = question.examined.measures();
    if question.rig.aboard.is_some() {
        // Nobody raises the volts of a boat slowly.
        can.retain(|of| *of != Measure::PullIn);
    }
    let last = made.len().saturating_sub(1);
    let mut found = Vec::new();
    match (&question.examined, made.last()) {
        (Examined::Battery, _) => found.push((made.len(), Measure::PostVolts)),
        (_, Some(run)) => {
            let left = can.iter().filter(|of| run.get(**of).is_none());
            let fuse = question.evidence.fuse.is_some();
            let is_relay = matches!(question.examined, Examined::Relay(_));
            let left = left.filter(|of| **of != Measure::Millivolts || is_relay || fuse);
            found.extend(left.map(|of| (last, *of)));
        }
        (Examined::Relay(_), None) => found.extend(can.iter().map(|of| (0, *of))),
        _ => {}
    }
    if !asked.is_empty() {
        let usual = [
            Measure::Amps,
            Measure::Speed,
            Measure::Pressure,
            Measure::Volts,
        ];
        found.extend(
            usual
                .into_iter()
                .filter(|of| can.contains(of))
                .map(|of| (made.len(), of)),
        );
    }
    found
}

pub(super) fn verdicts(
    groups: &[Group],
    odds: &Odds,
    evidence: &Evidence,
    kernel: &Kernel,
) -> Vec<Verdict> {
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
            let in_boat = question.rig.aboard.is_some();
            let mut found = estimates::of_loop(evidence, in_boat, kernel, draws);
            let words = "winding resistance, brushes taken out, over all conditions by their odds";
            if odds.misfit <= 0.5 {
                found.extend(estimates::winding(groups, odds, words));
            }
            found.extend(estimates::back_emf(motor, evidence, kernel, draws));
            found
        }
        Examined::Relay(_) => {
            let words = "coil resistance, over all conditions by their odds";
            estimates::winding(groups, odds, words)
                .into_iter()
                .collect()
        }
        Examined::Battery => estimates::of_battery(evidence, kernel, draws),
    }
}
