//! The answer on one screen: cautions, one sentence, what changes, what to buy.

use super::binding::amps;
use super::shopping::ShoppingList;
use super::{LEAST_SHARE, SizedFuse, SizedWire, Sizing};
use crate::circuit::Circuit;
use crate::document::{Cell, Document, Table};
use crate::quantities::{Metres, print};
use crate::tables::contacts::ContactKind;
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
    document.table(fuses(sizing));
    document.bullets(unchanged(circuit, sizing));
    document.heading("Shopping list");
    document.table(buy_wire(&sizing.shopping));
    document.table(buy_fuses(&sizing.shopping));
    document.table(buy_terminals(&sizing.shopping));
    document.heading("How far it is proven");
    document.paragraph(proof(sizing));
    document.paragraph("Sized for: ampacity where each wire lies, least sizes, the drop rule in every judged state at once, cranking volts, coils that have to stay pulled in, and fuses between load and wire. Not for inrush, a stalled motor or a short at the far end: ask `ampkeel protect` for those.");
    document
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
    let change = if wires + fuses == 0 {
        "nothing has to change".to_owned()
    } else {
        format!(
            "{} of {} and {} of {} change",
            wires,
            counted(sizing.wires.len(), "wire"),
            fuses,
            counted(sizing.fuses.len(), "fuse")
        )
    };
    let verdict = if sizing.collisions.is_empty() {
        "meets everything"
    } else {
        "does not meet everything: some rules collide"
    };
    format!(
        "{}: {change}; {} of copper instead of {} {verdict}; at least {} is needed ({} less)",
        circuit.title,
        kg(sizing.copper_kg),
        kg(sizing.was_kg),
        kg(sizing.bound_kg),
        gap(sizing.copper_kg, sizing.bound_kg)
    )
}

fn gap(copper_kg: f64, bound_kg: f64) -> String {
    if copper_kg <= 0.0 {
        return print::percent(0.0);
    }
    print::percent(((copper_kg - bound_kg) / copper_kg).max(0.0))
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
    for wire in sizing.wires.iter().filter(|wire| wire.size == wire.was) {
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

fn buy_wire(list: &ShoppingList) -> Table {
    let mut table = Table::new("wire")
        .words("size")
        .words("colour")
        .figures("for the changes")
        .figures("whole circuit");
    for row in &list.wires {
        let colour = row.colour.as_deref().unwrap_or("not named");
        table.row([
            row.size.clone(),
            colour.to_owned(),
            metres(row.changed_m),
            metres(row.all_m),
        ]);
    }
    table
}

fn metres(length_m: f64) -> String {
    if length_m <= 0.0 {
        return "-".to_owned();
    }
    Metres::new(length_m).to_string()
}

fn count(number: usize) -> String {
    if number == 0 {
        "-".to_owned()
    } else {
        number.to_string()
    }
}

fn buy_fuses(list: &ShoppingList) -> Table {
    let mut table = Table::new("fuses and breakers")
        .words("style")
        .figures("rating")
        .figures("for the changes")
        .figures("whole circuit");
    for row in &list.fuses {
        table.row([
            row.style.map_or("breaker", |style| style.word()).to_owned(),
            amps(row.rating_a),
            count(row.changed),
            count(row.all),
        ]);
    }
    table
}

fn buy_terminals(list: &ShoppingList) -> Table {
    let mut table = Table::new("terminals and lugs")
        .words("for wire")
        .words("kind")
        .figures("for the changes")
        .figures("whole circuit");
    for row in &list.terminals {
        table.row([
            row.size.clone(),
            kind(row.kind).to_owned(),
            count(row.changed),
            count(row.all),
        ]);
    }
    table
}

fn kind(kind: ContactKind) -> &'static str {
    match kind {
        ContactKind::PostClamp => "battery post clamp or lug",
        ContactKind::RingOnStud => "ring lug",
        _ => "blade terminal",
    }
}

fn proof(sizing: &Sizing) -> String {
    let same = if sizing.bound_same_currents_kg >= sizing.copper_kg * (1.0 - 1e-9) {
        "For the currents of this answer the search was exhaustive: no other sizes need less copper.".to_owned()
    } else {
        format!(
            "For the currents of this answer it is proven that no sizes need less than {}; the answer is {} above that, since sizes shift its currents or the search was cut short.",
            kg(sizing.bound_same_currents_kg),
            gap(sizing.copper_kg, sizing.bound_same_currents_kg)
        )
    };
    let rest = if sizing.at_rest {
        "Sizing the answer again changes nothing."
    } else {
        "The rounds of solving and sizing did not come to rest: treat the answer as near the least, not as the least."
    };
    format!(
        "{same} Other sizes change the currents a little, so the figure given as needed, {}, is the weaker one that holds for every choice under which no load draws less than {} of what it draws here; it counts only states in which the loads alone decide the currents. {rest}",
        kg(sizing.bound_kg),
        print::percent(LEAST_SHARE)
    )
}
