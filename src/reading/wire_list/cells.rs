//! Comma-separated text taken apart: every cell with its place.
//!
//! The separator is what the first line has most of: comma, semicolon or tab.
//! A cell in quotes may hold it, line ends, and doubled quotes. A broken quote
//! costs its own line only.

use crate::span::Span;

/// More rows than this have no boat around them.
pub(super) const MOST_ROWS: usize = 10_000;
/// More columns than this are no list of wires.
pub(super) const MOST_CELLS: usize = 200;

/// A cell, without its quotes and the blanks around it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Cell {
    /// What it says.
    pub text: String,
    /// Where it stands, quotes included.
    pub span: Span,
    /// Whether it stands in quotes.
    pub quoted: bool,
}

/// A row with at least one cell that says something.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Row {
    /// Its cells.
    pub cells: Vec<Cell>,
    /// From its first byte to its last, without the line's end.
    pub span: Span,
}

/// What is wrong with a quote or with a size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Trouble {
    /// A quote that is never closed.
    Open,
    /// Text behind a closed quote.
    Behind,
    /// Too many cells in a row.
    TooWide,
    /// Too many rows.
    TooLong,
}

/// The whole list.
#[derive(Debug, Clone)]
pub(super) struct Sheet {
    /// What parts its cells.
    pub separator: u8,
    /// Its rows, the headings first.
    pub rows: Vec<Row>,
    /// What was wrong, with its place.
    pub troubles: Vec<(Span, Trouble)>,
}

impl Sheet {
    /// The same with every place counted on by so many bytes.
    pub(super) fn moved(mut self, offset: usize) -> Self {
        let spans = self.rows.iter_mut().flat_map(|row| {
            let cells = row.cells.iter_mut().map(|cell| &mut cell.span);
            cells.chain([&mut row.span])
        });
        for span in spans.chain(self.troubles.iter_mut().map(|(span, _)| span)) {
            *span = Span::new(span.start + offset, span.end + offset);
        }
        self
    }
}

/// Takes a text apart.
pub(super) fn sheet(text: &str) -> Sheet {
    let start = if text.starts_with('\u{feff}') { 3 } else { 0 };
    let mut taking = Taking {
        text,
        at: start,
        sheet: Sheet {
            separator: separator(&text[start..]),
            rows: Vec::new(),
            troubles: Vec::new(),
        },
    };
    while taking.at < text.len() {
        if taking.sheet.rows.len() == MOST_ROWS {
            let here = Span::new(taking.at, taking.at);
            taking.sheet.troubles.push((here, Trouble::TooLong));
            break;
        }
        taking.row();
    }
    taking.sheet
}

/// What the first line that is not empty has most of, outside quotes.
fn separator(text: &str) -> u8 {
    let line = text.lines().find(|line| !line.trim().is_empty());
    let unquoted: String = line.unwrap_or("").split('"').step_by(2).collect();
    let count = |byte: u8| unquoted.bytes().filter(|other| *other == byte).count();
    [b'\t', b';', b',']
        .into_iter()
        .max_by_key(|byte| count(*byte))
        .unwrap_or(b',')
}

struct Taking<'t> {
    text: &'t str,
    at: usize,
    sheet: Sheet,
}

