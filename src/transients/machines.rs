//! Motors of the transient from their figures.

use super::elements::motor::{Motion, Motor};
use crate::circuit::Condition;
use crate::devices::{MotorModel, Winding};
use crate::heating::StandingWinding;

/// The motor, at rest.
pub(super) fn motor(model: &MotorModel, condition: Condition, winding: &Winding) -> Motor {
    let law = model.law(condition);
    let p = &model.parameters;
    Motor {
        winding: StandingWinding {
            r_ohm: law.r_ohm,
            per_k: StandingWinding::per_k_at(model.winding_degc(condition)),
            heat_j_per_k: winding.heat_j_per_k,
            cools_s: winding.cools_s,
        },
        v_brush_v: law.v_brush_v,
        k_v_s: law.k_v_s,
        l_h: p.l.typical,
        j_kgm2: p.j.typical,
        forward_nm: law.forward_nm,
        reverse_nm: law.reverse_nm,
        linear_nm_s: law.linear_nm_s,
        drag_nm_s2: law.drag_nm_s2,
        motion: Motion::Still,
        turned: false,
    }
}
