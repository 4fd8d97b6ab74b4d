//! Reference harnesses against values from a general circuit simulator.

use ampkeel::network::{Settings, Solver, Start};

use super::harness::{self, Harness};

/// Voltages the simulator printed for nodes 1 and 4 of each thermal harness.
const PRINTED_V: [(f64, f64); 2] = [
    (12.513_095_74, 12.277_687_90),
    (12.209_078_95, 11.773_283_38),
];

fn check_printed<const W: usize>(harness: &Harness, (v1, v4): (f64, f64)) {
    let mut solver = Solver::<W>::new(&harness.plan());
    harness.fill(&mut solver);
    let outcome = solver.solve(&Start::flat(12.0), &Settings::report());
    for lane in 0..W {
        let point = outcome.point(lane).unwrap();
        assert!(
            (point.voltages_v[1] - v1).abs() < 1e-8,
            "{}",
            point.voltages_v[1]
        );
        assert!(
            (point.voltages_v[4] - v4).abs() < 1e-8,
            "{}",
            point.voltages_v[4]
        );
        assert!(point.residual_a < 1e-9, "{}", point.residual_a);
        assert!(point.steps <= 5, "{} steps", point.steps);
    }
}

#[test]
fn harness_of_forty_nodes_has_the_voltages_a_simulator_prints() {
    check_printed::<1>(&harness::forty(true), PRINTED_V[0]);
    check_printed::<8>(&harness::forty(true), PRINTED_V[0]);
}

#[test]
fn harness_of_two_hundred_nodes_has_the_voltages_a_simulator_prints() {
    check_printed::<1>(&harness::two_hundred(true), PRINTED_V[1]);
    check_printed::<8>(&harness::two_hundred(true), PRINTED_V[1]);
}
