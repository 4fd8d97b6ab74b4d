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
            at_s: 0.0,
        }),
        ..Scenario::new("on", 60.0)
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

/// Copper and wall of 16 AWG, plain, in air of 20 degC, above the air after the
/// current of a trace: the two equations by Runge-Kutta, every figure by hand.
fn heated_by(times_s: &[f64], amps: &[f64], until_s: f64) -> (f64, f64) {
    // 1.309 mm2 of tinned copper: 17.241 ohm mm2/km, lay 1.02, tin 1.06.
    let r20 = 0.017_241 / 1.309 * 1.02 * 1.06;
    let cc = 0.00393 * r20 * (226.0_f64 * 1.309).powi(2);
    // Bunched strands are 1.155 times as thick as solid metal; a wall of 30 mil
    // (boat cable, recalled) of PVC: 1.4 g/cm3, 1.2 J/(g K), 5 K m/W.
    let inside = 1.155e-3 * (1.309 / std::f64::consts::FRAC_PI_4).sqrt();
    let outside = inside + 2.0 * 0.030 * 0.0254;
    let ci = 1.68e6 * std::f64::consts::FRAC_PI_4 * (outside * outside - inside * inside);
    let gw = 2.0 * std::f64::consts::TAU / (5.0 * (outside / inside).ln());
    // 33 CFR table 5: 25 A at 105 degC in air of 30 degC.
    let whole = 25.0 * 25.0 * r20 * (1.0 + 0.00393 * 85.0) / 75.0;
    let ga = 1.0 / (1.0 / whole - 1.0 / gw);
    let slope = |a: f64, c: f64, w: f64| {
        let heat = a * a * r20 * (1.0 + 0.00393 * c);
        ((heat - gw * (c - w)) / cc, (gw * (c - w) - ga * w) / ci)
    };
    let (mut c, mut w) = (0.0, 0.0);
    for n in 1..times_s.len() {
        if times_s[n - 1] >= until_s {
            break;
        }
        let h = times_s[n].min(until_s) - times_s[n - 1];
        let middle = 0.5 * (amps[n - 1] + amps[n]);
        let (c1, w1) = slope(amps[n - 1], c, w);
        let (c2, w2) = slope(middle, c + 0.5 * h * c1, w + 0.5 * h * w1);
        let (c3, w3) = slope(middle, c + 0.5 * h * c2, w + 0.5 * h * w2);
        let (c4, w4) = slope(amps[n], c + h * c3, w + h * w3);
        c += h / 6.0 * (c1 + 2.0 * c2 + 2.0 * c3 + c4);
        w += h / 6.0 * (w1 + 2.0 * w2 + 2.0 * w3 + w4);
    }
    (c, w)
}

#[test]
fn a_bolted_short_heats_copper_and_wall_as_worked_by_hand() {
    let found = followed(LONG_FEED, &shorted(0.5, 1e-3));
    let wire = "house.plus to lamp.plus";
    let current = &found.column(wire, "current_a").unwrap().values;
    let passed = found.first(What::InsulationPassed, wire).expect("105 degC");
    let fails = found.first(What::InsulationFails, wire).expect("160 degC");
    let (copper, _) = heated_by(&found.times_s, current, passed);
    assert!((copper - 85.0).abs() < 0.3, "{copper} K at {passed} s");
    // Within 5 s the short-time temperature of PVC is the limit: 160 degC.
    assert!(fails < 5.0, "{fails}");
    let (copper, wall) = heated_by(&found.times_s, current, fails);
    assert!((copper - 140.0).abs() < 0.5, "{copper} K at {fails} s");
    assert!(wall > 5.0 && wall < 0.6 * copper, "{wall}");
    // No sooner than by the copper alone (IEC 60949): K2 S2 ln(h/h0), K 226.
    let until = found.times_s.partition_point(|&t| t <= fails);
    let a2s = integral(&found, |n| if n < until { current[n].powi(2) } else { 0.0 });
    let alone = (226.0_f64 * 1.309).powi(2) * ((234.5 + 160.0) / (234.5 + 20.0_f64)).ln();
    assert!(a2s > alone && a2s < 1.6 * alone, "{a2s} for {alone}");
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
                    at_s: 0.0,
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
