//! Every state of every example circuit against a general circuit simulator.
//!
//! `regenerate.sh` writes the decks from [`ampkeel::solving::branches`] and
//! stores what ngspice finds; `laws.lib` holds the laws as that program knows
//! them, written from the documented equations. The tests here need only the
//! stored files.
//!
//! Checked so: the laws, the balance, which terminals are connected, and the
//! names under which volts and amperes are reported. Not checked so: the
//! figures of the devices, the positions of the relays and the ripple of
//! pulsed loads, which stand in the decks as given.
//!
//! When they were last stored, amperes differed by less than 1e-8 A and volts
//! by less than 1e-8 V, but for a terminal that hangs on a diode at rest alone:
//! 4 microvolts, where the simulator stops looking (its 1e-9 A are more there).

mod deck;
mod stored;

use std::fs;
use std::path::{Path, PathBuf};

use ampkeel::network::Law;
use ampkeel::solving::{StateBranches, StateSolution, branches, solve};

use crate::solving::examples;
use stored::Stored;

/// Relative difference allowed. The simulator stops at 1e-9 of each quantity.
const RELATIVE: f64 = 1e-6;
/// Volts that count as nothing.
const FLOOR_V: f64 = 1e-8;
/// Amperes that count as nothing: 1e-9 A is what balance at a joint asks.
const FLOOR_A: f64 = 1e-8;

const AGAIN: &str = "run tests/cross_check/boats/regenerate.sh";

fn beside(name: &str, end: &str) -> PathBuf {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let folder = root.join("tests/cross_check/boats");
    folder.join(format!("{name}.{end}"))
}

#[test]
fn decks_hold_the_branches_of_every_example_circuit() {
    let is_writing = std::env::var_os("AMPKEEL_WRITE_DECKS").is_some();
    for (name, circuit) in examples() {
        let fresh = deck::deck(
            &name,
            &branches(&circuit).unwrap(),
            &solve(&circuit).unwrap(),
        );
        let path = beside(&name, "cir");
        if is_writing {
            fs::write(&path, &fresh).unwrap();
        }
        let kept = fs::read_to_string(&path).unwrap_or_default();
        if let Some((kept, fresh)) = stored::first_difference(&kept, &fresh) {
            panic!("{name}: the deck has\n{kept}\nbut the circuit now gives\n{fresh}\n{AGAIN}");
        }
    }
}

#[test]
fn every_state_of_every_example_circuit_agrees_with_a_circuit_simulator() {
    for (name, circuit) in examples() {
        let stored = Stored::read(&beside(&name, "txt"));
        let solution = solve(&circuit).unwrap();
        let listed = branches(&circuit).unwrap();
        assert_eq!(solution.states.len(), circuit.states.len(), "{name}");
        assert_eq!(stored.states(), solution.states.len(), "{name}: {AGAIN}");
        for (state, listed) in solution.states.iter().zip(&listed) {
            let place = format!("{name}, state {}", state.name);
            volts(&place, state, &stored);
            amperes(&place, listed, &stored);
            wires(&place, state, listed);
        }
    }
}

/// Every terminal: the same volts, and none exactly where no supply reaches.
fn volts(place: &str, state: &StateSolution, stored: &Stored) {
    for (label, found) in &state.terminals_v {
        let expected = stored.volts(&state.name, label);
        let agree = match (*found, expected) {
            (Some(found), Some(expected)) => is_near(found, expected, FLOOR_V),
            (None, None) => true,
            _ => false,
        };
        assert!(agree, "{place}, {label}: {found:?} V for {expected:?} V");
    }
}

fn amperes(place: &str, listed: &StateBranches, stored: &Stored) {
    for (number, branch) in listed.branches.iter().enumerate() {
        // What is left out of the deck carries nothing.
        let expected = stored.amperes(&listed.name, number).unwrap_or(0.0);
        let found = branch.current_a;
        assert!(
            is_near(found, expected, FLOOR_A),
            "{place}, {} to {}: {found} A for {expected} A",
            branch.from,
            branch.to
        );
    }
}

/// Wires are reported under their own ends, with the current of their branch.
fn wires(place: &str, state: &StateSolution, listed: &StateBranches) {
    let branches = listed.branches.iter();
    let branches: Vec<_> = branches
        .filter(|branch| branch.parameters.law() == Law::HeatedConductor)
        .collect();
    assert_eq!(branches.len(), state.wires.len(), "{place}");
    for (wire, branch) in state.wires.iter().zip(branches) {
        assert_eq!(
            (&wire.from, &wire.to),
            (&branch.from, &branch.to),
            "{place}"
        );
        assert_eq!(wire.current_a, branch.current_a, "{place}");
    }
}

fn is_near(found: f64, expected: f64, floor: f64) -> bool {
    (found - expected).abs() <= floor.max(RELATIVE * expected.abs())
}
