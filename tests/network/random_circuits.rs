//! Laws of circuits on random networks of every kind of branch.

use ampkeel::network::{
    Branch, Charger, Conductor, ConstantCurrent, ConstantPower, Diode, Failure, HeatedConductor,
    HeatedLink, Lamp, Law, Motor, Parameters, Plan, Point, Settings, Solver, Start, Supply,
};
use proptest::prelude::*;

use super::near;

/// One random branch.
#[derive(Debug, Clone)]
struct Part {
    parameters: Parameters,
    from: usize,
    to: usize,
    scale: f64,
}

/// A magnitude between `10^low` and `10^high`.
fn magnitude(low: f64, high: f64) -> impl Strategy<Value = f64> {
    (low..high).prop_map(|exponent| 10_f64.powf(exponent))
}

fn metal() -> impl Strategy<Value = Parameters> {
    prop_oneof![
        3 => magnitude(-4.0, 3.0).prop_map(|r| Conductor::from_resistance(r).unwrap().into()),
        1 => Just(Conductor::OPEN.into()),
        3 => (magnitude(-6.0, -2.0), magnitude(-3.0, -1.0), 0.0..3e-4, 0.0..50.0).prop_map(
            |(r_joint_ohm, r_ambient_ohm, kappa_per_a2, extra_a2)| {
                HeatedConductor { r_joint_ohm, r_ambient_ohm, kappa_per_a2, extra_a2 }.into()
            }
        ),
        2 => (magnitude(-5.0, -2.0), magnitude(-3.0, -1.0), magnitude(-5.0, -2.0), 0.0..20.0, 0.0..2.0).prop_map(
            |(r_contacts_ohm, r_cold_ohm, beta_per_a2, extra_a2, rise_cap)| {
                HeatedLink { r_contacts_ohm, r_cold_ohm, beta_per_a2, extra_a2, rise_cap }.into()
            }
        ),
    ]
}

fn motor() -> impl Strategy<Value = Parameters> {
    (
        0.01..2.0,
        0.0..2.0,
        0.1..5.0,
        0.01..0.05,
        prop_oneof![Just(f64::INFINITY), 0.0..0.5],
        0.0..3e-6,
    )
        .prop_map(
            |(r_ohm, v_brush_v, i_brush_a, k_v_s, torque_forward_nm, c2_nm_s2)| {
                let torque_reverse_nm = 0.5 * torque_forward_nm;
                Motor {
                    r_ohm,
                    v_brush_v,
                    i_brush_a,
                    k_v_s,
                    torque_forward_nm,
                    torque_reverse_nm,
                    b_nm_s: 0.0,
                    c2_nm_s2,
                }
                .into()
            },
        )
}

fn load() -> impl Strategy<Value = Parameters> {
    prop_oneof![
        (1.0..80.0, 3.0..9.0).prop_map(|(p_w, v_cut_v)| ConstantPower { p_w, v_cut_v }.into()),
        (0.1..5.0, 3.0..9.0).prop_map(|(i_a, v_cut_v)| ConstantCurrent { i_a, v_cut_v }.into()),
        (0.1..5.0).prop_map(|i_nominal_a| Lamp {
            v_nominal_v: 12.0,
            i_nominal_a
        }
        .into()),
        motor(),
        (0.2..0.9, 0.005..0.1).prop_map(|(v_drop_v, r_on_ohm)| Diode { v_drop_v, r_on_ohm }.into()),
    ]
}

fn supply() -> impl Strategy<Value = Parameters> {
    prop_oneof![
        3 => (6.0..14.0, magnitude(-3.0, -0.5), magnitude(-3.0, 0.0))
            .prop_map(|(emf_v, r_ohm, r_charge_ohm)| Supply { emf_v, r_ohm, r_charge_ohm }.into()),
        1 => (1.0..40.0, 13.0..15.0, magnitude(-3.0, -1.0)).prop_map(|(i_max_a, v_set_v, r_regulator_ohm)| {
            Charger { i_max_a, v_set_v, r_regulator_ohm }.into()
        }),
    ]
}

const NODES: usize = 10;

