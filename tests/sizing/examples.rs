//! Every example circuit, and one of sixty wires.

use super::{circuit, copper_kg, sixty};
use crate::solving::examples;
use ampkeel::protecting::{Kind, Verdict, study};
use ampkeel::sizing::{Stock, left_to_mend, size};
use ampkeel::solving::solve;

#[test]
fn every_example_is_sized_without_a_violation_that_sizing_can_mend() {
    for (name, circuit) in examples() {
        let sizing = size(&circuit, &Stock::default()).unwrap();
        let found = sizing.solution.findings.iter().chain(&sizing.protection);
        let left = left_to_mend(found);
        assert!(left.is_empty(), "{name}: {left:?}");
        assert!(
            sizing.collisions.is_empty(),
            "{name}: {:?}",
            sizing.collisions
        );
        assert!(sizing.at_rest, "{name}");
        let own = solve(&sizing.circuit).unwrap();
        if sizing.not_sized.is_none() {
            assert_eq!(own.findings.len(), sizing.solution.findings.len(), "{name}");
        }
        let kg = copper_kg(&sizing.circuit);
        assert!((kg - sizing.copper_kg).abs() < 1e-9, "{name}");
        assert!(sizing.bound_kg <= kg * (1.0 + 1e-9), "{name}");
        assert!(sizing.bound_same_currents_kg <= kg * (1.0 + 1e-9), "{name}");
        assert!(
            sizing.bound_kg > 0.95 * kg,
            "{name}: {} of {kg} proven",
            sizing.bound_kg
        );
    }
}

/// `protect` run on the sized circuit by itself agrees with what sizing says.
#[test]
fn protect_finds_no_violation_in_any_sized_example_that_sizing_could_mend() {
    for (name, circuit) in examples() {
        let sizing = size(&circuit, &Stock::default()).unwrap();
        if sizing.not_sized.is_some() {
            continue;
        }
        let found = study(&sizing.circuit).unwrap();
        let left = left_to_mend(&found.findings);
        assert!(left.is_empty(), "{name}: {left:?}");
        for report in &found.fuses {
            let fuse = sizing.fuses.iter().find(|fuse| fuse.name == report.name);
            assert_eq!(fuse.unwrap().rating_a, report.rating.si(), "{name}");
            for check in report.checks.iter().filter(|c| c.kind == Kind::Start) {
                assert_eq!(check.verdict, Verdict::Holds, "{name}: {}", check.sentence);
            }
        }
    }
}

#[test]
fn only_the_two_circuits_wired_the_wrong_way_round_are_not_sized() {
    let refused: Vec<String> = examples()
        .into_iter()
        .filter(|(_, circuit)| {
            let sizing = size(circuit, &Stock::default()).unwrap();
            sizing.not_sized.is_some()
        })
        .map(|(name, _)| name)
        .collect();
    assert_eq!(refused.len(), 2, "{refused:?}");
    assert!(
        refused.iter().all(|name| name.contains("reversed")),
        "{refused:?}"
    );
}

#[test]
fn sizing_the_sized_circuit_changes_nothing() {
    for (name, circuit) in examples() {
        let once = size(&circuit, &Stock::default()).unwrap();
        let twice = size(&once.circuit, &Stock::default()).unwrap();
        assert_eq!(twice.changed_wires().count(), 0, "{name}");
        assert_eq!(twice.changed_fuses().count(), 0, "{name}");
    }
}

#[test]
fn sixty_wires_are_sized_to_the_least_for_their_currents() {
    let given = circuit(&sixty::text());
    assert_eq!(given.wires.len(), 62);
    let sizing = size(&given, &Stock::default()).unwrap();
    assert!(left_to_mend(&sizing.solution.findings).is_empty());
    assert!(sizing.at_rest && sizing.collisions.is_empty());
    assert!(sizing.bound_same_currents_kg >= sizing.copper_kg * (1.0 - 1e-9));
}
