//! Wires without a fuse, bridged and oversized fuses, shorts, and wrong volts.

use ampkeel::findings::Severity;
use ampkeel::reading::read;
use ampkeel::solving::{Solution, solve};
use ampkeel::span::CircuitText;

fn solved(text: &str) -> Solution {
    let reading = read(&CircuitText::new("test.toml", text));
    let circuit = reading
        .circuit
        .unwrap_or_else(|| panic!("{:?}", reading.findings));
    solve(&circuit).expect("solved")
}

fn found(solution: &Solution, code: &str) -> Vec<(Severity, String)> {
    solution
        .findings
        .iter()
        .filter(|finding| finding.code.name() == code)
        .map(|finding| (finding.severity(), finding.subject.clone()))
        .collect()
}

/// A pump behind a fuse of `rating`, whose feed wire starts with `first`.
fn pump(class: &str, rating: &str, first: &str, size: &str, more: &str) -> Solution {
    solved(&format!(
        r#"format = 1
[battery.house]
minus = "ground"
[stud.ground]
[fuse.guard]
style = "blade"
rating = "{rating}"
[pump.bilge]
class = "{class}"
[[run]]
through = ["house.plus", "guard", "bilge.plus"]
lengths = ["{first}", "3 ft"]
back = ["bilge.minus", "ground"]
back-lengths = ["3 ft"]
size = "{size}"
{more}
"#
    ))
}

/// 33 CFR 183.455(b): 7 in; 183.460(a): 72 in of sheathed battery lead.
#[test]
fn a_fuse_has_to_sit_within_seven_inches_or_seventy_two_in_a_sheath() {
    let at = |length: &str, more: &str| {
        let solution = pump("bilge pump 1100 gal/h", "5 A", length, "14 AWG", more);
        found(&solution, "wire-unprotected")
    };
    let told = vec![(Severity::Caution, "house.plus to guard.in".to_owned())];
    assert_eq!(at("7 in", ""), []);
    assert_eq!(at("8 in", ""), told);
    assert_eq!(at("72 in", "sheath = true"), []);
    assert_eq!(at("73 in", "sheath = true"), told);
}

#[test]
fn a_load_without_any_fuse_is_told_however_short_its_wire() {
    let solution = solved(
        r#"format = 1
[battery.house]
minus = "ground"
[stud.ground]
[switch.helm]
[pump.bilge]
class = "bilge pump 1100 gal/h"
[[run]]
through = ["house.plus", "helm", "bilge.plus"]
lengths = ["3 in", "3 in"]
back = ["bilge.minus", "ground"]
back-lengths = ["3 ft"]
size = "14 AWG"
"#,
    );
    let told = found(&solution, "wire-unprotected");
    assert_eq!(told, [(Severity::Caution, "helm.out to bilge.plus".into())]);
}

#[test]
fn the_cable_of_a_starter_needs_no_fuse() {
    let solution = solved(
        r#"format = 1
[battery.house]
minus = "ground"
[stud.ground]
[switch.crank]
[motor.starter]
class = "starter 20 hp"
[[run]]
through = ["house.plus", "crank", "starter.plus"]
lengths = ["4 ft", "4 ft"]
back = ["starter.minus", "ground"]
back-lengths = ["4 ft"]
size = "2 AWG"
"#,
    );
    assert_eq!(found(&solution, "wire-unprotected"), []);
}

#[test]
fn a_wire_across_a_fuse_is_a_violation() {
    let more =
        "[[wire]]\nfrom = \"guard.in\"\nto = \"guard.out\"\nsize = \"14 AWG\"\nlength = \"2 in\"";
    let solution = pump("bilge pump 1100 gal/h", "5 A", "6 in", "14 AWG", more);
    assert_eq!(
        found(&solution, "fuse-bridged"),
        [(Severity::Violation, "guard".into())]
    );
    let sound = pump("bilge pump 1100 gal/h", "5 A", "6 in", "14 AWG", "");
    assert_eq!(found(&sound, "fuse-bridged"), []);
}

/// `bilge-classes`: makers of a 500 gal/h pump name 2.5 A.
#[test]
fn a_fuse_far_above_what_makers_of_the_class_allow_is_told() {
    let large = pump("bilge pump 500 gal/h", "20 A", "6 in", "10 AWG", "");
    assert_eq!(
        found(&large, "fuse-above-class"),
        [(Severity::Caution, "guard".into())]
    );
    let usual = pump("bilge pump 500 gal/h", "2 A", "6 in", "14 AWG", "");
    assert_eq!(found(&usual, "fuse-above-class"), []);
}

