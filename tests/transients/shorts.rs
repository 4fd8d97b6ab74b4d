//! Shorts along a wire: by hand, and the copper's heat by the adiabatic formula.

use super::{circuit, followed, integral, near, peak};
use ampkeel::devices::resolve;
use ampkeel::transients::{Scenario, Short, TransientError, What, run};

/// Four metres of 16 AWG to a lamp and back, joints of no resistance.
const LONG_FEED: &str = "\
format = 1
[ambient]
bench = \"20 degC\"
[defaults.part]
place = \"bench\"
[defaults.wire]
size = \"16 AWG\"
joints = \"0 ohm\"
insulation = \"105 degC\"
[battery.house]
open-volts = \"12.6 V\"
resistance = \"10 mohm\"
[load.lamp]
resistance = \"10 ohm\"
[[wire]]
name = \"feed\"
from = \"house.plus\"
to = \"lamp.plus\"
length = \"4 m\"
[[wire]]
from = \"lamp.minus\"
to = \"house.minus\"
length = \"4 m\"
";

fn shorted(share: f64, ohm: f64) -> Scenario {
    Scenario {
        short: Some(Short {
            wire: "feed".into(),
            share,
            ohm,
            to: None,
        }),
        ..Scenario::new("on", 20.0)
    }
}

#[test]
fn the_first_current_of_a_short_is_volts_over_the_loop_up_to_it() {
    let built = circuit(LONG_FEED);
    let copper = resolve(&built).unwrap().wires[0].copper_ohm();
    for share in [0.0, 0.25, 0.5, 1.0] {
        for ohm in [1e-3, 0.1] {
            let found = followed(LONG_FEED, &shorted(share, ohm));
            let first = found.column("short", "current_a").unwrap().values[0];
            // The lamp's 10 ohm beside it, behind the rest of the wires.
            let beside = 10.0 + (2.0 - share) * copper;
            let end = 1.0 / (1.0 / ohm + 1.0 / beside);
            let behind = 12.6 * end / (0.010 + share * copper + end);
            near(first, behind / ohm, 2e-3);
        }
    }
}

#[test]
fn a_bolted_short_heats_the_copper_by_the_adiabatic_formula() {
    let found = followed(LONG_FEED, &shorted(0.5, 1e-3));
    let wire = resolve(&circuit(LONG_FEED)).unwrap().wires[0].clone();
    let passed = found
        .events
        .iter()
        .find(|event| event.what == What::InsulationPassed);
    let passed = passed.expect("it passes 105 degC");
    // IEC 60949 with this conductor's own resistance: c S (beta + 20) / r20 times
    // ln((beta + end) / (beta + start)), c 3.45 J/(K cm3), beta 234.5.
    let (area, ohm) = (wire.area_mm2, wire.per_metre_ohm.value);
    let over = ((234.5 + 105.0) / (234.5 + 20.0_f64)).ln();
    let expected = 3.45e-3 * 1e3 * area * 254.5 / ohm * over;
    let current = &found
        .column("house.plus to lamp.plus", "current_a")
        .unwrap()
        .values;
    let until = found.times_s.partition_point(|&t| t <= passed.time_s);
    let a2s = integral(&found, |n| if n < until { current[n].powi(2) } else { 0.0 });
    assert!(passed.time_s < 2.0, "{}", passed.time_s);
    // Over the second or so it takes, a hundredth is lost to the air.
    near(a2s, expected, 0.03);
    assert!(a2s > expected * 0.999);
}

#[test]
fn a_wire_no_fuse_guards_burns_through_and_the_short_ends() {
    let found = followed(LONG_FEED, &shorted(0.5, 1e-3));
    let burns = found
        .first(What::BurnsThrough, "house.plus to lamp.plus")
        .expect("it burns");
    assert!(
        burns
            > found
                .first(What::InsulationPassed, "house.plus to lamp.plus")
                .unwrap()
    );
    assert_eq!(
        *found
            .column("short", "current_a")
            .unwrap()
            .values
            .last()
            .unwrap(),
        0.0
    );
}

#[test]
fn a_short_further_away_carries_less() {
    let peaks: Vec<f64> = [0.0, 0.2, 0.4, 0.6, 0.8, 1.0]
        .into_iter()
        .map(|share| {
            peak(
                &followed(LONG_FEED, &shorted(share, 1e-3)),
                "short",
                "current_a",
            )
            .1
        })
        .collect();
    assert!(peaks.windows(2).all(|pair| pair[1] < pair[0]), "{peaks:?}");
}

#[test]
fn shorts_that_lie_nowhere_are_refused() {
    let built = circuit(LONG_FEED);
    for (scenario, unknown) in [
        (shorted(1.5, 1e-3), false),
        (shorted(0.5, 0.0), false),
        (
            Scenario {
                short: Some(Short {
                    wire: "no such wire".into(),
                    share: 0.5,
                    ohm: 1e-3,
                    to: None,
                }),
                ..Scenario::new("on", 1.0)
            },
            true,
        ),
    ] {
        let refused = run(&built, &scenario).unwrap_err();
        assert_eq!(
            matches!(refused, TransientError::Unknown { .. }),
            unknown,
            "{refused}"
        );
    }
}
