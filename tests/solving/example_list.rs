//! Every example of the collection: where it is tested, or why not.
//!
//! The collection has three files: worked examples of wires, of devices, and of
//! fuses. A row names the test that holds the published answer, below `tests`;
//! or gives the reason why nothing of what exists can answer it yet.

use std::fs;
use std::path::Path;

/// Where an example stands.
enum Place {
    /// File below `tests` and test in it.
    Test(&'static str, &'static str),
    /// Why there is none.
    Not(&'static str),
}

use Place::{Not, Test};

const NO_TIME: &str = "needs currents over time; steady states only so far";
const NO_AIRCRAFT: &str = "aircraft derating chain, in no rule of a boat";
const ALGEBRA: &str = "arithmetic on given figures, answered by no command";

const WIRES: [(&str, Place); 26] = [
    (
        "ac4313_t11_7_1",
        Test("wiring/examples", "sizes_of_the_aircraft_circular"),
    ),
    (
        "ac4313_t11_7_2",
        Test("wiring/examples", "sizes_of_the_aircraft_circular"),
    ),
    (
        "ac4313_t11_7_3",
        Test("wiring/examples", "sizes_of_the_aircraft_circular"),
    ),
    (
        "ac4313_t11_8_1",
        Test(
            "tables/drops",
            "aircraft_drop_examples_follow_from_table_11_9",
        ),
    ),
    (
        "ac4313_t11_8_2",
        Test(
            "wiring/examples",
            "a_misprint_of_the_aircraft_circular_is_not_reproduced",
        ),
    ),
    (
        "ac4313_t11_8_4",
        Test(
            "tables/drops",
            "aircraft_drop_examples_follow_from_table_11_9",
        ),
    ),
    (
        "ac4313_ex1",
        Test("wiring/examples", "sizes_of_the_aircraft_circular"),
    ),
    ("ac4313_ex2a", Not(NO_AIRCRAFT)),
    (
        "textbook_2_0",
        Test("tables/drops", "long_thin_wire_limits_a_dead_short"),
    ),
    (
        "textbook_14awg",
        Test("tables/drops", "long_thin_wire_limits_a_dead_short"),
    ),
    (
        "textbook_temp",
        Test("solving/examples/wires", "long_leads_take_their_share"),
    ),
    (
        "train_16awg",
        Test(
            "solving/examples/wires",
            "the_low_voltage_circuit_of_a_training_page",
        ),
    ),
    (
        "marine_bilge_chart3",
        Test("wiring/examples", "the_bilge_pump_of_a_catalogue"),
    ),
    (
        "marine_bilge_chart10",
        Test("wiring/examples", "the_bilge_pump_of_a_catalogue"),
    ),
    (
        "marine_famps_1",
        Test("wiring/examples", "foot_amperes_of_a_refrigeration_maker"),
    ),
    (
        "cfr_engine_10",
        Test("wiring/examples", "ampacity_in_the_engine_space"),
    ),
    (
        "cfr_fuse_16",
        Test(
            "wiring/examples",
            "the_rules_on_the_fuse_disagree_as_published",
        ),
    ),
    (
        "onderdonk_16",
        Test(
            "tables/conductors",
            "misprinted_melting_current_is_not_reproduced",
        ),
    ),
    (
        "preece_16",
        Not("Preece's rule of fusing currents is in no table"),
    ),
    (
        "icea_90_250",
        Test(
            "tables/conductors",
            "icea_factor_is_within_one_percent_of_the_iec_form",
        ),
    ),
    (
        "icea_105_250",
        Test(
            "tables/conductors",
            "icea_factor_is_within_one_percent_of_the_iec_form",
        ),
    ),
    (
        "temp_1_21",
        Test("tables/conductors", "copper_warms_as_the_formula_page_says"),
    ),
    (
        "metric_1_5",
        Test("wiring/examples", "the_return_wire_is_counted"),
    ),
    ("neets_rect", Not("rectangular conductors are none of ours")),
    ("iso_formula", Test("wiring/examples", "the_metric_formula")),
    (
        "switch_derate",
        Test(
            "tables/ampacity",
            "motor_switches_at_12_v_want_twice_the_current",
        ),
    ),
];

const DEVICES: [(&str, Place); 45] = [
    (
        "em_ex_7_9_k022",
        Test("solving/examples/motors", "shaft_power_of_a_textbook_motor"),
    ),
    (
        "em_ex_11_5a",
        Not("torque that falls with speed is no load of ours"),
    ),
    (
        "em_small_9v",
        Not("figures of a motor from its measurements: no command does that"),
    ),
    (
        "se_4_1",
        Test(
            "solving/examples/motors",
            "speed_without_load_is_volts_over_the_constant",
        ),
    ),
    (
        "se_4_2",
        Test("solving/examples/motors", "speed_from_a_stall_torque"),
    ),
    (
        "se_4_4",
        Test(
            "solving/examples/motors",
            "a_device_in_series_takes_its_volts_from_a_held_motor",
        ),
    ),
    (
        "se_4_5",
        Test(
            "solving/examples/motors",
            "speed_under_torque_at_half_the_volts",
        ),
    ),
    ("up_series_10a", Not("120 V; a file's volts end at 100")),
    ("up_series_20a", Not("120 V; a file's volts end at 100")),
    ("up_problem_series", Not("120 V; a file's volts end at 100")),
    (
        "up_12v_clamped",
        Test(
            "solving/examples/motors",
            "a_motor_held_still_draws_its_volts_over_its_winding",
        ),
    ),
    (
        "cp_toy_6v",
        Test(
            "solving/examples/motors",
            "a_motor_held_still_draws_its_volts_over_its_winding",
        ),
    ),
    ("hw_115v", Not("115 V; a file's volts end at 100")),
    (
        "hw_pmdc_12v",
        Test(
            "solving/examples/motors",
            "a_small_motor_from_its_speed_and_stall_torque",
        ),
    ),
    (
        "hw_kt012",
        Test(
            "solving/examples/motors",
            "a_motor_whose_printed_constants_disagree",
        ),
    ),
    ("ct_21_16", Not("350 V; a file's volts end at 100")),
    ("ct_21_21", Not("200 V; a file's volts end at 100")),
    (
        "up_starter",
        Test(
            "solving/examples/cranking",
            "a_textbook_starter_with_good_and_corroded_connections",
        ),
    ),
    (
        "up_starter_corroded",
        Test(
            "solving/examples/cranking",
            "a_textbook_starter_with_good_and_corroded_connections",
        ),
    ),
    (
        "starter_source_fit",
        Test(
            "solving/examples/cranking",
            "the_starter_draw_of_a_manual_lies_on_one_straight_line",
        ),
    ),
    (
        "up_10_1_a",
        Test(
            "solving/examples/batteries",
            "a_textbook_battery_under_light_and_heavy_load_and_aged",
        ),
    ),
    (
        "up_10_1_b",
        Test(
            "solving/examples/batteries",
            "a_textbook_battery_under_light_and_heavy_load_and_aged",
        ),
    ),
    (
        "up_10_1_d",
        Test(
            "solving/examples/batteries",
            "a_textbook_battery_under_light_and_heavy_load_and_aged",
        ),
    ),
    (
        "up_r_from_step",
        Test(
            "solving/examples/batteries",
            "a_step_of_load_moves_the_volts_by_the_inside_resistance",
        ),
    ),
    (
        "ph_100a",
        Test(
            "solving/examples/batteries",
            "a_starter_battery_at_a_hundred_amperes",
        ),
    ),
    (
        "ct_4_1",
        Test(
            "solving/examples/batteries",
            "eight_cells_in_series_and_side_by_side",
        ),
    ),
    (
        "relay_16v_85",
        Test(
            "solving/examples/coils",
            "the_pull_in_of_an_application_note",
        ),
    ),
    (
        "relay_16v_100",
        Test(
            "solving/examples/coils",
            "the_pull_in_of_an_application_note",
        ),
    ),
    (
        "relay_90_85",
        Test(
            "solving/examples/coils",
            "a_hot_relay_needs_more_volts_as_its_maker_says",
        ),
    ),
    (
        "relay_parallel",
        Test("solving/examples/coils", "a_suppressed_coil_measures_less"),
    ),
    (
        "ct_3_11",
        Not("coefficient 0.004 exactly; copper here has 1/254.5 at 20 degC, 0.4 % off"),
    ),
    (
        "ct_3_12",
        Not("temperature from resistance: no command does that"),
    ),
    (
        "ct_3_13",
        Not("coefficient 0.004 at 0 degC exactly; copper here has 1/234.5"),
    ),
    (
        "stator_temp",
        Not("a charger is a current, its winding is not modelled"),
    ),
    ("ct_17_7", Not(NO_TIME)),
    ("ct_17_8", Not(NO_TIME)),
    ("ct_17_9", Not(NO_TIME)),
    ("ct_17_10", Not(NO_TIME)),
    (
        "dmm_10v",
        Test(
            "solving/examples/meters",
            "an_ammeter_in_the_circuit_lowers_what_it_reads",
        ),
    ),
    (
        "dmm_1ohm",
        Test(
            "solving/examples/meters",
            "an_ammeter_in_the_circuit_lowers_what_it_reads",
        ),
    ),
    (
        "ct_10_4",
        Test(
            "solving/examples/meters",
            "an_ammeter_in_the_circuit_lowers_what_it_reads",
        ),
    ),
    (
        "ct_10_5",
        Test("solving/examples/meters", "a_voltmeter_loads_a_divider"),
    ),
    (
        "fuse_mv_mini15",
        Test(
            "solving/examples/wires",
            "a_millivolt_across_a_fuse_is_the_current_of_the_chart",
        ),
    ),
    (
        "ripple_speed",
        Not("speed from current ripple: reading waveforms comes later"),
    ),
    (
        "pump_jam_case",
        Test(
            "solving/examples/motors",
            "a_jammed_fuel_pump_draws_its_locked_current_through_its_fuse",
        ),
    ),
];

const FUSES: [(&str, Place); 16] = [
    (
        "faa_chart",
        Test("wiring/examples", "the_aircraft_chart_row_by_row"),
    ),
    (
        "chip_fuse_inrush",
        Not(
            "a maker's own factor for inrush pulses; ours is tested by pulse_fit_stays_near_the_chart",
        ),
    ),
    ("rule_80", Test("fusing/opening", "the_steady_limit")),
    (
        "rule_125",
        Test("wiring/examples", "the_least_fuse_of_a_load"),
    ),
    (
        "lamps_12v",
        Test(
            "solving/examples/wires",
            "lamps_of_a_boating_forum_draw_their_watts_over_their_volts",
        ),
    ),
    (
        "battery_short_circuit",
        Not("short-circuit currents belong to `protect`, not built yet"),
    ),
    (
        "din_type_E_test_currents",
        Test("fusing/opening", "the_windows_of_type_e"),
    ),
    (
        "breaker_10A",
        Test("tables/fuses", "breaker_window_is_that_of_the_10_a_example"),
    ),
    (
        "mv_to_current",
        Test(
            "solving/examples/wires",
            "a_millivolt_across_a_fuse_is_the_current_of_the_chart",
        ),
    ),
    ("gG_selectivity", Not("industrial gG fuses are in no table")),
    (
        "dc_motor_nec",
        Test("tables/fuses", "rules_for_motor_and_wire_are_read_by_name"),
    ),
    (
        "boat_10awg",
        Test(
            "wiring/examples",
            "the_rules_on_the_fuse_disagree_as_published",
        ),
    ),
    ("pulse_parabola", Not(ALGEBRA)),
    ("nec_d8", Not("three-phase motors are none of ours")),
    (
        "ul_20A_glass",
        Test("fusing/opening", "twenty_amperes_of_glass"),
    ),
    (
        "case_bilge_pump",
        Test("fusing/opening", "the_over_fused_bilge_pump"),
    ),
];

#[test]
fn every_example_is_listed_once_and_its_test_exists() {
    let tests = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests");
    let mut seen = std::collections::BTreeSet::new();
    for (id, place) in WIRES.iter().chain(&DEVICES).chain(&FUSES) {
        assert!(seen.insert(id), "{id} stands twice");
        match place {
            Test(file, test) => {
                let text = fs::read_to_string(tests.join(format!("{file}.rs"))).unwrap();
                let is_there = text.contains(&format!("#[test]\nfn {test}() {{"));
                assert!(is_there, "{id}: no test `{test}` in {file}");
            }
            Not(why) => assert!(why.len() > 10, "{id}: no reason"),
        }
    }
}
