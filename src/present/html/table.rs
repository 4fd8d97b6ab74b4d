//! A table; on a narrow screen each row becomes a card.

use super::words::words;
use crate::document::{Align, Cell, Column, Emphasis, Table};
use crate::markup::{Element, element};

pub(super) fn show(table: &Table) -> Element {
    let mut shown = element("table").attr("role", "table");
    if !table.title.is_empty() {
        shown = shown.with(element("caption").all(words(&table.title)));
    }
    let head = element("tr")
        .attr("role", "row")
        .all(table.columns.iter().map(heading));
    let rows = table.rows.iter().map(|row| one(row, &table.columns));
    shown
        .with(element("thead").attr("role", "rowgroup").with(head))
        .with(element("tbody").attr("role", "rowgroup").all(rows))
}

fn heading(column: &Column) -> Element {
    element("th")
        .attr("scope", "col")
        .attr("role", "columnheader")
        .class(side(column.align))
        .all(words(&column.name))
}

fn one(row: &[Cell], columns: &[Column]) -> Element {
    let cells = (0..).zip(columns).map(|(at, column): (usize, _)| {
        let empty = Cell::default();
        cell(row.get(at).unwrap_or(&empty), column, at == 0)
    });
    element("tr").attr("role", "row").all(cells)
}

fn cell(cell: &Cell, column: &Column, first: bool) -> Element {
    let (name, role) = if first {
        ("th", "rowheader")
    } else {
        ("td", "cell")
    };
    let shown = element(name)
        .flag("data-first", first)
        .attr("role", role)
        .attr("data-l", &column.name)
        .class(format!("{} {}", side(column.align), tone(cell.emphasis)).trim_end());
    let shown = if first {
        shown.attr("scope", "row")
    } else {
        shown
    };
    let shown = shown.all(words(&cell.text));
    match sign(cell.emphasis) {
        None => shown,
        Some((sign, meaning)) => shown
            .text(" ")
            .with(element("span").attr("aria-hidden", "true").text(sign))
            .with(element("span").class("said").text(meaning)),
    }
}

fn side(align: Align) -> &'static str {
    match align {
        Align::Left => "words",
        Align::Right => "figures",
    }
}

fn tone(emphasis: Emphasis) -> &'static str {
    match emphasis {
        Emphasis::Plain => "",
        Emphasis::Ok => "ok",
        Emphasis::Warn => "warn",
        Emphasis::Bad => "bad",
    }
}

/// The sign behind a cell, and what a screen reader says for it.
fn sign(emphasis: Emphasis) -> Option<(&'static str, &'static str)> {
    match emphasis {
        Emphasis::Plain => None,
        Emphasis::Ok => Some(("\u{2713}", "within its limit")),
        Emphasis::Warn => Some(("!", "look at it")),
        Emphasis::Bad => Some(("!!", "beyond its limit")),
    }
}
