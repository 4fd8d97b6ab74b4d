//! The opening of one fuse against published windows, examples and properties.

mod command;
mod millivolts;
mod opening;
mod pulses;

use ampkeel::fusing::{Request, Study, study};
use ampkeel::quantities::{Amps, Celsius, Seconds};
use ampkeel::tables::fuses::FuseStyle;

fn at(style: FuseStyle, rating_a: f64, current_a: f64) -> Study {
    in_air(style, rating_a, current_a, None)
}

fn in_air(style: FuseStyle, rating_a: f64, current_a: f64, ambient: Option<f64>) -> Study {
    let request = Request {
        style,
        rating: Amps::new(rating_a),
        current: Some(Amps::new(current_a)),
        pulse: None,
        ambient: ambient.map(Celsius::new),
        wire: None,
    };
    study(&request).expect("tables")
}

/// Earliest and latest, seconds.
fn window(study: &Study) -> (Option<f64>, Option<f64>) {
    let opening = &study.openings[0];
    (
        opening.earliest.map(Seconds::si),
        opening.latest.map(Seconds::si),
    )
}
