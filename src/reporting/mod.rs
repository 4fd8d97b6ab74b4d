//! Everything one page about a circuit holds, gathered from the studies.
//!
//! [`report`] solves the circuit, holds every fuse against what it guards,
//! lays out the wiring diagram and puts the states over it, and works out what
//! every part should read on the bench. Nothing is drawn here: `present` makes
//! a page of it, or pictures alone.
//!
//! # Limits
//! Those of the studies it asks; nothing is computed anew.
//!
//! Used by the command line.

mod fuse_chart;
mod ladder;
mod log_words;
mod overlay;
mod trace;
mod worksheet;

pub use fuse_chart::{Band, FuseChart, Mark, Rank};
pub use ladder::{LadderChart, Step};
pub use log_words::LogWords;
pub use overlay::{Flow, Overlay, Shown};
pub use trace::{TraceChart, TraceCurve};
pub use worksheet::{Field, Fit, Reader, SheetStep, Worksheet};

use crate::bench::Refused;
use crate::circuit::Circuit;
use crate::document::{Block, Document};
use crate::drawing::{Conductor, Drawing, draw};
use crate::findings::{Assumed, Finding};
use crate::protecting;
use crate::solving::{SolveError, document, solve};
use crate::sources::Source;
use crate::span::CircuitText;
use crate::tables::cautions::{deference, two_line_summary};
use sha2::{Digest, Sha256};

/// The wiring diagram with its states.
#[derive(Debug, Clone, PartialEq)]
pub struct Diagram {
    /// The circuit's title.
    pub title: String,
    /// The layout.
    pub drawing: Drawing,
    /// What each conductor is, in words.
    pub names: Vec<String>,
    /// The states, in the file's order.
    pub overlays: Vec<Overlay>,
}

/// A report.
#[derive(Debug, Clone, PartialEq)]
pub struct Report {
    /// The circuit's title.
    pub title: String,
    /// First line where the circuit is not the reader's own.
    pub about: Option<String>,
    /// Name of the circuit file.
    pub file: String,
    /// SHA-256 of the circuit file.
    pub hash: String,
    /// Name and SHA-256 of the wire list beside it, if it names one.
    pub list: Option<(String, String)>,
    /// What comes before everything else.
    pub cautions: Vec<String>,
    /// The answers of the studies, in one sentence each.
    pub answers: Vec<String>,
    /// The wiring diagram.
    pub diagram: Diagram,
    /// What every load, fuse and wire gets.
    pub solved: Document,
    /// Every fuse against what it guards, in one table.
    pub protected: Document,
    /// The time-current chart of each fuse, with its verdicts.
    pub fuses: Vec<FuseChart>,
    /// Where each load's volts go.
    pub ladders: Vec<LadderChart>,
    /// Starts, stalls and cranking in time.
    pub traces: Vec<TraceChart>,
    /// What to read of each part on the bench.
    pub worksheets: Vec<Worksheet>,
    /// What was found.
    pub findings: Vec<Finding>,
    /// Defaults that entered.
    pub assumed: Vec<Assumed>,
    /// Citations.
    pub sources: Vec<Source>,
}