impl Taking<'_> {
    fn byte(&self) -> Option<u8> {
        self.text.as_bytes().get(self.at).copied()
    }

    fn is_end_of_cell(&self) -> bool {
        let separator = self.sheet.separator;
        self.byte()
            .is_none_or(|byte| byte == separator || byte == b'\n' || byte == b'\r')
    }

    fn row(&mut self) {
        let start = self.at;
        let mut cells = Vec::new();
        let mut is_wide = false;
        loop {
            let cell = self.cell();
            if cells.len() < MOST_CELLS {
                cells.push(cell);
            } else {
                is_wide |= !cell.text.is_empty();
            }
            if self.byte() != Some(self.sheet.separator) {
                break;
            }
            self.at += 1;
        }
        let span = Span::new(start, self.at);
        if is_wide {
            self.sheet.troubles.push((span, Trouble::TooWide));
        }
        if self.byte() == Some(b'\r') {
            self.at += 1;
        }
        if self.byte() == Some(b'\n') {
            self.at += 1;
        }
        if cells.iter().any(|cell| !cell.text.is_empty()) {
            self.sheet.rows.push(Row { cells, span });
        }
    }

    fn blanks(&mut self) {
        while self.byte() == Some(b' ') {
            self.at += 1;
        }
    }

    fn cell(&mut self) -> Cell {
        self.blanks();
        if self.byte() == Some(b'"')
            && let Some(cell) = self.quoted()
        {
            return cell;
        }
        let start = self.at;
        while !self.is_end_of_cell() {
            self.at += 1;
        }
        let text = self.text[start..self.at].trim_end();
        Cell {
            text: text.to_owned(),
            span: Span::new(start, start + text.len()),
            quoted: false,
        }
    }

    /// A cell in quotes; none, and a trouble noted, where it is not closed.
    fn quoted(&mut self) -> Option<Cell> {
        let start = self.at;
        let mut text = String::new();
        let mut from = start + 1;
        loop {
            let Some(length) = self.text[from..].find('"') else {
                let line = self.text[start..].lines().next().unwrap_or("");
                let span = Span::new(start, start + line.trim_end().len());
                self.sheet.troubles.push((span, Trouble::Open));
                return None;
            };
            text.push_str(&self.text[from..from + length]);
            from += length + 1;
            if self.text.as_bytes().get(from) != Some(&b'"') {
                break;
            }
            text.push('"');
            from += 1;
        }
        self.at = from;
        let span = Span::new(start, from);
        self.blanks();
        let behind = self.at;
        while !self.is_end_of_cell() {
            self.at += 1;
        }
        if self.at > behind {
            let span = Span::new(start, self.at);
            self.sheet.troubles.push((span, Trouble::Behind));
        }
        Some(Cell {
            text: text.trim().to_owned(),
            span,
            quoted: true,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::{Trouble, sheet};

    fn texts(text: &str) -> Vec<Vec<String>> {
        let rows = sheet(text).rows.into_iter();
        rows.map(|row| row.cells.into_iter().map(|cell| cell.text).collect())
            .collect()
    }

    #[test]
    fn commas_semicolons_tabs_quotes_marks_and_line_ends_are_understood() {
        let plain = [["from", "to"], ["a.plus", "b, c"]];
        for text in [
            "from,to\na.plus,\"b, c\"\n",
            "\u{feff}from;to\r\na.plus;b, c\r\n\r\n",
            "\nfrom\tto\ra.plus\t\"b, c\"",
            " from , \"to\" \n;\n,\n a.plus ,\"b, c\" ",
        ] {
            let mut rows = texts(text);
            // A lone semicolon is a cell's text in a list of commas.
            rows.retain(|row| row.len() == 2);
            assert_eq!(rows, plain, "{text:?}");
        }
        assert_eq!(texts("a,\"say \"\"b\"\"\nc\"\n")[0][1], "say \"b\"\nc");
    }

    #[test]
    fn every_cell_knows_its_place() {
        let text = "\u{feff}a; \"b\" ;\u{e9} \r\n";
        let row = &sheet(text).rows[0];
        let cut: Vec<&str> = row
            .cells
            .iter()
            .map(|cell| &text[cell.span.start..cell.span.end])
            .collect();
        assert_eq!(cut, ["a", "\"b\"", "\u{e9}"]);
        assert_eq!(&text[row.span.start..row.span.end], "a; \"b\" ;\u{e9} ");
    }

    #[test]
    fn a_broken_quote_costs_its_own_line_only() {
        let broken = sheet("a,b\n\"c\"d,e\nf,\"g\nh,i\n");
        let kinds: Vec<Trouble> = broken.troubles.iter().map(|(_, kind)| *kind).collect();
        assert_eq!(kinds, [Trouble::Behind, Trouble::Open]);
        assert_eq!(broken.rows.len(), 4);
        assert_eq!(broken.rows[3].cells[0].text, "h");
    }

    #[test]
    fn a_list_without_end_is_cut_short() {
        let long = sheet(&"a,b\n".repeat(20_000));
        assert_eq!(long.rows.len(), super::MOST_ROWS);
        assert_eq!(long.troubles[0].1, Trouble::TooLong);
        let wide = sheet(&"a,".repeat(20_000));
        assert_eq!(wide.rows[0].cells.len(), super::MOST_CELLS);
        assert_eq!(wide.troubles[0].1, Trouble::TooWide);
        assert!(sheet(&",".repeat(100_000)).rows.is_empty());
    }
}
