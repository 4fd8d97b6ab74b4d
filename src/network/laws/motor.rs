//! Permanent-magnet motor at steady speed:
//! `v = r i + v_brush min(i / i_brush, 1) + k w` and `k i = torque + b w + c2 w^2`;
//! at rest (`w = 0`) while the current it then draws gives no more than `torque`.
//!
//! Closed form, by selects: the brush drop is the smaller of two straight lines
//! `(r, v_brush)` and `(r + v_brush / i_brush, 0)`, so the current is the larger of the
//! two currents they give. For each, with `d = v - b - r torque / k` and
//! `a = r c2 / k`, the speed is `w = 2 d / (k + sqrt(k^2 + 4 a d))`, or 0 for `d <= 0`.

use super::{VoltageLaw, odd};
use crate::network::parameters::{ParameterError, finite_not_negative, not_negative, positive};

/// Parameters of [`Law::Motor`](crate::network::Law::Motor).
///
/// Negative volts turn it backward, against `torque_reverse_nm`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Motor {
    /// Winding resistance, ohm, above zero.
    pub r_ohm: f64,
    /// Brush drop at full contact, volts, zero or more.
    pub v_brush_v: f64,
    /// Current below which the brush drop is proportional to it, amperes, above zero.
    pub i_brush_a: f64,
    /// Back-EMF per speed, V s, and torque per ampere, N m/A; above zero.
    pub k_v_s: f64,
    /// Constant torque turning forward, N m, zero or more; infinite locks the motor.
    pub torque_forward_nm: f64,
    /// Constant torque turning backward, N m, zero or more; infinite locks the motor.
    pub torque_reverse_nm: f64,
    /// Torque per speed, N m s, zero or more.
    pub b_nm_s: f64,
    /// Torque per speed squared, N m s^2, zero or more.
    pub c2_nm_s2: f64,
}

impl Motor {
    /// Number of stored parameters.
    pub(crate) const STORED: usize = 11;

    pub(crate) fn check(&self) -> Result<(), ParameterError> {
        positive("r_ohm", self.r_ohm)?;
        finite_not_negative("v_brush_v", self.v_brush_v)?;
        positive("i_brush_a", self.i_brush_a)?;
        positive("k_v_s", self.k_v_s)?;
        not_negative("torque_forward_nm", self.torque_forward_nm)?;
        not_negative("torque_reverse_nm", self.torque_reverse_nm)?;
        finite_not_negative("b_nm_s", self.b_nm_s)?;
        finite_not_negative("c2_nm_s2", self.c2_nm_s2)
    }

    pub(crate) fn stored(&self) -> [f64; Self::STORED] {
        let low_r = self.r_ohm + self.v_brush_v / self.i_brush_a;
        let per_k = 1.0 / self.k_v_s;
        [
            0.0,
            self.r_ohm,
            1.0 / self.r_ohm,
            self.v_brush_v,
            low_r,
            1.0 / low_r,
            self.k_v_s,
            self.torque_forward_nm * per_k,
            self.torque_reverse_nm * per_k,
            self.b_nm_s * per_k,
            self.c2_nm_s2 * per_k,
        ]
    }

    /// Steady speed at `v_v` volts, rad/s; negative when turning backward, 0 when stalled.
    ///
    /// # Example
    /// 12 V, 0.5 ohm, 0.03 V s, friction 0.06 N m alone: 2 A, so (12 - 1) / 0.03 rad/s.
    /// ```
    /// let motor = ampkeel::network::Motor {
    ///     r_ohm: 0.5, v_brush_v: 0.0, i_brush_a: 1.0, k_v_s: 0.03,
    ///     torque_forward_nm: 0.06, torque_reverse_nm: 0.06, b_nm_s: 0.0, c2_nm_s2: 0.0,
    /// };
    /// assert!((motor.speed_rad_s(12.0) - 11.0 / 0.03).abs() < 1e-9);
    /// ```
    pub fn speed_rad_s(&self, v_v: f64) -> f64 {
        let p = self.stored();
        let [_, r, _, v_brush, low_r, _, k, forward, reverse, linear, c2] = p;
        let i_torque = if v_v < 0.0 { reverse } else { forward };
        let drag = Drag {
            i_torque,
            linear,
            c2,
        };
        let full = running(r, v_brush, k, &drag, v_v.abs());
        let low = running(low_r, 0.0, k, &drag, v_v.abs());
        // The line with the larger current holds, and more current is more speed.
        odd(v_v, full.speed.max(low.speed))
    }
}

/// Speed on one straight brush line, and what its slope needs.
struct Running {
    /// Speed, rad/s, zero when stalled.
    speed: f64,
    /// `r di/dv`: 1 when stalled, less when turning.
    relative_slope: f64,
}

/// What the shaft works against, each over k: amperes, amperes per speed and per speed squared.
struct Drag {
    i_torque: f64,
    linear: f64,
    c2: f64,
}

/// Solves one brush line for `v >= 0`.
#[inline(always)]
fn running(r: f64, v_brush: f64, k: f64, drag: &Drag, v: f64) -> Running {
    let spare = v - v_brush - r * drag.i_torque;
    let d = if spare > 0.0 { spare } else { 0.0 };
    let a = r * drag.c2;
    let e = k + r * drag.linear;
    let root = (e * e + 4.0 * a * d).sqrt();
    let speed = 2.0 * d / (e + root);
    let turning = (r * drag.linear + 2.0 * a * speed) / root;
    Running {
        speed,
        relative_slope: if spare > 0.0 { turning } else { 1.0 },
    }
}

impl VoltageLaw<11> for Motor {
    #[inline(always)]
    fn flat_v(_: &[f64; 11], load_v: f64) -> f64 {
        load_v
    }

    #[inline(always)]
    fn current(p: &[f64; 11], v: f64) -> (f64, f64) {
        let [
            _,
            r,
            g,
            v_brush,
            low_r,
            low_g,
            k,
            forward,
            reverse,
            linear,
            c2,
        ] = *p;
        let a = v.abs();
        let i_torque = if v < 0.0 { reverse } else { forward };
        let drag = Drag {
            i_torque,
            linear,
            c2,
        };
        let full = running(r, v_brush, k, &drag, a);
        let low = running(low_r, 0.0, k, &drag, a);
        let full_i = (a - v_brush - k * full.speed) * g;
        let low_i = (a - k * low.speed) * low_g;
        let is_full = full_i > low_i;
        (
            odd(v, if is_full { full_i } else { low_i }),
            if is_full {
                g * full.relative_slope
            } else {
                low_g * low.relative_slope
            },
        )
    }
}
