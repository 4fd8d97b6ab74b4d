//! A chart in plain signs, as wide as the screen.

use crate::document::{Axis, Chart, Curve};
use crate::present::wrap::wrap;
use crate::present::{Look, Meaning};

/// Columns left of the field, for the figures of the upright axis.
const MARGIN: usize = 8;
const ROWS: usize = 22;
const MOST_COLUMNS: usize = 90;
const LEAST_COLUMNS: usize = 20;

pub(super) fn show(chart: &Chart, look: &Look) -> String {
    let columns = look
        .width
        .saturating_sub(MARGIN + 3)
        .clamp(LEAST_COLUMNS, MOST_COLUMNS);
    let mut field = vec![vec![' '; columns]; ROWS];
    for decade in decades(&chart.y) {
        if let Some(row) = place(&chart.y, decade, ROWS) {
            field[ROWS - 1 - row].fill('.');
        }
    }
    for curve in &chart.curves {
        draw(&mut field, chart, curve);
    }
    let mut out = vec![look.paint(Meaning::Heading, &look.text(&chart.title))];
    for (index, row) in field.iter().enumerate() {
        let label = decades(&chart.y)
            .find(|decade| place(&chart.y, *decade, ROWS) == Some(ROWS - 1 - index))
            .map_or_else(String::new, |decade| {
                format!("{} {}", figure(decade), chart.y.name)
            });
        let line: String = row.iter().collect();
        out.push(format!("{label:>MARGIN$} |{}", line.trim_end()));
    }
    out.push(format!("{:>MARGIN$} +{}", "", "-".repeat(columns)));
    out.push(format!("{:>MARGIN$}  {}", "", scale(&chart.x, columns)));
    for curve in chart.curves.iter().rev() {
        if !curve.points.is_empty() {
            let text = look.text(&format!("{} {}", curve.sign, curve.name));
            out.extend(wrap(&text, look.width, "  "));
        }
    }
    out.join("\n") + "\n"
}

/// Position along an axis, counted from its start; none outside.
fn place(axis: &Axis, value: f64, count: usize) -> Option<usize> {
    let share = (value / axis.from).ln() / (axis.to / axis.from).ln();
    let inside = (-1e-9..=1.0 + 1e-9).contains(&share);
    inside.then(|| (share * (count - 1) as f64).round().max(0.0) as usize)
}

/// Draws a curve between its points, so that steep parts leave no gaps.
fn draw(field: &mut [Vec<char>], chart: &Chart, curve: &Curve) {
    let columns = field.first().map_or(0, Vec::len);
    let mut plot = |x: f64, y: f64| {
        if let (Some(column), Some(row)) = (place(&chart.x, x, columns), place(&chart.y, y, ROWS)) {
            field[ROWS - 1 - row][column] = curve.sign;
        }
    };
    for pair in curve.points.windows(2) {
        for part in 0..=40 {
            let share = f64::from(part) / 40.0;
            let along = |a: f64, b: f64| a * (b / a).powf(share);
            plot(along(pair[0].0, pair[1].0), along(pair[0].1, pair[1].1));
        }
    }
    if let [(x, y)] = curve.points[..] {
        plot(x, y);
    }
}

/// Powers of ten within an axis.
fn decades(axis: &Axis) -> impl Iterator<Item = f64> {
    let from = (axis.from.log10() - 1e-9).ceil() as i32;
    let to = (axis.to.log10() + 1e-9).floor() as i32;
    (from..=to).map(|power| 10f64.powi(power))
}

fn figure(value: f64) -> String {
    if value >= 1.0 {
        format!("{value:.0}")
    } else {
        value.to_string()
    }
}

/// Figures below the field: 1, 2 and 5 of every decade where there is room.
fn scale(axis: &Axis, columns: usize) -> String {
    let mut line: Vec<char> = vec![' '; columns + 8];
    let mut free = 0;
    let from = axis.from.log10().floor() as i32;
    let to = axis.to.log10().ceil() as i32;
    for power in from..=to {
        for digit in [1.0, 2.0, 5.0] {
            let value = digit * 10f64.powi(power);
            let Some(column) = place(axis, value, columns) else {
                continue;
            };
            let text = format!("{} {}", figure(value), axis.name);
            if column >= free && column + text.len() <= line.len() {
                for (at, sign) in text.chars().enumerate() {
                    line[column + at] = sign;
                }
                free = column + text.len() + 2;
            }
        }
    }
    line.into_iter().collect::<String>().trim_end().to_owned()
}
