//! The wiring diagram on a page: a choice of states that needs no script, and
//! sheets for paper.

use super::words::words;
use crate::markup::{Element, Node, element};
use crate::present::svg;
use crate::reporting::{Diagram, Flow, Overlay};
use std::fmt::Write;

/// Rules that show the chosen state; plain names and numbers, nothing of the file's.
pub(super) fn switching(diagram: &Diagram) -> String {
    let count = diagram.overlays.len();
    let mut rules = String::new();
    for shown in 0..count {
        let each: Vec<String> = (0..count)
            .map(|state| {
                let display = if state == shown { "inline" } else { "none" };
                format!("--s{state}:{display}")
            })
            .collect();
        // Writing to a string cannot fail.
        let _ = writeln!(rules, "#st{shown}:checked~.stage{{{}}}", each.join(";"));
        let _ = writeln!(rules, ".s{shown}{{display:var(--s{shown})}}");
    }
    rules
}

/// The diagram with a choice of states; without script, the choice is the
/// style sheet's.
pub(super) fn wiring(diagram: &Diagram) -> Vec<Node> {
    let legend = "Thick line: carries current. Thin dark line: live, no current. Grey: neither. Thick broken line with ! or !!: look at it, beyond a limit; so are parts in a broken or an unbroken frame. Dotted over it: hot. Under a wire: its current, and the volts lost in it or its temperature. Lines that cross do not meet; they meet at dots.";
    let shown = shown_first(&diagram.overlays);
    let mut field = element("fieldset")
        .class("choice")
        .with(element("legend").text("State shown"));
    for (number, overlay) in diagram.overlays.iter().enumerate() {
        let id = format!("st{number}");
        let what_if = if overlay.what_if { " (what if)" } else { "" };
        field = field
            .with(
                element("input")
                    .attr("type", "radio")
                    .attr("name", "state")
                    .attr("id", &id)
                    .flag("checked", number == shown),
            )
            .with(
                element("label")
                    .attr("for", &id)
                    .text(format!("{}{what_if}", overlay.state)),
            );
    }
    let sentences = diagram
        .overlays
        .iter()
        .enumerate()
        .map(|(number, overlay)| {
            element("span")
                .class(format!("s s{number}"))
                .all(words(&overlay.sentence))
        });
    let stage = element("div")
        .class("stage")
        .with(element("p").attr("aria-live", "polite").all(sentences))
        .with(
            element("div")
                .class("scroll")
                .attr("tabindex", "0")
                .attr("role", "region")
                .attr("aria-label", "Wiring diagram, scrolls sideways")
                .with(svg::diagram(diagram)),
        )
        .with(sheets(diagram));
    vec![
        field.with(stage).into(),
        element("p").class("fine").text(legend).into(),
    ]
}

/// The state shown first: the judged one in which most wires carry.
fn shown_first(overlays: &[Overlay]) -> usize {
    let carrying = |overlay: &Overlay| {
        let all = overlay.conductors.iter();
        all.filter(|one| one.flow == Flow::Carries).count()
    };
    let judged = overlays.iter().enumerate().filter(|(_, o)| !o.what_if);
    judged
        .max_by_key(|(at, overlay)| (carrying(overlay), std::cmp::Reverse(*at)))
        .map_or(0, |(at, _)| at)
}

/// Largest piece of the diagram on one sheet of paper, lying.
const SHEET: (f64, f64) = (1300.0, 860.0);

/// What neighbouring sheets both show, so that nothing is lost at a cut.
const SHARED: f64 = 50.0;

/// The diagram in pieces that can be read on paper; shown in print alone.
fn sheets(diagram: &Diagram) -> Element {
    let (w, h) = (diagram.drawing.width, diagram.drawing.height);
    let across = (w / SHEET.0).ceil().max(1.0) as usize;
    let down = (h / SHEET.1).ceil().max(1.0) as usize;
    let (wide, high) = (w / across as f64, h / down as f64);
    let mut all = element("div").class("sheets");
    for row in 0..down {
        for column in 0..across {
            let number = row * across + column + 1;
            let caption = if across * down == 1 {
                "Wiring diagram".to_owned()
            } else {
                format!(
                    "Wiring diagram, sheet {number} of {}: row {} of {down}, column {} of {across}",
                    across * down,
                    row + 1,
                    column + 1
                )
            };
            let piece = element("svg")
                .attr("viewBox", {
                    let [x, y, w, h] = [
                        column as f64 * wide - SHARED,
                        row as f64 * high - SHARED,
                        wide + 2.0 * SHARED,
                        high + 2.0 * SHARED,
                    ]
                    .map(f64::round);
                    format!("{x} {y} {w} {h}")
                })
                .attr("aria-hidden", "true")
                .with(element("use").attr("href", "#diagram"));
            all = all.with(
                element("figure")
                    .with(element("figcaption").text(caption))
                    .with(piece),
            );
        }
    }
    all
}
