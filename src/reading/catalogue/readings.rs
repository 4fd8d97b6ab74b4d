//! Readings taken on the boat.

use super::{Shape, Table, Takes, field};
use crate::reading::words;

pub(in crate::reading) const READING: Table = Table {
    path: "reading",
    shape: Shape::List,
    kind: None,
    doc: "A reading taken on the boat; it narrows what is not known.",
    terminals: &[],
    fields: &[
        field(
            "at",
            Takes::Text,
            "A part, a fuse, a wire written \"FROM to TO\", or for volts a terminal, then against the battery's minus post.",
            "\"bilge-pump\"",
        )
        .required(),
        field(
            "to",
            Takes::Terminal,
            "The terminal the black lead was on, for volts.",
            "\"house.minus\"",
        ),
        field(
            "quantity",
            Takes::Word(words::measured),
            "What was read.",
            "\"volts\"",
        )
        .required(),
        field(
            "value",
            Takes::Text,
            "The reading with its unit; how far it may be off may follow.",
            "\"11.8 V\"",
        )
        .required(),
        field(
            "state",
            Takes::State,
            "The state the boat was in; needed where the file has several.",
            "\"pumping\"",
        ),
    ],
    rules: &[],
};
