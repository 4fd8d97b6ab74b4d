//! A motor's start in its feed: L di/dt = E - R i - Vb(i) - k w, J dw/dt = k i -
//! T - b w - c2 w^2, from rest.
//!
//! The feed is the Thevenin equivalent of the circuit at the motor's terminals.
//! Classical Runge-Kutta in steps of a fortieth of the shorter time constant.
//!
//! # Limits
//! Constant winding temperature; commutation ripple is left out; the feed's
//! resistance is constant.

use crate::devices::RunningLaw;

/// The circuit as a motor sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Feed {
    /// Volts without the motor.
    pub volts: f64,
    /// Resistance of everything before it, ohms.
    pub ohm: f64,
}

/// A start.
#[derive(Debug, Clone, PartialEq)]
pub struct Start {
    /// Stretches of time, seconds, with the rms current in each, amperes.
    pub stretches: Vec<(f64, f64)>,
    /// Largest current, amperes.
    pub peak_a: f64,
    /// Time of the largest current, seconds.
    pub peak_s: f64,
    /// Time to 99 % of the final speed; none where it does not turn.
    pub runs_s: Option<f64>,
    /// Current once it runs, amperes.
    pub run_a: f64,
}

/// Steps by the shorter time constant.
const STEPS: f64 = 40.0;
/// Steps that make one stretch.
const STRETCH: usize = 16;
/// Longest start followed, seconds.
const LONGEST_S: f64 = 4.0;
/// Most steps.
const MOST_STEPS: usize = 1_000_000;

struct Machine<'a> {
    law: &'a RunningLaw,
    feed: Feed,
    l_h: f64,
    j: f64,
    brush_a: f64,
}

impl Machine<'_> {
    fn slopes(&self, [i, w]: [f64; 2]) -> [f64; 2] {
        let law = self.law;
        let brush_v = law.v_brush_v * (i / self.brush_a).clamp(-1.0, 1.0);
        let resistance = law.r_ohm + self.feed.ohm;
        let rise = (self.feed.volts - resistance * i - brush_v - law.k_v_s * w) / self.l_h;
        let drive = law.k_v_s * i - law.linear_nm_s * w - law.drag_nm_s2 * w * w;
        let turns = w > 0.0 || drive > law.forward_nm;
        let gain = if turns {
            (drive - law.forward_nm) / self.j
        } else {
            0.0
        };
        [rise, gain]
    }

    fn step(&self, x: [f64; 2], h: f64) -> [f64; 2] {
        let along = |k: [f64; 2], h: f64| [x[0] + h * k[0], x[1] + h * k[1]];
        let k1 = self.slopes(x);
        let k2 = self.slopes(along(k1, 0.5 * h));
        let k3 = self.slopes(along(k2, 0.5 * h));
        let k4 = self.slopes(along(k3, h));
        let sum = |n: usize| (k1[n] + 2.0 * k2[n] + 2.0 * k3[n] + k4[n]) / 6.0;
        [x[0] + h * sum(0), (x[1] + h * sum(1)).max(0.0)]
    }
}

/// Starts a motor; `l_h` its inductance, `j_kgm2` its inertia.
pub fn start(law: &RunningLaw, l_h: f64, j_kgm2: f64, feed: Feed) -> Start {
    let brush_a = law.branch().i_brush_a;
    let machine = Machine {
        law,
        feed,
        l_h,
        j: j_kgm2,
        brush_a,
    };
    let resistance = law.r_ohm + feed.ohm;
    // With the feed's resistance in the winding it runs at the same speed.
    let with_feed = RunningLaw {
        r_ohm: resistance,
        ..*law
    };
    let speed = with_feed.branch().speed_rad_s(feed.volts);
    let electric_s = l_h / resistance;
    let turning_s = j_kgm2 * resistance / (law.k_v_s * law.k_v_s);
    let h = (electric_s.min(turning_s) / STEPS).max(LONGEST_S / MOST_STEPS as f64);
    let mut found = Start {
        stretches: Vec::new(),
        peak_a: 0.0,
        peak_s: 0.0,
        runs_s: None,
        run_a: ((feed.volts - law.v_brush_v - law.k_v_s * speed) / resistance).max(0.0),
    };
    let mut x = [0.0, 0.0];
    let mut step = 0u32;
    while f64::from(step) * h < LONGEST_S {
        let mut squares = 0.0;
        for _ in 0..STRETCH {
            let before = x[0];
            x = machine.step(x, h);
            step += 1;
            squares += 0.5 * (before * before + x[0] * x[0]);
            if x[0] > found.peak_a {
                (found.peak_a, found.peak_s) = (x[0], f64::from(step) * h);
            }
            if found.runs_s.is_none() && speed > 0.0 && x[1] >= 0.99 * speed {
                found.runs_s = Some(f64::from(step) * h);
            }
        }
        let rms = (squares / STRETCH as f64).sqrt();
        found.stretches.push((STRETCH as f64 * h, rms));
        if speed > 0.0 && x[1] >= 0.9995 * speed {
            break;
        }
    }
    found
}
