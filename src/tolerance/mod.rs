//! What is not known, carried through: a circuit solved for thousands of boats
//! that its file may mean.
//!
//! Every figure with a range (lengths and sizes nobody measured, joints, clips,
//! contacts, the battery, loads by class, stated tolerances) is drawn; each drawn
//! circuit is solved in every state. [`study`] tells the range of each reading,
//! how often each verdict of `solve` turns out bad, whether it can be told at all
//! yet, the worst that the ranges allow, and what to measure next.
//!
//! # Limits
//! Steady states. Ranges are triangles between their ends, drawn each on its own
//! (judgement): what wires of one run or parts of one lot have in common makes
//! real spreads wider than these. Relays stand as in the typical circuit.

mod along;
mod batch;
mod changes;
mod corner;
mod dense;
mod eight;
mod gather;
mod next;
mod questions;
mod readings;
mod sampling;
mod screen;
mod screen_readings;
mod screen_steps;
mod season;
mod sharpen;
mod strata;
mod taker;
mod unguarded;
mod unknowns;
mod verdicts;

pub use next::Measure;
pub use questions::Side;
pub use readings::{Checked, Narrowed, Readings};
pub use screen::document;
pub use unknowns::{Unknown, Way};
pub use verdicts::{Standing, Verdict};

use crate::circuit::Circuit;
use crate::findings::{Assumed, Finding};
use crate::quantities::Dimension;
use crate::solving::SolveError;
use crate::tables::unwritten::ageing;
use batch::Batch;
use questions::Watch;
use sampling::{Drawing, sampled};

/// How a circuit is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Options {
    /// Circuits drawn.
    pub samples: u64,
    /// Start of all random numbers.
    pub seed: u64,
    /// Threads; the answer does not hang on it.
    pub threads: usize,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            samples: 4096,
            seed: 1,
            threads: 2,
        }
    }
}

/// A reading with its range.
#[derive(Debug, Clone, PartialEq)]
pub struct Range {
    /// State.
    pub state: String,
    /// Load, fuse or battery.
    pub subject: String,
    /// Volts or amperes.
    pub dimension: Dimension,
    /// With five percent of the drawn circuits below it.
    pub p5: f64,
    /// With half of them below it.
    pub p50: f64,
    /// With 95 percent of them below it.
    pub p95: f64,
}

/// What the drawn circuits showed.
#[derive(Debug, Clone, PartialEq)]
pub struct Study {
    /// How they were drawn.
    pub options: Options,
    /// Circuits without an operating point in some state.
    pub unsolved: u64,
    /// Everything that is not known exactly.
    pub unknowns: Vec<Unknown>,
    /// Of each unknown, the value with 5, 50 and 95 percent of the drawn boats
    /// below it: as its range has it, or as the readings leave it.
    pub drawn: Vec<[f64; 3]>,
    /// Every reading with its range, by state.
    pub ranges: Vec<Range>,
    /// Every verdict, by how it stands, then by subject.
    pub verdicts: Vec<Verdict>,
    /// What to measure, the most telling first.
    pub next: Vec<Measure>,
    /// Open verdicts that cannot be told even then: by subject, with the share of
    /// boats in which they cannot.
    pub left_open: Vec<(String, f64)>,
    /// What the owner's readings did, where the file has any.
    pub readings: Option<Readings>,
    /// What is to be said of the readings.
    pub findings: Vec<Finding>,
    /// What entered by default.
    pub assumed: Vec<Assumed>,
}

impl Study {
    /// Findings for verdicts that fail in nearly every boat and that the solution of
    /// the typical one has not among its own; `only` keeps one state.
    pub fn failing(&self, known: &[Finding], only: Option<&str>) -> Vec<Finding> {
        let is_known = |verdict: &Verdict| {
            let subject = verdict.about_fuse_or_part();
            let same = |known: &&Finding| known.code == verdict.code && known.subject == subject;
            known.iter().find(same).is_some()
        };
        let shown = |verdict: &&Verdict| {
            let state = verdict.state.as_deref();
            only.is_none_or(|only| state.is_none_or(|state| state == only))
        };
        let fails = self.verdicts.iter().filter(shown);
        fails
            .filter(|verdict| verdict.standing == Standing::Fails && !is_known(verdict))
            .map(screen::failing)
            .collect()
    }
}

/// What entered by default, the age of batteries among it.
fn assumed(batch: &Batch<'_>) -> Result<Vec<Assumed>, SolveError> {
    let mut all = batch.workings.resolved.assumed.clone();
    let ageing = ageing()?;
    for battery in unknowns::of_unknown_age(batch.circuit) {
        all.push(Assumed {
            subject: batch.circuit.part(battery).name.clone(),
            what: format!(
                "age not written: inside resistance {:.0} to {:.0} times new",
                ageing.value.low, ageing.value.high
            ),
            source: ageing.source.clone(),
        });
    }
    Ok(all)
}

/// Draws a circuit's boats and tells what holds for them.
///
/// # Errors
/// As [`crate::solving::solve`].
pub fn study(circuit: &Circuit, options: Options) -> Result<Study, SolveError> {
    let batch = Batch::new(circuit)?;
    let watch = Watch::of(&batch)?;
    let drawing = Drawing {
        samples: options.samples.max(1),
        seed: options.seed,
        threads: options.threads,
    };
    let takers = taker::takers(&batch)?;
    let (sampled, readings) = match sharpen::sharpened(&batch, &watch, drawing, &takers) {
        Some(sharpened) => {
            let readings = Readings::of(&batch, &sharpened);
            // A mean of what cannot both be so is the state of no boat.
            let sampled = if readings.contradict {
                sampled(&batch, &watch, drawing)
            } else {
                sharpened.sampled
            };
            (sampled, Some(readings))
        }
        None => (sampled(&batch, &watch, drawing), None),
    };
    let findings = readings::findings(circuit, readings.as_ref());
    let worst = corner::worst(&batch, &watch);
    let verdicts = verdicts::verdicts(&batch, &watch, &sampled, &worst);
    let steps = next::measures(&batch, &watch, &sampled, &verdicts);
    let range = |(column, reading): (usize, &questions::Watched)| {
        let [p5, p50, p95] = verdicts::percentiles(&sampled, column);
        Range {
            state: reading.state.clone(),
            subject: reading.subject.clone(),
            dimension: reading.dimension,
            p5,
            p50,
            p95,
        }
    };
    let drawn = (0..batch.unknowns.len()).map(|number| sampled.unknown(number));
    Ok(Study {
        options,
        drawn: drawn.collect(),
        unsolved: sampled.unsolved,
        ranges: watch.readings.iter().enumerate().map(range).collect(),
        verdicts: verdicts::sorted(verdicts),
        next: steps.measures,
        left_open: steps.left,
        readings,
        findings,
        assumed: assumed(&batch)?,
        unknowns: batch.unknowns,
    })
}
