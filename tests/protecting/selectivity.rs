//! Which opens first, of a branch and its main.

use super::{check, figure, fuse, studied};
use crate::heating::by_hand::blade_gate_s;
use ampkeel::protecting::{Kind, Order, Verdict};
use ampkeel::tables::fuses::Edge;

/// A main before a branch, both on short thick wire.
fn pair(main: &str, branch: &str) -> String {
    format!(
        r#"format = 1
[battery.start]
cold-cranking = "500 A"
minus = "ground"
[stud.ground]
[fuse.main]
{main}
in = "start.plus"
[fuse.branch]
{branch}
[load.lamp]
resistance = "12 ohm"
[[run]]
through = ["main.out", "branch.in"]
lengths = ["2 ft"]
size = "8 AWG"
insulation = "105 degC"
[[run]]
through = ["branch.out", "lamp.plus"]
lengths = ["6 ft"]
back = ["lamp.minus", "ground"]
back-lengths = ["6 ft"]
size = "12 AWG"
insulation = "105 degC"
"#
    )
}

fn blade(rating: &str) -> String {
    format!("style = \"blade\"\nrating = \"{rating}\"")
}

/// Worked from the gates in the references: blade over blade needs 2.76 to 1,
/// type E over blade 1.59, type E over type E 5; 10 A under 20 A of one family
/// is only likely, also on a dead short. 0 within, 1 likely, 2 both.
#[test]
fn the_ratios_worked_from_the_gates_decide() {
    let e = |rating: &str| format!("style = \"high-current-blade\"\nrating = \"{rating}\"");
    let cases = [
        (blade("30 A"), blade("10 A"), 0.0),
        (blade("25 A"), blade("10 A"), 1.0),
        (blade("20 A"), blade("10 A"), 1.0),
        (blade("15 A"), blade("10 A"), 2.0),
        (e("20 A"), blade("10 A"), 0.0),
        (e("30 A"), e("20 A"), 2.0),
        (e("100 A"), e("20 A"), 0.0),
    ];
    for (main, branch, order) in cases {
        let study = studied(&pair(&main, &branch));
        let found = check(fuse(&study, "branch"), Kind::Selectivity);
        assert_eq!(
            figure(found, "order"),
            Some(order),
            "{main} over {branch}: {}",
            found.sentence
        );
        let verdict = [Verdict::Holds, Verdict::Note, Verdict::Caution][order as usize];
        assert_eq!(found.verdict, verdict);
    }
}

#[test]
fn ten_amperes_under_twenty_of_one_family_is_likely_and_no_proof_of_a_second_fault() {
    let study = studied(&pair(&blade("20 A"), &blade("10 A")));
    let found = check(fuse(&study, "branch"), Kind::Selectivity);
    assert_eq!(figure(found, "order_dead_short"), Some(1.0));
    assert!(
        found.sentence.contains("likely opens first"),
        "{}",
        found.sentence
    );
    assert!(found.sentence.contains("proves no second fault"));
    // The gates alone decide while the main still holds: up to 1.1 x 20 A.
    let within_a = figure(found, "within_gates_to_a").expect("a stretch");
    assert!((14.0..24.0).contains(&within_a), "{within_a}");
    let main = fuse(&study, "main");
    assert!(
        main.checks
            .iter()
            .all(|check| check.kind != Kind::Selectivity)
    );
}

/// A short at the end of a long thin wire draws 14 to 21 A: 10 A opens within 1800
/// to 5 s there, a 20 A main is below 1.35 times its rating or not far above it.
/// Which opens first is worked from the gates at both ends of the range.
#[test]
fn a_soft_short_far_away_is_parted_where_a_dead_one_is_not() {
    let text = pair(&blade("20 A"), &blade("10 A"))
        .replace("lengths = [\"6 ft\"]", "lengths = [\"60 ft\"]")
        .replace("size = \"12 AWG\"", "size = \"18 AWG\"");
    let study = studied(&text);
    let report = fuse(&study, "branch");
    let place = report.places.first().expect("its wire");
    let first = place.first.as_ref().expect("a main before it");
    assert_eq!(first.upstream, "main");
    let [latest, earliest] = [
        |amps: f64| blade_gate_s(Edge::Late, amps / 10.0 / RATED),
        |amps: f64| blade_gate_s(Edge::Early, amps / 20.0 / RATED),
    ];
    let parted = |amps: f64| amps < 27.0 * RATED || latest(amps) <= earliest(amps);
    let all = parted(place.least_a) && parted(place.most_a);
    assert_eq!(first.order == Order::Within, all, "{place:?}");
    let dead = check(report, Kind::Selectivity);
    assert_eq!(figure(dead, "order_dead_short"), Some(1.0));
    assert!(
        dead.sentence.contains("end of its wire"),
        "{}",
        dead.sentence
    );
}

/// Air of 30 degC: sqrt(390/395) of the rating.
const RATED: f64 = 0.993_65;
