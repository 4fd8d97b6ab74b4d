//! Peak and settling time of the start beside the running readings: a regression
//! check against the signatures of the references (`pump_conditions`), which come
//! from the same model family.

use super::{asked, at_pressure, first, known, odds, reference_rig};
use ampkeel::interpreting::{Measure, NONE_OF_THESE};

/// Condition, volts at rest, volts and amperes running, peak amperes of the start,
/// milliseconds until the current is within 10 % of its final value.
type Start = (&'static str, f64, f64, f64, f64, f64);

const STARTS: [Start; 10] = [
    ("healthy", 12.6, 12.01, 4.92, 16.9, 71.0),
    ("restricted", 12.6, 11.81, 6.55, 17.0, 64.0),
    ("dry", 12.6, 12.48, 0.96, 16.8, 142.0),
    ("dragging", 12.6, 11.85, 6.23, 16.9, 65.0),
    ("worn-stage", 12.6, 12.08, 4.37, 16.8, 73.0),
    ("coil-open", 12.6, 12.11, 4.12, 9.5, 95.0),
    ("worn-brush", 12.6, 12.11, 4.06, 9.6, 94.0),
    ("shorted-coil", 12.6, 11.77, 6.90, 18.8, 67.0),
    ("poor-contact", 12.6, 10.01, 4.17, 9.9, 93.0),
    ("low-supply", 10.5, 10.00, 4.17, 13.9, 73.0),
];

#[test]
fn starts_of_the_signatures_fit_their_condition() {
    let mut missed = Vec::new();
    for (condition, rest, volts, amps, peak, ms) in STARTS {
        let readings = [
            (Measure::Volts, volts),
            (Measure::Amps, amps),
            (Measure::Peak, peak),
            (Measure::Settling, ms / 1000.0),
        ];
        let pump = known(12.0, 4.92, 300.0, 5880.0);
        let found = asked(
            pump,
            reference_rig(),
            Some(rest),
            vec![at_pressure(&readings)],
        );
        let is_named = first(&found) == condition || found.twins.contains(&condition);
        if !is_named || odds(&found, NONE_OF_THESE) >= 0.2 || found.impossible.is_some() {
            missed.push(format!(
                "{condition}: {} first, twins {:?}, own odds {}, none {}",
                first(&found),
                found.twins,
                odds(&found, condition),
                odds(&found, NONE_OF_THESE)
            ));
        }
    }
    assert!(missed.is_empty(), "{missed:#?}");
}

/// The peak parts an open coil (9.5 A) from a stiff or sound pump of like current.
#[test]
fn the_peak_of_the_start_rules_a_sound_winding_out() {
    let readings = |peak: f64| {
        at_pressure(&[
            (Measure::Volts, 12.11),
            (Measure::Amps, 4.12),
            (Measure::Peak, peak),
        ])
    };
    let of = |peak: f64| {
        let pump = known(12.0, 4.92, 300.0, 5880.0);
        let found = asked(pump, reference_rig(), Some(12.6), vec![readings(peak)]);
        odds(&found, "coil-open") + odds(&found, "worn-brush")
    };
    let (weak, strong) = (of(9.5), of(16.8));
    assert!(weak > 0.8 && strong < 0.3, "{weak} {strong}");
}
