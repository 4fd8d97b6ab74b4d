//! Tables: wrapped to the width, figures to the right, verdicts with a sign.
//!
//! The table crate measures text without knowing colour, so each word of an
//! emphasised cell goes in between two marks that take no room and is coloured
//! after the layout is done.

use crate::document::{Align, Cell, Emphasis, Table};
use crate::present::wrap::wrap;
use crate::present::{Look, Meaning};
use comfy_table::{
    CellAlignment, ColumnConstraint, ContentArrangement, TableStyle, Width, presets,
};

/// Invisible operators of Unicode: zero columns wide, unused in plain text.
const OK: char = '\u{2061}';
const WARN: char = '\u{2062}';
const BAD: char = '\u{2063}';
const END: char = '\u{2064}';

pub(super) fn show(table: &Table, look: &Look) -> String {
    let title = look.text(&table.title);
    let mut out = String::new();
    if !title.is_empty() {
        out = look.paint(Meaning::Heading, &title) + "\n";
    }
    out + &if fits(table, look) {
        grid(table, look)
    } else {
        cards(table, look)
    }
}

/// Whether all columns fit beside each other without breaking a cell's word.
fn fits(table: &Table, look: &Look) -> bool {
    let bounds = bounds(table, look);
    bounds.iter().map(|bound| bound + 3).sum::<usize>() < look.width
}

/// The longest word in the cells of each column.
fn bounds(table: &Table, look: &Look) -> Vec<usize> {
    let longest = |column: usize| {
        let cells = table.rows.iter().filter_map(|row| row.get(column));
        let longest = cells.map(|cell| longest_word(&words(cell, look))).max();
        longest.unwrap_or(0).clamp(1, look.width / 2)
    };
    (0..table.columns.len()).map(longest).collect()
}

fn longest_word(text: &str) -> usize {
    let length = |word: &str| {
        let marks = [OK, WARN, BAD, END];
        word.chars().filter(|c| !marks.contains(c)).count()
    };
    text.split_whitespace().map(length).max().unwrap_or(0)
}

/// A row at a time, a line for each of its cells: for more columns than the
/// screen has room for.
fn cards(table: &Table, look: &Look) -> String {
    let mut out = Vec::new();
    for row in &table.rows {
        let mut cells = table.columns.iter().zip(row);
        let mut lines = Vec::new();
        if let Some((column, first)) = cells.next() {
            let name = format!("{} ", look.text(&column.name));
            lines.extend(wrap(&words(first, look), look.width, &name));
        }
        for (column, cell) in cells {
            let name = format!("  {}: ", look.text(&column.name));
            lines.extend(wrap(&words(cell, look), look.width, &name));
        }
        out.push(coloured(&lines.join("\n"), look) + "\n");
    }
    out.join("\n")
}

fn grid(table: &Table, look: &Look) -> String {
    let (tight, ruled) = if look.ascii {
        (presets::ASCII_FULL_CONDENSED, presets::ASCII_FULL)
    } else {
        (presets::UTF8_FULL_CONDENSED, presets::UTF8_FULL)
    };
    let mut laid = lay_out(table, look, tight);
    // A row is told from the one above by its first cell; where that takes
    // several lines, rules are needed.
    if first_cells(&laid) > table.rows.len() {
        laid = lay_out(table, look, ruled);
    }
    coloured(&laid, look) + "\n"
}

/// Counts the lines below the header whose first cell is not blank.
fn first_cells(laid: &str) -> usize {
    let is_rule = |line: &&str| !line.starts_with(['+', '\u{255e}']);
    let header = laid.lines().skip(1).take_while(is_rule).count();
    laid.lines()
        .skip(header + 2)
        .filter_map(|line| line.split(['|', '\u{2502}', '\u{2506}']).nth(1))
        .filter(|cell| !cell.trim().is_empty())
        .count()
}

fn lay_out(table: &Table, look: &Look, style: TableStyle) -> String {
    let mut drawn = comfy_table::Table::new();
    drawn
        .load_style(style)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(u16::try_from(look.width).unwrap_or(u16::MAX))
        .set_header(table.columns.iter().map(|column| look.text(&column.name)));
    for row in &table.rows {
        drawn.add_row(row.iter().map(|cell| words(cell, look)));
    }
    let bounds = bounds(table, look);
    for ((column, bound), drawn) in table
        .columns
        .iter()
        .zip(bounds)
        .zip(drawn.column_iter_mut())
    {
        let room = u16::try_from(bound + 2).unwrap_or(u16::MAX);
        drawn.set_constraint(ColumnConstraint::LowerBoundary(Width::Fixed(room)));
        drawn.set_cell_alignment(match column.align {
            Align::Left => CellAlignment::Left,
            Align::Right => CellAlignment::Right,
        });
    }
    drawn.trim_fmt()
}

/// Text of a cell with its sign, marked word by word.
fn words(cell: &Cell, look: &Look) -> String {
    let text = look.text(&cell.text).replace([OK, WARN, BAD, END], "");
    let (mark, sign) = match (cell.emphasis, look.ascii) {
        (Emphasis::Plain, _) => return text,
        (Emphasis::Ok, false) => (OK, "\u{2713}"),
        (Emphasis::Ok, true) => (OK, "ok"),
        (Emphasis::Warn, _) => (WARN, "!"),
        (Emphasis::Bad, _) => (BAD, "!!"),
    };
    format!("{text} {sign}")
        .split_whitespace()
        .map(|word| format!("{mark}{word}{END}"))
        .collect::<Vec<_>>()
        .join(" ")
}

/// Turns the marks into colour, or takes them away.
fn coloured(laid: &str, look: &Look) -> String {
    laid.split('\n')
        .map(|line| coloured_line(line, look))
        .collect::<Vec<_>>()
        .join("\n")
}

fn coloured_line(line: &str, look: &Look) -> String {
    let mut pieces = line.split([OK, WARN, BAD]);
    let mut marks = line.chars().filter_map(meaning);
    let mut out = pieces.next().unwrap_or_default().replace(END, "");
    for piece in pieces {
        let (inside, after) = piece.split_once(END).unwrap_or((piece, ""));
        if let Some(meaning) = marks.next() {
            out.push_str(&look.paint(meaning, inside));
        }
        out.push_str(&after.replace(END, ""));
    }
    out
}

const fn meaning(mark: char) -> Option<Meaning> {
    match mark {
        OK => Some(Meaning::Ok),
        WARN => Some(Meaning::Warn),
        BAD => Some(Meaning::Bad),
        _ => None,
    }
}
