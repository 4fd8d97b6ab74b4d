//! Meter burden, accuracy and leakage readings.

use super::near;
use ampkeel::quantities::Ohms;
use ampkeel::tables::meters::{
    Meter, MeterReading, accuracy, burden, clip_leads, leak_meaning, probe_leads, volts_input,
};

#[test]
fn a_clamp_adds_nothing_and_a_jack_a_tenth_of_an_ohm() {
    near(
        burden(Meter::Clamp).expect("known").value.high.si(),
        0.0,
        0.0,
    );
    let jack = burden(Meter::Jack).expect("row").value;
    near(jack.low.si(), 0.05, 1e-12);
    near(jack.typical.si(), 0.12, 1e-12);
    near(jack.high.si(), 0.4, 1e-12);
    near(clip_leads().expect("row").value.typical.si(), 0.2, 1e-12);
    near(probe_leads().expect("row").value.typical.si(), 0.1, 1e-12);
    near(volts_input().expect("row").value.typical.si(), 1e7, 1e-12);
    for meter in [Meter::Clamp, Meter::Jack] {
        assert_eq!(Meter::from_word(meter.word()), Some(meter));
    }
}

#[test]
fn accuracies_are_those_assumed_of_an_unknown_meter() {
    for (reading, share, plus) in [
        (MeterReading::Volts, 0.008, 0.02),
        (MeterReading::Millivolts, 0.008, 0.0003),
        (MeterReading::Ohms, 0.015, 0.3),
        (MeterReading::JackAmps, 0.02, 0.05),
        (MeterReading::ClampAmps, 0.025, 0.10),
        (MeterReading::LargeClampAmps, 0.025, 0.8),
        (MeterReading::Speed, 0.01, 0.0),
    ] {
        let found = accuracy(reading).expect("row").value;
        near(found.share.si(), share, 1e-12);
        near(found.plus, plus, 1e-12);
    }
}

#[test]
fn leak_readings_have_a_meaning_at_every_resistance() {
    for (ohms, says) in [
        (0.5, "dead short"),
        (20.0, "partial short"),
        (1e3, "carbon track"),
        (1e5, "moisture"),
        (1e7, "healthy"),
        (f64::INFINITY, "healthy"),
    ] {
        let meaning = leak_meaning(Ohms::new(ohms)).expect("listed").value;
        assert!(meaning.contains(says), "{ohms}: {meaning}");
    }
    assert!(leak_meaning(Ohms::new(-1.0)).is_err());
}