fn circuit() -> impl Strategy<Value = Vec<Part>> {
    let scale = prop_oneof![6 => Just(1.0), 1 => Just(0.0), 1 => 0.05..1.0];
    let part = prop_oneof![6 => metal(), 4 => load(), 1 => supply()];
    let any = (part, 0..NODES, 0..NODES, scale).prop_map(|(parameters, from, to, scale)| Part {
        parameters,
        from,
        to,
        scale,
    });
    (supply(), proptest::collection::vec(any, 3..30)).prop_map(|(first, mut parts)| {
        parts.push(Part {
            parameters: first,
            from: 1,
            to: 0,
            scale: 1.0,
        });
        parts
    })
}

fn plan(parts: &[Part], renumber: impl Fn(usize) -> usize) -> Plan {
    let branches: Vec<Branch> = parts
        .iter()
        .map(|part| Branch {
            law: part.parameters.law(),
            from: renumber(part.from),
            to: renumber(part.to),
        })
        .collect();
    Plan::new(NODES, renumber(0), &branches).unwrap()
}

fn fill<const W: usize>(solver: &mut Solver<W>, lane: usize, parts: &[Part]) {
    for (branch, part) in parts.iter().enumerate() {
        solver.set(branch, lane, part.parameters).unwrap();
        solver.set_scale(branch, lane, part.scale).unwrap();
    }
}

fn solve(parts: &[Part]) -> Result<Point, Failure> {
    let mut solver = Solver::<1>::new(&plan(parts, |node| node));
    fill(&mut solver, 0, parts);
    solver
        .solve(&Start::flat(12.0), &Settings::report())
        .point(0)
}

fn has_constant_power(parts: &[Part]) -> bool {
    parts
        .iter()
        .any(|part| part.parameters.law() == Law::ConstantPower)
}

/// Bits of everything a lane reports.
fn bits<const W: usize>(solver: &mut Solver<W>, lane: usize) -> Vec<u64> {
    let outcome = solver.solve(&Start::flat(12.0), &Settings::report());
    let Ok(point) = outcome.point(lane) else {
        return vec![];
    };
    point
        .voltages_v
        .iter()
        .chain(&point.currents_a)
        .chain([&point.residual_a])
        .map(|x| x.to_bits())
        .collect()
}

/// The point of the one lane. Loads of constant power may have none, and then
/// the refusal says that the supply collapses; all other laws always have one.
macro_rules! point_or_refused {
    ($outcome:expr, $parts:expr) => {
        match $outcome {
            Ok(point) => point,
            Err(Failure::Collapse { .. }) if has_constant_power($parts) => return Ok(()),
            Err(failure) => panic!("{failure}"),
        }
    };
}

