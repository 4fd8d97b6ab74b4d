//! The wire list that a circuit file may name: `wires = "list.csv"`.
//!
//! A row is a `[[wire]]`. It is read by the same fields, so that a cell says
//! what the same text between quotes would say; an empty cell is left out.
//! Columns of the owner's own are kept with each wire. The bytes of the list
//! are counted on from those of the circuit file ([`CircuitText::list_start`]).

mod cells;
mod columns;
mod resized;

pub(crate) use resized::with_sizes;

use super::LARGEST;
use super::cells::read_cell;
use super::codes;
use super::fields::About;
use super::sections::Sections;
use super::sink::Sink;
use super::value::{Entry, Named, Record, Value};
use crate::findings::Finding;
use crate::span::{CircuitText, NoList, Span};
use cells::{Cell, Row, Sheet, Trouble, sheet};
use columns::{Column, columns};
use std::collections::BTreeMap;
use std::path::{Component, Path};
use toml::de::DeTable;

/// The wire list that a circuit file names, where it may name it: a path
/// below the folder of the circuit file. What is wrong with any other is said
/// by [`super::read`].
///
/// Lists elsewhere are not followed: a circuit file that someone else wrote
/// opens nothing but what lies beside it, and both can be copied together.
pub fn wanted(text: &str) -> Option<String> {
    if text.len() > LARGEST {
        return None;
    }
    let (tree, _) = DeTable::parse_recoverable(text);
    let name = tree.get_ref().get("wires")?.get_ref().as_str()?.to_owned();
    lies_beside(&name).then_some(name)
}

/// Whether a path leads no further than the circuit file's own folder.
fn lies_beside(name: &str) -> bool {
    let path = Path::new(name);
    let mut parts = path.components();
    name.len() <= 400
        && !name.contains(['\0', '\\', ':'])
        && path.file_name().is_some()
        && parts.all(|part| matches!(part, Component::Normal(_) | Component::CurDir))
}

/// Adds the wires of the list to those of the file. False where some of them
/// are not known, so that nothing can be said of what hangs together.
pub(super) fn read(out: &mut Sink, text: &CircuitText, sections: &mut Sections) -> bool {
    let Some(entry) = sections.head.entry("wires") else {
        return true;
    };
    let Some(named) = entry.named() else {
        return false;
    };
    match text.list.as_ref().map(|list| &list.text) {
        _ if !lies_beside(&named.text) => {
            out.push(elsewhere(&named));
            false
        }
        Some(Ok(list)) => rows(out, list, text.list_start(), &named, sections),
        Some(Err(why)) => {
            out.push(unreadable(&named, why));
            false
        }
        None => {
            let why = NoList::new(
                "it was not handed over with the circuit",
                "give the circuit as a file with its wire list beside it",
            );
            out.push(unreadable(&named, &why));
            false
        }
    }
}

fn unreadable(named: &Named, missing: &NoList) -> Finding {
    let shown: String = named.text.chars().take(100).collect();
    Finding::new(
        codes::WIRE_LIST_UNREADABLE,
        "",
        format!("the wire list `{shown}` cannot be read: {}", missing.why),
    )
    .with_label(named.span, "cannot be read")
    .with_hint(missing.hint.as_str())
}

fn elsewhere(named: &Named) -> Finding {
    let why = NoList::new(
        "it does not lie beside the circuit file",
        "put the list into the folder of the circuit file and write its name alone: wires = \"list.csv\"; folders below it are parted by /",
    );
    unreadable(named, &why)
}

/// Texts that are no list at all.
fn no_list(list: &str) -> Option<NoList> {
    let (why, hint) = if list.len() > LARGEST {
        (
            format!("it is larger than {} MB", LARGEST / 1_000_000),
            "a wire list has one row a wire",
        )
    } else if list.contains('\0') {
        (
            "it is no text".to_owned(),
            "save it from the spreadsheet as CSV with UTF-8",
        )
    } else if list.trim_start().starts_with(['{', '<']) {
        (
            "it looks like JSON, XML or HTML".to_owned(),
            "save it from the spreadsheet as CSV with UTF-8",
        )
    } else if list
        .trim_matches(['\u{feff}', ' ', '\n', '\r', '\t', ',', ';'])
        .is_empty()
    {
        (
            "it is empty".to_owned(),
            "begin it with a line of headings: from,to,size,length,colour",
        )
    } else {
        return None;
    };
    Some(NoList::new(why, hint))
}

