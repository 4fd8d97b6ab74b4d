//! The wiring diagram on a page: a choice of states that needs no script, and
//! sheets for paper.

use super::paper::paper;
use super::words::words;
use crate::markup::{Element, Node, element};
use crate::present::svg;
use crate::reporting::{Diagram, DiagramSheet, Flow, Overlay};
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
/// style sheet's. A large one comes in sheets first, then whole.
pub(super) fn wiring(diagram: &Diagram, sheets: &[DiagramSheet]) -> Vec<Node> {
    let legend = "Thick line: carries current. Thin line, of the letters' colour: live, with no current or less than 5 mA. Grey: neither; dotted grey: two terminals bolted together, no wire between them, drawn as a wire is where volts or current are on it. Long dashes with !: look at it; short dashes with !!: beyond a limit. Broken frame round a part or a fuse: look at it; unbroken frame: beyond a limit. Row of large red dots on a line: hot, with its temperature under it. Under a wire: its current, and the volts lost in it with the joints at its ends, or its temperature. Of lines that cross one hops over the other: they do not meet. Where they meet there is a dot.";
    let sentences = diagram
        .overlays
        .iter()
        .enumerate()
        .map(|(number, overlay)| {
            element("span")
                .class(format!("s s{number}"))
                .all(words(&overlay.sentence))
        });
    let hint = "Where a picture is wider than the screen it goes on to either side: move it. It begins at what is marked, where something is.";
    let mut stage = element("div")
        .class("stage")
        .with(element("p").attr("aria-live", "polite").all(sentences))
        .with(element("p").class("fine").text(legend))
        .with(element("p").class("fine hint noprint").text(hint));
    for (number, sheet) in (1..).zip(sheets) {
        stage = stage.all(one_sheet(sheet, number));
    }
    let large = "In full size: move it to either side, and up and down, to see the rest; the sheets above show the same piece by piece.";
    let title = "The whole on one sheet";
    if !sheets.is_empty() {
        stage = stage
            .with(element("h3").class("noprint").text(title))
            .with(size_of_whole())
            .with(element("p").class("fine hint noprint").text(large));
    }
    let stage = stage
        .with(framed(
            diagram,
            "diagram",
            "scroll whole",
            &diagram.heading(),
        ))
        // Where there are sheets, paper does without the whole: its letters would
        // be too small to read.
        .all(
            sheets
                .is_empty()
                .then(|| paper(diagram, "diagram", "Wiring diagram")),
        );
    vec![states(diagram).with(stage).into()]
}

fn states(diagram: &Diagram) -> Element {
    let shown = shown_first(&diagram.overlays);
    let mut field = element("fieldset")
        .class("choice")
        .with(element("legend").text("State shown"));
    for (number, overlay) in diagram.overlays.iter().enumerate() {
        let what_if = if overlay.what_if { " (what if)" } else { "" };
        let id = format!("st{number}");
        let words = format!("{}{what_if}", overlay.state);
        field = field.all(choice("state", &id, &words, number == shown));
    }
    field
}

/// One of several, with its words.
fn choice(group: &str, id: &str, words: &str, is_chosen: bool) -> [Element; 2] {
    [
        element("input")
            .attr("type", "radio")
            .attr("name", group)
            .attr("id", id)
            .flag("checked", is_chosen),
        element("label").attr("for", id).text(words),
    ]
}

/// Whether the whole is shown small or to be read.
fn size_of_whole() -> Element {
    element("fieldset")
        .class("choice size noprint")
        .with(element("legend").text("Size"))
        .all(choice("size", "fitted", "fitted to the page", true))
        .all(choice("size", "full", "full, to scroll", false))
}

fn one_sheet(sheet: &DiagramSheet, number: usize) -> Vec<Element> {
    let name = format!("diagram{number}");
    let title = sheet.heading.replace('`', "");
    let mut printed = paper(&sheet.diagram, &name, &title);
    let mut all = vec![
        element("h3").class("noprint").all(words(&sheet.heading)),
        framed(&sheet.diagram, &name, "scroll", &title),
    ];
    if !sheet.continues.is_empty() {
        let line = |class: &str| {
            let line = element("p").class(class).text("Also on other sheets: ");
            line.all(words(&sheet.continues)).text(".")
        };
        all.push(line("fine noprint"));
        // On the same paper as the picture.
        printed = printed.with(line("fine"));
    }
    all.push(printed);
    all
}

/// A picture that scrolls by itself.
fn framed(diagram: &Diagram, name: &str, class: &str, title: &str) -> Element {
    element("div")
        .class(class)
        .attr("tabindex", "0")
        .attr("role", "region")
        .attr("aria-label", format!("{title}, scrolls"))
        .with(svg::diagram(diagram, name, title))
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
