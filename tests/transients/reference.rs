//! An integrator independent of the program: Dormand and Prince's explicit pair
//! of order 5 with error control, for reference solutions at rtol 1e-10.

/// A moment of a reference solution.
pub(crate) type Moment<const N: usize> = (f64, [f64; N]);

const C: [f64; 6] = [0.0, 0.2, 0.3, 0.8, 8.0 / 9.0, 1.0];
const A: [[f64; 5]; 6] = [
    [0.0; 5],
    [0.2, 0.0, 0.0, 0.0, 0.0],
    [3.0 / 40.0, 9.0 / 40.0, 0.0, 0.0, 0.0],
    [44.0 / 45.0, -56.0 / 15.0, 32.0 / 9.0, 0.0, 0.0],
    [
        19372.0 / 6561.0,
        -25360.0 / 2187.0,
        64448.0 / 6561.0,
        -212.0 / 729.0,
        0.0,
    ],
    [
        9017.0 / 3168.0,
        -355.0 / 33.0,
        46732.0 / 5247.0,
        49.0 / 176.0,
        -5103.0 / 18656.0,
    ],
];
const B: [f64; 6] = [
    35.0 / 384.0,
    0.0,
    500.0 / 1113.0,
    125.0 / 192.0,
    -2187.0 / 6784.0,
    11.0 / 84.0,
];
const E: [f64; 7] = [
    71.0 / 57600.0,
    0.0,
    -71.0 / 16695.0,
    71.0 / 1920.0,
    -17253.0 / 339_200.0,
    22.0 / 525.0,
    -1.0 / 40.0,
];

/// Integrates `y' = f(t, y)` from `start` until `end_s`, every accepted step
/// handed to `seen`, which may stop it. Relative error 1e-10 a step.
pub(crate) fn integrate<const N: usize>(
    f: impl Fn(f64, &[f64; N]) -> [f64; N],
    start: Moment<N>,
    end_s: f64,
    mut seen: impl FnMut(&Moment<N>, &Moment<N>) -> bool,
) -> Moment<N> {
    let (mut t, mut y) = start;
    let mut h: f64 = 1e-8;
    while t < end_s {
        h = h.min(end_s - t);
        let mut k = [[0.0; N]; 7];
        for stage in 0..6 {
            let mut at = y;
            for earlier in 0..stage {
                for n in 0..N {
                    at[n] += h * A[stage][earlier] * k[earlier][n];
                }
            }
            k[stage] = f(t + C[stage] * h, &at);
        }
        let mut next = y;
        for stage in 0..6 {
            for n in 0..N {
                next[n] += h * B[stage] * k[stage][n];
            }
        }
        k[6] = f(t + h, &next);
        let mut error: f64 = 0.0;
        for n in 0..N {
            let off: f64 = (0..7).map(|stage| h * E[stage] * k[stage][n]).sum();
            error = error.max(off.abs() / (1e-10 * y[n].abs().max(next[n].abs()) + 1e-12));
        }
        if error <= 1.0 {
            let before = (t, y);
            t += h;
            y = next;
            if seen(&before, &(t, y)) {
                break;
            }
        }
        h *= (0.9 * error.max(1e-12).powf(-0.2)).clamp(0.2, 5.0);
        h = h.min(end_s / 2e3);
    }
    (t, y)
}

/// The end of a step taken so that `past` is just zero there, by halving.
pub(super) fn crossing<const N: usize>(
    f: impl Fn(f64, &[f64; N]) -> [f64; N] + Copy,
    before: &Moment<N>,
    after: &Moment<N>,
    past: impl Fn(&[f64; N]) -> f64,
) -> Moment<N> {
    let (mut low, mut high) = (before.0, after.0);
    let mut found = *after;
    for _ in 0..50 {
        let middle = 0.5 * (low + high);
        found = integrate(f, *before, middle, |_, _| false);
        if past(&found.1) >= 0.0 {
            high = middle;
        } else {
            low = middle;
        }
    }
    found
}

#[test]
fn the_reference_integrator_follows_a_circle_to_nine_digits() {
    let turn = std::f64::consts::TAU;
    let (_, y) = integrate(
        |_, y: &[f64; 2]| [y[1], -y[0]],
        (0.0, [1.0, 0.0]),
        turn,
        |_, _| false,
    );
    assert!((y[0] - 1.0).abs() < 1e-8 && y[1].abs() < 1e-8, "{y:?}");
}
