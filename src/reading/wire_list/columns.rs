//! The headings of a wire list: which column holds which field of a wire.

use super::cells::{Row, Sheet};
use crate::findings::Finding;
use crate::reading::catalogue::{Field, WIRE};
use crate::reading::codes;
use crate::reading::nearest::listed;
use crate::reading::roster::short;
use crate::reading::sink::Sink;
use crate::reading::value::Named;
use crate::span::Span;

/// What a column holds.
pub(super) enum Column {
    /// A field of a wire.
    Field(&'static Field),
    /// The owner's own: kept as it is.
    Own(Named),
    /// Nothing: it has no heading.
    Bare,
    /// Not clear; it was reported.
    Unclear,
}

/// Names that people give to a known column.
const OTHER_NAMES: [(&str, &str); 6] = [
    ("gauge", "size"),
    ("awg", "size"),
    ("mm2", "size"),
    ("wire size", "size"),
    ("start", "from"),
    ("end", "to"),
];

/// A heading as it is compared: small letters, single blanks.
pub(super) fn plain(heading: &str) -> String {
    let words: Vec<&str> = heading.split_whitespace().collect();
    words.join(" ").to_lowercase()
}

/// The field that a heading names, whichever way it spells colour.
pub(super) fn field(heading: &str) -> Option<&'static Field> {
    let plain = plain(heading);
    let key = if plain == "color" { "colour" } else { &plain };
    WIRE.field(key)
}

/// Which column holds what; true where both ends and no heading is in doubt.
pub(super) fn columns(out: &mut Sink, list: &Sheet) -> (Vec<Column>, bool) {
    let Some(head) = list.rows.first() else {
        return (Vec::new(), false);
    };
    let mut is_clear = true;
    let mut found: Vec<Column> = Vec::new();
    let mut seen: Vec<(String, Span)> = Vec::new();
    for cell in &head.cells {
        let heading = Named {
            text: cell.text.clone(),
            span: cell.span,
        };
        let column = column(out, heading, &mut seen);
        is_clear &= !matches!(column, Column::Unclear);
        found.push(column);
    }
    let has = |key: &str| {
        found
            .iter()
            .any(|column| matches!(column, Column::Field(field) if field.key == key))
    };
    // A heading in doubt may be the one that is missing.
    let missing: Vec<&str> = ["from", "to"].into_iter().filter(|key| !has(key)).collect();
    if is_clear && !missing.is_empty() {
        out.push(without_ends(head, &missing, list.separator));
    }
    (found, is_clear && missing.is_empty())
}

fn column(out: &mut Sink, heading: Named, seen: &mut Vec<(String, Span)>) -> Column {
    if heading.text.is_empty() {
        return Column::Bare;
    }
    let field = field(&heading.text);
    let name = field.map_or_else(|| plain(&heading.text), |field| field.key.to_owned());
    if let Some((_, before)) = seen.iter().find(|(other, _)| *other == name) {
        out.push(
            Finding::new(
                codes::WIRE_LIST_COLUMN,
                "",
                format!("two columns are headed `{name}`"),
            )
            .with_label(heading.span, "headed again")
            .with_label(*before, "first headed here")
            .with_hint("rename one of the two, or take one out"),
        );
        return Column::Unclear;
    }
    seen.push((name, heading.span));
    if let Some(field) = field {
        return Column::Field(field);
    }
    match meant(&heading.text) {
        None => Column::Own(heading),
        Some((near, hint)) => {
            let shown = short(&heading.text);
            out.push(
                Finding::new(
                    codes::WIRE_LIST_COLUMN,
                    "",
                    format!("the column `{shown}` is likely `{near}`"),
                )
                .with_label(heading.span, "not a known heading")
                .with_hint(hint),
            );
            Column::Unclear
        }
    }
}

/// The known heading that one is likely meant for, and what to write.
fn meant(heading: &str) -> Option<(&'static str, String)> {
    let plain = plain(heading);
    let bare = plain.split(['(', '[', '/']).next().unwrap_or("").trim();
    if bare != plain
        && let Some(field) = field(bare)
    {
        let key = field.key;
        let hint = format!(
            "head it `{key}` and write the unit in every cell, like {}",
            field.example
        );
        return Some((key, hint));
    }
    let other = OTHER_NAMES.iter().find(|(other, _)| *other == plain);
    let near = other.map(|(_, key)| *key).or_else(|| slip(&plain))?;
    let hint = format!(
        "did you mean `{near}`? a column of your own is kept under any heading less like it"
    );
    Some((near, hint))
}

/// A known heading one slip of the hand away.
fn slip(plain: &str) -> Option<&'static str> {
    let keys = WIRE.fields.iter().map(|field| field.key);
    keys.filter(|key| key.len() > 3 && plain.len() < 20)
        .find(|key| strsim::damerau_levenshtein(key, plain) == 1)
}

fn without_ends(head: &Row, missing: &[&str], separator: u8) -> Finding {
    let example =
        ["from", "to", "size", "length", "colour"].join(&char::from(separator).to_string());
    Finding::new(
        codes::WIRE_LIST_COLUMN,
        "",
        format!(
            "the wire list has no column {}",
            listed(missing.iter().copied())
        ),
    )
    .with_label(head.span, "its headings")
    .with_hint(format!(
        "begin the list with a line of headings, in any order: {example}"
    ))
}
