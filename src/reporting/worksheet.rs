//! Bench worksheets: the procedure of each part with boxes for the readings,
//! the limits a reading is judged by, and what it is called in a log.

use super::log_words::{LogWords, of_harness, of_part};
use crate::bench::{
    Jack, Kind, Options, Procedure, Reading, Refused, Rig, SEED, Step, Subject, air, harness,
    procedure, testable, usual, usual_pressure,
};
use crate::circuit::{Circuit, Given, PartId, PartKind};
use crate::document::{Block, Document, Table};
use crate::span::Span;

/// A box for a reading.
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    /// Unique on the page: part, step, reading.
    pub id: String,
    /// What is read.
    pub quantity: String,
    /// What to expect, in words.
    pub range: String,
    /// Unit of what is typed and of the limits.
    pub unit: String,
    /// Lowest that is expected, in that unit, as the range prints it.
    pub low: Option<String>,
    /// Highest, likewise.
    pub high: Option<String>,
    /// Whether a reading above the highest proves nothing.
    pub above_proves_nothing: bool,
    /// Whether `open` may be typed.
    pub may_be_open: bool,
    /// What it is called in a log; none where a log has no word for it.
    pub log: Option<LogWords>,
}

/// A step with its boxes.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetStep {
    /// As `bench` has it.
    pub step: Step,
    /// A box for each expected reading.
    pub fields: Vec<Field>,
}

/// Which command reads a sheet's log.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reader {
    /// `ampkeel interpret FILE PART --log`.
    Interpret,
    /// `ampkeel trace FILE --log`.
    Trace,
}

/// The worksheet of a part.
#[derive(Debug, Clone, PartialEq)]
pub struct Worksheet {
    /// Name of the part; `harness` for the wiring.
    pub part: String,
    /// The part in words.
    pub title: String,
    /// The rig in words.
    pub rig: String,
    /// The main reading in a sentence.
    pub answer: String,
    /// Every caution, before anything is done.
    pub cautions: Vec<String>,
    /// The steps.
    pub steps: Vec<SheetStep>,
    /// What faults would show.
    pub signatures: Vec<Table>,
    /// What the ranges hold.
    pub remarks: Vec<String>,
    /// Which command reads its log.
    pub reader: Reader,
}

/// How a reading lies to its limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fit {
    /// Below zero where a meter the right way round shows no such thing: its
    /// leads or clamp are reversed.
    Reversed,
    /// Below the lowest expected.
    Below,
    /// Within.
    Within,
    /// Above the highest.
    Above,
    /// Above the highest, where that proves nothing.
    Unproven,
}

impl Field {
    /// Judges a reading in the box's unit; infinite where the meter shows open.
    pub fn judge(&self, value: f64) -> Fit {
        let end = |end: &Option<String>| end.as_ref().and_then(|text| text.parse::<f64>().ok());
        if value < 0.0 && end(&self.low).is_none_or(|low| low >= 0.0) {
            Fit::Reversed
        } else if end(&self.low).is_some_and(|low| value < low) {
            Fit::Below
        } else if end(&self.high).is_some_and(|high| value > high) {
            // Open is told by itself, and proves much.
            if self.above_proves_nothing && value.is_finite() {
                Fit::Unproven
            } else {
                Fit::Above
            }
        } else {
            Fit::Within
        }
    }
}

/// Worksheets of all parts that have bench steps, then of the harness.
///
/// # Errors
/// A figure no table has, or a rig without an operating point.
pub(super) fn worksheets(circuit: &Circuit) -> Result<Vec<Worksheet>, Refused> {
    let mut sheets = Vec::new();
    for id in circuit.part_ids() {
        let part = circuit.part(id);
        if testable(part) {
            sheets.push(of(circuit, id)?);
        }
    }
    let found = harness(circuit, None, &Options::default(), SEED)?;
    let logged = |reading: &Reading| of_harness(circuit, reading);
    sheets.push(sheet("harness", found, Reader::Trace, logged));
    Ok(sheets)
}

fn of(circuit: &Circuit, id: PartId) -> Result<Worksheet, Refused> {
    let options = Options::default();
    let part = circuit.part(id);
    let mut subject = Subject::of_part(circuit, id, air(Some(circuit), &options))?;
    if let Kind::Motor(motor) = &mut subject.kind {
        **motor = motor.at_pressure(usual_pressure(&subject.class, motor));
    }
    let own;
    let circuit_of_rig = if part.kind() == PartKind::Battery {
        // A battery is tried on its own posts.
        own = Circuit {
            bench: crate::circuit::BenchRig {
                battery: Some(Given::new(id, Span::default())),
                ..circuit.bench.clone()
            },
            ..circuit.clone()
        };
        &own
    } else {
        circuit
    };
    let rig = Rig::new(Some(circuit_of_rig), &options, usual(&subject)?)?;
    let found = procedure(&subject, &rig, SEED)?;
    let logged = |reading: &Reading| of_part(&subject.kind, reading);
    Ok(sheet(&part.name, found, Reader::Interpret, logged))
}

fn sheet(
    part: &str,
    found: Procedure,
    reader: Reader,
    logged: impl Fn(&Reading) -> Option<LogWords>,
) -> Worksheet {
    let document = crate::bench::document(&found);
    let steps = (1..).zip(found.steps).map(|(number, step): (usize, Step)| {
        let fields = (1..)
            .zip(&step.expect)
            .map(|(at, reading): (usize, &Reading)| Field {
                id: format!("{part}.{number}.{at}"),
                log: logged(reading),
                ..field(reading, &step)
            });
        SheetStep {
            fields: fields.collect(),
            step,
        }
    });
    Worksheet {
        part: part.to_owned(),
        title: found.title,
        rig: found.rig,
        answer: found.answer,
        cautions: document.cautions().to_vec(),
        steps: steps.collect(),
        signatures: tables(&document),
        remarks: remarks(&document),
        reader,
    }
}

fn field(reading: &Reading, step: &Step) -> Field {
    let range = reading.range_words();
    // The ends as they are printed: who types an end is within.
    let number = |words: &str| words.split(' ').next().map(str::to_owned);
    let rest = range.strip_prefix("over ").or(range.strip_prefix("under "));
    let (low, high) = match (reading.low, reading.high) {
        (Some(_), Some(_)) => {
            let mut ends = range.split(" to ");
            (ends.next().and_then(number), ends.next().and_then(number))
        }
        (Some(_), None) => (rest.and_then(number), None),
        (None, Some(_)) => (None, rest.and_then(number)),
        (None, None) => (None, None),
    };
    let may_be_open = step
        .meter
        .iter()
        .any(|jack| matches!(jack, Jack::Ohms | Jack::Diode));
    Field {
        id: String::new(),
        quantity: reading.quantity.clone(),
        unit: reading.unit_words(),
        range,
        low,
        high,
        above_proves_nothing: reading.above_proves_nothing,
        may_be_open,
        log: None,
    }
}

fn tables(document: &Document) -> Vec<Table> {
    let blocks = document.blocks().iter();
    blocks
        .filter_map(|block| match block {
            Block::Table(table) => Some(table.clone()),
            _ => None,
        })
        .collect()
}

fn remarks(document: &Document) -> Vec<String> {
    let blocks = document.blocks().iter();
    blocks
        .filter_map(|block| match block {
            Block::Paragraph(text) => Some(text.clone()),
            _ => None,
        })
        .collect()
}
