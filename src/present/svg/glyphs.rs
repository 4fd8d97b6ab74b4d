//! The symbols of IEC 60617, each drawn around its middle.

use crate::drawing::{Glyph, Placed, Port, Rect, Side};
use crate::markup::{Element, element};

/// Half the width of a motor's or a generator's circle.
const MACHINE: f64 = 12.0;

/// A straight line.
pub(super) fn line(class: &str, a: (f64, f64), b: (f64, f64)) -> Element {
    element("line")
        .class(class)
        .attr("x1", round(a.0))
        .attr("y1", round(a.1))
        .attr("x2", round(b.0))
        .attr("y2", round(b.1))
}

/// A rectangle around a middle.
fn rect(class: &str, (x, y): (f64, f64), w: f64, h: f64) -> Element {
    element("rect")
        .class(class)
        .attr("x", round(x - w / 2.0))
        .attr("y", round(y - h / 2.0))
        .attr("width", round(w))
        .attr("height", round(h))
}

fn circle(class: &str, (x, y): (f64, f64), r: f64) -> Element {
    element("circle")
        .class(class)
        .attr("cx", round(x))
        .attr("cy", round(y))
        .attr("r", r)
}

fn path(class: &str, d: String) -> Element {
    element("path").class(class).attr("d", d)
}

fn letter((x, y): (f64, f64), text: &str) -> Element {
    element("text")
        .class("lt")
        .attr("x", round(x))
        .attr("y", round(y + 4.5))
        .attr("text-anchor", "middle")
        .attr("font-size", 12)
        .text(text)
}

/// A figure with at most one decimal.
pub(in crate::present) fn round(value: f64) -> String {
    crate::quantities::print::plain(value, 1)
        .trim_end_matches('0')
        .trim_end_matches('.')
        .to_owned()
}

/// The middle of a symbol's body.
fn middle(placed: &Placed) -> (f64, f64) {
    let body = placed.body;
    (body.x + body.w / 2.0, body.y + body.h / 2.0)
}

/// What of a symbol is the same in every state.
pub(super) fn fixed(placed: &Placed) -> Vec<Element> {
    let mut all: Vec<Element> = placed.ports.iter().flat_map(meeting).collect();
    let (x, y) = middle(placed);
    match placed.symbol.glyph {
        Glyph::Stud => {
            all.clear();
            all.extend(bar(placed));
        }
        Glyph::Block => all.extend(block(placed)),
        Glyph::Driver | Glyph::Selector | Glyph::Changeover => all.push(frame(placed)),
        _ => {
            for port in &placed.ports {
                all.extend(entry(placed, port, (x, y)));
            }
            all.extend(drawn(placed, (x, y)));
        }
    }
    all
}

/// From a terminal to the drawn sign. Of several on one side each comes in at a
/// point of its own: they are not joined, they are the sign's own ends.
fn entry(placed: &Placed, port: &Port, (x, y): (f64, f64)) -> Vec<Element> {
    let glyph = placed.symbol.glyph;
    let half = reach(glyph);
    let out = if port.side == Side::Left { -1.0 } else { 1.0 };
    let beside = placed.ports.iter().filter(|other| other.side == port.side);
    let off = if beside.count() > 1 {
        (port.y() - y).clamp(-0.6 * rise(glyph), 0.6 * rise(glyph))
    } else {
        0.0
    };
    let edge = if is_round(glyph) {
        (half * half - off * off).sqrt()
    } else {
        half
    };
    let (bend, end) = (
        (x + out * (half + 5.0), port.y()),
        (x + out * edge, y + off),
    );
    if (port.y() - end.1).abs() < 1e-6 {
        return vec![line("sy", (port.x, port.y()), end)];
    }
    vec![line("sy", (port.x, port.y()), bend), line("sy", bend, end)]
}

fn is_round(glyph: Glyph) -> bool {
    matches!(
        glyph,
        Glyph::Charger | Glyph::Pump | Glyph::Motor | Glyph::Lamp
    )
}

/// Half the height of the drawn sign.
fn rise(glyph: Glyph) -> f64 {
    match glyph {
        Glyph::Load => 10.0,
        Glyph::Coil | Glyph::Solenoid => 8.0,
        Glyph::Fuse | Glyph::Resistance => 5.0,
        Glyph::Battery => 7.0,
        _ if is_round(glyph) => reach(glyph),
        _ => 0.0,
    }
}

/// Half the width of the drawn sign.
fn reach(glyph: Glyph) -> f64 {
    match glyph {
        Glyph::Battery => 4.0,
        Glyph::Charger | Glyph::Pump | Glyph::Motor => MACHINE,
        Glyph::Fuse | Glyph::Resistance => 15.0,
        Glyph::Lamp | Glyph::Coil | Glyph::Solenoid => 11.0,
        Glyph::Load => 17.0,
        Glyph::Diode => 7.0,
        Glyph::Pin => 5.0,
        _ => 13.0,
    }
}

