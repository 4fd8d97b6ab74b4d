//! One suspect: a cause at a place, as a change to the circuit.

use super::cause::Cause;
use crate::circuit::{PartId, TerminalId};
use crate::solving::Setting;

/// Where a suspect sits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Site {
    /// A wire, by index in the circuit.
    Wire(usize),
    /// A part.
    Part(PartId),
    /// A fuse, by index in the frame.
    Fuse(usize),
    /// A joint without a wire, by its terminal.
    Terminal(TerminalId),
}

/// A cause at a place, with one of its possible degrees.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Suspect {
    /// What is wrong.
    pub cause: Cause,
    /// Where.
    pub site: Site,
    /// Weight before anything is known.
    pub weight: f64,
    /// Branches that it changes.
    pub edits: Vec<(usize, Setting)>,
    /// Loads that work worse than their volts let expect: share of their work.
    pub dulled: Vec<(PartId, f64)>,
    /// A fuse that opens below its rating: its index and the share of the rating.
    pub derated: Option<(usize, f64)>,
    /// A fuse that opened without too much current.
    pub worn_out: Option<usize>,
    /// Its degree: ohms of a joint or short.
    pub ohm: Option<f64>,
    /// The end of a wire at which it sits, where it sits at one.
    pub end: Option<TerminalId>,
    /// Share of the wire from its first end to the short.
    pub along: Option<f64>,
    /// What sets it apart from its like, in words.
    pub detail: String,
    /// Whether it is a finer degree of another.
    pub refined: bool,
    /// The second fault, where there are two: what and where.
    pub second: Option<(Cause, Site)>,
    /// What sets the second apart.
    pub other: String,
}

impl Suspect {
    /// A suspect that changes nothing yet.
    pub(super) fn new(cause: Cause, site: Site, weight: f64) -> Self {
        Self {
            cause,
            site,
            weight,
            edits: Vec::new(),
            dulled: Vec::new(),
            derated: None,
            worn_out: None,
            ohm: None,
            end: None,
            along: None,
            detail: String::new(),
            refined: false,
            second: None,
            other: String::new(),
        }
    }

    /// With a branch changed; a branch that is not laid out is left out.
    #[must_use]
    pub(super) fn edit(mut self, branch: Option<usize>, setting: Setting) -> Self {
        if let Some(branch) = branch {
            self.edits.push((branch, setting));
        }
        self
    }

    /// With its degree.
    #[must_use]
    pub(super) fn degree(mut self, ohm: f64) -> Self {
        self.ohm = Some(ohm);
        self
    }

    /// At one end of its wire.
    #[must_use]
    pub(super) fn at_end(mut self, end: TerminalId) -> Self {
        self.end = Some(end);
        self
    }

    /// With what sets it apart.
    #[must_use]
    pub(super) fn told(mut self, detail: impl Into<String>) -> Self {
        self.detail = detail.into();
        self
    }

    /// With a load that works worse.
    #[must_use]
    pub(super) fn dull(mut self, part: PartId, share: f64) -> Self {
        self.dulled.push((part, share));
        self
    }

    /// Whether both are the same cause at the same place.
    pub(super) fn is_like(&self, other: &Self) -> bool {
        (self.cause, self.site, self.second) == (other.cause, other.site, other.second)
    }
}
