//! The two reference harnesses (`tests/cross_check/harness/*.net`) as networks.
//!
//! Shared with the bench. Element letters are explained in `generate.py`.

#![allow(dead_code, reason = "tests and bench use different parts of it")]

use ampkeel::network::{
    Branch, Conductor, ConstantCurrent, ConstantPower, HeatedConductor, Lamp, Law, Motor,
    Parameters, Plan, Solver, Supply,
};

/// One harness: nodes with 0 the reference, branches and their parameters.
pub(crate) struct Harness {
    pub(crate) nodes: usize,
    pub(crate) branches: Vec<Branch>,
    pub(crate) parameters: Vec<Parameters>,
}

/// Reads one harness; `is_thermal` false leaves wires at the resistance they have at ambient.
pub(crate) fn read(text: &str, is_thermal: bool) -> Harness {
    const ALPHA_PER_K: f64 = 0.00393;
    let mut lines = text.lines();
    let nodes = lines.next().unwrap().trim().parse::<usize>().unwrap() + 1;
    let mut harness = Harness {
        nodes,
        branches: Vec::new(),
        parameters: Vec::new(),
    };
    for line in lines {
        let words: Vec<&str> = line.split_whitespace().collect();
        let x: Vec<f64> = words[1..]
            .iter()
            .map(|word| word.parse().unwrap())
            .collect();
        let parameters: Parameters = match words[0] {
            "B" => Supply {
                emf_v: x[2],
                r_ohm: x[3],
                r_charge_ohm: x[3],
            }
            .into(),
            "R" => Conductor::from_resistance(x[2]).unwrap().into(),
            "W" if is_thermal => HeatedConductor {
                r_joint_ohm: 0.0,
                r_ambient_ohm: x[2] * (1.0 + ALPHA_PER_K * (40.0 - 20.0)),
                kappa_per_a2: ALPHA_PER_K * x[2] * x[3],
                extra_a2: 0.0,
            }
            .into(),
            "W" => Conductor::from_resistance(x[2] * (1.0 + ALPHA_PER_K * (40.0 - 20.0)))
                .unwrap()
                .into(),
            "P" => ConstantPower {
                p_w: x[2],
                v_cut_v: 6.0,
            }
            .into(),
            "I" => ConstantCurrent {
                i_a: x[2],
                v_cut_v: 6.0,
            }
            .into(),
            "L" => Lamp {
                v_nominal_v: x[2],
                i_nominal_a: x[3],
            }
            .into(),
            "M" => Motor {
                r_ohm: x[2],
                v_brush_v: 0.0,
                i_brush_a: 1.0,
                k_v_s: x[3],
                torque_forward_nm: x[4],
                torque_reverse_nm: x[4],
                b_nm_s: 0.0,
                c2_nm_s2: x[5],
            }
            .into(),
            other => panic!("unknown element {other}"),
        };
        harness.branches.push(Branch {
            law: parameters.law(),
            from: x[0] as usize,
            to: x[1] as usize,
        });
        harness.parameters.push(parameters);
    }
    harness
}

pub(crate) fn forty(is_thermal: bool) -> Harness {
    read(include_str!("../cross_check/harness/h40.net"), is_thermal)
}

pub(crate) fn two_hundred(is_thermal: bool) -> Harness {
    read(include_str!("../cross_check/harness/h200.net"), is_thermal)
}

impl Harness {
    pub(crate) fn plan(&self) -> Plan {
        Plan::new(self.nodes, 0, &self.branches).unwrap()
    }

    /// Sets every branch in every lane.
    pub(crate) fn fill<const W: usize>(&self, solver: &mut Solver<W>) {
        for (branch, parameters) in self.parameters.iter().enumerate() {
            solver.set_all(branch, *parameters).unwrap();
        }
    }
}

/// True for linear branches.
pub(crate) fn is_linear(branch: &Branch) -> bool {
    branch.law == Law::Conductor
}
