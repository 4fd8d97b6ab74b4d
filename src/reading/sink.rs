//! Where findings are gathered while reading.

use super::codes;
use crate::findings::{Code, Finding, Severity};
use crate::span::Span;
use std::collections::HashSet;

/// More than this helps nobody.
const MOST: usize = 400;

/// Gathers findings; beyond [`MOST`] it only counts.
#[derive(Debug, Default)]
pub(super) struct Sink {
    findings: Vec<Finding>,
    seen: HashSet<(Code, Span, String)>,
    dropped: usize,
}

impl Sink {
    /// Adds a finding, once for each place and statement.
    pub(super) fn push(&mut self, finding: Finding) {
        if self.findings.len() >= MOST {
            self.dropped += 1;
            return;
        }
        let span = finding
            .labels
            .first()
            .map(|label| label.span)
            .unwrap_or_default();
        if self
            .seen
            .insert((finding.code, span, finding.statement.clone()))
        {
            self.findings.push(finding);
        }
    }

    /// Whether the file is unsound already.
    pub(super) fn has_mistakes(&self) -> bool {
        self.dropped > 0
            || self
                .findings
                .iter()
                .any(|finding| finding.severity() == Severity::Mistake)
    }

    /// Whether so much was found that looking further is idle.
    pub(super) fn is_full(&self) -> bool {
        self.findings.len() >= MOST
    }

    /// All findings in the order of the file.
    pub(super) fn into_sorted(mut self) -> Vec<Finding> {
        self.findings.sort_by(|a, b| {
            let place = |finding: &Finding| {
                finding
                    .labels
                    .first()
                    .map(|label| label.span)
                    .unwrap_or_default()
            };
            (place(a), a.code, &a.statement).cmp(&(place(b), b.code, &b.statement))
        });
        if self.dropped > 0 {
            let more = self.dropped;
            self.findings.push(
                Finding::new(
                    codes::TOO_MANY_MISTAKES,
                    "",
                    format!("{more} more findings are not shown"),
                )
                .with_hint("mend those shown and check again"),
            );
        }
        self.findings
    }
}
