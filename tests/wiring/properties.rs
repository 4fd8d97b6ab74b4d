//! What must hold for any circuit.

use super::{ask, solved};
use ampkeel::circuit::Place;
use ampkeel::quantities::{Celsius, SizeSystem};
use proptest::prelude::*;

proptest! {
    #![proptest_config(crate::cases(256))]

    #[test]
    fn thicker_wire_loses_less_and_carries_more(
        current_a in 0.1..200.0f64,
        length_ft in 1.0..200.0f64,
        system in 0..3usize,
    ) {
        let mut request = ask(current_a, length_ft);
        request.sizes = [SizeSystem::Awg, SizeSystem::Sae, SizeSystem::Metric][system];
        let study = solved(&request);
        for pair in study.candidates.windows(2) {
            prop_assert!(pair[1].rule_drop_v < pair[0].rule_drop_v);
            prop_assert!(pair[1].lies.carries.si() > pair[0].lies.carries.si());
            prop_assert!(!pair[0].ok() || pair[1].ok());
            if let (Some(thin), Some(thick)) = (pair[0].drop_v, pair[1].drop_v) {
                prop_assert!(thick < thin);
            }
        }
    }

    #[test]
    fn more_current_or_length_never_takes_a_thinner_wire(
        current_a in 0.1..100.0f64,
        length_ft in 1.0..100.0f64,
        more in 1.0..2.0f64,
    ) {
        let at = |current_a, length_ft| {
            let study = solved(&ask(current_a, length_ft));
            study.choice.unwrap_or(study.candidates.len())
        };
        let base = at(current_a, length_ft);
        prop_assert!(at(current_a * more, length_ft) >= base);
        prop_assert!(at(current_a, length_ft * more) >= base);
    }

    #[test]
    fn the_choice_meets_all_and_its_fuse_fits(current_a in 0.1..150.0f64, length_ft in 1.0..60.0f64) {
        let study = solved(&ask(current_a, length_ft));
        if let Some(chosen) = study.chosen() {
            prop_assert!(chosen.rule_drop_pct <= 3.0 + 1e-6);
            prop_assert!(chosen.lies.carries.si() >= current_a * (1.0 - 1e-9));
            let largest = study.ceilings[0].largest.expect("ours").si();
            let least = study.least_fuse.expect("a fuse").si();
            prop_assert!(least <= largest && largest <= chosen.lies.carries.si() + 1e-9);
        }
    }
}

#[test]
fn heat_and_bundles_only_take_away() {
    let open = solved(&ask(20.0, 20.0));
    let mut request = ask(20.0, 20.0);
    request.bundle = 4;
    let bundled = solved(&request);
    request.bundle = 1;
    request.place = Place::EngineSpace;
    let hot = solved(&request);
    request.insulation = Some(Celsius::new(75.0));
    let poor = solved(&request);
    for at in 0..open.candidates.len() {
        let carries = |study: &ampkeel::wiring::Study| study.candidates[at].lies.carries.si();
        assert!(carries(&bundled) < carries(&open));
        assert!(carries(&hot) < carries(&open));
        assert!(carries(&poor) < carries(&hot));
    }
}

#[test]
fn every_size_of_every_system_has_its_figures() {
    for system in [SizeSystem::Awg, SizeSystem::Sae, SizeSystem::Metric] {
        for place in [Place::Boat, Place::EngineSpace, Place::Bench] {
            let mut request = ask(6.0, 28.0);
            request.sizes = system;
            request.place = place;
            assert!(solved(&request).candidates.len() > 8, "{system:?}");
        }
    }
}
