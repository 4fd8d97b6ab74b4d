//! Readings taken in the boat: the feed against the whole circuit, solved anew
//! with a plain resistance in the part's place, and what readings say there.

use super::{at_pressure, first};
use ampkeel::bench::{Draws, Kind, Load, Options, Refused, Rig, Subject, settled, usual};
use ampkeel::circuit::{Circuit, PartId};
use ampkeel::interpreting::{Examined, Interpretation, Measure};
use ampkeel::reading::read;
use ampkeel::solving::{PartReading, Solution, solve};
use ampkeel::span::CircuitText;

const GABBRO: &str = include_str!("../../circuits/gabbro-injected-outboard.toml");

fn circuit(text: &str) -> Circuit {
    let reading = read(&CircuitText::new("boat.toml", text));
    assert!(reading.circuit.is_some(), "{:?}", reading.findings);
    reading.circuit.expect("a circuit")
}

fn subject(circuit: &Circuit, id: PartId) -> Subject {
    let air = circuit.ambient.at(circuit.part(id).place);
    Subject::of_part(circuit, id, air).expect("subject")
}

fn aboard(circuit: &Circuit, part: &str, state: &str) -> Result<Rig, Refused> {
    let id = circuit.find(part).expect("a part");
    let at = circuit
        .states
        .iter()
        .position(|s| s.name == state)
        .expect("a state");
    let usual = usual(&subject(circuit, id)).expect("usual");
    let mut draws = Draws::seeded(1);
    Rig::aboard(circuit, id, at, &Options::default(), usual, &mut draws)
}

fn part<'a>(solution: &'a Solution, state: &str, part: &str) -> &'a PartReading {
    let state = solution
        .states
        .iter()
        .find(|found| found.name == state)
        .expect("a state");
    &state.parts[part]
}

/// The pump of the example, a plain resistance in its place.
fn with_resistance(text: &str, ohm: f64) -> Circuit {
    let from = text.find("[pump.high-pressure]").expect("the pump");
    let to = text[from..].find("[relay.fuel-relay]").expect("its end") + from;
    let load =
        format!("[load.high-pressure]\nresistance = \"{ohm} ohm\"\nplace = \"engine-space\"\n\n");
    let text = format!("{}{load}{}", &text[..from], &text[to..]);
    circuit(&text.replace("condition = { high-pressure = \"locked\" }", ""))
}

/// Thevenin against the whole circuit: two loads and more, from a trickle to a
/// stalled pump, on the battery alone, while cranking, and while the battery is
/// charged until the load turns it round.
#[test]
fn the_feed_gives_the_volts_of_the_whole_circuit_at_any_load() {
    let boat = circuit(GABBRO);
    let mut worst = 0.0_f64;
    for state in ["key-on", "start", "idle", "cruise"] {
        let rig = aboard(&boat, "high-pressure", state).expect("fed");
        for ohm in [40.0, 6.0, 3.0, 2.0, 1.2, 0.8, 0.5] {
            let whole = solve(&with_resistance(GABBRO, ohm)).expect("solved");
            let wanted = part(&whole, state, "high-pressure");
            let found = settled(&[(rig.typical(), Load::resistance(ohm))]).expect("settled")[0];
            let off = (found.part_v - wanted.voltage_v.expect("volts")).abs();
            let posts = whole
                .states
                .iter()
                .find(|s| s.name == state)
                .expect("state")
                .batteries["cranking"]
                .voltage_v;
            let posts_off = (found.post_v - posts).abs();
            worst = worst.max(off).max(posts_off);
            assert!(off < 0.02, "{state} {ohm} ohm: off by {off} V");
            assert!(
                posts_off < 0.02,
                "{state} {ohm} ohm: posts off by {posts_off} V"
            );
        }
    }
    assert!(worst > 0.0);
}

fn asked(
    rig: Rig,
    subject: Subject,
    rest_v: Option<f64>,
    readings: &[(Measure, f64)],
) -> Interpretation {
    let examined = match subject.kind {
        Kind::Motor(motor) => Examined::Pump(motor, true),
        other => panic!("{other:?}"),
    };
    super::asked(examined, rig, rest_v, vec![at_pressure(readings)])
}

