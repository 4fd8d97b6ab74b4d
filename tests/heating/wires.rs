//! Wires in time.

use ampkeel::circuit::Place;
use ampkeel::heating::{WireBody, WireHeat, WireLimits, end_temperature};
use ampkeel::quantities::{Celsius, Metres, WireSize};
use ampkeel::tables::table;
use ampkeel::wiring::{InPlace, Lay, in_place};
use approx::assert_relative_eq;
use proptest::prelude::*;

fn lying(size: WireSize, class_degc: f64, place: Place) -> (InPlace, WireBody, WireLimits) {
    let class = Celsius::new(class_degc);
    let lay = Lay {
        insulation: Some(class),
        place,
        bundle: 1,
    };
    let wire = in_place(size, Metres::new(1.0), &lay).expect("tables");
    let body = WireBody::new(size, &wire.model, wire.class).expect("tables");
    let limits = WireLimits {
        class: wire.class,
        end: end_temperature(wire.class).expect("table").value,
        area_mm2: wire.model.area_mm2,
    };
    (wire, body, limits)
}

fn awg(number: i32) -> WireSize {
    WireSize::Awg(number)
}

/// Areas by ASTM B258 in mm2, for the hand formulas.
const AREAS: [(i32, f64); 4] = [(16, 1.309), (14, 2.081), (12, 3.309), (10, 5.261)];

/// IEC: I = k S / sqrt(t); PVC 70 to 160 degC k = 115, XLPE 90 to 250 k = 143.
#[test]
fn short_times_are_those_of_the_iec_formula() {
    for (gauge, area_mm2) in AREAS {
        for (class_degc, start_degc, k) in [(75.0, 70.0, 115.0), (125.0, 90.0, 143.0)] {
            let (_, body, limits) = lying(awg(gauge), class_degc, Place::Boat);
            for seconds in [0.003, 0.01] {
                let current_a = k * area_mm2 / f64::sqrt(seconds);
                let start = Celsius::new(start_degc);
                let alone_s = limits.adiabatic_s(start, current_a).expect("hotter");
                assert_relative_eq!(alone_s, seconds, max_relative = 0.006);
                let whole_s = limits
                    .stands_s(&body, body.settled_at(start), current_a)
                    .expect("burns");
                // The wall takes 1 % of the heat within 3 ms, 3 % within 10 ms.
                assert_relative_eq!(whole_s, seconds, max_relative = 0.05);
                assert!(whole_s >= alone_s);
            }
        }
    }
}

/// Onderdonk: 33 (I/A)^2 t = log10((Tm - Ta)/(234 + Ta) + 1), A in circular
/// mils; melting from 30 degC at 1083. The published example with its sign put
/// right: 16 AWG melts in 5 s at 169 A from 25 degC.
/// ICEA P-32-382: (I/A)^2 t = 0.0297 log10((T2 + 234)/(T1 + 234)).
#[test]
fn onderdonk_and_icea_agree_with_the_adiabatic_limit() {
    for (gauge, cmil) in [(16, 2583.0f64), (14, 4107.0), (12, 6530.0), (10, 10380.0)] {
        let (_, _, limits) = lying(awg(gauge), 105.0, Place::Boat);
        let melting = WireLimits {
            end: Celsius::new(1083.0),
            ..limits
        };
        let onderdonk_a = cmil * (((1083.0 - 30.0) / 264.0 + 1.0f64).log10() / (33.0 * 5.0)).sqrt();
        let found_s = melting
            .adiabatic_s(Celsius::new(30.0), onderdonk_a)
            .expect("hotter");
        assert_relative_eq!(found_s, 5.0, max_relative = 0.01);
        let icea_a = cmil * (0.0297 * (484.0f64 / 324.0).log10()).sqrt();
        let cross_linked = WireLimits {
            end: Celsius::new(250.0),
            ..limits
        };
        let found_s = cross_linked
            .adiabatic_s(Celsius::new(90.0), icea_a)
            .expect("hotter");
        assert_relative_eq!(found_s, 1.0, max_relative = 0.02);
    }
    let (_, _, limits) = lying(awg(16), 105.0, Place::Boat);
    let melting = WireLimits {
        end: Celsius::new(1083.0),
        ..limits
    };
    let found_s = melting
        .adiabatic_s(Celsius::new(25.0), 168.9)
        .expect("hotter");
    assert_relative_eq!(found_s, 5.0, max_relative = 0.01);
}

