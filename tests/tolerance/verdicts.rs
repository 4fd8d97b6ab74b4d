//! Verdicts over ranges against those of the plain solution.

use ampkeel::solving::solve;
use ampkeel::tolerance::{Side, Standing};

use super::{HALF_KNOWN, circuit, studied};
use crate::solving::examples;

#[test]
fn a_fuse_above_its_wire_is_judged_whether_the_size_is_written_or_not() {
    let verdict = |size: &str| {
        let text = HALF_KNOWN.replace(
            "through = [\"house.plus\", \"main\", \"helm.feed\"]",
            &format!("through = [\"house.plus\", \"main\", \"helm.feed\"]\nsize = [\"4 AWG\", \"{size}\"]"),
        );
        let study = studied(&circuit(&text), 256);
        let found = study.verdicts.into_iter().find(|verdict| {
            verdict.code.name() == "fuse-above-wire"
                && verdict.subject.starts_with("main before main.out")
        });
        found.expect("judged").standing
    };
    // 33 CFR 183.425 table 5, 60 degC: 18 AWG 10 A, 12 AWG 25 A; half as much
    // again by law: 15 A and 37.5 A against a 20 A fuse.
    assert_eq!(verdict("18 AWG"), Standing::Fails);
    assert_eq!(verdict("12 AWG"), Standing::Holds);
}

/// Findings that the study puts to every drawn boat, with any subject.
const SHARED: [&str; 4] = [
    "drop-above-limit",
    "wire-above-ampacity",
    "fuse-above-rating",
    "starter-volts-low",
];

#[test]
fn the_typical_boat_has_the_findings_of_the_plain_solution_in_every_example() {
    for (name, circuit) in examples() {
        let plain = solve(&circuit).unwrap();
        // States without a solution are findings there and nothing here.
        let study = studied(&circuit, 64);
        for code in SHARED {
            let mut found: Vec<&str> = plain
                .findings
                .iter()
                .filter(|finding| finding.code.name() == code)
                .map(|finding| finding.subject.as_str())
                .collect();
            let mut told: Vec<&str> = study
                .verdicts
                .iter()
                .filter(|verdict| verdict.code.name() == code)
                .filter(|verdict| match verdict.side {
                    Side::Above => verdict.typical > verdict.limit,
                    Side::Below => verdict.typical < verdict.limit,
                })
                .map(|verdict| verdict.subject.as_str())
                .collect();
            found.sort_unstable();
            found.dedup();
            told.sort_unstable();
            told.dedup();
            assert_eq!(found, told, "{name}: {code}");
        }
    }
}

#[test]
fn the_rule_drop_of_the_typical_boat_is_that_of_the_plain_solution() {
    for (name, circuit) in examples() {
        let plain = solve(&circuit).unwrap();
        let study = studied(&circuit, 64);
        for verdict in study
            .verdicts
            .iter()
            .filter(|v| v.code.name() == "drop-above-limit")
        {
            let state = plain
                .states
                .iter()
                .find(|state| verdict.state.as_deref() == Some(state.name.as_str()))
                .unwrap();
            let drop_v = state.parts[&verdict.subject].rule_drop_v.unwrap();
            assert!(
                (verdict.typical - drop_v).abs() < 1e-4 * drop_v.max(0.01),
                "{name}: {} has {} here, {drop_v} there",
                verdict.subject,
                verdict.typical
            );
        }
    }
}
