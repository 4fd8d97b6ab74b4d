//! Conditions of pumps and motors in the words of a shop.

use super::family::Words;
use super::short;

/// Of a pump.
pub(super) const PUMP: [Words; 15] = [
    short::WORDS,
    (
        "healthy",
        "electrically sound",
        "is what a sound one draws on this rig; judge pressure and flow too",
    ),
    (
        "locked",
        "locked or nearly",
        "is what a stalled winding draws on these leads",
    ),
    (
        "dragging",
        "dragging",
        "is what a stiff one draws that still turns",
    ),
    (
        "worn-stage",
        "worn pumping stage or leaking relief",
        "is a sound motor with too little to push against",
    ),
    (
        "open",
        "open inside the pump",
        "is what an open winding, brush or its own plug shows; a tap on the case may wake it once more",
    ),
    (
        "coil-open",
        "one armature coil open",
        "is slow and weak at good volts",
    ),
    (
        "shorted-coil",
        "shorted turns or a weak magnet",
        "is too much current for its speed; it runs hot",
    ),
    (
        "worn-brush",
        "worn brushes or a bad commutator",
        "is slow and weak at good volts",
    ),
    (
        "restricted",
        "outlet restricted",
        "is what it draws against too much pressure",
    ),
    (
        "dry",
        "running dry or its inlet blocked",
        "is what it draws with nothing to pump: switch off at once",
    ),
    (
        "reversed",
        "running backwards",
        "is what it draws without building pressure; swap its leads",
    ),
    (
        "poor-contact",
        "a poor contact in its leads",
        "is what it draws when a joint keeps volts from it; mend that before judging the pump",
    ),
    (
        "low-supply",
        "the battery is low or weak",
        "is what a sound one draws on too few volts",
    ),
    (
        "hot",
        "hot",
        "is what a warm winding draws; let it cool and read again",
    ),
];

/// Of a motor that turns free.
pub(super) const FREE: [Words; 11] = [
    short::WORDS,
    (
        "healthy",
        "electrically sound",
        "is what a sound one draws turning free; its strength shows under load only",
    ),
    (
        "locked",
        "locked or nearly",
        "is what a stalled armature draws on these leads: off at once",
    ),
    (
        "dragging",
        "dragging",
        "is what dry, worn or tight bearings draw that still turn",
    ),
    (
        "open",
        "open inside the motor",
        "is what worn-out or hung-up brushes or an open winding show",
    ),
    (
        "coil-open",
        "one armature coil open",
        "is slow and ragged at good volts",
    ),
    (
        "shorted-coil",
        "shorted turns or a weak magnet",
        "is too much current for its speed; it gets hot within seconds",
    ),
    (
        "worn-brush",
        "worn brushes or a bad commutator",
        "is slow and weak at good volts",
    ),
    (
        "poor-contact",
        "a poor contact in its leads",
        "is what it draws when a joint keeps volts from it; mend that before judging the motor",
    ),
    (
        "low-supply",
        "the battery is low or weak",
        "is what a sound one draws on too few volts",
    ),
    (
        "hot",
        "hot",
        "is what a warm winding draws; let it cool and read again",
    ),
];
