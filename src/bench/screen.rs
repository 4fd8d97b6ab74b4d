//! A procedure as a document: a checklist to fill in.

use super::COVERAGE;
use super::steps::{Procedure, Reading, Signature, Step};
use crate::document::{Cell, Document, Expected, Step as Shown, Table};
use crate::quantities::{Amps, Fraction, Volts};
use crate::tables::cautions::deference;

/// Writes the document of a procedure.
pub fn document(procedure: &Procedure) -> Document {
    let mut document = Document::new();
    document.about(format!(
        "bench test of {}; rig: {}",
        procedure.title, procedure.rig
    ));
    for caution in &procedure.cautions {
        document.caution(format!("{} ({})", caution.text, caution.reason));
    }
    document.caution(deference());
    document.answer(procedure.answer.clone());
    document.heading("steps");
    document.steps(procedure.steps.iter().map(shown));
    document.table(signatures(&procedure.signatures));
    document.paragraph(format!(
        "Each range holds at least {} of sound parts read with a sound meter: {} draws from seed {}, every figure drawn within its range on its own (judgement). Readings are steady ones after the first second; the inrush before it is several times higher.",
        Fraction::new(COVERAGE),
        procedure.specimens,
        procedure.seed
    ));
    document
}

fn shown(step: &Step) -> Shown {
    let to_see = |sign: &String| Expected::to_see("to see and hear", sign.clone());
    let readings = step.expect.iter().map(expected);
    Shown {
        action: step.action.clone(),
        cautions: step.cautions.iter().map(|c| c.text.clone()).collect(),
        meter: step.meter_words(),
        expected: readings.chain(step.signs.iter().map(to_see)).collect(),
        notes: step.notes.clone(),
        outside: step.outside.clone(),
        stop_if: step.stop_if.clone(),
    }
}

fn expected(reading: &Reading) -> Expected {
    Expected::new(
        reading.quantity.clone(),
        reading.range_words(),
        reading.unit_words(),
    )
}

fn signatures(rows: &[Signature]) -> Table {
    let mut table = Table::new("what a typical one would show on this rig")
        .words("condition")
        .figures("current")
        .figures("volts at it")
        .words("what tells it");
    for row in rows {
        table.row([
            Cell::plain(row.fault),
            Cell::plain(Amps::new(row.current_a).to_string()),
            Cell::plain(Volts::new(row.voltage_v).to_string()),
            Cell::plain(row.sign),
        ]);
    }
    table
}
