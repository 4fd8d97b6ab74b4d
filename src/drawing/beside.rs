//! The lettering of a symbol: its name above it, what it is under it, its
//! terminals' marks beside them.

use super::lettering::{cut, width};
use super::paper::{Anchor, Lettering, Port};
use super::place::{LONGEST_NAME, MARK, MEET, NAME, SMALL, marks_inside};
use super::rows::{FOOT_LINE, PITCH};
use super::symbol::{Glyph, LONGEST_MARK, Side, Symbol};

/// Longest rating or class shown whole under a symbol: no class of the tables is longer.
const LONGEST_UNDER: usize = 32;
/// From a bar where several conductors meet to lettering beside it.
const BAR: f64 = 3.0;

/// Rating or class, as far as there is room.
pub(super) fn under_words(symbol: &Symbol) -> String {
    if symbol.glyph == Glyph::Stud {
        String::new()
    } else {
        cut(&symbol.under, LONGEST_UNDER)
    }
}

/// What stands under a symbol: close to its sign where it fits between the bars
/// at which several conductors meet, else below the lowest of them.
pub(super) fn under(
    symbol: &Symbol,
    ports: &[Port],
    (left, wide): (f64, f64),
    top: f64,
    body: f64,
) -> Vec<Lettering> {
    let lines = [under_words(symbol), symbol.elsewhere.clone()];
    let lines: Vec<String> = lines.into_iter().filter(|line| !line.is_empty()).collect();
    let centre = left + wide / 2.0;
    let (mut from, mut to) = (left, left + wide);
    for port in ports.iter().filter(|port| port.ys.len() > 1) {
        match port.side {
            Side::Left => from = from.max(port.x + BAR),
            Side::Right => to = to.min(port.x - BAR),
        }
    }
    let widths = lines.iter().map(|line| width(line, SMALL, false));
    let widest = widths.fold(0.0, f64::max);
    let single = |side: Side| ports.iter().filter(|port| port.side == side).count() < 2;
    let is_small = symbol.glyph.is_small() && single(Side::Left) && single(Side::Right);
    let is_close = is_small && widest <= to - from;
    let (x, low) = if is_close {
        let half = widest / 2.0;
        (
            centre.min(to - half).max(from + half),
            f64::midpoint(body, PITCH),
        )
    } else {
        (centre, body)
    };
    let line = |(at, text): (u32, String)| Lettering {
        text,
        x,
        y: top + low + 11.0 + f64::from(at) * FOOT_LINE,
        anchor: Anchor::Middle,
        size: SMALL,
        bold: false,
    };
    (0..).zip(lines).map(line).collect()
}

/// Name and marks of a symbol.
pub(super) fn letters(symbol: &Symbol, ports: &[Port], centre: f64, top: f64) -> Vec<Lettering> {
    let mut all = vec![Lettering {
        text: cut(&symbol.name, LONGEST_NAME),
        x: centre,
        y: top - 6.0,
        anchor: Anchor::Middle,
        size: NAME,
        bold: true,
    }];
    for port in ports {
        let mark = &symbol.pins[port.pin].mark;
        if mark.is_empty() {
            continue;
        }
        let inside = marks_inside(symbol.glyph);
        let (x, anchor) = match (port.side, inside) {
            (Side::Left, false) => (port.x - 2.0, Anchor::End),
            (Side::Right, false) => (port.x + 2.0, Anchor::Start),
            (Side::Left, true) => (port.x + MEET + 5.0, Anchor::Start),
            (Side::Right, true) => (port.x - MEET - 5.0, Anchor::End),
        };
        let y = if inside {
            port.y() - 3.0
        } else {
            port.reach().0 - 2.5
        };
        all.push(Lettering {
            text: cut(mark, if inside { LONGEST_MARK } else { 8 }),
            x,
            y,
            anchor,
            size: MARK,
            bold: false,
        });
    }
    all
}
