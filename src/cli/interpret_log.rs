//! A log of readings: TOML with `[[reading]]` entries, and own odds.
//!
//! ```toml
//! [[reading]]
//! at = "pump"             # or "posts", "rest"
//! quantity = "volts"      # as the option is called
//! value = "12.0 V"
//! state = "wet"           # dry, wet, at-pressure, on, off; entries of one state are one run
//! ```

use super::readings::{Readings, figure, kind};
use crate::interpreting::{Measure, RunKind};
use toml::{Table, Value};

/// What a log holds.
#[derive(Debug, Default)]
pub(super) struct Log {
    pub readings: Readings,
    /// Volts of the battery at rest.
    pub rest_v: Option<f64>,
}

/// Reads a log.
///
/// # Errors
/// In words, with the number of the entry.
pub(super) fn read(text: &str) -> Result<Log, String> {
    let table: Table = text
        .parse()
        .map_err(|why: toml::de::Error| why.message().to_owned())?;
    let Some(Value::Array(entries)) = table.get("reading") else {
        return Err("a log has entries that begin with [[reading]]".to_owned());
    };
    let mut log = Log::default();
    let mut open: Option<Option<RunKind>> = None;
    for (number, entry) in (1..).zip(entries) {
        let told = |why: String| format!("reading {number}: {why}");
        let state = text_of(entry, "state").unwrap_or_default();
        let at = text_of(entry, "at").unwrap_or_default();
        let value = value(entry).map_err(told)?;
        let measure = measure(entry, at).map_err(told)?;
        let figure = figure(measure, value).map_err(told)?;
        if state == "rest" || at == "rest" {
            log.rest_v = Some(figure);
            continue;
        }
        let run = kind(state);
        if run.is_none() && !state.is_empty() {
            let why =
                format!("`state = \"{state}\"` is none of dry, wet, at-pressure, on, off, rest");
            return Err(told(why));
        }
        if open != Some(run) {
            log.readings.open(run);
            open = Some(run);
        }
        log.readings.read(measure, figure).map_err(|of| {
            told(format!(
                "`{}` was read in this run already; another run has another state",
                of.option()
            ))
        })?;
    }
    Ok(log)
}

/// A figure with its unit, in quotes.
fn value(entry: &Value) -> Result<&str, String> {
    match entry.get("value") {
        Some(Value::String(text)) => Ok(text),
        Some(Value::Float(bare)) => Err(without_unit(*bare)),
        Some(Value::Integer(bare)) => Err(without_unit(*bare as f64)),
        Some(_) => Err("`value` is no text; write value = \"12.0 V\"".to_owned()),
        None => Err("`value` is missing; write value = \"12.0 V\"".to_owned()),
    }
}

fn without_unit(bare: f64) -> String {
    format!("`value = {bare}` has no unit; write it in quotes with its unit, as value = \"12.0 V\"")
}

fn text_of<'a>(entry: &'a Value, key: &str) -> Option<&'a str> {
    entry.get(key).and_then(Value::as_str)
}

fn measure(entry: &Value, at: &str) -> Result<Measure, String> {
    let quantity = text_of(entry, "quantity")
        .ok_or_else(|| "`quantity` is missing; write quantity = \"volts\"".to_owned())?;
    let found = Measure::ALL.into_iter().find(|of| of.option() == quantity);
    match found {
        Some(Measure::Volts) if at == "posts" || at == "battery" => Ok(Measure::PostVolts),
        Some(found) => Ok(found),
        None => {
            let known = Measure::ALL.map(Measure::option).join(", ");
            Err(format!("`quantity = \"{quantity}\"` is none of {known}"))
        }
    }
}

/// Reads odds: `[pump]`, `[relay]`, `[battery]` with a share a condition.
///
/// # Errors
/// In words.
pub(super) fn odds(text: &str, part: &str) -> Result<Vec<(String, f64)>, String> {
    let table: Table = text
        .parse()
        .map_err(|why: toml::de::Error| why.message().to_owned())?;
    let Some(of_part) = table.get(part).and_then(Value::as_table) else {
        return Err(format!(
            "there is no table [{part}]; write one, as in [{part}] healthy = 0.5"
        ));
    };
    let share = |(name, value): (&String, &Value)| {
        let number = value
            .as_float()
            .or(value.as_integer().map(|whole| whole as f64));
        number
            .map(|share| (name.clone(), share))
            .ok_or_else(|| format!("`{name}` is no share from 0 to 1"))
    };
    of_part.iter().map(share).collect()
}
