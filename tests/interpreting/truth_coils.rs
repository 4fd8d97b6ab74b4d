//! The hidden truth of coils: relays, solenoids, pulsed pumps.
//!
//! Coils are warmer or colder than the bench says; a filament lamp's current goes
//! with a power of its volts; pull-in hangs on a force and so on the coil; strokes
//! are cut short by the coil's inductance.

use super::blind_truth::Lehmer;
use ampkeel::interpreting::Measure;

/// What a hidden part shows: volts at rest, readings switched on, readings off.
#[derive(Debug, Clone, Default)]
pub(super) struct Shows {
    pub rest_v: f64,
    pub on: Vec<(Measure, f64)>,
    pub off: Vec<(Measure, f64)>,
}

/// Copper some degrees off 20 degC.
fn warmth(draw: &mut Lehmer) -> f64 {
    1.0 + 0.0039 * draw.between(-8.0, 10.0)
}

/// Battery and lead, ohms, sound or not.
fn supply(condition: &str, path_ohm: f64, coil_ohm: f64, draw: &mut Lehmer) -> (f64, f64) {
    match condition {
        "low-supply" => (draw.between(9.3, 11.7), path_ohm),
        "poor-contact" => (
            draw.between(12.35, 12.85),
            path_ohm + coil_ohm * draw.between(0.15, 2.2),
        ),
        _ => (draw.between(12.35, 12.85), path_ohm),
    }
}

const LAMP_A: f64 = 55.0 / 12.0;

/// Volts across a contact with a 55 W lamp behind it.
fn across_under_lamp(emf_v: f64, contact_ohm: f64, draw: &mut Lehmer) -> f64 {
    let rated_a = LAMP_A * draw.between(0.92, 1.07);
    let (mut low, mut high) = (0.0, emf_v);
    for _ in 0..60 {
        let lamp_v = 0.5 * (low + high);
        let amps = rated_a * (lamp_v / 12.0).powf(0.55);
        if lamp_v + amps * contact_ohm > emf_v {
            high = lamp_v;
        } else {
            low = lamp_v;
        }
    }
    emf_v - low
}

/// A plug-in relay.
pub(super) fn relay(condition: &str, draw: &mut Lehmer) -> Shows {
    let mut coil_ohm = 83.0 * draw.leaning(0.12) * warmth(draw);
    let pull_in_v = 0.0765
        * draw.leaning(0.12)
        * coil_ohm
        * if condition == "weak-pull-in" {
            draw.between(1.25, 1.7)
        } else {
            1.0
        };
    match condition {
        "shorted-coil" => coil_ohm *= draw.between(0.25, 0.7),
        "shorted" => coil_ohm = draw.between(0.02, 0.4),
        _ => {}
    }
    let (rest_v, path_ohm) = supply(condition, draw.between(0.25, 0.5), coil_ohm, draw);
    let amps = rest_v / (coil_ohm + path_ohm);
    let is_reversed = condition == "diode-reversed";
    let (coil_v, coil_a, ohms) = match condition {
        "open-coil" => (rest_v, 0.0, 1e7),
        "diode-reversed" => (0.0, 0.0, coil_ohm),
        "shorted" if draw.share() < 0.85 => (0.0, 0.0, coil_ohm),
        _ => (amps * coil_ohm, amps, coil_ohm),
    };
    let holds = is_reversed || condition == "stuck" || condition == "shorted";
    let pulls = coil_v > pull_in_v && coil_a > 0.0 && !holds;
    let closed = pulls || condition == "welded-contacts";
    let contact_ohm = if condition == "burnt-contacts" {
        0.03 * 30f64.powf(draw.share())
    } else {
        0.0055 * draw.leaning(0.6)
    };
    let across_v = if closed {
        across_under_lamp(rest_v, contact_ohm, draw)
    } else {
        rest_v
    };
    let off_v = if condition == "welded-contacts" {
        across_under_lamp(rest_v, contact_ohm, draw)
    } else {
        rest_v
    };
    let mut on = vec![(Measure::Ohms, ohms)];
    if draw.share() < 0.6 {
        on.extend([(Measure::Volts, coil_v), (Measure::Amps, coil_a)]);
    }
    if draw.share() < 0.6 {
        on.push((Measure::Millivolts, across_v));
    }
    if draw.share() < 0.6 {
        on.push((Measure::Moves, f64::from(u8::from(pulls))));
    }
    if draw.share() < 0.4 {
        on.push((Measure::PullIn, pull_in_v));
    }
    let off = if draw.share() < 0.5 {
        vec![(Measure::Millivolts, off_v)]
    } else {
        Vec::new()
    };
    Shows { rest_v, on, off }
}

