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
    // 1400 kPa is more than any condition of it gives, whatever the others are.
    let says = [
        "cannot come from one pump",
        "every condition of one pump shows something else",
    ];
    assert!(says.iter().any(|says| why.contains(says)), "{why}");
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

/// An open coil draws nothing and moves nothing: with 0.14 A and a click the ohms are
/// the reading that is wrong.
#[test]
fn no_ohms_beside_a_click_and_a_coil_s_current_are_probes_that_missed() {
    let of = |readings: &[(Measure, f64)]| {
        asked(
            of_class("plug-in"),
            rig_of("plug-in"),
            None,
            vec![run(readings)],
        )
    };
    let open = (Measure::Ohms, ampkeel::interpreting::OPEN_OHM);
    let with_current = of(&[
        (Measure::Volts, 12.0),
        (Measure::Amps, 0.14),
        (Measure::Moves, 1.0),
        open,
    ]);
    let by_click = of(&[(Measure::Volts, 12.0), (Measure::Moves, 1.0), open]);
    for found in [with_current, by_click] {
        let why = found.impossible.expect("contradicts");
        assert!(why.contains("the ohms reading: the probes missed"), "{why}");
    }
    assert_eq!(first(&of(&[open])), "open-coil");
    let still = of(&[open, (Measure::Moves, 0.0)]);
    assert!(still.impossible.is_none());
    assert_eq!(first(&still), "open-coil");
}

#[test]
fn a_diode_that_conducts_from_the_wrong_end_alone_has_the_meter_s_leads_swapped() {
    let found = asked(
        of_class("diode"),
        rig_of("diode"),
        None,
        vec![run(&[(Measure::Forward, 4.0), (Measure::Backward, 0.55)])],
    );
    let why = found.impossible.expect("swapped");
    assert!(why.contains("leads were swapped"), "{why}");
}

/// 5 A at 12 V turn a pump: a speed of nothing was not measured.
#[test]
fn no_speed_at_a_running_pump_s_volts_and_amperes_is_a_speed_that_nobody_measured() {
    let (_, why) = impossible(&[
        (Measure::Volts, 12.01),
        (Measure::Amps, 4.92),
        (Measure::Speed, 0.0),
    ]);
    assert!(why.contains("the speed: nobody measured it"), "{why}");
}

#[test]
fn twelve_thousandths_of_a_volt_are_volts_and_millivolts_mixed_up() {
    let (_, why) = impossible(&[
        (Measure::Volts, 0.01201),
        (Measure::Amps, 4.92),
        (Measure::Speed, 5885.0 * RPM),
        (Measure::Pressure, 300e3),
    ]);
    assert!(why.contains("out by a thousand"), "{why}");
}
