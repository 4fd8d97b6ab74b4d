//! The wiring diagram as a picture, with every state over it.

use super::glyphs::{contacts, fixed, moves, round, slot_sign};
use super::hops::{bridges, way};
use super::{ground, picture};
use crate::document::Emphasis;
use crate::drawing::{Anchor, Conductor, Drawing, Lettering, Placed, Rect, Routed, width};
use crate::markup::{Element, element};
use crate::reporting::{Diagram, Flow, Overlay, Shown};

/// The picture of a page: all states, of which the page shows one. `name` is
/// its own on the page.
pub fn diagram(of: &Diagram, name: &str, title: &str) -> Element {
    let mut whole = element("g").attr("id", name).with(base(of, name));
    for (number, overlay) in of.overlays.iter().enumerate() {
        whole = whole.with(state(of, overlay, name).class(format!("s s{number}")));
    }
    framed(of, name, title, "").with(whole)
}

/// The picture of one state, by itself.
pub fn alone(of: &Diagram, overlay: &Overlay) -> Element {
    let name = "diagram";
    let sentence = overlay.sentence.replace('`', "");
    framed(of, name, &of.heading(), &sentence)
        .all(ground(of.drawing.width, of.drawing.height))
        .with(base(of, name))
        .with(state(of, overlay, name))
}

/// With what a state says in words, where one alone is shown.
fn framed(of: &Diagram, name: &str, title: &str, sentence: &str) -> Element {
    let size = (of.drawing.width, of.drawing.height);
    let words = "Supply at the left, returns below. The tables say the same in words.";
    let words = format!("{words} {sentence}");
    picture(&format!("{name}-picture"), size, title, words.trim_end())
}

/// What is the same in every state.
fn base(of: &Diagram, name: &str) -> Element {
    let drawing = &of.drawing;
    let of_kind = |wires: bool| {
        let all = drawing.conductors.iter().enumerate();
        all.filter(move |(_, one)| matches!(one.conductor, Conductor::Wire(_)) == wires)
            .map(move |(number, _)| {
                let id = format!("{name}-c{number}");
                conductor(id, way(&drawing.conductors, number), &of.names[number])
            })
    };
    let letters = drawing
        .conductors
        .iter()
        .map(|one| lettering(&one.lettering, ""));
    element("g")
        .class("base")
        .with(element("g").class("wires").all(of_kind(true)))
        .with(element("g").class("joins").all(of_kind(false)))
        .with(element("g").class("wires").all(hopping(drawing, name)))
        .all(drawing.symbols.iter().map(symbol))
        .with(element("g").class("letters").all(letters))
}

/// The hops of all conductors, each with the gap in what it crosses.
fn hopping(drawing: &Drawing, name: &str) -> Vec<Element> {
    let numbers = 0..drawing.conductors.len();
    let found = numbers.filter_map(|at| Some((at, bridges(&drawing.conductors, at)?)));
    let path = |kind: char, at: usize, way: String| {
        let path = element("path").attr("id", format!("{name}-{kind}{at}"));
        path.attr("d", way)
    };
    found
        .flat_map(|(at, (gaps, arcs))| [path('g', at, gaps).class("left-out"), path('h', at, arcs)])
        .collect()
}

fn conductor(id: String, way: String, name: &str) -> Element {
    element("path")
        .attr("id", id)
        .attr("d", way)
        .with(element("title").text(name))
}

fn symbol(placed: &Placed) -> Element {
    let of = &placed.symbol;
    let words = if of.under.is_empty() {
        of.name.clone()
    } else {
        format!("{}, {}", of.name, of.under)
    };
    element("g")
        .with(element("title").text(words))
        .all(fixed(placed))
        .all(placed.lettering.iter().map(|one| lettering(one, "")))
}

fn lettering(of: &Lettering, class: &str) -> Element {
    let anchor = match of.anchor {
        Anchor::Start => "start",
        Anchor::Middle => "middle",
        Anchor::End => "end",
    };
    let mut shown = element("text")
        .attr("x", round(of.x))
        .attr("y", round(of.y))
        .attr("font-size", of.size)
        .attr("text-anchor", anchor);
    if of.bold {
        shown = shown.attr("font-weight", "bold");
    }
    if !class.is_empty() {
        shown = shown.class(class);
    }
    shown.text(&of.text)
}

