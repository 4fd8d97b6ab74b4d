//! The kinds of part and their fields.

use super::{Field, Rule, Shape, Table, Takes, above_zero, field, from, needs, not_both};
use crate::circuit::PartKind;
use crate::quantities::Dimension;
use crate::reading::words;

const AMPS: Takes = Takes::Range(Dimension::Current, above_zero(1000.0));
const FUSE_AMPS: Takes = Takes::Figure(Dimension::Current, above_zero(1000.0));
const OHMS: Takes = Takes::Range(Dimension::Resistance, above_zero(1e9));
const CONTACT_OHMS: Takes = Takes::Range(Dimension::Resistance, from(0.0, 10.0));
const VOLTS: Takes = Takes::Range(Dimension::Voltage, above_zero(100.0));
const WATTS: Takes = Takes::Range(Dimension::Power, above_zero(20_000.0));

const PLACE: Field = field(
    "place",
    Takes::Word(words::places),
    "Where the part sits; decides how warm it is.",
    "\"engine-space\"",
);
const LABEL: Field = field(
    "label",
    FUSE_AMPS,
    "The rating printed on the cover; advice never exceeds it.",
    "\"15 A\"",
);
const KEEP: Field = field(
    "keep",
    Takes::Flag,
    "Held against sizing when true.",
    "true",
);
const MAX_FUSE: Field = field(
    "max-fuse",
    FUSE_AMPS,
    "The largest fuse its maker allows.",
    "\"10 A\"",
);
const STYLE: Field = field(
    "style",
    Takes::Word(words::styles),
    "The family the fuse belongs to.",
    "\"blade\"",
);
const RATING: Field = field("rating", FUSE_AMPS, "The rating fitted now.", "\"15 A\"");
const CONTACT: Field = field(
    "contact",
    CONTACT_OHMS,
    "Resistance of a closed contact.",
    "\"5 mohm\"",
);

const fn part(
    kind: PartKind,
    path: &'static str,
    doc: &'static str,
    terminals: &'static [&'static str],
    fields: &'static [Field],
) -> Table {
    Table {
        path,
        shape: Shape::Named,
        kind: Some(kind),
        doc,
        terminals,
        fields,
        rules: &[],
    }
}

impl Table {
    const fn with_rules(self, rules: &'static [Rule]) -> Self {
        Self { rules, ..self }
    }
}

pub(super) const BATTERY: Table = part(
    PartKind::Battery,
    "battery",
    "A battery. Other chemistries than the listed ones are described by `open-volts` and `resistance`.",
    &["plus", "minus"],
    &[
        field("chemistry", Takes::Word(words::chemistries), "How it is built.", "\"agm\""),
        field("cold-cranking", Takes::Range(Dimension::Current, above_zero(5000.0)), "Cold-cranking amperes at -18 degC.", "\"500 A\""),
        field("capacity", Takes::Range(Dimension::Charge, above_zero(5000.0)), "Capacity.", "\"85 Ah\""),
        field("charge", Takes::Range(Dimension::Share, from(0.0, 1.0)), "State of charge.", "\"80 %\""),
        field("temperature", Takes::Range(Dimension::Temperature, from(-40.0, 80.0)), "Its own temperature.", "\"15 degC\""),
        field("open-volts", VOLTS, "Volts at rest, where `chemistry` does not fit.", "\"13.2 V\""),
        field("resistance", OHMS, "Internal resistance, where it is known.", "\"8 mohm\""),
        PLACE,
    ],
)
.with_rules(&[
    not_both("chemistry", "open-volts", "how the battery is built"),
    needs("open-volts", "resistance"),
]);

pub(super) const CHARGER: Table = part(
    PartKind::Charger,
    "charger",
    "A stator or alternator with its regulator.",
    &["plus", "minus"],
    &[
        field("output", AMPS, "The most it gives.", "\"12 A\""),
        field(
            "set-point",
            VOLTS,
            "The voltage it regulates to.",
            "\"14.4 V\"",
        ),
        field(
            "winding",
            Takes::Word(words::windings),
            "Whether one end of the winding lies on ground.",
            "\"grounded\"",
        ),
        field(
            "regulated",
            Takes::Flag,
            "Whether it regulates at all.",
            "true",
        ),
        PLACE,
    ],
);

pub(super) const FUSE: Table = part(
    PartKind::Fuse,
    "fuse",
    "A fuse in a holder of its own.",
    &["in", "out"],
    &[STYLE.required(), RATING.required(), LABEL, KEEP, PLACE],
);

