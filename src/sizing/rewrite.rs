//! The file with its new sizes and ratings: only these values are touched, so
//! comments, order and spacing stay the owner's.
//!
//! A size that several wires share is changed where it stands if all get the
//! same; else a run gets a list, one size a wire, and a table that took the
//! default gets a line of its own below its header. Wires of a wire list get
//! their sizes in the list's own column.

use super::Sizing;
use crate::circuit::zones::{fuse_name, fuses, written};
use crate::circuit::{Circuit, Wire};
use crate::quantities::WireSize;
use crate::reading::{list_with_sizes, read};
use crate::span::{CircuitText, Edit, Span, spliced};
use std::collections::BTreeMap;
use toml::de::DeTable;

/// A file that would not read back as the circuit that was sized.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("the sized file would not read back as the circuit that was sized; nothing was written")]
pub struct RewriteError;

/// A sized circuit as texts to be written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rewritten {
    /// The circuit file.
    pub text: String,
    /// Its wire list, and the name under which the file now asks for it.
    pub list: Option<(String, String)>,
}

/// The text of a circuit with its sizes and ratings replaced by the answer's;
/// held against the answer by reading it back. A wire list is written anew
/// under `list_name`, beside the file; a circuit without one needs no name.
///
/// # Errors
/// When it would not read back as the sized circuit.
pub fn rewritten(
    text: &CircuitText,
    circuit: &Circuit,
    sizing: &Sizing,
    list_name: Option<&str>,
) -> Result<Rewritten, RewriteError> {
    let Edits {
        texts: mut edits,
        rows,
    } = wire_edits(text, circuit, sizing);
    let list = match text.list_text().zip(list_name) {
        Some((list, name)) => {
            edits.push(renamed(&text.text, name).ok_or(RewriteError)?);
            let list = list_with_sizes(list, &rows).ok_or(RewriteError)?;
            Some((name.to_owned(), list))
        }
        None => None,
    };
    edits.extend(fuse_edits(circuit, sizing));
    let out = spliced(&text.text, edits).ok_or(RewriteError)?;
    let back = CircuitText::new(text.name.clone(), out.clone());
    let back = match &list {
        Some((name, list)) => back.with_list(name, Ok(list.clone())),
        None => back,
    };
    let back = read(&back);
    let mut sized = sizing.circuit.clone();
    for (wire, given) in sized.wires.iter_mut().zip(&circuit.wires) {
        // The file keeps its lengths, whichever end of them it was sized for.
        wire.length = given.length;
    }
    let same = back
        .circuit
        .is_some_and(|back| described(&back) == described(&sized));
    if same {
        Ok(Rewritten { text: out, list })
    } else {
        Err(RewriteError)
    }
}

/// The name of the wire list put in place of the old one.
fn renamed(text: &str, name: &str) -> Option<Edit> {
    let (tree, _) = DeTable::parse_recoverable(text);
    let at = tree.get_ref().get("wires")?.span();
    let with = format!("\"{}\"", name.replace('\\', "\\\\").replace('"', "\\\""));
    Some(Edit {
        at: at.into(),
        with,
    })
}

/// Everything that is changed for wires.
#[derive(Default)]
struct Edits {
    /// In the circuit file.
    texts: Vec<Edit>,
    /// In the wire list: sizes by where their rows start.
    rows: BTreeMap<usize, WireSize>,
}

impl Edits {
    /// Notes the size of a row of the wire list.
    fn row(&mut self, text: &CircuitText, wire: &Wire, size: WireSize) {
        let at = wire.written.table.start - text.list_start();
        self.rows.insert(at, size);
    }
}

/// Wires and ratings in words, whatever their order.
fn described(circuit: &Circuit) -> (Vec<String>, Vec<String>) {
    let wire = |wire: &Wire| {
        format!(
            "{} {} {:e} {:?}",
            circuit.wire_label(wire),
            wire.size.value,
            wire.length.value.typical.si(),
            (wire.name.as_ref().map(|name| &name.value), &wire.columns)
        )
    };
    let mut wires: Vec<String> = circuit.wires.iter().map(wire).collect();
    wires.sort();
    let fuses = fuses(circuit).into_iter().filter_map(|id| {
        let rating = written(circuit, id)?.rating;
        Some(format!("{} {}", fuse_name(circuit, id), rating.value.si()))
    });
    (wires, fuses.collect())
}