fn rows(out: &mut Sink, list: &str, offset: usize, named: &Named, sections: &mut Sections) -> bool {
    if let Some(why) = no_list(list) {
        out.push(unreadable(named, &why));
        return false;
    }
    let sheet = sheet(list).moved(offset);
    let mut is_whole = sheet.troubles.is_empty();
    for (span, trouble) in &sheet.troubles {
        out.push(troubled(*span, *trouble));
    }
    let (columns, is_clear) = columns(out, &sheet);
    if !is_clear {
        return false;
    }
    let is_troubled = |row: &Row| {
        let inside = |span: &Span| row.span.start <= span.start && span.start <= row.span.end;
        sheet.troubles.iter().any(|(span, _)| inside(span))
    };
    let mut before: BTreeMap<Vec<&str>, Span> = BTreeMap::new();
    for row in sheet.rows.iter().skip(1).filter(|row| !is_troubled(row)) {
        if out.is_full() {
            return false;
        }
        let cells = row.cells.iter().map(|cell| cell.text.trim()).collect();
        if let Some(first) = before.insert(cells, row.span) {
            out.push(twice(first, row.span));
        }
        match record(out, &columns, &sheet, row) {
            Some(record) => sections.wires.push(record),
            None => is_whole = false,
        }
    }
    is_whole
}

/// A row that says what another one says.
fn twice(first: Span, again: Span) -> Finding {
    Finding::new(codes::WIRE_LISTED_TWICE, "", "this row is listed twice, as two wires side by side")
        .with_label(again, "the same again")
        .with_label(first, "first listed here")
        .with_hint("take one out; where two wires really lie side by side, give each a `name` or a number of its own")
}

fn troubled(at: Span, trouble: Trouble) -> Finding {
    let (statement, label, hint) = match trouble {
        Trouble::Open => (
            "this quote is not closed".to_owned(),
            "opened here",
            "put the cell between two quotes, or take the quote out; a quote inside is written twice, \"\"".to_owned(),
        ),
        Trouble::Behind => (
            "there is text behind a closed quote".to_owned(),
            "closed too early",
            "put the whole cell between two quotes; a quote inside is written twice, \"\"".to_owned(),
        ),
        Trouble::TooWide => (
            format!("this row has more than {} cells", cells::MOST_CELLS),
            "too wide",
            "write one wire a row under its headings".to_owned(),
        ),
        Trouble::TooLong => (
            format!("the wire list has more than {} rows", cells::MOST_ROWS),
            "cut off here",
            "write one wire a row".to_owned(),
        ),
    };
    Finding::new(codes::WIRE_LIST_ROW, "", statement)
        .with_label(at, label)
        .with_hint(hint)
}

/// A row as a `[[wire]]`; none, reported, where its cells cannot be told apart.
fn record(out: &mut Sink, columns: &[Column], sheet: &Sheet, row: &Row) -> Option<Record> {
    let heading = |at: usize| columns.get(at).unwrap_or(&Column::Bare);
    let mut stray = row.cells.iter().enumerate();
    let stray =
        stray.find(|(at, cell)| matches!(heading(*at), Column::Bare) && !cell.text.is_empty());
    if let Some((at, cell)) = stray {
        out.push(too_many(row, at, cell, columns.len(), sheet.separator));
        return None;
    }
    let mut record = Record {
        header: row.span,
        ..Record::default()
    };
    let about = About {
        subject: "",
        table: "wire",
    };
    for (at, cell) in row.cells.iter().enumerate() {
        let span = cell.span;
        match heading(at) {
            _ if cell.text.is_empty() => {}
            Column::Field(field) => {
                let entry = read_cell(out, about, field.key, field.takes, (&cell.text, span));
                record.fields.insert(field.key, (span, entry));
            }
            Column::Own(name) => {
                let value = Some(Value::Text(cell.text.clone()));
                record.others.push((name.clone(), Entry { span, value }));
            }
            Column::Bare | Column::Unclear => {}
        }
    }
    for key in ["from", "to"] {
        if record.key(key).is_none() {
            out.push(without_end(key, record.header));
        }
    }
    Some(record)
}

fn without_end(key: &str, row: Span) -> Finding {
    Finding::new(codes::WIRE_LIST_ROW, "", format!("this row has no `{key}`"))
        .with_label(row, "an end is missing")
        .with_hint("name the terminal, like house.plus or pump.minus, or take the row out")
}

/// A cell under no heading, most often behind a comma that was none of the list.
fn too_many(row: &Row, at: usize, cell: &Cell, headings: usize, separator: u8) -> Finding {
    let mark = char::from(separator);
    let pairs = row.cells.windows(2);
    let is_decimal = |pair: &[Cell]| {
        let [whole, rest] = pair else { return false };
        separator == b','
            && !whole.text.is_empty()
            && whole.text.bytes().all(|byte| byte.is_ascii_digit())
            && rest.text.starts_with(|c: char| c.is_ascii_digit())
    };
    let decimal = pairs.into_iter().find(|pair| is_decimal(pair));
    let (span, label, hint) = match decimal {
        Some([whole, rest]) => (
            Span::new(whole.span.start, rest.span.end),
            "two cells".to_owned(),
            format!(
                "a comma parts cells here; write the figure with a point: {}.{}",
                whole.text, rest.text
            ),
        ),
        _ => (
            cell.span,
            format!("cell {} of {headings}", at + 1),
            format!(
                "put a text that holds `{mark}` between two quotes, or give the column a heading"
            ),
        ),
    };
    Finding::new(
        codes::WIRE_LIST_ROW,
        "",
        "this row has a cell under no heading",
    )
    .with_label(span, label)
    .with_hint(hint)
}
