//! The hidden truth of batteries and of charging systems.
//!
//! A battery falls by its ohms and by an inverse hyperbolic sine of its current, as
//! electrodes do; charging, its volts rise by another. A stator saturates with speed
//! as `1 - exp(-(n - n0) / n1)`; its regulator bends over softly.

use super::blind_truth::Lehmer;
use super::truth_coils::Shows;
use ampkeel::interpreting::Measure;

/// Volts at rest of a flooded battery of a charge.
fn open_v(charge: f64) -> f64 {
    11.88 + 0.72 * charge + 0.06 * charge * charge
}

/// A starter battery of 300 to 450 A at rest and under a load.
pub(super) fn battery(condition: &str, draw: &mut Lehmer) -> Shows {
    let cranking_a = draw.between(300.0, 450.0);
    let age = 1.0 + 0.8 * draw.share() * draw.share();
    let charge = match condition {
        "discharged" => draw.between(0.0, 0.55),
        "sulphated" => draw.between(0.35, 0.95),
        "open-cell" => draw.between(0.3, 1.0),
        _ => draw.between(0.75, 1.0),
    };
    let mut rest_v = open_v(charge);
    if condition == "healthy" {
        // Some still carry the charger's last tenths.
        let fresh = draw.share();
        rest_v += 0.4 * fresh * fresh * fresh;
    }
    if condition == "shorted-cell" {
        rest_v -= draw.between(1.85, 2.1);
    }
    let times = match condition {
        "discharged" => draw.between(1.3, 4.0),
        "shorted-cell" => draw.between(1.0, 2.0),
        "sulphated" => draw.between(3.5, 18.0),
        "open-cell" => 60.0 * 100f64.powf(draw.share()),
        _ => age,
    };
    let ohms = 3.1 / cranking_a * times;
    let wanted_a = [4.6, 50.0, 100.0][(draw.share() * 2.999) as usize];
    let load_a = f64::min(wanted_a, 0.98 * rest_v / ohms);
    let lost_v = load_a * ohms + 0.03 * (load_a / 15.0).asinh();
    let loaded = vec![
        (Measure::Amps, load_a),
        (Measure::PostVolts, (rest_v - lost_v).max(0.0)),
    ];
    Shows {
        rest_v,
        on: if draw.share() < 0.75 {
            loaded
        } else {
            Vec::new()
        },
        off: Vec::new(),
    }
}

/// A charging system before its engine speed.
struct System {
    most_a: f64,
    set_v: f64,
    lead_ohm: f64,
    /// Ac for each part of what a sound one shows.
    ac_v: f64,
    coil_ohm: f64,
    ground_ohm: f64,
    diode_v: (f64, f64),
    plus_ohm: f64,
    is_cut: bool,
    charge: f64,
    cell_v: f64,
    sulphation: f64,
}

fn sound(draw: &mut Lehmer) -> System {
    System {
        most_a: draw.between(9.0, 22.0),
        set_v: draw.between(14.15, 14.6),
        lead_ohm: draw.between(0.008, 0.06),
        ac_v: draw.between(0.02, 0.2),
        coil_ohm: draw.between(0.12, 0.48),
        ground_ohm: 1e7,
        diode_v: (draw.between(0.45, 0.68), 4.0),
        plus_ohm: 1e6,
        is_cut: false,
        charge: draw.between(0.35, 1.0),
        cell_v: 0.0,
        sulphation: 1.0,
    }
}

