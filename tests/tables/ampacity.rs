//! Continuous currents, engine-space and bundle factors.

use super::near;
use ampkeel::quantities::{Celsius, SizeSystem, WireSize};
use ampkeel::sources::Standing;
use ampkeel::tables::ampacity::{ampacity, bundle_factor, engine_space_factor};
use ampkeel::tables::conductors::{gauge_number, standard_sizes};
use ampkeel::tables::{Table, table};

fn amps(size: WireSize, insulation: Option<f64>) -> f64 {
    ampacity(size, insulation.map(Celsius::new))
        .expect("listed")
        .value
        .current
        .si()
}

#[test]
fn table_5_is_read_by_gauge_and_insulation() {
    // 33 CFR 183.425 table 5.
    for (number, insulation, current) in [
        (18, 60.0, 10.0),
        (16, 105.0, 25.0),
        (14, 105.0, 35.0),
        (10, 105.0, 60.0),
        (6, 75.0, 95.0),
        (0, 90.0, 245.0),
        (-3, 200.0, 510.0),
    ] {
        near(
            amps(WireSize::Awg(number), Some(insulation)),
            current,
            1e-12,
        );
    }
}

#[test]
fn sae_wire_takes_the_row_of_its_number() {
    near(amps(WireSize::Sae(12), Some(105.0)), 45.0, 1e-12);
}

#[test]
fn insulation_rounds_down_to_a_column_and_unknown_is_60() {
    for (given, column) in [
        (None, 60.0),
        (Some(60.0), 60.0),
        (Some(74.9), 60.0),
        (Some(85.0), 80.0),
        (Some(110.0), 105.0),
        (Some(150.0), 125.0),
        (Some(250.0), 200.0),
    ] {
        let found = ampacity(WireSize::Awg(14), given.map(Celsius::new)).expect("listed");
        near(found.value.column.si(), column, 1e-12);
    }
    let refusal = ampacity(WireSize::Awg(14), Some(Celsius::new(55.0)))
        .expect_err("below every column")
        .to_string();
    assert!(
        refusal.contains("60, 75, 80, 90, 105, 125, 200"),
        "{refusal}"
    );
}

#[test]
fn gauges_without_a_row_are_refused_with_the_list() {
    let refusal = ampacity(WireSize::Awg(20), None)
        .expect_err("no row")
        .to_string();
    assert!(refusal.contains("no ampacity for 20 AWG"), "{refusal}");
    assert!(refusal.contains("18, 16, 14"), "{refusal}");
    assert!(refusal.contains("ampacity-cfr"), "{refusal}");
}

#[test]
fn thicker_wire_and_better_insulation_never_carry_less() {
    let columns = [60.0, 75.0, 80.0, 90.0, 105.0, 125.0, 200.0];
    let sizes = standard_sizes(SizeSystem::Awg).expect("tables");
    for size in &sizes {
        for pair in columns.windows(2) {
            assert!(
                amps(*size, Some(pair[0])) <= amps(*size, Some(pair[1])),
                "{size}"
            );
        }
    }
    for pair in sizes.windows(2) {
        for column in columns {
            assert!(amps(pair[0], Some(column)) < amps(pair[1], Some(column)));
        }
    }
}

/// Better insulation does not always buy current.
#[test]
fn the_known_ties_of_table_5_are_kept() {
    let tie = |number: i32, a: f64, b: f64| {
        near(
            amps(WireSize::Awg(number), Some(a)),
            amps(WireSize::Awg(number), Some(b)),
            1e-12,
        );
    };
    for number in [18, 16, 14, 12, 10] {
        tie(number, 60.0, 75.0);
    }
    for number in [18, 16] {
        tie(number, 90.0, 105.0);
    }
    for number in [18, 10] {
        tie(number, 125.0, 200.0);
    }
    for number in [8, 6, 1, 0, -1, -2, -3] {
        tie(number, 80.0, 90.0);
    }
}

#[test]
fn metric_wire_takes_iso_10133_unverified_and_the_row_below() {
    let found = ampacity(WireSize::Metric(2.5), Some(Celsius::new(105.0))).expect("listed");
    near(found.value.current.si(), 35.0, 1e-12);
    assert_eq!(found.source.standing, Standing::Unverified);
    let between = ampacity(WireSize::Metric(3.0), Some(Celsius::new(105.0))).expect("between");
    near(between.value.current.si(), 35.0, 1e-12);
    assert_eq!(between.value.row, WireSize::Metric(2.5));
    // The 85 column serves 90 too.
    near(amps(WireSize::Metric(2.5), Some(90.0)), 30.0, 1e-12);
    for mm2 in [0.5, 150.0] {
        let refusal = ampacity(WireSize::Metric(mm2), None)
            .expect_err("outside")
            .to_string();
        assert!(refusal.contains("0.75 to 120 mm2"), "{refusal}");
    }
}

