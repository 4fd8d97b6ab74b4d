//! What every family of parts tells the engine: what can be read of it, what each
//! of its conditions shows in the rig, and its words.
//!
//! The engine (`verdict`) knows no part: it asks a family for specimens of each
//! condition, holds the readings against them, and puts the answer in its words.

use super::evidence::{Evidence, Run, RunKind};
use super::kernel::Kernel;
use super::odds::{self, Odds, Priors};
use super::ranges::Range;
use super::short::{SHORTED, SUSPECTED};
use super::specimen::Group;
use super::{Estimate, Measure};
use crate::bench::{Draws, Refused, Rig};

/// What specimens are drawn from.
pub(super) struct Bench<'a> {
    pub rig: &'a Rig,
    pub evidence: &'a Evidence,
    /// The runs that were made, then those that might be; one at least.
    pub runs: Vec<&'a Run>,
    pub priors: &'a Priors,
    pub kernel: &'a Kernel,
}

/// What came of the readings.
pub(super) struct Weighed<'a> {
    pub bench: &'a Bench<'a>,
    pub groups: &'a [Group],
    /// Ranges of every reading, in the order of the groups.
    pub ranges: &'a [Vec<Range>],
    pub odds: &'a Odds,
}

impl Weighed<'_> {
    /// The likeliest condition; none where none of them fits.
    pub(super) fn likeliest(&self) -> Option<&'static str> {
        odds::likeliest(self.odds).map(|at| self.groups[at].condition)
    }

    /// Odds of a condition, none where the part has no such one.
    pub(super) fn share(&self, condition: &str) -> f64 {
        let found = self.groups.iter().zip(&self.odds.share);
        let mut named = found.filter(|(group, _)| group.condition == condition);
        named.next().map_or(0.0, |(_, share)| *share)
    }

    /// Whether a short inside is likely enough to keep it off a battery.
    pub(super) fn may_be_shorted(&self, family: &dyn Family) -> bool {
        !family.is_tried_behind_a_lamp() && self.share(SHORTED) >= SUSPECTED
    }
}

/// A condition in a few words, and what its readings are like.
pub(super) type Words = (&'static str, &'static str, &'static str);

/// The words of a condition in a list of them.
pub(super) fn among(list: &[Words], condition: &str) -> (&'static str, &'static str) {
    let found = list.iter().find(|(word, ..)| *word == condition);
    found.map_or(
        ("none of these", "fits none of them"),
        |(_, short, like)| (*short, *like),
    )
}

/// Which cautions a family's tests need: topics of their table, and tags.
pub(super) type Warned = (&'static [&'static str], &'static [&'static str]);

/// A family of parts with the same conditions and readings.
pub(super) trait Family {
    /// Its name in the table of odds.
    fn part(&self) -> &'static str;

