//! A voltage ladder: each step a bar that begins where the last one ended.

use super::glyphs::{line, round};
use super::log_chart::{SIZE, short, text};
use super::{WIDE, ground, picture};
use crate::drawing::width;
use crate::markup::{Element, element};
use crate::quantities::Volts;
use crate::reporting::{LadderChart, Step};

/// Width of the figures at the right.
const FIGURES: f64 = 62.0;
/// Height of a step: its words above its bar.
const ROW: f64 = 27.0;
const TOP: f64 = 22.0;

/// The ladder; `alone` gives it its own colours.
pub fn ladder(chart: &LadderChart, number: usize, alone: bool) -> Element {
    let height = TOP + chart.steps.len() as f64 * ROW + 24.0;
    let limit_v = chart.rule.map(|rule| rule.1);
    let whole_v = chart.lost_v.max(limit_v.unwrap_or(0.0)).max(1e-3) * 1.02;
    let across = |volts: f64| (volts / whole_v).clamp(0.0, 1.0) * (WIDE - FIGURES);
    let title = format!(
        "Where the volts of {} go in state {}",
        chart.load, chart.state
    );
    let steps: Vec<String> = chart
        .steps
        .iter()
        .map(|step| format!("{}: {}", step.what, Volts::new(step.drop_v)))
        .collect();
    let mut shown = picture(
        &format!("ladder{number}"),
        (WIDE, height),
        &title,
        &steps.join("; "),
    );
    if alone {
        shown = shown.all(ground(WIDE, height));
    }
    let low = TOP + chart.steps.len() as f64 * ROW;
    if let Some(limit_v) = limit_v {
        let x = across(limit_v);
        shown = shown
            .with(line("limit", (x, 14.0), (x, low + 4.0)))
            .with(text(
                x.max(90.0),
                10.0,
                "end",
                &format!("limit {}", Volts::new(limit_v)),
            ));
    }
    let mut sum_v = 0.0;
    for (row, step) in (0..).zip(&chart.steps) {
        let y = TOP + f64::from(row) * ROW;
        shown = shown.all(rung(step, y, across(sum_v), across(sum_v + step.drop_v)));
        sum_v += step.drop_v;
    }
    shown
        .with(line("axis", (0.0, TOP), (0.0, low + 4.0)))
        .with(text(0.0, low + 18.0, "start", "return: on the way back"))
        .with(text(
            WIDE,
            low + 18.0,
            "end",
            &format!("{} in all", Volts::new(chart.lost_v)),
        ))
}

fn rung(step: &Step, y: f64, from: f64, to: f64) -> Vec<Element> {
    let most = (WIDE / width("x", SIZE, false)) as usize;
    let way = if step.back { "return: " } else { "" };
    vec![
        text(
            3.0,
            y + 11.0,
            "start",
            &short(&format!("{way}{}", step.what), most),
        )
        .class("halo"),
        element("rect")
            .class(if step.back { "back" } else { "feed" })
            .attr("x", round(from.min(to)))
            .attr("y", round(y + 14.0))
            .attr("width", round((to - from).abs().max(0.6)))
            .attr("height", 9),
        text(WIDE, y + 22.5, "end", &Volts::new(step.drop_v).to_string()),
    ]
}
