//! The harness: ohms to ground and volts lost, against hand calculation.

use super::{circuit, reading, typical};
use ampkeel::bench::{Options, Procedure, Refused, SEED, harness};
use ampkeel::circuit::Circuit;
use approx::assert_relative_eq;

const TWO: &str = r#"
format = 1
[battery.b]
minus = "ground"
[stud.ground]
[fuse.main]
style = "blade"
rating = "15 A"
in = "b.plus"
[fuse.lamp]
style = "blade"
rating = "5 A"
in = "main.out"
[relay.r]
coil = "85 ohm"
suppression = "none"
30 = "main.out"
85 = "ground"
[switch.s]
in = "lamp.out"
[load.heater]
resistance = "6 ohm"
plus = "r.87"
minus = "ground"
[load.signal]
resistance = "40 ohm"
plus = "lamp.out"
minus = "ground"
[[wire]]
from = "s.out"
to = "r.86"
size = "16 AWG"
length = "10 ft"
joints = "0.1 ohm"
[state.off]
[state.on]
closed = ["s"]
"#;

fn of(circuit: &Circuit, fuse: Option<&str>) -> Procedure {
    harness(circuit, fuse, &Options::default(), SEED).expect("harness")
}

/// What a meter adds on the average with its leads not nulled.
const LEADS_OHM: f64 = 0.15;

/// By hand: behind `lamp` at rest the 40 ohm alone; switched on the coil's 85
/// ohm (and a wire) beside it. Behind `main` the same through `lamp`, and with
/// the relay bridged the heater's 6 ohm too.
#[test]
fn ohms_behind_each_fuse_are_those_of_what_hangs_there() {
    let circuit = circuit(TWO);
    let found = of(&circuit, None);
    let both = |a: f64, b: f64| 1.0 / (1.0 / a + 1.0 / b);
    let near = |quantity: &str, ohms: f64| {
        // Fuses, clips, contacts and the wire add some hundredths.
        assert_relative_eq!(typical(&found, quantity), ohms + LEADS_OHM, epsilon = 0.1);
    };
    near("behind `lamp`, plugged in", 40.0);
    near("behind `main`, plugged in", 40.0);
    // The coil is at the boat's 30 degC: copper has 264.5/254.5 of its ohms.
    let coil = 85.0 * 264.5 / 254.5 + 0.1;
    near("behind `lamp`, as in `on`", both(40.0, coil));
    near("behind `main`, as in `on`", both(both(40.0, coil), 6.0));
}

#[test]
fn a_pulled_fuse_parts_what_lies_before_it() {
    // With `lamp` out, nothing of `main`'s side is read from its load side, and
    // the battery is off: a pulled `main` leaves `lamp` in.
    let circuit = circuit(&TWO.replace("resistance = \"40 ohm\"", "resistance = \"400 ohm\""));
    let found = of(&circuit, Some("lamp"));
    assert_relative_eq!(
        typical(&found, "behind `lamp`, plugged in"),
        400.0 + LEADS_OHM,
        epsilon = 0.2
    );
    assert!(found.title.ends_with("behind `lamp`"));
    let mut quantities = found.steps.iter().flat_map(|step| &step.expect);
    assert!(!quantities.any(|reading| reading.quantity.contains("`main`")));
}

#[test]
fn nothing_behind_an_open_contact_reads_open() {
    let circuit = circuit(&TWO.replace("plus = \"lamp.out\"", "plus = \"s.out\""));
    let found = of(&circuit, None);
    let open = reading(&found, "behind `lamp`, plugged in");
    assert_eq!((open.low, open.high), (Some(1e6), None));
    let on = reading(&found, "behind `lamp`, as in `on`");
    assert!(on.typical.expect("computed") < 40.0);
}

/// `leak-readings`: over 1 Mohm healthy, and what less means, unplugged.
#[test]
fn unplugged_every_fuse_wants_a_megohm() {
    let circuit = circuit(TWO);
    let found = of(&circuit, None);
    for fuse in ["main", "lamp"] {
        let unplugged = reading(&found, &format!("behind `{fuse}`, loads unplugged"));
        assert_eq!(unplugged.low, Some(1e6));
    }
    let outside: Vec<&String> = found.steps.iter().flat_map(|step| &step.outside).collect();
    for words in [
        "under 2 ohm: dead short",
        "2 ohm to 100 ohm: partial short",
        "10 kohm to 1 Mohm: moisture",
    ] {
        assert!(
            outside.iter().any(|line| line.starts_with(words)),
            "{words}"
        );
    }
}

