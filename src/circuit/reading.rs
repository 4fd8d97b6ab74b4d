//! Readings the owner took on the boat.

use super::zones::FuseId;
use super::{PartId, TerminalId};
use crate::span::Span;

/// One entry `[[reading]]`.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// Where it was taken, as written.
    pub at: String,
    /// What the meter was on.
    pub taken: Taken,
    /// Volts or amperes, whichever way round the leads were.
    pub value: f64,
    /// How far it may be off, in the same unit; the meter's usual where none.
    pub within: Option<f64>,
    /// Index of the state the boat was in.
    pub state: usize,
    /// Where it stands in the file.
    pub span: Span,
}

/// What the meter was on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Taken {
    /// Volts between two terminals.
    Volts(TerminalId, TerminalId),
    /// Volts on the millivolt range between two terminals.
    Millivolts(TerminalId, TerminalId),
    /// Amperes in something.
    Amps(Carrier),
}

/// What a current was read in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Carrier {
    /// A load, coil, charger or battery.
    Part(PartId),
    /// A fuse or breaker.
    Fuse(FuseId),
    /// A wire, by its index in the circuit.
    Wire(usize),
}

impl Taken {
    /// Whether it is volts, not amperes.
    pub const fn is_volts(self) -> bool {
        matches!(self, Self::Volts(..) | Self::Millivolts(..))
    }
}
