//! What a circuit file may say: every table, its fields, what each takes.
//!
//! This one list drives reading, the "did you mean" of unknown fields, the
//! JSON Schema and the printed documentation. A new field is one line here and
//! its use where the part is made.

mod parts;
mod readings;
mod settings;
mod states;
mod wiring;

use crate::circuit::PartKind;
use crate::quantities::Dimension;

pub(super) use parts::SLOT_FIELDS;
pub(super) use readings::READING;
pub(super) use settings::{AMBIENT, BENCH, BOAT, DEFAULTS_PART, HEAD, LIMITS};
pub(super) use states::STATE;
pub(super) use wiring::{DEFAULTS_WIRE, RUN, WIRE};

/// How a table is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// At the top of the file, outside all tables.
    Head,
    /// `[PATH]`, at most once.
    Single,
    /// `[PATH.NAME]`, as many as there are.
    Named,
    /// `[[PATH]]`, as many as there are.
    List,
}

/// Which figures are sensible, in the base unit of the dimension.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// The smallest allowed.
    pub low: f64,
    /// Whether the smallest itself is allowed.
    pub low_counts: bool,
    /// The largest allowed.
    pub high: f64,
}

/// Above zero and up to `high`.
const fn above_zero(high: f64) -> Limits {
    Limits {
        low: 0.0,
        low_counts: false,
        high,
    }
}

/// From `low` to `high`, both allowed.
const fn from(low: f64, high: f64) -> Limits {
    Limits {
        low,
        low_counts: true,
        high,
    }
}

/// What a field takes.
#[derive(Debug, Clone, Copy)]
pub enum Takes {
    /// One figure with its unit.
    Figure(Dimension, Limits),
    /// One figure or a range, with its unit.
    Range(Dimension, Limits),
    /// A wire size.
    Size,
    /// true or false.
    Flag,
    /// A whole number without unit.
    Count {
        /// The smallest allowed.
        least: u32,
        /// The largest allowed.
        most: u32,
    },
    /// The number of the file format.
    Format,
    /// Free text.
    Text,
    /// One of a few words.
    Word(fn() -> Vec<&'static str>),
    /// A class of parts of this kind.
    Class(PartKind),
    /// A list of names that the part gives to its own terminals.
    OwnNames,
    /// The positions of a selector switch: name = list of pairs.
    Positions,
    /// The fuses of a block: name = rating, or a table each.
    Slots,
    /// The name of a part.
    Part,
    /// A list of names of parts.
    Parts,
    /// A list of simple switches and driver channels.
    Contacts,
    /// A terminal, or the bare name of a stud.
    Terminal,
    /// A chain of terminals and bare names.
    Chain,
    /// The name of a state.
    State,
    /// A value, or `"?"` where nobody knows it.
    OrUnknown(&'static Takes),
    /// A list with one entry a wire.
    List(&'static Takes),
    /// One value for all wires of the run, or a list with one entry a wire.
    EachHop(&'static Takes),
    /// A table with fields of its own.
    Table(&'static [Field]),
    /// Part = value, for any number of parts.
    ByPart(&'static Takes),
    /// Switch = position.
    Settings,
}

/// Whether a field must be there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Need {
    /// May be left out.
    Optional,
    /// Must be written.
    Required,
}

/// One field of a table.
#[derive(Debug, Clone, Copy)]
pub struct Field {
    /// Its key.
    pub key: &'static str,
    /// What it takes.
    pub takes: Takes,
    /// Whether it must be there.
    pub need: Need,
    /// What it means, one sentence.
    pub doc: &'static str,
    /// A value as the file writes it.
    pub example: &'static str,
}

/// An optional field.
const fn field(key: &'static str, takes: Takes, doc: &'static str, example: &'static str) -> Field {
    Field {
        key,
        takes,
        need: Need::Optional,
        doc,
        example,
    }
}

impl Field {
    /// The same field, which must be written.
    const fn required(self) -> Self {
        Self {
            need: Need::Required,
            ..self
        }
    }

    /// The same field with another appetite.
    const fn taking(self, takes: Takes) -> Self {
        Self {
            takes,
            need: Need::Optional,
            ..self
        }
    }
}

/// What fields of one table ask of each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rule {
    /// Two fields that answer the same question.
    NotBoth {
        /// One field.
        one: &'static str,
        /// The other.
        other: &'static str,
        /// What both answer.
        question: &'static str,
    },
    /// A field that makes no sense without another.
    Needs {
        /// The field.
        field: &'static str,
        /// What it needs beside it.
        needed: &'static str,
    },
    /// Exactly one of these.
    ExactlyOne {
        /// The fields.
        fields: &'static [&'static str],
        /// What they answer.
        question: &'static str,
    },
}

/// One table of the file.
#[derive(Debug, Clone, Copy)]
pub struct Table {
    /// Its path without a name: `battery`, `wire`, `defaults.wire`.
    pub path: &'static str,
    /// How it is written.
    pub shape: Shape,
    /// The kind of part it describes, if any.
    pub kind: Option<PartKind>,
    /// What it is, one sentence.
    pub doc: &'static str,
    /// Terminals every such part has, in order; a part may add its own.
    pub terminals: &'static [&'static str],
    /// Its fields.
    pub fields: &'static [Field],
    /// What they ask of each other.
    pub rules: &'static [Rule],
}

/// Two fields that answer the same question.
const fn not_both(one: &'static str, other: &'static str, question: &'static str) -> Rule {
    Rule::NotBoth {
        one,
        other,
        question,
    }
}

/// A field that makes no sense without another.
const fn needs(field: &'static str, needed: &'static str) -> Rule {
    Rule::Needs { field, needed }
}

impl Table {
    /// Finds a field by its key.
    pub fn field(&self, key: &str) -> Option<&'static Field> {
        self.fields.iter().find(|field| field.key == key)
    }

    /// How its header is written.
    pub fn header(&self) -> String {
        match self.shape {
            Shape::Head => String::new(),
            Shape::Single => format!("[{}]", self.path),
            Shape::Named => format!("[{}.NAME]", self.path),
            Shape::List => format!("[[{}]]", self.path),
        }
    }
}

/// Every table of the file: the head, the kinds of part, wires and runs,
/// states, settings.
pub fn catalogue() -> &'static [Table] {
    ALL
}

/// The table of a kind of part.
pub(super) fn table_of(kind: PartKind) -> &'static Table {
    ALL.iter()
        .find(|table| table.kind == Some(kind))
        .unwrap_or(&HEAD)
}

const ALL: &[Table] = &[
    HEAD,
    parts::BATTERY,
    parts::CHARGER,
    parts::FUSE,
    parts::FUSE_BLOCK,
    parts::BREAKER,
    parts::SWITCH,
    parts::RELAY,
    parts::DRIVER,
    parts::PUMP,
    parts::MOTOR,
    parts::SOLENOID,
    parts::LOAD,
    parts::DIODE,
    parts::STUD,
    parts::PLUG,
    WIRE,
    RUN,
    STATE,
    READING,
    BOAT,
    AMBIENT,
    LIMITS,
    BENCH,
    DEFAULTS_PART,
    DEFAULTS_WIRE,
];
