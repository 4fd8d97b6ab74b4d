//! Windows, millivolts, ambient.

use super::{at, in_air, window};
use ampkeel::fusing::Zone;
use ampkeel::tables::fuses::{FuseStyle, amps_per_millivolt};
use approx::assert_relative_eq;
use proptest::prelude::*;

/// DIN 72581-3 form E extract: 1.35 x 60 to 1800 s, 2 x 2 to 60 s, 3.5 x 0.2 to
/// 7 s. Printed 1.35 x currents are rounded (40 for 40.5, 68 for 67.5, 80 for
/// 81, 95 for 94.5): the rating's own 1.35 x is used, and where the print is
/// below it nothing is promised.
#[test]
fn the_windows_of_type_e() {
    let printed = [
        (20.0, 27.0, 40.0, 70.0),
        (30.0, 40.0, 60.0, 105.0),
        (40.0, 54.0, 80.0, 140.0),
        (50.0, 68.0, 100.0, 175.0),
        (60.0, 80.0, 120.0, 210.0),
        (70.0, 95.0, 140.0, 245.0),
        (80.0, 108.0, 160.0, 280.0),
    ];
    let style = FuseStyle::HighCurrentBlade;
    let close = |current_a, rating_a, early_s, late_s| {
        let (earliest, latest) = window(&at(style, rating_a, current_a));
        assert_relative_eq!(earliest.expect("opens"), early_s, max_relative = 1e-6);
        assert_relative_eq!(latest.expect("opens"), late_s, max_relative = 1e-6);
    };
    for (rating_a, low_a, mid_a, high_a) in printed {
        close(1.35 * rating_a, rating_a, 60.0, 1800.0);
        close(mid_a, rating_a, 2.0, 60.0);
        close(high_a, rating_a, 0.2, 7.0);
        let (_, latest) = window(&at(style, rating_a, low_a));
        let promised = low_a >= 1.35 * rating_a - 1e-9;
        assert_eq!(latest.is_some(), promised, "{rating_a} A at {low_a} A");
    }
}

/// Recalled gates of ISO 8820-3 types C and F, 20 A.
#[test]
fn the_gates_of_a_blade() {
    let gates = [
        (27.0, 0.75, 1800.0),
        (32.0, 0.25, 50.0),
        (40.0, 0.15, 5.0),
        (70.0, 0.04, 0.5),
        (120.0, 0.02, 0.1),
    ];
    for style in [FuseStyle::Blade, FuseStyle::MiniBlade] {
        for (current_a, early_s, late_s) in gates {
            let study = at(style, 20.0, current_a);
            let (earliest, latest) = window(&study);
            assert_relative_eq!(earliest.expect("opens"), early_s, max_relative = 1e-9);
            assert_relative_eq!(latest.expect("opens"), late_s, max_relative = 1e-9);
            let middle = study.openings[0].middle.expect("opens").si();
            assert_relative_eq!(middle, (early_s * late_s).sqrt(), max_relative = 1e-9);
        }
    }
}

/// Log-log between gates: at sqrt(2 x 3.5) the geometric mean of both times.
/// Above 6 x the I2t is constant.
#[test]
fn between_and_above_the_gates() {
    let (earliest, latest) = window(&at(FuseStyle::Blade, 10.0, 10.0 * 7.0f64.sqrt()));
    assert_relative_eq!(
        earliest.expect("opens"),
        (0.15f64 * 0.04).sqrt(),
        max_relative = 1e-9
    );
    assert_relative_eq!(
        latest.expect("opens"),
        (5.0f64 * 0.5).sqrt(),
        max_relative = 1e-9
    );
    let study = at(FuseStyle::Blade, 10.0, 120.0);
    assert_eq!(study.openings[0].zone, Zone::AboveGates);
    let (earliest, latest) = window(&study);
    assert_relative_eq!(earliest.expect("opens"), 0.005, max_relative = 1e-9);
    assert_relative_eq!(latest.expect("opens"), 0.025, max_relative = 1e-9);
}

/// ISO 8820: 100 h at 1.1 x; 1.35 x opens; nothing is promised between.
#[test]
fn holding_and_nothing_promised() {
    assert_eq!(window(&at(FuseStyle::Blade, 20.0, 22.0)), (None, None));
    assert_eq!(
        window(&at(FuseStyle::Blade, 20.0, 24.0)),
        (Some(0.75), None)
    );
    let study = at(FuseStyle::Blade, 20.0, 24.0);
    assert_eq!(study.openings[0].middle, None);
    assert_eq!(study.findings[0].code.name(), "opening-not-promised");
    assert_eq!(
        at(FuseStyle::Blade, 20.0, 18.0).findings[0].code.name(),
        "fuse-loaded-high"
    );
    assert!(at(FuseStyle::Blade, 20.0, 16.0).findings.is_empty());
}

