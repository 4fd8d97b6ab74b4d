//! Single values: figures with units, sizes, words, flags, counts, texts.

use super::catalogue::{Limits, Takes};
use super::codes;
use super::fields::About;
use super::known;
use super::nearest::did_you_mean;
use super::sink::Sink;
use super::value::{Entry, Value};
use crate::circuit::PartKind;
use crate::findings::{Code, Finding};
use crate::quantities::{
    Band, Dimension, QuantityError, parse_band_in, parse_size, print_in, units_of,
};
use crate::span::Span;
use crate::tables::conductors::resistance_20c;
use toml::Spanned;
use toml::de::DeValue;

/// Longest text that is taken as a figure, word or name.
const LONGEST_TEXT: usize = 400;

/// One value under its key, while it is being read.
pub(super) struct Reading<'a> {
    pub(super) about: About<'a>,
    pub(super) key: &'a str,
    pub(super) span: Span,
}

impl Reading<'_> {
    pub(super) fn finding(
        &self,
        code: Code,
        statement: impl Into<String>,
        label: impl Into<String>,
    ) -> Finding {
        Finding::new(code, self.about.subject, statement).with_label(self.span, label)
    }

    /// A value of the wrong type.
    fn wrong_type(&self, expected: &str, found: &DeValue, hint: String) -> Finding {
        self.finding(
            codes::WRONG_TYPE,
            format!("`{}` takes {expected}, not {}", self.key, kind_of(found)),
            format!("expected {expected}"),
        )
        .with_hint(hint)
    }
}

