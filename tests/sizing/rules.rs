//! What the owner, labels, makers and the stock hold is held.

use super::{amps, awg, circuit, fuse, sized, wire};
use ampkeel::sizing::{FuseBinding, Stock, WireBinding, left_to_mend, size};
use ampkeel::solving::solve;

/// A feed that two loads share, far too thin everywhere.
const THIN: &str = r#"
format = 1
[battery.house]
cold-cranking = "500 A"
minus = "ground"
[stud.ground]
[stud.bus]
[fuse.main]
style = "strip"
rating = "30 A"
in = "house.plus"
[fuse-block.board]
style = "blade"
slots = { radio = "10 A", lamp = "5 A" }
[load.radio]
power = "60 W"
[load.lamp]
lamp = "10 W"
[[run]]
through = ["main.out", "board.feed"]
lengths = ["15 ft"]
back = ["bus", "ground"]
back-lengths = ["15 ft"]
size = "16 AWG"
[[run]]
through = ["board.radio", "radio.plus"]
lengths = ["10 ft"]
back = ["radio.minus", "bus"]
back-lengths = ["10 ft"]
size = "16 AWG"
[[run]]
through = ["board.lamp", "lamp.plus"]
lengths = ["10 ft"]
back = ["lamp.minus", "bus"]
back-lengths = ["10 ft"]
size = "16 AWG"
[state.on]
"#;

#[test]
fn thin_wires_are_thickened_until_the_full_solve_has_nothing_to_mend() {
    let before = solve(&circuit(THIN)).unwrap();
    assert!(!left_to_mend(&before.findings).is_empty());
    let sizing = sized(THIN, &Stock::default());
    let after = solve(&sizing.circuit).unwrap();
    assert!(
        left_to_mend(&after.findings).is_empty(),
        "{:?}",
        after.findings
    );
    assert!(sizing.collisions.is_empty() && sizing.at_rest);
    assert!(sizing.copper_kg > sizing.was_kg);
}

#[test]
fn what_is_kept_stays_and_others_make_up_for_it() {
    let free = sized(THIN, &Stock::default());
    let text = THIN.replacen(
        "size = \"16 AWG\"",
        "size = \"10 AWG\"\nkeep = [true, false]",
        1,
    );
    let kept = sized(&text, &Stock::default());
    let feed = wire(&kept, "main.out to board.feed");
    assert_eq!(
        (feed.size.to_string(), feed.binding),
        ("10 AWG".into(), WireBinding::Keep)
    );
    assert!(left_to_mend(&kept.solution.findings).is_empty());
    assert!(kept.copper_kg >= free.copper_kg * (1.0 - 1e-9));
    let fuse_kept = sized(
        &THIN.replace("rating = \"30 A\"", "rating = \"40 A\"\nkeep = true"),
        &Stock::default(),
    );
    assert_eq!(fuse(&fuse_kept, "main").rating_a, 40.0);
    assert_eq!(fuse(&fuse_kept, "main").binding, FuseBinding::Keep);
}

#[test]
fn no_fuse_goes_above_a_label_or_a_makers_largest() {
    let text = THIN
        .replace("slots = { radio = \"10 A\", lamp = \"5 A\" }", "[fuse-block.board.slots.radio]\nrating = \"15 A\"\nstyle = \"blade\"\nlabel = \"7.5 A\"\n[fuse-block.board.slots.lamp]\nrating = \"15 A\"\nstyle = \"blade\"")
        .replace("power = \"60 W\"", "current = \"5.2 A\"")
        .replace("lamp = \"10 W\"", "current = \"1 A\"\nmax-fuse = \"3 A\"");
    let sizing = sized(&text, &Stock::default());
    assert_eq!(fuse(&sizing, "board.radio").rating_a, 7.5);
    assert_eq!(fuse(&sizing, "board.radio").binding, FuseBinding::Label);
    // 1 A over 0.8 is 1.25 A; the maker allows 3 A: the least made in between.
    assert!((1.25..=3.0).contains(&fuse(&sizing, "board.lamp").rating_a));
    assert!(sizing.collisions.is_empty(), "{:?}", sizing.collisions);
}

#[test]
fn a_load_that_asks_for_more_than_its_label_collides_and_the_label_stands() {
    let text = THIN
        .replace("slots = { radio = \"10 A\", lamp = \"5 A\" }", "[fuse-block.board.slots.radio]\nrating = \"5 A\"\nstyle = \"blade\"\nlabel = \"5 A\"\n[fuse-block.board.slots.lamp]\nrating = \"5 A\"\nstyle = \"blade\"");
    // 60 W are 5 A and more: over 80 % of 5 A.
    let sizing = sized(&text, &Stock::default());
    assert_eq!(fuse(&sizing, "board.radio").rating_a, 5.0);
    let collision = &sizing.collisions[0];
    assert_eq!(collision.subject, "board.radio");
    assert!(
        collision.statement.contains("its label, 5 A"),
        "{}",
        collision.statement
    );
}

#[test]
fn a_fuse_may_grow_for_a_circuit_being_designed() {
    let text = THIN.replace("radio = \"10 A\"", "radio = \"5 A\"");
    let sizing = sized(&text, &Stock::default());
    // 60 W at less than 12.8 V are 4.7 A and more: 5.9 A by the 80 % rule.
    assert_eq!(fuse(&sizing, "board.radio").rating_a, 7.5);
    assert!(left_to_mend(&sizing.solution.findings).is_empty());
}

