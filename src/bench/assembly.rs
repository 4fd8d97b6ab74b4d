//! Puts a procedure together, so that no step's caution is missing at the start.

use super::preparation::small_fuse;
use super::rig::Rig;
use super::steps::{Logged, Procedure, Quantity, Signature, Step};
use super::{Draws, SPECIMENS, Subject};
use crate::findings::Assumed;
use crate::quantities::Band;
use crate::sources::Source;
use crate::tables::cautions::{Caution, cautions};

/// What differs between procedures.
#[derive(Debug, Default)]
pub(super) struct Sheet {
    /// Topics of its cautions.
    pub topics: &'static [&'static str],
    /// Cautions beside those of its topics and steps, by their tags.
    pub tags: &'static [&'static str],
    /// The main reading in one sentence.
    pub answer: String,
    /// The steps.
    pub steps: Vec<Step>,
    /// What faults would show.
    pub signatures: Vec<Signature>,
    /// Citations.
    pub sources: Vec<Source>,
}

/// A procedure on the rig.
pub(super) fn on_rig(subject: &Subject, rig: &Rig, draws: &Draws, mut sheet: Sheet) -> Procedure {
    if let Some(told) = most_drawn_a(&sheet.steps).and_then(|most_a| small_fuse(rig, most_a)) {
        sheet.answer = format!("{}; but the {told}", sheet.answer);
    }
    for finding in rig.findings() {
        let hint = finding.hint.as_deref().unwrap_or_default();
        sheet.answer = format!("{}; {}: {hint}", sheet.answer, finding.statement);
    }
    let mut found = assembled(draws, sheet);
    found.cautions.retain(|caution| fits_lead(caution, rig));
    Procedure {
        title: subject.in_words(),
        rig: rig.words.clone(),
        findings: rig.findings(),
        assumed: [subject.assumed.clone(), rig.assumed.clone()].concat(),
        ..found
    }
}

/// Jump cables have no fuse to choose.
pub fn fits_lead(caution: &Caution, rig: &Rig) -> bool {
    !(rig.heavy && caution.tag == "fuse-lead")
}

/// The largest current of a sound part through the lead, by the steps.
fn most_drawn_a(steps: &[Step]) -> Option<f64> {
    let readings = steps.iter().flat_map(|step| &step.expect);
    readings
        .filter(|read| matches!(read.logged, Some(Logged::OfPart(Quantity::Amps, _))))
        .filter_map(|read| read.typical)
        .reduce(f64::max)
}

/// A procedure with a meter alone: battery and leads do not enter.
pub(super) fn by_meter(subject: &Subject, rig: &Rig, draws: &Draws, sheet: Sheet) -> Procedure {
    let of_meter = meter_notes(rig);
    Procedure {
        title: subject.in_words(),
        rig: meter_words(rig),
        assumed: subject.assumed.iter().cloned().chain(of_meter).collect(),
        ..assembled(draws, sheet)
    }
}

/// The meter in words.
pub(super) fn meter_words(rig: &Rig) -> String {
    format!("hand meter, {}", rig.air)
}

/// What was assumed of the meter.
pub(super) fn meter_notes(rig: &Rig) -> impl Iterator<Item = Assumed> + '_ {
    let of_meter = |assumed: &&Assumed| assumed.subject == "meter";
    rig.assumed.iter().filter(of_meter).cloned()
}

/// A procedure without title, rig and defaults.
pub(super) fn assembled(draws: &Draws, sheet: Sheet) -> Procedure {
    Procedure {
        title: String::new(),
        rig: String::new(),
        cautions: all_cautions(&sheet),
        answer: sheet.answer,
        steps: sheet.steps,
        signatures: sheet.signatures,
        findings: Vec::new(),
        assumed: Vec::new(),
        sources: sheet.sources,
        seed: draws.seed(),
        specimens: SPECIMENS,
    }
}

/// Cautions of the topics, those that always apply, those of every step and
/// others by their tags, in the order of their table.
fn all_cautions(sheet: &Sheet) -> Vec<Caution> {
    let named = |caution: &Caution| {
        caution.applies(sheet.topics)
            || sheet.tags.contains(&caution.tag.as_str())
            || sheet
                .steps
                .iter()
                .any(|step| step.cautions.contains(caution))
    };
    cautions().into_iter().filter(named).collect()
}

/// A current or drop that exists reads no less than nothing.
pub(super) fn positive(band: Band<f64>) -> Band<f64> {
    Band {
        low: band.low.max(0.0),
        ..band
    }
}
