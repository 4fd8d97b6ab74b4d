//! Single wires and chains of them.

use super::{Field, Shape, Table, Takes, above_zero, field, from, needs, not_both};
use crate::quantities::Dimension;
use crate::reading::words;

const METRES: Takes = Takes::OrUnknown(&Takes::Range(Dimension::Length, above_zero(200.0)));
const SIZES: Takes = Takes::OrUnknown(&Takes::Size);
const INSULATION_TAKES: Takes = Takes::Figure(Dimension::Temperature, from(50.0, 260.0));
const BUNDLE_TAKES: Takes = Takes::Count {
    least: 1,
    most: 200,
};
const JOINTS_TAKES: Takes = Takes::Range(Dimension::Resistance, from(0.0, 1000.0));
const PLACE_TAKES: Takes = Takes::Word(words::places);

const SIZE: Field = field(
    "size",
    SIZES,
    "Size of the conductor; left out or \"?\", a range by the fuse before it stands for it.",
    "\"16 AWG\"",
);
const LENGTH: Field = field(
    "length",
    METRES,
    "This conductor's own length, one way; left out or \"?\", a range by its place stands for it.",
    "\"14 ft\"",
);
const INSULATION: Field = field(
    "insulation",
    INSULATION_TAKES,
    "Temperature class of the insulation; unknown means the 60 degC column.",
    "\"105 degC\"",
);
const PLACE: Field = field(
    "place",
    PLACE_TAKES,
    "Where it lies; left out, the hotter of its ends' places.",
    "\"engine-space\"",
);
const BUNDLE: Field = field(
    "bundle",
    BUNDLE_TAKES,
    "Loaded conductors tied together, itself included.",
    "4",
);
const SHEATH: Field = field(
    "sheath",
    Takes::Flag,
    "Whether it runs in a sheath.",
    "true",
);
const TINNED: Field = field(
    "tinned",
    Takes::Flag,
    "Whether the copper is tinned.",
    "true",
);
const JOINTS: Field = field(
    "joints",
    JOINTS_TAKES,
    "Resistance of both ends' terminals together.",
    "\"2 mohm\"",
);
const KEEP: Field = field(
    "keep",
    Takes::Flag,
    "Not to be changed by sizing when true.",
    "true",
);
const COLOUR: Field = field(
    "colour",
    Takes::Text,
    "Colour of the insulation.",
    "\"red\"",
);
const NAME: Field = field(
    "name",
    Takes::Text,
    "The owner's name for it.",
    "\"main feed\"",
);

pub(in crate::reading) const WIRE: Table = Table {
    path: "wire",
    shape: Shape::List,
    kind: None,
    doc: "One conductor between two terminals.",
    terminals: &[],
    fields: &[
        field(
            "from",
            Takes::Terminal,
            "Where it starts.",
            "\"house.plus\"",
        )
        .required(),
        field("to", Takes::Terminal, "Where it ends.", "\"main.in\"").required(),
        SIZE,
        LENGTH,
        INSULATION,
        PLACE,
        BUNDLE,
        SHEATH,
        TINNED,
        JOINTS,
        KEEP,
        NAME,
        COLOUR,
    ],
    rules: &[],
};

pub(in crate::reading) const RUN: Table = Table {
    path: "run",
    shape: Shape::List,
    kind: None,
    doc: "A chain of parts joined by wires; each hop becomes a wire. A list has one entry a wire: first those of `through`, then those of `back`.",
    terminals: &[],
    fields: &[
        field("through", Takes::Chain, "The chain: terminals, studs, pins, and bare names of two-terminal parts, which are entered at their first terminal and left at their second.", "[\"house.plus\", \"main\", \"pump.plus\"]")
            .required(),
        field("lengths", Takes::List(&METRES), "Lengths of the chain's wires, one each.", "[\"6 in\", \"9 ft\"]"),
        field("back", Takes::Chain, "A second chain, the return.", "[\"pump.minus\", \"ground\"]"),
        field("back-lengths", Takes::List(&METRES), "Lengths of the return's wires, one each.", "[\"14 ft\"]"),
        SIZE.taking(Takes::EachHop(&SIZES)),
        LENGTH.taking(Takes::EachHop(&METRES)),
        INSULATION.taking(Takes::EachHop(&INSULATION_TAKES)),
        PLACE.taking(Takes::EachHop(&PLACE_TAKES)),
        BUNDLE.taking(Takes::EachHop(&BUNDLE_TAKES)),
        SHEATH.taking(Takes::EachHop(&Takes::Flag)),
        TINNED.taking(Takes::EachHop(&Takes::Flag)),
        JOINTS.taking(Takes::EachHop(&JOINTS_TAKES)),
        KEEP.taking(Takes::EachHop(&Takes::Flag)),
        NAME.taking(Takes::EachHop(&Takes::Text)),
        COLOUR.taking(Takes::EachHop(&Takes::Text)),
    ],
    rules: &[
        not_both("length", "lengths", "how long the wires are"),
        not_both("length", "back-lengths", "how long the wires are"),
        needs("back-lengths", "back"),
    ],
};

pub(in crate::reading) const DEFAULTS_WIRE: Table = Table {
    path: "defaults.wire",
    shape: Shape::Single,
    kind: None,
    doc: "What wires and runs are taken to be where they do not say.",
    terminals: &[],
    fields: &[
        SIZE, LENGTH, INSULATION, PLACE, BUNDLE, SHEATH, TINNED, JOINTS, KEEP, COLOUR,
    ],
    rules: &[],
};
