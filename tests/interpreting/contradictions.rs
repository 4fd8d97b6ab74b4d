//! What the sentence says never contradicts its own reasons, nor the bench's limits.

use super::command::json;
use super::{RPM, asked, first, odds, of_class, rig_of, run};
use ampkeel::interpreting::{Interpretation, Measure, Run, RunKind};

fn of(class: &str, rest_v: Option<f64>, readings: &[(Measure, f64)]) -> Interpretation {
    asked(of_class(class), rig_of(class), rest_v, vec![run(readings)])
}

/// The battery under 175 A of the bench sheet: 12.65 V at rest.
fn loaded(rest_v: f64, volts: f64) -> Interpretation {
    let read = [(Measure::Amps, 175.0), (Measure::PostVolts, volts)];
    of("battery", Some(rest_v), &read)
}

/// `bench-limits`: under 9.6 V, well charged, a battery is replaced. At 9.8 V it has
/// (12.65 - 9.8) V / 175 A = 16 mohm, half as much again as a new one's 9 to 11.
#[test]
fn a_charged_battery_that_falls_under_its_limit_is_worn_and_never_sound() {
    for volts in [9.8, 9.5, 9.0, 8.0, 7.0] {
        let found = loaded(12.65, volts);
        assert_eq!(first(&found), "sulphated", "{volts}: {}", found.statement);
        assert!(odds(&found, "healthy") < 0.05, "{volts}");
    }
    assert_eq!(first(&loaded(12.65, 11.2)), "healthy");
}

/// 12.6 V is 95 % of charge by `open-volts-flooded`, 11.9 V nothing.
#[test]
fn the_volts_at_rest_tell_a_worn_battery_from_an_empty_one() {
    for volts in [9.2, 8.0] {
        let worn = loaded(12.6, volts);
        assert_eq!(first(&worn), "sulphated", "{}", worn.statement);
        assert_eq!(first(&loaded(11.8, volts)), "discharged");
    }
}

/// No battery rests over 12.7 V; a charger holds it up to 14.6 V.
#[test]
fn volts_of_a_charger_are_told_as_such_and_no_fault_of_the_rig() {
    for rest_v in [13.6, 14.4] {
        let found = asked(of_class("battery"), rig_of("battery"), Some(rest_v), vec![]);
        assert!(found.impossible.is_none(), "{rest_v}");
        let says = &found.statement;
        assert!(says.contains("surface charge"), "{says}");
        assert!(says.contains("charger still on"), "{says}");
    }
}

/// `bench-limits`: at most 0.3 V of ac at the posts while charging.
#[test]
fn ten_volts_of_ac_at_the_posts_are_no_sound_charger() {
    use Measure::{AcVolts, PostVolts, Speed};
    let mut read = vec![(PostVolts, 14.2), (AcVolts, 10.0)];
    for speed in [None, Some(3000.0 * RPM)] {
        read.extend(speed.map(|speed| (Speed, speed)));
        let found = of("charger", None, &read);
        let says = &found.statement;
        assert!(says.contains("do not go together"), "{says}");
        assert!(found.impossible.is_some());
    }
}

/// What shows nothing of the output shows no ac either.
#[test]
fn ac_without_any_current_goes_with_no_one_fault() {
    use Measure::{AcVolts, Amps, PostVolts, Speed};
    let read = [
        (Speed, 3000.0 * RPM),
        (PostVolts, 12.6),
        (Amps, 0.0),
        (AcVolts, 2.5),
    ];
    let found = of("charger", None, &read);
    let says = &found.statement;
    assert!(says.contains("do not go together"), "{says}");
}

#[test]
fn a_stator_that_reads_low_to_ground_is_sound_only_if_it_is_made_so() {
    let found = of("charger", None, &[(Measure::ToGround, 0.2)]);
    let says = &found.statement;
    assert!(says.contains("made with a grounded end"), "{says}");
    let next = found.next_reading.expect("another");
    assert!(!next.contains("the same speed"), "{next}");
}

