//! One quantity over time as lines of ASCII, and all of them as CSV.

use super::{Column, Transient};
use crate::quantities::print;
use std::fmt::Write;

/// Columns of the plot's field; with its scale it fits 80.
const WIDE: usize = 64;
/// Rows of the plot's field.
const HIGH: usize = 15;

/// Draws a column, lowest to highest, a mark where it passes.
pub(super) fn plot(run: &Transient, column: &Column) -> Vec<String> {
    let end_s = run.times_s.last().copied().unwrap_or(0.0);
    let (low, high) = range(&column.values);
    let mut field = vec![vec![b' '; WIDE]; HIGH];
    let row_of = |value: f64| {
        let share = (value - low) / (high - low);
        let row = ((1.0 - share) * (HIGH - 1) as f64).round();
        (row.max(0.0) as usize).min(HIGH - 1)
    };
    let mut last: Option<(usize, usize)> = None;
    for (&time_s, &value) in run.times_s.iter().zip(&column.values) {
        let share = if end_s > 0.0 { time_s / end_s } else { 0.0 };
        let across = ((share * (WIDE - 1) as f64).round() as usize).min(WIDE - 1);
        let row = row_of(value);
        if let Some((before, row_before)) = last {
            join(&mut field, (before, row_before), (across, row));
        }
        field[row][across] = b'*';
        last = Some((across, row));
    }
    let mut lines = vec![column.key()];
    for (at, line) in field.iter().enumerate() {
        let label = match at {
            0 => label(high, high - low),
            _ if at == HIGH - 1 => label(low, high - low),
            _ => String::new(),
        };
        let marks = String::from_utf8_lossy(line);
        lines.push(format!("{label:>9} |{}", marks.trim_end()));
    }
    lines.push(format!("{:>9} +{}", "", "-".repeat(WIDE)));
    let end = format!("{} s", print::significant(end_s, 3));
    lines.push(format!("{:>11}0{end:>width$}", "", width = WIDE - 1));
    lines
}

/// A figure of the scale; what is nothing beside its width is 0.
fn label(value: f64, width: f64) -> String {
    if value.abs() < 1e-4 * width {
        return "0".to_owned();
    }
    print::significant(value, 3)
}

/// Marks the way between two samples: a slope where they lie apart, a column
/// where they fall into one.
fn join(field: &mut [Vec<u8>], from: (usize, usize), to: (usize, usize)) {
    let (low, high) = (from.1.min(to.1), from.1.max(to.1));
    if from.0 == to.0 {
        for line in field.iter_mut().take(high + 1).skip(low) {
            line[to.0] = b'*';
        }
        return;
    }
    let wide = (to.0 - from.0) as f64;
    for step in 0..=to.0 - from.0 {
        let along = step as f64 / wide;
        let row = from.1 as f64 + along * (to.1 as f64 - from.1 as f64);
        field[row.round() as usize][from.0 + step] = b'*';
    }
}

/// Lowest and highest, zero among them, never the same.
fn range(values: &[f64]) -> (f64, f64) {
    let low = values.iter().copied().fold(0.0_f64, f64::min);
    let high = values.iter().copied().fold(0.0_f64, f64::max);
    if high > low {
        (low, high)
    } else {
        (low, low + 1.0)
    }
}

/// Every quantity with its times, a line a moment; keys with commas or quotes
/// are quoted.
pub fn csv(run: &Transient) -> String {
    let mut text = String::from("time_s");
    for column in &run.columns {
        let key = column.key().replace('"', "\"\"");
        let quoted = key.contains([',', '"']);
        let mark = if quoted { "\"" } else { "" };
        // Writing to a string cannot fail.
        let _ = write!(text, ",{mark}{key}{mark}");
    }
    text.push('\n');
    for (at, time_s) in run.times_s.iter().enumerate() {
        let _ = write!(text, "{time_s}");
        for column in &run.columns {
            let _ = write!(text, ",{}", column.values[at]);
        }
        text.push('\n');
    }
    text
}
