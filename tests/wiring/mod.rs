//! The gauge of one circuit against published examples, charts and properties.

mod command;
mod examples;
mod properties;

use ampkeel::circuit::Place;
use ampkeel::quantities::{Amps, Celsius, Fraction, Metres, SizeSystem, Volts};
use ampkeel::tables::drops::DropBasis;
use ampkeel::wiring::{Candidate, Limit, Request, Study, study};

const FOOT_M: f64 = 0.3048;

/// A run of so many feet out and back at 12 V, 3 %, 105 degC, in the boat.
fn ask(current_a: f64, total_ft: f64) -> Request {
    Request {
        current: Amps::new(current_a),
        length: Metres::new(total_ft * FOOT_M / 2.0),
        limit: Limit::Share(Fraction::new(0.03)),
        supply: Volts::new(12.0),
        insulation: Some(Celsius::new(105.0)),
        place: Place::Boat,
        bundle: 1,
        sizes: SizeSystem::Awg,
        basis: DropBasis::Abyc,
        start: None,
    }
}

fn solved(request: &Request) -> Study {
    study(request).expect("tables")
}

fn chosen(request: &Request) -> String {
    let study = solved(request);
    study.chosen().expect("a size").size.to_string()
}

fn of<'a>(study: &'a Study, size: &str) -> &'a Candidate {
    let mut candidates = study.candidates.iter();
    candidates
        .find(|candidate| candidate.size.to_string() == size)
        .expect("the size")
}
