//! What `protect` asks is met by the search itself: shorts at far ends, starts,
//! the order in which fuses open, overloads where they are asked for; a battery
//! that is charged goes on being charged.

use super::{awg, circuit, fuse, sized, wire};
use ampkeel::findings::Severity;
use ampkeel::protecting::{Kind, Verdict, study};
use ampkeel::sizing::{FuseBinding, Sizing, Stock, WireBinding, left_to_mend};
use ampkeel::solving::solve;

/// A long control wire behind a large kept fuse, under the basis of 150 %:
/// 16 AWG may stand behind 30 A, but a short at its end is not ended in time.
const LONG: &str = r#"
format = 1
[battery.house]
minus = "ground"
[stud.ground]
[fuse.main]
style = "strip"
rating = "30 A"
keep = true
in = "house.plus"
[load.horn]
current = "2 A"
minus = "ground"
[limits]
fuse-basis = "cfr-150"
[[wire]]
from = "main.out"
to = "horn.plus"
size = "16 AWG"
length = "50 ft"
insulation = "105 degC"
"#;

fn codes(sizing: &Sizing) -> Vec<&str> {
    let found = sizing.solution.findings.iter().chain(&sizing.protection);
    found.map(|finding| finding.code.name()).collect()
}

#[test]
fn a_wire_is_thick_enough_that_a_short_at_its_end_is_ended() {
    let given = circuit(LONG);
    let before = study(&given).unwrap();
    let short = before
        .findings
        .iter()
        .find(|f| f.code.name() == "short-not-cleared");
    assert!(short.is_some(), "the case says nothing");
    let sizing = sized(LONG, &Stock::default());
    let wire = wire(&sizing, "main.out to horn.plus");
    assert_eq!(wire.binding, WireBinding::Short, "{}", wire.because);
    assert!(
        wire.because.contains("a short at the end of"),
        "{}",
        wire.because
    );
    let after = study(&sizing.circuit).unwrap();
    assert!(
        left_to_mend(&after.findings).is_empty(),
        "{:?}",
        after.findings
    );
    // The next size down, put in by hand, is not.
    let text = LONG.replace("16 AWG", &thinner(&wire.size.to_string()));
    let thin = study(&circuit(&text)).unwrap();
    assert!(
        thin.findings
            .iter()
            .any(|f| f.code.name() == "short-not-cleared")
    );
}

fn thinner(size: &str) -> String {
    let number: i32 = size.trim_end_matches(" AWG").parse().unwrap();
    format!("{} AWG", number + 2)
}

#[test]
fn a_short_that_no_size_in_stock_ends_is_named_as_a_collision() {
    let sizing = sized(LONG, &awg(&[18, 16]));
    let collision = sizing
        .collisions
        .iter()
        .find(|f| f.subject == "main")
        .unwrap();
    assert!(
        collision.statement.contains("short at its far end"),
        "{}",
        collision.statement
    );
    let all = sizing.solution.findings.iter().chain(&sizing.protection);
    assert!(left_to_mend(all).is_empty());
    assert!(codes(&sizing).contains(&"short-not-cleared"));
}

#[test]
fn a_free_fuse_that_is_larger_than_the_load_asks_goes_down_before_copper_goes_up() {
    let blade = LONG.replace("strip", "blade");
    let text = blade.replace("keep = true\n", "");
    let sizing = sized(&text, &Stock::default());
    assert!(fuse(&sizing, "main").rating_a < 30.0);
    assert!(sizing.copper_kg < sized(&blade, &Stock::default()).copper_kg);
}

/// Two loads behind fuses of 10 A under a main fuse that the loads alone would
/// leave at 15 A; the wires behind it stand much more.
const ORDER: &str = r#"
format = 1
[battery.house]
minus = "ground"
[stud.ground]
[fuse.main]
style = "blade"
rating = "15 A"
in = "house.plus"
[fuse-block.board]
style = "blade"
slots = { one = "10 A", two = "5 A" }
[load.one]
current = "7.5 A"
minus = "ground"
[load.two]
current = "3.5 A"
minus = "ground"
[defaults.wire]
size = "10 AWG"
insulation = "105 degC"
[[wire]]
from = "main.out"
to = "board.feed"
length = "12 ft"
[[wire]]
from = "board.one"
to = "one.plus"
length = "6 ft"
[[wire]]
from = "board.two"
to = "two.plus"
length = "6 ft"
"#;

fn order(sizing: &Sizing, name: &str) -> Verdict {
    let checks = &fuse(sizing, name).checks;
    let found = checks.iter().find(|(kind, _)| *kind == Kind::Selectivity);
    found.expect("a fuse under another").1
}

