//! Every instance against its gates.

use super::by_hand::blade_gate_s;
use ampkeel::heating::{Course, Family, Protector, Zone};
use ampkeel::quantities::{Amps, Seconds};
use ampkeel::tables::fuses::{Edge, FuseStyle, standard_ratings};
use approx::assert_relative_eq;

fn families() -> Vec<(Family, Amps)> {
    let mut all = vec![(Family::Breaker, Amps::new(10.0))];
    for style in FuseStyle::ALL {
        let ratings = standard_ratings(style).expect("table").value;
        all.extend(
            ratings
                .into_iter()
                .map(|rating| (Family::Fuse(style), rating)),
        );
    }
    all
}

#[test]
fn no_instance_of_a_blade_leaves_its_gate_at_any_multiple() {
    let fuse = Protector::new(Family::Fuse(FuseStyle::Blade), Amps::new(20.0), None).expect("made");
    for step in 0..=400 {
        let multiple = 1.35 * (20.0f64 / 1.35).powf(f64::from(step) / 400.0);
        let [early_s, _, late_s] = Edge::ALL.map(|edge| blade_gate_s(edge, multiple));
        for edge in Edge::ALL {
            let element = fuse.element(edge);
            let mut heat = element.cold();
            let passage = element.pass(&mut heat, &Course::constant(multiple, f64::INFINITY));
            let opens_s = passage.opens_s.expect("opens");
            assert!(opens_s >= 0.995 * early_s, "{edge:?} {multiple}: {opens_s}");
            assert!(opens_s <= 1.005 * late_s, "{edge:?} {multiple}: {opens_s}");
            assert_relative_eq!(opens_s, blade_gate_s(edge, multiple), max_relative = 1e-6);
        }
    }
}

#[test]
fn every_family_meets_its_gates_and_holds_where_it_must() {
    for (family, rating) in families() {
        let device = Protector::new(family, rating, None).expect("made");
        for step in 0..60 {
            let multiple = 1.001 * 1.07f64.powi(step);
            let by_gates = device.opening(rating * multiple);
            let opens = |edge| {
                let element = device.element(edge);
                let mut heat = element.cold();
                let course = Course::constant(multiple, f64::INFINITY);
                element.pass(&mut heat, &course).opens_s
            };
            match by_gates.zone {
                // It may carry this for good: the late instance must.
                Zone::Holds | Zone::NothingPromised => {
                    assert_eq!(opens(Edge::Late), None, "{family:?} {rating} {multiple}");
                }
                Zone::Opens | Zone::AboveGates => {
                    for (edge, gate) in [
                        (Edge::Early, by_gates.earliest),
                        (Edge::Nominal, by_gates.middle),
                        (Edge::Late, by_gates.latest),
                    ] {
                        let wanted_s = gate.map(Seconds::si).expect("a gate");
                        let found_s = opens(edge).expect("opens");
                        assert_relative_eq!(found_s, wanted_s, max_relative = 5e-3);
                    }
                }
            }
        }
        let held = device.element(Edge::Early);
        let mut heat = held.cold();
        let at_rating = Course::constant(0.999 * device.holds_to(), f64::INFINITY);
        assert_eq!(
            held.pass(&mut heat, &at_rating).opens_s,
            None,
            "{family:?} {rating}"
        );
    }
}

/// UL 1077 note, 10 A: holds at 10 A; 4 to 40 s at 20 A, 0.6 to 5 s at 40 A.
#[test]
fn a_ten_ampere_breaker_trips_in_its_published_window() {
    let breaker = Protector::new(Family::Breaker, Amps::new(10.0), None).expect("made");
    for (current_a, early_s, late_s) in [
        (20.0, 4.0, 40.0),
        (40.0, 0.6, 5.0),
        (60.0, 0.3, 1.8),
        (100.0, 0.12, 0.4),
    ] {
        let found = breaker.opening(Amps::new(current_a));
        assert_relative_eq!(
            found.earliest.expect("gate").si(),
            early_s,
            max_relative = 1e-9
        );
        assert_relative_eq!(
            found.latest.expect("gate").si(),
            late_s,
            max_relative = 1e-9
        );
    }
    assert_eq!(breaker.opening(Amps::new(10.0)).zone, Zone::Holds);
    assert_eq!(breaker.opening(Amps::new(10.5)).zone, Zone::NothingPromised);
}

/// At 60 degC a thermal breaker trips sooner, and so does a blade fuse.
#[test]
fn warm_air_lowers_the_rating_of_both_kinds() {
    for family in [Family::Breaker, Family::Fuse(FuseStyle::Blade)] {
        let warm = Protector::new(
            family,
            Amps::new(10.0),
            Some(ampkeel::quantities::Celsius::new(60.0)),
        );
        assert!(warm.expect("in range").effective < Amps::new(10.0));
    }
}
