//! The built-in tables as documents: the list of them, and one with its rows.

use super::{Document, Table as Shown};
use crate::tables::{Cell, Column, Table};

/// Lists tables area by area; tables of one area stand together.
pub fn list(tables: &[&Table]) -> Document {
    let mut document = Document::new();
    for of_area in tables.chunk_by(|a, b| a.area == b.area) {
        let area = of_area.first().map_or("", |table| table.area);
        let mut shown = Shown::new(area)
            .words("table")
            .words("what it gives")
            .words("standing");
        for table in of_area {
            shown.row([&table.id, &table.title, table.source.standing.word()]);
        }
        document.table(shown);
    }
    document.paragraph("`ampkeel tables NAME` prints all rows of one, with source and limits.");
    document
}

/// One table with its limits, rows and remarks; the source is left to the
/// document's end.
pub fn one(table: &Table) -> Document {
    let mut document = Document::new();
    document
        .answer(format!("{}: {}", table.id, table.title))
        .prose(&table.applies)
        .prose(&table.source_note)
        .bullets(table.limits.iter().map(limit))
        .table(rows(table))
        .bullets(table.notes.iter().cloned());
    document
}

fn limit((name, cell): &(String, Cell)) -> String {
    format!("{}: {}", name.replace('_', " "), printed(cell))
}

fn rows(table: &Table) -> Shown {
    let mut shown = Shown::new("");
    for (at, column) in table.columns.iter().enumerate() {
        let name = column_name(column);
        shown = if holds_figures(table, at) {
            shown.figures(name)
        } else {
            shown.words(name)
        };
    }
    for row in &table.rows {
        shown.row(row.iter().map(printed));
    }
    shown
}

fn holds_figures(table: &Table, column: usize) -> bool {
    let mut cells = table.rows.iter().filter_map(|row| row.get(column));
    cells.any(|cell| cell.number().is_some())
}

/// `ampacity_a` in `A` reads `ampacity, A`.
fn column_name(column: &Column) -> String {
    let unit = column.unit.as_str();
    let plain = column.name.replace('_', " ");
    if unit.is_empty() || unit == "-" {
        return plain;
    }
    let suffix = format!(" {}", unit.to_lowercase());
    let short = plain.strip_suffix(&suffix).unwrap_or(&plain);
    format!("{short}, {unit}")
}

/// Figures are printed as the table holds them, without rounding.
fn printed(cell: &Cell) -> String {
    match cell {
        Cell::Number(value) if value.is_infinite() => "no end".to_owned(),
        Cell::Number(value) => value.to_string(),
        Cell::Text(text) => text.clone(),
        Cell::Flag(true) => "yes".to_owned(),
        Cell::Flag(false) => "no".to_owned(),
        Cell::Empty => "-".to_owned(),
    }
}
