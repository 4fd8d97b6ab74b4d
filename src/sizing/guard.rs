//! What `protect` says of a circuit, as far as sizing can act on it.
//!
//! The only file of this module that knows [`crate::protecting`]: it takes the
//! verdicts of its checks and two of its figures.

use super::choices::Choices;
use super::fuses::FuseCase;
use crate::circuit::Circuit;
use crate::findings::{Finding, Severity};
use crate::heating::{Life, starts_before_fatigue};
use crate::protecting::{Check, Kind, Report, Verdict, study};
use crate::solving::SolveError;
use crate::tables::OutOfTable;

/// Starts a fuse is chosen to stand at least: ten a day for three years
/// (judgement; the chart behind it ends at 100 000).
pub(super) const STARTS: f64 = 10_000.0;

/// Why a wire is too thin for the fuse before it, in time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Outlasts {
    /// A short at its far end is not ended before its insulation fails.
    Short,
    /// An overload that the fuse lets through for a while.
    Overload,
}

/// A wire that its fuse does not save.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Thin {
    /// Place among the fuses.
    pub fuse: usize,
    /// Index of the wire in the circuit.
    pub wire: usize,
    /// What it does not stand.
    pub outlasts: Outlasts,
}

/// A fuse and the one before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Pair {
    /// Place among the fuses.
    pub fuse: usize,
    /// Place of the one before it.
    pub upstream: usize,
    /// How it came out; a note or better where the branch likely opens first.
    pub verdict: Verdict,
}

/// What was found.
#[derive(Debug, Clone, Default)]
pub(super) struct Guard {
    /// Everything `protect` finds.
    pub findings: Vec<Finding>,
    /// Wires that are too thin for their fuse in time.
    pub thin: Vec<Thin>,
    /// Fuses that a start opens, or wears out before its time.
    pub starts: Vec<usize>,
    /// Fuses under fuses.
    pub pairs: Vec<Pair>,
    /// Worst verdict of each kind of check, for every fuse.
    pub verdicts: Vec<Vec<(Kind, Verdict)>>,
}

impl Guard {
    /// Holds every fuse of a circuit against everything it guards.
    ///
    /// # Errors
    /// As [`study`].
    pub(super) fn of(
        circuit: &Circuit,
        choices: &[Choices],
        fuses: &[FuseCase],
    ) -> Result<Self, SolveError> {
        let found = study(circuit)?;
        let mut guard = Self {
            findings: found.findings,
            verdicts: vec![Vec::new(); fuses.len()],
            ..Self::default()
        };
        for report in &found.fuses {
            let Some(fuse) = fuses.iter().position(|case| case.name == report.name) else {
                continue;
            };
            guard.take(circuit, choices, fuses, fuse, report)?;
        }
        Ok(guard)
    }

    fn take(
        &mut self,
        circuit: &Circuit,
        choices: &[Choices],
        fuses: &[FuseCase],
        fuse: usize,
        report: &Report,
    ) -> Result<(), OutOfTable> {
        for check in &report.checks {
            self.note(fuse, check);
            let outlasts = match (check.kind, check.verdict) {
                (Kind::Short, Verdict::Violation) => Outlasts::Short,
                (Kind::Overload, Verdict::Caution) => Outlasts::Overload,
                (Kind::Start, _) => {
                    if !survives(check)? && !self.starts.contains(&fuse) {
                        self.starts.push(fuse);
                    }
                    continue;
                }
                (Kind::Selectivity, verdict) => {
                    let named = |case: &FuseCase| Some(&case.name) == check.about.as_ref();
                    self.pairs
                        .extend(fuses.iter().position(named).map(|upstream| Pair {
                            fuse,
                            upstream,
                            verdict,
                        }));
                    continue;
                }
                _ => continue,
            };
            // Wires side by side share a label: all of them are meant.
            let wires = fuses[fuse].wires.iter().copied().filter(|wire| {
                let label = circuit.wire_label(&circuit.wires[*wire]);
                Some(label) == check.about && !choices[*wire].fixed
            });
            self.thin.extend(wires.map(|wire| Thin {
                fuse,
                wire,
                outlasts,
            }));
        }
        Ok(())
    }

    fn note(&mut self, fuse: usize, check: &Check) {
        let verdicts = &mut self.verdicts[fuse];
        match verdicts.iter_mut().find(|(kind, _)| *kind == check.kind) {
            Some((_, worst)) => *worst = (*worst).max(check.verdict),
            None => verdicts.push((check.kind, check.verdict)),
        }
    }

    /// Findings that sizing could mend and has not, violations alone unless
    /// cautions count too.
    pub(super) fn open(&self, cautions: bool) -> impl Iterator<Item = &Finding> {
        self.findings.iter().filter(move |finding| {
            let counts = cautions || finding.severity() == Severity::Violation;
            counts && finding.sizing_can_mend
        })
    }
}

/// Whether the earliest fuse rides a start out, and stands enough of them.
fn survives(check: &Check) -> Result<bool, OutOfTable> {
    let opens = check.value("opens_earliest_s").is_some();
    let stands = match check.value("heat_from_cold") {
        Some(peak) => match starts_before_fatigue(peak)?.value {
            Life::Short => false,
            Life::Starts(count) => count >= STARTS,
            Life::Long => true,
        },
        None => true,
    };
    Ok(!opens && stands)
}
