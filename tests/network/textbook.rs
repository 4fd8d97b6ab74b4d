//! Networks with a known closed-form answer.

use ampkeel::network::{
    Branch, Charger, Conductor, ConstantCurrent, ConstantPower, Diode, Failure, HeatedConductor,
    HeatedLink, Law, Motor, Parameters, Plan, Point, Settings, Solver, Start, Supply,
};

use super::near;

/// Solves one lane of `(parameters, from, to)` branches with node 0 as reference.
pub(crate) fn solve(nodes: usize, parts: &[(Parameters, usize, usize)]) -> Result<Point, Failure> {
    let branches: Vec<Branch> = parts
        .iter()
        .map(|&(parameters, from, to)| Branch {
            law: parameters.law(),
            from,
            to,
        })
        .collect();
    let mut solver = Solver::<1>::new(&Plan::new(nodes, 0, &branches).unwrap());
    for (branch, (parameters, ..)) in parts.iter().enumerate() {
        solver.set_all(branch, *parameters).unwrap();
    }
    solver
        .solve(&Start::flat(12.0), &Settings::report())
        .point(0)
}

pub(crate) fn ohm(resistance_ohm: f64) -> Parameters {
    Conductor::from_resistance(resistance_ohm).unwrap().into()
}

pub(crate) fn battery(emf_v: f64, r_ohm: f64) -> Parameters {
    Supply {
        emf_v,
        r_ohm,
        r_charge_ohm: r_ohm,
    }
    .into()
}

fn power(p_w: f64, v_cut_v: f64) -> Parameters {
    ConstantPower { p_w, v_cut_v }.into()
}

const DIODE: Diode = Diode {
    v_drop_v: 0.7,
    r_on_ohm: 0.01,
};

const MOTOR: Motor = Motor {
    r_ohm: 0.5,
    v_brush_v: 1.0,
    i_brush_a: 2.0,
    k_v_s: 0.03,
    torque_forward_nm: 0.3,
    torque_reverse_nm: 0.1,
    b_nm_s: 0.0,
    c2_nm_s2: 1e-6,
};

/// Battery, open contact, thirty links of a microhm, leak to ground: a divider of
/// `r_off` and `leak` whose every link end is known.
#[test]
fn floating_ladder_keeps_twelve_digits_from_kilohm_to_teraohm() {
    for r_off in [1e3, 1e6, 1e9, 1e12] {
        for leak in [1e3, 1e6, 1e9, 1e12] {
            let mut parts = vec![(battery(12.0, 0.01), 1, 0), (ohm(r_off), 1, 2)];
            parts.extend((0..30).map(|link| (ohm(1e-6), 2 + link, 3 + link)));
            parts.push((ohm(leak), 32, 0));
            let point = solve(33, &parts).unwrap();
            let total = 0.01 + r_off + 30e-6 + leak;
            for link in 0..=30 {
                let exact = 12.0 * (leak + 1e-6 * f64::from(30 - link)) / total;
                near(point.voltages_v[2 + link as usize], exact, 1e-12 * exact);
            }
        }
    }
}

#[test]
fn floating_ladder_behind_a_truly_open_contact_is_at_ground() {
    let mut parts = vec![(battery(12.0, 0.01), 1, 0), (Conductor::OPEN.into(), 1, 2)];
    parts.extend((0..30).map(|link| (ohm(1e-6), 2 + link, 3 + link)));
    parts.push((ohm(1e6), 32, 0));
    let point = solve(33, &parts).unwrap();
    assert!(point.voltages_v[2..].iter().all(|&v| v == 0.0));
    assert!(point.connected.iter().all(|&connected| connected));
    near(point.voltages_v[1], 12.0, 1e-12);
}

#[test]
fn two_supplies_share_a_load_by_their_resistances() {
    // Millman: (12.6/0.01 + 12.0/0.02) / (1/0.01 + 1/0.02 + 1/2).
    let point = solve(
        2,
        &[
            (battery(12.6, 0.01), 1, 0),
            (battery(12.0, 0.02), 1, 0),
            (ohm(2.0), 1, 0),
        ],
    )
    .unwrap();
    let v = (12.6 / 0.01 + 12.0 / 0.02) / (1.0 / 0.01 + 1.0 / 0.02 + 0.5);
    near(point.voltages_v[1], v, 1e-12);
    near(point.currents_a[0], (v - 12.6) / 0.01, 1e-9);
}

#[test]
fn supply_charges_through_its_charging_resistance() {
    let weak = Supply {
        emf_v: 12.0,
        r_ohm: 0.01,
        r_charge_ohm: 0.5,
    };
    let point = solve(2, &[(battery(14.0, 0.1), 1, 0), (weak.into(), 1, 0)]).unwrap();
    near(point.currents_a[1], 2.0 / 0.6, 1e-12);
}

