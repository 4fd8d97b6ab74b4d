//! Parts that are shorted or leaky inside, and contacts that make no more.

use super::{asked, first, odds, of_class, rig_of, run};
use ampkeel::interpreting::{Interpretation, Measure};

fn of(class: &str, readings: &[(Measure, f64)]) -> Interpretation {
    asked(of_class(class), rig_of(class), None, vec![run(readings)])
}

fn keeps_it_off_a_battery(found: &Interpretation, of: &str) {
    assert!(found.impossible.is_none(), "{of}: {:?}", found.impossible);
    assert_eq!(first(found), "shorted", "{of}");
    assert!(found.statement.contains("shorted inside"), "{of}");
    assert!(
        found.cautions.iter().any(|c| c.tag == "shorted-part"),
        "{of}"
    );
    let next = found.next_reading.as_deref().expect("a next reading");
    for power in ["run it", "current", "volts", "switch"] {
        assert!(!next.contains(power), "{of}: {next}");
    }
}

/// A winding has tenths of an ohm at least, a coil many ohms: nothing but the leads of
/// the meter, up to 0.3 ohm, is left of one that reads 0 to 0.2 ohm.
#[test]
fn a_part_that_reads_as_the_leads_alone_is_shorted_inside_and_kept_off_any_battery() {
    for class in [
        "high-pressure fuel pump",
        "rotary lift pump",
        "solenoid lift pump",
        "plug-in",
        "injector",
        "primer",
    ] {
        for ohms in [0.0, 0.1, 0.2] {
            let nulled = of(class, &[(Measure::Ohms, ohms)]);
            keeps_it_off_a_battery(&nulled, &format!("{class} {ohms}"));
        }
    }
}

/// Nothing at its terminals and no current is an open lead at least as well as a
/// short that opened the fuse: not settled, and the ohms settle it.
#[test]
fn no_volts_and_no_amperes_at_a_pump_are_no_proof_of_a_short() {
    let dead = of(
        "high-pressure fuel pump",
        &[(Measure::Volts, 0.0), (Measure::Amps, 0.0)],
    );
    assert!(odds(&dead, "poor-contact") > 0.3, "{}", dead.statement);
    assert!(odds(&dead, "shorted") > 0.1, "{}", dead.statement);
    let next = dead.next_reading.expect("ohms");
    assert!(next.contains("ohms"), "{next}");
}

/// `leak-readings`: plus to ground is 100 kohm and more where sound, under 5 ohm a
/// shorted leg; between lies a leak.
#[test]
fn ohms_between_a_short_and_a_sound_rectifier_are_a_leak() {
    for ohms in [30.0, 300.0, 10e3, 50e3] {
        let found = of("charger", &[(Measure::PlusToGround, ohms)]);
        assert!(found.impossible.is_none(), "{ohms}");
        assert_eq!(first(&found), "diode-leaky", "{ohms}");
    }
    assert_eq!(
        first(&of("charger", &[(Measure::PlusToGround, 1.0)])),
        "leg-shorted"
    );
}

/// The diode range sends 1 mA: 0.1 V both ways are 100 ohm, no junction.
#[test]
fn a_tenth_of_a_volt_both_ways_is_a_shorted_diode() {
    let both = [(Measure::Forward, 0.1), (Measure::Backward, 0.1)];
    assert_eq!(first(&of("diode", &both)), "shorted");
    let found = of("charger", &both);
    assert!(
        ["diode-shorted", "leg-shorted"].contains(&first(&found)),
        "{}",
        found.statement
    );
}

/// A Schottky junction shows 0.2 to 0.4 V on the diode range.
#[test]
fn three_tenths_of_a_volt_one_way_is_a_sound_schottky_diode() {
    let found = of(
        "diode",
        &[(Measure::Forward, 0.3), (Measure::Backward, 4.0)],
    );
    assert_eq!(first(&found), "healthy");
    assert!(found.impossible.is_none());
}

/// It clicks and its coil draws 12 V / 85 ohm: the armature moves. All the volts of the
/// lamp across the closed contact are a contact that does not make.
#[test]
fn all_the_volts_across_a_contact_that_clicked_are_a_dead_contact() {
    let found = of(
        "plug-in",
        &[
            (Measure::Volts, 12.0),
            (Measure::Amps, 0.14),
            (Measure::Moves, 1.0),
            (Measure::Millivolts, 12.4),
        ],
    );
    assert_eq!(first(&found), "burnt-contacts");
    assert!(found.statement.contains("contacts that do not make"));
}

/// 50 mV at 100 A are 0.5 mohm, better than the table's least: no fault.
#[test]
fn a_contact_better_than_its_table_is_sound() {
    let found = of(
        "starter-solenoid",
        &[(Measure::Millivolts, 0.05), (Measure::LoadAmps, 100.0)],
    );
    assert!(found.impossible.is_none());
    assert_eq!(first(&found), "healthy");
}