pub(super) const FUSE_BLOCK: Table = part(
    PartKind::FuseBlock,
    "fuse-block",
    "Several fuses on one feed; each slot is a terminal with the slot's name.",
    &["feed"],
    &[
        field(
            "style",
            Takes::Word(words::styles),
            "The family of the fuses that do not name their own.",
            "\"blade\"",
        ),
        field(
            "slots",
            Takes::Slots,
            "The fuses by slot: a rating, or a table with rating, style, label and keep.",
            "{ pump = \"10 A\" }",
        )
        .required(),
        PLACE,
    ],
);

/// Fields of one slot of a fuse block, when it is written as a table.
pub(in crate::reading) const SLOT_FIELDS: &[Field] = &[RATING.required(), STYLE, LABEL, KEEP];

pub(super) const BREAKER: Table = part(
    PartKind::Breaker,
    "breaker",
    "A circuit breaker.",
    &["in", "out"],
    &[
        field("rating", FUSE_AMPS, "Its rating.", "\"20 A\"").required(),
        field(
            "reset",
            Takes::Word(words::resets),
            "How it comes back.",
            "\"manual\"",
        ),
        LABEL,
        KEEP,
        PLACE,
    ],
);

pub(super) const SWITCH: Table = part(
    PartKind::Switch,
    "switch",
    "A switch: simple with `in` and `out`, or a selector with terminals and positions of its own.",
    &["in", "out"],
    &[
        field(
            "terminals",
            Takes::OwnNames,
            "The terminals of a selector.",
            "[\"b\", \"i\", \"s\"]",
        ),
        field(
            "positions",
            Takes::Positions,
            "Which terminals each position of a selector joins, in pairs.",
            "{ off = [], run = [\"b-i\"] }",
        ),
        field(
            "normally",
            Takes::Word(words::normally),
            "How a simple switch stands when nothing acts on it.",
            "\"closed\"",
        ),
        CONTACT,
        PLACE,
    ],
)
.with_rules(&[
    needs("terminals", "positions"),
    needs("positions", "terminals"),
    not_both("normally", "positions", "whether the switch is simple"),
]);

pub(super) const RELAY: Table = part(
    PartKind::Relay,
    "relay",
    "A relay: coil 85 and 86, contact 30 to 87 when pulled in, to 87a when released.",
    &["85", "86", "30", "87", "87a"],
    &[
        field(
            "class",
            Takes::Class(PartKind::Relay),
            "The class its figures are taken from.",
            "\"plug-in\"",
        ),
        field("coil", OHMS, "Coil resistance at 20 degC.", "\"85 ohm\""),
        field("pull-in", VOLTS, "Volts at which it closes.", "\"7 V\""),
        field("drop-out", VOLTS, "Volts at which it opens.", "\"2 V\""),
        CONTACT,
        field(
            "suppression",
            Takes::Word(words::suppressions),
            "What quenches the coil's spark; with a diode, 86 is plus.",
            "\"resistor\"",
        ),
        PLACE,
    ],
);

pub(super) const DRIVER: Table = part(
    PartKind::Driver,
    "driver",
    "The switched outputs of a module; each channel joins its own terminal to `out` in the states that close it.",
    &["out"],
    &[
        field(
            "channels",
            Takes::OwnNames,
            "The names of the channels.",
            "[\"pump\", \"inj-1\"]",
        )
        .required(),
        field(
            "drop",
            Takes::Range(Dimension::Voltage, from(0.0, 5.0)),
            "Volts lost in a conducting channel.",
            "\"0.3 V\"",
        ),
        PLACE,
    ],
);

/// Fields of a known working point.
const WORKING_POINT: &[Field] = &[
    field("voltage", VOLTS, "Volts at its terminals.", "\"12 V\"").required(),
    field("current", AMPS, "Its current there.", "\"4.9 A\"").required(),
    field(
        "pressure",
        Takes::Range(Dimension::Pressure, from(0.0, 2e6)),
        "Its pressure there.",
        "\"300 kPa\"",
    ),
    field(
        "speed",
        Takes::Range(Dimension::Speed, from(0.0, 6000.0)),
        "Its speed there.",
        "\"5900 rpm\"",
    ),
];

