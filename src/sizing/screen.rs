//! The answer on one screen: cautions, one sentence, what changes, what to buy.

use super::binding::amps;
use super::{SizedFuse, SizedWire, Sizing, screen_buying};
use crate::circuit::{Circuit, Wire};
use crate::document::{Cell, Document, Table};
use crate::protecting::{Kind, Verdict};
use crate::quantities::{Metres, print};
use crate::span::Span;
use std::collections::BTreeMap;

/// Writes the document of a sizing.
pub fn document(circuit: &Circuit, sizing: &Sizing) -> Document {
    let mut document = Document::new();
    document.caution(
        "Never fit a larger fuse to stop one from opening: find what draws too much. Only `size` considers one, for a circuit being designed, and never above a label or a maker's largest.",
    );
    document.caution(
        "On an engine's own harness the engine maker's wire and fuse sizes rule; mark those wires and fuses `keep = true`. Switch off and take the battery's minus clamp off before any wire is changed.",
    );
    document.answer(answer(circuit, sizing));
    document.table(wires(circuit, sizing));
    document.table(unread(circuit, sizing));
    if let Some(long) = sized_for_longest(circuit, sizing) {
        document.paragraph(long);
    }
    document.table(fuses(sizing));
    document.bullets(unchanged(circuit, sizing));
    document.heading("Shopping list");
    document.table(screen_buying::buy_wire(&sizing.shopping));
    document.table(screen_buying::buy_fuses(&sizing.shopping));
    document.table(screen_buying::buy_terminals(&sizing.shopping));
    document.heading("Held against every fuse");
    document.table(checks(sizing));
    document.paragraph("Sized for: ampacity where each wire lies, least sizes, the drop rule in every judged state at once, cranking volts, coils that have to stay pulled in, fuses between load and wire, starts (10 000 of them), and shorts at the far end of every wire; the order in which fuses open where it costs no copper. A stalled motor that no fuse opens on, a fuse too far from the battery and a breaking capacity are no matter of sizes: `ampkeel protect` says what to do.");
    document.heading("How far it is proven");
    document.paragraph(proof(sizing));
    document
}

/// The cutting list: every wire in file order.
pub fn cutting_list(circuit: &Circuit, sizing: &Sizing) -> Table {
    let mut table = Table::new("cutting list")
        .words("run")
        .words("wire")
        .words("colour")
        .figures("size")
        .figures("length")
        .words("");
    let runs = runs(circuit);
    for wire in &sizing.wires {
        let given = &circuit.wires[wire.wire];
        let colour = given
            .colour
            .as_ref()
            .map_or("-", |colour| colour.value.as_str());
        table.row([
            runs[wire.wire].to_string(),
            circuit.wire_label(given),
            colour.to_owned(),
            wire.size.to_string(),
            cut(given),
            if wire.is_unread {
                "read its size"
            } else if wire.changes() {
                "new"
            } else {
                "stays"
            }
            .to_owned(),
        ]);
    }
    table
}

/// The length of a wire to cut.
fn cut(wire: &Wire) -> String {
    let length = wire.length.value;
    if length.is_range() {
        format!("measure, up to {}", screen_buying::metres(length.high.si()))
    } else {
        screen_buying::metres(length.typical.si())
    }
}

/// Number of the table each wire was written in, counted from 1 in file order.
pub fn runs(circuit: &Circuit) -> Vec<usize> {
    let mut tables: Vec<Span> = circuit.wires.iter().map(|w| w.written.table).collect();
    tables.sort_unstable();
    tables.dedup();
    let number = |wire: &Wire| tables.partition_point(|table| *table < wire.written.table) + 1;
    circuit.wires.iter().map(number).collect()
}

/// What `protect` says of each fuse, by kind of check.
fn checks(sizing: &Sizing) -> Table {
    const KINDS: [(Kind, &str); 5] = [
        (Kind::Start, "start"),
        (Kind::Short, "far-end short"),
        (Kind::Overload, "overload"),
        (Kind::Selectivity, "opens first"),
        (Kind::Breaking, "breaks a dead short"),
    ];
    let mut table = Table::new("").words("fuse").figures("rating");
    for (_, words) in KINDS {
        table = table.words(words);
    }
    for fuse in &sizing.fuses {
        let mut cells = vec![Cell::plain(&fuse.name), Cell::plain(amps(fuse.rating_a))];
        for (kind, _) in KINDS {
            let found = fuse.checks.iter().find(|(of, _)| *of == kind);
            cells.push(match found {
                Some((_, verdict)) if *verdict >= Verdict::Caution => Cell::warn(verdict.word()),
                Some((_, verdict)) => Cell::plain(verdict.word()),
                None => Cell::plain("-"),
            });
        }
        table.row(cells);
    }
    table
}