/// UL 248-14 as quoted in a fuse guide, 20 A glass: opens by an hour at 27 A; a
/// delayed one by 120 s at 40 A; carries 20 A.
#[test]
fn twenty_amperes_of_glass() {
    let latest = |style, current_a| window(&at(style, 20.0, current_a)).1;
    for style in [FuseStyle::Glass, FuseStyle::SlowGlass] {
        assert_eq!(latest(style, 20.0), None);
        assert_relative_eq!(
            latest(style, 27.0).expect("opens"),
            3600.0,
            max_relative = 1e-9
        );
    }
    assert_relative_eq!(
        latest(FuseStyle::SlowGlass, 40.0).expect("opens"),
        120.0,
        max_relative = 1e-9
    );
    assert!(latest(FuseStyle::Glass, 40.0).expect("opens") <= 120.0);
}

/// Forum case of an over-fused bilge pump: a stalled 18 A is 1.2 x a 15 A glass
/// fuse, where nothing is promised, but 2.25 x the 8 A its maker asks for.
#[test]
fn the_over_fused_bilge_pump() {
    let fitted = at(FuseStyle::Glass, 15.0, 18.0);
    assert_eq!(fitted.openings[0].zone, Zone::NothingPromised);
    let marked = at(FuseStyle::Glass, 8.0, 18.0);
    assert!(window(&marked).1.expect("opens") <= 5.0);
}

/// A trade-paper chart (type F, 15 A: 1.0 mV is 218 mA, 0.1 mV 22 mA) and a
/// teaching site (type C, 10 A: 1.0 mV is 130 mA).
#[test]
fn millivolts_give_the_current() {
    let cases = [
        (FuseStyle::MiniBlade, 15.0, 1.0, 0.218),
        (FuseStyle::MiniBlade, 15.0, 0.1, 0.022),
        (FuseStyle::Blade, 10.0, 1.0, 0.130),
    ];
    for (style, rating_a, millivolt, current_a) in cases {
        let slope = amps_per_millivolt(style, ampkeel::quantities::Amps::new(rating_a));
        let found_a = slope.expect("tables").value * millivolt;
        assert_relative_eq!(found_a, current_a, max_relative = 0.02);
        let across = at(style, rating_a, current_a).across.expect("volts");
        assert_relative_eq!(across.typical.si(), millivolt / 1000.0, max_relative = 0.02);
        assert!(across.low.si() < across.typical.si() && across.typical.si() < across.high.si());
    }
}

/// Square-root law with the melting point of zinc: 0.92 at 85 degC.
#[test]
fn warm_air_lowers_the_rating() {
    let study = in_air(FuseStyle::Blade, 20.0, 18.4, Some(85.0));
    assert_relative_eq!(study.ambient_factor, 0.92, epsilon = 0.005);
    assert!(study.steady.si() < 16.0);
    let (cool, warm) = (
        window(&in_air(FuseStyle::Blade, 20.0, 40.0, Some(25.0))).1,
        window(&in_air(FuseStyle::Blade, 20.0, 40.0, Some(60.0))).1,
    );
    assert!(warm.expect("opens") < cool.expect("opens"));
}

/// 80 % of 40 A is 32 A (NEC as quoted in a marine catalogue).
#[test]
fn the_steady_limit() {
    assert_relative_eq!(
        at(FuseStyle::Blade, 40.0, 20.0).steady.si(),
        32.0,
        epsilon = 1e-9
    );
}

proptest! {
    #![proptest_config(crate::cases(256))]

    #[test]
    fn more_current_never_opens_later(
        style in 0..6usize,
        multiple in 0.1..30.0f64,
        more in 1.0..3.0f64,
    ) {
        let style = FuseStyle::ALL[style];
        let rating_a = 30.0;
        let less = at(style, rating_a, rating_a * multiple);
        let much = at(style, rating_a, rating_a * multiple * more);
        let never = |time: Option<f64>| time.unwrap_or(f64::INFINITY);
        let ((early, late), (early_more, late_more)) = (window(&less), window(&much));
        prop_assert!(never(early_more) <= never(early) * (1.0 + 1e-12));
        prop_assert!(never(late_more) <= never(late) * (1.0 + 1e-12));
        prop_assert!(never(early) <= never(late));
        if let Some(middle) = less.openings[0].middle {
            prop_assert!(never(early) <= middle.si() && middle.si() <= never(late));
        }
    }
}
