//! The hidden truth of motors that turn free: friction partly viscous, brushes with
//! a law of their own, severities from ranges of their own.

use super::blind_truth::{Lehmer, Pump};
use super::rig_of;

/// What a hidden motor shows turning free, before the meter.
#[derive(Debug, Clone, Copy)]
pub(super) struct Turns {
    pub rest_v: f64,
    pub volts: f64,
    pub amps: f64,
    pub speed: f64,
}

/// Bars of its commutator, and how worn brushes and bad joints spread, ohms.
struct Faults {
    bars: f64,
    brush_ohm: (f64, f64),
    brush_v: f64,
    joint_ohm: (f64, f64),
}

/// A motor somewhere in its class: trim motors for 25 to 60 hp, starters of some
/// 130 A (`pump-defaults`, `starters`).
fn of_class(class: &str, draw: &mut Lehmer) -> (Pump, Faults) {
    if class == "trim" {
        let k = draw.between(0.0195, 0.028);
        let friction_nm = 0.06 * draw.between(0.7, 1.35);
        let pump = Pump {
            r_ohm: draw.between(0.07, 0.15),
            brush_v: draw.between(0.7, 1.2),
            film_ohm: 0.006,
            k,
            friction_nm: 0.75 * friction_nm,
            viscous_nm_s: 0.25 * friction_nm / 450.0,
            square_nm_s2: 0.0,
            per_pa_nm: 0.0,
            set_pa: 0.0,
        };
        let faults = Faults {
            bars: 12.0,
            brush_ohm: (0.05, 0.22),
            brush_v: 0.8,
            joint_ohm: (0.08, 1.0),
        };
        return (pump, faults);
    }
    let k = 0.0102 * draw.between(0.9, 1.12);
    let friction_nm = k * draw.between(21.0, 39.0);
    let pump = Pump {
        r_ohm: draw.between(0.0042, 0.0075),
        brush_v: draw.between(0.02, 0.15),
        film_ohm: 2e-4,
        k,
        friction_nm: 0.7 * friction_nm,
        viscous_nm_s: 0.3 * friction_nm / 1080.0,
        square_nm_s2: 0.0,
        per_pa_nm: 0.0,
        set_pa: 0.0,
    };
    let faults = Faults {
        bars: 25.0,
        brush_ohm: (0.006, 0.06),
        brush_v: 0.5,
        joint_ohm: (0.014, 0.12),
    };
    (pump, faults)
}

/// One motor with one condition on its rig.
pub(super) fn turns(class: &str, condition: &str, draw: &mut Lehmer) -> Turns {
    let rig = rig_of(class);
    let (mut one, faults) = of_class(class, draw);
    let whole = rig.battery.typical + rig.leads.typical + rig.fuse.cold.typical;
    let mut path_ohm = (whole + rig.fuse.clips.typical).si() * draw.leaning(0.25);
    let mut rest_v = draw.between(12.35, 12.85);
    match condition {
        "locked" => one.friction_nm = 1000.0,
        "dragging" => {
            one.friction_nm *= draw.between(2.2, 5.0);
            one.viscous_nm_s *= draw.between(1.0, 1.6);
        }
        "coil-open" => one.r_ohm *= draw.between(1.8, 2.2),
        "shorted-coil" => {
            let coils = if draw.share() < 0.65 { 1.0 } else { 2.0 };
            let share = coils / faults.bars;
            one.viscous_nm_s += share * one.k * one.k / (2.0 * one.r_ohm);
            one.r_ohm *= 1.0 - share;
            one.k *= 1.0 - share;
        }
        "worn-brush" => {
            one.r_ohm += draw.between(faults.brush_ohm.0, faults.brush_ohm.1);
            one.brush_v += draw.between(0.0, faults.brush_v);
        }
        "poor-contact" => path_ohm += draw.between(faults.joint_ohm.0, faults.joint_ohm.1),
        "low-supply" => rest_v = draw.between(9.5, 11.6),
        "hot" => {
            let over_k = draw.between(35.0, 65.0);
            one.r_ohm *= 1.0 + 0.0039 * over_k;
            one.k *= 1.0 - 0.002 * over_k;
        }
        _ => {}
    }
    let (mut amps, mut speed) = one.settle(rest_v, path_ohm, 0.0);
    if condition == "open" {
        (amps, speed) = (0.0, 0.0);
    }
    let mut volts = rest_v - path_ohm * amps;
    if condition == "shorted" {
        // On a fused lead most have opened the fuse; on cables nothing opens.
        let has_opened = class == "trim" && draw.share() < 0.75;
        let short_ohm = one.r_ohm * draw.between(0.08, 0.5);
        speed = 0.0;
        amps = if has_opened {
            0.0
        } else {
            rest_v / (path_ohm + short_ohm)
        };
        volts = amps * short_ohm;
    }
    Turns {
        rest_v,
        volts,
        amps,
        speed,
    }
}
