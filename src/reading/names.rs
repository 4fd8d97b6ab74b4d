//! Which names are allowed.

use super::codes;
use super::sink::Sink;
use super::value::Named;
use crate::findings::Finding;

/// Longest name of a part, terminal or state.
pub(super) const LONGEST: usize = 64;

/// Whether a text is a name: `[a-z0-9-]`, neither beginning nor ending with
/// a hyphen.
pub(super) fn is_name(text: &str) -> bool {
    !text.is_empty()
        && text.len() <= LONGEST
        && text
            .bytes()
            .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-')
        && !text.starts_with('-')
        && !text.ends_with('-')
}

/// Reports a text that is no name; `what` says what it should name.
pub(super) fn check(out: &mut Sink, name: &Named, what: &str) -> bool {
    if is_name(&name.text) {
        return true;
    }
    let shown: String = name.text.chars().take(40).collect();
    let hint = match suggestion(&name.text) {
        Some(better) => format!("use small letters, digits and hyphens, for example `{better}`"),
        None => format!("use one to {LONGEST} small letters, digits and hyphens"),
    };
    out.push(
        Finding::new(
            codes::BAD_NAME,
            shown.clone(),
            format!("`{shown}` cannot name {what}"),
        )
        .with_label(name.span, "not a name")
        .with_hint(hint),
    );
    false
}

/// Turns what was written into a name, where something is left of it.
fn suggestion(text: &str) -> Option<String> {
    let mut better = String::new();
    for c in text.chars().take(LONGEST) {
        if c.is_ascii_alphanumeric() {
            better.push(c.to_ascii_lowercase());
        } else if !better.ends_with('-') {
            better.push('-');
        }
    }
    let better = better.trim_matches('-').to_owned();
    is_name(&better).then_some(better)
}
