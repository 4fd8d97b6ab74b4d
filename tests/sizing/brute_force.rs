//! Every choice of sizes tried by the full solve: none that breaks no rule is
//! lighter than the answer, and the answer is among them.

use super::{awg, circuit, copper_kg, sized};
use ampkeel::circuit::{Circuit, Device};
use ampkeel::quantities::{Amps, WireSize};
use ampkeel::sizing::Stock;
use ampkeel::solving::solve;
use ampkeel::tables::ampacity::ampacity;
use approx::assert_relative_eq;

const FIVE: [i32; 5] = [18, 16, 14, 12, 10];

const HEAD: &str =
    "format = 1\n[battery.house]\ncold-cranking = \"500 A\"\nminus = \"ground\"\n[stud.ground]\n";

/// One load behind a kept fuse: feed in two hops by a switch, return in two.
const ONE_LOAD: &str = r#"
[fuse.main]
style = "blade"
rating = "7.5 A"
keep = true
in = "house.plus"
[switch.button]
[stud.splice]
[pump.pump]
class = "bilge pump 1100 gal/h"
[[run]]
through = ["main.out", "button", "pump.plus"]
lengths = ["7 ft", "11 ft"]
back = ["pump.minus", "splice", "ground"]
back-lengths = ["5 ft", "14 ft"]
size = "14 AWG"
[state.on]
closed = ["button"]
"#;

/// Two loads on a shared feed and a shared return, with two states.
const SHARED: &str = r#"
[fuse.main]
style = "blade"
rating = "10 A"
keep = true
in = "house.plus"
[stud.feed]
[stud.bus]
[switch.first]
in = "feed"
[switch.second]
in = "feed"
[load.radio]
power = "35 W"
minus = "bus"
[load.lamp]
lamp = "21 W"
minus = "bus"
[[wire]]
from = "main.out"
to = "feed"
size = "14 AWG"
length = "9 ft"
[[wire]]
from = "bus"
to = "ground"
size = "14 AWG"
length = "10 ft"
[[wire]]
from = "first.out"
to = "radio.plus"
size = "14 AWG"
length = "6 ft"
[[wire]]
from = "second.out"
to = "lamp.plus"
size = "14 AWG"
length = "13 ft"
[limits]
critical = ["lamp"]
[state.both]
closed = ["first", "second"]
[state.radio-alone]
closed = ["first"]
[state.lamp-alone]
closed = ["second"]
"#;

/// A ring: two ways to one load, so currents part by resistance.
const RING: &str = r#"
[fuse.main]
style = "blade"
rating = "10 A"
keep = true
in = "house.plus"
[stud.far]
[load.heater]
resistance = "2.4 ohm"
plus = "far"
[limits]
drop-other = "4 %"
[[wire]]
name = "short way"
from = "main.out"
to = "far"
size = "12 AWG"
length = "6 ft"
[[wire]]
name = "long way"
from = "main.out"
to = "far"
size = "12 AWG"
length = "15 ft"
[[wire]]
from = "heater.minus"
to = "ground"
size = "12 AWG"
length = "12 ft"
[state.on]
"#;

/// A free fuse between a steady load and short wires: the fuse decides.
const FREE_FUSE: &str = r#"
[fuse.main]
style = "blade"
rating = "30 A"
in = "house.plus"
[stud.mid]
[load.winch]
current = "13 A"
[[run]]
through = ["main.out", "mid", "winch.plus"]
lengths = ["3 ft", "2 ft"]
back = ["winch.minus", "ground"]
back-lengths = ["5 ft"]
size = "10 AWG"
[state.on]
"#;

/// Sets sizes and the fuse's rating.
fn with(circuit: &Circuit, sizes: &[WireSize], rating_a: Option<f64>) -> Circuit {
    let mut other = circuit.clone();
    for (wire, size) in other.wires.iter_mut().zip(sizes) {
        wire.size.value = *size;
    }
    for part in &mut other.parts {
        if let (Device::Fuse(fuse), Some(rating_a)) = (&mut part.device, rating_a) {
            fuse.rating.value = Amps::new(rating_a);
        }
    }
    other
}

