//! Published worked examples and charts.

use super::{ask, chosen, of, solved};
use ampkeel::circuit::Place;
use ampkeel::quantities::{Amps, Fraction, SizeSystem, Volts, WireSize};
use ampkeel::tables::conductors::gauge_number;
use ampkeel::tables::drops::DropBasis;
use ampkeel::tables::fuses::FuseStyle;
use ampkeel::tables::table;
use ampkeel::wiring::{Basis, Binding, Limit, ceilings, least_for};
use approx::assert_relative_eq;

fn volts(current_a: f64, total_ft: f64, limit_v: f64) -> String {
    let mut request = ask(current_a, total_ft);
    request.limit = Limit::Volts(Volts::new(limit_v));
    request.supply = Volts::new(28.0);
    chosen(&request)
}

/// FAA AC 43.13-1B, table 11-7 rows 1 to 3 and example 1 of paragraph 11-66.
/// Its own resistances differ by a few percent; the sizes agree.
#[test]
fn sizes_of_the_aircraft_circular() {
    assert_eq!(volts(20.0, 107.0, 1.0), "6 AWG");
    assert_eq!(volts(20.0, 90.0, 0.5), "4 AWG");
    assert_eq!(volts(20.0, 88.0, 4.0), "12 AWG");
    assert_eq!(volts(20.0, 50.0, 1.0), "8 AWG");
}

/// FAA AC 43.13-1B, table 11-8 row 2: 0.366 V is printed, the product of its
/// own inputs is 0.491 V; the printed figure is a misprint and must not match.
#[test]
fn a_misprint_of_the_aircraft_circular_is_not_reproduced() {
    let drop_v = of(&solved(&ask(20.0, 2.0 * 9.75)), "10 AWG").rule_drop_v;
    assert_relative_eq!(drop_v, 0.4914 * 10.75 / 13.08, max_relative = 0.01);
    assert!((drop_v - 0.366).abs() > 0.02, "{drop_v}");
}

/// A marine catalogue, 10 A over 21 ft: 12 AWG by formula; its 3 % chart steps
/// up to the next printed length and says 10. Its 10 % chart says 16.
#[test]
fn the_bilge_pump_of_a_catalogue() {
    let mut request = ask(10.0, 21.0);
    assert_eq!(chosen(&request), "12 AWG");
    request.limit = Limit::Share(Fraction::new(0.10));
    assert_eq!(chosen(&request), "16 AWG");
}

/// A refrigeration maker's page: 45 A over 40 ft at 10 % is 1800 foot-amperes,
/// 8 AWG.
#[test]
fn foot_amperes_of_a_refrigeration_maker() {
    let mut request = ask(45.0, 40.0);
    request.limit = Limit::Share(Fraction::new(0.10));
    assert_eq!(chosen(&request), "8 AWG");
}

/// ISO 10133 annex formula: 10 A over 6.4 m of 2.5 mm2 is 0.42 V.
#[test]
fn the_metric_formula() {
    let mut request = ask(10.0, 6.4 / 0.3048);
    request.sizes = SizeSystem::Metric;
    request.basis = DropBasis::Iso;
    let drop_v = of(&solved(&request), "2.5 mm2").rule_drop_v;
    assert_relative_eq!(drop_v, 0.0164 * 10.0 * 6.4 / 2.5, max_relative = 1e-9);
    assert_relative_eq!(drop_v, 0.42, max_relative = 0.005);
}

/// A web article forgets the return wire: 0.265 V printed for 1.5 mm2, 4.17 A,
/// 5 m one way; the loop loses 0.53 V.
#[test]
fn the_return_wire_is_counted() {
    let mut request = ask(4.17, 10.0 / 0.3048);
    request.sizes = SizeSystem::Metric;
    let study = solved(&request);
    let candidate = of(&study, "1.5 mm2");
    assert!(candidate.rule_drop_v > 1.7 * 0.265, "{candidate:?}");
    let meter_v = candidate.drop_v.expect("volts");
    assert!((0.5..0.65).contains(&meter_v), "{meter_v}");
}

/// Reprint of the Coast Guard guideline: 10 AWG, 105 degC, engine space: 51 A.
#[test]
fn ampacity_in_the_engine_space() {
    let mut request = ask(6.0, 28.0);
    request.place = Place::EngineSpace;
    let study = solved(&request);
    assert_relative_eq!(of(&study, "10 AWG").lies.carries.si(), 51.0, epsilon = 0.1);
}

/// 33 CFR 183.455(c)(1) with table 5, ISO and the aircraft chart, side by side:
/// 10 AWG at 105 degC allows 90, 60 and 30 A; 16 AWG 37.5 A.
#[test]
fn the_rules_on_the_fuse_disagree_as_published() {
    let study = solved(&ask(6.0, 28.0));
    let rows = ceilings(&of(&study, "10 AWG").lies, FuseStyle::HighCurrentBlade).expect("tables");
    let limit = |basis| {
        let row = rows.iter().find(|row| row.basis == basis).expect("a row");
        row.limit.map(Amps::si)
    };
    assert_eq!(limit(Basis::Cfr), Some(90.0));
    assert_eq!(limit(Basis::Iso), Some(60.0));
    assert_eq!(limit(Basis::Ours), Some(60.0));
    assert_eq!(limit(Basis::Faa), Some(30.0));
    let mut hot = ask(6.0, 28.0);
    hot.place = Place::EngineSpace;
    let study = solved(&hot);
    let rows = ceilings(&of(&study, "16 AWG").lies, FuseStyle::Blade).expect("tables");
    let largest: Vec<Option<f64>> = rows.iter().map(|row| row.largest.map(Amps::si)).collect();
    assert_eq!(rows[1].limit.map(Amps::si), Some(37.5));
    assert_relative_eq!(rows[0].limit.expect("ours").si(), 21.25, epsilon = 1e-9);
    assert_eq!(largest, [Some(20.0), Some(35.0), Some(20.0), Some(10.0)]);
}