#[test]
fn reversed_supply_pushes_the_current_round_the_other_way() {
    let point = solve(2, &[(battery(12.0, 0.5), 0, 1), (ohm(5.5), 1, 0)]).unwrap();
    near(point.currents_a[1], -2.0, 1e-13);
    near(point.voltages_v[1], -11.0, 1e-12);
}

#[test]
fn heated_conductor_settles_where_heat_and_resistance_agree() {
    let wire = HeatedConductor {
        r_joint_ohm: 0.05,
        r_ambient_ohm: 0.1,
        kappa_per_a2: 1e-3,
        extra_a2: 40.0,
    };
    let point = solve(2, &[(battery(12.0, 1.0), 1, 0), (wire.into(), 1, 0)]).unwrap();
    let i = point.currents_a[1];
    let r = 0.05 + 0.1 / (1.0 - 1e-3 * (i * i + 40.0));
    near(i * (1.0 + r), 12.0, 1e-11);
}

#[test]
fn heated_conductor_holds_its_current_below_the_pole() {
    let wire = HeatedConductor {
        r_joint_ohm: 0.001,
        r_ambient_ohm: 0.1,
        kappa_per_a2: 1e-3,
        extra_a2: 0.0,
    };
    for volts in [12.0, 120.0, 1e4] {
        let point = solve(2, &[(battery(volts, 1e-3), 1, 0), (wire.into(), 1, 0)]).unwrap();
        let i = point.currents_a[1];
        assert!(i < 1000.0_f64.sqrt());
        near(
            i * (0.001 + 0.001 + 0.1 / (1.0 - 1e-3 * i * i)),
            volts,
            1e-8 * volts,
        );
    }
}

#[test]
fn heated_link_rises_with_current_up_to_its_cap() {
    let link = HeatedLink {
        r_contacts_ohm: 0.001,
        r_cold_ohm: 0.005,
        beta_per_a2: 1e-3,
        extra_a2: 10.0,
        rise_cap: 0.5,
    };
    let cold_side = solve(2, &[(battery(12.0, 0.7), 1, 0), (link.into(), 1, 0)])
        .unwrap()
        .currents_a[1];
    near(
        cold_side * (0.7 + 0.001 + 0.005 * (1.0 + 1e-3 * (cold_side * cold_side + 10.0))),
        12.0,
        1e-11,
    );
    let capped = solve(2, &[(battery(12.0, 0.1), 1, 0), (link.into(), 1, 0)])
        .unwrap()
        .currents_a[1];
    near(capped, 12.0 / (0.1 + 0.001 + 0.0075), 1e-10);
}

#[test]
fn constant_current_behind_an_open_ground_draws_nothing() {
    let load: Parameters = ConstantCurrent {
        i_a: 2.0,
        v_cut_v: 6.0,
    }
    .into();
    let point = solve(
        3,
        &[
            (battery(12.0, 0.01), 1, 0),
            (load, 1, 2),
            (Conductor::OPEN.into(), 2, 0),
        ],
    )
    .unwrap();
    near(point.currents_a[1], 0.0, 1e-9);
    near(point.voltages_v[2], 12.0, 1e-8);
    assert!(!point.connected[2] || point.voltages_v[2] > 11.0);
}

/// A supply `e` behind `r` gives at most `e^2 / (4 r)`, at half its voltage.
#[test]
fn constant_power_just_below_the_most_a_supply_gives_takes_the_upper_root() {
    let (e, r) = (12.0_f64, 0.5);
    let most = e * e / (4.0 * r);
    for part in [0.1, 0.9, 0.999, 0.999_999] {
        let p = part * most;
        let point = solve(2, &[(battery(e, r), 1, 0), (power(p, 2.0), 1, 0)]).unwrap();
        let upper = 0.5 * (e + (e * e - 4.0 * r * p).sqrt());
        near(point.voltages_v[1], upper, 1e-8);
        assert!(point.collapsed.is_empty());
    }
}

#[test]
fn constant_power_just_above_the_most_a_supply_gives_collapses_to_its_linear_law() {
    let (e, r, cut) = (12.0_f64, 0.5, 2.0);
    let most = e * e / (4.0 * r);
    for part in [1.0001, 1.01, 1.5, 10.0] {
        let p = part * most;
        let point = solve(2, &[(battery(e, r), 1, 0), (power(p, cut), 1, 0)]).unwrap();
        assert_eq!(point.collapsed, [1]);
        let conductance = p / (cut * cut);
        near(point.voltages_v[1], e / (1.0 + r * conductance), 1e-10);
    }
}

