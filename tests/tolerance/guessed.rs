//! What was guessed by the figure it is held against never holds by that guess, and
//! a length nobody measured is told by no share of boats.

use ampkeel::circuit::Circuit;
use ampkeel::protecting::{self, Kind};
use ampkeel::quantities::WireSize;
use ampkeel::solving::solve;
use ampkeel::tolerance::{Standing, Verdict};

use super::{HALF_KNOWN, circuit, studied};

fn with_main(rating: &str) -> Circuit {
    circuit(&HALF_KNOWN.replace("rating = \"20 A\"", &format!("rating = \"{rating}\"")))
}

fn before_the_block(circuit: &Circuit) -> Verdict {
    let mut verdicts = studied(circuit, 256).verdicts.into_iter();
    let found = verdicts.find(|verdict| {
        verdict.code.name() == "fuse-above-wire-practice"
            && verdict.subject == "main before main.out to helm.feed"
    });
    found.expect("judged")
}

#[test]
fn a_larger_fuse_never_makes_a_wire_hold_that_nobody_read() {
    // 33 CFR 183.425 table 5, 60 degC: 18 AWG, the thinnest found, carries 10 A.
    for rating in ["15 A", "20 A", "25 A", "30 A"] {
        let verdict = before_the_block(&with_main(rating));
        assert!(verdict.is_guessed, "{rating}");
        assert_ne!(verdict.standing, Standing::Holds, "{rating}");
        assert!(!verdict.holds_at_worst, "{rating}");
    }
    for rating in ["7.5 A", "10 A"] {
        let verdict = before_the_block(&with_main(rating));
        assert!(!verdict.is_guessed && verdict.holds_at_worst, "{rating}");
    }
}

#[test]
fn the_size_that_an_unread_wire_has_to_have_is_named() {
    // The table's figures at 60 degC: 14 AWG 20 A, 12 AWG 25 A, 10 AWG 40 A.
    for (rating, asks) in [("15 A", "16 AWG"), ("20 A", "14 AWG"), ("30 A", "10 AWG")] {
        let circuit = with_main(rating);
        let findings = solve(&circuit).unwrap().findings;
        let found = findings
            .iter()
            .find(|finding| finding.code.name() == "wire-size-unread" && finding.subject == "main");
        let found = found.unwrap_or_else(|| panic!("{rating}"));
        let words = format!("it asks for {asks} or thicker");
        assert!(found.statement.contains(&words), "{}", found.statement);
        let study = protecting::study(&circuit).unwrap();
        let main = study.fuses.iter().find(|fuse| fuse.name == "main").unwrap();
        let wire = main.checks.iter().find(|check| check.kind == Kind::Wire);
        assert_eq!(wire.unwrap().verdict, protecting::Verdict::Caution);
        assert!(wire.unwrap().sentence.contains(&words));
    }
}

#[test]
fn a_wire_that_was_read_is_judged_as_before() {
    let read = HALF_KNOWN.replace(
        "through = [\"house.plus\", \"main\", \"helm.feed\"]",
        "through = [\"house.plus\", \"main\", \"helm.feed\"]\nsize = [\"4 AWG\", \"12 AWG\"]",
    );
    let circuit = circuit(&read);
    let verdict = before_the_block(&circuit);
    // 12 AWG carries 25 A, the fuse is 20 A.
    assert!(!verdict.is_guessed);
    assert_eq!(verdict.standing, Standing::Holds);
    let findings = solve(&circuit).unwrap().findings;
    let unread = |finding: &ampkeel::findings::Finding| finding.code.name() == "wire-size-unread";
    assert!(
        !findings
            .iter()
            .any(|finding| unread(finding) && finding.subject == "main")
    );
}

#[test]
fn a_fuse_above_its_label_makes_no_guess_thicker() {
    let text = HALF_KNOWN.replace("rating = \"20 A\"", "rating = \"30 A\"\nlabel = \"15 A\"");
    let circuit = circuit(&text);
    let label = "main.out to helm.feed";
    let wire = circuit
        .wires
        .iter()
        .find(|w| circuit.wire_label(w) == label);
    // By the row of 15 A, 14 AWG; the fitted 30 A would say 10 AWG.
    assert_eq!(wire.unwrap().size.value, WireSize::Awg(14));
}

fn way_to_the_fuse(length: &str) -> (Verdict, protecting::Check) {
    let text = HALF_KNOWN.replace(
        "through = [\"house.plus\", \"main\", \"helm.feed\"]",
        &format!(
            "through = [\"house.plus\", \"main\", \"helm.feed\"]\nlengths = [\"{length}\", \"?\"]"
        ),
    );
    let circuit = circuit(&text);
    let mut verdicts = studied(&circuit, 2048).verdicts.into_iter();
    let verdict = verdicts.find(|verdict| verdict.code.name() == "wire-unprotected");
    let study = protecting::study(&circuit).unwrap();
    let main = study.fuses.into_iter().find(|fuse| fuse.name == "main");
    let mut checks = main.unwrap().checks.into_iter();
    let place = checks.find(|check| check.kind == Kind::Place);
    (verdict.expect("judged"), place.unwrap())
}

#[test]
fn the_wire_before_the_first_fuse_is_judged_over_its_range() {
    // 33 CFR 183.455(b): 7 in. A triangle from 4 over 6.5 to 9 in has
    // (9 - 7)^2 / ((9 - 4) (9 - 6.5)) = 0.32 of it beyond 7 in.
    let (verdict, place) = way_to_the_fuse("4 to 9 in");
    assert_eq!(verdict.standing, Standing::Open);
    assert!((verdict.share - 0.32).abs() < 0.02, "{}", verdict.share);
    assert!((verdict.limit - 7.0 * 0.0254).abs() < 1e-9);
    assert!(
        (verdict.worst - 9.0 * 0.0254).abs() < 1e-9,
        "{}",
        verdict.worst
    );
    assert_eq!(place.verdict, protecting::Verdict::Caution);
    assert!(
        place.sentence.contains("cannot be told"),
        "{}",
        place.sentence
    );

    let (verdict, place) = way_to_the_fuse("4 to 6 in");
    assert!(verdict.standing == Standing::Holds && verdict.holds_at_worst);
    assert_eq!(place.verdict, protecting::Verdict::Holds);
    let (verdict, place) = way_to_the_fuse("12 to 20 in");
    assert_eq!(verdict.standing, Standing::Fails);
    assert_eq!(place.verdict, protecting::Verdict::Caution);
    assert!(
        !place.sentence.contains("cannot be told"),
        "{}",
        place.sentence
    );
}

#[test]
fn a_length_nobody_measured_neither_holds_nor_fails() {
    let (verdict, place) = way_to_the_fuse("?");
    assert_eq!(verdict.standing, Standing::Open);
    assert!(
        place.sentence.contains("cannot be told"),
        "{}",
        place.sentence
    );
}
