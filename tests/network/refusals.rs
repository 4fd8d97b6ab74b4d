//! What plans and solvers refuse.

use ampkeel::network::{
    Branch, Charger, Conductor, ConstantCurrent, ConstantPower, Diode, HeatedConductor, HeatedLink,
    Lamp, Law, Motor, Parameters, Plan, PlanError, SetError, Solver, Supply,
};

#[allow(clippy::too_many_lines, reason = "one entry a parameter")]
/// Parameters of every law with `x` in each place in turn.
fn each_with(x: f64) -> Vec<Parameters> {
    let motor = Motor {
        r_ohm: 1.0,
        v_brush_v: 1.0,
        i_brush_a: 1.0,
        k_v_s: 0.03,
        torque_forward_nm: 0.1,
        torque_reverse_nm: 0.1,
        b_nm_s: 0.0,
        c2_nm_s2: 1e-6,
    };
    let wire = HeatedConductor {
        r_joint_ohm: 0.1,
        r_ambient_ohm: 0.1,
        kappa_per_a2: 1e-3,
        extra_a2: 1.0,
    };
    let link = HeatedLink {
        r_contacts_ohm: 0.1,
        r_cold_ohm: 0.1,
        beta_per_a2: 1e-3,
        extra_a2: 1.0,
        rise_cap: 1.0,
    };
    vec![
        Conductor { conductance_s: x }.into(),
        HeatedConductor {
            r_joint_ohm: x,
            ..wire
        }
        .into(),
        HeatedConductor {
            r_ambient_ohm: x,
            ..wire
        }
        .into(),
        HeatedConductor {
            kappa_per_a2: x,
            ..wire
        }
        .into(),
        HeatedConductor {
            extra_a2: x,
            ..wire
        }
        .into(),
        HeatedLink {
            r_contacts_ohm: x,
            ..link
        }
        .into(),
        HeatedLink {
            r_cold_ohm: x,
            ..link
        }
        .into(),
        HeatedLink {
            beta_per_a2: x,
            ..link
        }
        .into(),
        HeatedLink {
            extra_a2: x,
            ..link
        }
        .into(),
        HeatedLink {
            rise_cap: x,
            ..link
        }
        .into(),
        Supply {
            emf_v: x,
            r_ohm: 1.0,
            r_charge_ohm: 1.0,
        }
        .into(),
        Supply {
            emf_v: 12.0,
            r_ohm: x,
            r_charge_ohm: 1.0,
        }
        .into(),
        Supply {
            emf_v: 12.0,
            r_ohm: 1.0,
            r_charge_ohm: x,
        }
        .into(),
        Charger {
            i_max_a: x,
            v_set_v: 14.0,
            r_regulator_ohm: 0.01,
        }
        .into(),
        Charger {
            i_max_a: 5.0,
            v_set_v: x,
            r_regulator_ohm: 0.01,
        }
        .into(),
        Charger {
            i_max_a: 5.0,
            v_set_v: 14.0,
            r_regulator_ohm: x,
        }
        .into(),
        Motor { r_ohm: x, ..motor }.into(),
        Motor {
            v_brush_v: x,
            ..motor
        }
        .into(),
        Motor {
            i_brush_a: x,
            ..motor
        }
        .into(),
        Motor { k_v_s: x, ..motor }.into(),
        Motor {
            b_nm_s: 0.0,
            c2_nm_s2: x,
            ..motor
        }
        .into(),
        Lamp {
            v_nominal_v: x,
            i_nominal_a: 1.0,
        }
        .into(),
        Lamp {
            v_nominal_v: 12.0,
            i_nominal_a: x,
        }
        .into(),
        ConstantPower {
            p_w: x,
            v_cut_v: 6.0,
        }
        .into(),
        ConstantPower {
            p_w: 10.0,
            v_cut_v: x,
        }
        .into(),
        ConstantCurrent {
            i_a: x,
            v_cut_v: 6.0,
        }
        .into(),
        ConstantCurrent {
            i_a: 1.0,
            v_cut_v: x,
        }
        .into(),
        Diode {
            v_drop_v: x,
            r_on_ohm: 0.01,
        }
        .into(),
        Diode {
            v_drop_v: 0.7,
            r_on_ohm: x,
        }
        .into(),
    ]
}

#[test]
fn parameters_that_are_infinite_or_not_a_number_are_refused() {
    for x in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        for parameters in each_with(x) {
            assert!(parameters.check().is_err(), "{parameters:?}");
        }
    }
    let torque = |torque_forward_nm| {
        let motor = Motor {
            r_ohm: 1.0,
            v_brush_v: 1.0,
            i_brush_a: 1.0,
            k_v_s: 0.03,
            torque_forward_nm,
            torque_reverse_nm: 0.1,
            b_nm_s: 0.0,
            c2_nm_s2: 1e-6,
        };
        Parameters::from(motor).check()
    };
    assert!(torque(f64::NAN).is_err() && torque(-1.0).is_err() && torque(f64::INFINITY).is_ok());
}

#[test]
fn ordinary_parameters_are_taken() {
    for parameters in each_with(1.0) {
        let is_beyond_pole =
            matches!(parameters, Parameters::HeatedConductor(wire) if wire.kappa_per_a2 == 1.0);
        assert_eq!(
            parameters.check().is_ok(),
            !is_beyond_pole,
            "{parameters:?}"
        );
    }
}

#[test]
fn resistance_of_zero_is_refused_in_words() {
    let error = Conductor::from_resistance(0.0).unwrap_err();
    assert_eq!(
        error.to_string(),
        "`resistance_ohm` is 0, it must be finite and above zero"
    );
    for x in [f64::NAN, f64::INFINITY, -1.0, 1e-320] {
        assert!(Conductor::from_resistance(x).is_err());
    }
}

#[test]
fn node_that_does_not_exist_is_refused() {
    let branch = Branch {
        law: Law::Conductor,
        from: 0,
        to: 7,
    };
    assert_eq!(
        Plan::new(3, 0, &[branch]).unwrap_err(),
        PlanError::NoNode {
            branch: 0,
            node: 7,
            nodes: 3
        }
    );
    assert_eq!(
        Plan::new(3, 3, &[]).unwrap_err(),
        PlanError::NoReference {
            reference: 3,
            nodes: 3
        }
    );
    assert!(Plan::new(0, 0, &[]).is_err());
}

#[test]
fn parameters_for_another_law_branch_or_lane_are_refused() {
    let plan = Plan::new(
        2,
        0,
        &[Branch {
            law: Law::Lamp,
            from: 1,
            to: 0,
        }],
    )
    .unwrap();
    let mut solver = Solver::<2>::new(&plan);
    assert_eq!(
        solver.set_all(0, Conductor::OPEN).unwrap_err(),
        SetError::OtherLaw {
            branch: 0,
            planned: Law::Lamp,
            given: Law::Conductor
        }
    );
    let lamp = Lamp {
        v_nominal_v: 12.0,
        i_nominal_a: 1.0,
    };
    assert_eq!(
        solver.set_all(1, lamp).unwrap_err(),
        SetError::NoBranch { branch: 1 }
    );
    assert_eq!(
        solver.set(0, 2, lamp).unwrap_err(),
        SetError::NoLane { lane: 2 }
    );
    assert!(solver.set_scale(0, 0, -1.0).is_err() && solver.set_scale(0, 0, f64::NAN).is_err());
}
