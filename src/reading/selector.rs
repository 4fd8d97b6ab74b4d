//! Positions of a selector switch: which pairs of terminals each joins.

use super::codes;
use super::draft::Draft;
use super::names;
use super::nearest::{did_you_mean, listed};
use super::roster::short;
use super::sink::Sink;
use super::value::{Entry, Named};
use crate::findings::Finding;

type Positions = Vec<(String, Vec<(usize, usize)>)>;

/// Reads the positions, in file order.
pub(super) fn positions(out: &mut Sink, draft: &Draft) -> Option<Positions> {
    if !draft.ports_known || draft.record.key("terminals").is_none() {
        return None;
    }
    let map = draft.record.map("positions");
    if map.is_empty() && draft.record.value("positions").is_some() {
        out.push(
            Finding::new(
                codes::MISSING_FIELD,
                draft.name.text.as_str(),
                format!("`{}` has no positions", draft.name.text),
            )
            .with_label(
                draft.record.key("positions").unwrap_or_default(),
                "nothing is listed",
            )
            .with_hint("name each position with the pairs it joins: { off = [], run = [\"b-i\"] }"),
        );
    }
    let mut positions = Vec::new();
    for (name, entry) in map {
        names::check(out, name, "a position");
        let pairs = listed_pairs(out, draft, entry);
        positions.push((name.text.clone(), pairs));
    }
    Some(positions)
}

fn listed_pairs(out: &mut Sink, draft: &Draft, entry: &Entry) -> Vec<(usize, usize)> {
    let Some(super::value::Value::List(listed)) = &entry.value else {
        return Vec::new();
    };
    listed
        .iter()
        .filter_map(Entry::named)
        .filter_map(|text| pair(out, draft, &text))
        .collect()
}

fn pair(out: &mut Sink, draft: &Draft, text: &Named) -> Option<(usize, usize)> {
    let name = &draft.name.text;
    let Some((a, b)) = text
        .text
        .split_once('-')
        .filter(|(a, b)| !a.is_empty() && !b.is_empty())
    else {
        let words = draft.port_words();
        let example = words.iter().take(2).copied().collect::<Vec<_>>().join("-");
        out.push(
            Finding::new(
                codes::BAD_PAIR,
                name.as_str(),
                format!("`{}` is not a pair of terminals", short(&text.text)),
            )
            .with_label(text.span, "expected two terminals with a hyphen between")
            .with_hint(format!(
                "write two terminals with a hyphen, like \"{example}\"; terminals: {}",
                listed(words)
            )),
        );
        return None;
    };
    if a == b {
        out.push(
            Finding::new(
                codes::BAD_PAIR,
                name.as_str(),
                format!("`{}` joins a terminal to itself", short(&text.text)),
            )
            .with_label(text.span, "twice the same terminal")
            .with_hint("name two different terminals"),
        );
        return None;
    }
    let mut port = |word: &str| {
        let found = draft.port(word);
        if found.is_none() {
            let hint = did_you_mean(word, &draft.port_words(), &format!("terminals of `{name}`"));
            out.push(
                Finding::new(
                    codes::UNKNOWN_TERMINAL,
                    name.as_str(),
                    format!("`{name}` has no terminal `{}`", short(word)),
                )
                .with_label(text.span, "in this pair")
                .with_hint(hint),
            );
        }
        found
    };
    let (first, second) = (port(a), port(b));
    Some((first?, second?))
}
