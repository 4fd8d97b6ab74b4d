//! Wire sizes: "16 AWG", "16 SAE", "2/0 AWG", "2.5 mm2".

use super::parse::{QuantityError, fold};
use std::fmt;

/// A family of wire sizes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SizeSystem {
    /// American wire gauge, as boat cable is made.
    Awg,
    /// The primary-wire sizes of SAE J1128, with less copper at the same number.
    Sae,
    /// Square millimetres.
    Metric,
}

/// The size of a conductor as it is sold.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub enum WireSize {
    /// American wire gauge; 0 is 1/0, -1 is 2/0, down to -3 for 4/0.
    Awg(i32),
    /// SAE primary-wire number, counted the same way.
    Sae(i32),
    /// Nominal area, square millimetres.
    Metric(f64),
}

impl WireSize {
    /// The family the size belongs to.
    pub const fn system(self) -> SizeSystem {
        match self {
            Self::Awg(_) => SizeSystem::Awg,
            Self::Sae(_) => SizeSystem::Sae,
            Self::Metric(_) => SizeSystem::Metric,
        }
    }
}

/// Writes a gauge number the way it is printed on wire: -1 is `2/0`.
fn gauge_number(number: i32) -> String {
    if number > 0 {
        number.to_string()
    } else {
        format!("{}/0", 1 - number)
    }
}

impl fmt::Display for WireSize {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Awg(number) => write!(f, "{} AWG", gauge_number(*number)),
            Self::Sae(number) => write!(f, "{} SAE", gauge_number(*number)),
            Self::Metric(area) => write!(f, "{area} mm2"),
        }
    }
}

/// Reads a wire size. "16 ga" and "#16" are taken as AWG; a bare 16 is
/// refused, since it could be gauge or square millimetres.
///
/// # Errors
/// When the text is no size; the hint says what to type.
pub fn parse_size(text: &str) -> Result<WireSize, QuantityError> {
    let folded = fold(text);
    let text = folded.trim();
    let lower = text.to_lowercase();
    let refuse = |message: String, hint: String| Err(QuantityError::new(message, hint));
    if let Some((whole, rest)) = comma(text) {
        return refuse(
            "a decimal comma is not read".into(),
            format!("write \"{whole}.{rest}\""),
        );
    }
    for (suffix, sae) in [
        ("awg", false),
        ("sae", true),
        ("gauge", false),
        ("ga", false),
    ] {
        if let Some(number) = lower.strip_suffix(suffix) {
            return gauge(text, number.trim(), sae);
        }
        if let Some(number) = lower.strip_prefix(suffix) {
            return gauge(text, number.trim(), sae);
        }
    }
    if let Some(number) = lower.strip_prefix('#') {
        return gauge(text, number.trim(), false);
    }
    if let Some(area) = ["mm2", "mm^2", "sqmm", "sq mm"]
        .iter()
        .find_map(|unit| lower.strip_suffix(unit))
    {
        return metric(text, area.trim());
    }
    if lower.ends_with("mm") {
        return refuse(
            format!("`{text}` is a length, not a wire size"),
            format!("write \"{}2\" if the area is meant", text.trim_end()),
        );
    }
    if parse_number(&lower).is_some() {
        return if metric(text, text).is_ok() {
            refuse(
                format!("`{text}` could be a gauge or square millimetres"),
                format!("write \"{text} AWG\", \"{text} SAE\" or \"{text} mm2\""),
            )
        } else {
            refuse(
                format!("`{text}` could be a gauge of two kinds of wire"),
                format!("write \"{text} AWG\" or \"{text} SAE\""),
            )
        };
    }
    refuse(
        format!("`{text}` is not a wire size"),
        "write \"16 AWG\", \"16 SAE\", \"2/0 AWG\" or \"2.5 mm2\"".into(),
    )
}

fn comma(text: &str) -> Option<(&str, &str)> {
    let (whole, rest) = text.split_once(',')?;
    (whole.bytes().all(|b| b.is_ascii_digit()) && rest.starts_with(|c: char| c.is_ascii_digit()))
        .then_some((whole, rest))
}

/// Gauge number, 1/0 as 0 and 4/0 as -3.
fn parse_number(text: &str) -> Option<i32> {
    if let Some(zeros) = text.strip_suffix("/0") {
        let zeros: i32 = zeros.trim().parse().ok()?;
        return (1..=4).contains(&zeros).then_some(1 - zeros);
    }
    if text.len() > 1 && text.bytes().all(|b| b == b'0') {
        return i32::try_from(text.len())
            .ok()
            .filter(|&n| n <= 4)
            .map(|n| 1 - n);
    }
    text.parse().ok().filter(|number: &i32| *number >= 0)
}

fn gauge(text: &str, number: &str, sae: bool) -> Result<WireSize, QuantityError> {
    let system = if sae { "SAE" } else { "AWG" };
    match parse_number(number) {
        Some(number) if number <= 40 => Ok(if sae {
            WireSize::Sae(number)
        } else {
            WireSize::Awg(number)
        }),
        Some(_) => Err(QuantityError::new(
            format!("there is no gauge `{text}`"),
            format!(
                "gauges run from 4/0 {system} (thickest) to 22 {system}; write \"16 {system}\""
            ),
        )),
        None => Err(QuantityError::new(
            format!("`{text}` is not a gauge"),
            format!("write a whole number or 1/0 to 4/0, like \"16 {system}\" or \"2/0 {system}\""),
        )),
    }
}

fn metric(text: &str, area: &str) -> Result<WireSize, QuantityError> {
    match area.parse::<f64>() {
        Ok(mm2) if mm2.is_finite() && mm2 > 0.0 => Ok(WireSize::Metric(mm2)),
        _ => Err(QuantityError::new(
            format!("`{text}` is not an area"),
            "write an area above zero, like \"2.5 mm2\"",
        )),
    }
}
