//! Published worked examples as circuit files.
//!
//! Sources, cited at each test by a short name:
//! - University Physics: University Physics vol. 2 (open textbook, openstax.org).
//! - Circuit Theory: Electrical Circuit Theory and Technology (textbook).
//! - Special Machines: Special Electrical Machines (university textbook), ch. 4.
//!
//! Which example of the collection stands where: [`super::example_list`].
//! Batteries, loads and windings are given by their figures, so that nothing
//! of a class enters; wires are bare, a microhm in all.

mod batteries;
mod coils;
mod cranking;
mod meters;
mod motors;
mod wires;

use ampkeel::solving::StateSolution;

use super::{BARE_WIRES, only};

/// A battery with loads of so many ohms in series, named `r0`, `r1`, ...
fn series(emf_v: f64, inside_ohm: f64, loads_ohm: &[f64]) -> StateSolution {
    let parts: Vec<String> = (loads_ohm.iter().enumerate())
        .map(|(at, ohm)| format!("[load.r{at}]\nresistance = \"{ohm} ohm\"\n"))
        .collect();
    let through: Vec<String> = (0..loads_ohm.len())
        .map(|at| format!("\"r{at}\", "))
        .collect();
    let (parts, through) = (parts.concat(), through.concat());
    only(&format!(
        "format = 1\n{BARE_WIRES}
[battery.b]
open-volts = \"{emf_v} V\"
resistance = \"{inside_ohm} ohm\"
{parts}
[[run]]
through = [\"b.plus\", {through}\"b.minus\"]
"
    ))
}
