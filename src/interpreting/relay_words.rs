//! Conditions and readings of relays and solenoids in the words of a shop.

use super::family::Words;
use super::{Measure, short};

/// What each condition is, and what its readings are like.
pub(super) const WORDS: [Words; 12] = [
    (
        short::SHORTED,
        "shorted inside, its coil or its diode",
        short::LIKE,
    ),
    ("healthy", "sound", "is what a sound one shows"),
    ("open-coil", "open coil", "is what a burnt coil shows"),
    (
        "shorted-coil",
        "shorted turns in the coil",
        "is too low for its coil; it overloads what switches it",
    ),
    (
        "open-pull-winding",
        "open pull winding",
        "is what a broken pull winding shows; it clicks faintly or not at all",
    ),
    (
        "burnt-contacts",
        "burnt contacts, or contacts that do not make",
        "is lost across its contacts",
    ),
    (
        "welded-contacts",
        "welded contacts",
        "is what contacts show that do not open any more",
    ),
    (
        "stuck",
        "stuck armature or plunger",
        "is a sound coil that moves nothing",
    ),
    (
        "weak-pull-in",
        "closes too late",
        "is more than a sound one needs; it may drop out while cranking",
    ),
    (
        "diode-reversed",
        "its diode is the wrong way round",
        "is what the diode shows when it shorts the lead; 86 is plus",
    ),
    (
        "poor-contact",
        "a poor contact in its lead",
        "is what its coil gets when a joint keeps volts from it",
    ),
    (
        "low-supply",
        "the battery is low or weak",
        "is what a sound one gets from too few volts",
    ),
];

/// What a reading is called of it.
pub(super) const fn name(measure: Measure) -> &'static str {
    match measure {
        Measure::Volts => "volts at the coil",
        Measure::Amps => "coil current",
        Measure::Ohms => "ohms of the coil, unplugged",
        Measure::Millivolts => "volts across the contacts",
        _ => measure.words(),
    }
}

/// How to take a reading of a relay, or of a stud solenoid.
pub(super) fn how(measure: Measure, is_solenoid: bool) -> Option<&'static str> {
    Some(match (measure, is_solenoid) {
        (Measure::Volts, _) => "the volts right at its coil while it is on",
        (Measure::Amps, _) => "the coil's current",
        (Measure::Ohms, false) => "ohms from 85 to 86, unplugged",
        (Measure::Ohms, true) => {
            "ohms from its small stud to the other small one, or to its case where it has one"
        }
        (Measure::Millivolts, false) => "the volts from 30 to 87 under a 55 W lamp",
        (Measure::Millivolts, true) => "the volts from large stud to large stud under a 55 W lamp",
        (Measure::Moves, true) => {
            "whether it clicks; of one with a hold winding alone, whether it stays when its plunger is pushed in"
        }
        (Measure::Moves, false) => "whether it clicks",
        _ => return None,
    })
}