/// A wire thinner than the table's 18 AWG carries no more than that: 10 A at
/// 60 degC, 150 % of it 15 A.
#[test]
fn wire_below_the_table_is_held_to_its_thinnest_row() {
    let solution = pump("bilge pump 1100 gal/h", "20 A", "6 in", "22 AWG", "");
    assert_eq!(
        found(&solution, "fuse-above-wire"),
        [(Severity::Violation, "guard".into())]
    );
}

/// Copper at 300 degC has 1 + 0.00393 x 280 = 2.1 times its resistance at
/// 20 degC; 14 AWG is 2.08 mm2, 8.3 to 8.5 mohm per metre: 4 m are 70 mohm.
/// With 10 mohm of battery and 1 mohm of load 12 V drive 148 A through them.
#[test]
fn a_short_is_not_made_small_by_a_glowing_wire() {
    let solution = solved(
        r#"format = 1
[battery.house]
open-volts = "12 V"
resistance = "10 mohm"
minus = "ground"
[stud.ground]
[load.short]
resistance = "1 mohm"
[[run]]
through = ["house.plus", "short.plus"]
lengths = ["2 m"]
back = ["short.minus", "ground"]
back-lengths = ["2 m"]
size = "14 AWG"
joints = "0 ohm"
tinned = false
"#,
    );
    let current = solution.states[0].batteries["house"].current_a;
    assert!((140.0..152.0).contains(&current), "{current}");
    assert!(solution.states[0].residual_a <= 1e-9);
}

fn in_series(volts: &str) -> Solution {
    solved(&format!(
        r#"format = 1
[battery.first]
open-volts = "{volts}"
resistance = "10 mohm"
minus = "ground"
[battery.second]
open-volts = "12 V"
resistance = "10 mohm"
[stud.ground]
[fuse.guard]
style = "blade"
rating = "5 A"
[pump.bilge]
class = "bilge pump 1100 gal/h"
[[run]]
through = ["second.plus", "guard", "bilge.plus"]
lengths = ["6 in", "3 ft"]
back = ["bilge.minus", "ground"]
back-lengths = ["3 ft"]
size = "14 AWG"
[[run]]
through = ["first.plus", "second.minus"]
lengths = ["6 in"]
size = "14 AWG"
"#
    ))
}

#[test]
fn a_pump_for_12_volts_on_24_is_a_violation_and_has_no_drop_below_nothing() {
    let solution = in_series("12 V");
    assert_eq!(
        found(&solution, "load-overvoltage"),
        [(Severity::Violation, "bilge".into())]
    );
    assert_eq!(solution.states[0].parts["bilge"].drop_v, None);
    assert_eq!(found(&in_series("2 V"), "load-overvoltage"), []);
}

#[test]
fn a_battery_tied_to_another_of_twice_its_volts_is_a_violation() {
    let solution = solved(
        r#"format = 1
[battery.small]
open-volts = "12.6 V"
resistance = "10 mohm"
minus = "ground"
[battery.large]
open-volts = "25 V"
resistance = "10 mohm"
minus = "ground"
[stud.ground]
[[run]]
through = ["small.plus", "large.plus"]
lengths = ["1 ft"]
size = "2 AWG"
"#,
    );
    let told = found(&solution, "battery-overcharged");
    assert!(
        told.contains(&(Severity::Violation, "small".into())),
        "{told:?}"
    );
}

#[test]
fn a_what_if_state_never_decides() {
    let more = "[state.jammed]\ncondition = { bilge = \"locked\" }";
    let solution = pump("bilge pump 1100 gal/h", "5 A", "6 in", "14 AWG", more);
    let worst = solution
        .findings
        .iter()
        .map(ampkeel::findings::Finding::severity)
        .min();
    assert_eq!(worst, Some(Severity::Note));
}

/// A tap from the solenoid's stud is no cranking cable, whether the file has a
/// state that cranks or not; the cable itself is.
#[test]
fn a_tap_from_the_solenoid_s_stud_needs_its_own_fuse() {
    let with = |states: &str| {
        solved(&format!(
            r#"format = 1
[battery.house]
minus = "ground"
[stud.ground]
[switch.button]
[relay.solenoid]
class = "starter-solenoid"
85 = "ground"
[motor.starter]
class = "starter 20 hp"
minus = "ground"
[fuse.helm]
style = "blade"
rating = "10 A"
[load.radio]
resistance = "6 ohm"
minus = "ground"
[fuse.start]
style = "blade"
rating = "10 A"
in = "house.plus"
[[run]]
through = ["house.plus", "solenoid.30"]
lengths = ["4 ft"]
size = "4 AWG"
[[run]]
through = ["solenoid.87", "starter.plus"]
lengths = ["2 ft"]
size = "4 AWG"
[[run]]
through = ["solenoid.30", "helm", "radio.plus"]
lengths = ["5 ft", "3 ft"]
size = "14 AWG"
[[run]]
through = ["start", "button", "solenoid.86"]
lengths = ["3 ft", "3 ft"]
size = "16 AWG"
{states}
"#
        ))
    };
    let tap = [(Severity::Caution, "solenoid.30 to helm.in".to_owned())];
    let cranks = "[state.off]\nopen = [\"button\"]\n[state.crank]\nclosed = [\"button\"]";
    for states in ["[state.off]\nopen = [\"button\"]", cranks] {
        assert_eq!(found(&with(states), "wire-unprotected"), tap, "{states}");
    }
}