/// The whole circuit solved with a condition in the file, read at the pump: the
/// feed in that state must tell it as that condition or name it a twin.
#[test]
fn what_the_whole_circuit_shows_under_a_condition_is_read_as_that_condition() {
    let boat = circuit(GABBRO);
    let id = boat.find("high-pressure").expect("a part");
    let rig = aboard(&boat, "high-pressure", "key-on").expect("fed");
    for condition in [
        "locked",
        "dragging",
        "open",
        "shorted-coil",
        "worn-brush",
        "poor-contact",
    ] {
        let text = GABBRO.replace(
            "condition = { high-pressure = \"locked\" }",
            &format!("condition = {{ high-pressure = \"{condition}\" }}"),
        );
        // The what-if state stands as `key-on` does.
        let text = text.replace(
            "[state.pump-seized]                       # what if the pump had stuck over winter?\nset = { key = \"run\" }\nclosed = [\"module.pump\"]",
            "[state.pump-seized]\nset = { key = \"run\" }\nclosed = [\"module.pump\", \"module.alarm\"]",
        );
        let whole = solve(&circuit(&text)).expect("solved");
        let reading = part(&whole, "pump-seized", "high-pressure");
        let mut readings = vec![
            (Measure::Volts, reading.voltage_v.expect("volts")),
            (Measure::Amps, reading.current_a.expect("amperes")),
        ];
        readings.extend(reading.speed_rad_s.map(|speed| (Measure::Speed, speed)));
        let found = asked(rig.clone(), subject(&boat, id), None, &readings);
        let named = first(&found) == condition || found.twins.contains(&condition);
        assert!(
            named,
            "{condition}: {} {:?} at {readings:?}",
            first(&found),
            found.twins
        );
        assert_eq!(found.impossible, None, "{condition}");
    }
}

/// 2.0 V less of battery moves the pump's open volts by nearly as much, and what
/// is read with them is no longer a low supply.
#[test]
fn volts_of_the_battery_at_rest_shift_the_feed() {
    let boat = circuit(GABBRO);
    let rig = aboard(&boat, "high-pressure", "key-on").expect("fed");
    let feed = rig.typical();
    let lower = feed.at_rest(rig.open_volts.typical.si() - 2.0);
    let fallen = feed.open_v() - lower.open_v();
    assert!((1.8..=2.05).contains(&fallen), "{fallen}");
    // The other loads, 3 A, pull a battery of five times the ohms down by so much more.
    let weak = feed.weakened(5.0);
    let ohm = rig.battery.typical.si();
    let more = feed.open_v() - weak.open_v();
    assert!(
        (0.5..2.0).contains(&(more / (4.0 * ohm * 3.05))),
        "{more} {ohm}"
    );
}

#[test]
fn a_state_that_does_not_feed_the_part_is_refused_with_those_that_do() {
    let boat = circuit(GABBRO);
    let why = aboard(&boat, "high-pressure", "off").expect_err("refused");
    assert!(matches!(why, Refused::NotFed { .. }));
    let words = why.to_string();
    assert!(
        words.contains("it is fed in: key-on, start, idle, cruise"),
        "{words}"
    );
}

/// The fuse before the part, what stands beside it, and the relays of the state.
#[test]
fn the_feed_names_fuse_relays_and_other_loads() {
    let boat = circuit(GABBRO);
    let whole = solve(&boat).expect("solved");
    for (name, fuse) in [
        ("high-pressure", "engine-fuses.fuel"),
        ("lift-pump", "engine-fuses.lift"),
    ] {
        let rig = aboard(&boat, name, "idle").expect("fed");
        let there = rig.aboard.as_ref().expect("aboard");
        assert_eq!(there.fuse.as_ref().expect("a fuse").0.name, fuse);
        assert_eq!(there.relays, ["fuel-relay", "main-relay"]);
        assert_eq!(there.battery, "cranking");
        // The battery's current, less the part's own, within what volts regained add.
        let idle = whole
            .states
            .iter()
            .find(|s| s.name == "idle")
            .expect("idle");
        let own = part(&whole, "idle", name).current_a.expect("amperes");
        let others = idle.batteries["cranking"].current_a - own;
        let found = there.others;
        assert!(
            found.low.si() - 0.2 < others && others < found.high.si() + 0.2,
            "{name}: {others} {found:?}"
        );
    }
}
