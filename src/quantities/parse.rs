//! Reading what people write: "14 ft", "2.6 to 3.8 A", "4.9 A +/- 10 %".
//!
//! A figure needs its unit; a bare number, a decimal comma, NaN and infinity
//! are refused with the text to type instead.

use super::band::Band;
use super::types::Quantity;
use super::units::{Dimension, Unit, dimension_of, find, units_of};
use thiserror::Error;

/// Why a text is not the quantity asked for.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{message}")]
pub struct QuantityError {
    /// What is wrong, lower case, no full stop.
    pub message: String,
    /// What to type instead.
    pub hint: Option<String>,
}

impl QuantityError {
    pub(super) fn new(message: impl Into<String>, hint: impl Into<String>) -> Self {
        Self {
            message: message.into(),
            hint: Some(hint.into()),
        }
    }
}

/// Reads one figure with its unit.
///
/// # Errors
/// When the number or the unit cannot be read, or the unit measures something
/// else; the hint says what to type.
pub fn parse<Q: Quantity>(text: &str) -> Result<Q, QuantityError> {
    let band = parse_band::<Q>(text)?;
    if band.is_range() {
        return Err(QuantityError::new(
            format!("`{}` is a range; one figure is needed here", text.trim()),
            format!(
                "write one figure, for example \"{}\"",
                super::print::quantity(band.typical)
            ),
        ));
    }
    Ok(band.typical)
}

/// Reads a figure or a range: "2.6 to 3.8 A", "2.6..3.8 A", "3.2 A +/- 0.6 A",
/// "4.9 A +/- 10 %".
///
/// # Errors
/// As [`parse`]; also when a range is upside down.
pub fn parse_band<Q: Quantity>(text: &str) -> Result<Band<Q>, QuantityError> {
    let folded = fold(text);
    let text = folded.trim();
    if text.is_empty() {
        return Err(QuantityError::new(
            "nothing is written here",
            format!("write {}", example(Q::DIMENSION)),
        ));
    }
    if let Some((middle, reach)) = text.split_once("+/-") {
        return tolerance(middle.trim(), reach.trim());
    }
    for separator in [" to ", ".."] {
        if let Some((low, high)) = text.split_once(separator) {
            return span(low.trim(), high.trim());
        }
    }
    one(text, Q::DIMENSION).map(|base| Band::exactly(Q::new(base)))
}

fn tolerance<Q: Quantity>(middle: &str, reach: &str) -> Result<Band<Q>, QuantityError> {
    if let Ok(share) = one(reach, Dimension::Share) {
        let typical = one(middle, Q::DIMENSION)?;
        let share = positive(reach, share)?;
        return bounded(middle, Band::within(Q::new(typical), share));
    }
    // "3.2 +/- 0.6 A": the unit stands once, at the end.
    let (_, unit) = split_unit(reach)?;
    let middle = if split_unit(middle)?.1.is_empty() {
        format!("{middle} {unit}")
    } else {
        middle.to_owned()
    };
    let typical = one(&middle, Q::DIMENSION)?;
    let (figure, unit_text) = split_unit(reach)?;
    let unit = unit_for(reach, unit_text, Q::DIMENSION)?;
    let reach = positive(reach, figure * unit.factor)?;
    let band = Band::new(
        Q::new(typical - reach),
        Q::new(typical),
        Q::new(typical + reach),
    );
    bounded(&middle, band)
}

/// The band, if both its ends are numbers.
fn bounded<Q: Quantity>(text: &str, band: Band<Q>) -> Result<Band<Q>, QuantityError> {
    if band.low.si().is_finite() && band.high.si().is_finite() {
        Ok(band)
    } else {
        Err(too_large(text))
    }
}

fn positive(text: &str, value: f64) -> Result<f64, QuantityError> {
    if value >= 0.0 {
        return Ok(value);
    }
    Err(QuantityError::new(
        format!("`{text}` after +/- is negative"),
        format!("write +/- {}", text.trim_start_matches(['-', ' '])),
    ))
}

fn span<Q: Quantity>(low: &str, high: &str) -> Result<Band<Q>, QuantityError> {
    let top = one(high, Q::DIMENSION)?;
    let (_, high_unit) = split_unit(high)?;
    let low_text = if split_unit(low)?.1.is_empty() {
        format!("{low} {high_unit}")
    } else {
        low.to_owned()
    };
    let bottom = one(&low_text, Q::DIMENSION)?;
    if bottom > top {
        return Err(QuantityError::new(
            format!("the range `{low} to {high}` runs downwards"),
            format!(
                "write \"{} to {}\"",
                strip_unit(high),
                with_unit(low, high_unit)
            ),
        ));
    }
    Ok(Band::between(Q::new(bottom), Q::new(top)))
}

