//! Where something stands in a circuit file.
//!
//! A [`Span`] is a byte range; [`CircuitText`] turns it into line and column.

/// A byte range in a circuit file, end exclusive.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Span {
    /// First byte.
    pub start: usize,
    /// One past the last byte.
    pub end: usize,
}

impl Span {
    /// Makes a span from its first byte and the one past its last.
    pub const fn new(start: usize, end: usize) -> Self {
        Self { start, end }
    }
}

impl From<std::ops::Range<usize>> for Span {
    fn from(range: std::ops::Range<usize>) -> Self {
        Self::new(range.start, range.end)
    }
}

/// The text of a circuit file and the name it was read under.
#[derive(Debug, Clone)]
pub struct CircuitText {
    /// What the user called the file, `-` for standard input.
    pub name: String,
    /// The whole text.
    pub text: String,
}

impl CircuitText {
    /// Keeps `text` under `name`.
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            text: text.into(),
        }
    }

    /// Returns line and column of a byte, both counted from 1, the column in
    /// characters. A byte past the end gives the place just after the text.
    pub fn line_column(&self, byte: usize) -> (usize, usize) {
        let mut byte = byte.min(self.text.len());
        while !self.text.is_char_boundary(byte) {
            byte -= 1;
        }
        let before = &self.text[..byte];
        let line = before.matches('\n').count() + 1;
        let start = before.rfind('\n').map_or(0, |at| at + 1);
        (line, before[start..].chars().count() + 1)
    }
}
