//! What is asked: from where, into which state, for how long, with what wrong.

use crate::network::PlanError;
use crate::solving::SolveError;
use crate::tables::OutOfTable;
use crate::tables::fuses::Edge;

/// A run that is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct Scenario {
    /// State whose switches stand from the first instant on.
    pub state: String,
    /// State the circuit rested in before; cold and dead, relays let go, where none is named.
    pub from: Option<String>,
    /// How long it runs, seconds.
    pub duration_s: f64,
    /// Pumps and motors that jam.
    pub locked: Vec<Jam>,
    /// A short.
    pub short: Option<Short>,
    /// Which instance of every fuse opens; none holds whatever flows.
    pub fuses: Option<Edge>,
    /// Relative error allowed in each step.
    pub tolerance: f64,
}

/// A shaft that jams at once.
#[derive(Debug, Clone, PartialEq)]
pub struct Jam {
    /// The pump or motor.
    pub part: String,
    /// When, seconds from the first instant.
    pub at_s: f64,
}

impl From<&str> for Jam {
    /// From the first instant on.
    fn from(part: &str) -> Self {
        Self {
            part: part.to_owned(),
            at_s: 0.0,
        }
    }
}

/// A short somewhere on a wire.
#[derive(Debug, Clone, PartialEq)]
pub struct Short {
    /// The wire's name, or `FROM to TO`.
    pub wire: String,
    /// Share of its length from its first end, 0 to 1.
    pub share: f64,
    /// Resistance of the short, ohms, above zero.
    pub ohm: f64,
    /// Terminal it lies on; the minus post of the first battery where none is named.
    pub to: Option<String>,
    /// When it is made, seconds from the first instant.
    pub at_s: f64,
}

/// Relative error allowed in each step where nobody asks for another.
pub const USUAL_TOLERANCE: f64 = 1e-6;

impl Scenario {
    /// A run from rest into a state, fuses in the middle of their band.
    pub fn new(state: impl Into<String>, duration_s: f64) -> Self {
        Self {
            state: state.into(),
            from: None,
            duration_s,
            locked: Vec::new(),
            short: None,
            fuses: Some(Edge::Nominal),
            tolerance: USUAL_TOLERANCE,
        }
    }
}

/// Why there is no run.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TransientError {
    /// The circuit itself cannot be solved.
    #[error(transparent)]
    Solve(#[from] SolveError),
    /// A figure no table has.
    #[error(transparent)]
    Table(#[from] OutOfTable),
    /// The wiring makes no network.
    #[error(transparent)]
    Plan(#[from] PlanError),
    /// A name the circuit does not have.
    #[error("the circuit has no {kind} `{name}`")]
    Unknown {
        /// What kind of name.
        kind: &'static str,
        /// The name.
        name: String,
    },
    /// A part that cannot jam.
    #[error("`{0}` has no shaft that could jam")]
    NotAMotor(String),
    /// The state to start from has no operating point.
    #[error("the state `{0}` has no steady point to start from")]
    NoStart(String),
    /// A figure out of range.
    #[error("{0}")]
    Range(String),
    /// No voltages balance the currents at some instant.
    #[error("at {time_s} s: {reason}")]
    Unbalanced {
        /// When.
        time_s: f64,
        /// Why.
        reason: String,
    },
}