/// Why there is no report.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ReportError {
    /// The circuit cannot be solved.
    #[error(transparent)]
    Solve(#[from] SolveError),
    /// A part's bench test cannot be worked out.
    #[error(transparent)]
    Bench(#[from] Refused),
}

/// The report of a circuit; `found` is what reading its file said.
///
/// # Errors
/// A circuit that cannot be solved.
pub fn report(
    circuit: &Circuit,
    text: &CircuitText,
    about: Option<String>,
    found: Vec<Finding>,
) -> Result<Report, ReportError> {
    let solution = solve(circuit)?;
    let fuses = protecting::study(circuit)?;
    let solved = document(circuit, &solution, None);
    let protected = protecting::document(circuit, &fuses, protecting::Shown::default());
    let mut findings = found;
    for finding in solution.findings.iter().chain(&fuses.findings) {
        // Both studies tell some: the fuses' own, from solving.
        if !findings.contains(finding) {
            findings.push(finding.clone());
        }
    }
    let mut assumed = solution.assumed.clone();
    for one in &fuses.assumed {
        if !assumed.contains(one) {
            assumed.push(one.clone());
        }
    }
    Ok(Report {
        title: circuit.title.clone(),
        about,
        file: text.name.clone(),
        hash: hash(&text.text),
        list: text
            .list
            .as_ref()
            .zip(text.list_text())
            .map(|(list, whole)| (list.name.clone(), hash(whole))),
        cautions: cautions(&protected),
        answers: [&solved, &protected]
            .into_iter()
            .flat_map(answers)
            .collect(),
        diagram: diagram(circuit, &solution, &findings),
        fuses: fuse_chart::charts(&fuses),
        ladders: ladder::ladders(circuit, &solution),
        traces: trace::traces(circuit, &solution, &fuses),
        worksheets: worksheet::worksheets(circuit)?,
        solved,
        protected: overview(&protected),
        sources: cited(&findings, &assumed, fuses.sources),
        findings,
        assumed,
    })
}

/// The table and the remarks, and what belongs to no fuse; each fuse's verdicts
/// stand under its chart.
fn overview(protected: &Document) -> Document {
    let mut short = Document::new();
    let mut of_one_fuse = false;
    for block in protected.blocks() {
        if let Block::Heading { text, .. } = block {
            // A fuse's own heading begins with its name.
            of_one_fuse = text.starts_with('`');
        }
        if !of_one_fuse && !matches!(block, Block::Answer(_)) {
            short.push(block.clone());
        }
    }
    short
}

/// SHA-256 in small hexadecimal digits.
fn hash(text: &str) -> String {
    use std::fmt::Write;
    let mut shown = String::new();
    for byte in Sha256::digest(text.as_bytes()) {
        // Writing to a string cannot fail.
        let _ = write!(shown, "{byte:02x}");
    }
    shown
}

fn cautions(protected: &Document) -> Vec<String> {
    let mut all: Vec<String> = two_line_summary().into_iter().map(Into::into).collect();
    for caution in protected.cautions() {
        if !all.contains(caution) {
            all.push(caution.clone());
        }
    }
    let last = deference();
    all.retain(|caution| *caution != last);
    all.push(last.into());
    all
}

fn answers(document: &Document) -> Vec<String> {
    let blocks = document.blocks().iter();
    blocks
        .filter_map(|block| match block {
            Block::Answer(sentence) => Some(sentence.clone()),
            _ => None,
        })
        .collect()
}

fn cited(findings: &[Finding], assumed: &[Assumed], own: Vec<Source>) -> Vec<Source> {
    let mut all = own;
    let others = findings.iter().flat_map(|finding| &finding.sources);
    for source in others.chain(assumed.iter().map(|one| &one.source)) {
        if !all.contains(source) {
            all.push(source.clone());
        }
    }
    all
}

fn diagram(
    circuit: &Circuit,
    solution: &crate::solving::Solution,
    findings: &[Finding],
) -> Diagram {
    let drawing = draw(circuit);
    let names = drawing
        .conductors
        .iter()
        .map(|of| name(circuit, of.conductor))
        .collect();
    let overlays = solution
        .states
        .iter()
        .filter_map(|solved| {
            let state = circuit
                .states
                .iter()
                .find(|state| state.name == solved.name)?;
            Some(overlay::overlay(circuit, &drawing, state, solved, findings))
        })
        .collect();
    Diagram {
        title: circuit.title.clone(),
        drawing,
        names,
        overlays,
    }
}

fn name(circuit: &Circuit, conductor: Conductor) -> String {
    match conductor {
        Conductor::Wire(at) => {
            let wire = &circuit.wires[at];
            let named = wire.name.as_ref().map_or("", |given| given.value.as_str());
            let colour = wire
                .colour
                .as_ref()
                .map_or("", |given| given.value.as_str());
            let mut words = vec![
                circuit.wire_label(wire),
                wire.size.value.to_string(),
                crate::quantities::print::nominal(wire.length.value.typical),
            ];
            let own = [named, colour].into_iter().filter(|text| !text.is_empty());
            words.extend(own.map(str::to_owned));
            words.join(", ")
        }
        Conductor::Join(at) => {
            let join = &circuit.joins[at];
            let [a, b] = [join.part, join.to].map(|end| &circuit.terminal(end).label);
            format!("{a} bolted to {b}")
        }
    }
}
