//! One type for everything the program has to say about a circuit, from a bad
//! unit to a wire that is too thin.
//!
//! Each [`Code`] has one severity and one page (`explain CODE`); pages are
//! text files under `pages/`, one a code.

mod page;

pub use page::{Code, Page, all_pages, code, page_of};

use crate::sources::Source;
use crate::span::Span;

/// How bad it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// The file cannot be understood.
    Mistake,
    /// A rule of the chosen basis is broken, or a short that no device ends in time.
    Violation,
    /// Legal or likely fine, but outside good practice or what the gates promise.
    Caution,
    /// To know.
    Note,
}

impl Severity {
    /// The word in output.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Mistake => "mistake",
            Self::Violation => "violation",
            Self::Caution => "caution",
            Self::Note => "note",
        }
    }

    /// Reads the word back.
    pub fn from_word(word: &str) -> Option<Self> {
        [Self::Mistake, Self::Violation, Self::Caution, Self::Note]
            .into_iter()
            .find(|s| s.word() == word)
    }
}

/// A place in the file with what to say there; the first one is the main one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Label {
    /// Where.
    pub span: Span,
    /// What to say under the caret; may be empty.
    pub text: String,
}

/// The figure a finding rests on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measure {
    /// The value found.
    pub value: f64,
    /// The limit it is held against.
    pub limit: Option<f64>,
    /// Unit of both, as JSON writes it: `V`, `A`, `%`, `degC`.
    pub unit: &'static str,
}

/// One message.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// What kind of trouble; carries the severity.
    pub code: Code,
    /// `NAME`, `BLOCK.SLOT` or `FROM to TO`; empty for the file as a whole.
    pub subject: String,
    /// The operating state it was found in, if it depends on one.
    pub state: Option<String>,
    /// One sentence, lower case, no full stop, names in backticks.
    pub statement: String,
    /// What to type or which test to do.
    pub hint: Option<String>,
    /// The figure behind it.
    pub measure: Option<Measure>,
    /// Whether a choice of wire and fuse sizes can mend it.
    pub sizing_can_mend: bool,
    /// Places in the file, the main one first.
    pub labels: Vec<Label>,
    /// Citations.
    pub sources: Vec<Source>,
}

impl Finding {
    /// Starts a finding; the rest is added with the `with_` methods.
    pub fn new(code: Code, subject: impl Into<String>, statement: impl Into<String>) -> Self {
        Self {
            code,
            subject: subject.into(),
            state: None,
            statement: statement.into(),
            hint: None,
            measure: None,
            sizing_can_mend: false,
            labels: Vec::new(),
            sources: Vec::new(),
        }
    }

    /// Adds a place with what to say there.
    #[must_use]
    pub fn with_label(mut self, span: Span, text: impl Into<String>) -> Self {
        self.labels.push(Label {
            span,
            text: text.into(),
        });
        self
    }

    /// Says what to type or test.
    #[must_use]
    pub fn with_hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }

    /// Ties it to a state.
    #[must_use]
    pub fn in_state(mut self, state: impl Into<String>) -> Self {
        self.state = Some(state.into());
        self
    }

    /// Gives the figure behind it.
    #[must_use]
    pub fn with_measure(mut self, value: f64, limit: Option<f64>, unit: &'static str) -> Self {
        self.measure = Some(Measure { value, limit, unit });
        self
    }

    /// Says that sizing can mend it.
    #[must_use]
    pub fn mendable(mut self, can: bool) -> Self {
        self.sizing_can_mend = can;
        self
    }

    /// Adds a citation.
    #[must_use]
    pub fn with_source(mut self, source: Source) -> Self {
        if !self.sources.contains(&source) {
            self.sources.push(source);
        }
        self
    }

    /// Its severity, which its code decides.
    pub fn severity(&self) -> Severity {
        self.code.severity()
    }
}

/// A default that entered a result, listed under "assumed".
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Assumed {
    /// The part or wire it was filled in for.
    pub subject: String,
    /// The figure in words: `coil 85 ohm (72 to 98)`.
    pub what: String,
    /// Where it comes from.
    pub source: Source,
}