fn strip_unit(text: &str) -> String {
    split_unit(text).map_or_else(
        |_| text.to_owned(),
        |(_, unit)| text[..text.len() - unit.len()].trim().to_owned(),
    )
}

fn with_unit(text: &str, unit: &str) -> String {
    format!("{} {unit}", strip_unit(text))
}

/// Reads one figure to the base unit of the dimension.
fn one(text: &str, dimension: Dimension) -> Result<f64, QuantityError> {
    if number_end(text.trim()) == 0 {
        return Err(QuantityError::new(
            format!("`{}` does not begin with a number", text.trim()),
            format!("write {}", example(dimension)),
        ));
    }
    let (figure, unit_text) = split_unit(text)?;
    if unit_text.is_empty() {
        return Err(QuantityError::new(
            format!("`{text}` has no unit"),
            format!(
                "write {} with its unit, like \"{text} {}\"",
                dimension.with_article(),
                dimension.first_unit()
            ),
        ));
    }
    if dimension == Dimension::Length
        && let Some(total) = feet_and_inches(figure, unit_text)
    {
        return Ok(total);
    }
    let unit = unit_for(text, unit_text, dimension)?;
    let base = figure * unit.factor + unit.offset;
    if base.is_finite() {
        Ok(base)
    } else {
        Err(too_large(text))
    }
}

/// "14 ft 6 in" and 14'6": feet, then inches.
fn feet_and_inches(feet: f64, rest: &str) -> Option<f64> {
    let foot = units_of(Dimension::Length)
        .iter()
        .find(|unit| unit.symbol == "ft")?;
    let inch = units_of(Dimension::Length)
        .iter()
        .find(|unit| unit.symbol == "in")?;
    let at = rest.find(|c: char| c.is_ascii_digit())?;
    let name = rest[..at].trim();
    if find(Dimension::Length, name)? != foot {
        return None;
    }
    let (inches, unit_text) = split_unit(&rest[at..]).ok()?;
    let inches = if feet < 0.0 { -inches } else { inches };
    (find(Dimension::Length, unit_text)? == inch)
        .then_some(feet * foot.factor + inches * inch.factor)
}

fn unit_for(
    text: &str,
    unit_text: &str,
    dimension: Dimension,
) -> Result<&'static Unit, QuantityError> {
    if let Some(unit) = find(dimension, unit_text) {
        return Ok(unit);
    }
    if let Some((other, unit)) = dimension_of(unit_text) {
        return Err(QuantityError::new(
            format!(
                "{} measures {}; {} is needed here",
                unit.symbol,
                other.word(),
                dimension.with_article()
            ),
            format!("write {}", example(dimension)),
        ));
    }
    let known: Vec<&str> = units_of(dimension).iter().map(|unit| unit.symbol).collect();
    let near = known
        .iter()
        .filter(|symbol| unit_text.len() > 1 || symbol.len() > 1)
        .min_by_key(|symbol| {
            strsim::damerau_levenshtein(&symbol.to_lowercase(), &unit_text.to_lowercase())
        });
    let hint = match near {
        Some(symbol)
            if strsim::damerau_levenshtein(&symbol.to_lowercase(), &unit_text.to_lowercase())
                <= 1 + symbol.len() / 4 =>
        {
            format!(
                "did you mean \"{} {symbol}\"? units that would do: {}",
                strip_unit(text),
                known.join(", ")
            )
        }
        _ => format!("units that would do: {}", known.join(", ")),
    };
    Err(QuantityError::new(
        format!("`{unit_text}` is not a unit of {}", dimension.word()),
        hint,
    ))
}

/// An example of a figure of this dimension, quoted.
fn example(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Voltage => "a voltage, like \"12.6 V\"",
        Dimension::Current => "a current, like \"15 A\"",
        Dimension::Resistance => "a resistance, like \"80 mohm\" or \"4 ohm\"",
        Dimension::Power => "a power, like \"20 W\"",
        Dimension::Length => "a length, like \"14 ft\" or \"4.3 m\"",
        Dimension::Area => "an area, like \"2.5 mm2\"",
        Dimension::Temperature => "a temperature, like \"50 degC\" or \"122 degF\"",
        Dimension::Pressure => "a pressure, like \"300 kPa\" or \"43 psi\"",
        Dimension::Speed => "a speed, like \"5900 rpm\"",
        Dimension::Charge => "a capacity, like \"85 Ah\"",
        Dimension::Share => "a percentage, like \"3 %\"",
        Dimension::Time => "a time, like \"100 ms\" or \"2 s\"",
        Dimension::Flow => "a flow, like \"90 L/h\"",
    }
}

fn too_large(text: &str) -> QuantityError {
    QuantityError::new(
        format!("`{text}` is too large to be meant"),
        "check the figure and its unit",
    )
}

