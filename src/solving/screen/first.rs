//! The first screen: what a newcomer sees of a whole circuit, on one page.

use super::overview::overview;
use super::{answer, fuse_mark};
use crate::circuit::Circuit;
use crate::document::{Cell, Document, Emphasis, Table};
use crate::quantities::{Amps, print};
use crate::solving::{Solution, StateSolution, WireReading};
use std::collections::BTreeMap;

/// The first screen: the answer, the states side by side, and the verdict on
/// every fuse and on the fullest wires, each in the state where it is worst.
pub fn first_screen(circuit: &Circuit, solution: &Solution) -> Document {
    let mut document = Document::new();
    document.answer(answer(circuit, solution));
    let shown: Vec<&StateSolution> = solution.states.iter().collect();
    document.table(overview(&shown, &solution.findings));
    document.table(fullest_fuses(&shown));
    document.table(fullest_wires(&shown));
    document
}

/// Every fuse in the judged state where it is fullest.
fn fullest_fuses(states: &[&StateSolution]) -> Table {
    let mut table = Table::new("fuses, each at its fullest")
        .words("fuse")
        .figures("carries")
        .figures("rating")
        .figures("load")
        .words("in");
    let names = states
        .first()
        .map(|state| state.fuses.keys().collect::<Vec<_>>())
        .unwrap_or_default();
    for name in names {
        let judged = states.iter().filter(|state| !state.what_if);
        let most = judged
            .filter_map(|state| Some((state, state.fuses.get(name)?)))
            .max_by(|a, b| a.1.load_pct.total_cmp(&b.1.load_pct));
        if let Some((state, fuse)) = most {
            table.row([
                Cell::plain(name.as_str()),
                Cell::plain(Amps::new(fuse.current_a).to_string()),
                Cell::plain(print::nominal(Amps::new(fuse.rating_a))),
                Cell::with(
                    print::percent(fuse.load_pct / 100.0),
                    fuse_mark(state, fuse.load_pct),
                ),
                Cell::plain(state.name.as_str()),
            ]);
        }
    }
    table
}

/// How many wires the first screen shows.
const WIRES_SHOWN: usize = 4;

/// The wires nearest their ampacity. Cranking cables are excepted by the rule
/// and stand above it for seconds, so they are left out.
fn fullest_wires(states: &[&StateSolution]) -> Table {
    let mut most: BTreeMap<usize, (f64, &StateSolution, &WireReading)> = BTreeMap::default();
    for state in states.iter().filter(|state| !state.what_if) {
        for wire in state.wires.iter().filter(|wire| !wire.cranking) {
            let Some(ampacity_a) = wire.ampacity_a else {
                continue;
            };
            let share = wire.rms_a / ampacity_a;
            let entry = most.entry(wire.wire).or_insert((share, state, wire));
            if share > entry.0 {
                *entry = (share, state, wire);
            }
        }
    }
    let mut fullest: Vec<_> = most.into_values().collect();
    fullest.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.2.wire.cmp(&b.2.wire)));
    let mut table = Table::new("the fullest wires")
        .words("wire")
        .words("size")
        .figures("carries")
        .figures("may")
        .words("in");
    for (share, state, wire) in fullest.into_iter().take(WIRES_SHOWN) {
        let mark = if share > 1.0 {
            Emphasis::Bad
        } else {
            Emphasis::Ok
        };
        table.row([
            Cell::plain(format!("{} to {}", wire.from, wire.to)),
            Cell::plain(wire.size.as_str()),
            Cell::with(Amps::new(wire.rms_a).to_string(), mark),
            Cell::plain(
                wire.ampacity_a
                    .map_or_else(String::new, |a| Amps::new(a).to_string()),
            ),
            Cell::plain(state.name.as_str()),
        ]);
    }
    table
}
