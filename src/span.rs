//! Where something stands in a circuit file, or in the wire list beside it.
//!
//! A [`Span`] is a byte range; [`CircuitText`] turns it into file, line and
//! column. The bytes of a wire list follow those of its circuit file.

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

/// Text to put in place of a stretch; an empty stretch is an insertion.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Edit {
    /// What it takes the place of.
    pub at: Span,
    /// The new text.
    pub with: String,
}

/// A text with stretches of it replaced, in whichever order they are given.
/// None where two overlap, or one is no part of the text.
pub fn spliced(text: &str, mut edits: Vec<Edit>) -> Option<String> {
    edits.sort_by_key(|edit| (edit.at.start, edit.at.end));
    let mut out = String::with_capacity(text.len() + 40 * edits.len());
    let mut done = 0;
    for edit in edits {
        out.push_str(text.get(done..edit.at.start)?);
        out.push_str(&edit.with);
        done = edit.at.end;
    }
    out.push_str(text.get(done..)?);
    Some(out)
}

/// The text of a circuit file and the name it was read under.
#[derive(Debug, Clone)]
pub struct CircuitText {
    /// What the user called the file, `-` for standard input.
    pub name: String,
    /// The whole text.
    pub text: String,
    /// The wire list that the file names, if it names one.
    pub list: Option<Box<ListText>>,
}

/// A wire list as it was found beside a circuit file.
#[derive(Debug, Clone)]
pub struct ListText {
    /// The name it was looked for under.
    pub name: String,
    /// Its whole text, or why there is none.
    pub text: Result<String, NoList>,
}

/// Why a wire list could not be had.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoList {
    /// The reason, in words.
    pub why: String,
    /// What to do about it.
    pub hint: String,
}

impl NoList {
    /// A reason and what to do about it.
    pub fn new(why: impl Into<String>, hint: impl Into<String>) -> Self {
        Self {
            why: why.into(),
            hint: hint.into(),
        }
    }
}

/// One of the texts, and what belongs before a place in it.
#[derive(Debug, Clone, Copy)]
pub struct OneText<'t> {
    /// The file's name.
    pub name: &'t str,
    /// Its text.
    pub text: &'t str,
    /// Where its first byte is counted from.
    pub start: usize,
}

impl CircuitText {
    /// Keeps `text` under `name`.
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            text: text.into(),
            list: None,
        }
    }

    /// Puts the wire list beside it that the file names.
    #[must_use]
    pub fn with_list(self, name: impl Into<String>, text: Result<String, NoList>) -> Self {
        let name = name.into();
        Self {
            list: Some(Box::new(ListText { name, text })),
            ..self
        }
    }

    /// Where the first byte of a wire list is counted from: one past the end
    /// of the circuit file, so that its end is not the list's start.
    pub fn list_start(&self) -> usize {
        self.text.len() + 1
    }

    /// The text of the wire list, if there is one.
    pub fn list_text(&self) -> Option<&str> {
        self.list.as_ref()?.text.as_deref().ok()
    }

    /// Whether a byte stands in the wire list.
    pub fn is_in_list(&self, byte: usize) -> bool {
        byte >= self.list_start() && self.list_text().is_some()
    }

    /// The name of the wire list, where a byte stands in it.
    pub fn list_name_at(&self, byte: usize) -> Option<&str> {
        let list = self.list.as_ref()?;
        self.is_in_list(byte).then_some(list.name.as_str())
    }

    /// The text that a byte stands in.
    pub fn text_at(&self, byte: usize) -> OneText<'_> {
        match (&self.list, self.list_text()) {
            (Some(list), Some(text)) if byte >= self.list_start() => OneText {
                name: &list.name,
                text,
                start: self.list_start(),
            },
            _ => OneText {
                name: &self.name,
                text: &self.text,
                start: 0,
            },
        }
    }

    /// Returns line and column of a byte in its file, both counted from 1, the
    /// column in characters. A byte past the end gives the place just after
    /// the text.
    pub fn line_column(&self, byte: usize) -> (usize, usize) {
        let OneText { text, start, .. } = self.text_at(byte);
        let mut byte = (byte - start).min(text.len());
        while !text.is_char_boundary(byte) {
            byte -= 1;
        }
        let before = &text[..byte];
        let line = before.matches('\n').count() + 1;
        let start = before.rfind('\n').map_or(0, |at| at + 1);
        (line, before[start..].chars().count() + 1)
    }
}
