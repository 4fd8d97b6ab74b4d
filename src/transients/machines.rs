//! Motors of the transient from their figures.

use super::elements::motor::{Motion, Motor};
use crate::circuit::Condition;
use crate::devices::MotorModel;

/// Specific heat of copper, J/(kg K), as the references' heating of a locked winding.
const COPPER_J_PER_KG_K: f64 = 385.0;
/// Copper of the high-pressure fuel pump, grams, from the same place.
const ANCHOR_G: f64 = 20.0;
/// `k^2 / R` of that pump: 0.0138^2 / 0.55.
const ANCHOR_K2_PER_R: f64 = 0.0138 * 0.0138 / 0.55;

/// The motor, and the grams of copper taken for it.
///
/// Derived: between motors of one shape and size L, `k^2 / R` goes as L^5 and
/// the copper as L^3, so the copper goes as its 0.6th power.
pub(super) fn motor(model: &MotorModel, condition: Condition) -> (Motor, f64) {
    let law = model.law(condition);
    let p = &model.parameters;
    let healthy = model.law(Condition::Healthy);
    let ratio = healthy.k_v_s * healthy.k_v_s / healthy.r_ohm / ANCHOR_K2_PER_R;
    let copper_g = ANCHOR_G * ratio.powf(0.6);
    let motor = Motor {
        r_ohm: law.r_ohm,
        per_k: 1.0 / (234.5 + winding_degc(model, condition)),
        v_brush_v: law.v_brush_v,
        k_v_s: law.k_v_s,
        l_h: p.l.typical,
        j_kgm2: p.j.typical,
        forward_nm: law.forward_nm,
        reverse_nm: law.reverse_nm,
        linear_nm_s: law.linear_nm_s,
        drag_nm_s2: law.drag_nm_s2,
        heat_j_per_k: copper_g * 1e-3 * COPPER_J_PER_KG_K,
        motion: Motion::Still,
        turned: false,
    };
    (motor, copper_g)
}

/// Temperature of the winding when the run begins, degC.
pub(super) fn winding_degc(model: &MotorModel, condition: Condition) -> f64 {
    let place = model.winding.si();
    if condition == Condition::Hot {
        place.max(70.0)
    } else {
        place
    }
}