#[test]
fn only_the_constant_power_branch_with_the_bad_joint_collapses() {
    let point = solve(
        3,
        &[
            (battery(12.0, 0.05), 1, 0),
            (power(60.0, 6.0), 1, 0),
            (ohm(3.0), 1, 2),
            (power(30.0, 6.0), 2, 0),
        ],
    )
    .unwrap();
    assert_eq!(point.collapsed, [3]);
    assert!(point.voltages_v[1] > 11.0);
}

#[test]
fn constant_power_without_supply_is_off_and_not_collapsed() {
    let point = solve(
        3,
        &[
            (battery(12.0, 0.05), 1, 0),
            (Conductor::OPEN.into(), 1, 2),
            (power(30.0, 6.0), 2, 0),
        ],
    );
    let point = point.unwrap();
    assert!(point.collapsed.is_empty());
    assert!(point.voltages_v[2].abs() < 1e-12);
}

#[test]
fn motor_turns_where_torque_and_back_emf_agree() {
    let point = solve(2, &[(battery(12.0, 0.01), 1, 0), (MOTOR.into(), 1, 0)]).unwrap();
    let (v, i) = (point.voltages_v[1], point.currents_a[1]);
    let speed = MOTOR.speed_rad_s(v);
    near(
        MOTOR.k_v_s * i,
        MOTOR.torque_forward_nm + MOTOR.c2_nm_s2 * speed * speed,
        1e-12,
    );
    near(
        v,
        MOTOR.r_ohm * i + MOTOR.v_brush_v + MOTOR.k_v_s * speed,
        1e-12,
    );
}

#[test]
fn motor_stalls_until_its_current_gives_more_than_the_torque() {
    // Torque needs 10 A, so 0.5 ohm x 10 A + 1 V of brushes = 6 V.
    for (volts, turns) in [
        (5.9, false),
        (5.999_999, false),
        (6.000_001, true),
        (6.1, true),
    ] {
        let point = solve(2, &[(battery(volts, 1e-9), 1, 0), (MOTOR.into(), 1, 0)]).unwrap();
        assert_eq!(MOTOR.speed_rad_s(volts) > 0.0, turns);
        near(
            point.currents_a[1],
            if turns {
                point.currents_a[1].max(10.0)
            } else {
                (volts - 1.0) / 0.5
            },
            1e-5,
        );
    }
    // Backward 0.1 N m needs 3.33 A: 2.67 V.
    assert!(MOTOR.speed_rad_s(-2.66) == 0.0 && MOTOR.speed_rad_s(-2.68) < 0.0);
}

#[test]
fn locked_motor_is_its_winding_and_brushes() {
    let locked = Motor {
        torque_forward_nm: f64::INFINITY,
        torque_reverse_nm: f64::INFINITY,
        ..MOTOR
    };
    let point = solve(2, &[(battery(12.0, 0.5), 1, 0), (locked.into(), 1, 0)]).unwrap();
    near(point.currents_a[1], 11.0, 1e-12);
    let backward = solve(2, &[(battery(12.0, 0.5), 0, 1), (locked.into(), 1, 0)]).unwrap();
    near(backward.currents_a[1], -11.0, 1e-12);
    assert!(locked.speed_rad_s(12.0) == 0.0);
}

#[test]
fn lightly_loaded_brushes_drop_in_proportion() {
    // 0.03 N m needs 1 A, half the current of full contact, so half the drop: 0.5 V.
    let light = Motor {
        torque_forward_nm: 0.03,
        b_nm_s: 0.0,
        c2_nm_s2: 0.0,
        ..MOTOR
    };
    let point = solve(2, &[(battery(12.0, 0.5), 1, 0), (light.into(), 1, 0)]).unwrap();
    near(point.currents_a[1], 1.0, 1e-12);
    near(light.speed_rad_s(11.5), (11.5 - 0.5 - 0.5) / 0.03, 1e-9);
}

#[test]
fn diode_bridge_feeds_the_load_the_same_way_for_both_polarities() {
    let bridge = |emf_v: f64| {
        solve(
            4,
            &[
                (battery(emf_v, 0.01), 1, 0),
                (DIODE.into(), 1, 2),
                (DIODE.into(), 0, 2),
                (DIODE.into(), 3, 1),
                (DIODE.into(), 3, 0),
                (ohm(6.0), 2, 3),
            ],
        )
        .unwrap()
    };
    let (forward, backward) = (bridge(12.0), bridge(-12.0));
    near(forward.currents_a[5], backward.currents_a[5], 1e-9);
    // Two knees and their slope resistances stand between supply and load.
    near(
        forward.currents_a[5],
        (12.0 - 1.4) / (6.0 + 0.01 + 0.02),
        1e-4,
    );
}

