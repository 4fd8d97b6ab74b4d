//! What a drawing of one's own would sharpen in a trace of a typical boat.
//!
//! The odds of a typical boat stand on parts and wires that another boat may
//! not have, so those that carry the odds are to be looked up first; then the
//! sizes and lengths of the likeliest wires, by which readings on them are told
//! apart. The shares are those of the answer itself.

use super::input::about_typical;
use crate::circuit::Circuit;
use crate::present::json::Object;
use crate::tracing::Answer;

/// Places that are named.
const MOST: usize = 4;

/// What to write down first.
pub(super) struct Sharpening {
    /// Parts and wires by their share of the odds, likeliest first.
    places: Vec<(String, f64)>,
    /// Those of all listed wires whose size or length is a range.
    wires: Vec<(String, f64)>,
}

/// What to write down first to sharpen an answer.
pub(super) fn sharpening(circuit: &Circuit, found: &Answer) -> Sharpening {
    let mut places: Vec<(String, f64)> = Vec::new();
    for cause in &found.causes {
        match places.iter_mut().find(|(place, _)| *place == cause.subject) {
            Some((_, odds)) => *odds += cause.probability,
            None => places.push((cause.subject.clone(), cause.probability)),
        }
    }
    places.sort_by(|a, b| b.1.total_cmp(&a.1));
    let is_open = |place: &str| {
        let of_place = circuit
            .wires
            .iter()
            .find(|wire| circuit.wire_label(wire) == place);
        of_place.is_some_and(|wire| !wire.unwritten.is_nothing())
    };
    let wires = places.iter().filter(|(place, _)| is_open(place));
    let wires = wires.take(MOST).cloned().collect();
    places.truncate(MOST);
    Sharpening { places, wires }
}

impl Sharpening {
    /// The first line of an answer for a typical boat.
    pub(super) fn about(&self, kind: &str) -> String {
        let first = match self.places.first() {
            Some((place, _)) => format!("; `{place}` first is to be held against yours"),
            None => String::new(),
        };
        about_typical(kind, &first)
    }

    pub(super) fn in_words(&self) -> Vec<String> {
        let mut words = Vec::new();
        if !self.places.is_empty() {
            words.push(format!(
                "whether your boat has these, and joined like this: {}; together they carry {:.0} % of the odds",
                listed(&self.places),
                100.0 * self.places.iter().map(|(_, odds)| odds).sum::<f64>()
            ));
        }
        if !self.wires.is_empty() {
            words.push(format!(
                "size and length of {}: ranges here; written down, readings tell how far along the wire a fault lies",
                listed(&self.wires)
            ));
        }
        words
    }

    pub(super) fn object(&self) -> Object {
        let all = |list: &[(String, f64)]| {
            let objects = list.iter().map(|(place, odds)| {
                Object::new()
                    .text("subject", place)
                    .number("probability", *odds)
            });
            objects.collect::<Vec<_>>()
        };
        Object::new()
            .objects("look_up", all(&self.places))
            .objects("measure", all(&self.wires))
    }
}

fn listed(places: &[(String, f64)]) -> String {
    let quoted: Vec<String> = places
        .iter()
        .map(|(place, odds)| format!("`{place}` ({:.0} %)", 100.0 * odds))
        .collect();
    quoted.join(", ")
}
