//! One check of one fuse: a verdict, its figures, its sources, one sentence.

use crate::sources::Source;

/// How a check came out; rising trouble.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// As it should be.
    Holds,
    /// To know.
    Note,
    /// Outside good practice, or not promised.
    Caution,
    /// A rule broken, or a short that nothing ends in time.
    Violation,
}

impl Verdict {
    /// The word in output.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Holds => "holds",
            Self::Note => "note",
            Self::Caution => "caution",
            Self::Violation => "violation",
        }
    }
}

/// What is checked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// Continuous current against the rating.
    Load,
    /// What starts, or takes more at first.
    Start,
    /// A locked motor.
    Stall,
    /// A short at the far end of a wire.
    Short,
    /// From the least opening current to the fault current.
    Overload,
    /// Where nothing is promised.
    Hold,
    /// Wire before the device.
    Place,
    /// Breaking capacity.
    Breaking,
    /// Which opens first.
    Selectivity,
    /// Fuse against wire by rule.
    Wire,
    /// Label against fitted.
    Label,
    /// A breaker that closes again by itself.
    Reclosing,
    /// A charger into its own wires.
    Charger,
}

impl Kind {
    /// The word in output.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Load => "load",
            Self::Start => "start",
            Self::Stall => "stall",
            Self::Short => "far-end-short",
            Self::Overload => "overload",
            Self::Hold => "nothing-promised",
            Self::Place => "place",
            Self::Breaking => "breaking-capacity",
            Self::Selectivity => "selectivity",
            Self::Wire => "wire",
            Self::Label => "label",
            Self::Reclosing => "closes-again",
            Self::Charger => "charger",
        }
    }
}

/// A figure of a check: its JSON key with the unit, null where there is none.
pub type Figure = (&'static str, Option<f64>);

/// One check.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// What is checked.
    pub kind: Kind,
    /// How it came out.
    pub verdict: Verdict,
    /// The part, wire or fuse it is about beside the fuse itself.
    pub about: Option<String>,
    /// The state it is judged in, where it is one.
    pub state: Option<String>,
    /// One plain sentence.
    pub sentence: String,
    /// Further sentences; the first one belongs to every answer.
    pub more: Vec<String>,
    /// The figures behind it.
    pub figures: Vec<Figure>,
    /// Rows of a rule and what it allows, amperes, where rules stand side by side.
    pub rules: Vec<(String, Option<f64>)>,
    /// Citations.
    pub sources: Vec<Source>,
}

impl Check {
    /// A check with its sentence.
    pub(super) fn new(kind: Kind, verdict: Verdict, sentence: impl Into<String>) -> Self {
        Self {
            kind,
            verdict,
            about: None,
            state: None,
            sentence: sentence.into(),
            more: Vec::new(),
            figures: Vec::new(),
            rules: Vec::new(),
            sources: Vec::new(),
        }
    }

    /// A figure by its key; none where the check has none such, or it is null.
    pub fn value(&self, key: &str) -> Option<f64> {
        let found = self.figures.iter().find(|(of, _)| *of == key);
        found.and_then(|(_, value)| *value)
    }

    /// Names what it is about.
    pub(super) fn about(mut self, name: impl Into<String>) -> Self {
        self.about = Some(name.into());
        self
    }

    /// Names the state it is judged in.
    pub(super) fn in_state(mut self, name: impl Into<String>) -> Self {
        self.state = Some(name.into());
        self
    }

    /// Adds a sentence.
    pub(super) fn more(mut self, sentence: impl Into<String>) -> Self {
        self.more.push(sentence.into());
        self
    }

    /// Adds a figure.
    pub(super) fn figure(mut self, key: &'static str, value: impl Into<Option<f64>>) -> Self {
        self.figures.push((key, value.into()));
        self
    }

    /// Adds a citation.
    pub(super) fn source(mut self, source: Source) -> Self {
        if !self.sources.contains(&source) {
            self.sources.push(source);
        }
        self
    }
}
