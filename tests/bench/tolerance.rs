//! A million boats of the injected outboard: drawn, solved, counted.
//! Run by `cargo bench --bench tolerance`.
//!
//! The goal is of `numerics` kind: 0.4 s for a circuit of 40 nodes and 2 s for
//! 200, in one state on two cores, straight between them by nodes; a factor of
//! two is allowed. The injected outboard has seven states, each with its own
//! relays, so the time is also told per state.

#![allow(clippy::print_stdout, reason = "a bench prints its figures")]

use ampkeel::reading::read;
use ampkeel::span::CircuitText;
use ampkeel::tolerance::{Options, study};
use std::time::Instant;

const SAMPLES: u64 = 1_000_000;

fn main() {
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/circuits/gabbro-injected-outboard.toml"
    );
    let text = std::fs::read_to_string(path).expect("the example");
    let mut circuit = read(&CircuitText::new(path, text))
        .circuit
        .expect("a sound circuit");
    let cruise = circuit
        .states
        .iter()
        .position(|state| state.name == "cruise");
    let nodes = circuit.terminals.len();
    let goal_s = 0.4 + (2.0 - 0.4) * (nodes as f64 - 40.0) / (200.0 - 40.0);
    let all = timed(&circuit);
    let states = circuit.states.len();
    println!(
        "{SAMPLES} boats, {nodes} nodes, {states} states: {all:.2} s, {:.2} s a state",
        all / states as f64
    );
    let mut one = circuit.states.swap_remove(cruise.expect("cruise"));
    one.after = None;
    circuit.states = vec![one];
    let one = timed(&circuit);
    println!(
        "one state alone: {one:.2} s; goal {goal_s:.2} s, {:.2} times it (2 allowed)",
        one / goal_s
    );
}

fn timed(circuit: &ampkeel::circuit::Circuit) -> f64 {
    let few = Options {
        samples: 64,
        ..Options::default()
    };
    let many = Options {
        samples: SAMPLES,
        ..Options::default()
    };
    let seconds = |options| {
        let begun = Instant::now();
        let found = study(circuit, options).expect("solved");
        assert!(!found.ranges.is_empty());
        begun.elapsed().as_secs_f64()
    };
    // What is done once, verdicts at their corners and the rest, is no sampling.
    let once = seconds(few);
    seconds(many) - once
}