/// Splits "14 ft" into the figure and the spelling of its unit.
fn split_unit(text: &str) -> Result<(f64, &str), QuantityError> {
    let text = text.trim();
    let end = number_end(text);
    let (number, rest) = text.split_at(end);
    if number.is_empty() {
        return Err(QuantityError::new(
            format!("`{text}` does not begin with a number"),
            "write a number and its unit, like \"12 V\"",
        ));
    }
    if rest.starts_with(',') && rest[1..].starts_with(|c: char| c.is_ascii_digit()) {
        return Err(decimal_comma(number, &rest[1..]));
    }
    Ok((
        number_value(number).ok_or_else(|| too_large(text))?,
        rest.trim(),
    ))
}

fn decimal_comma(whole: &str, rest: &str) -> QuantityError {
    let digits = rest.chars().take_while(char::is_ascii_digit).count();
    let (fraction, unit) = rest.split_at(digits);
    let unit = unit.trim();
    let pad = if unit.is_empty() { "" } else { " " };
    let point = format!("\"{whole}.{fraction}{pad}{unit}\"");
    let hint = if digits == 3 {
        format!("write {point}, or \"{whole}{fraction}{pad}{unit}\" if the comma parts thousands")
    } else {
        format!("write {point}")
    };
    QuantityError::new("a decimal comma is not read", hint)
}

/// Where the number ends: digits, one point, an exponent, or a fraction
/// ("1/2", "1-1/2").
fn number_end(text: &str) -> usize {
    let bytes = text.as_bytes();
    let digits = |mut at: usize| {
        while at < bytes.len() && bytes[at].is_ascii_digit() {
            at += 1;
        }
        at
    };
    let start = usize::from(matches!(bytes.first(), Some(b'+' | b'-')));
    let whole = digits(start);
    let mut end = whole;
    // Two points are a range ("2.6..3.8 A"), split before this is called.
    if bytes.get(end) == Some(&b'.') {
        end = digits(end + 1);
    }
    if end == start || (end == start + 1 && whole == start) {
        return 0;
    }
    if matches!(bytes.get(end), Some(b'e' | b'E')) {
        let sign = end + 1 + usize::from(matches!(bytes.get(end + 1), Some(b'+' | b'-')));
        let exponent = digits(sign);
        if exponent > sign {
            return exponent;
        }
    }
    // A fraction: "1/2", or after a whole number "1-1/2" and "1 1/2".
    let fraction = |at: usize| {
        let top = digits(at);
        let bottom = if top > at && bytes.get(top) == Some(&b'/') {
            digits(top + 1)
        } else {
            0
        };
        (bottom > top + 1).then_some(bottom)
    };
    if end == whole {
        if let Some(bottom) = fraction(start) {
            return bottom;
        }
        if matches!(bytes.get(end), Some(b'-' | b' '))
            && let Some(bottom) = fraction(end + 1)
        {
            return bottom;
        }
    }
    end
}

fn number_value(number: &str) -> Option<f64> {
    let finite = |value: f64| value.is_finite().then_some(value);
    let Some((before, bottom)) = number.split_once('/') else {
        return number.parse().ok().and_then(finite);
    };
    let at = before.rfind(['-', ' ']).filter(|&at| at > 0);
    let (whole, top) = at.map_or((0.0, before), |at| {
        (
            before[..at].trim().parse().unwrap_or(0.0),
            &before[at + 1..],
        )
    });
    let (top, bottom): (f64, f64) = (top.parse().ok()?, bottom.parse().ok()?);
    let part = top / bottom;
    finite(if whole < 0.0 {
        whole - part
    } else {
        whole + part
    })
}

/// Folds look-alike characters to the plain ones.
pub(super) fn fold(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\u{2126}' | '\u{03a9}' => out.push_str("ohm"),
            '\u{00b5}' | '\u{03bc}' => out.push('u'),
            '\u{2212}' | '\u{2011}' => out.push('-'),
            '\u{2013}' | '\u{2014}' => out.push_str(" to "),
            '\u{00a0}' | '\u{2009}' | '\u{202f}' | '\t' => out.push(' '),
            '\u{00b1}' => out.push_str("+/-"),
            '\u{00b2}' => out.push('2'),
            '\u{00b0}' => out.push_str("deg"),
            '\u{00bc}' => fraction(&mut out, "1/4"),
            '\u{00bd}' => fraction(&mut out, "1/2"),
            '\u{00be}' => fraction(&mut out, "3/4"),
            '\u{2032}' | '\u{2019}' => out.push('\''),
            '\u{2033}' | '\u{201d}' => out.push('"'),
            other => out.push(other),
        }
    }
    out
}

/// A fraction written as one character: after a whole number it is added.
fn fraction(out: &mut String, plain: &str) {
    if out.ends_with(|c: char| c.is_ascii_digit()) {
        out.push(' ');
    }
    out.push_str(plain);
}
