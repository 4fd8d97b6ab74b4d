//! Pulses as people write them: `6x for 100ms falling to 0.6x, 2x for 3s`.

use super::pulse::{Level, Step};
use crate::quantities::{Amps, Seconds, parse};

const FORMS: &str = "write steps like \"6x for 100ms falling to 0.6x\" or \"40A for 2s, 8A\"";

/// Reads a level: `6x` times the rating, or amperes.
///
/// # Errors
/// Says what to type.
pub fn level(text: &str) -> Result<Level, String> {
    let text = text.trim();
    let figure = text
        .strip_suffix('x')
        .or_else(|| text.strip_suffix("times"));
    if let Some(figure) = figure {
        let multiple: f64 = figure
            .trim()
            .parse()
            .map_err(|_| format!("`{text}` is no multiple of the rating; write \"2x\""))?;
        return in_reach(multiple, text).map(Level::Multiple);
    }
    let current: Amps = parse(text)
        .map_err(|_| format!("`{text}` is no current; write \"2x\" the rating, or \"40A\""))?;
    in_reach(current.si(), text).map(|_| Level::Current(current))
}

fn in_reach(value: f64, text: &str) -> Result<f64, String> {
    if (0.0..=1e5).contains(&value) {
        return Ok(value);
    }
    Err(format!("`{text}` is not between nothing and 100000"))
}

/// Reads steps, apart by commas.
///
/// # Errors
/// Says what to type.
pub fn steps(text: &str) -> Result<Vec<Step>, String> {
    let steps: Vec<Step> = text.split(',').map(step).collect::<Result<_, _>>()?;
    let most = steps.iter().any(|step| match step.from {
        Level::Multiple(value) => value > 0.0,
        Level::Current(current) => current.si() > 0.0,
    });
    if most {
        Ok(steps)
    } else {
        Err(format!("no current flows in `{}`; {FORMS}", text.trim()))
    }
}

fn step(text: &str) -> Result<Step, String> {
    let (head, towards) = match text.split_once("falling to") {
        Some((head, to)) => (head, Some(level(to)?)),
        None => (text, None),
    };
    let (from, time) = match head.split_once(" for ") {
        Some((from, time)) => (from, Some(seconds(time)?)),
        None => (head, None),
    };
    if towards.is_some() && time.is_none() {
        return Err(format!("`{}` falls in no time; {FORMS}", text.trim()));
    }
    if from.trim().is_empty() {
        return Err(format!("`{}` is no step; {FORMS}", text.trim()));
    }
    Ok(Step {
        from: level(from)?,
        towards,
        time,
    })
}

fn seconds(text: &str) -> Result<Seconds, String> {
    let time: Seconds = parse(text.trim())
        .map_err(|_| format!("`{}` is no time; write \"100ms\" or \"2s\"", text.trim()))?;
    if time.si() > 0.0 && time.si() <= 1e7 {
        return Ok(time);
    }
    Err(format!("`{}` is not above zero", text.trim()))
}
