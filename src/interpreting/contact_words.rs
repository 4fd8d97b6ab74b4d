//! Conditions and readings of fuses, switches and joints in the words of a shop.

use super::Measure;
use super::family::Words;

/// No volts across one that carries nothing.
pub(super) const IDLE: &str =
    "proves nothing: with no supply before it or no load behind it an open one shows the same";
/// How to make it show.
pub(super) const UNDER_LOAD: &str = "see first that its feed side has the battery's volts to ground; switch its load or a 55 W lamp on behind it, and read the volts across it and its current again";

/// Of a fuse.
pub(super) const FUSE: [Words; 5] = [
    ("healthy", "sound", "is what a sound one loses"),
    (
        "open",
        "open",
        "is what an opened one shows; find out why before another of the same rating goes in",
    ),
    (
        "tired-fuse",
        "a tired or cracked element",
        "is too much for its element; replace it by the same rating",
    ),
    (
        "wrong-fuse",
        "an element of another rating",
        "fits a fuse of another rating; read the figure on its body",
    ),
    (
        "poor-contact",
        "poor clips or terminals",
        "is more than sound clips or terminals lose; renew the holder",
    ),
];

/// Of any other contact.
pub(super) const OTHER: [Words; 4] = [
    ("healthy", "sound", "is what a sound one loses"),
    (
        "open",
        "does not make",
        "is what one shows that makes no contact",
    ),
    (
        "poor-contact",
        "burnt or dirty contact",
        "is too much for a sound contact; it gets warm under load",
    ),
    (
        "welded-contacts",
        "does not open",
        "is what one shows that stays made when off",
    ),
];

/// What a reading is called of a fuse, or of another contact.
pub(super) const fn name(measure: Measure, is_fuse: bool) -> &'static str {
    match (measure, is_fuse) {
        (Measure::Millivolts, true) => "volts across its test points",
        (Measure::Volts, true) => "volts from wire to wire",
        (Measure::Millivolts | Measure::Volts, false) => "volts across it",
        (Measure::Amps, _) => "the current through it with a zeroed clamp",
        (Measure::Ohms, _) => "ohms across it, out of its circuit",
        _ => measure.words(),
    }
}

/// How to take a reading of a fuse, or of another contact.
pub(super) fn how(measure: Measure, is_fuse: bool) -> Option<&'static str> {
    Some(match (measure, is_fuse) {
        (Measure::Millivolts, true) => {
            "millivolts across the two test points on the fuse's own body, with its load or a lamp on"
        }
        (Measure::Volts, true) => {
            "volts from wire to wire across its holder, with its load or a lamp on"
        }
        (Measure::Millivolts | Measure::Volts, false) => {
            "millivolts across it, with its load or a lamp on"
        }
        (Measure::Amps, _) => "the current through it with a zeroed clamp",
        (Measure::Ohms, _) => "ohms across it, out of its circuit, while you flex or work it",
        _ => return None,
    })
}
