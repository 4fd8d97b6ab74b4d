//! Speed of single transients: a jammed pump whose fuse opens, and whole boats.
//!
//! The goal of the numerics is an inrush with a fuse opening within 100 us at
//! an error of the opening time below a millionth of a second. Run by `cargo
//! bench --bench transient`; every figure is the median of several rounds.

#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "a bench prints its figures and may stop at a fault"
)]

use std::hint::black_box;
use std::time::Instant;

use ampkeel::circuit::Circuit;
use ampkeel::reading::read;
use ampkeel::span::CircuitText;
use ampkeel::transients::{Ready, Scenario, What};

const JAM: &str = "\
format = 1
[battery.house]
open-volts = \"12.6 V\"
resistance = \"120 mohm\"
[fuse.fuse]
style = \"blade\"
rating = \"5 A\"
[pump.pump]
class = \"high-pressure fuel pump\"
[[run]]
through = [\"house.plus\", \"fuse\", \"pump.plus\"]
back = [\"pump.minus\", \"house.minus\"]
lengths = [\"1 ft\", \"6 ft\"]
back-lengths = [\"7 ft\"]
size = \"14 AWG\"
";

const BOAT: &str = include_str!("../../circuits/gabbro-injected-outboard.toml");

fn main() {
    let rounds = std::env::args()
        .find_map(|word| word.parse().ok())
        .unwrap_or(9);
    let jam = circuit(JAM);
    let opens = |tolerance: f64| {
        let ready = Ready::new(&jam).unwrap();
        let run = ready.run(&jammed(tolerance)).unwrap();
        (run.first(What::Opens, "fuse").unwrap(), run.steps)
    };
    let (exact, _) = opens(1e-11);
    println!(
        "a jammed pump until 2 s, its fuse opens at {exact:.6} s (goal 100 us, floor 200 us, error 1e-6 s)"
    );
    for tolerance in [1e-4, 1e-5, 1e-6, 1e-8] {
        let (found, steps) = opens(tolerance);
        let ready = Ready::new(&jam).unwrap();
        let time_us = median_us(rounds, || ready.run(&jammed(tolerance)).unwrap().steps);
        println!(
            "  tolerance {tolerance:.0e}: {time_us:8.1} us, {steps} steps, opening off by {:.1e} s",
            (found - exact).abs()
        );
    }
    let boat = circuit(BOAT);
    let ready = Ready::new(&boat).unwrap();
    for (from, state, duration_s) in [("key-on", "start", 5.0), ("idle", "cruise", 1800.0)] {
        let scenario = Scenario {
            from: Some(from.into()),
            ..Scenario::new(state, duration_s)
        };
        let steps = ready.run(&scenario).unwrap().steps;
        let time_us = median_us(rounds, || ready.run(&scenario).unwrap().steps);
        println!(
            "the injected outboard, {from} to {state}, {duration_s} s: {time_us:8.0} us, {steps} steps"
        );
    }
}

fn jammed(tolerance: f64) -> Scenario {
    Scenario {
        locked: vec!["pump".into()],
        tolerance,
        ..Scenario::new("on", 2.0)
    }
}

fn circuit(text: &str) -> Circuit {
    read(&CircuitText::new("bench.toml", text)).circuit.unwrap()
}

fn median_us(rounds: usize, mut run: impl FnMut() -> usize) -> f64 {
    let mut times: Vec<f64> = (0..rounds.max(1))
        .map(|_| {
            // The shortest of a few: on a shared machine a run can be interrupted.
            let mut best = f64::INFINITY;
            for _ in 0..40 {
                let begun = Instant::now();
                black_box(run());
                best = best.min(begun.elapsed().as_secs_f64() * 1e6);
            }
            best
        })
        .collect();
    times.sort_by(f64::total_cmp);
    times[times.len() / 2]
}
