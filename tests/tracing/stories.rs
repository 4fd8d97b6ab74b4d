//! Faults with the answer the trade found, each on a circuit of its own.

use ampkeel::circuit::zones::{fuse_name, fuses};
use ampkeel::circuit::{Circuit, PartId};
use ampkeel::quantities::Band;
use ampkeel::reading::read;
use ampkeel::span::CircuitText;
use ampkeel::tracing::{
    Answer, Cause, Complaint, Done, Element, Evidence, Figure, Quantity, SignKind, Spot, TestKind,
    When, trace,
};

fn boat(name: &str) -> Circuit {
    boat_in("circuits", name)
}

fn boat_in(folder: &str, name: &str) -> Circuit {
    let path = format!("{}/{folder}/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&path).expect(name);
    read(&CircuitText::new(name, text)).circuit.expect("sound")
}

fn part(circuit: &Circuit, name: &str) -> PartId {
    circuit.find(name).expect(name)
}

fn fuse(circuit: &Circuit, name: &str) -> usize {
    let all = fuses(circuit);
    let found = all.iter().position(|id| fuse_name(circuit, *id) == name);
    found.expect(name)
}

fn state(circuit: &Circuit, name: &str) -> usize {
    let found = circuit.states.iter().position(|state| state.name == name);
    found.expect(name)
}

fn ask(circuit: &Circuit, evidence: &Evidence) -> Answer {
    trace(circuit, evidence, &[]).expect("an answer")
}

/// Odds of a cause, anywhere or at a place.
fn odds(answer: &Answer, cause: Cause, subject: Option<&str>) -> f64 {
    let these = answer
        .causes
        .iter()
        .filter(|one| one.cause == cause && subject.is_none_or(|subject| one.subject == subject));
    these.map(|one| one.probability).sum()
}

fn reading(at: Spot, quantity: Quantity, value: f64, state: Option<usize>) -> Figure {
    Figure {
        at,
        to: None,
        quantity,
        value: Band {
            low: value,
            typical: value,
            high: value,
        },
        state,
        unplugged: Vec::new(),
    }
}

#[test]
fn a_stop_line_bridged_to_plus_is_found_when_the_fuse_opens_as_the_engine_is_stopped() {
    let circuit = boat("gabbro-injected-outboard");
    let mut evidence = Evidence::of(Complaint::FuseOpens);
    evidence.fuse = Some(fuse(&circuit, "helm-fuses.key"));
    evidence.states = vec![state(&circuit, "off")];
    evidence.fine = vec![state(&circuit, "key-on"), state(&circuit, "cruise")];
    evidence.when = vec![When::EngineStopped];
    let answer = ask(&circuit, &evidence);
    assert_eq!(
        answer.causes[0].cause,
        Cause::StopLine,
        "{}",
        answer.statement
    );
}

/// What is known before a test leaves a short of the start wire likelier; the heavy
/// cable's clamp, hot to the hand, or the volts it keeps from the starter, tell it.
#[test]
fn starter_current_through_a_thin_helm_lead_is_told_by_a_hot_clamp_or_by_its_volts() {
    let circuit = boat_in("tests/tracing/cases", "case-07");
    let mut evidence = Evidence::of(Complaint::FuseOpens);
    evidence.fuse = Some(fuse(&circuit, "dash"));
    evidence.states = vec![state(&circuit, "start")];
    evidence.fine = vec![state(&circuit, "off"), state(&circuit, "run")];
    evidence.when = vec![When::Start];
    let cable = "house.plus to starter-relay.30";
    let before = odds(&ask(&circuit, &evidence), Cause::SneakPath, Some(cable));
    let mut wires = circuit.wires.iter();
    let heavy = wires.position(|wire| circuit.wire_label(wire) == cable);
    let mut hot = evidence.clone();
    hot.signs = vec![(Spot::Wire(heavy.expect(cable)), SignKind::Hot)];
    let mut read = evidence;
    let relay = part(&circuit, "starter-relay");
    let mut terminals = circuit.part(relay).terminals.iter();
    let feed = terminals.find(|id| circuit.terminal(**id).label == "starter-relay.30");
    read.figures = vec![reading(
        Spot::Terminal(*feed.expect("terminal 30")),
        Quantity::Volts,
        7.5,
        Some(state(&circuit, "start")),
    )];
    for told in [hot, read] {
        let answer = ask(&circuit, &told);
        assert_eq!(
            answer.causes[0].cause,
            Cause::SneakPath,
            "{}",
            answer.statement
        );
        assert_eq!(answer.causes[0].subject, cable);
        assert!(odds(&answer, Cause::SneakPath, Some(cable)) > 2.0 * before);
    }
}

#[test]
fn a_shorted_rectifier_is_named_when_the_main_fuse_opens_with_the_key_off() {
    let circuit = boat("gabbro-injected-outboard");
    let mut evidence = Evidence::of(Complaint::FuseOpens);
    evidence.fuse = Some(fuse(&circuit, "main"));
    evidence.states = vec![state(&circuit, "off")];
    evidence.when = vec![When::BatteryConnected];
    let before = ask(&circuit, &evidence);
    let place = before
        .causes
        .iter()
        .position(|one| one.cause == Cause::RectifierShort);
    assert!(place.is_some_and(|place| place < 5), "{:?}", before.causes);
    // Unplugging the stator clears it: nothing else does.
    evidence.tests.push(Done {
        test: TestKind::Unplug,
        at: Spot::Part(part(&circuit, "stator")),
        state: Some(state(&circuit, "off")),
        outcome: "clears".to_owned(),
    });
    evidence.tests.push(Done {
        test: TestKind::Look,
        at: Spot::Part(part(&circuit, "cranking")),
        state: None,
        outcome: "good".to_owned(),
    });
    let after = ask(&circuit, &evidence);
    assert_eq!(
        after.causes[0].cause,
        Cause::RectifierShort,
        "{}",
        after.statement
    );
}

#[test]
fn six_tenths_of_an_ohm_through_a_plugged_in_pump_does_not_speak_for_a_short() {
    let circuit = boat("gabbro-injected-outboard");
    let fuel = fuse(&circuit, "engine-fuses.fuel");
    let mut evidence = Evidence::of(Complaint::FuseOpens);
    evidence.fuse = Some(fuel);
    evidence.states = vec![state(&circuit, "key-on")];
    evidence.opens_after = Some(Band {
        low: 3.0,
        typical: 5.0,
        high: 8.0,
    });
    let short = |answer: &Answer| {
        odds(answer, Cause::ShortToGround, None) + odds(answer, Cause::ShortInLoad, None)
    };
    let before = short(&ask(&circuit, &evidence));
    // The relay at rest parts the fuse from the pump: read at the pump.
    evidence.figures.push(reading(
        Spot::Part(part(&circuit, "high-pressure")),
        Quantity::Ohms,
        0.9,
        Some(state(&circuit, "key-on")),
    ));
    let after = ask(&circuit, &evidence);
    assert!(
        short(&after) <= before + 0.02,
        "{before} {}",
        after.statement
    );
    assert!(
        odds(&after, Cause::LockedMotor, Some("high-pressure")) > 0.2,
        "{:?}",
        after.causes
    );
}

#[test]
fn a_holder_that_melts_while_its_fuse_is_whole_is_a_bad_contact() {
    let circuit = boat("basalt-bilge-pump");
    let mut evidence = Evidence::of(Complaint::LoadWeak);
    let pump = part(&circuit, "bilge-pump");
    evidence.loads = vec![pump];
    evidence.fuse = Some(fuse(&circuit, "bilge"));
    evidence.element = Some(Element::Whole);
    evidence.signs = vec![(Spot::Fuse(fuse(&circuit, "bilge")), SignKind::Melted)];
    let answer = ask(&circuit, &evidence);
    assert_eq!(
        answer.causes[0].cause,
        Cause::FuseHolder,
        "{}",
        answer.statement
    );
}

#[test]
fn twelve_volts_on_an_open_plug_and_nothing_runs_points_at_ohms_and_asks_for_a_load() {
    let circuit = boat("basalt-bilge-pump");
    let pump = part(&circuit, "bilge-pump");
    let mut evidence = Evidence::of(Complaint::LoadDead);
    evidence.loads = vec![pump];
    let mut open = reading(Spot::Part(pump), Quantity::Volts, 12.5, Some(0));
    open.unplugged = vec![pump];
    let before = ask(&circuit, &evidence);
    evidence.figures.push(open);
    let after = ask(&circuit, &evidence);
    // An open wire would show nothing.
    assert!(
        odds(
            &after,
            Cause::OpenWire,
            Some("float.out to bilge-pump.plus")
        ) < 0.2
            * odds(
                &before,
                Cause::OpenWire,
                Some("float.out to bilge-pump.plus")
            ),
        "{}",
        after.statement
    );
    let resistive = [
        Cause::HighResistanceJoint,
        Cause::BadGround,
        Cause::FuseHolder,
        Cause::SwitchFault,
        Cause::Water,
    ];
    let share: f64 = resistive
        .iter()
        .map(|cause| odds(&after, *cause, None))
        .sum();
    let share_before: f64 = resistive
        .iter()
        .map(|cause| odds(&before, *cause, None))
        .sum();
    assert!(share > share_before, "{share} after {share_before}");
    let loaded = after.next_tests.iter().take(6).any(|test| {
        matches!(test.test, "volts" | "lamp" | "direct" | "amps") || test.how.contains("plugged in")
    });
    assert!(
        loaded,
        "{:?}",
        after
            .next_tests
            .iter()
            .map(|test| &test.how)
            .collect::<Vec<_>>()
    );
}

#[test]
fn odds_add_up_and_every_test_says_what_it_would_leave() {
    let circuit = boat("marl-tiller-9hp");
    let first = fuse_name(&circuit, fuses(&circuit)[0]);
    let mut evidence = Evidence::of(Complaint::FuseOpens);
    evidence.fuse = Some(fuse(&circuit, &first));
    let answer = ask(&circuit, &evidence);
    let sum: f64 = answer.causes.iter().map(|cause| cause.probability).sum();
    assert!((0.9..=1.0 + 1e-9).contains(&sum), "{sum}");
    for test in &answer.next_tests {
        let sum: f64 = test
            .outcomes
            .iter()
            .map(|outcome| outcome.probability)
            .sum();
        assert!((0.9..=1.0 + 1e-9).contains(&sum), "{} {sum}", test.how);
        assert!(test.minutes > 0.0);
    }
    assert_eq!(ask(&circuit, &evidence), answer, "the same every time");
}

#[test]
fn a_drain_through_a_welded_relay_is_told_by_its_current() {
    let circuit = boat("gabbro-injected-outboard");
    let off = state(&circuit, "off");
    let mut evidence = Evidence::of(Complaint::Drain);
    // The main relay feeds the lift pump (about 1.6 A) and the module's own
    // draw (under an ampere) behind `main`, key or no key.
    let main = fuse(&circuit, "main");
    let lift = fuse(&circuit, "engine-fuses.lift");
    evidence
        .figures
        .push(reading(Spot::Fuse(main), Quantity::Amps, 2.4, Some(off)));
    evidence
        .figures
        .push(reading(Spot::Fuse(lift), Quantity::Amps, 1.6, Some(off)));
    let answer = ask(&circuit, &evidence);
    let first = &answer.causes[0];
    assert_eq!(
        (first.cause, first.subject.as_str()),
        (Cause::RelayStuck, "main-relay"),
        "{:?}",
        answer.causes
    );
}
