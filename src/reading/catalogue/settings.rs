//! The head of the file and its single tables.

use super::{Shape, Table, Takes, above_zero, field, from};
use crate::quantities::Dimension;
use crate::reading::words;

pub(in crate::reading) const HEAD: Table = Table {
    path: "",
    shape: Shape::Head,
    kind: None,
    doc: "The first lines of the file.",
    terminals: &[],
    fields: &[
        field(
            "format",
            Takes::Format,
            "The number of the file format.",
            "1",
        )
        .required(),
        field(
            "title",
            Takes::Text,
            "What the file describes.",
            "\"Basalt: bilge pump\"",
        ),
        field(
            "wires",
            Takes::Text,
            "A wire list from a spreadsheet beside this file: CSV with the columns from, to, size, length, colour and any others.",
            "\"list.csv\"",
        ),
    ],
    rules: &[],
};

pub(in crate::reading) const BOAT: Table = Table {
    path: "boat",
    shape: Shape::Single,
    kind: None,
    doc: "Which boat it is: decides which rules are law and which good practice.",
    terminals: &[],
    fields: &[
        field(
            "engine",
            Takes::Word(words::engines),
            "What drives it.",
            "\"outboard\"",
        ),
        field(
            "fuel",
            Takes::Word(words::fuels),
            "What it burns.",
            "\"petrol\"",
        ),
        field(
            "nominal",
            Takes::Figure(Dimension::Voltage, from(6.0, 60.0)),
            "Nominal voltage; 12 V unless written.",
            "\"12 V\"",
        ),
    ],
    rules: &[],
};

const AIR: Takes = Takes::Range(Dimension::Temperature, from(-40.0, 120.0));

pub(in crate::reading) const AMBIENT: Table = Table {
    path: "ambient",
    shape: Shape::Single,
    kind: None,
    doc: "Air temperature by place.",
    terminals: &[],
    fields: &[
        field(
            "boat",
            AIR,
            "On the boat outside the engine space; 30 degC unless written.",
            "\"30 degC\"",
        ),
        field(
            "engine-space",
            AIR,
            "Under the cowl or in the engine box; 50 degC unless written.",
            "\"50 degC\"",
        ),
        field(
            "bench",
            AIR,
            "On the bench; 20 degC unless written.",
            "\"20 degC\"",
        ),
    ],
    rules: &[],
};

const DROP: Takes = Takes::Figure(Dimension::Share, above_zero(0.5));

pub(in crate::reading) const LIMITS: Table = Table {
    path: "limits",
    shape: Shape::Single,
    kind: None,
    doc: "Chosen limits and bases.",
    terminals: &[],
    fields: &[
        field(
            "drop-critical",
            DROP,
            "Most drop for critical loads; 3 % unless written.",
            "\"3 %\"",
        ),
        field(
            "drop-other",
            DROP,
            "Most drop for all others; 10 % unless written.",
            "\"10 %\"",
        ),
        field(
            "critical",
            Takes::Parts,
            "Parts counted as critical besides the usual classes.",
            "[\"radio\"]",
        ),
        field(
            "drop-basis",
            Takes::Word(words::drop_bases),
            "The constant drop is computed with.",
            "\"abyc\"",
        ),
        field(
            "fuse-basis",
            Takes::Word(words::fuse_bases),
            "The rule a fuse is held against its wire by.",
            "\"load-and-100\"",
        ),
    ],
    rules: &[],
};

pub(in crate::reading) const BENCH: Table = Table {
    path: "bench",
    shape: Shape::Single,
    kind: None,
    doc: "The bench rig.",
    terminals: &[],
    fields: &[
        field(
            "battery",
            Takes::Part,
            "The battery used on the bench.",
            "\"house\"",
        ),
        field(
            "lead-length",
            Takes::Range(Dimension::Length, above_zero(200.0)),
            "Length of each lead, one way.",
            "\"6 ft\"",
        ),
        field("lead-size", Takes::Size, "Size of the leads.", "\"12 AWG\""),
        field(
            "inline-fuse",
            Takes::Figure(Dimension::Current, above_zero(1000.0)),
            "Rating of the fuse in the lead.",
            "\"10 A\"",
        ),
        field(
            "meter",
            Takes::Word(words::meters),
            "How the current is read.",
            "\"clamp\"",
        ),
        field(
            "meter-resistance",
            Takes::Range(Dimension::Resistance, from(0.0, 10.0)),
            "Series resistance of the meter in its ampere jack, leads included.",
            "\"30 mohm\"",
        ),
        field(
            "meter-error",
            Takes::Figure(Dimension::Share, from(0.0, 1.0)),
            "Error of the meter as a share of the current.",
            "\"2 %\"",
        ),
    ],
    rules: &[],
};

pub(in crate::reading) const DEFAULTS_PART: Table = Table {
    path: "defaults.part",
    shape: Shape::Single,
    kind: None,
    doc: "What parts are taken to be where they do not say.",
    terminals: &[],
    fields: &[field(
        "place",
        Takes::Word(words::places),
        "Where parts sit.",
        "\"boat\"",
    )],
    rules: &[],
};
