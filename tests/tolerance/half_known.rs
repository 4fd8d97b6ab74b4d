//! What stands for a length or size that nobody wrote.

use ampkeel::circuit::Circuit;
use ampkeel::devices::resolve;
use ampkeel::quantities::WireSize;
use ampkeel::sizing::{Stock, rewritten, size};
use ampkeel::tables::unwritten::sizes;

use super::{HALF_KNOWN, circuit};

fn wire<'c>(circuit: &'c Circuit, label: &str) -> &'c ampkeel::circuit::Wire {
    circuit
        .wires
        .iter()
        .find(|wire| circuit.wire_label(wire) == label)
        .unwrap()
}

#[test]
fn a_wire_nobody_measured_gets_the_range_of_its_place_and_fuse() {
    let circuit = circuit(HALF_KNOWN);
    // Table rows: at the battery 0.2 to 2.5 m; behind a 20 A fuse 16 to 10 AWG.
    let feed = wire(&circuit, "house.plus to main.in");
    assert_eq!(
        (feed.length.value.low.si(), feed.length.value.high.si()),
        (0.2, 2.5)
    );
    assert_eq!(feed.size.value, WireSize::Awg(4));
    let block = wire(&circuit, "main.out to helm.feed");
    assert_eq!(block.size.value, WireSize::Awg(12));
    let sizes = sizes(block.unwritten.size.unwrap()).unwrap().value;
    assert_eq!(
        (sizes.thinnest, sizes.thickest),
        (WireSize::Awg(16), WireSize::Awg(10))
    );
    // Behind the 10 A slot, and the return of its lamp.
    for label in ["helm.lights to light-switch.in", "lights.minus to ground"] {
        assert_eq!(
            wire(&circuit, label).size.value,
            WireSize::Awg(16),
            "{label}"
        );
    }
    // On the boat 0.4 to 7 m; what was written stays.
    let unknown = wire(&circuit, "helm.lights to light-switch.in");
    assert_eq!(
        (
            unknown.length.value.low.si(),
            unknown.length.value.high.si()
        ),
        (0.4, 7.0)
    );
    let known = wire(&circuit, "light-switch.out to lights.plus");
    assert_eq!(known.length.value.typical.si(), 3.0);
    assert!(known.unwritten.length.is_none() && known.unwritten.size.is_some());
}

#[test]
fn everything_that_stands_for_something_unwritten_is_told() {
    let circuit = circuit(HALF_KNOWN);
    let assumed = resolve(&circuit).unwrap().assumed;
    let told = assumed
        .iter()
        .filter(|assumed| assumed.what.contains("not written"))
        .count();
    let missing: usize = circuit
        .wires
        .iter()
        .map(|wire| {
            usize::from(wire.unwritten.length.is_some())
                + usize::from(wire.unwritten.size.is_some())
        })
        .sum();
    assert_eq!(told, missing);
    assert!(missing >= 10);
}

#[test]
fn a_thickness_between_two_sizes_lies_between_them() {
    let circuit = circuit(HALF_KNOWN);
    let resolved = resolve(&circuit).unwrap();
    let at = circuit
        .wires
        .iter()
        .position(|wire| circuit.wire_label(wire) == "main.out to helm.feed")
        .unwrap();
    let wire = &resolved.wires[at];
    let (thin, thick) = (wire.at_thickness(-1.0), wire.at_thickness(1.0));
    // 16 AWG has 1.31 mm2, 10 AWG 5.26 mm2 by the standard's formula.
    assert!((thin.area_mm2 - 1.309).abs() < 0.005, "{}", thin.area_mm2);
    assert!((thick.area_mm2 - 5.261).abs() < 0.01, "{}", thick.area_mm2);
    let (a, b, c) = (thin.copper_ohm(), wire.copper_ohm(), thick.copper_ohm());
    assert!(a > b && b > c, "{a} {b} {c}");
    // The thickest is 4.02 times the copper of the thinnest.
    assert!((a / c - 4.02).abs() < 0.15, "{}", a / c);
}

#[test]
fn sizing_writes_every_size_that_was_left_out_and_keeps_the_rest() {
    let text = ampkeel::span::CircuitText::new("half.toml", HALF_KNOWN);
    let circuit = circuit(HALF_KNOWN);
    let sizing = size(&circuit, &Stock::default()).unwrap();
    let new = rewritten(&text, &circuit, &sizing, None).unwrap().text;
    let back = super::circuit(&new);
    assert!(back.wires.iter().all(|wire| wire.unwritten.size.is_none()));
    let kept = HALF_KNOWN
        .lines()
        .filter(|line| !new.lines().any(|new| new == *line));
    // Only the bilge run's own size may have changed.
    for line in kept {
        assert!(line.starts_with("size = "), "{line}");
    }
}
