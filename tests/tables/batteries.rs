//! Volts at rest and resistance of batteries.

use super::near;
use ampkeel::quantities::{AmpHours, Amps, Celsius, Fraction};
use ampkeel::sources::Standing;
use ampkeel::tables::batteries::{
    Chemistry, charge_acceptance, condition_factor, default_battery, default_capacity,
    minimum_cold_cranking, open_volts, resistance,
};

fn volts(chemistry: Chemistry, charge: f64, degc: f64) -> f64 {
    open_volts(chemistry, Fraction::new(charge), Celsius::new(degc))
        .expect("within")
        .value
        .typical
        .si()
}

fn parts(cca: f64, chemistry: Chemistry, charge: f64, degc: f64) -> (f64, f64, f64) {
    let found = resistance(
        Amps::new(cca),
        chemistry,
        Fraction::new(charge),
        Celsius::new(degc),
    )
    .expect("within")
    .value;
    (found.r0.typical.si(), found.r1.typical.si(), found.tau.si())
}

#[test]
fn volts_at_rest_are_the_published_rows() {
    for (charge, printed) in [
        (1.0, 12.65),
        (0.75, 12.45),
        (0.5, 12.24),
        (0.25, 12.06),
        (0.0, 11.89),
    ] {
        near(volts(Chemistry::Flooded, charge, 26.7), printed, 1e-9);
    }
    for (charge, printed) in [
        (1.0, 12.85),
        (0.75, 12.6),
        (0.5, 12.3),
        (0.25, 12.0),
        (0.0, 11.7),
    ] {
        near(volts(Chemistry::Agm, charge, 26.7), printed, 1e-9);
    }
    near(volts(Chemistry::Flooded, 0.875, 26.7), 12.55, 1e-9);
}

#[test]
fn gel_is_agm_by_judgement() {
    let gel = open_volts(Chemistry::Gel, Fraction::new(1.0), Celsius::new(25.0)).expect("within");
    assert_eq!(gel.source.standing, Standing::Judgement);
    near(
        gel.value.typical.si(),
        volts(Chemistry::Agm, 1.0, 25.0),
        1e-12,
    );
}

#[test]
fn charge_and_temperature_outside_the_tables_are_refused() {
    for (charge, degc) in [
        (1.1, 25.0),
        (-0.1, 25.0),
        (f64::NAN, 25.0),
        (0.5, 90.0),
        (0.5, -60.0),
    ] {
        let charge = Fraction::new(charge);
        let temperature = Celsius::new(degc);
        assert!(open_volts(Chemistry::Flooded, charge, temperature).is_err());
        assert!(resistance(Amps::new(350.0), Chemistry::Agm, charge, temperature).is_err());
    }
    let full = Fraction::new(1.0);
    assert!(resistance(Amps::new(0.0), Chemistry::Agm, full, Celsius::new(25.0)).is_err());
}

/// SAE J537: 7.2 V after 30 s at the rated amperes at -18 degrees C.
#[test]
fn a_battery_gives_back_its_cold_cranking_rating() {
    for chemistry in Chemistry::ALL {
        for cca in [240.0, 350.0, 800.0] {
            let (r0, r1, tau) = parts(cca, chemistry, 1.0, -18.0);
            let end = volts(chemistry, 1.0, -18.0) - cca * (r0 + r1 * (1.0 - (-30.0 / tau).exp()));
            assert!((end - 7.2).abs() < 0.001, "{chemistry:?} {cca}: {end}");
        }
    }
}

/// The marine rating, 1.286 times the cold one (630 against 490), holds 7.2 V
/// for 30 s at 0 degrees C.
#[test]
fn a_battery_gives_back_its_marine_rating() {
    for chemistry in Chemistry::ALL {
        let (r0, r1, tau) = parts(490.0, chemistry, 1.0, 0.0);
        let end = volts(chemistry, 1.0, 0.0) - 630.0 * (r0 + r1 * (1.0 - (-30.0 / tau).exp()));
        assert!((end - 7.2).abs() < 0.01, "{chemistry:?}: {end}");
    }
}

#[test]
fn warm_resistance_is_the_trade_rule() {
    let (r0, r1, tau) = parts(350.0, Chemistry::Flooded, 1.0, 25.0);
    near(r0 + r1, 3.0 / 350.0, 0.07);
    near(tau, 20.0, 1e-12);
    // About 5.8 times the rating into a dead short at once.
    near(12.65 / r0 / 350.0, 5.8, 0.01);
    // The watercraft battery: 240 A, about 12 to 13 mohm.
    let (r0, r1, _) = parts(240.0, Chemistry::Flooded, 1.0, 25.0);
    assert!((0.012..=0.0135).contains(&(r0 + r1)), "{}", r0 + r1);
}

#[test]
fn cold_and_flat_batteries_have_more_resistance() {
    let at = |charge, degc| parts(350.0, Chemistry::Flooded, charge, degc).0;
    for pair in [-30.0, -18.0, -10.0, 0.0, 10.0, 25.0, 40.0].windows(2) {
        assert!(at(1.0, pair[0]) > at(1.0, pair[1]), "{pair:?}");
    }
    for (charge, factor) in [(0.75, 1.1), (0.5, 1.35), (0.25, 2.0), (0.0, 4.0)] {
        near(at(charge, 25.0), at(1.0, 25.0) * factor, 1e-9);
    }
    near(at(1.0, 60.0), at(1.0, 40.0), 1e-12);
}

#[test]
fn acceptance_grows_as_the_battery_empties() {
    let at = |charge: f64| {
        charge_acceptance(AmpHours::new(50.0), Fraction::new(charge)).expect("within")
    };
    near(at(1.0).value.typical.si(), 1.0, 1e-9);
    near(at(0.75).value.typical.si(), 7.5, 1e-9);
    near(at(0.5).value.typical.si(), 12.5, 1e-9);
    near(at(0.1).value.typical.si(), 15.0, 1e-9);
    assert_eq!(at(0.5).source.standing, Standing::Judgement);
}

#[test]
fn engines_ask_for_the_published_ratings() {
    for (hp, cca) in [(9.9, 350.0), (30.0, 350.0), (50.0, 360.0), (150.0, 490.0)] {
        near(
            minimum_cold_cranking(hp).expect("listed").value.si(),
            cca,
            1e-12,
        );
    }
    assert!(minimum_cold_cranking(300.0).is_err());
    let usual = default_battery().expect("tables").value;
    near(usual.cold_cranking.typical.si(), 350.0, 1e-12);
    near(usual.capacity.typical.si(), 50.0, 1e-12);
    near(
        default_capacity(Amps::new(360.0))
            .expect("above zero")
            .value
            .typical
            .si(),
        50.0,
        1e-9,
    );
}

#[test]
fn age_multiplies_resistance() {
    near(
        condition_factor(false).expect("table").value.typical,
        1.5,
        1e-12,
    );
    near(
        condition_factor(true).expect("table").value.high,
        30.0,
        1e-12,
    );
}
