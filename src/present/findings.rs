//! Order, counts and the one-line summary of findings.

use crate::findings::{Finding, Severity};
use crate::span::{CircuitText, Span};

/// Where something stands: `line 4`, or ``line 4 of `list.csv` `` in a list
/// beside the circuit file.
pub(super) fn line_in_words(text: &CircuitText, at: Span) -> String {
    let (line, _) = text.line_column(at.start);
    match text.list_name_at(at.start) {
        Some(list) => format!("line {line} of `{list}`"),
        None => format!("line {line}"),
    }
}

/// Returns findings worst first; among equals the order they came in stays.
pub fn sorted(findings: &[Finding]) -> Vec<&Finding> {
    let mut order: Vec<&Finding> = findings.iter().collect();
    order.sort_by_key(|finding| finding.severity());
    order
}

/// The worst severity present.
pub fn worst(findings: &[Finding]) -> Option<Severity> {
    findings.iter().map(Finding::severity).min()
}

/// Counts the findings of one severity.
pub fn count(findings: &[Finding], severity: Severity) -> usize {
    findings
        .iter()
        .filter(|finding| finding.severity() == severity)
        .count()
}

/// Says in one line how many of each were found: `2 mistakes, 1 note`.
pub fn summary(findings: &[Finding]) -> String {
    let counts: Vec<String> = [
        Severity::Mistake,
        Severity::Violation,
        Severity::Caution,
        Severity::Note,
    ]
    .into_iter()
    .filter_map(|severity| counted(count(findings, severity), severity))
    .collect();
    if counts.is_empty() {
        "nothing found".to_owned()
    } else {
        counts.join(", ")
    }
}

fn counted(count: usize, severity: Severity) -> Option<String> {
    let word = severity.word();
    match count {
        0 => None,
        1 => Some(format!("1 {word}")),
        _ => Some(format!("{count} {word}s")),
    }
}

#[cfg(test)]
mod tests {
    use super::{sorted, summary, worst};
    use crate::findings::{Finding, Severity, code};

    #[test]
    fn counts_are_named_and_nothing_is_said_so() {
        let finding = Finding::new(code("toml-syntax"), "", "first");
        let second = Finding::new(code("toml-syntax"), "", "second");
        assert_eq!(summary(&[]), "nothing found");
        assert_eq!(summary(&[finding.clone(), second.clone()]), "2 mistakes");
        assert_eq!(
            worst(std::slice::from_ref(&finding)),
            Some(Severity::Mistake)
        );
        let both = [finding, second];
        let order: Vec<&str> = sorted(&both).iter().map(|f| f.statement.as_str()).collect();
        assert_eq!(order, ["first", "second"]);
    }
}