#[test]
fn only_what_is_in_stock_is_used() {
    let sizing = sized(THIN, &awg(&[16, 14, 10, 6]));
    for wire in &sizing.wires {
        assert!(["16 AWG", "14 AWG", "10 AWG", "6 AWG"].contains(&wire.size.to_string().as_str()));
    }
    assert!(sizing.copper_kg >= sized(THIN, &Stock::default()).copper_kg * (1.0 - 1e-12));
    let fuses = sized(
        &THIN.replace("lamp = \"5 A\"", "lamp = \"30 A\""),
        &amps(&[4.0, 10.0, 30.0]),
    );
    assert_eq!(fuse(&fuses, "board.lamp").rating_a, 4.0);
}

#[test]
fn a_stock_without_thick_wire_says_which_rules_collide() {
    let sizing = sized(THIN, &awg(&[18, 16]));
    let radio = sizing
        .collisions
        .iter()
        .find(|finding| finding.subject == "radio");
    let radio = radio.expect("a finding");
    assert!(
        radio
            .statement
            .contains("its drop limit collides with the stock of wire"),
        "{}",
        radio.statement
    );
    // The best there is: all on the way at the thickest in stock.
    assert_eq!(
        wire(&sizing, "board.radio to radio.plus").size.to_string(),
        "16 AWG"
    );
}

#[test]
fn never_thinner_leaves_thick_wires() {
    let text = THIN.replace("size = \"16 AWG\"", "size = \"2 AWG\"");
    let stock = Stock {
        never_thinner: true,
        ..Stock::default()
    };
    let sizing = sized(&text, &stock);
    assert_eq!(sizing.changed_wires().count(), 0);
    assert!(sized(&text, &Stock::default()).changed_wires().count() > 0);
}

#[test]
fn a_lead_that_no_fuse_guards_is_never_made_thinner() {
    let text = THIN.replace("in = \"house.plus\"\n", "")
        + "[[wire]]\nfrom = \"house.plus\"\nto = \"main.in\"\nsize = \"2 AWG\"\nlength = \"5 in\"\n";
    let sizing = sized(&text, &Stock::default());
    let lead = wire(&sizing, "house.plus to main.in");
    assert_eq!(
        (lead.size.to_string(), lead.binding),
        ("2 AWG".into(), WireBinding::Unguarded)
    );
}

#[test]
fn a_return_stands_what_the_fuse_of_its_load_lets_through() {
    let text = THIN.replace("radio = \"10 A\"", "radio = \"30 A\"")
        .replace("[fuse-block.board]\nstyle = \"blade\"\nslots = { radio = \"30 A\", lamp = \"5 A\" }", "[fuse-block.board]\nstyle = \"blade\"\n[fuse-block.board.slots.radio]\nstyle = \"blade\"\nrating = \"30 A\"\nkeep = true\n[fuse-block.board.slots.lamp]\nstyle = \"blade\"\nrating = \"5 A\"")
        .replace("power = \"60 W\"", "current = \"1 A\"");
    let sizing = sized(&text, &Stock::default());
    // 33 CFR 183.425 table 5, 60 degC: 12 AWG 25 A, 10 AWG 40 A.
    assert_eq!(
        wire(&sizing, "radio.minus to bus").size.to_string(),
        "10 AWG"
    );
}

#[test]
fn a_fault_is_not_sized_for() {
    let text = THIN
        .replace(
            "through = [\"board.radio\", \"radio.plus\"]",
            "through = [\"board.radio\", \"radio.minus\"]",
        )
        .replace(
            "back = [\"radio.minus\", \"bus\"]",
            "back = [\"radio.plus\", \"bus\"]",
        );
    let sizing = size(&circuit(&text), &Stock::default()).unwrap();
    assert!(sizing.not_sized.is_some());
    assert_eq!(
        sizing.changed_wires().count() + sizing.changed_fuses().count(),
        0
    );
}

#[test]
fn a_solenoid_that_needs_its_volts_to_close_still_closes() {
    // Two windings: before it closes it draws several times what it holds with.
    let text = include_str!("../../circuits/marl-tiller-9hp.toml");
    let sizing = sized(text, &Stock::default());
    let start = sizing
        .solution
        .states
        .iter()
        .find(|state| state.name == "start");
    let solenoid = &start.expect("a state").relays["shift-solenoid"];
    assert_eq!(solenoid.pulled_in, Some(true));
    assert!(sizing.copper_kg < sizing.was_kg);
}

/// A full battery takes little of a charger's 10 A; a low one takes it all.
#[test]
fn the_fuse_of_a_charger_carries_all_it_may_give() {
    let text = r#"
format = 1
[battery.one]
cold-cranking = "500 A"
charge = "100 %"
minus = "ground"
[stud.ground]
[charger.solar]
output = "10 A"
set-point = "14.2 V"
regulated = true
minus = "ground"
[fuse.charge]
style = "blade"
rating = "30 A"
[[run]]
through = ["solar.plus", "charge", "one.plus"]
lengths = ["10 ft", "1 ft"]
size = "10 AWG"
[state.sun]
charging = { solar = "10 A" }
"#;
    let sizing = sized(text, &Stock::default());
    let rating_a = fuse(&sizing, "charge").rating_a;
    assert!(rating_a > 10.0, "{rating_a} A");
}

/// What is at hand is no reason to size wires for a fuse that is not fitted.
#[test]
fn a_fitted_fuse_that_suits_stays_where_only_larger_ones_are_at_hand() {
    let text = include_str!("../../circuits/basalt-bilge-pump.toml");
    let plain = sized(text, &Stock::default());
    let large = Stock {
        ratings: Some(vec![(None, ampkeel::quantities::Amps::new(40.0))]),
        ..Stock::default()
    };
    let stocked = sized(text, &large);
    assert!((stocked.copper_kg - plain.copper_kg).abs() < 1e-12);
    let bilge = fuse(&stocked, "bilge");
    assert!((bilge.rating_a - 5.0).abs() < 1e-12 && !bilge.because.contains("40"));
}
