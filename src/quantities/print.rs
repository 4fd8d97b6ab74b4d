//! The one place that prints figures, with digits a meter could show.
//!
//! Three significant digits for most figures; volts to the hundredth, since
//! that is what a hand meter resolves on its 20 V range.

use super::types::Quantity;
use super::units::Dimension;

/// Prints a quantity with its unit.
pub fn quantity<Q: Quantity>(value: Q) -> String {
    let base = value.si();
    match Q::DIMENSION {
        Dimension::Voltage => volts(base),
        Dimension::Current => prefixed(base, "A", &[(1e-6, "uA"), (1e-3, "mA")], 0.1),
        Dimension::Resistance => ohms(base),
        Dimension::Power => prefixed(base, "W", &[(1e-3, "mW")], 0.1),
        Dimension::Length => prefixed(base, "m", &[(1e-3, "mm")], 0.1),
        Dimension::Area => format!("{} mm2", significant(base, 3)),
        Dimension::Temperature => format!("{} \u{b0}C", whole(base)),
        Dimension::Pressure => format!("{} kPa", significant(base / 1e3, 3)),
        Dimension::Speed => format!(
            "{} rpm",
            rounded_rpm(base * 60.0 / (2.0 * std::f64::consts::PI))
        ),
        Dimension::Charge => format!("{} Ah", significant(base, 3)),
        Dimension::Share => percent(base),
        Dimension::Time => seconds(base),
        Dimension::Flow => format!("{} L/h", significant(base * 3.6e6, 3)),
    }
}

/// Prints a figure that people chose, a rating or a length, without idle zeros:
/// `15 A`, `7.5 A`, `2 m`.
pub fn nominal<Q: Quantity>(value: Q) -> String {
    let shown = quantity(value);
    match shown.split_once(' ') {
        Some((figure, unit)) if figure.contains('.') => {
            let figure = figure.trim_end_matches('0').trim_end_matches('.');
            format!("{figure} {unit}")
        }
        _ => shown,
    }
}

/// Prints `value` with the prefix and the decimals that suit `like`, so that
/// the two ends of a range read alike: `0.05 A` beside `0.24 A`.
pub fn alike<Q: Quantity>(value: Q, like: Q) -> String {
    let model = quantity(like);
    let Some((figure, unit)) = model.split_once(' ') else {
        return quantity(value);
    };
    let factor = match unit.strip_suffix(base_unit(Q::DIMENSION)) {
        Some("") => 1.0,
        Some("u") => 1e-6,
        Some("m") => 1e-3,
        Some("k") => 1e3,
        Some("M") => 1e6,
        _ => return quantity(value),
    };
    let decimals = figure.split_once('.').map_or(0, |(_, after)| after.len());
    format!("{} {unit}", plain(value.si() / factor, decimals))
}

/// The unit the prefixes of [`alike`] stand before.
const fn base_unit(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Voltage => "V",
        Dimension::Current => "A",
        Dimension::Resistance => "ohm",
        _ => "-",
    }
}

/// Prints a share of one as percent.
pub fn percent(share: f64) -> String {
    let value = share * 100.0;
    let digits = usize::from(value.abs() < 10.0);
    format!("{} %", plain(value, digits))
}

/// Prints a figure with as many decimals, one at least and four at most, as part it
/// from the limit it is held against.
pub fn beside(value: f64, limit: f64) -> String {
    let parts = |decimals: &usize| plain(value, *decimals) != plain(limit, *decimals);
    let decimals = (1..4).find(|decimals| (value - limit).abs() <= 0.0 || parts(decimals));
    plain(value, decimals.unwrap_or(4))
}

/// Prints a figure with so many significant digits, never with an exponent.
pub fn significant(value: f64, digits: i32) -> String {
    if value == 0.0 || !value.is_finite() {
        return plain(value, 0);
    }
    let magnitude = value.abs().log10().floor() as i32;
    let decimals = (digits - 1 - magnitude).clamp(0, 9);
    let rounded = plain(value, decimals as usize);
    // 9.996 with three digits rounds up to 10.00: one digit too many.
    let grew = rounded
        .trim_start_matches('-')
        .parse::<f64>()
        .is_ok_and(|v| v >= 10f64.powi(magnitude + 1));
    if grew && decimals > 0 {
        plain(value, decimals as usize - 1)
    } else {
        rounded
    }
}

/// Prints with a fixed count of decimals, and never "-0".
pub fn plain(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    if text
        .trim_start_matches('-')
        .bytes()
        .all(|b| matches!(b, b'0' | b'.'))
    {
        text.trim_start_matches('-').to_owned()
    } else {
        text
    }
}

fn whole(value: f64) -> String {
    plain(value, 0)
}

fn volts(base: f64) -> String {
    if base == 0.0 {
        "0 V".into()
    } else if base.abs() < 0.0995 {
        prefixed(base, "V", &[(1e-6, "uV"), (1e-3, "mV")], 0.0995)
    } else {
        format!("{} V", plain(base, 2))
    }
}

fn ohms(base: f64) -> String {
    let size = base.abs();
    let (factor, unit) = match size {
        0.0 => return "0 ohm".into(),
        s if s < 0.9995e-3 => (1e-6, "uohm"),
        s if s < 0.9995 => (1e-3, "mohm"),
        s if s < 999.5 => (1.0, "ohm"),
        s if s < 999.5e3 => (1e3, "kohm"),
        _ => (1e6, "Mohm"),
    };
    format!("{} {unit}", significant(base / factor, 3))
}

/// Uses the smallest prefix whose figure stays below a thousand, once the
/// value falls under `below` of the plain unit.
fn prefixed(base: f64, unit: &str, prefixes: &[(f64, &str)], below: f64) -> String {
    if base == 0.0 {
        return format!("0 {unit}");
    }
    if base.abs() >= below {
        return format!("{} {unit}", significant(base, 3));
    }
    let (factor, name) = prefixes
        .iter()
        .find(|(factor, _)| base.abs() < 999.5 * factor)
        .copied()
        .unwrap_or((1.0, unit));
    format!("{} {name}", significant(base / factor, 3))
}

fn rounded_rpm(rpm: f64) -> String {
    let step = if rpm.abs() >= 1000.0 { 10.0 } else { 1.0 };
    plain((rpm / step).round() * step, 0)
}

fn seconds(base: f64) -> String {
    match base.abs() {
        0.0 => "0 s".into(),
        s if s < 0.9995e-3 => format!("{} us", significant(base * 1e6, 3)),
        s if s < 0.0995 => format!("{} ms", significant(base * 1e3, 3)),
        s if s < 120.0 => format!("{} s", significant(base, 3)),
        s if s < 7200.0 => format!("{} min", significant(base / 60.0, 3)),
        _ => format!("{} h", significant(base / 3600.0, 3)),
    }
}
