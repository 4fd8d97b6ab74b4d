//! A trace in time: seconds logarithmic, amperes or volts level by level.

use super::glyphs::{line, round};
use super::log_chart::{Axis, LEFT, LINE, RIGHT, SIZE, letters_beside_sample, text, wrapped};
use super::upright::{Upright, drawn, height as rows_height, merged};
use super::{WIDE, ground, picture, upright};
use crate::drawing::width;
use crate::markup::{Element, element};
use crate::quantities::print::significant;
use crate::reporting::TraceChart;

const FIELD: f64 = 210.0;
/// Steps of the upright axis at most.
const STEPS: f64 = 6.0;

/// The trace; `alone` gives it its own colours.
pub fn trace(chart: &TraceChart, number: usize, alone: bool) -> Element {
    let x = Axis {
        from: chart.seconds.0,
        to: chart.seconds.1,
        start: LEFT,
        end: WIDE - RIGHT,
    };
    let moments = moments(chart, &x);
    let top = upright::TOP + rows_height(&moments);
    let legend = legend(chart);
    let height = top + FIELD + 40.0 + legend.len() as f64 * LINE;
    let highest = highest(chart);
    let up = |value: f64| top + FIELD - (value / highest).clamp(0.0, 1.0) * FIELD;
    let title = chart.title.replace('`', "");
    let mut shown = picture(
        &format!("trace{number}"),
        (WIDE, height),
        &title,
        &chart.verdict.replace('`', ""),
    );
    if alone {
        shown = shown.all(ground(WIDE, height));
    }
    shown = shown.all(field(chart, &x, highest, top, &up));
    for (at, curve) in chart.curves.iter().enumerate() {
        let corners: Vec<String> = curve
            .points
            .iter()
            .map(|(time_s, value)| format!("{} {}", round(x.at(*time_s)), round(up(*value))))
            .collect();
        shown = shown.with(
            element("path")
                .class(if at == 0 { "curve" } else { "curve2" })
                .attr("d", format!("M{}", corners.join("L"))),
        );
    }
    for (_, level) in &chart.levels {
        shown = shown.with(line(
            "limit",
            (LEFT, up(*level)),
            (WIDE - RIGHT, up(*level)),
        ));
    }
    shown
        .all(drawn("event", &moments, (LEFT, top + FIELD), &[]))
        .all(keys(&legend, top + FIELD + 44.0))
}

/// A round figure above everything shown.
fn highest(chart: &TraceChart) -> f64 {
    let values = chart
        .curves
        .iter()
        .flat_map(|curve| curve.points.iter().map(|point| point.1));
    let all = values.chain(chart.levels.iter().map(|level| level.1));
    let most = all.filter(|value| value.is_finite()).fold(1e-3, f64::max);
    let step = step(most);
    (most / step).ceil() * step
}

/// 1, 2 or 5 of a decade, so that few of them reach the value.
fn step(most: f64) -> f64 {
    let rough = most / STEPS;
    let decade = 10f64.powf(rough.log10().floor());
    let digits = [1.0, 2.0, 5.0, 10.0];
    let fits = digits.into_iter().find(|digit| digit * decade >= rough);
    fits.unwrap_or(10.0) * decade
}

fn field(
    chart: &TraceChart,
    x: &Axis,
    highest: f64,
    top: f64,
    up: &dyn Fn(f64) -> f64,
) -> Vec<Element> {
    let mut all = Vec::new();
    let step = step(highest);
    let count = (highest / step).round() as u32;
    for at in 0..=count {
        let value = f64::from(at) * step;
        all.push(line("grid", (x.start, up(value)), (x.end, up(value))));
        all.push(text(
            x.start - 5.0,
            up(value) + 4.0,
            "end",
            &significant(value, 2),
        ));
    }
    let mut free = f64::NEG_INFINITY;
    for (value, named) in x.ticks() {
        let at = x.at(value);
        let is_decade = (value.log10() - value.log10().round()).abs() < 1e-9;
        if named {
            all.push(line("grid", (at, top), (at, top + FIELD)));
        }
        let words = significant(value, 1);
        let half = width(&words, SIZE, false) / 2.0;
        if is_decade && at - half > free && at + half < WIDE {
            all.push(text(at, top + FIELD + 15.0, "middle", &words));
            free = at + half + 4.0;
        }
    }
    all.push(
        element("rect")
            .class("axis")
            .attr("x", round(x.start))
            .attr("y", round(top))
            .attr("width", round(x.end - x.start))
            .attr("height", FIELD),
    );
    all.push(text(
        f64::midpoint(x.start, x.end),
        top + FIELD + 31.0,
        "middle",
        "seconds",
    ));
    let unit = if chart.unit == "V" {
        "volts"
    } else {
        "amperes"
    };
    let turned = format!("translate(12 {}) rotate(-90)", round(top + FIELD / 2.0));
    all.push(text(0.0, 0.0, "middle", unit).attr("transform", turned));
    all
}

/// Each moment an upright line with its name in a row of its own above the field.
fn moments(chart: &TraceChart, x: &Axis) -> Vec<Upright> {
    let all = chart.moments.iter();
    merged(
        all.map(|(name, time_s)| (x.at(*time_s), name.clone()))
            .collect(),
    )
}

/// Sample and words of each row of the legend; a row without sample goes on from
/// the one above.
fn legend(chart: &TraceChart) -> Vec<(Option<&'static str>, String)> {
    let curves = (0..).zip(&chart.curves).map(|(at, curve): (usize, _)| {
        let class = if at == 0 { "curve" } else { "curve2" };
        (class, curve.name.as_str())
    });
    let levels = chart
        .levels
        .iter()
        .map(|(name, _)| ("limit", name.as_str()));
    let all = curves.chain(levels).flat_map(|(class, name)| {
        let rows = wrapped(name, letters_beside_sample())
            .into_iter()
            .enumerate();
        rows.map(move |(row, words)| ((row == 0).then_some(class), words))
    });
    all.collect()
}

fn keys(legend: &[(Option<&'static str>, String)], top: f64) -> Vec<Element> {
    let rows = (0..).zip(legend);
    rows.flat_map(|(row, (class, words))| {
        let y = top + f64::from(row) * LINE;
        let sample = class.map(|class| line(class, (LEFT, y), (LEFT + 24.0, y)));
        let words = text(LEFT + 30.0, y + 4.0, "start", words);
        sample.into_iter().chain([words])
    })
    .collect()
}