/// Where several conductors meet at one terminal.
fn meeting(port: &Port) -> Vec<Element> {
    if port.ys.len() < 2 {
        return Vec::new();
    }
    let (low, high) = port.reach();
    let dots = port.ys.iter().map(|y| circle("dot", (port.x, *y), 2.2));
    let rail = line("sy", (port.x, low), (port.x, high));
    std::iter::once(rail).chain(dots).collect()
}

fn bar(placed: &Placed) -> Vec<Element> {
    let ys = || placed.ports.iter().flat_map(|port| port.ys.iter().copied());
    let (low, high) = (
        ys().fold(f64::INFINITY, f64::min),
        ys().fold(f64::NEG_INFINITY, f64::max),
    );
    let x = middle(placed).0;
    let mut all = vec![line("bar", (x, low - 6.0), (x, high + 6.0))];
    all.extend(ys().map(|y| circle("dot", (x, y), 2.6)));
    all
}

fn frame(placed: &Placed) -> Element {
    let body = placed.body;
    // A block's is clear of the frames of its fuses.
    let more = f64::from(u8::from(placed.symbol.glyph == Glyph::Block)) * 6.0;
    rect("fr", middle(placed), body.w, body.h + more)
}

/// Where the rail of a block's feed stands, and towards which side its fuses lie.
fn rail(body: Rect, feed: &Port) -> (f64, f64) {
    match feed.side {
        Side::Left => (body.x + 9.0, 1.0),
        Side::Right => (body.x + body.w - 9.0, -1.0),
    }
}

/// The sign of a fuse of a block.
pub(super) fn slot_sign(body: Rect, feed: &Port, slot: &Port) -> Rect {
    let (from, step) = rail(body, feed);
    let (w, h) = (20.0, 8.0);
    Rect {
        x: from + step * 17.0 - w / 2.0,
        y: slot.y() - h / 2.0,
        w,
        h,
    }
}

/// Fuses side by side on their feed.
fn block(placed: &Placed) -> Vec<Element> {
    let mut all = vec![frame(placed)];
    let body = placed.body;
    let Some(feed) = placed.port(0) else {
        return all;
    };
    let (from, step) = rail(body, feed);
    let ends: Vec<f64> = placed.ports.iter().map(Port::y).collect();
    let low = ends.iter().copied().fold(f64::INFINITY, f64::min);
    let high = ends.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    all.push(line("sy", (from, low), (from, high)));
    all.push(line("sy", (feed.x, feed.y()), (from, feed.y())));
    for slot in placed.ports.iter().filter(|port| port.pin != 0) {
        all.push(line("sy", (from, slot.y()), (slot.x, slot.y())));
        let sign = slot_sign(body, feed, slot);
        let centre = (sign.x + sign.w / 2.0, sign.y + sign.h / 2.0);
        all.push(rect("bx", centre, sign.w, sign.h));
        all.push(line(
            "sy",
            (from + step * 7.0, slot.y()),
            (from + step * 27.0, slot.y()),
        ));
    }
    all
}

fn drawn(placed: &Placed, (x, y): (f64, f64)) -> Vec<Element> {
    match placed.symbol.glyph {
        Glyph::Battery => vec![
            line("sy", (x + 4.0, y - 14.0), (x + 4.0, y + 14.0)),
            line("bar", (x - 4.0, y - 7.0), (x - 4.0, y + 7.0)),
        ],
        Glyph::Charger => vec![circle("bx", (x, y), MACHINE), letter((x, y), "G")],
        Glyph::Pump => vec![
            circle("bx", (x, y), MACHINE),
            letter((x, y - 2.0), "M"),
            path(
                "fl",
                format!("M{} {}h6l-3 4z", round(x - 3.0), round(y + 5.5)),
            ),
        ],
        Glyph::Motor => vec![circle("bx", (x, y), MACHINE), letter((x, y), "M")],
        Glyph::Lamp => vec![
            circle("bx", (x, y), 11.0),
            line("sy", (x - 7.8, y - 7.8), (x + 7.8, y + 7.8)),
            line("sy", (x - 7.8, y + 7.8), (x + 7.8, y - 7.8)),
        ],
        Glyph::Fuse => vec![
            rect("bx", (x, y), 30.0, 11.0),
            line("sy", (x - 15.0, y), (x + 15.0, y)),
        ],
        Glyph::Resistance => vec![rect("bx", (x, y), 30.0, 10.0)],
        Glyph::Load => vec![rect("bx", (x, y), 34.0, 20.0)],
        Glyph::Coil => vec![rect("bx", (x, y), 22.0, 16.0)],
        Glyph::Solenoid => vec![
            rect("bx", (x, y), 22.0, 16.0),
            line("sy", (x - 5.0, y + 8.0), (x + 5.0, y - 8.0)),
        ],
        Glyph::Diode => diode(placed, (x, y)),
        Glyph::Pin => vec![
            path(
                "ol",
                format!("M{} {}a5 5 0 0 0 0 10", round(x), round(y - 5.0)),
            ),
            rect("fl", (x + 2.0, y), 6.0, 5.0),
        ],
        _ => Vec::new(),
    }
}

