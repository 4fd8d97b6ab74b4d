//! The hidden truth of fuses and switches under a current.
//!
//! A fuse's element follows from the published amperes for each millivolt (0.13 at
//! 10 A, 0.21 at 15 A: some 74 mV at its rating, cold) and warms in a straight line
//! with its power; a bad contact has a film whose volts rise more slowly than its
//! current.

use super::blind_truth::Lehmer;
use super::truth_coils::Shows;
use ampkeel::interpreting::Measure;

/// Cold ohms of a blade fuse's element.
fn element(rating_a: f64, draw: &mut Lehmer) -> f64 {
    0.074 / rating_a * draw.leaning(0.09)
}

/// Volts across a bad contact: ohms of metal, and a film.
fn bad_contact(current_a: f64, least_ohm: f64, most_ohm: f64, draw: &mut Lehmer) -> f64 {
    let ohm = least_ohm * (most_ohm / least_ohm).powf(draw.share());
    ohm * current_a.powf(0.9)
}

/// A blade fuse of 15 A in its holder, under its load.
pub(super) fn fuse(condition: &str, draw: &mut Lehmer) -> Shows {
    let rating_a = match condition {
        "wrong-fuse" => [7.5, 10.0, 20.0, 25.0][(draw.share() * 3.999) as usize],
        _ => 15.0,
    };
    let mut element_ohm = element(rating_a, draw);
    if condition == "tired-fuse" {
        element_ohm *= draw.between(1.7, 7.0);
    }
    let amps = if condition == "open" {
        0.0
    } else {
        draw.between(3.0, 11.0)
    };
    let rest_v = draw.between(12.3, 12.9);
    let warm = 1.0 + 0.37 * (amps / rating_a).powi(2);
    let element_v = amps * element_ohm * warm;
    let clips_v = if condition == "poor-contact" {
        bad_contact(amps, 0.03, 0.9, draw)
    } else {
        amps * 0.002 * draw.leaning(0.5)
    };
    let (points_v, whole_v, ohms) = if condition == "open" {
        (rest_v, rest_v, 1e7)
    } else {
        (element_v, element_v + clips_v, element_ohm)
    };
    let mut on = vec![(Measure::Amps, amps), (Measure::Millivolts, points_v)];
    if draw.share() < 0.6 {
        on.push((Measure::Volts, whole_v.min(rest_v)));
    }
    if draw.share() < 0.3 {
        on.push((Measure::Ohms, ohms));
    }
    Shows {
        rest_v,
        on,
        off: Vec::new(),
    }
}

/// A rocker switch under its load, on and sometimes off.
pub(super) fn switch(condition: &str, draw: &mut Lehmer) -> Shows {
    let is_open = condition == "open";
    let amps = if is_open { 0.0 } else { draw.between(1.5, 8.0) };
    let rest_v = draw.between(12.3, 12.9);
    let across_v = match condition {
        "open" => rest_v,
        "poor-contact" => bad_contact(amps, 0.06, 1.2, draw).min(rest_v),
        _ => amps * 0.0085 * draw.leaning(0.55),
    };
    let ohms = if is_open {
        1e7
    } else {
        (across_v / amps.max(0.1)).max(0.002)
    };
    let mut on = vec![(Measure::Amps, amps), (Measure::Millivolts, across_v)];
    if draw.share() < 0.4 {
        on.push((Measure::Ohms, ohms));
    }
    let welded = condition == "welded-contacts";
    let off = if draw.share() < 0.6 {
        vec![(Measure::Ohms, if welded { ohms } else { 1e7 })]
    } else {
        Vec::new()
    };
    Shows { rest_v, on, off }
}
