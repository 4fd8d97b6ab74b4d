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
mod head;
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
use crate::document::{Block, Document, Table};
use crate::drawing::{Conductor, Drawing, Sheet, draw_in_sheets};
use crate::findings::{Assumed, Finding};
use crate::protecting;
use crate::solving::{Solution, SolveError, document, solve};
use crate::sources::Source;
use crate::span::CircuitText;
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

impl Diagram {
    /// What a picture of the whole is called.
    pub fn heading(&self) -> String {
        format!("Wiring diagram of {}", self.title)
    }
}

/// One sheet of a large diagram.
#[derive(Debug, Clone, PartialEq)]
pub struct DiagramSheet {
    /// What stands on it: the fuse that feeds it, or the supply.
    pub heading: String,
    /// On which other sheets its parts are found; empty where on none.
    pub continues: String,
    /// The drawing with its states.
    pub diagram: Diagram,
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
    /// The same in sheets, where it is large.
    pub sheets: Vec<DiagramSheet>,
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
    let answered = document(circuit, &solution, None);
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
    let (drawing, sheets) = draw_in_sheets(circuit, ONE_SHEET);
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
        cautions: head::cautions(circuit, &protected),
        answers: head::answers(circuit, &answered, &protected),
        sheets: in_sheets(circuit, sheets, &solution, &findings),
        diagram: diagram(circuit, drawing, &solution, &findings),
        fuses: fuse_chart::charts(&fuses),
        ladders: ladder::ladders(circuit, &solution),
        traces: trace::traces(circuit, &solution, &fuses),
        worksheets: worksheet::worksheets(circuit)?,
        solved: without_answer(&with_all(circuit, &solution, &findings)),
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

/// The solution in tables, whose marks know what the study of the fuses found too.
fn with_all(circuit: &Circuit, solution: &Solution, findings: &[Finding]) -> Document {
    let all = Solution {
        findings: findings.to_vec(),
        ..solution.clone()
    };
    document(circuit, &all, None)
}

/// The answer stands at the head of the page.
fn without_answer(solved: &Document) -> Document {
    let mut rest = Document::new();
    for block in solved.blocks() {
        match block {
            Block::Answer(_) => {}
            Block::Table(table) => {
                rest.push(Block::Table(takes_or_gives(table)));
            }
            _ => {
                rest.push(block.clone());
            }
        }
    }
    rest
}

/// A table whose batteries take charge instead of giving less than nothing.
fn takes_or_gives(table: &Table) -> Table {
    let mut table = table.clone();
    let at = table.columns.iter().position(|one| one.name == "gives");
    let cells = table.rows.iter_mut().filter_map(|row| row.get_mut(at?));
    for cell in cells {
        if let Some(amps) = cell.text.strip_prefix('-') {
            cell.text = format!("takes {amps}");
        }
    }
    table
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

/// Widest diagram that stands on one sheet of paper, lying, with letters that can
/// be read. A wider one is shown in sheets as well.
pub const ONE_SHEET: f64 = 996.0;

fn in_sheets(
    circuit: &Circuit,
    sheets: Vec<Sheet>,
    solution: &Solution,
    findings: &[Finding],
) -> Vec<DiagramSheet> {
    let of = |(number, sheet): (usize, Sheet)| DiagramSheet {
        heading: match &sheet.feeder {
            Some(feeder) => format!("Sheet {number}: behind `{feeder}`"),
            None => format!("Sheet {number}: supply, and what the others share"),
        },
        continues: sheet
            .elsewhere
            .iter()
            .map(|(part, on)| {
                let on: Vec<String> = on.iter().map(ToString::to_string).collect();
                format!("`{part}` on {}", on.join(", "))
            })
            .collect::<Vec<String>>()
            .join("; "),
        diagram: Diagram {
            title: format!("{}, sheet {number}", circuit.title),
            ..diagram(circuit, sheet.drawing, solution, findings)
        },
    };
    (1..).zip(sheets).map(of).collect()
}

fn diagram(
    circuit: &Circuit,
    drawing: Drawing,
    solution: &Solution,
    findings: &[Finding],
) -> Diagram {
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
