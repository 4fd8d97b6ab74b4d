//! Percentiles and coverage against whole circuits drawn by another generator
//! and solved one by one.

use std::collections::BTreeMap;
use std::path::Path;

use ampkeel::circuit::Circuit;
use ampkeel::devices::resolve;
use ampkeel::quantities::{Band, Dimension};
use ampkeel::solving::{StateSolution, states};

use super::{HALF_KNOWN, circuit, studied};
use crate::procedures::lehmer::Lehmer;

/// A reading of a solved state by the name the study uses.
fn reading(state: &StateSolution, subject: &str, dimension: Dimension) -> Option<f64> {
    let volts = dimension == Dimension::Voltage;
    let part = state.parts.get(subject).map(|part| {
        if volts {
            part.voltage_v
        } else {
            part.current_a
        }
    });
    let battery = state.batteries.get(subject).map(|battery| {
        Some(if volts {
            battery.voltage_v
        } else {
            battery.current_a
        })
    });
    let fuse = state.fuses.get(subject).map(|fuse| Some(fuse.current_a));
    part.or(battery).or(fuse)?.map(f64::abs)
}

/// Every circuit drawn by another generator and solved whole: by state, subject
/// and dimension.
type Drawn = BTreeMap<(String, String, bool), Vec<f64>>;

fn drawn(circuit: &Circuit, wanted: &[(String, String, Dimension)], count: usize) -> Drawn {
    let resolved = resolve(circuit).unwrap();
    let mut draw = Lehmer(20_261_126);
    let mut all = Drawn::new();
    for _ in 0..count {
        let one =
            resolved.specimen(&mut |band: Band<f64>| draw.of(band.low, band.typical, band.high));
        let solved = states(circuit, &one).unwrap();
        for (state, subject, dimension) in wanted {
            let found = solved.iter().find(|other| other.name == *state);
            let Some(value) = found.and_then(|state| reading(state, subject, *dimension)) else {
                continue;
            };
            let key = (
                state.clone(),
                subject.clone(),
                *dimension == Dimension::Voltage,
            );
            all.entry(key).or_default().push(value);
        }
    }
    for values in all.values_mut() {
        values.sort_by(f64::total_cmp);
    }
    all
}

/// Circuits in which nothing but the figures of parts and wires has a range, so
/// that the other draw knows as much.
fn subjects() -> Vec<(&'static str, Circuit, usize)> {
    let read = |file: &str| {
        let path = Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("circuits")
            .join(file);
        circuit(&std::fs::read_to_string(path).unwrap())
    };
    let half_known = HALF_KNOWN.replace("charge = \"70 to 100 %\"\n", "");
    vec![
        ("half-known", circuit(&half_known), 1500),
        ("basalt", read("basalt-bilge-pump.toml"), 1500),
        ("flint", read("flint-carburetted-two-stroke.toml"), 300),
        ("schist", read("schist-console-boat.toml"), 150),
    ]
}

#[test]
fn percentiles_are_those_of_circuits_drawn_and_solved_one_by_one() {
    for (name, circuit, count) in subjects() {
        let study = studied(&circuit, 2048);
        let wanted: Vec<_> = study
            .ranges
            .iter()
            .map(|range| (range.state.clone(), range.subject.clone(), range.dimension))
            .collect();
        let drawn = drawn(&circuit, &wanted, count);
        for range in &study.ranges {
            let is_volts = range.dimension == Dimension::Voltage;
            let key = (range.state.clone(), range.subject.clone(), is_volts);
            let values = &drawn[&key];
            for (share, told) in [(0.05, range.p5), (0.5, range.p50), (0.95, range.p95)] {
                // Below the percentile lie so many of `count` draws, give or
                // take four spreads of a binomial, and a step of rounding.
                let count = values.len() as f64;
                let spread = (share * (1.0 - share) * count).sqrt();
                let step = 1e-6 * told.abs() + 1e-9;
                let at_least = values.partition_point(|value| *value < told - step) as f64;
                let at_most = values.partition_point(|value| *value < told + step) as f64;
                let slack = 4.0 * spread * (1.0 + count / 2048.0).sqrt() + 1.0;
                assert!(
                    at_least < share * count + slack && at_most > share * count - slack,
                    "{name} {key:?}: {share} of drawn circuits below {told}, found {at_least} to {at_most} of {count}"
                );
            }
        }
    }
}

#[test]
fn nine_in_ten_hidden_circuits_lie_inside_the_stated_ranges() {
    let circuit = circuit(&HALF_KNOWN.replace("charge = \"70 to 100 %\"\n", ""));
    let study = studied(&circuit, 4096);
    let wanted: Vec<_> = study
        .ranges
        .iter()
        .map(|range| (range.state.clone(), range.subject.clone(), range.dimension))
        .collect();
    let hidden = 600;
    let drawn = drawn(&circuit, &wanted, hidden);
    for range in &study.ranges {
        let key = (
            range.state.clone(),
            range.subject.clone(),
            range.dimension == Dimension::Voltage,
        );
        let values = &drawn[&key];
        let inside = values
            .iter()
            .filter(|v| (range.p5..=range.p95).contains(*v));
        let share = inside.count() as f64 / values.len() as f64;
        // Four spreads of a binomial of 600.
        assert!(
            (share - 0.9).abs() < 4.0 * (0.09 / 600.0_f64).sqrt() + 0.005,
            "{key:?}: {share}"
        );
    }
}