/// By hand: 3 m there and 6 m back of 2.5 mm2 copper with known joints.
#[test]
fn volts_lost_are_current_times_the_way() {
    let text = r#"
format = 1
[ambient]
boat = "20 degC"
[battery.b]
open-volts = "12.6 V"
resistance = "5 mohm"
[load.heater]
resistance = "4 ohm"
[defaults.wire]
size = "2.5 mm2"
joints = "10 mohm"
tinned = false
[[run]]
through = ["b.plus", "heater", "b.minus"]
lengths = ["3 m", "6 m"]
"#;
    let circuit = circuit(text);
    let found = of(&circuit, None);
    // IEC 60228, class 5, plain copper: 7.98 ohm a kilometre at 20 degC.
    let per_metre = 7.98e-3;
    let (feed, back) = (3.0 * per_metre + 0.01, 6.0 * per_metre + 0.01);
    let current = 12.6 / (4.0 + 0.005 + feed + back);
    let lost = |side: &str| typical(&found, &format!("`heater`, {side}"));
    // 3 A warm this wire by some degrees: a per cent or two.
    assert_relative_eq!(
        lost("plus post to its plus"),
        current * feed,
        max_relative = 0.02
    );
    assert_relative_eq!(
        lost("its minus to the minus post"),
        current * back,
        max_relative = 0.02
    );
}

/// The same figures `solve` shows: feed and return of the ladder.
#[test]
fn typical_volts_lost_are_those_of_the_solved_ladder() {
    for (file, circuit) in crate::solving::examples() {
        if !file.contains("basalt") {
            continue;
        }
        let found = of(&circuit, None);
        let solution = ampkeel::solving::solve(&circuit).expect("solved");
        let ladder = &solution.states[0].ladders["bilge-pump"];
        let sum = |rungs: &[ampkeel::solving::Rung]| rungs.iter().map(|r| r.drop_v).sum::<f64>();
        let feed = reading(&found, "`bilge-pump`, plus post to its plus");
        let back = reading(&found, "`bilge-pump`, its minus to the minus post");
        assert_relative_eq!(
            feed.typical.expect("computed"),
            sum(&ladder.feed),
            epsilon = 1e-9
        );
        assert_relative_eq!(
            back.typical.expect("computed"),
            sum(&ladder.back),
            epsilon = 1e-9
        );
        assert!(feed.low < feed.high && feed.coverage == Some(0.9));
    }
}

#[test]
fn every_example_has_its_harness() {
    let mut tested = 0;
    for (file, circuit) in crate::solving::examples() {
        // One large boat stands for the five: the others are as slow.
        let large = circuit.parts.len() > 20 && !file.contains("marl");
        if large {
            continue;
        }
        let found = harness(&circuit, None, &Options::default(), SEED);
        let found = found.unwrap_or_else(|why| panic!("{file}: {why}"));
        assert!(found.steps.len() >= 3, "{file}");
        tested += 1;
    }
    assert!(tested > 15, "{tested}");
}

#[test]
fn a_fuse_that_is_not_there_is_refused_with_those_that_are() {
    let circuit = circuit(TWO);
    let why = harness(&circuit, Some("horn"), &Options::default(), SEED).expect_err("refused");
    assert!(matches!(why, Refused::NoFuse { .. }));
    assert!(why.to_string().contains("lamp, main"));
}

/// The unit drops where its lock is not set, and a lanyard stops an engine that runs.
#[test]
fn a_moving_unit_and_a_running_engine_are_cautioned_against_at_their_step() {
    let examples = crate::solving::examples();
    let (_, circuit) = examples
        .iter()
        .find(|(file, _)| file.contains("gabbro"))
        .expect("the example");
    let found = of(circuit, None);
    let has = |state: &str, tag: &str| {
        let says = format!("State `{state}`");
        let mut steps = found.steps.iter();
        let step = steps.find(|step| step.action.contains(&says));
        let cautions = &step.expect("a step").cautions;
        cautions.iter().any(|caution| caution.tag == tag)
    };
    assert!(has("trim-up", "trim-drop"));
    assert!(has("cruise", "kill"));
    assert!(!has("cruise", "trim-drop"));
}