/// 14 AWG from the references: 57 000 A2s from 70 to 160 degC.
#[test]
fn the_heat_a_wire_stands_is_that_of_the_table() {
    let withstand = table("withstand-i2t").expect("there");
    for row in 0..withstand.rows.len() {
        let gauge = withstand
            .text(row, "size")
            .expect("size")
            .parse()
            .expect("gauge");
        let (_, _, limits) = lying(awg(gauge), 75.0, Place::Boat);
        let printed = withstand.number(row, "pvc_70_to_160_a2s").expect("figure");
        let found_s = limits
            .adiabatic_s(Celsius::new(70.0), 100.0)
            .expect("hotter");
        assert_relative_eq!(found_s * 1e4, printed, max_relative = 0.01);
    }
}

/// At the published ampacity a wire settles at its class: 14 AWG at 105 degC
/// carries 35 A in 30 degC air (33 CFR 183.425 table 5).
#[test]
fn long_times_are_those_of_the_published_ampacity() {
    for (gauge, class_degc, current_a) in [
        (14, 105.0, 35.0),
        (16, 60.0, 15.0),
        (10, 125.0, 70.0),
        (6, 105.0, 120.0),
    ] {
        let (_, body, limits) = lying(awg(gauge), class_degc, Place::Boat);
        let cold = WireHeat {
            copper_k: 0.0,
            wall_k: 0.0,
        };
        let hot = body.copper(body.after(cold, current_a, 1e6));
        assert_relative_eq!(hot.si(), class_degc, max_relative = 1e-6);
        assert_eq!(limits.stands_s(&body, cold, 0.999 * current_a), None);
        assert!(limits.stands_s(&body, cold, 1.01 * current_a).is_some());
    }
}

/// Runge-Kutta on the two equations of the module's head, with the heats of the
/// references' table: 14 AWG general wall copper 7.14, PVC 7.36 J/(K m).
#[test]
fn the_closed_form_solves_its_equations() {
    let (wire, body, _) = lying(awg(14), 105.0, Place::Boat);
    let r20 = wire.model.per_metre_ohm.value;
    let (cc, ci) = (body.copper_j_per_k(), body.wall_j_per_k());
    // Loss by the ampacity: 35^2 r(105)/75 K; the wall halves by its own size.
    let whole = 35.0 * 35.0 * r20 * (1.0 + 0.00393 * 85.0) / 75.0;
    let inside = 1.155 * (2.081f64 / std::f64::consts::FRAC_PI_4).sqrt();
    let outside = (inside * inside + ci / 1.68 / std::f64::consts::FRAC_PI_4).sqrt();
    let gw = 2.0 * std::f64::consts::TAU / (5.0 * (outside / inside).ln());
    let ga = 1.0 / (1.0 / whole - 1.0 / gw);
    for current_a in [40.0, 90.0, 250.0] {
        let slope = |c: f64, i: f64| {
            let heat = current_a * current_a * r20 * (1.0 + 0.00393 * (30.0 + c - 20.0));
            ((heat - gw * (c - i)) / cc, (gw * (c - i) - ga * i) / ci)
        };
        let (mut c, mut i, h) = (10.0, 5.0, 1e-3);
        let mut t = 0.0;
        for end_s in [0.1, 1.0, 4.0] {
            while t < end_s - 1e-9 {
                let (c1, i1) = slope(c, i);
                let (c2, i2) = slope(c + 0.5 * h * c1, i + 0.5 * h * i1);
                let (c3, i3) = slope(c + 0.5 * h * c2, i + 0.5 * h * i2);
                let (c4, i4) = slope(c + h * c3, i + h * i3);
                c += h / 6.0 * (c1 + 2.0 * c2 + 2.0 * c3 + c4);
                i += h / 6.0 * (i1 + 2.0 * i2 + 2.0 * i3 + i4);
                t += h;
            }
            let start = WireHeat {
                copper_k: 10.0,
                wall_k: 5.0,
            };
            let found = body.after(start, current_a, end_s);
            assert_relative_eq!(found.copper_k, c, max_relative = 2e-3);
            assert_relative_eq!(found.wall_k, i, max_relative = 2e-3);
        }
    }
}