/// 12.0 V and no current: all the volts stand across the gap, whatever the charge.
#[test]
fn volts_without_current_are_an_open_part_whatever_the_battery_held() {
    for class in ["high-pressure fuel pump", "horn", "blower"] {
        for rest_v in [None, Some(12.1)] {
            let read = [(Measure::Volts, 12.0), (Measure::Amps, 0.0)];
            let found = of(class, rest_v, &read);
            assert_eq!(first(&found), "open", "{class}: {}", found.statement);
            assert!(found.impossible.is_none(), "{class}");
        }
    }
}

/// `relay-classes`: a plug-in relay pulls in at 7.5 V at most.
#[test]
fn a_relay_with_twelve_volts_and_its_current_that_does_not_click_is_stuck() {
    let on = Run {
        kind: Some(RunKind::On),
        readings: vec![
            (Measure::Volts, 12.0),
            (Measure::Amps, 0.15),
            (Measure::Moves, 0.0),
        ],
    };
    let found = asked(of_class("plug-in"), rig_of("plug-in"), None, vec![on]);
    assert_eq!(first(&found), "stuck", "{}", found.statement);
}

#[test]
fn where_nothing_reads_low_nothing_is_sought_that_stays_low() {
    let found = json(&[
        "circuits/gabbro-injected-outboard.toml",
        "--to-ground",
        "engine-fuses.fuel",
        "--ohms",
        "open",
    ]);
    let next = found.to_string();
    assert!(!next.contains("stays low"), "{next}");
}

/// Readings of every family over wide ranges, sensible and not.
fn trials() -> Vec<Interpretation> {
    use Measure::{AcVolts, Amps, Backward, Forward, Ohms, PostVolts, ToGround, Volts};
    let mut found = Vec::new();
    for volts in [0.5, 6.0, 9.0, 10.5, 11.6, 12.4, 13.4] {
        for amps in [0.0, 0.15, 1.0, 4.0, 12.0] {
            for class in [
                "high-pressure fuel pump",
                "blower",
                "horn",
                "plug-in",
                "choke",
            ] {
                found.push(of(class, None, &[(Volts, volts), (Amps, amps)]));
            }
            let load = [(Amps, 40.0 * amps), (PostVolts, volts)];
            found.push(of("battery", Some(12.4), &load));
            let live = [
                (PostVolts, volts + 2.0),
                (Amps, amps),
                (AcVolts, 0.2 * amps),
            ];
            found.push(of("charger", None, &live));
        }
    }
    for ohms in [0.0, 0.3, 2.0, 15.0, 90.0, 1e3, 1e7] {
        for class in ["injector", "plug-in", "horn", "high-pressure fuel pump"] {
            found.push(of(class, None, &[(Ohms, ohms)]));
        }
        found.push(of("charger", None, &[(Ohms, ohms), (ToGround, ohms)]));
    }
    for forward in [0.0, 0.3, 0.55, 1.2, 2.0] {
        for backward in [0.0, 0.5, 2.0] {
            let both = [(Forward, forward), (Backward, backward)];
            found.push(of("diode", None, &both));
            found.push(of("charger", None, &both));
        }
    }
    found
}

#[test]
fn no_sentence_calls_a_reading_what_a_condition_shows_that_excludes_it() {
    for found in trials() {
        let says = &found.statement;
        let is_refused =
            says.contains("fits no one condition") || says.starts_with("not to be judged yet");
        let is_against = |because: &str| because.contains(", not ");
        if !is_refused && is_against(&found.conditions[0].because) {
            assert!(
                says.contains("but it shows"),
                "{says}: {:?}",
                found.conditions[0]
            );
        }
        let named = found
            .conditions
            .iter()
            .filter(|v| v.condition != "none-of-these");
        if named.clone().all(|v| is_against(&v.because)) {
            assert!(is_refused, "{says}: {:?}", found.conditions);
        }
    }
}