/// What a value is, in words.
pub(super) fn kind_of(value: &DeValue) -> &'static str {
    match value {
        DeValue::String(_) => "a text",
        DeValue::Integer(_) | DeValue::Float(_) => "a bare number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

/// Keeps a text, whatever it is for; nothing is reported.
pub(super) fn any_text(value: &Spanned<DeValue>) -> Entry {
    let text = value
        .get_ref()
        .as_str()
        .map(|text| Value::Text(text.to_owned()));
    Entry {
        span: value.span().into(),
        value: text,
    }
}

/// Reads a single value; what is wrong with it is reported.
pub(super) fn read(
    out: &mut Sink,
    about: About,
    key: &str,
    takes: Takes,
    value: &Spanned<DeValue>,
) -> Option<Value> {
    let at = Reading {
        about,
        key,
        span: value.span().into(),
    };
    let value = value.get_ref();
    let read = match takes {
        Takes::Figure(dimension, limits) => figure(&at, dimension, limits, true, value),
        Takes::Range(dimension, limits) => figure(&at, dimension, limits, false, value),
        Takes::Size => size(&at, value),
        Takes::Flag => flag(&at, value),
        Takes::Count { least, most } => count(&at, least, most, value),
        Takes::Word(words) => word(&at, &words(), value),
        Takes::Class(kind) => class(&at, kind, value),
        // The head of the file is judged before anything else is read.
        Takes::Format => Ok(Value::Flag(true)),
        _ => text(&at, value).map(Value::Text),
    };
    match read {
        Ok(value) => Some(value),
        Err(finding) => {
            out.push(*finding);
            None
        }
    }
}

/// A value, or what is wrong with it.
pub(super) type Outcome<T> = Result<T, Box<Finding>>;

fn text(at: &Reading, value: &DeValue) -> Outcome<String> {
    match value.as_str() {
        Some(text) if text.len() <= LONGEST_TEXT => Ok(text.to_owned()),
        Some(_) => Err(Box::new(
            at.finding(
                codes::OUT_OF_RANGE,
                format!("the text of `{}` is too long", at.key),
                "too long",
            )
            .with_hint(format!("use at most {LONGEST_TEXT} characters")),
        )),
        None => Err(Box::new(at.wrong_type(
            "a text",
            value,
            format!("write {} = \"...\" in quotes", at.key),
        ))),
    }
}

fn flag(at: &Reading, value: &DeValue) -> Outcome<Value> {
    value.as_bool().map(Value::Flag).ok_or_else(|| {
        Box::new(at.wrong_type(
            "true or false",
            value,
            format!(
                "write {} = true or {} = false, without quotes",
                at.key, at.key
            ),
        ))
    })
}

fn count(at: &Reading, least: u32, most: u32, value: &DeValue) -> Outcome<Value> {
    let Some(integer) = value.as_integer() else {
        return Err(Box::new(at.wrong_type(
            "a whole number",
            value,
            format!("write {} = 4, without quotes or unit", at.key),
        )));
    };
    let number = i64::from_str_radix(integer.as_str(), integer.radix()).ok();
    let fits = |number: i64| {
        u32::try_from(number)
            .ok()
            .filter(|n| (least..=most).contains(n))
    };
    number.and_then(fits).map(Value::Count).ok_or_else(|| {
        Box::new(
            at.finding(
                codes::OUT_OF_RANGE,
                format!("`{}` of {} cannot be", at.key, integer.as_str()),
                "out of range",
            )
            .with_hint(format!("write a whole number from {least} to {most}")),
        )
    })
}

fn word(at: &Reading, known: &[&'static str], value: &DeValue) -> Outcome<Value> {
    let text = text(at, value)?;
    if known.contains(&text.as_str()) {
        return Ok(Value::Text(text));
    }
    let mut hint = did_you_mean(&text, known, "it can be");
    if at.key == "chemistry" {
        hint.push_str("; for any other chemistry leave `chemistry` out and write `open-volts` and `resistance`");
    }
    Err(Box::new(
        at.finding(
            codes::UNKNOWN_WORD,
            format!("`{}` cannot be `{text}`", at.key),
            "unknown word",
        )
        .with_hint(hint),
    ))
}

fn class(at: &Reading, kind: PartKind, value: &DeValue) -> Outcome<Value> {
    let text = text(at, value)?;
    let Some(hint) = known::class_hint(kind, &text) else {
        return Ok(Value::Text(text));
    };
    Err(Box::new(
        at.finding(
            codes::UNKNOWN_CLASS,
            format!("there is no class `{text}` of {}", kind.word()),
            "unknown class",
        )
        .with_hint(hint),
    ))
}

/// A wire size, of those whose resistance is known.
fn size(at: &Reading, value: &DeValue) -> Outcome<Value> {
    if let DeValue::Integer(number) = value {
        let number = number.as_str();
        return Err(Box::new(
            at.finding(
                codes::BARE_NUMBER,
                format!("`{}` is a bare number", at.key),
                "no unit",
            )
            .with_hint(format!(
                "write \"{number} AWG\", \"{number} SAE\" or \"{number} mm2\""
            )),
        ));
    }
    let DeValue::String(written) = value else {
        return Err(Box::new(at.wrong_type(
            "a wire size",
            value,
            "write \"16 AWG\", \"16 SAE\" or \"2.5 mm2\"".to_owned(),
        )));
    };
    let short: String = written.chars().take(LONGEST_TEXT).collect();
    let size = parse_size(&short).map_err(|error| Box::new(refused(at, error)))?;
    match resistance_20c(size, false) {
        Ok(_) => Ok(Value::Size(size)),
        Err(outside) => Err(Box::new(
            at.finding(
                codes::OUT_OF_RANGE,
                format!("`{size}` is no size of wire that a table has"),
                "not made",
            )
            .with_hint(outside.has),
        )),
    }
}

fn refused(at: &Reading, error: QuantityError) -> Finding {
    let mut message: String = error.message.chars().take(200).collect();
    if let Some(first) = message.chars().next().filter(char::is_ascii_alphabetic)
        && message.starts_with(|c: char| c.is_ascii_uppercase())
    {
        // A unit symbol opens the sentence: quote it.
        let end = message.find(' ').unwrap_or(first.len_utf8());
        message = format!("`{}`{}", &message[..end], &message[end..]);
    }
    let finding = at.finding(
        codes::BAD_FIGURE,
        format!("`{}` cannot be read: {message}", at.key),
        "cannot be read",
    );
    match error.hint {
        Some(hint) => finding.with_hint(hint.chars().take(300).collect::<String>()),
        None => finding,
    }
}

fn figure(
    at: &Reading,
    dimension: Dimension,
    limits: Limits,
    single: bool,
    value: &DeValue,
) -> Outcome<Value> {
    let example = dimension.first_unit();
    match value {
        DeValue::String(written) => {
            let short: String = written.chars().take(LONGEST_TEXT).collect();
            let Band { low, typical, high } =
                parse_band_in(dimension, &short).map_err(|error| Box::new(refused(at, error)))?;
            if single && low < high {
                return Err(Box::new(
                    at.finding(
                        codes::BAD_FIGURE,
                        format!("`{}` is a range; one figure is needed here", at.key),
                        "a range",
                    )
                    .with_hint(format!(
                        "write one figure, like \"{}\"",
                        print_in(dimension, typical)
                    )),
                ));
            }
            check_limits(at, dimension, limits, low, high)
                .map(|()| Value::Range(low, typical, high))
        }
        DeValue::Integer(number) => Err(Box::new(bare(at, dimension, number.as_str()))),
        DeValue::Float(number) => Err(Box::new(bare(at, dimension, number.as_str()))),
        _ => Err(Box::new(at.wrong_type(
            dimension.with_article(),
            value,
            format!(
                "write {} in quotes with its unit, like \"12 {example}\"",
                dimension.with_article()
            ),
        ))),
    }
}

fn bare(at: &Reading, dimension: Dimension, number: &str) -> Finding {
    let number: String = number.chars().take(20).collect();
    let unit = dimension.first_unit();
    let units: Vec<&str> = units_of(dimension).iter().map(|unit| unit.symbol).collect();
    at.finding(
        codes::BARE_NUMBER,
        format!("`{}` is a bare number", at.key),
        "no unit",
    )
    .with_hint(format!(
        "write \"{number} {unit}\"; units that would do: {}",
        units.join(", ")
    ))
}

fn check_limits(
    at: &Reading,
    dimension: Dimension,
    limits: Limits,
    low: f64,
    high: f64,
) -> Outcome<()> {
    let too_low = low < limits.low || (low <= limits.low && !limits.low_counts);
    if !too_low && high <= limits.high {
        return Ok(());
    }
    let wrong = if too_low { low } else { high };
    let from = if limits.low_counts {
        format!("from {}", print_in(dimension, limits.low))
    } else {
        format!("above {}", print_in(dimension, limits.low))
    };
    let mut hint = format!(
        "write {} {from} to {}",
        dimension.with_article(),
        print_in(dimension, limits.high)
    );
    if at.key.contains("length") && too_low {
        hint.push_str(
            "; a part bolted straight on needs no wire, write `minus = \"block\"` inside it",
        );
    }
    Err(Box::new(
        at.finding(
            codes::OUT_OF_RANGE,
            format!("`{}` of {} cannot be", at.key, print_in(dimension, wrong)),
            "out of range",
        )
        .with_hint(hint),
    ))
}
