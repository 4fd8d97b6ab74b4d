//! The built-in tables as JSON.

use super::{Object, source};
use crate::tables::{Cell, Table};

/// The list of tables.
pub fn list(tables: &[&Table]) -> Object {
    Object::new().objects("tables", tables.iter().map(|table| heading(table)))
}

/// One table with its limits, columns and rows.
pub fn one(table: &Table) -> Object {
    let columns = table.columns.iter().map(|column| {
        Object::new()
            .text("name", &column.name)
            .text("unit", &column.unit)
    });
    let limits = table.limits.iter().map(|(name, cell)| (name, cell));
    let names = table.columns.iter().map(|column| &column.name);
    let rows = table.rows.iter().map(|row| cells(names.clone().zip(row)));
    heading(table)
        .text("source_note", &table.source_note)
        .text("applies", &table.applies)
        .object("limits", cells(limits))
        .objects("columns", columns)
        .objects("rows", rows)
        .texts("notes", &table.notes)
}

fn heading(table: &Table) -> Object {
    Object::new()
        .text("id", &table.id)
        .text("area", table.area)
        .text("title", &table.title)
        .object("source", source(&table.source))
}

fn cells<'a>(named: impl Iterator<Item = (&'a String, &'a Cell)>) -> Object {
    named.fold(Object::new(), |object, (name, cell)| {
        with(object, name, cell)
    })
}

/// A figure without end and an empty cell are both `null`.
fn with(object: Object, name: &str, cell: &Cell) -> Object {
    match cell {
        Cell::Number(value) if value.is_infinite() => object.number_or_null(name, None),
        Cell::Number(value) => object.number(name, *value),
        Cell::Text(text) => object.text(name, text),
        Cell::Flag(flag) => object.flag(name, *flag),
        Cell::Empty => object.text_or_null(name, None),
    }
}
