//! Wires and bolted joints.

use super::{Given, Place, TerminalId};
use crate::quantities::{Band, Celsius, Metres, Ohms, WireSize};
use crate::span::Span;
use crate::tables::unwritten::{HangsOn, Lies};

/// One conductor between two terminals.
#[derive(Debug, Clone, PartialEq)]
pub struct Wire {
    /// The owner's name for it.
    pub name: Option<Given<String>>,
    /// Where it starts.
    pub from: TerminalId,
    /// Where it ends.
    pub to: TerminalId,
    /// Size as written; where it was not, the most likely one.
    pub size: Given<WireSize>,
    /// The conductor's own length, one way.
    pub length: Given<Band<Metres>>,
    /// Temperature class of the insulation; unknown means the 60 degC column.
    pub insulation: Option<Given<Celsius>>,
    /// Where it lies: as written, or the hotter of its ends' places.
    pub place: Place,
    /// Loaded conductors tied together, itself included.
    pub bundle: Option<Given<u32>>,
    /// Whether it runs in a sheath over its whole length.
    pub sheath: bool,
    /// Whether the copper is tinned, if known.
    pub tinned: Option<Given<bool>>,
    /// Both ends' terminals together, if known.
    pub joints: Option<Given<Band<Ohms>>>,
    /// Not to be changed by sizing.
    pub keep: bool,
    /// Colour of the insulation.
    pub colour: Option<Given<String>>,
    /// What the owner's wire list says of it in columns of its own, heading
    /// and cell.
    pub columns: Vec<(String, String)>,
    /// The table or chain it was written in.
    pub span: Span,
    /// Where its size may be written.
    pub written: Written,
    /// What the file does not know of it.
    pub unwritten: Unwritten,
}

/// What the owner has not measured of a wire, so that a range stands for it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Unwritten {
    /// The range its length was taken from.
    pub length: Option<Lies>,
    /// What its size was taken by.
    pub size: Option<HangsOn>,
}

impl Unwritten {
    /// Whether all was written.
    pub fn is_nothing(&self) -> bool {
        *self == Self::default()
    }
}

/// Where a wire stands in its file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Written {
    /// The table `[[wire]]` or `[[run]]` it stands in.
    pub table: Span,
    /// Which wire of that table it is, counted from 0: a chain's, then those
    /// of its return.
    pub hop: usize,
    /// How many wires the table has.
    pub hops: usize,
    /// Whether the table gives a size of its own; else it is the default's.
    pub own_size: bool,
}

/// Two terminals bolted straight together: one joint, so it can corrode.
#[derive(Debug, Clone, PartialEq)]
pub struct Join {
    /// The part's terminal.
    pub part: TerminalId,
    /// What it is bolted to.
    pub to: TerminalId,
    /// Where it was written.
    pub span: Span,
}
