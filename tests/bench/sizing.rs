//! Time to size a circuit of sixty wires, read, solved, sized and verified.
//! Run by `cargo bench --bench sizing`; goal: seconds.

#![allow(clippy::print_stdout, reason = "a bench prints its figures")]

use ampkeel::reading::read;
use ampkeel::sizing::{Stock, size};
use ampkeel::span::CircuitText;
use std::time::Instant;

#[path = "../sizing/sixty.rs"]
mod sixty;

fn main() {
    let text = CircuitText::new("sixty.toml", sixty::text());
    let circuit = read(&text).circuit.expect("a sound circuit");
    let mut times_s: Vec<f64> = Vec::new();
    let mut found = None;
    for _ in 0..5 {
        let begun = Instant::now();
        found = size(&circuit, &Stock::default()).ok();
        times_s.push(begun.elapsed().as_secs_f64());
    }
    times_s.sort_by(f64::total_cmp);
    let sizing = found.expect("sized");
    println!(
        "{} wires, {} fuses: {:.3} s; copper {:.4} kg, bound {:.4} kg, for these currents {:.4} kg",
        circuit.wires.len(),
        sizing.fuses.len(),
        times_s[times_s.len() / 2],
        sizing.copper_kg,
        sizing.bound_kg,
        sizing.bound_same_currents_kg
    );
}