#[test]
fn a_main_fuse_is_large_enough_that_the_branch_opens_first_where_the_wires_stand_it() {
    let before = study(&circuit(ORDER)).unwrap();
    let one = before.fuses.iter().find(|f| f.name == "board.one").unwrap();
    assert!(one.worst() >= Verdict::Caution, "the case says nothing");
    let sizing = sized(ORDER, &Stock::default());
    let main = fuse(&sizing, "main");
    assert_eq!(main.binding, FuseBinding::Selectivity, "{}", main.because);
    assert!(main.rating_a >= 1.6 * fuse(&sizing, "board.one").rating_a);
    assert!(order(&sizing, "board.one") < Verdict::Caution);
    // It costs no copper, and every wire behind it stands it.
    let held = sized(
        &ORDER.replace("rating = \"15 A\"", "rating = \"15 A\"\nlabel = \"15 A\""),
        &Stock::default(),
    );
    assert_eq!(fuse(&held, "main").rating_a, 15.0, "never above a label");
    assert!((held.copper_kg - sizing.copper_kg).abs() < 1e-12);
    assert!(order(&held, "board.one") >= Verdict::Caution);
    let own = solve(&sizing.circuit).unwrap();
    assert!(
        own.findings
            .iter()
            .all(|f| f.severity() != Severity::Violation)
    );
}

#[test]
fn sizing_again_leaves_a_fuse_that_was_raised_for_the_order() {
    let once = sized(ORDER, &Stock::default());
    let twice = ampkeel::sizing::size(&once.circuit, &Stock::default()).unwrap();
    assert_eq!(
        twice.changed_fuses().count() + twice.changed_wires().count(),
        0
    );
}

#[test]
fn overloads_are_met_as_well_where_they_are_asked_for() {
    let text = include_str!("../../circuits/marl-tiller-9hp.toml");
    let outlasts = "overload-outlasts-wire";
    let plain = sized(text, &Stock::default());
    assert!(codes(&plain).contains(&outlasts), "the case says nothing");
    let stock = Stock {
        overloads: true,
        ..Stock::default()
    };
    let careful = sized(text, &stock);
    assert!(
        !codes(&careful).contains(&outlasts),
        "{:?}",
        careful.protection
    );
    assert!(careful.copper_kg > plain.copper_kg);
    assert!(
        careful
            .wires
            .iter()
            .any(|w| w.binding == WireBinding::Overload)
    );
}

/// A stator charges the battery over a lead; with a thin one the battery would
/// feed the load itself, whose drop then counts from the battery alone.
const CHARGED: &str = r#"
format = 1
[battery.house]
minus = "ground"
[stud.ground]
[fuse.charge]
style = "blade"
rating = "20 A"
keep = true
in = "house.plus"
[charger.stator]
output = "12 A"
minus = "ground"
[fuse.main]
style = "blade"
rating = "15 A"
keep = true
in = "house.plus"
[load.cooler]
current = "5 A"
minus = "ground"
[limits]
critical = ["cooler"]
[defaults.wire]
size = "4 AWG"
insulation = "105 degC"
[[wire]]
from = "charge.out"
to = "stator.plus"
length = "40 ft"
[[wire]]
from = "main.out"
to = "cooler.plus"
length = "12 ft"
[state.under-way]
charging = { stator = "12 A" }
"#;

#[test]
fn a_battery_that_is_charged_goes_on_being_charged() {
    let takes = |sizing: &Sizing| sizing.solution.states[0].batteries["house"].current_a < 0.0;
    let sizing = sized(CHARGED, &Stock::default());
    assert!(takes(&sizing));
    assert!(sizing.copper_kg < sizing.was_kg);
    assert!(
        sizing.bound_kg >= 0.99 * sizing.copper_kg,
        "{}",
        sizing.bound_kg
    );
}

/// A pump of large inrush on a small fuse of a fast kind.
#[test]
fn a_fuse_that_starts_would_wear_out_gets_the_next_rating_up() {
    let text = START.replace("LABEL", "");
    let sizing = sized(&text, &Stock::default());
    let pump = fuse(&sizing, "main");
    assert_eq!(pump.binding, FuseBinding::Start, "{}", pump.because);
    let found = study(&sizing.circuit).unwrap();
    let start = found.fuses[0]
        .checks
        .iter()
        .find(|c| c.kind == Kind::Start)
        .unwrap();
    assert_eq!(start.verdict, Verdict::Holds, "{}", start.sentence);
    // With the label at what the load alone asks the label stands, and it is said.
    let held = sized(
        &text.replace("in = ", "label = \"3 A\"\nin = "),
        &Stock::default(),
    );
    assert_eq!(fuse(&held, "main").rating_a, 3.0);
    assert!(
        fuse(&held, "main").because.contains("a start may open it"),
        "{}",
        fuse(&held, "main").because
    );
}

const START: &str = r#"
format = 1
[battery.house]
minus = "ground"
[stud.ground]
[fuse.main]
style = "glass"
rating = "3 A"
in = "house.plus"
[motor.fan]
class = "blower"
minus = "ground"
[[wire]]
from = "main.out"
to = "fan.plus"
size = "12 AWG"
length = "6 ft"
insulation = "105 degC"
"#;
