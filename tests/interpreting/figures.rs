//! Estimates against hand calculation; relays and batteries.

use super::{RPM, asked, first, known, odds, of_class, reference_rig, run, usual_rig};
use ampkeel::interpreting::{Estimate, Examined, Interpretation, Measure};
use approx::assert_relative_eq;

fn estimate<'a>(found: &'a Interpretation, words: &str) -> &'a Estimate {
    let mut all = found.estimates.iter();
    all.find(|one| one.quantity.contains(words))
        .unwrap_or_else(|| panic!("no {words}"))
}

/// 12.01 V at the pump, 12.60 V at the posts, 4.92 A, 5885 rpm of the default pump:
/// (12.60 - 12.01) / 4.92 = 0.12 ohm, k = (12.01 - 0.8 - 4.92 x 0.55) / 616.3 =
/// 0.0138 V s/rad, winding 0.55 ohm.
#[test]
fn estimates_agree_with_hand_calculation_and_say_which_is_which() {
    let sound = run(&[
        (Measure::Volts, 12.01),
        (Measure::PostVolts, 12.60),
        (Measure::Amps, 4.92),
        (Measure::Speed, 5885.0 * RPM),
        (Measure::Pressure, 300e3),
    ]);
    let found = asked(
        known(12.0, 4.92, 300.0, 5880.0),
        reference_rig(),
        Some(12.6),
        vec![sound],
    );
    assert_relative_eq!(
        estimate(&found, "apparent").value,
        12.01 / 4.92,
        max_relative = 1e-9
    );
    assert_relative_eq!(
        estimate(&found, "leads and joints").value,
        0.59 / 4.92,
        max_relative = 1e-9
    );
    let k = estimate(&found, "back-EMF constant");
    assert!(k.low < 0.0138 && 0.0138 < k.high, "{k:?}");
    assert_relative_eq!(k.value, 0.0138, max_relative = 0.06);
    let winding = estimate(&found, "winding resistance");
    assert!(winding.low < 0.55 && 0.55 < winding.high, "{winding:?}");
}

/// Stalled: (10.49 - 0.8) / 17.61 = 0.55 ohm of winding, V/I is 0.596 ohm.
#[test]
fn of_a_stalled_pump_the_winding_is_less_than_volts_over_amperes() {
    let stalled = run(&[
        (Measure::Volts, 10.49),
        (Measure::Amps, 17.61),
        (Measure::Speed, 0.0),
    ]);
    let found = asked(
        known(12.0, 4.92, 300.0, 5880.0),
        reference_rig(),
        Some(12.6),
        vec![stalled],
    );
    let winding = estimate(&found, "winding resistance");
    assert!(winding.low < 0.55 && 0.55 < winding.high, "{winding:?}");
    assert!(winding.value < estimate(&found, "apparent").value);
}

/// `relay_tests`: 60 to 110 ohm cold; open is burnt, below 50 ohm shorted turns;
/// 200 mV at 10 A is the limit of a contact, 92 mV at the lamp's 4.58 A.
#[test]
fn relays_read_as_their_test_table_says() {
    let relay = || of_class("plug-in");
    let read = |measure, value| asked(relay(), usual_rig(), None, vec![run(&[(measure, value)])]);
    assert_eq!(first(&read(Measure::Ohms, 85.0)), "healthy");
    assert_eq!(
        first(&read(Measure::Ohms, ampkeel::interpreting::OPEN_OHM)),
        "open-coil"
    );
    assert_eq!(first(&read(Measure::Ohms, 40.0)), "shorted-coil");
    assert_eq!(first(&read(Measure::Millivolts, 0.4)), "burnt-contacts");
    assert_eq!(first(&read(Measure::Millivolts, 0.02)), "healthy");
    assert_eq!(first(&read(Measure::PullIn, 9.8)), "weak-pull-in");
    let blown = run(&[(Measure::Volts, 0.0), (Measure::Amps, 0.0)]);
    assert_eq!(
        first(&asked(relay(), usual_rig(), Some(12.6), vec![blown])),
        "diode-reversed"
    );
}

/// `battery_faults`.
#[test]
fn batteries_read_as_their_fault_table_says() {
    let at = |rest: f64, loaded: Option<(f64, f64)>| {
        let runs =
            loaded.map(|(amps, volts)| run(&[(Measure::Amps, amps), (Measure::PostVolts, volts)]));
        asked(
            Examined::Battery,
            usual_rig(),
            Some(rest),
            runs.into_iter().collect(),
        )
    };
    assert_eq!(first(&at(12.7, None)), "healthy");
    assert_eq!(first(&at(11.9, None)), "discharged");
    assert_eq!(first(&at(10.6, None)), "shorted-cell");
    assert_eq!(first(&at(12.7, Some((100.0, 11.8)))), "healthy");
    assert_eq!(first(&at(12.4, Some((100.0, 7.5)))), "sulphated");
    assert_eq!(first(&at(12.4, Some((4.6, 0.5)))), "open-cell");
    let own = at(12.6, Some((100.0, 11.6)));
    assert_relative_eq!(
        estimate(&own, "own resistance").value,
        0.01,
        max_relative = 1e-9
    );
    assert!(odds(&own, "healthy") > 0.5);
}