fn answer(circuit: &Circuit, sizing: &Sizing) -> String {
    if let Some(why) = &sizing.not_sized {
        return format!(
            "{}: nothing was sized, since {why}; mend that first, or wires would be sized for a fault",
            circuit.title
        );
    }
    let wires = sizing.changed_wires().count();
    let fuses = sizing.changed_fuses().count();
    let unread = sizing.unread_wires().count();
    let change = if wires + fuses == 0 && unread == 0 {
        "nothing has to change".to_owned()
    } else if wires + fuses == 0 {
        "nothing that was read has to change".to_owned()
    } else {
        format!(
            "{} of {} and {} of {} change",
            wires,
            counted(sizing.wires.len(), "wire"),
            fuses,
            counted(sizing.fuses.len(), "fuse")
        )
    };
    let change = match unread {
        0 => change,
        1 => format!("{change}, and 1 wire has to be read first"),
        _ => format!("{change}, and {unread} wires have to be read first"),
    };
    let verdict = if sizing.collisions.is_empty() {
        "meets everything that sizes can meet"
    } else {
        "does not meet everything: some rules collide"
    };
    let instead = if unread == 0 {
        format!(" instead of {}", kg(sizing.was_kg))
    } else {
        // What is there now is not known.
        String::new()
    };
    let copper = format!("{} of copper{instead}", kg(sizing.copper_kg));
    let (found_kg, least) = if sizing.bounds_new {
        (
            sizing.new_kg,
            format!("{copper}, {} of it new,", kg(sizing.new_kg)),
        )
    } else {
        (sizing.copper_kg, copper)
    };
    let proven = if is_least(found_kg, sizing.bound_kg) {
        "proven the least".to_owned()
    } else {
        format!("proven: no choice needs less than {}", kg(sizing.bound_kg))
    };
    let likely = if sizing.is_for_likely {
        "; for the likely lengths only, so measure first"
    } else {
        ""
    };
    format!(
        "{}: {change}; {least} {verdict}; {proven}{likely}",
        circuit.title
    )
}

fn kg(kilograms: f64) -> String {
    if kilograms < 1.0 {
        format!("{} g", print::significant(1000.0 * kilograms, 3))
    } else {
        format!("{} kg", print::significant(kilograms, 3))
    }
}

fn counted(count: usize, word: &str) -> String {
    let plural = if count == 1 { "" } else { "s" };
    format!("{count} {word}{plural}")
}

fn wires(circuit: &Circuit, sizing: &Sizing) -> Table {
    let mut table = Table::new("wires that change")
        .words("wire")
        .figures("was")
        .figures("now")
        .words("decided by")
        .words("the next size down");
    for wire in sizing.changed_wires() {
        let given = &circuit.wires[wire.wire];
        table.row([
            Cell::plain(circuit.wire_label(given)),
            Cell::plain(wire.was.to_string()),
            Cell::plain(wire.size.to_string()),
            Cell::plain(wire.binding.word()),
            Cell::plain(&wire.because),
        ]);
    }
    table
}

/// Wires of which only the size they need is known.
fn unread(circuit: &Circuit, sizing: &Sizing) -> Table {
    let mut table = Table::new("wires whose size nobody read")
        .words("wire")
        .figures("needs")
        .words("decided by")
        .words("the next size down");
    for wire in sizing.unread_wires() {
        table.row([
            Cell::plain(circuit.wire_label(&circuit.wires[wire.wire])),
            Cell::plain(wire.size.to_string()),
            Cell::plain(wire.binding.word()),
            Cell::plain(&wire.because),
        ]);
    }
    table
}