/// FAA AC 43.13-1B table 11-3: every fuse is at or below 33 CFR table 5 at
/// 80 degC for its gauge, 18 AWG and larger, and shows up as our ceiling.
#[test]
fn the_aircraft_chart_row_by_row() {
    let printed = [
        ("18", 10.0),
        ("16", 10.0),
        ("14", 15.0),
        ("12", 20.0),
        ("10", 30.0),
        ("8", 50.0),
        ("6", 70.0),
        ("4", 70.0),
        ("2", 100.0),
        ("1", 150.0),
        ("1/0", 150.0),
    ];
    let mut request = ask(6.0, 28.0);
    request.insulation = Some(ampkeel::quantities::Celsius::new(80.0));
    let study = solved(&request);
    for (gauge, fuse_a) in printed {
        let lies = &of(&study, &format!("{gauge} AWG")).lies;
        let rows = ceilings(lies, FuseStyle::Strip).expect("tables");
        assert_eq!(rows[3].limit.map(Amps::si), Some(fuse_a), "{gauge}");
        assert!(fuse_a <= lies.table.si(), "{gauge}");
    }
}

/// 80 % of the rating: a branch-circuit quiz (16 A wants 20 A) and the lamps of
/// a boating forum (1.587 A wants 2 A, 4.762 A wants 7.5 A).
#[test]
fn the_least_fuse_of_a_load() {
    for (load_a, fuse_a) in [(16.0, 20.0), (32.0, 40.0), (1.587, 2.0), (4.762, 7.5)] {
        let least = least_for(FuseStyle::Blade, Amps::new(load_a)).expect("tables");
        assert_eq!(least.map(Amps::si), Some(fuse_a), "{load_a}");
    }
}

/// Trade reprint of the ABYC E-11 chart, 3 % at 12 V: within one size of every
/// cell. The chart has no 3 AWG, so that counts as 2.
#[test]
fn the_printed_chart_within_one_size() {
    const STOCKED: [i32; 14] = [18, 16, 14, 12, 10, 8, 6, 4, 2, 1, 0, -1, -2, -3];
    let chart = table("drop-chart-3-percent").expect("the chart");
    let rank = |number: i32| {
        let number = if number == 3 { 2 } else { number };
        let at = STOCKED.iter().position(|stocked| *stocked == number);
        i32::try_from(at.expect("a gauge")).expect("small")
    };
    let mut cells = 0;
    for row in 0..chart.rows.len() {
        let length_ft = chart.number(row, "length_ft").expect("a length");
        for column in chart.columns.iter().skip(1) {
            let amps = column.name.trim_start_matches("amps_");
            let mut request = ask(amps.parse().expect("amperes"), length_ft);
            request.place = Place::Bench;
            let printed = chart.text(row, &column.name).and_then(gauge_number);
            let study = solved(&request);
            let Some(WireSize::Awg(ours)) = study.chosen().map(|chosen| chosen.size) else {
                panic!("{length_ft} ft {amps} A: no size");
            };
            let apart = rank(ours) - rank(printed.expect("a gauge"));
            assert!(
                apart.abs() <= 1,
                "{length_ft} ft {amps} A: {ours}, {printed:?}"
            );
            cells += 1;
        }
    }
    assert_eq!(cells, 104);
}

/// 33 CFR 183.425(e), ABYC E-11: single wires are 16 AWG or thicker; ISO 10133
/// 7.7: 1 mm2.
#[test]
fn what_binds_is_named() {
    let binding = |request| {
        let study = solved(&request);
        (
            study.chosen().expect("a size").size.to_string(),
            study.binding,
        )
    };
    assert_eq!(
        binding(ask(1.0, 4.0)),
        ("16 AWG".to_owned(), Binding::SmallestSize)
    );
    assert_eq!(
        binding(ask(6.0, 28.0)),
        ("12 AWG".to_owned(), Binding::Drop)
    );
    let mut hot = ask(30.0, 2.0);
    hot.insulation = None;
    assert_eq!(binding(hot), ("10 AWG".to_owned(), Binding::Ampacity));
    // 14 AWG carries 20 A at 60 degC, but 17 A wants a 25 A fuse.
    let mut fused = ask(17.0, 2.0);
    fused.insulation = None;
    assert_eq!(binding(fused), ("12 AWG".to_owned(), Binding::Fuse));
}

/// Steady copper temperature returns the class at the table's own current.
#[test]
fn the_wire_stands_at_its_class_at_the_table_current() {
    let study = solved(&ask(6.0, 28.0));
    for candidate in &study.candidates {
        let settled = candidate.lies.model.temperature(candidate.lies.table.si());
        assert_relative_eq!(settled.si(), 105.0, epsilon = 1e-6);
    }
}