fn diode(placed: &Placed, (x, y): (f64, f64)) -> Vec<Element> {
    let anode_left = placed.port(0).is_none_or(|port| port.side == Side::Left);
    let way = if anode_left { 1.0 } else { -1.0 };
    let (from, to) = (x - way * 7.0, x + way * 7.0);
    vec![
        path(
            "bx",
            format!(
                "M{} {}V{}L{} {}z",
                round(from),
                round(y - 7.0),
                round(y + 7.0),
                round(to),
                round(y)
            ),
        ),
        line("sy", (to, y - 7.0), (to, y + 7.0)),
    ]
}

/// Whether a symbol looks different from state to state.
pub(super) fn moves(glyph: Glyph) -> bool {
    matches!(
        glyph,
        Glyph::Switch
            | Glyph::Make
            | Glyph::Breaker
            | Glyph::Selector
            | Glyph::Driver
            | Glyph::Changeover
    )
}

/// The contacts of a symbol as they stand: closed or open, way by way.
pub(super) fn contacts(placed: &Placed, closed: &[bool]) -> Vec<Element> {
    let stands = |way: usize| closed.get(way).copied().unwrap_or(false);
    match placed.symbol.glyph {
        Glyph::Switch | Glyph::Make | Glyph::Breaker => single(placed, middle(placed), stands(0)),
        Glyph::Selector | Glyph::Driver | Glyph::Changeover => {
            let ways = placed.symbol.ways.iter().enumerate();
            ways.flat_map(|(at, way)| passage(placed, *way, stands(at)))
                .collect()
        }
        _ => Vec::new(),
    }
}

/// A blade between two contacts.
fn single(placed: &Placed, (x, y): (f64, f64), closed: bool) -> Vec<Element> {
    let (left, right) = ((x - 13.0, y), (x + 13.0, y));
    let tip = if closed {
        (x + 13.0, y - 1.0)
    } else {
        (x + 10.0, y - 10.0)
    };
    let mut all = vec![
        circle("dot", left, 2.0),
        circle("ring", right, 2.0),
        line("blade", left, tip),
    ];
    let on_blade = (x, y + (tip.1 - y) * 0.55);
    match placed.symbol.glyph {
        Glyph::Switch => {
            all.push(line("stem", on_blade, (x, y - 12.0)));
            all.push(line("sy", (x - 4.0, y - 12.0), (x + 4.0, y - 12.0)));
        }
        Glyph::Breaker => {
            all.push(line("sy", (x + 9.0, y - 4.0), (x + 17.0, y + 4.0)));
            all.push(line("sy", (x + 9.0, y + 4.0), (x + 17.0, y - 4.0)));
        }
        _ => {}
    }
    all
}

/// From the frame's left edge to where a port's line ends inside. The rail of a
/// module's outputs stands clear of the name of what it leads to.
fn inward(placed: &Placed, port: &Port) -> f64 {
    let Rect { x, w, .. } = placed.body;
    let name = placed
        .mark(port.pin)
        .filter(|_| placed.symbol.glyph == Glyph::Driver)
        .map(crate::drawing::Lettering::room);
    match (port.side, name) {
        (Side::Left, Some(room)) if is_common(placed, port) => room.x + room.w + 4.0 - x,
        (Side::Right, Some(room)) if is_common(placed, port) => room.x - 4.0 - x,
        (Side::Left, _) => 8.0,
        (Side::Right, _) => w - 8.0,
    }
}

/// Whether a module's port is the one that its channels lead to.
fn is_common(placed: &Placed, port: &Port) -> bool {
    placed.symbol.ways.iter().all(|way| way.1 == port.pin)
}

/// A way between two ports of a framed symbol.
fn passage(placed: &Placed, (a, b): (usize, usize), closed: bool) -> Vec<Element> {
    let (Some(a), Some(b)) = (placed.port(a), placed.port(b)) else {
        return Vec::new();
    };
    let inner = |port: &Port| (placed.body.x + inward(placed, port), port.y());
    let from = inner(a);
    // A module's channels meet on a rail of their own, level with each.
    let to = if placed.symbol.glyph == Glyph::Driver && a.side != b.side {
        (inner(b).0, a.y())
    } else {
        inner(b)
    };
    let class = if closed { "blade" } else { "gap" };
    let mut all = vec![
        line("sy", (a.x, a.y()), from),
        line("sy", (b.x, b.y()), inner(b)),
        line("sy", inner(b), to),
        circle("dot", from, 2.0),
        circle("dot", to, 2.0),
    ];
    if a.side == b.side {
        let bend = if a.side == Side::Left { 16.0 } else { -16.0 };
        all.push(path(
            if closed { "blade ol" } else { "gap ol" },
            format!(
                "M{} {}Q{} {} {} {}",
                round(from.0),
                round(from.1),
                round(from.0 + bend),
                round(f64::midpoint(from.1, to.1)),
                round(to.0),
                round(to.1)
            ),
        ));
    } else {
        all.push(line(class, from, to));
    }
    all
}