/// Whether the judge finds nothing that sizing can mend, cautions too, and no
/// return is too thin for the fuse of its load (every fuse here is `main`).
fn is_good(circuit: &Circuit) -> bool {
    let rating_a = circuit.parts.iter().find_map(|part| match &part.device {
        Device::Fuse(fuse) => Some(fuse.rating.value.si()),
        _ => None,
    });
    let returns = circuit.wires.iter().filter(|wire| {
        let label = &circuit.terminal(wire.from).label;
        label.contains(".minus") || label == "bus" || label == "splice"
    });
    let stands = returns.into_iter().all(|wire| {
        let found = ampacity(wire.size.value, wire.insulation.map(|given| given.value)).unwrap();
        found.value.current.si() >= rating_a.unwrap()
    });
    let solution = solve(circuit).unwrap();
    let mendable = |finding: &ampkeel::findings::Finding| finding.sizing_can_mend;
    stands && !solution.findings.iter().any(mendable)
}

/// The lightest good choice of five sizes a wire, by trying all.
fn lightest(circuit: &Circuit, ratings_a: &[Option<f64>]) -> f64 {
    let wires = circuit.wires.len();
    let mut best = f64::INFINITY;
    for number in 0..FIVE.len().pow(wires as u32) {
        let sizes: Vec<WireSize> = (0..wires)
            .map(|wire| WireSize::Awg(FIVE[number / FIVE.len().pow(wire as u32) % FIVE.len()]))
            .collect();
        for rating_a in ratings_a {
            let other = with(circuit, &sizes, *rating_a);
            let kg = copper_kg(&other);
            if kg < best && is_good(&other) {
                best = kg;
            }
        }
    }
    best
}

fn agrees(text: &str, ratings_a: &[Option<f64>]) {
    let text = format!("{HEAD}{text}");
    let given = circuit(&text);
    let found = sized(&text, &awg(&FIVE));
    let best_kg = lightest(&given, ratings_a);
    assert!(
        best_kg.is_finite(),
        "no choice is good: the case says nothing"
    );
    assert!(is_good(&found.circuit), "{:?}", found.solution.findings);
    assert_relative_eq!(
        found.copper_kg,
        copper_kg(&found.circuit),
        max_relative = 1e-9
    );
    assert_relative_eq!(found.copper_kg, best_kg, max_relative = 1e-9);
    assert!(
        found.bound_kg <= best_kg * (1.0 + 1e-9),
        "{} {best_kg}",
        found.bound_kg
    );
}

#[test]
fn one_load_agrees_with_every_other_choice() {
    agrees(ONE_LOAD, &[None]);
}

#[test]
fn a_shared_feed_and_return_agree_with_every_other_choice() {
    agrees(SHARED, &[None]);
}

#[test]
fn a_shared_feed_by_the_metric_and_the_physical_basis_agree_too() {
    for basis in ["iso", "physical"] {
        let text = SHARED.replace("[limits]", &format!("[limits]\ndrop-basis = \"{basis}\""));
        agrees(&text, &[None]);
    }
}

#[test]
fn two_ways_to_one_load_agree_with_every_other_choice() {
    agrees(RING, &[None]);
}

#[test]
fn a_free_fuse_and_its_wires_agree_with_every_pair() {
    let ratings_a = [5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0].map(Some);
    agrees(FREE_FUSE, &ratings_a);
}

#[test]
fn the_stock_of_five_is_what_was_tried() {
    let text = format!("{HEAD}{ONE_LOAD}");
    let all = sized(&text, &Stock::default());
    let five = sized(&text, &awg(&FIVE));
    // Every listed size may only be lighter or alike.
    assert!(all.copper_kg <= five.copper_kg * (1.0 + 1e-12));
}
