//! A motor's start against a closed form and against another integrator.

use ampkeel::devices::RunningLaw;
use ampkeel::protecting::inrush::{Feed, start};
use approx::assert_relative_eq;

fn law(r_ohm: f64, k_v_s: f64) -> RunningLaw {
    RunningLaw {
        r_ohm,
        v_brush_v: 0.0,
        k_v_s,
        forward_nm: 0.0,
        reverse_nm: 0.0,
        linear_nm_s: 0.0,
        drag_nm_s2: 0.0,
        fed: true,
    }
}

/// Without friction and brushes the start is a damped oscillator: i = E/(L b)
/// exp(-a t) sinh(b t), a = R/2L, b = sqrt(a^2 - k^2/(L J)); peak where tanh(b t)
/// = b/a.
#[test]
fn a_frictionless_start_is_the_textbook_closed_form() {
    for (r, l, k, j, feed_ohm) in [
        (0.55, 3e-4, 0.0138, 8e-6, 0.1),
        (0.9, 5e-4, 0.015, 1e-5, 0.0),
        (0.1, 1.5e-4, 0.0235, 1.2e-4, 0.03),
    ] {
        let found = start(
            &law(r, k),
            l,
            j,
            Feed {
                volts: 12.0,
                ohm: feed_ohm,
            },
        );
        let a = (r + feed_ohm) / (2.0 * l);
        let b = (a * a - k * k / (l * j)).sqrt();
        assert!(b.is_finite(), "overdamped");
        let peak_s = (b / a).atanh() / b;
        let current = |t: f64| 12.0 / (l * b) * (-a * t).exp() * (b * t).sinh();
        assert_relative_eq!(found.peak_a, current(peak_s), max_relative = 1e-3);
        assert!((found.peak_s - peak_s).abs() < 2e-4);
        // The heat of the whole start, integral of i^2 dt, in closed form.
        let scale = 12.0 / (l * b);
        let heat = scale * scale * 0.25 * (1.0 / (2.0 * (a - b)) + 1.0 / (2.0 * (a + b)) - 1.0 / a);
        let found_heat: f64 = found.stretches.iter().map(|(s, i)| s * i * i).sum();
        assert_relative_eq!(found_heat, heat, max_relative = 1e-3);
    }
}

/// With brushes, friction and drag: implicit-midpoint steps of a microsecond,
/// iterated to rest, on the equations of the references.
#[test]
fn a_loaded_start_agrees_with_another_integrator() {
    let pump = RunningLaw {
        v_brush_v: 0.8,
        forward_nm: 0.0375,
        drag_nm_s2: 8e-8,
        ..law(0.55, 0.0138)
    };
    let (l, j, volts, feed_ohm) = (3e-4, 8e-6, 12.6, 0.08);
    let found = start(
        &pump,
        l,
        j,
        Feed {
            volts,
            ohm: feed_ohm,
        },
    );
    let slope = |i: f64, w: f64| {
        let brush = 0.8 * (i / 0.3).clamp(-1.0, 1.0);
        let di = (volts - (0.55 + feed_ohm) * i - brush - 0.0138 * w) / l;
        let drive = 0.0138 * i - 8e-8 * w * w - 0.0375;
        let dw = if w > 0.0 || drive > 0.0 {
            drive / j
        } else {
            0.0
        };
        (di, dw)
    };
    let h = 1e-6;
    let (mut i, mut w, mut t) = (0.0f64, 0.0f64, 0.0f64);
    let (mut peak_a, mut peak_s, mut heat) = (0.0, 0.0, 0.0);
    let length: f64 = found.stretches.iter().map(|(s, _)| s).sum();
    while t < length {
        let (mut next_i, mut next_w) = (i, w);
        for _ in 0..6 {
            let (di, dw) = slope(f64::midpoint(i, next_i), f64::midpoint(w, next_w));
            (next_i, next_w) = (i + h * di, (w + h * dw).max(0.0));
        }
        heat += h * f64::midpoint(i, next_i).powi(2);
        (i, w, t) = (next_i, next_w, t + h);
        if i > peak_a {
            (peak_a, peak_s) = (i, t);
        }
    }
    assert_relative_eq!(found.peak_a, peak_a, max_relative = 1e-3);
    assert!((found.peak_s - peak_s).abs() < 2e-4);
    let found_heat: f64 = found.stretches.iter().map(|(s, i)| s * i * i).sum();
    assert_relative_eq!(found_heat, heat, max_relative = 1e-3);
    // Run down to 12.6 V less brushes over both resistances: k i = T + c2 w^2.
    assert_relative_eq!(found.run_a, i, max_relative = 5e-3);
    // Peak 0.9 to 0.95 of the locked current (references, inrush captures).
    let locked_a = (volts - 0.8) / (0.55 + feed_ohm);
    assert!((0.88..0.99).contains(&(found.peak_a / locked_a)));
}

#[test]
fn a_motor_that_cannot_turn_settles_at_its_locked_current() {
    let stuck = RunningLaw {
        forward_nm: 10.0,
        ..law(0.5, 0.014)
    };
    let found = start(
        &stuck,
        3e-4,
        8e-6,
        Feed {
            volts: 12.0,
            ohm: 0.1,
        },
    );
    assert_eq!(found.runs_s, None);
    assert_relative_eq!(found.peak_a, 20.0, max_relative = 1e-6);
}