fn broken(condition: &str, draw: &mut Lehmer) -> System {
    let mut one = sound(draw);
    let shorted_v = draw.between(0.0, 0.03);
    let three_phase = draw.share() < 0.4;
    match condition {
        "diode-shorted" => {
            one.most_a *= draw.between(0.3, 0.7);
            one.ac_v = draw.between(0.25, 2.0);
            one.diode_v = (shorted_v, shorted_v);
        }
        "diode-open" => {
            one.most_a *= draw.between(0.45, 0.72);
            one.ac_v = draw.between(0.12, 0.9);
            one.diode_v = (4.0, 4.0);
        }
        "leg-shorted" => {
            one.is_cut = true;
            one.diode_v = (shorted_v, shorted_v);
            one.plus_ohm = draw.between(0.1, 3.0);
        }
        "diode-leaky" => {
            one.most_a *= draw.between(0.75, 1.0);
            one.ac_v = draw.between(0.04, 0.6);
            one.plus_ohm = 8.0 * 5000f64.powf(draw.share());
            let back_v = (0.0009 * one.plus_ohm / 2.0).min(4.0);
            one.diode_v = (one.diode_v.0.min(back_v), back_v);
        }
        "stator-open" => {
            one.coil_ohm = 1e7;
            one.most_a *= if three_phase {
                draw.between(0.4, 0.65)
            } else {
                0.0
            };
            one.ac_v = if three_phase {
                draw.between(0.08, 0.6)
            } else {
                0.003
            };
        }
        "stator-shorted" => {
            one.most_a *= draw.between(0.2, 0.75);
            one.coil_ohm *= draw.between(0.3, 0.85);
        }
        "stator-grounded" => {
            one.most_a *= draw.between(0.25, 0.9);
            one.ac_v = draw.between(0.05, 0.6);
            one.ground_ohm = 0.2 * 5000f64.powf(draw.share());
        }
        "regulator-high" => one.set_v = draw.between(15.2, 17.4),
        "regulator-dead" => {
            one.most_a *= draw.between(0.0, 0.08);
            one.ac_v = draw.between(0.0, 0.02);
        }
        "poor-contact" => one.lead_ohm = draw.between(0.12, 2.5),
        "lead-open" => {
            one.is_cut = true;
            one.ac_v = draw.between(0.0, 0.02);
        }
        "battery-weak" => {
            if draw.share() < 0.5 {
                one.cell_v = draw.between(1.9, 2.1);
            } else {
                one.sulphation = draw.between(5.0, 20.0);
            }
            one.ac_v = draw.between(0.04, 0.9);
        }
        _ => {}
    }
    one
}

impl System {
    /// Amperes from the charger and volts at the posts, by bisection.
    fn settle(&self, rpm: f64, engine_a: f64) -> (f64, f64) {
        let output_a = if self.is_cut {
            0.0
        } else {
            self.most_a * 1.12 * (1.0 - (-(rpm - 560.0) / 950.0).exp()).max(0.0)
        };
        let posts = |in_a: f64| {
            let over_a = in_a - engine_a;
            let rest_v = open_v(self.charge) - self.cell_v;
            if over_a <= 0.0 {
                return rest_v + 0.012 * over_a;
            }
            // Acceptance falls steeply towards full.
            let scale_a = (14.0 * (1.0 - self.charge).powf(0.8) + 0.9) / self.sulphation;
            rest_v + 1.35 * (over_a / scale_a).asinh() / 0.881_37 * 0.9
        };
        // The regulator bends over within some tenths of a volt.
        let lets = |in_a: f64| {
            let at_v = posts(in_a) + in_a * self.lead_ohm;
            output_a / (1.0 + ((at_v - self.set_v) / 0.05).exp())
        };
        let (mut low, mut high) = (0.0, output_a);
        for _ in 0..80 {
            let in_a = 0.5 * (low + high);
            if lets(in_a) > in_a {
                low = in_a;
            } else {
                high = in_a;
            }
        }
        (low, posts(low))
    }
}

/// A rectifier-regulator with its stator: running, and sometimes unplugged.
pub(super) fn charger(condition: &str, draw: &mut Lehmer) -> Shows {
    let one = broken(condition, draw);
    let rpm = [800.0, 1500.0, 3000.0][(draw.share() * 2.999) as usize];
    let engine_a = draw.between(0.5, 6.0);
    let (amps, posts_v) = one.settle(rpm, engine_a);
    let mut on = vec![
        (Measure::Speed, rpm * std::f64::consts::TAU / 60.0),
        (Measure::PostVolts, posts_v),
        (Measure::Amps, amps),
    ];
    if draw.share() < 0.6 {
        on.push((Measure::AcVolts, one.ac_v));
    }
    if draw.share() < 0.4 {
        on.extend([
            (Measure::Forward, one.diode_v.0),
            (Measure::Backward, one.diode_v.1),
        ]);
    }
    if draw.share() < 0.4 {
        on.extend([
            (Measure::Ohms, one.coil_ohm),
            (Measure::ToGround, one.ground_ohm),
        ]);
    }
    if draw.share() < 0.3 {
        on.push((Measure::PlusToGround, one.plus_ohm));
    }
    Shows {
        rest_v: open_v(one.charge) - one.cell_v,
        on,
        off: Vec::new(),
    }
}
