//! Half-known circuits: ranges carried through, three-valued verdicts, what to
//! measure next, and what readings narrow. Held against an independent draw of
//! whole circuits solved one by one, against hand calculation, and against
//! every corner of small circuits.

mod brute_force;
mod by_hand;
mod command;
mod contradicting;
mod guessed;
mod half_known;
mod hidden;
mod unchanging;
mod verdicts;

use ampkeel::circuit::Circuit;
use ampkeel::tolerance::{Options, Study, study};

use crate::solving::circuit;

#[track_caller]
fn studied(circuit: &Circuit, samples: u64) -> Study {
    let options = Options {
        samples,
        ..Options::default()
    };
    study(circuit, options).unwrap()
}

/// A pump and a lamp on a block, in which lengths and sizes are left out.
const HALF_KNOWN: &str = r#"
format = 1
title = "Invented: a pump and a lamp, hardly measured"

[boat]
engine = "outboard"

[battery.house]
cold-cranking = "500 A"
charge = "70 to 100 %"
minus = "ground"

[stud.ground]

[fuse.main]
style = "blade"
rating = "20 A"

[fuse-block.helm]
style = "blade"
slots = { bilge = "5 A", lights = "10 A" }

[switch.bilge-switch]

[switch.light-switch]

[pump.bilge-pump]
class = "bilge pump 1100 gal/h"

[load.lights]
lamp = "25 W"

[[run]]
through = ["house.plus", "main", "helm.feed"]

[[run]]
through = ["helm.bilge", "bilge-switch", "bilge-pump.plus"]
back = ["bilge-pump.minus", "ground"]
size = "16 AWG"

[[run]]
through = ["helm.lights", "light-switch", "lights.plus"]
back = ["lights.minus", "ground"]
lengths = ["?", "3 m"]

[state.both]
closed = ["bilge-switch", "light-switch"]

[state.pumping]
closed = ["bilge-switch"]
"#;