/// Which ends of lengths that are ranges were taken.
fn sized_for_longest(circuit: &Circuit, sizing: &Sizing) -> Option<String> {
    let is_range = |wire: &&SizedWire| circuit.wires[wire.wire].length.value.is_range();
    let first = sizing.wires.iter().find(is_range)?;
    let given = &circuit.wires[first.wire];
    let count = counted(sizing.wires.iter().filter(is_range).count(), "wire");
    let label = circuit.wire_label(given);
    let length = given.length.value;
    let (likely, high) = (
        Metres::new(length.typical.si()),
        Metres::new(length.high.si()),
    );
    Some(if sizing.is_for_likely {
        format!(
            "The lengths of {count} are ranges, and at their long ends no choice keeps every rule: these sizes hold for the likely lengths only, like `{label}` with {likely} where it may be {high}. Measure before anything is bought or cut; a longer wire needs a thicker one."
        )
    } else {
        format!(
            "Where a length is a range it is sized for the long end: {count}, like `{label}` with {high}. Measure before anything is bought or cut: shorter wires may be thinner, and a little more flows in them."
        )
    })
}

fn fuses(sizing: &Sizing) -> Table {
    let mut table = Table::new("fuses")
        .words("fuse")
        .words("style")
        .figures("was")
        .figures("now")
        .words("why");
    let changes = |fuse: &SizedFuse| fuse.rating_a.total_cmp(&fuse.was_a).is_ne();
    let changed = sizing.fuses.iter().filter(|fuse| changes(fuse));
    let same = sizing.fuses.iter().filter(|fuse| !changes(fuse));
    for fuse in changed.chain(same) {
        let now = amps(fuse.rating_a);
        table.row([
            Cell::plain(&fuse.name),
            Cell::plain(fuse.style.map_or("breaker", |style| style.word())),
            Cell::plain(amps(fuse.was_a)),
            if changes(fuse) {
                Cell::warn(now)
            } else {
                Cell::plain(now)
            },
            Cell::plain(&fuse.because),
        ]);
    }
    table
}

/// Wires that stay, counted by what holds them.
fn unchanged(circuit: &Circuit, sizing: &Sizing) -> Vec<String> {
    let mut by_reason: BTreeMap<(&str, String), Vec<&SizedWire>> = BTreeMap::new();
    let stay = |wire: &&SizedWire| wire.size == wire.was && !wire.is_unread;
    for wire in sizing.wires.iter().filter(stay) {
        let reason = (wire.binding.word(), wire.size.to_string());
        by_reason.entry(reason).or_default().push(wire);
    }
    let line = |((word, size), wires): ((&str, String), Vec<&SizedWire>)| {
        let count = wires.len();
        let example = wires.first().map_or_else(String::new, |wire| {
            let label = circuit.wire_label(&circuit.wires[wire.wire]);
            format!(", like `{label}`")
        });
        let verb = if count == 1 { "stays" } else { "stay" };
        format!(
            "{} {verb} {size}, decided by {word}{example}",
            counted(count, "wire")
        )
    };
    by_reason.into_iter().map(line).collect()
}

fn proof(sizing: &Sizing) -> String {
    let (found_kg, of) = if sizing.bounds_new {
        (sizing.new_kg, "new wire")
    } else {
        (sizing.copper_kg, "copper")
    };
    let rest = if sizing.at_rest {
        "Sizing the answer again changes nothing."
    } else {
        "The rounds of solving and sizing did not come to rest: treat the answer as near the least, not as the least."
    };
    if is_least(found_kg, sizing.bound_kg) {
        return format!(
            "With these ratings, and every relay as it stands here, no choice of sizes that keeps every rule needs less {of}: every lighter one was ruled out or tried by the full solve. {rest}"
        );
    }
    let same = if is_least(found_kg, sizing.bound_same_currents_kg) {
        " For the very currents of this answer nothing is lighter, but other sizes shift the currents a little."
    } else {
        ""
    };
    format!(
        "With these ratings, and every relay as it stands here, it is proven that no choice of sizes that keeps every rule needs less than {} of {of}; the answer needs {}, {} more. Whether there is one in between was not settled: too many choices were left to try.{same} {rest}",
        kg(sizing.bound_kg),
        kg(found_kg),
        print::percent((found_kg - sizing.bound_kg) / sizing.bound_kg.max(1e-9)),
    )
}

fn is_least(found_kg: f64, bound_kg: f64) -> bool {
    bound_kg >= found_kg * (1.0 - 1e-9)
}