/// What a state puts over the drawing.
fn state(of: &Diagram, overlay: &Overlay, name: &str) -> Element {
    let drawing = &of.drawing;
    let pairs = || drawing.conductors.iter().zip(&overlay.conductors);
    let flows = (0..)
        .zip(pairs())
        .flat_map(|(at, (_, shown)): (usize, _)| flow(&format!("#{name}-c{at}"), shown));
    // What hops lies above what it crosses, whichever carries current.
    let hops = (0..)
        .zip(pairs())
        .filter(|(at, _)| bridges(&drawing.conductors, *at).is_some())
        .flat_map(|(at, (routed, shown)): (usize, _)| {
            let again = |kind: char, class: &str| {
                let line = format!("#{name}-{kind}{at}");
                element("use").attr("href", line).class(class)
            };
            let dead = match routed.conductor {
                Conductor::Wire(_) => "wires",
                Conductor::Join(_) => "joins",
            };
            [
                again('g', "left-out"),
                again('h', look(shown).unwrap_or(dead)),
            ]
        });
    let figures = pairs().filter_map(|(routed, shown)| figures(routed, shown));
    let places = drawing.symbols.iter().zip(&overlay.closed);
    let moving = places.filter(|(placed, _)| moves(placed.symbol.glyph));
    let slots = drawing.symbols.iter().zip(&overlay.pins);
    let flagged = drawing.symbols.iter().zip(&overlay.symbols);
    element("g")
        .with(element("g").class("f").all(flows).all(hops))
        .all(flagged.filter_map(|(placed, emphasis)| flag(&around_symbol(placed), *emphasis)))
        .all(slots.flat_map(|(placed, pins)| of_slots(placed, pins)))
        .all(moving.flat_map(|(placed, closed)| contacts(placed, closed)))
        .all(figures)
}

/// The look of a conductor's line; none where it is dead and unremarked.
fn look(shown: &Shown) -> Option<&'static str> {
    Some(match (shown.emphasis, shown.flow) {
        (Emphasis::Bad, _) => "beyond",
        (Emphasis::Warn, _) => "warned",
        (_, Flow::Carries) => "carries",
        (_, Flow::Live) => "live",
        (_, Flow::Dead) => return None,
    })
}

/// A conductor's line once more, as it stands.
fn flow(line: &str, shown: &Shown) -> Vec<Element> {
    let Some(class) = look(shown) else {
        return Vec::new();
    };
    let again = |class: &str| element("use").attr("href", line).class(class);
    let mut all = vec![again(class)];
    if shown.hot {
        all.push(again("hot"));
    }
    all
}

/// A frame around the sign and the name of each fuse of a block that is beyond
/// a limit, or to be looked at.
fn of_slots(placed: &Placed, pins: &[Emphasis]) -> Vec<Element> {
    let numbered = pins.iter().enumerate();
    numbered
        .filter_map(|(pin, emphasis)| flag(&around_slot(placed, pin)?, *emphasis))
        .collect()
}

/// Room of a frame around a fuse's sign and name, clear of both.
fn around_slot(placed: &Placed, pin: usize) -> Option<Rect> {
    let mark = placed.mark(pin)?;
    let room = mark.room();
    let sign = slot_sign(placed.body, placed.port(0)?, placed.port(pin)?);
    let left = room.x.min(sign.x) - 3.0;
    let top = (mark.y - mark.size).min(sign.y - 2.5);
    Some(Rect {
        x: left,
        y: top,
        w: (room.x + room.w).max(sign.x + sign.w) + 3.0 - left,
        h: sign.y + sign.h + 2.5 - top,
    })
}

/// Height of a sign that takes one conductor's room.
const ONE_ROW: f64 = 24.0;

/// Room of a frame around a symbol's sign, clear of its circle.
fn around_symbol(placed: &Placed) -> Rect {
    let body = placed.body;
    let h = if placed.symbol.glyph.is_small() {
        body.h.min(ONE_ROW)
    } else {
        body.h
    };
    Rect {
        x: body.x - 2.0,
        y: body.y + (body.h - h) / 2.0 - 3.0,
        w: body.w + 4.0,
        h: h + 6.0,
    }
}

/// A frame around a symbol whose part is beyond a limit, or to be looked at.
fn flag(body: &Rect, emphasis: Emphasis) -> Option<Element> {
    let class = match emphasis {
        Emphasis::Bad => "flagbad",
        Emphasis::Warn => "flagwarn",
        Emphasis::Plain | Emphasis::Ok => return None,
    };
    Some(
        element("rect")
            .class(class)
            .attr("x", round(body.x))
            .attr("y", round(body.y))
            .attr("width", round(body.w))
            .attr("height", round(body.h)),
    )
}

/// Amperes and volts lost below the line, with a word where they are no good.
fn figures(routed: &Routed, shown: &Shown) -> Option<Element> {
    let (sign, class) = match shown.emphasis {
        Emphasis::Bad => ("!! ", "bad"),
        Emphasis::Warn => ("! ", "warn"),
        Emphasis::Plain | Emphasis::Ok => ("", "faint"),
    };
    let text = format!("{sign}{}", shown.words);
    let text = text.trim_end().to_owned();
    let kept = &routed.figures;
    // Bold letters are wider than those the room was kept for.
    let fits = width(&text, kept.size, true) <= width(&kept.text, kept.size, false);
    let place = Lettering {
        bold: shown.hot && fits,
        text,
        ..kept.clone()
    };
    let class = if shown.hot && class == "faint" {
        "bad"
    } else {
        class
    };
    (!place.text.is_empty()).then(|| lettering(&place, class))
}
