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
use crate::circuit::Circuit;
use crate::interpreting::{Measure, RunKind};
use std::collections::BTreeSet;
use toml::{Table, Value};

/// What a log holds.
#[derive(Debug, Default)]
pub(super) struct Log {
    pub readings: Readings,
    /// Volts of the battery at rest.
    pub rest_v: Option<f64>,
    /// Other parts whose readings stand in it.
    pub left_out: Vec<String>,
}

/// Whose readings are wanted of a log.
#[derive(Debug, Clone, Copy)]
pub(super) enum Of<'a> {
    /// Those of a part of a circuit: what stands at its other parts is left out.
    Part(&'a Circuit, &'a str),
    /// Those of the one part that the log is of.
    TheOne,
}

impl Of<'_> {
    /// The other part that an entry stands at, by its name.
    fn other(self, at: &str) -> Option<&str> {
        let Self::Part(circuit, name) = self else {
            return None;
        };
        let head = part_of(at).filter(|head| at != name && *head != name)?;
        circuit.find(head).map(|_| head)
    }
}

/// The part that an entry stands at; none for the battery of the test.
fn part_of(at: &str) -> Option<&str> {
    let head = at.split('.').next().unwrap_or(at);
    (!matches!(head, "" | "posts" | "rest" | "battery")).then_some(head)
}

/// Reads a log.
///
/// # Errors
/// In words, a line a mistake, each with the number of its entry; a log that has
/// readings of other parts alone, or of several where one is asked for.
pub(super) fn read(text: &str, of: Of<'_>) -> Result<Log, String> {
    let table: Table = text
        .parse()
        .map_err(|why: toml::de::Error| why.message().to_owned())?;
    let Some(Value::Array(entries)) = table.get("reading") else {
        return Err("a log has entries that begin with [[reading]]".to_owned());
    };
    let mut reader = Reader::default();
    let mut wrong = Vec::new();
    let mut others = BTreeSet::new();
    let mut own = BTreeSet::new();
    let mut has_own = false;
    for (number, entry) in (1..).zip(entries) {
        let at = text_of(entry, "at").unwrap_or_default();
        if let Some(other) = of.other(at) {
            others.insert(other);
            continue;
        }
        has_own = true;
        own.extend(part_of(at));
        let told = reader.take(entry).into_iter();
        wrong.extend(told.map(|why| format!("reading {number}: {why}")));
    }
    match of {
        Of::Part(_, name) if !has_own && !others.is_empty() => {
            let others = listed(&others);
            wrong.push(format!("no reading of `{name}`, only of {others}"));
        }
        Of::TheOne if own.len() > 1 => {
            let all = listed(&own);
            wrong.push(format!(
                "readings of {all}: one part at a time; with their circuit file, the part's name picks its own"
            ));
        }
        _ => {}
    }
    if wrong.is_empty() {
        reader.log.left_out = others.into_iter().map(str::to_owned).collect();
        Ok(reader.log)
    } else {
        Err(wrong.join("\n"))
    }
}

fn listed(names: &BTreeSet<&str>) -> String {
    let all: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
    all.join(" and ")
}

/// Entries of a log taken one after the other.
#[derive(Default)]
struct Reader {
    log: Log,
    /// Whether a run was begun, and how the last one was run.
    is_open: bool,
    run: Option<RunKind>,
}

impl Reader {
    /// Takes an entry; everything that is wrong with it.
    fn take(&mut self, entry: &Value) -> Vec<String> {
        let state = text_of(entry, "state").unwrap_or_default();
        let at = text_of(entry, "at").unwrap_or_default();
        let run = kind(state);
        let mut wrong = Vec::new();
        let is_rest = state == "rest" || at == "rest";
        if run.is_none() && !is_rest && !state.is_empty() {
            wrong.push(format!(
                "`state = \"{state}\"` is none of dry, wet, at-pressure, on, off, rest; a circuit's state is the option `--state`"
            ));
        }
        let value = value(entry).map_err(|why| wrong.push(why));
        let measure = measure(entry, at).map_err(|why| wrong.push(why));
        let (Ok(value), Ok(measure)) = (value, measure) else {
            return wrong;
        };
        match figure(measure, value) {
            Ok(figure) if wrong.is_empty() => {
                wrong.extend(self.keep(is_rest, run, measure, figure));
            }
            Ok(_) => {}
            Err(why) => wrong.push(why),
        }
        wrong
    }

    /// Keeps a figure; why it cannot be kept, where a run has it already.
    fn keep(
        &mut self,
        is_rest: bool,
        run: Option<RunKind>,
        measure: Measure,
        figure: f64,
    ) -> Option<String> {
        if is_rest {
            self.log.rest_v = Some(figure);
            return None;
        }
        if !self.is_open || self.run != run {
            self.log.readings.open(run);
            (self.is_open, self.run) = (true, run);
        }
        let kept = self.log.readings.read(measure, figure);
        kept.err().map(|of| {
            format!(
                "`{}` was read in this run already; another run has another state",
                of.option()
            )
        })
    }
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
