//! Speed of single transients: a jammed pump whose fuse opens, and whole boats.
//!
//! The goal of the numerics is an inrush with a fuse opening within 100 us at
//! an error of the opening time below a millionth of a second. Where the
//! simulator `ngspice` is installed it follows the same laws in turns with us.
//! Run by `cargo bench --bench transient`; every figure is the median of several
//! rounds.

#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "a bench prints its figures and may stop at a fault"
)]

use std::hint::black_box;
use std::process::Command;
use std::time::Instant;

use ampkeel::circuit::Circuit;
use ampkeel::heating::{Family, Protector};
use ampkeel::quantities::Amps;
use ampkeel::reading::read;
use ampkeel::span::CircuitText;
use ampkeel::tables::fuses::{Edge, FuseStyle};
use ampkeel::transients::{Ready, Scenario, What};

#[path = "../transients/deck.rs"]
mod deck;

/// Transients the simulator follows in one run.
const SIMULATOR_RUNS: u32 = 20;

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
    simulator(rounds, &jam, exact);
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

/// The same jam followed by the simulator to 0.25 s, free steps, relative error
/// 1e-6, in turns with our own 2 s.
fn simulator(rounds: usize, jam: &Circuit, exact: f64) {
    let found = Command::new("ngspice").arg("-v").output();
    if !found.is_ok_and(|output| output.status.success()) {
        println!("  ngspice not found: own times only, no ratio");
        return;
    }
    let fuse = Protector::new(Family::Fuse(FuseStyle::Blade), Amps::new(5.0), None).unwrap();
    let element = fuse.element(Edge::Nominal);
    let states: Vec<(f64, f64)> = element.states.iter().map(|s| (s.a, s.tau.si())).collect();
    let rows = (0..=120).map(|n| {
        let square = (1.0 + 0.025 * f64::from(n)).powi(2);
        (square, element.pace.at(square).0)
    });
    let text = deck::jammed(jam, &states, &rows.collect::<Vec<_>>());
    let ready = Ready::new(jam).unwrap();
    let mut ratios = Vec::new();
    let (mut theirs_us, mut opens_s) = (f64::INFINITY, 0.0);
    for _ in 0..rounds.max(1) {
        let own_us = median_us(1, || ready.run(&jammed(1e-6)).unwrap().steps);
        let (many_s, opens) = simulated(&text, SIMULATOR_RUNS + 1);
        let (one_s, _) = simulated(&text, 1);
        let each_us = (many_s - one_s) * 1e6 / f64::from(SIMULATOR_RUNS);
        theirs_us = theirs_us.min(each_us);
        opens_s = opens;
        ratios.push(each_us / own_us);
    }
    ratios.sort_by(f64::total_cmp);
    println!(
        "  simulator until 0.25 s: {theirs_us:8.0} us at best, opening off by {:.1e} s; simulator / own: goal 40, floor 20, measured {:.0}",
        (opens_s - exact).abs(),
        ratios[ratios.len() / 2]
    );
}

/// Seconds the simulator takes for so many transients, and when the heat is 1.
fn simulated(deck: &str, runs: u32) -> (f64, f64) {
    let control = format!(
        ".control\nrepeat {runs}\ntran 1m 0.25 uic\nend\nmeas tran opens when v(u)=1\nquit 0\n.endc\n.end\n"
    );
    let path = std::env::temp_dir().join(format!("transient_{}.cir", std::process::id()));
    std::fs::write(&path, deck.replace(".end\n", &control)).unwrap();
    let begun = Instant::now();
    let output = Command::new("ngspice")
        .arg("-b")
        .arg(&path)
        .output()
        .unwrap();
    let elapsed_s = begun.elapsed().as_secs_f64();
    let _ = std::fs::remove_file(&path);
    let said = String::from_utf8_lossy(&output.stdout);
    let line = said
        .lines()
        .find(|line| line.trim_start().starts_with("opens"));
    let opens = line.and_then(|line| {
        line.split('=')
            .nth(1)?
            .split_whitespace()
            .next()?
            .parse()
            .ok()
    });
    assert!(output.status.success(), "the simulator failed: {said}");
    (elapsed_s, opens.unwrap_or(f64::NAN))
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
