//! Pictures: the wiring diagram and the charts.
//!
//! On a page their colours come from the page, which knows light, dark and
//! paper; a picture alone carries its own and is white. Nothing is told by
//! colour alone: lines differ in width and dashes, words stand beside them.

mod diagram;
mod glyphs;
mod hops;
mod ladder;
mod log_chart;
mod numbers;
mod trace;
mod upright;

pub use diagram::{alone as diagram_alone, diagram};
pub use ladder::ladder;
pub use log_chart::fuse_chart;
pub use trace::trace;

pub(super) use glyphs::round as plain;

use crate::markup::{Element, element};

/// Colours of a picture that stands alone.
const ALONE: &str = include_str!("alone.css");

/// Width of a chart: on the smallest phone its letters can still be read.
const WIDE: f64 = 380.0;

/// Starts a picture with what a screen reader says of it.
fn picture(id: &str, (width, height): (f64, f64), title: &str, words: &str) -> Element {
    let [w, h] = [width, height].map(glyphs::round);
    element("svg")
        .attr("xmlns", "http://www.w3.org/2000/svg")
        .attr("viewBox", format!("0 0 {w} {h}"))
        .attr("width", &w)
        .attr("height", &h)
        .attr("role", "img")
        .attr("aria-labelledby", format!("{id}-t {id}-d"))
        .with(element("title").attr("id", format!("{id}-t")).text(title))
        .with(element("desc").attr("id", format!("{id}-d")).text(words))
}

/// A white ground and fixed colours, for a picture without a page.
fn ground(width: f64, height: f64) -> [Element; 2] {
    let [w, h] = [width, height].map(glyphs::round);
    [
        element("style").verbatim(ALONE),
        element("rect")
            .attr("width", w)
            .attr("height", h)
            .attr("fill", "#fff"),
    ]
}
