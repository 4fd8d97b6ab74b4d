//! What was assumed, gathered: parts with the same defaults share a bullet, and
//! figures of one source stand before it together.

use crate::findings::Assumed;
use crate::sources::Source;

/// Figures of one source.
type Figures<'a> = (&'a Source, Vec<&'a str>);

/// One text a bullet, in the order in which the first of each was taken.
pub(super) fn gathered(assumed: &[Assumed]) -> Vec<String> {
    let mut of_subject: Vec<(&str, Vec<Figures<'_>>)> = Vec::new();
    for one in assumed {
        let figures = entry(&mut of_subject, one.subject.as_str());
        entry(figures, &one.source).push(&one.what);
    }
    let mut shared: Vec<(Vec<Figures<'_>>, Vec<&str>)> = Vec::new();
    for (subject, figures) in of_subject {
        entry(&mut shared, figures).push(subject);
    }
    shared
        .iter()
        .map(|(figures, subjects)| bullet(figures, subjects))
        .collect()
}

/// The list kept under `key`, made where there is none yet.
fn entry<K: PartialEq, V>(list: &mut Vec<(K, Vec<V>)>, key: K) -> &mut Vec<V> {
    let at = list.iter().position(|(known, _)| *known == key);
    let at = at.unwrap_or_else(|| {
        list.push((key, Vec::new()));
        list.len() - 1
    });
    &mut list[at].1
}

fn bullet(figures: &[Figures<'_>], subjects: &[&str]) -> String {
    let names: Vec<String> = subjects.iter().map(|name| format!("`{name}`")).collect();
    let sourced: Vec<String> = figures
        .iter()
        .map(|(source, whats)| format!("{}; {source}", whats.join(", ")))
        .collect();
    format!("{}: {}", names.join(", "), sourced.join(". "))
}

#[cfg(test)]
mod tests {
    use super::gathered;
    use crate::findings::Assumed;
    use crate::sources::{Source, Standing};

    #[test]
    fn alike_parts_share_a_bullet_and_one_source_stands_once() {
        let one = |subject: &str, what: &str, document: &str| Assumed {
            subject: subject.to_owned(),
            what: what.to_owned(),
            source: Source::new(document, "", Standing::Judgement),
        };
        let assumed = [
            one("a", "coil 85 ohm", "table"),
            one("a", "contact 5 mohm", "table"),
            one("b", "coil 85 ohm", "table"),
            one("b", "contact 5 mohm", "table"),
            one("c", "coil 85 ohm", "table"),
            one("c", "contact 6 mohm", "other"),
        ];
        assert_eq!(
            gathered(&assumed),
            [
                "`a`, `b`: coil 85 ohm, contact 5 mohm; table (judgement)",
                "`c`: coil 85 ohm; table (judgement). contact 6 mohm; other (judgement)",
            ]
        );
    }
}
