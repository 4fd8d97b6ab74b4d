//! Every example of the collection: where it is tested, or why not.
//!
//! The collection has three files: worked examples of wires, of devices, and of
//! fuses. A row names the test that holds the published answer, its file below
//! `tests` first; or why nothing of what exists can answer it yet.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

const LIST: &str = "
ac4313_t11_7_1 wiring/examples::sizes_of_the_aircraft_circular
ac4313_t11_7_2 wiring/examples::sizes_of_the_aircraft_circular
ac4313_t11_7_3 wiring/examples::sizes_of_the_aircraft_circular
ac4313_t11_8_1 tables/drops::aircraft_drop_examples_follow_from_table_11_9
ac4313_t11_8_2 wiring/examples::a_misprint_of_the_aircraft_circular_is_not_reproduced
ac4313_t11_8_4 tables/drops::aircraft_drop_examples_follow_from_table_11_9
ac4313_ex1 wiring/examples::sizes_of_the_aircraft_circular
ac4313_ex2a not: aircraft derating chain, in no rule of a boat
textbook_2_0 tables/drops::long_thin_wire_limits_a_dead_short
textbook_14awg tables/drops::long_thin_wire_limits_a_dead_short
textbook_temp solving/examples/wires::long_leads_take_their_share
train_16awg solving/examples/wires::the_low_voltage_circuit_of_a_training_page
marine_bilge_chart3 wiring/examples::the_bilge_pump_of_a_catalogue
marine_bilge_chart10 wiring/examples::the_bilge_pump_of_a_catalogue
marine_famps_1 wiring/examples::foot_amperes_of_a_refrigeration_maker
cfr_engine_10 wiring/examples::ampacity_in_the_engine_space
cfr_fuse_16 wiring/examples::the_rules_on_the_fuse_disagree_as_published
onderdonk_16 tables/conductors::misprinted_melting_current_is_not_reproduced
preece_16 not: Preece's rule of fusing currents is in no table
icea_90_250 tables/conductors::icea_factor_is_within_one_percent_of_the_iec_form
icea_105_250 tables/conductors::icea_factor_is_within_one_percent_of_the_iec_form
temp_1_21 tables/conductors::copper_warms_as_the_formula_page_says
metric_1_5 wiring/examples::the_return_wire_is_counted
neets_rect not: rectangular conductors are none of ours
iso_formula wiring/examples::the_metric_formula
switch_derate tables/ampacity::motor_switches_at_12_v_want_twice_the_current

