//! Operating states: which contacts are made, who charges, what is wrong.

use super::{Given, PartId};
use crate::quantities::{Amps, Band, Fraction};
use crate::span::Span;
use std::collections::BTreeMap;

/// What is wrong with a part in a what-if state. One vocabulary everywhere.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Condition {
    /// Nothing.
    Healthy,
    /// Seized: does not turn.
    Locked,
    /// Stiff: turns against extra friction.
    Dragging,
    /// Pumping stage worn: less pressure.
    WornStage,
    /// Winding, brush or plug open.
    Open,
    /// One armature coil open.
    CoilOpen,
    /// One armature coil shorted.
    ShortedCoil,
    /// Brush worn or its film bad.
    WornBrush,
    /// Outlet restricted: pressure up to the relief valve.
    Restricted,
    /// No liquid.
    Dry,
    /// Leads swapped.
    Reversed,
    /// Bad contact in its lead.
    PoorContact,
    /// Battery low.
    LowSupply,
    /// Winding at 70 degC.
    Hot,
}

impl Condition {
    /// All conditions with the words files use.
    pub const ALL: [(Self, &'static str); 14] = [
        (Self::Healthy, "healthy"),
        (Self::Locked, "locked"),
        (Self::Dragging, "dragging"),
        (Self::WornStage, "worn-stage"),
        (Self::Open, "open"),
        (Self::CoilOpen, "coil-open"),
        (Self::ShortedCoil, "shorted-coil"),
        (Self::WornBrush, "worn-brush"),
        (Self::Restricted, "restricted"),
        (Self::Dry, "dry"),
        (Self::Reversed, "reversed"),
        (Self::PoorContact, "poor-contact"),
        (Self::LowSupply, "low-supply"),
        (Self::Hot, "hot"),
    ];

    /// The word as files write it.
    pub fn word(self) -> &'static str {
        Self::ALL
            .iter()
            .find(|(condition, _)| *condition == self)
            .map_or("", |(_, word)| word)
    }
}

/// How a switch or a driver stands in a state.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ContactPosition {
    /// A simple switch: made or not.
    Simple {
        /// Whether the contact is made.
        closed: bool,
    },
    /// A selector: index into its positions.
    Selector {
        /// The position's index.
        position: usize,
    },
    /// A driver: its conducting channels, by index, sorted.
    Channels {
        /// Indices into the driver's channels.
        closed: Vec<usize>,
    },
}

/// One operating state, fully resolved.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    /// Its name; `on` where the file has none.
    pub name: String,
    /// Where it is written; empty for the implied one.
    pub span: Span,
    /// Every switch and driver of the circuit, with how it stands.
    pub contacts: BTreeMap<PartId, ContactPosition>,
    /// What each charger gives, at most; chargers not named give nothing.
    pub charging: BTreeMap<PartId, Band<Amps>>,
    /// Share of the time a load or solenoid is on.
    pub duty: BTreeMap<PartId, Band<Fraction>>,
    /// State whose relay positions this one starts from (index, always earlier
    /// in solving order).
    pub after: Option<usize>,
    /// What is wrong with a part; a state with any is never judged by load and
    /// drop rules and never drives sizing.
    pub conditions: BTreeMap<PartId, Given<Condition>>,
}

impl State {
    /// Whether this is a what-if state.
    pub fn is_what_if(&self) -> bool {
        self.conditions
            .values()
            .any(|condition| condition.value != Condition::Healthy)
    }
}