/// A primer solenoid, on the lead for some seconds.
pub(super) fn primer(condition: &str, draw: &mut Lehmer) -> Shows {
    let mut coil_ohm = 4.2 * draw.leaning(0.14) * warmth(draw);
    match condition {
        "shorted-coil" => coil_ohm *= draw.between(0.25, 0.72),
        "shorted" => coil_ohm = draw.between(0.02, 0.4),
        "hot" => coil_ohm *= 1.0 + 0.0039 * draw.between(30.0, 70.0),
        _ => {}
    }
    let (rest_v, path_ohm) = supply(condition, draw.between(0.08, 0.15), coil_ohm, draw);
    let amps = rest_v / (coil_ohm + path_ohm);
    let (volts, amps, ohms) = match condition {
        "open" => (rest_v, 0.0, 1e7),
        "shorted" if draw.share() < 0.75 => (0.0, 0.0, coil_ohm),
        _ => (amps * coil_ohm, amps, coil_ohm),
    };
    let moves = !matches!(condition, "open" | "stuck" | "shorted");
    let mut on = vec![(Measure::Volts, volts), (Measure::Amps, amps)];
    if draw.share() < 0.6 {
        on.push((Measure::Ohms, ohms));
    }
    if draw.share() < 0.6 {
        on.push((Measure::Moves, f64::from(u8::from(moves))));
    }
    Shows {
        rest_v,
        on,
        off: Vec::new(),
    }
}

/// A pulsed lift pump, filled.
pub(super) fn pulsed(condition: &str, draw: &mut Lehmer) -> Shows {
    let mut coil_ohm = 5.7 * draw.leaning(0.22) * warmth(draw);
    match condition {
        "shorted-coil" => coil_ohm *= draw.between(0.25, 0.7),
        "shorted" => coil_ohm = draw.between(0.02, 0.4),
        "hot" => coil_ohm *= 1.0 + 0.0039 * draw.between(30.0, 65.0),
        _ => {}
    }
    let (rest_v, path_ohm) = supply(condition, draw.between(0.08, 0.15), coil_ohm, draw);
    let own_duty = 0.44 * draw.leaning(0.15);
    let duty = match condition {
        "open" | "reversed" => 0.0,
        "shorted" => f64::from(u8::from(draw.share() < 0.25)),
        "locked" if draw.share() < 0.75 => 1.0,
        "dragging" => (own_duty * draw.between(1.25, 2.1)).min(0.95),
        "dry" => own_duty * draw.between(0.8, 1.05),
        _ => own_duty,
    };
    // The coil's inductance keeps each stroke a little below V over R.
    let whole_a = rest_v / (coil_ohm + path_ohm) * draw.between(0.94, 1.0);
    let still = matches!(condition, "locked" | "open" | "reversed" | "shorted");
    let flows = !still && condition != "dry" && !(condition == "worn-stage" && draw.share() < 0.55);
    let yes = |is: bool| f64::from(u8::from(is));
    let mut on = vec![(Measure::Amps, whole_a * duty)];
    if draw.share() < 0.5 {
        let peak = if duty > 0.0 { whole_a } else { 0.0 };
        on.push((Measure::Peak, peak));
    }
    if draw.share() < 0.5 {
        let is_open = condition == "open" && draw.share() < 0.65;
        let driver_ohm = if condition != "shorted" && draw.share() < 0.4 {
            2.0 * 100f64.powf(draw.share())
        } else {
            0.0
        };
        on.push((
            Measure::Ohms,
            if is_open { 1e7 } else { coil_ohm + driver_ohm },
        ));
    }
    if draw.share() < 0.7 {
        on.push((Measure::Moves, yes(!still)));
    }
    if draw.share() < 0.7 {
        on.push((Measure::Flow, yes(flows)));
    }
    Shows {
        rest_v,
        on,
        off: Vec::new(),
    }
}
