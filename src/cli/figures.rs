//! Figures on the command line, read as in a circuit file.

use crate::quantities::{Band, Quantity, QuantityError, WireSize, parse, parse_band, parse_size};

/// Reads one figure.
pub(super) fn one<Q: Quantity>(text: &str) -> Result<Q, String> {
    parse(text).map_err(in_words)
}

/// Reads one figure above zero.
pub(super) fn above_zero<Q: Quantity>(text: &str) -> Result<Q, String> {
    let value: Q = one(text)?;
    if value.si() > 0.0 {
        return Ok(value);
    }
    Err(not_above_zero(text))
}

/// Reads a figure or range above zero.
pub(super) fn band_above_zero<Q: Quantity>(text: &str) -> Result<Band<Q>, String> {
    let band: Band<Q> = parse_band(text).map_err(in_words)?;
    if band.low.si() > 0.0 {
        return Ok(band);
    }
    Err(not_above_zero(text))
}

/// Reads a wire size.
pub(super) fn size(text: &str) -> Result<WireSize, String> {
    parse_size(text).map_err(in_words)
}

/// Reads a list parted by commas and `and`; a bare number takes the unit of the
/// next entry that has one.
pub(super) fn listed<T>(
    text: &str,
    one: impl Fn(&str) -> Result<T, String>,
) -> Result<Vec<T>, String> {
    let entries = text.split(',').flat_map(|part| part.split(" and "));
    let entries: Vec<&str> = entries.map(str::trim).filter(|e| !e.is_empty()).collect();
    if entries.is_empty() {
        return Err("the list is empty".into());
    }
    let mut unit: Option<&str> = None;
    let mut all = Vec::new();
    for entry in entries.into_iter().rev() {
        let last = entry.rsplit(' ').next().unwrap_or(entry);
        let letters = last.find(char::is_alphabetic);
        let found = match unit.filter(|_| letters.is_none()) {
            Some(unit) => one(&format!("{entry} {unit}")),
            None => one(entry),
        };
        all.push(found?);
        unit = letters.map(|at| &last[at..]).or(unit);
    }
    all.reverse();
    Ok(all)
}

fn not_above_zero(text: &str) -> String {
    let text = text.trim();
    match text.strip_prefix('-') {
        Some(plain) => {
            format!("`{text}` is not above zero: if the leads were swapped, write {plain}")
        }
        None => format!("`{text}` is not above zero"),
    }
}

fn in_words(error: QuantityError) -> String {
    match error.hint {
        Some(hint) => format!("{}; {hint}", error.message),
        None => error.message,
    }
}