/// The factors follow from the heat balance of a wire that may reach T in 50
/// instead of 30 degrees C: a consistency check. The 200 degree factor of the
/// law is the exception.
#[test]
fn engine_space_factors_follow_from_the_heat_balance_within_one_percent() {
    for degc in [60.0, 75.0, 80.0, 90.0, 105.0, 125.0] {
        let factor = engine_space_factor(SizeSystem::Awg, Some(Celsius::new(degc)))
            .expect("listed")
            .value;
        near(factor, ((degc - 50.0) / (degc - 30.0)).sqrt(), 0.01);
    }
    let hot = engine_space_factor(SizeSystem::Awg, Some(Celsius::new(200.0))).expect("listed");
    near(hot.value, 1.0, 1e-12);
    assert_eq!(hot.source.standing, Standing::Unverified);
    let read = engine_space_factor(SizeSystem::Awg, Some(Celsius::new(105.0))).expect("listed");
    assert_eq!(read.source.standing, Standing::Published);
}

#[test]
fn engine_space_column_of_the_reprints_is_the_product() {
    // Reprints of the guideline: 14 AWG 29.8, 10 AWG 51.0, ...
    let reprint = table("ampacity-cfr-105c-reprint").expect("there");
    for row in 0..reprint.rows.len() {
        let number = gauge_number(reprint.text(row, "size").expect("size")).expect("gauge");
        let outside = amps(WireSize::Awg(number), Some(105.0));
        near(
            outside,
            reprint.number(row, "outside_a").expect("figure"),
            1e-12,
        );
        if let Some(inside) = reprint.number(row, "inside_decimal_a") {
            assert!((outside * 0.85 - inside).abs() < 0.051, "{number}");
        }
        let whole = reprint.number(row, "inside_whole_a").expect("figure");
        assert!((outside * 0.85 - whole).abs() < 1.0, "{number}");
    }
}

#[test]
fn iso_10133_bars_60_degree_insulation_from_engine_spaces() {
    let refusal = engine_space_factor(SizeSystem::Metric, None)
        .expect_err("barred")
        .to_string();
    assert!(refusal.contains("70 degrees C or better"), "{refusal}");
    let factor = engine_space_factor(SizeSystem::Metric, Some(Celsius::new(105.0)));
    near(factor.expect("listed").value, 0.86, 1e-12);
}

#[test]
fn bundle_factors_give_the_printed_currents() {
    // A cable table with the same factors: 14 AWG 35, 24.5, 21, 17.5 A.
    for (count, amps) in [
        (1, 35.0),
        (2, 35.0),
        (3, 24.5),
        (4, 21.0),
        (6, 21.0),
        (7, 17.5),
        (24, 17.5),
        (25, 14.0),
    ] {
        near(
            35.0 * bundle_factor(count).expect("listed").value,
            amps,
            1e-12,
        );
    }
    assert!(bundle_factor(0).is_err());
    // Six wires in an engine space: 17.9 A.
    near(
        35.0 * 0.85 * bundle_factor(6).expect("listed").value,
        17.9,
        0.005,
    );
}

#[test]
fn table_5_stays_at_or_below_the_older_free_air_list_up_to_8_awg() {
    let nec = table("ampacity-nec-free-air").expect("there");
    for number in [18, 16, 14, 12, 10, 8] {
        let row = nec.find("size", &number.to_string()).expect("row");
        let free = nec.number(row, "insulation_60_a").expect("figure");
        assert!(amps(WireSize::Awg(number), Some(60.0)) <= free, "{number}");
    }
    // Size 6 and thicker are that list unchanged.
    for (name, number) in [("6", 6), ("4", 4), ("2", 2), ("1/0", 0), ("4/0", -3)] {
        let row = nec.find("size", name).expect("row");
        for (column, degc) in [("insulation_60_a", 60.0), ("insulation_75_a", 75.0)] {
            let free = nec.number(row, column).expect("figure");
            near(amps(WireSize::Awg(number), Some(degc)), free, 1e-12);
        }
    }
}

#[test]
fn aircraft_fuses_stay_at_or_below_the_80_degree_column() {
    // FAA AC 43.13-1B table 11-3 against table 5, 18 AWG and thicker.
    let chart = table("protectors-faa-11-3").expect("there");
    for row in 0..chart.rows.len() {
        let number = gauge_number(chart.text(row, "size").expect("size")).expect("gauge");
        if number <= 18 {
            let fuse = chart.number(row, "fuse_a").expect("fuse");
            assert!(fuse <= amps(WireSize::Awg(number), Some(80.0)), "{number}");
        }
    }
}

#[test]
fn recalled_free_air_currents_are_near_the_manual_that_was_read() {
    let mil = table("ampacity-mil-w-5088").expect("there");
    let far: Vec<&str> = rows_with_both(mil)
        .into_iter()
        .filter(|(_, a, b)| (a / b - 1.0).abs() > 0.04)
        .map(|(size, _, _)| size)
        .collect();
    // 20 AWG is the one known to disagree.
    assert_eq!(far, ["20"]);
}

fn rows_with_both(mil: &Table) -> Vec<(&str, f64, f64)> {
    (0..mil.rows.len())
        .filter_map(|row| {
            Some((
                mil.text(row, "size")?,
                mil.number(row, "free_air_a")?,
                mil.number(row, "manual_a")?,
            ))
        })
        .collect()
}

#[test]
fn motor_switches_at_12_v_want_twice_the_current() {
    let factors = table("switch-factors-faa-11-4").expect("there");
    let row = (0..factors.rows.len())
        .find(|&row| {
            factors.number(row, "nominal_v") == Some(12.0)
                && factors.text(row, "load") == Some("motor")
        })
        .expect("row");
    near(
        5.0 * factors.number(row, "factor").expect("factor"),
        10.0,
        1e-12,
    );
}
