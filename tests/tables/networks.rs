//! Thermal networks against their gates and the reference's own times.

use super::near;
use ampkeel::quantities::{Amps, Seconds};
use ampkeel::tables::fuses::{
    Edge, FuseStyle, Gate, ThermalState, breaker_gates, breaker_network, early_stretch, gates,
    network, standard_ratings,
};
use ampkeel::tables::table;

/// Opening time at a constant multiple after a long preload, by bisection of
/// sum u(t) = 1; infinite where it never opens.
fn opens(states: &[ThermalState], multiple: f64, preload: f64) -> f64 {
    let heat = |t: f64| -> f64 {
        states
            .iter()
            .map(|s| {
                let (end, start) = (s.a * multiple * multiple, s.a * preload * preload);
                end + (start - end) * (-t / s.tau.si()).exp()
            })
            .sum()
    };
    if heat(1e9) < 1.0 {
        return f64::INFINITY;
    }
    let (mut low, mut high) = (-14.0f64, 20.0f64);
    for _ in 0..200 {
        let middle = f64::midpoint(low, high);
        if heat(middle.exp()) < 1.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    low.exp()
}

fn states(family: &str, edge: Edge) -> Vec<ThermalState> {
    if family == "breaker" {
        return breaker_network(edge).expect("network").value;
    }
    let style = FuseStyle::from_word(family).expect("family");
    network(style, Amps::new(30.0), edge)
        .expect("network")
        .value
}

fn edge_of(word: &str) -> Edge {
    match word {
        "early" => Edge::Early,
        "nominal" => Edge::Nominal,
        _ => Edge::Late,
    }
}

#[test]
fn networks_give_the_reference_times_from_cold() {
    let results = table("fuse-network-results").expect("there");
    let mut held = 0;
    for row in 0..results.rows.len() {
        let family = results.text(row, "family").expect("family");
        let edge = edge_of(results.text(row, "edge").expect("edge"));
        if family == "glass" {
            continue; // its rows are for 10 A and less
        }
        let states = states(family, edge);
        let sum: f64 = states.iter().map(|s| s.a).sum();
        near(
            1.0 / sum.sqrt(),
            results
                .number(row, "least_fusing_multiple")
                .expect("multiple"),
            1e-3,
        );
        let rate: f64 = states.iter().map(|s| s.a / s.tau.si()).sum();
        near(
            1.0 / rate,
            results.number(row, "i2t_over_rating2").expect("i2t"),
            0.01,
        );
        for (column, multiple) in [
            ("at_1_35_s", 1.35),
            ("at_1_6_s", 1.6),
            ("at_2_s", 2.0),
            ("at_3_5_s", 3.5),
            ("at_6_s", 6.0),
            ("at_10_s", 10.0),
        ] {
            if let Some(expected) = results.number(row, column) {
                near(opens(&states, multiple, 0.0), expected, 0.01);
                held += 1;
            }
        }
    }
    assert_eq!(held, 54);
}

#[test]
fn a_loaded_fuse_opens_sooner_as_the_reference_says() {
    let warm = table("fuse-warm-start").expect("there");
    for row in 0..warm.rows.len() {
        let family = warm.text(row, "family").expect("family");
        let states = states(family, edge_of(warm.text(row, "edge").expect("edge")));
        for (column, preload) in [
            ("from_0_s", 0.0),
            ("from_0_5_s", 0.5),
            ("from_0_8_s", 0.8),
            ("from_1_0_s", 1.0),
        ] {
            near(
                opens(&states, 2.0, preload),
                warm.number(row, column).expect("time"),
                0.01,
            );
        }
    }
}

fn inside(name: &str, gates: &[Gate], early: &[ThermalState], late: &[ThermalState]) {
    let seconds = |t: Option<Seconds>, none: f64| t.map_or(none, Seconds::si);
    for gate in gates {
        let (first, last) = (
            seconds(gate.earliest, 0.0),
            seconds(gate.latest, f64::INFINITY),
        );
        let early = opens(early, gate.multiple, 0.0);
        let late = opens(late, gate.multiple, 0.0);
        assert!(
            early >= 0.995 * first || first > 1e4 && early > 1e9,
            "{name} {gate:?}: {early}"
        );
        assert!(late <= 1.005 * last, "{name} {gate:?}: {late}");
        assert!(early <= late, "{name} {gate:?}");
    }
}

#[test]
fn every_network_stays_inside_its_gates() {
    for style in FuseStyle::ALL {
        for rating in standard_ratings(style).expect("table").value {
            let of = |edge| network(style, rating, edge).expect("network").value;
            let gates = gates(style, rating).expect("gates").value;
            inside(style.word(), &gates, &of(Edge::Early), &of(Edge::Late));
        }
    }
    let of = |edge| breaker_network(edge).expect("network").value;
    inside(
        "breaker",
        &breaker_gates().expect("gates").value,
        &of(Edge::Early),
        &of(Edge::Late),
    );
}

#[test]
fn stretched_early_blade_network_meets_its_gates() {
    let early = states("blade", Edge::Early);
    for (multiple, gate) in [(1.6, 0.25), (2.0, 0.15), (3.5, 0.04), (6.0, 0.02)] {
        let factor = early_stretch(FuseStyle::Blade, multiple)
            .expect("table")
            .value;
        near(opens(&early, multiple, 0.0) / factor, gate, 0.01);
    }
    near(
        early_stretch(FuseStyle::Blade, 20.0).expect("table").value,
        1.0,
        1e-12,
    );
    near(
        early_stretch(FuseStyle::HighCurrentBlade, 2.0)
            .expect("table")
            .value,
        1.0,
        1e-12,
    );
}

#[test]
fn nominal_opens_between_early_and_late() {
    for style in FuseStyle::ALL {
        for rating in standard_ratings(style).expect("table").value {
            for multiple in [1.4, 2.0, 3.0, 5.0, 9.0] {
                let at = |edge| {
                    opens(
                        &network(style, rating, edge).expect("network").value,
                        multiple,
                        0.0,
                    )
                };
                assert!(
                    at(Edge::Early) <= at(Edge::Nominal),
                    "{style} {rating} {multiple}"
                );
                assert!(
                    at(Edge::Nominal) <= at(Edge::Late),
                    "{style} {rating} {multiple}"
                );
            }
        }
    }
}