    /// What it is called in a sentence.
    fn noun(&self) -> &'static str {
        self.part()
    }

    /// What can be read of it.
    fn measures(&self) -> Vec<Measure>;

    /// Kinds of run that its readings may come from.
    fn kinds(&self) -> &'static [RunKind] {
        &[]
    }

    /// Readings that set a run and are no evidence: the load of a battery.
    fn given(&self) -> &'static [Measure] {
        &[]
    }

    /// Readings that specimens are drawn from, their density in the weight.
    fn drawn(&self) -> &'static [Measure] {
        &[]
    }

    /// Readings it may be asked for next, in a run that was made or not.
    fn asks(&self, evidence: &Evidence, is_new: bool) -> Vec<Measure> {
        let _ = (evidence, is_new);
        let given = self.given();
        let all = self.measures().into_iter();
        all.filter(|of| !given.contains(of)).collect()
    }

    /// Runs that were not made and might tell more.
    fn asked(&self, evidence: &Evidence) -> Vec<Run> {
        let _ = evidence;
        Vec::new()
    }

    /// Whether a lamp in series takes what a short would let through.
    fn is_tried_behind_a_lamp(&self) -> bool {
        false
    }

    /// What the sentence must not leave out, whatever is likeliest.
    fn but(&self, weighed: &Weighed<'_>) -> Option<String> {
        let _ = weighed;
        None
    }

    /// What its only reading is of something else than the part's condition.
    fn hidden(&self, weighed: &Weighed<'_>) -> Option<String> {
        let _ = weighed;
        None
    }

    /// What another kind of the part than the one named shows of such readings.
    fn stands_for(&self, evidence: &Evidence) -> Option<&'static str> {
        let _ = evidence;
        None
    }

    /// What settles it where that is no reading of a meter: charge, then rest.
    fn settles(&self, weighed: &Weighed<'_>) -> Option<String> {
        let _ = weighed;
        None
    }

    /// Why a set of readings says nothing, and what to add.
    fn lacks(&self, evidence: &Evidence) -> Option<&'static str> {
        let _ = evidence;
        None
    }

    /// Specimens of every condition.
    fn groups(&self, bench: &Bench<'_>, draws: &mut Draws) -> Result<Vec<Group>, Refused>;

    /// Figures worked out.
    fn estimates(&self, weighed: &Weighed<'_>, draws: &mut Draws) -> Vec<Estimate>;

    /// More to know.
    fn notes(&self, weighed: &Weighed<'_>) -> Result<Vec<String>, Refused> {
        let _ = weighed;
        Ok(Vec::new())
    }

    /// Its cautions.
    fn cautions(&self) -> Warned;

    /// The most it may draw on a rig's lead, amperes; none where nothing feeds it.
    fn most_a(&self, rig: &Rig) -> Option<f64> {
        let _ = rig;
        None
    }

    /// Whether battery and leads of the rig feed it.
    fn is_fed(&self) -> bool {
        true
    }

    /// Whether it can be read in the boat, fed by its circuit.
    fn is_read_aboard(&self) -> bool {
        true
    }

    /// A condition in its words.
    fn words(&self, condition: &str) -> (&'static str, &'static str);

    /// What readings without power are like, where the words of a run would say more
    /// than was read.
    fn at_rest(&self, condition: &str) -> Option<&'static str> {
        let _ = condition;
        None
    }

    /// What a measure is called of it.
    fn name(&self, measure: Measure) -> &'static str {
        measure.words()
    }

    /// How to take a reading, where it differs from other parts.
    fn how(&self, measure: Measure) -> Option<&'static str> {
        let _ = measure;
        None
    }

    /// The same in the boat.
    fn how_aboard(&self, measure: Measure) -> Option<&'static str> {
        self.how(measure)
    }
}

/// The candidates for the next reading: those left of the last run, and those of
/// runs that were not made; no reading twice, and none with power on what may be
/// shorted.
pub(super) fn candidates(family: &dyn Family, weighed: &Weighed<'_>) -> Vec<(usize, Measure)> {
    let bench = weighed.bench;
    let may_be_powered = !weighed.may_be_shorted(family);
    let mut found = untaken(family, bench);
    found.retain(|(_, of)| may_be_powered || of.is_unpowered());
    found
}

fn untaken(family: &dyn Family, bench: &Bench<'_>) -> Vec<(usize, Measure)> {
    let made = bench.evidence.runs.len();
    // What is read without power is read once for all runs.
    let is_taken = |at: usize, of: Measure| {
        let runs = bench.evidence.runs.iter();
        let kind = bench.runs[at].kind();
        let mut same = runs.filter(|run| of.is_unpowered() || run.kind() == kind);
        same.any(|run| run.get(of).is_some())
    };
    let mut found = Vec::new();
    if let Some(last) = made.checked_sub(1) {
        let left = family.asks(bench.evidence, false).into_iter();
        // Nobody raises the volts of a boat slowly.
        let aboard = bench.rig.aboard.is_some();
        let left = left.filter(|of| !aboard || *of != Measure::PullIn);
        found.extend(left.filter(|of| !is_taken(last, *of)).map(|of| (last, of)));
    }
    for run in made..bench.runs.len() {
        let new = family.asks(bench.evidence, true).into_iter();
        found.extend(
            new.filter(|of| !of.is_unpowered() || !is_taken(run, *of))
                .map(|of| (run, of)),
        );
    }
    found
}
