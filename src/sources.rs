//! Where a figure comes from and how far it is known.
//!
//! Every table row, default and constant carries a [`Source`]; a lookup
//! returns [`Sourced`], so no figure travels without its citation.

use std::fmt;

/// How far a figure is known. One vocabulary everywhere.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Standing {
    /// The document was read.
    Published,
    /// A published figure recalled, not read.
    Unverified,
    /// Worked out from other figures; the source says how.
    Derived,
    /// Habit of the trade, without a document.
    CommonPractice,
    /// This project's own judgement.
    Judgement,
    /// Made up; only in demonstration circuits.
    Invented,
}

impl Standing {
    /// All six, in the order of trust.
    pub const ALL: [Self; 6] = [
        Self::Published,
        Self::Unverified,
        Self::Derived,
        Self::CommonPractice,
        Self::Judgement,
        Self::Invented,
    ];

    /// The word as data files and output write it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Published => "published",
            Self::Unverified => "unverified",
            Self::Derived => "derived",
            Self::CommonPractice => "common practice",
            Self::Judgement => "judgement",
            Self::Invented => "invented",
        }
    }

    /// Reads the word back.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|standing| standing.word() == word)
    }
}

impl fmt::Display for Standing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// A citation: the document, the place in it, and how far it is known.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Source {
    /// The document with its edition, or what the figure was worked out from.
    pub document: String,
    /// Table, clause or page; empty where the document is enough.
    pub place: String,
    /// How far the figure is known.
    pub standing: Standing,
}

impl Source {
    /// Makes a citation.
    pub fn new(document: impl Into<String>, place: impl Into<String>, standing: Standing) -> Self {
        Self {
            document: document.into(),
            place: place.into(),
            standing,
        }
    }
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.document)?;
        if !self.place.is_empty() {
            write!(f, ", {}", self.place)?;
        }
        write!(f, " ({})", self.standing)
    }
}

/// A value with the citation it came from.
#[derive(Debug, Clone, PartialEq)]
pub struct Sourced<T> {
    /// The figure.
    pub value: T,
    /// Where it comes from.
    pub source: Source,
}

impl<T> Sourced<T> {
    /// Ties a value to its source.
    pub fn new(value: T, source: Source) -> Self {
        Self { value, source }
    }

    /// Keeps the source and changes the value.
    pub fn map<U>(self, change: impl FnOnce(T) -> U) -> Sourced<U> {
        Sourced {
            value: change(self.value),
            source: self.source,
        }
    }
}