/// FAA AC 43.13-1B table 11-3, row by row: its fuse is the largest standard one
/// of which 1.35 times the rating, the least current a fuse must open at, stays
/// within 33 CFR table 5 at 80 degC. Where it is smaller the chart keeps more in
/// hand, by one standard size on 12, 4, 2 and 1/0 AWG (25, 80, 125 and 175 A
/// would do). 22 and 20 AWG are in no boat table.
#[test]
fn the_aircraft_chart_keeps_1_35_times_its_fuse_within_the_80_degree_column() {
    let chart = table("protectors-faa-11-3").expect("there");
    let standard = [
        5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 100.0, 125.0, 150.0,
        175.0,
    ];
    let column_80 = [
        ("18", 15.0),
        ("16", 20.0),
        ("14", 25.0),
        ("12", 35.0),
        ("10", 50.0),
        ("8", 70.0),
        ("6", 100.0),
        ("4", 130.0),
        ("2", 175.0),
        ("1", 210.0),
        ("1/0", 245.0),
    ];
    let mut reproduced = Vec::new();
    let mut kept_in_hand = Vec::new();
    for (size, ampacity_a) in column_80 {
        let row = chart.find("size", size).expect("row");
        let fuse_a = chart.number(row, "fuse_a").expect("fuse");
        let largest_a = standard
            .into_iter()
            .rfind(|rating| 1.35 * rating <= ampacity_a)
            .expect("one");
        assert!(fuse_a <= largest_a, "{size} AWG");
        if fuse_a < largest_a {
            kept_in_hand.push(size);
        } else {
            reproduced.push(size);
        }
        // What the wire model says to it: 80 degC insulation is not passed.
        let number = ampkeel::tables::conductors::gauge_number(size).expect("gauge");
        let (_, body, _) = lying(awg(number), 80.0, Place::Boat);
        let cold = WireHeat {
            copper_k: 0.0,
            wall_k: 0.0,
        };
        let hot = body.copper(body.after(cold, 1.35 * fuse_a, 1e5)).si();
        assert!(hot <= 80.0, "{size} AWG at 1.35 x {fuse_a} A: {hot} degC");
    }
    assert_eq!(reproduced, ["18", "16", "14", "10", "8", "6", "1"]);
    assert_eq!(kept_in_hand, ["12", "4", "2", "1/0"]);
}

proptest! {
    #![proptest_config(crate::cases(128))]

    #[test]
    fn more_current_is_never_stood_longer(
        gauge in prop::sample::select(vec![18, 16, 14, 12, 10, 8, 6, 4, 2, 1]),
        class in prop::sample::select(vec![60.0, 75.0, 80.0, 90.0, 105.0, 125.0, 200.0]),
        start_k in 0.0..20.0f64,
        multiple in 0.5..100.0f64,
        more in 1.0..1.5f64,
    ) {
        let (wire, body, limits) = lying(awg(gauge), class, Place::EngineSpace);
        let heat = body.settled_at(Celsius::new(50.0 + start_k * (class - 50.0) / 20.0));
        let current_a = multiple * wire.table.si();
        let stands = |a: f64| limits.stands_s(&body, heat, a).unwrap_or(f64::INFINITY);
        prop_assert!(stands(current_a * more) <= stands(current_a) * (1.0 + 1e-6));
        // Copper grows hotter with time, without a gap.
        let mut last_k = heat.copper_k;
        if current_a > wire.table.si() {
            for step in 0..40 {
                let now = body.after(heat, current_a, 1e-3 * 1.4f64.powi(step)).copper_k;
                prop_assert!(now >= last_k * (1.0 - 1e-9));
                last_k = now;
            }
        }
    }
}