/// Two feeds onto one bus, from one battery or from two through a selector, and
/// a wire of 16 AWG behind it: 15 A at 60 degC, 22.5 A by 33 CFR 183.455(c)(1).
fn two_feeds(left: &str, right: &str, feeds: &str) -> Solution {
    solved(&format!(
        r#"format = 1
[defaults.wire]
size = "10 AWG"
[battery.one]
cold-cranking = "500 A"
minus = "ground"
[stud.ground]
[stud.bus]
[fuse.left]
style = "blade"
rating = "{left}"
[fuse.right]
style = "blade"
rating = "{right}"
[load.radio]
current = "5 A"
{feeds}
[[run]]
through = ["bus", "radio.plus"]
lengths = ["6 ft"]
back = ["radio.minus", "ground"]
back-lengths = ["6 ft"]
size = "16 AWG"
"#
    ))
}

const ONE_BATTERY: &str = r#"
[[run]]
through = ["one.plus", "left", "bus"]
lengths = ["6 in", "3 ft"]
[[run]]
through = ["one.plus", "right", "bus"]
lengths = ["6 in", "3 ft"]
"#;

const SELECTED: &str = r#"
[battery.two]
cold-cranking = "500 A"
minus = "ground"
[switch.selector]
terminals = ["a", "b", "out"]
positions = { first = ["a-out"], second = ["b-out"] }
[[run]]
through = ["one.plus", "left", "selector.a"]
lengths = ["6 in", "3 ft"]
[[run]]
through = ["two.plus", "right", "selector.b"]
lengths = ["6 in", "3 ft"]
[[run]]
through = ["selector.out", "bus"]
lengths = ["1 ft"]
[state.first]
set = { selector = "first" }
[state.second]
set = { selector = "second" }
"#;

#[test]
fn each_of_two_feeds_is_held_against_the_wire_they_share() {
    for feeds in [ONE_BATTERY, SELECTED] {
        for (left, right, too_large) in [("10 A", "30 A", "right"), ("30 A", "10 A", "left")] {
            let solution = two_feeds(left, right, feeds);
            let above = found(&solution, "fuse-above-wire");
            assert_eq!(above, [(Severity::Violation, too_large.to_owned())]);
        }
    }
}

#[test]
fn a_selector_that_never_joins_two_batteries_joins_none_of_their_wires() {
    // 18 AWG at the first battery's side only, behind 10 A; the other has 30 A.
    let feeds = SELECTED.replace(
        "\"selector.a\"]\nlengths = [\"6 in\", \"3 ft\"]",
        "\"selector.a\"]\nlengths = [\"6 in\", \"3 ft\"]\nsize = \"18 AWG\"",
    );
    let both = feeds.replace("second = ", "all = [\"a-out\", \"b-out\"], second = ");
    let thinnest = |feeds: &str| {
        let solution = two_feeds("10 A", "30 A", feeds);
        let above = solution.findings.iter();
        let labels = above
            .filter(|f| f.code.name() == "fuse-above-wire" && f.subject == "right")
            .map(|f| f.statement.contains("`left.out to selector.a`"));
        labels.collect::<Vec<bool>>()
    };
    assert_eq!(thinnest(&feeds), [false]);
    assert_eq!(thinnest(&both), [true]);
}

#[test]
fn feeds_that_add_up_to_more_than_a_wire_stands_are_told() {
    let told = |solution: &Solution| found(solution, "fuses-together-above-wire");
    let both = told(&two_feeds("15 A", "15 A", ONE_BATTERY));
    assert_eq!(both, [(Severity::Caution, "bus to radio.plus".to_owned())]);
    assert_eq!(told(&two_feeds("7.5 A", "7.5 A", ONE_BATTERY)), []);
    assert_eq!(told(&two_feeds("15 A", "15 A", SELECTED)), []);
    assert_eq!(
        found(&two_feeds("15 A", "15 A", ONE_BATTERY), "fuse-above-wire"),
        []
    );
}