em_ex_7_9_k022 solving/examples/motors::shaft_power_of_a_textbook_motor
em_ex_11_5a not: torque that falls with speed is no load of ours
em_small_9v not: figures of a motor from its measurements: no command does that
se_4_1 solving/examples/motors::speed_without_load_is_volts_over_the_constant
se_4_2 solving/examples/motors::speed_from_a_stall_torque
se_4_4 solving/examples/motors::a_device_in_series_takes_its_volts_from_a_held_motor
se_4_5 solving/examples/motors::speed_under_torque_at_half_the_volts
up_series_10a not: 120 V; a file's volts end at 100
up_series_20a not: 120 V; a file's volts end at 100
up_problem_series not: 120 V; a file's volts end at 100
up_12v_clamped solving/examples/motors::a_motor_held_still_draws_its_volts_over_its_winding
cp_toy_6v solving/examples/motors::a_motor_held_still_draws_its_volts_over_its_winding
hw_115v not: 115 V; a file's volts end at 100
hw_pmdc_12v solving/examples/motors::a_small_motor_from_its_speed_and_stall_torque
hw_kt012 solving/examples/motors::a_motor_whose_printed_constants_disagree
ct_21_16 not: 350 V; a file's volts end at 100
ct_21_21 not: 200 V; a file's volts end at 100
up_starter solving/examples/cranking::a_textbook_starter_with_good_and_corroded_connections
up_starter_corroded solving/examples/cranking::a_textbook_starter_with_good_and_corroded_connections
starter_source_fit solving/examples/cranking::the_starter_draw_of_a_manual_lies_on_one_straight_line
up_10_1_a solving/examples/batteries::a_textbook_battery_under_light_and_heavy_load_and_aged
up_10_1_b solving/examples/batteries::a_textbook_battery_under_light_and_heavy_load_and_aged
up_10_1_d solving/examples/batteries::a_textbook_battery_under_light_and_heavy_load_and_aged
up_r_from_step solving/examples/batteries::a_step_of_load_moves_the_volts_by_the_inside_resistance
ph_100a solving/examples/batteries::a_starter_battery_at_a_hundred_amperes
ct_4_1 solving/examples/batteries::eight_cells_in_series_and_side_by_side
relay_16v_85 solving/examples/coils::the_pull_in_of_an_application_note
relay_16v_100 solving/examples/coils::the_pull_in_of_an_application_note
relay_90_85 solving/examples/coils::a_hot_relay_needs_more_volts_as_its_maker_says
relay_parallel solving/examples/coils::a_suppressed_coil_measures_less
ct_3_11 not: coefficient 0.004 exactly; copper here has 1/254.5 at 20 degC, 0.4 % off
ct_3_12 not: temperature from resistance: no command does that
ct_3_13 not: coefficient 0.004 at 0 degC exactly; copper here has 1/234.5
stator_temp procedures/trade_figures_of_parts::a_stator_s_ohms_go_with_its_temperature
ct_17_7 not: a coil's inductance is in no part of a file
ct_17_8 not: a coil's inductance is in no part of a file
ct_17_9 not: a coil's inductance is in no part of a file
ct_17_10 not: a coil's inductance is in no part of a file
dmm_10v solving/examples/meters::an_ammeter_in_the_circuit_lowers_what_it_reads
dmm_1ohm solving/examples/meters::an_ammeter_in_the_circuit_lowers_what_it_reads
ct_10_4 solving/examples/meters::an_ammeter_in_the_circuit_lowers_what_it_reads
ct_10_5 solving/examples/meters::a_voltmeter_loads_a_divider
fuse_mv_mini15 solving/examples/wires::a_millivolt_across_a_fuse_is_the_current_of_the_chart
ripple_speed not: speed from current ripple: reading waveforms comes later
pump_jam_case solving/examples/motors::a_jammed_fuel_pump_draws_its_locked_current_through_its_fuse

faa_chart wiring/examples::the_aircraft_chart_row_by_row
chip_fuse_inrush not: a maker's own factor for inrush pulses; ours is tested by pulse_fit_stays_near_the_chart
rule_80 fusing/opening::the_steady_limit
rule_125 wiring/examples::the_least_fuse_of_a_load
lamps_12v solving/examples/wires::lamps_of_a_boating_forum_draw_their_watts_over_their_volts
battery_short_circuit not: short-circuit currents belong to `protect`, not built yet
din_type_E_test_currents fusing/opening::the_windows_of_type_e
breaker_10A tables/fuses::breaker_window_is_that_of_the_10_a_example
mv_to_current solving/examples/wires::a_millivolt_across_a_fuse_is_the_current_of_the_chart
gG_selectivity not: industrial gG fuses are in no table
dc_motor_nec tables/fuses::rules_for_motor_and_wire_are_read_by_name
boat_10awg wiring/examples::the_rules_on_the_fuse_disagree_as_published
pulse_parabola not: arithmetic on given figures, answered by no command
nec_d8 not: three-phase motors are none of ours
ul_20A_glass fusing/opening::twenty_amperes_of_glass
case_bilge_pump fusing/opening::the_over_fused_bilge_pump
";

#[test]
fn every_example_is_listed_once_and_its_test_exists() {
    let tests = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests");
    let mut seen = BTreeSet::new();
    for row in LIST.lines().filter(|row| !row.is_empty()) {
        let (id, place) = row.split_once(' ').unwrap();
        assert!(seen.insert(id), "{id} stands twice");
        if place.starts_with("not: ") {
            continue;
        }
        let (file, test) = place.split_once("::").unwrap();
        let text = fs::read_to_string(tests.join(format!("{file}.rs"))).unwrap();
        let is_there = text.contains(&format!("#[test]\nfn {test}() {{"));
        assert!(is_there, "{id}: no test `{test}` in {file}");
    }
    assert_eq!(seen.len(), 26 + 45 + 16, "wires, devices, fuses");
}
