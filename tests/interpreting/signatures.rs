//! The published jam, and the signatures of the references (`pump_conditions`).

use super::{RPM, asked, first, known, odds, reference_rig, run, usual_rig};
use ampkeel::interpreting::{Measure, NONE_OF_THESE};
use approx::assert_abs_diff_eq;

/// 19 A at 29 rpm against 4 A at 6500 rpm healthy; 12.0 V at the pump is assumed
/// by the reference, and gives 12 / 19 = 0.63 ohm.
#[test]
fn the_published_jam_reads_as_locked_with_its_apparent_resistance() {
    let jam = run(&[
        (Measure::Volts, 12.0),
        (Measure::Amps, 19.0),
        (Measure::Speed, 29.0 * RPM),
    ]);
    let mut rig = usual_rig();
    // A battery of 12 V at the pump with 19 A drawn is charged from elsewhere.
    rig.open_volts = ampkeel::quantities::Band::between(
        ampkeel::quantities::Volts::new(13.4),
        ampkeel::quantities::Volts::new(14.4),
    );
    let found = asked(known(12.0, 4.0, 300.0, 6500.0), rig, None, vec![jam]);
    assert_eq!(first(&found), "locked");
    assert!(odds(&found, "locked") > 0.9);
    assert!(
        found.statement.starts_with("locked or nearly: 19.0 A"),
        "{}",
        found.statement
    );
    let apparent = &found.estimates[0];
    assert!(apparent.quantity.contains("not the winding"));
    assert_abs_diff_eq!(apparent.value, 0.63, epsilon = 0.005);
    assert!(apparent.low < 0.6316 && 0.6316 < apparent.high);
    // 19 A on 15 A is 127 percent: no opening is promised, and none is ruled out.
    let note = found.notes.join(" ");
    assert!(
        note.contains("15 A fuse") && note.contains("it can open all the same"),
        "{note}"
    );
}

/// A signature: condition, volts at rest, volts at the pump, amperes, rpm,
/// kilopascals where a gauge says anything.
type Signature = (&'static str, f64, f64, f64, f64, Option<f64>);

/// Rows of `pump_conditions`.
const SIGNATURES: [Signature; 17] = [
    ("healthy", 12.6, 12.01, 4.92, 5885.0, Some(300.0)),
    ("restricted", 12.6, 11.81, 6.55, 5130.0, Some(650.0)),
    ("dry", 12.6, 12.48, 0.96, 7718.0, Some(0.0)),
    ("dragging", 12.6, 11.85, 6.23, 5278.0, Some(300.0)),
    ("dragging", 12.6, 11.73, 7.23, 4812.0, Some(300.0)),
    ("worn-stage", 12.6, 12.08, 4.37, 6138.0, Some(180.0)),
    ("locked", 12.6, 10.49, 17.61, 0.0, None),
    ("open", 12.6, 12.60, 0.0, 0.0, None),
    ("coil-open", 12.6, 12.11, 4.12, 4691.0, Some(300.0)),
    ("worn-brush", 12.6, 12.11, 4.06, 4600.0, Some(300.0)),
    ("shorted-coil", 12.6, 11.77, 6.90, 6051.0, Some(300.0)),
    ("shorted-coil", 12.6, 11.45, 9.57, 6184.0, Some(300.0)),
    ("poor-contact", 12.6, 10.01, 4.17, 4786.0, Some(300.0)),
    ("poor-contact", 12.6, 8.47, 3.69, 3905.0, Some(300.0)),
    ("reversed", 12.6, 12.17, 3.57, 6512.0, Some(0.0)),
    ("low-supply", 10.5, 10.00, 4.17, 4779.0, Some(300.0)),
    ("hot", 12.6, 11.95, 5.42, 5825.0, Some(300.0)),
];

#[test]
fn every_condition_is_first_or_a_named_twin_at_its_own_signature() {
    let mut missed = Vec::new();
    for (condition, rest, volts, amps, rpm, kpa) in SIGNATURES {
        let mut readings = vec![
            (Measure::Volts, volts),
            (Measure::Amps, amps),
            (Measure::Speed, rpm * RPM),
        ];
        readings.extend(kpa.map(|kpa| (Measure::Pressure, kpa * 1000.0)));
        let pump = known(12.0, 4.92, 300.0, 5880.0);
        let found = asked(pump, reference_rig(), Some(rest), vec![run(&readings)]);
        if first(&found) != condition && !found.twins.contains(&condition) {
            missed.push(format!(
                "{condition} at {amps} A: {} first, twins {:?}, own odds {}",
                first(&found),
                found.twins,
                odds(&found, condition)
            ));
        }
        let sum: f64 = found.conditions.iter().map(|v| v.probability).sum();
        assert_abs_diff_eq!(sum, 1.0, epsilon = 1e-9);
        assert_eq!(found.conditions.len(), 16);
        assert_eq!(found.impossible, None, "{condition} {amps}");
        assert!(odds(&found, NONE_OF_THESE) < 0.2, "{condition}");
    }
    assert!(missed.is_empty(), "{missed:#?}");
}

/// `pump_conditions`: the twins are told apart by ripple alone.
#[test]
fn an_open_coil_and_worn_brushes_are_named_each_others_twins() {
    let slow = run(&[
        (Measure::Volts, 12.11),
        (Measure::Amps, 4.12),
        (Measure::Speed, 4691.0 * RPM),
        (Measure::Pressure, 300e3),
    ]);
    let found = asked(
        known(12.0, 4.92, 300.0, 5880.0),
        reference_rig(),
        Some(12.6),
        vec![slow],
    );
    let pair = ["coil-open", "worn-brush"];
    assert!(pair.contains(&first(&found)));
    assert!(found.twins.iter().any(|twin| pair.contains(twin)));
    assert!(found.notes.iter().any(|note| note.contains("ripple")));
}

/// Volts and amperes alone: dragging against restricted, which pressure parts
/// (`pump_conditions`, note on twins).
#[test]
fn with_volts_and_amperes_alone_twins_are_named_and_the_next_reading_is_asked_for() {
    let much = ampkeel::interpreting::Run {
        kind: Some(ampkeel::interpreting::RunKind::AtPressure),
        readings: vec![(Measure::Volts, 11.83), (Measure::Amps, 6.4)],
    };
    let found = asked(
        known(12.0, 4.92, 300.0, 5880.0),
        reference_rig(),
        Some(12.6),
        vec![much],
    );
    let all: Vec<&str> = [first(&found)]
        .into_iter()
        .chain(found.twins.iter().copied())
        .collect();
    for condition in ["dragging", "restricted", "shorted-coil"] {
        assert!(all.contains(&condition), "{condition}: {all:?}");
    }
    let next = found.next_reading.expect("a reading");
    assert!(
        next.contains("pressure") || next.contains("speed"),
        "{next}"
    );
}
