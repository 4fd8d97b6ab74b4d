//! Readings that cannot be.

use super::{RPM, asked, first, known, odds, of_class, reference_rig, rig_of, run};
use ampkeel::interpreting::{Interpretation, Measure, NONE_OF_THESE};

fn impossible(readings: &[(Measure, f64)]) -> (Interpretation, String) {
    let found = asked(
        known(12.0, 4.92, 300.0, 5880.0),
        reference_rig(),
        Some(12.6),
        vec![run(readings)],
    );
    let why = found
        .impossible
        .clone()
        .unwrap_or_else(|| panic!("{:?}", found.conditions[0]));
    assert_eq!(first(&found), NONE_OF_THESE);
    (found, why)
}

#[test]
fn no_current_in_a_running_pump_is_a_meter_with_its_fuse_blown() {
    let (_, why) = impossible(&[
        (Measure::Volts, 12.01),
        (Measure::Amps, 0.0),
        (Measure::Speed, 5885.0 * RPM),
        (Measure::Pressure, 300e3),
    ]);
    assert!(why.contains("its own fuse is blown"), "{why}");
}

#[test]
fn two_amperes_too_few_at_every_other_figure_right_is_a_clamp_not_zeroed() {
    let (_, why) = impossible(&[
        (Measure::Volts, 12.01),
        (Measure::Amps, 2.6),
        (Measure::Speed, 5885.0 * RPM),
        (Measure::Pressure, 300e3),
    ]);
    assert!(why.contains("clamp was not zeroed"), "{why}");
}

#[test]
fn a_stalled_current_with_the_battery_s_volts_is_volts_taken_at_the_battery() {
    let (_, why) = impossible(&[
        (Measure::Volts, 12.43),
        (Measure::Amps, 17.6),
        (Measure::Speed, 0.0),
    ]);
    assert!(why.contains("taken at the battery"), "{why}");
}

#[test]
fn readings_that_no_slip_explains_are_said_to_be_impossible_all_the_same() {
    let (found, why) = impossible(&[
        (Measure::Volts, 3.0),
        (Measure::Amps, 90.0),
        (Measure::Speed, 30_000.0 * RPM),
        (Measure::Pressure, 1.4e6),
    ]);
    assert!(why.contains("cannot come from one pump"), "{why}");
    assert!(found.statement.contains("do not go together"));
}

/// A sound battery rests within some tenths of a volt of its charge; only a flat
/// or failed one rests at half its volts.
#[test]
fn a_battery_far_below_its_volts_is_never_called_sound() {
    for volts in [3.0, 6.0, 8.5, 9.5] {
        let found = asked(of_class("battery"), rig_of("battery"), Some(volts), vec![]);
        let sound = odds(&found, "healthy");
        assert!(sound < 0.02, "{volts} V: {sound}");
        assert!(!found.statement.contains("sound:"), "{}", found.statement);
    }
}
