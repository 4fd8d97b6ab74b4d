//! Codes and their pages: what a finding means, why it matters, what to do.
//!
//! A page is a text file `pages/CODE.md`: first line `severity: WORD`, second
//! line the title, then text. Adding a finding is that file, one line in
//! [`PAGES`], and its use.

use super::Severity;
use std::sync::LazyLock;

/// The code of a finding: a kebab-case word that states the trouble.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Code(&'static str);

impl Code {
    /// The word.
    pub const fn name(self) -> &'static str {
        self.0
    }

    /// Every code has one severity, written on its page.
    pub fn severity(self) -> Severity {
        page_of(self.0).map_or(Severity::Mistake, |page| page.severity)
    }
}

/// Makes a code; a test holds every use against the pages.
pub const fn code(name: &'static str) -> Code {
    Code(name)
}

/// The page of a code.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Page {
    /// The code.
    pub code: &'static str,
    /// Its severity.
    pub severity: Severity,
    /// One line.
    pub title: &'static str,
    /// Paragraphs: what it means, why it matters, what to do.
    pub text: &'static str,
}

macro_rules! pages {
    ($($name:literal),* $(,)?) => {
        &[$(($name, include_str!(concat!("pages/", $name, ".md")))),*]
    };
}

/// Every page, sorted by code.
const PAGES: &[(&str, &str)] = pages![
    "after-circle",
    "ampacity-unknown",
    "bad-figure",
    "bad-name",
    "bad-pair",
    "bare-battery-in-run",
    "bare-number",
    "battery-overcharged",
    "battery-voltage-high",
    "battery-voltage-low",
    "both-may-open",
    "breaker-cycles",
    "breaker-reheats-wire",
    "breaking-capacity-low",
    "breaking-capacity-unproven",
    "bundle-crowded",
    "cable-drop-high",
    "chain-too-short",
    "charger-above-wire",
    "contact-overloaded",
    "drop-above-limit",
    "drop-verdicts-differ",
    "duplicate-name",
    "electronics-cut-off",
    "empty-file",
    "file-too-large",
    "format-missing",
    "format-unknown",
    "fuse-above-class",
    "fuse-above-label",
    "fuse-above-lead",
    "fuse-above-maker",
    "fuse-above-rating",
    "fuse-above-wire",
    "fuse-above-wire-practice",
    "fuse-below-label",
    "fuse-bridged",
    "fuse-loaded-high",
    "fuse-opens-at-start",
    "fuse-opens-in-use",
    "fuses-together-above-wire",
    "half-wired",
    "hop-count",
    "insulation-fails",
    "island-without-battery",
    "like-circle",
    "load-never-fed",
    "load-overvoltage",
    "log-entry",
    "missing-field",
    "motor-stalled",
    "name-missing",
    "no-battery",
    "no-passage",
    "no-size-fits",
    "no-way-back",
    "not-a-circuit-file",
    "opening-not-promised",
    "out-of-range",
    "overload-outlasts-wire",
    "part-not-wired",
    "pin-half-empty",
    "polarity-reversed",
    "position-needed",
    "pump-wrong-duty",
    "rating-not-made",
    "reading-contradicts",
    "reading-not-used",
    "readings-leave-few",
    "relay-chatters",
    "relay-coil-reversed",
    "relay-drops-out",
    "relay-holds-only",
    "relay-not-pulled-in",
    "rules-collide",
    "short-not-cleared",
    "slot-unused",
    "solution-not-found",
    "stall-not-cleared",
    "stall-outlasts-wire",
    "starter-volts-low",
    "state-not-judged",
    "stud-terminal",
    "stud-unused",
    "supply-collapses",
    "terminal-needed",
    "toml-syntax",
    "too-many-mistakes",
    "two-answers",
    "unknown-class",
    "unknown-field",
    "unknown-kind",
    "unknown-part",
    "unknown-position",
    "unknown-state",
    "unknown-terminal",
    "unknown-word",
    "winding-overheats",
    "wire-above-ampacity",
    "wire-below-minimum",
    "wire-hot",
    "wire-list-column",
    "wire-list-row",
    "wire-list-unreadable",
    "wire-listed-twice",
    "wire-size-unread",
    "wire-to-itself",
    "wire-unprotected",
    "wire-unprotected-far",
    "wrong-part",
    "wrong-type",
];

static PARSED: LazyLock<Vec<Page>> = LazyLock::new(|| {
    PAGES
        .iter()
        .filter_map(|(name, text)| parse(name, text))
        .collect()
});

fn parse(code: &'static str, text: &'static str) -> Option<Page> {
    let (first, rest) = text.split_once('\n')?;
    let severity = Severity::from_word(first.strip_prefix("severity:")?.trim())?;
    let (title, text) = rest.split_once('\n')?;
    Some(Page {
        code,
        severity,
        title: title.trim(),
        text: text.trim(),
    })
}

/// All pages, sorted by code.
pub fn all_pages() -> &'static [Page] {
    &PARSED
}

/// The page of a code.
pub fn page_of(code: &str) -> Option<&'static Page> {
    PARSED.iter().find(|page| page.code == code)
}

#[cfg(test)]
mod tests {
    use super::{PAGES, all_pages};

    #[test]
    fn every_page_can_be_read_and_they_stand_in_order() {
        assert_eq!(all_pages().len(), PAGES.len());
        assert!(PAGES.is_sorted_by(|a, b| a.0 < b.0));
    }
}
