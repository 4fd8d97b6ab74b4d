//! Conditions and readings of charging systems in the words of a shop.

use super::Measure;
use super::family::Words;

/// What each condition is, and what its readings are like.
pub(super) const WORDS: [Words; 13] = [
    (
        "diode-leaky",
        "a leaky diode, or damp in the rectifier",
        "is less than a sound one shows and more than a short: it drains the battery at rest and gets worse; dry its plug, then replace it",
    ),
    (
        "healthy",
        "charging as it should",
        "is what a sound one gives",
    ),
    (
        "diode-shorted",
        "a shorted diode",
        "is what one shorted diode leaves; it cooks the stator, and with a grounded stator opens the fuse",
    ),
    (
        "diode-open",
        "an open diode",
        "is what one open diode leaves of the output",
    ),
    (
        "leg-shorted",
        "both diodes of a leg shorted",
        "is what a shorted leg shows; with the key off it opens the main fuse",
    ),
    (
        "stator-open",
        "an open stator coil or pin",
        "is what an open coil, or the plug before it, shows",
    ),
    (
        "stator-shorted",
        "shorted turns in the stator",
        "is what shorted turns leave of the output",
    ),
    (
        "stator-grounded",
        "the stator touches ground",
        "is what a coil shows that touches its core",
    ),
    (
        "regulator-high",
        "the regulator does not hold",
        "is more than a regulator lets through; it boils the battery",
    ),
    (
        "regulator-dead",
        "the regulator gives nothing",
        "is what a dead or shorted regulator leaves",
    ),
    (
        "poor-contact",
        "a poor contact in the charging lead",
        "is what is left behind a bad joint in the charging lead",
    ),
    (
        "lead-open",
        "the charging lead or its fuse is open",
        "is a battery that gets no charge at all",
    ),
    (
        "battery-weak",
        "the battery, not the charger",
        "is a battery that does not take its charge as a sound one",
    ),
];

/// What a reading is called of it.
pub(super) const fn name(measure: Measure) -> &'static str {
    match measure {
        Measure::PostVolts => "volts at the posts, running",
        Measure::Volts => "volts at the rectifier's plus, running",
        Measure::Amps => "charging current",
        Measure::Ohms => "ohms between two stator leads",
        Measure::ToGround => "ohms from a stator lead to ground",
        Measure::PlusToGround => "ohms from the rectifier's plus to its ground",
        Measure::Forward => "worst diode, one way",
        Measure::Backward => "worst diode, leads swapped",
        Measure::AcVolts => "ac volts across the battery's posts, charging",
        _ => measure.words(),
    }
}

/// How to take a reading of it.
pub(super) const fn how(measure: Measure) -> Option<&'static str> {
    Some(match measure {
        Measure::PostVolts => {
            "the volts at the battery's posts, the engine at the speed given as `--speed`"
        }
        Measure::Volts => {
            "the volts from the rectifier's plus to ground, the engine at the speed given as `--speed`"
        }
        Measure::Amps => {
            "the current of the charging lead by a clamp, the engine at the speed given as `--speed`"
        }
        Measure::AcVolts => {
            "the ac volts across the battery's posts, the engine at the speed given as `--speed`"
        }
        Measure::Ohms => {
            "ohms between the stator's leads, all unplugged, every pair; give the one unlike the others"
        }
        Measure::ToGround => {
            "ohms from each stator lead to the block, all unplugged; give the lowest"
        }
        Measure::PlusToGround => {
            "ohms from the rectifier's plus to its ground, unplugged, the higher way round"
        }
        Measure::Forward => {
            "each diode on the diode range, rectifier unplugged; give the one unlike the others"
        }
        Measure::Backward => "that same diode with the leads swapped",
        _ => return None,
    })
}
