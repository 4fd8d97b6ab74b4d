//! An independent integrator: classical fourth-order Runge-Kutta in small steps
//! on the differential equations as they are written in the references.

/// States of a network as printed in the references: a and tau.
pub(crate) type Network = &'static [(f64, f64)];

pub(super) const BLADE_EARLY: Network = &[(0.7044, 0.497), (0.1212, 600.0)];
pub(super) const BLADE_NOMINAL: Network = &[(0.2144, 0.359), (0.3253, 4.58), (0.1559, 600.0)];
pub(super) const BLADE_LATE: Network = &[(0.0662, 0.245), (0.2991, 5.38), (0.1843, 337.0)];
pub(super) const E_EARLY: Network = &[(0.0673, 0.0961), (0.4523, 3.89), (0.306, 600.0)];
pub(super) const E_NOMINAL: Network = &[
    (0.0173, 0.12),
    (0.0642, 1.29),
    (0.0314, 4.64),
    (0.3287, 20.6),
    (0.254, 600.0),
];
pub(super) const E_LATE: Network = &[(0.0765, 2.63), (0.4722, 131.0)];

/// What the integration found: opening time, largest heat, heat at the end.
pub(super) struct Integrated {
    pub opens_s: Option<f64>,
    pub peak: f64,
    pub heat: Vec<f64>,
}

/// du/dt = s(m) (a m^2 - u)/tau from `start`, steps of `step_s`, until `lasts_s`
/// or until the sum reaches 1 (then by the straight line over the last step).
pub(super) fn integrate(
    network: &[(f64, f64)],
    start: &[f64],
    multiple: impl Fn(f64) -> f64,
    pace: impl Fn(f64) -> f64,
    lasts_s: f64,
    step_s: f64,
) -> Integrated {
    let slope = |t: f64, u: &[f64]| -> Vec<f64> {
        let m = multiple(t);
        let each = network.iter().zip(u);
        each.map(|((a, tau), u)| pace(m) * (a * m * m - u) / tau)
            .collect()
    };
    let moved = |u: &[f64], k: &[f64], h: f64| -> Vec<f64> {
        u.iter().zip(k).map(|(u, k)| u + h * k).collect()
    };
    let mut u = start.to_vec();
    let mut peak: f64 = u.iter().sum();
    let steps = (lasts_s / step_s).ceil() as u64;
    for step in 0..steps {
        let t = step as f64 * step_s;
        let h = step_s.min(lasts_s - t);
        let k1 = slope(t, &u);
        let k2 = slope(t + 0.5 * h, &moved(&u, &k1, 0.5 * h));
        let k3 = slope(t + 0.5 * h, &moved(&u, &k2, 0.5 * h));
        let k4 = slope(t + h, &moved(&u, &k3, h));
        let before: f64 = u.iter().sum();
        for (at, value) in u.iter_mut().enumerate() {
            *value += h / 6.0 * (k1[at] + 2.0 * k2[at] + 2.0 * k3[at] + k4[at]);
        }
        let after: f64 = u.iter().sum();
        peak = peak.max(after);
        if after >= 1.0 {
            let share = (1.0 - before) / (after - before);
            return Integrated {
                opens_s: Some(t + share * h),
                peak: 1.0,
                heat: u,
            };
        }
    }
    Integrated {
        opens_s: None,
        peak,
        heat: u,
    }
}

/// At the pace of the fitted network.
pub(super) fn passive(_: f64) -> f64 {
    1.0
}