#[test]
fn diode_leaks_at_most_two_microamperes() {
    for diode in [
        DIODE,
        Diode {
            v_drop_v: 0.3,
            r_on_ohm: 1.0,
        },
        Diode {
            v_drop_v: 0.0,
            r_on_ohm: 1e-3,
        },
    ] {
        let point = solve(2, &[(battery(-12.0, 0.01), 1, 0), (diode.into(), 1, 0)]).unwrap();
        assert!(point.currents_a[1] < 0.0 && point.currents_a[1] > -2e-6);
    }
}

#[test]
fn part_with_its_own_supply_is_solved_against_itself_and_marked_not_connected() {
    let point = solve(
        5,
        &[
            (battery(12.0, 0.1), 1, 0),
            (ohm(5.9), 1, 0),
            (battery(6.0, 0.5), 2, 3),
            (ohm(2.5), 2, 3),
        ],
    )
    .unwrap();
    assert_eq!(point.connected, [true, true, false, false, false]);
    near(point.voltages_v[2] - point.voltages_v[3], 5.0, 1e-13);
    near(point.currents_a[3], 2.0, 1e-12);
    near(point.currents_a[1], 2.0, 1e-12);
}

#[test]
fn node_with_no_branch_is_not_connected() {
    let point = solve(3, &[(battery(12.0, 0.1), 1, 0)]).unwrap();
    assert_eq!(point.connected, [true, true, false]);
    assert_eq!(point.voltages_v[2], 0.0);
}

#[test]
fn branch_on_one_node_carries_its_own_current_and_disturbs_nothing() {
    let point = solve(
        2,
        &[
            (battery(12.0, 0.1), 1, 0),
            (ohm(5.9), 1, 0),
            (battery(6.0, 0.5), 1, 1),
        ],
    )
    .unwrap();
    near(point.currents_a[1], 2.0, 1e-12);
    near(point.currents_a[2], -12.0, 1e-12);
}

#[test]
fn duty_scales_the_mean_current() {
    let branches = [
        Branch {
            law: Law::Supply,
            from: 1,
            to: 0,
        },
        Branch {
            law: Law::ConstantCurrent,
            from: 1,
            to: 0,
        },
    ];
    let mut solver = Solver::<1>::new(&Plan::new(2, 0, &branches).unwrap());
    solver.set_all(0, battery(12.0, 0.5)).unwrap();
    solver
        .set_all(
            1,
            ConstantCurrent {
                i_a: 4.0,
                v_cut_v: 6.0,
            },
        )
        .unwrap();
    solver.set_scale(1, 0, 0.25).unwrap();
    let point = solver
        .solve(&Start::flat(12.0), &Settings::report())
        .point(0)
        .unwrap();
    near(point.voltages_v[1], 11.5, 1e-12);
}

#[test]
fn a_charger_that_a_start_has_at_its_limit_or_at_rest_settles_in_a_few_steps() {
    // 15 A at most, 0.02 ohm of droop; the battery 12.6 V and 0.42 ohm, the load 2 A.
    // Regulating, v = (v_set / 0.02 + 12.6 / 0.42 - 2) / (1 / 0.02 + 1 / 0.42); at the
    // limit, v = 12.6 + 0.42 (15 - 2). A plain step from one flat piece lands on the other.
    let laws = [Law::Supply, Law::Charger, Law::ConstantCurrent];
    let branches = laws.map(|law| Branch {
        law,
        from: 1,
        to: 0,
    });
    let plan = Plan::new(2, 0, &branches).expect("a plan");
    let mut solver = Solver::<8>::new(&plan);
    let battery = Supply {
        emf_v: 12.6,
        r_ohm: 0.42,
        r_charge_ohm: 0.42,
    };
    let load = ConstantCurrent {
        i_a: 2.0,
        v_cut_v: 6.0,
    };
    solver.set_all(0, battery).expect("set");
    solver.set_all(2, load).expect("set");
    let set_v = |lane: usize| 13.0 + 0.9 * lane as f64;
    for lane in 0..8 {
        let charger = Charger {
            i_max_a: 15.0,
            v_set_v: set_v(lane),
            r_regulator_ohm: 0.02,
        };
        solver.set(1, lane, charger).expect("set");
    }
    for start_v in [11.0, 14.2, 19.0] {
        let start = Start::From {
            voltages_v: vec![0.0, start_v],
            currents_a: vec![0.0; 3],
        };
        let outcome = solver.solve(&start, &Settings::report());
        for lane in 0..8 {
            let regulating = (set_v(lane) / 0.02 + 12.6 / 0.42 - 2.0) / (1.0 / 0.02 + 1.0 / 0.42);
            let expected = f64::min(regulating, 12.6 + 0.42 * 13.0);
            let point = outcome.point(lane).expect("a point");
            near(point.voltages_v[1], expected, 1e-9);
            assert!(
                point.steps <= 4,
                "from {start_v} V, lane {lane}: {} steps",
                point.steps
            );
        }
    }
}