proptest! {
    #![proptest_config(crate::cases(600))]

    #[test]
    fn currents_balance_at_every_node_and_powers_in_sum(parts in circuit()) {
        let point = point_or_refused!(solve(&parts), &parts);
        let mut leaving = [0.0; NODES];
        let mut size = [0.0; NODES];
        let (mut power, mut power_size) = (0.0, 0.0);
        for (part, &i) in parts.iter().zip(&point.currents_a) {
            if part.from == part.to {
                continue;
            }
            let (from, to) = (point.voltages_v[part.from], point.voltages_v[part.to]);
            for (node, sign) in [(part.from, 1.0), (part.to, -1.0)] {
                leaving[node] += sign * i;
                // Currents through small resistances carry the rounding of the voltages.
                size[node] += i.abs() + 1e5 * (from.abs() + to.abs());
            }
            power += i * (from - to);
            power_size += (i * (from - to)).abs();
        }
        for (sum, size) in leaving.iter().zip(&size) {
            prop_assert!(sum.abs() <= 1e-9 + 64.0 * f64::EPSILON * size, "off by {sum:e}");
        }
        prop_assert!(power.abs() <= 1e-9 * power_size + 1e-7, "power off by {power:e} of {power_size:e}");
    }

    #[test]
    fn one_lane_and_eight_lanes_give_the_same_bits(parts in circuit(), others in proptest::collection::vec(0.5..1.5, 7)) {
        let plan = plan(&parts, |node| node);
        let mut one = Solver::<1>::new(&plan);
        let mut eight = Solver::<8>::new(&plan);
        let perturbed = |factor: f64| {
            let mut parts = parts.clone();
            for (at, part) in parts.iter_mut().enumerate() {
                match &mut part.parameters {
                    Parameters::Conductor(inner) => inner.conductance_s *= factor,
                    Parameters::Supply(inner) => inner.emf_v *= factor,
                    Parameters::ConstantPower(inner) => inner.p_w *= factor,
                    Parameters::Motor(inner) => inner.k_v_s *= factor,
                    _ => if at % 3 == 0 { part.scale *= factor },
                }
            }
            parts
        };
        let lanes: Vec<Vec<Part>> = [1.0].iter().chain(&others).map(|&factor| perturbed(factor)).collect();
        for (lane, parts) in lanes.iter().enumerate() {
            fill(&mut eight, lane, parts);
        }
        for (lane, parts) in lanes.iter().enumerate() {
            fill(&mut one, 0, parts);
            prop_assert_eq!(bits(&mut one, 0), bits(&mut eight, lane), "lane {}", lane);
        }
    }

    #[test]
    fn numbering_of_nodes_does_not_matter(parts in circuit(), by in 1..NODES) {
        prop_assume!(!has_constant_power(&parts));
        let point = point_or_refused!(solve(&parts), &parts);
        let renumber = |node: usize| (3 * node + by) % NODES;
        let mut solver = Solver::<1>::new(&plan(&parts, renumber));
        fill(&mut solver, 0, &parts);
        let other = point_or_refused!(solver.solve(&Start::flat(12.0), &Settings::report()).point(0), &parts);
        for node in 0..NODES {
            prop_assert_eq!(point.connected[node], other.connected[renumber(node)]);
        }
        for (one, other) in point.currents_a.iter().zip(&other.currents_a) {
            prop_assert!((one - other).abs() <= 1e-7 + 1e-9 * one.abs(), "{one} {other}");
        }
    }

    #[test]
    fn warm_start_from_the_answer_finds_it_again(parts in circuit()) {
        let mut solver = Solver::<1>::new(&plan(&parts, |node| node));
        fill(&mut solver, 0, &parts);
        let point = point_or_refused!(solver.solve(&Start::flat(12.0), &Settings::report()).point(0), &parts);
        let again = point_or_refused!(solver.solve(&Start::from_point(&point), &Settings::report()).point(0), &parts);
        if !has_constant_power(&parts) {
            for (one, other) in point.currents_a.iter().zip(&again.currents_a) {
                prop_assert!((one - other).abs() <= 1e-7 + 1e-9 * one.abs(), "{one} {other}");
            }
        }
    }

    #[test]
    fn transfer_is_the_same_both_ways(parts in circuit(), a in 1..NODES, b in 1..NODES) {
        prop_assume!(!has_constant_power(&parts));
        let mut solver = Solver::<1>::new(&plan(&parts, |node| node));
        fill(&mut solver, 0, &parts);
        let point = point_or_refused!(solver.solve(&Start::flat(12.0), &Settings::report()).point(0), &parts);
        prop_assume!(point.connected[a] && point.connected[b]);
        let linear = solver.small_signal();
        let there = linear.transfer_ohm(a, 0)[b][0];
        let back = linear.transfer_ohm(b, 0)[a][0];
        if there.is_finite() && back.is_finite() {
            prop_assert!((there - back).abs() <= 1e-10 * (there.abs() + back.abs()) + 1e-300, "{there} {back}");
        }
    }
}

#[test]
fn transfer_is_the_change_that_a_small_load_makes() {
    let harness = super::harness::forty(true);
    let mut branches = harness.branches.clone();
    branches.push(Branch {
        law: Law::ConstantCurrent,
        from: 10,
        to: 13,
    });
    let mut solver = Solver::<1>::new(&Plan::new(harness.nodes, 0, &branches).unwrap());
    harness.fill(&mut solver);
    let before = solver
        .solve(&Start::flat(12.0), &Settings::report())
        .point(0)
        .unwrap();
    let predicted = solver.small_signal().transfer_ohm(10, 13);
    // The law is odd: from 10 to 13 the voltage is negative, so it pushes into 10.
    let tiny_a = 1e-4;
    solver
        .set_all(
            harness.branches.len(),
            ConstantCurrent {
                i_a: tiny_a,
                v_cut_v: 0.1,
            },
        )
        .unwrap();
    let after = solver
        .solve(&Start::flat(12.0), &Settings::report())
        .point(0)
        .unwrap();
    let sign = -after.currents_a[harness.branches.len()].signum();
    for (node, transfer) in predicted.iter().enumerate().take(harness.nodes) {
        let change = after.voltages_v[node] - before.voltages_v[node];
        near(change, sign * tiny_a * transfer[0], 1e-8);
    }
}