fn fuse_edits(circuit: &Circuit, sizing: &Sizing) -> Vec<Edit> {
    let changed = sizing.changed_fuses().filter_map(|fuse| {
        Some(Edit {
            at: written(circuit, fuse.id)?.rating.span,
            with: format!("\"{} A\"", fuse.rating_a),
        })
    });
    changed.collect()
}

fn wire_edits(text: &CircuitText, circuit: &Circuit, sizing: &Sizing) -> Edits {
    let mut by_span: BTreeMap<Span, Vec<(&Wire, WireSize)>> = BTreeMap::new();
    for sized in &sizing.wires {
        let wire = &circuit.wires[sized.wire];
        let at = by_span.entry(wire.size.span).or_default();
        at.push((wire, sized.size));
    }
    let mut edits = Edits::default();
    for (at, mut wires) in by_span {
        let Some(&(first, size)) = wires.first() else {
            continue;
        };
        // A table without any size has no value to replace.
        let is_nowhere = first.unwritten.size.is_some() && at == first.written.table;
        if wires.iter().all(|(_, other)| *other == size) && !is_nowhere {
            if size != first.size.value || first.unwritten.size.is_some() {
                if text.is_in_list(at.start) {
                    edits.row(text, first, size);
                } else {
                    let with = quoted(size);
                    edits.texts.push(Edit { at, with });
                }
            }
        } else if first.written.own_size {
            wires.sort_by_key(|(wire, _)| wire.written.hop);
            let with = value(&wires);
            edits.texts.push(Edit { at, with });
        } else {
            own_lines(&mut edits, text, &wires);
        }
    }
    edits
}

/// Lines of their own for tables whose wires no longer take the default.
fn own_lines(edits: &mut Edits, text: &CircuitText, wires: &[(&Wire, WireSize)]) {
    let mut by_table: BTreeMap<Span, Vec<(&Wire, WireSize)>> = BTreeMap::new();
    for (wire, size) in wires {
        let table = by_table.entry(wire.written.table).or_default();
        table.push((wire, *size));
    }
    for (table, mut wires) in by_table {
        let stays = |(wire, size): &(&Wire, WireSize)| {
            *size == wire.size.value && wire.unwritten.size.is_none()
        };
        if wires.iter().all(stays) {
            continue;
        }
        match wires.as_slice() {
            [(wire, size)] if text.is_in_list(table.start) => edits.row(text, wire, *size),
            _ => {
                wires.sort_by_key(|(wire, _)| wire.written.hop);
                let at = insertion(&text.text, table, &value(&wires));
                edits.texts.push(at);
            }
        }
    }
}

/// A `size` of its own for a table: inside the braces, or below the header.
fn insertion(text: &str, table: Span, value: &str) -> Edit {
    let rest = text.get(table.start..).unwrap_or("");
    if rest.starts_with('{') {
        let at = table.start + 1;
        return Edit {
            at: Span::new(at, at),
            with: format!(" size = {value},"),
        };
    }
    let (at, before) = match rest.find('\n') {
        Some(line) => (table.start + line + 1, ""),
        None => (text.len(), "\n"),
    };
    let ending = if text[..at].ends_with("\r\n") {
        "\r\n"
    } else {
        "\n"
    };
    Edit {
        at: Span::new(at, at),
        with: format!("{before}size = {value}{ending}"),
    }
}

/// One size for all wires of a table, or a list of them.
fn value(wires: &[(&Wire, WireSize)]) -> String {
    let sizes: Vec<String> = wires.iter().map(|(_, size)| quoted(*size)).collect();
    match sizes.as_slice() {
        [first, rest @ ..] if rest.iter().all(|size| size == first) => first.clone(),
        _ => format!("[{}]", sizes.join(", ")),
    }
}

fn quoted(size: WireSize) -> String {
    format!("\"{size}\"")
}
