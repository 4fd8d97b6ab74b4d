//! Motor: `v = r(T) i + l di/dt + v_brush sat(i / 0.3 A) + k w` and, while it
//! turns, `k i = j dw/dt + torque sign(w) + b w + c2 w |w|`; at rest `w` is 0
//! until `k i` passes the torque. While it stands its winding heats,
//! `m c dT/dt = i^2 r(T)`, and loses that heat with a time constant
//! (`heating::StandingWinding`).
//!
//! # Limits
//! While it turns its heat is taken to be carried off, as in the steady state,
//! where the winding has the temperature of its place. The flux stays what it
//! is there. A field of a two-field motor turns a shaft of its own.
//! A leak of 0.1 microsiemens across the terminals gives a motor that nothing
//! feeds a voltage; it takes about a microampere.

use super::{MOST, Remembers, Slopes, States};
use crate::heating::StandingWinding;

/// Current below which the brush drop is proportional, amperes, as in the steady law.
const BRUSH_A: f64 = 0.3;
/// Leak across the terminals, siemens.
const LEAK_S: f64 = 1e-7;

/// How the shaft moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::transients) enum Motion {
    /// Stands.
    Still,
    /// Turns forward.
    Forward,
    /// Turns backward.
    Backward,
}

/// A motor.
#[derive(Debug, Clone)]
pub(in crate::transients) struct Motor {
    /// Its winding while it stands.
    pub(in crate::transients) winding: StandingWinding,
    /// Brush drop, volts.
    pub(in crate::transients) v_brush_v: f64,
    /// Torque constant, V s.
    pub(in crate::transients) k_v_s: f64,
    /// Inductance, henries.
    pub(in crate::transients) l_h: f64,
    /// Inertia, kg m2.
    pub(in crate::transients) j_kgm2: f64,
    /// Steady torque forward, N m; infinite when it cannot turn.
    pub(in crate::transients) forward_nm: f64,
    /// Steady torque backward, N m.
    pub(in crate::transients) reverse_nm: f64,
    /// Torque per speed, N m s.
    pub(in crate::transients) linear_nm_s: f64,
    /// Torque per speed squared, N m s2.
    pub(in crate::transients) drag_nm_s2: f64,
    /// How it moves.
    pub(in crate::transients) motion: Motion,
    /// Whether it has turned since it last broke away.
    pub(in crate::transients) turned: bool,
}

/// Speed from which a shaft counts as having turned, rad/s.
const TURNED: f64 = 1e-3;

impl Motor {
    /// How far past its next change of motion, in the change's own unit; it
    /// changes where this rises through zero.
    pub(in crate::transients) fn past_change(&self, x: &States) -> f64 {
        let torque = self.k_v_s * x[0];
        let room = if self.turned { 0.0 } else { TURNED };
        match self.motion {
            Motion::Still if torque < 0.0 => -torque - self.reverse_nm,
            Motion::Still => torque - self.forward_nm,
            Motion::Forward => -x[1] - room,
            Motion::Backward => x[1] - room,
        }
    }

    /// What it changes to.
    pub(in crate::transients) fn next_motion(&self, x: &States) -> Motion {
        match self.motion {
            Motion::Still if x[0] < 0.0 => Motion::Backward,
            Motion::Still => Motion::Forward,
            Motion::Forward | Motion::Backward => Motion::Still,
        }
    }

    /// Whether its speed shows that it has turned.
    pub(in crate::transients) fn has_turned(&self, x: &States) -> bool {
        self.motion != Motion::Still && x[1].abs() > TURNED
    }

    /// Volts behind its winding, and the winding, for current held by its
    /// inductance over `h` seconds.
    pub(in crate::transients) fn held(&self, x: &States, h: f64) -> (f64, f64) {
        let ohm = self.l_h / h + self.ohm(x);
        (
            self.brush(x[0]).0 + self.k_v_s * x[1] - x[0] * self.l_h / h,
            ohm,
        )
    }

    /// Winding at its temperature, ohms.
    pub(in crate::transients) fn ohm(&self, x: &States) -> f64 {
        self.winding.ohm(x[2])
    }

    fn brush(&self, i: f64) -> (f64, f64) {
        let share = i / BRUSH_A;
        if share.abs() < 1.0 {
            (self.v_brush_v * share, self.v_brush_v / BRUSH_A)
        } else {
            (self.v_brush_v * share.signum(), 0.0)
        }
    }

    /// Torque against the motion, and its slope by speed.
    fn load(&self, w: f64) -> (f64, f64) {
        let steady = match self.motion {
            Motion::Backward => -self.reverse_nm,
            _ => self.forward_nm,
        };
        (
            steady + self.linear_nm_s * w + self.drag_nm_s2 * w * w.abs(),
            self.linear_nm_s + 2.0 * self.drag_nm_s2 * w.abs(),
        )
    }
}

impl Remembers for Motor {
    fn scales(&self) -> &[f64] {
        &[1.0, 10.0, 10.0]
    }

    fn current(&self, x: &States, v: f64) -> f64 {
        x[0] + LEAK_S * v
    }

    fn value(&self, x: &States, v: f64) -> (f64, States) {
        let [i, w, rise, ..] = *x;
        let mut f = [0.0; MOST];
        let winding = self.ohm(x);
        f[0] = (v - winding * i - self.brush(i).0 - self.k_v_s * w) / self.l_h;
        if self.motion == Motion::Still {
            f[2] = self.winding.warms(rise, i);
        } else {
            f[2] = self.winding.cools(rise);
            f[1] = (self.k_v_s * i - self.load(w).0) / self.j_kgm2;
        }
        (self.current(x, v), f)
    }

    fn slopes(&self, x: &States, v: f64, slopes: &mut Slopes) {
        let (current, f) = self.value(x, v);
        let [i, w, ..] = *x;
        slopes.i = current;
        slopes.i_v = LEAK_S;
        slopes.f = f;
        let winding = self.ohm(x);
        let by_rise = self.winding.ohm_by_rise();
        let StandingWinding {
            heat_j_per_k,
            cools_s,
            ..
        } = self.winding;
        slopes.i_x[0] = 1.0;
        slopes.f_v[0] = 1.0 / self.l_h;
        slopes.f_x[0][0] = -(winding + self.brush(i).1) / self.l_h;
        slopes.f_x[0][1] = -self.k_v_s / self.l_h;
        slopes.f_x[0][2] = -by_rise * i / self.l_h;
        slopes.f_x[2][2] = -1.0 / cools_s;
        if self.motion == Motion::Still {
            slopes.f_x[2][0] = 2.0 * i * winding / heat_j_per_k;
            slopes.f_x[2][2] += i * i * by_rise / heat_j_per_k;
        } else {
            slopes.f_x[1][0] = self.k_v_s / self.j_kgm2;
            slopes.f_x[1][1] = -self.load(w).1 / self.j_kgm2;
        }
    }
}