const AT: Field = field(
    "at",
    Takes::Table(WORKING_POINT),
    "One known working point; the model is rescaled to it.",
    "{ voltage = \"12 V\", current = \"4.9 A\" }",
);
const LOCKED: Field = field("locked", AMPS, "Current with the rotor held.", "\"18 A\"");
const DRY: Field = field(
    "dry",
    AMPS,
    "Current running without liquid or load.",
    "\"1.0 A\"",
);
const WINDING_OHMS: Field = field(
    "resistance",
    OHMS,
    "Resistance of the winding at 20 degC.",
    "\"0.55 ohm\"",
);
const BARS: Field = field(
    "bars",
    Takes::Count {
        least: 3,
        most: 200,
    },
    "Bars of the commutator.",
    "8",
);

pub(super) const PUMP: Table = part(
    PartKind::Pump,
    "pump",
    "A motor pump.",
    &["plus", "minus"],
    &[
        field(
            "class",
            Takes::Class(PartKind::Pump),
            "The class its figures are taken from.",
            "\"bilge pump 1100 gal/h\"",
        ),
        AT,
        LOCKED,
        DRY,
        WINDING_OHMS,
        BARS,
        MAX_FUSE,
        PLACE,
    ],
);

pub(super) const MOTOR: Table = part(
    PartKind::Motor,
    "motor",
    "A motor. A two-field trim motor has the terminals up, down and common instead: it is one as soon as the file names one of them.",
    &["plus", "minus"],
    &[
        field(
            "class",
            Takes::Class(PartKind::Motor),
            "The class its figures are taken from.",
            "\"trim\"",
        )
        .required(),
        AT,
        LOCKED,
        DRY,
        WINDING_OHMS,
        BARS,
        MAX_FUSE,
        PLACE,
    ],
);

pub(super) const SOLENOID: Table = part(
    PartKind::Solenoid,
    "solenoid",
    "A coil that moves something: injector, choke, primer, fuel valve.",
    &["plus", "minus"],
    &[
        field(
            "class",
            Takes::Class(PartKind::Solenoid),
            "The class its figures are taken from.",
            "\"injector\"",
        ),
        field("coil", OHMS, "Coil resistance at 20 degC.", "\"13.8 ohm\""),
        field("pull", AMPS, "Current while pulling in.", "\"4 A\""),
        field("hold", AMPS, "Current while holding.", "\"1 A\""),
        PLACE,
    ],
);

pub(super) const LOAD: Table = part(
    PartKind::Load,
    "load",
    "Any other load, described by exactly one of class, power, current, resistance and lamp.",
    &["plus", "minus"],
    &[
        field(
            "class",
            Takes::Class(PartKind::Load),
            "The class its figures are taken from.",
            "\"horn\"",
        ),
        field("power", WATTS, "Constant power.", "\"20 W\""),
        field("current", AMPS, "Constant current.", "\"2 A\""),
        field("resistance", OHMS, "A plain resistance.", "\"6 ohm\""),
        field(
            "lamp",
            WATTS,
            "A filament lamp by its watts at the nominal voltage.",
            "\"10 W\"",
        ),
        field("inrush", AMPS, "The first current.", "\"8 A\""),
        field(
            "cut-off",
            VOLTS,
            "Volts below which electronics give up.",
            "\"8 V\"",
        ),
        MAX_FUSE,
        PLACE,
    ],
)
.with_rules(&[Rule::ExactlyOne {
    fields: &["class", "power", "current", "resistance", "lamp"],
    question: "what the load draws",
}]);

pub(super) const DIODE: Table = part(
    PartKind::Diode,
    "diode",
    "A diode or battery isolator path.",
    &["anode", "cathode"],
    &[
        field(
            "drop",
            Takes::Range(Dimension::Voltage, above_zero(5.0)),
            "Forward drop.",
            "\"0.7 V\"",
        ),
        PLACE,
    ],
);

pub(super) const STUD: Table = part(
    PartKind::Stud,
    "stud",
    "A ground stud, bus bar or splice: one joint, named by the stud's bare name.",
    &[],
    &[PLACE],
);

pub(super) const PLUG: Table = part(
    PartKind::Plug,
    "plug",
    "A plug: wires written `to` a pin are one half, those written `from` it the other.",
    &[],
    &[
        field(
            "pins",
            Takes::OwnNames,
            "The names of the pins.",
            "[\"feed\", \"start\"]",
        )
        .required(),
        CONTACT,
        field(
            "unplugged",
            Takes::Flag,
            "Pulled apart when true: all pins open.",
            "false",
        ),
        PLACE,
    ],
);
