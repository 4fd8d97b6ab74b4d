//! Operating states.

use super::{Shape, Table, Takes, field, from};
use crate::quantities::Dimension;
use crate::reading::words;

pub(in crate::reading) const CHARGING_TAKES: Takes =
    Takes::Range(Dimension::Current, from(0.0, 1000.0));
pub(in crate::reading) const DUTY_TAKES: Takes = Takes::Range(Dimension::Share, from(0.0, 1.0));
pub(in crate::reading) const CONDITION_TAKES: Takes = Takes::Word(words::conditions);

pub(in crate::reading) const STATE: Table = Table {
    path: "state",
    shape: Shape::Named,
    kind: None,
    doc: "One operating state. A file without states has one, `on`, with every simple switch closed.",
    terminals: &[],
    fields: &[
        field(
            "set",
            Takes::Settings,
            "Positions of selector switches; unnamed ones stand at `off` or `rest`.",
            "{ key = \"start\" }",
        ),
        field(
            "closed",
            Takes::Contacts,
            "Simple switches and driver channels that are closed.",
            "[\"float\", \"ecu.pump\"]",
        ),
        field(
            "open",
            Takes::Contacts,
            "Simple switches and driver channels that are open.",
            "[\"lanyard\"]",
        ),
        field(
            "like",
            Takes::State,
            "Copies another state's entries, all but `after`.",
            "\"cruise\"",
        ),
        field(
            "charging",
            Takes::ByPart(&CHARGING_TAKES),
            "What chargers give; those not named give nothing.",
            "{ stator = \"12 A\" }",
        ),
        field(
            "duty",
            Takes::ByPart(&DUTY_TAKES),
            "Share of the time a load or solenoid is on.",
            "{ injector = \"12 %\" }",
        ),
        field(
            "after",
            Takes::State,
            "Relays start from where that state ended.",
            "\"crank\"",
        ),
        field(
            "condition",
            Takes::ByPart(&CONDITION_TAKES),
            "What is wrong with a part in a what-if state.",
            "{ fuel-pump = \"locked\" }",
        ),
    ],
    rules: &[],
};
