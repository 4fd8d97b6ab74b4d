//! What a draughtsman asks of the wiring diagram, on every example and on made
//! up circuits of up to sixty wires.

use super::{BOATS, boat, circuit, circuit_of, examples, generated};
use ampkeel::circuit::Circuit;
use ampkeel::drawing::{Conductor, Drawing, Glyph, Lettering, Rect, Routed, Sheet, draw, sheets};

/// A piece of a conductor.
type Piece = ((f64, f64), (f64, f64));

fn pieces(of: &Routed) -> impl Iterator<Item = Piece> + '_ {
    of.points.windows(2).map(|pair| (pair[0], pair[1]))
}

fn overlap(a: &Rect, b: &Rect) -> bool {
    let room = 0.01;
    a.x + room < b.x + b.w
        && b.x + room < a.x + a.w
        && a.y + room < b.y + b.h
        && b.y + room < a.y + a.h
}

/// Whether a piece runs through the inside of a rectangle.
fn runs_through((a, b): Piece, rect: &Rect) -> bool {
    let (left, right) = (a.0.min(b.0), a.0.max(b.0));
    let (high, low) = (a.1.min(b.1), a.1.max(b.1));
    let room = 0.01;
    left + room < rect.x + rect.w
        && rect.x + room < right.max(left + 2.0 * room)
        && high + room < rect.y + rect.h
        && rect.y + room < low.max(high + 2.0 * room)
}

fn letterings(drawing: &Drawing) -> Vec<&Lettering> {
    let symbols = drawing.symbols.iter().flat_map(|placed| &placed.lettering);
    let wires = drawing.conductors.iter();
    symbols
        .chain(wires.flat_map(|of| [&of.lettering, &of.figures]))
        .collect()
}

/// Everything at once, of the whole and of each sheet; the name says which circuit.
fn hold(name: &str, circuit: &Circuit) {
    let drawing = draw(circuit);
    let conductors = circuit.wires.len() + circuit.joins.len();
    assert_eq!(
        drawing.conductors.len(),
        conductors,
        "{name}: every wire is drawn"
    );
    hold_one(name, circuit, &drawing);
    let sheets = sheets(circuit);
    for (number, sheet) in (1..).zip(&sheets) {
        hold_one(&format!("{name}, sheet {number}"), circuit, &sheet.drawing);
    }
    let shown = sheets.iter().flat_map(|sheet| &sheet.drawing.conductors);
    let mut shown: Vec<Conductor> = shown.map(|routed| routed.conductor).collect();
    shown.sort_unstable();
    let twice = shown.windows(2).find(|pair| pair[0] == pair[1]);
    assert_eq!(twice, None, "{name}: on two sheets");
    assert!(
        sheets.is_empty() || shown.len() == conductors,
        "{name}: on no sheet"
    );
    every_sheet_names_the_others_of_its_parts(name, &sheets);
}

fn hold_one(name: &str, circuit: &Circuit, drawing: &Drawing) {
    all_is_inside(name, drawing);
    no_lettering_lies_on_another(name, drawing);
    no_conductor_runs_through_a_symbol(name, drawing);
    conductors_are_level_or_upright_and_end_on_their_pins(name, circuit, drawing);
    no_two_conductors_lie_on_each_other(name, drawing);
}

fn every_sheet_names_the_others_of_its_parts(name: &str, sheets: &[Sheet]) {
    let parts = |sheet: &Sheet| {
        let all = sheet.drawing.symbols.iter();
        all.map(|placed| placed.symbol.part).collect::<Vec<_>>()
    };
    for (number, sheet) in (1..).zip(sheets) {
        let named: usize = sheet.elsewhere.iter().map(|(_, on)| on.len()).sum();
        let mut expected = 0;
        for (other, beside) in (1..).zip(sheets) {
            if other != number {
                let there = parts(beside);
                let mut shared = parts(sheet);
                shared.sort_unstable();
                shared.dedup();
                expected += shared.iter().filter(|part| there.contains(part)).count();
            }
        }
        assert_eq!(named, expected, "{name}, sheet {number}");
    }
}

#[test]
fn a_symbol_whose_lines_go_on_elsewhere_says_on_which_sheet() {
    for name in BOATS {
        let all = sheets(&circuit(&boat(name)));
        for (number, sheet) in (1..).zip(&all) {
            for placed in &sheet.drawing.symbols {
                let own = placed.symbol.pins[0].terminal;
                let others: Vec<String> = (1..)
                    .zip(&all)
                    .filter(|(other, _)| *other != number)
                    .filter(|(_, other)| {
                        let mut symbols = other.drawing.symbols.iter();
                        symbols.any(|one| one.symbol.pins[0].terminal == own)
                    })
                    .map(|(other, _): (usize, _)| other.to_string())
                    .collect();
                let mut told = placed.lettering.iter().map(|one| &one.text);
                let told = told.find(|text| text.starts_with("to ") && text.contains("sheet"));
                let expected = match others.len() {
                    0 => None,
                    1 => Some(format!("to sheet {}", others[0])),
                    2..=4 => Some(format!("to sheets {}", others.join(", "))),
                    many => Some(format!("to {many} sheets")),
                };
                assert_eq!(told.cloned(), expected, "{name} {number}");
            }
        }
    }
}

fn all_is_inside(name: &str, drawing: &Drawing) {
    for one in letterings(drawing) {
        let room = one.room();
        let inside = room.x >= 0.0
            && room.y >= 0.0
            && room.x + room.w <= drawing.width
            && room.y + room.h <= drawing.height;
        assert!(inside, "{name}: `{}` hangs over the edge", one.text);
    }
    for of in &drawing.conductors {
        for (x, y) in &of.points {
            let inside = (0.0..=drawing.width).contains(x) && (0.0..=drawing.height).contains(y);
            assert!(inside, "{name}: {:?}", of.conductor);
        }
    }
}

fn no_lettering_lies_on_another(name: &str, drawing: &Drawing) {
    let all = letterings(drawing);
    for (at, one) in all.iter().enumerate() {
        for other in &all[at + 1..] {
            assert!(
                !overlap(&one.room(), &other.room()),
                "{name}: `{}` lies on `{}`: {:?} {:?}",
                one.text,
                other.text,
                one.room(),
                other.room()
            );
        }
    }
}

fn no_conductor_runs_through_a_symbol(name: &str, drawing: &Drawing) {
    for placed in drawing
        .symbols
        .iter()
        .filter(|p| p.symbol.glyph != Glyph::Stud)
    {
        for of in &drawing.conductors {
            for piece in pieces(of) {
                assert!(
                    !runs_through(piece, &placed.body),
                    "{name}: {:?} runs through `{}`",
                    of.conductor,
                    placed.symbol.name
                );
            }
        }
    }
}

fn conductors_are_level_or_upright_and_end_on_their_pins(
    name: &str,
    circuit: &Circuit,
    drawing: &Drawing,
) {
    for of in &drawing.conductors {
        for (a, b) in pieces(of) {
            let straight = (a.0 - b.0).abs() < 1e-6 || (a.1 - b.1).abs() < 1e-6;
            assert!(straight, "{name}: {:?} slants", of.conductor);
        }
        let ends = match of.conductor {
            Conductor::Wire(at) => [circuit.wires[at].from, circuit.wires[at].to],
            Conductor::Join(at) => [circuit.joins[at].part, circuit.joins[at].to],
        };
        let on_pin = |terminal, point: (f64, f64)| {
            drawing.symbols.iter().any(|placed| {
                let pin = placed
                    .symbol
                    .pins
                    .iter()
                    .position(|pin| pin.terminal == terminal);
                pin.is_some_and(|pin| {
                    placed
                        .ports
                        .iter()
                        .filter(|port| port.pin == pin)
                        .any(|port| {
                            (port.x - point.0).abs() < 1e-6
                                && port.ys.iter().any(|y| (y - point.1).abs() < 1e-6)
                        })
                })
            })
        };
        let (first, last) = (of.points[0], of.points[of.points.len() - 1]);
        let fits = |a, b| on_pin(ends[0], a) && on_pin(ends[1], b);
        assert!(
            fits(first, last) || fits(last, first),
            "{name}: {:?}",
            of.conductor
        );
    }
}

fn no_two_conductors_lie_on_each_other(name: &str, drawing: &Drawing) {
    let all = &drawing.conductors;
    for (at, one) in all.iter().enumerate() {
        for other in &all[at + 1..] {
            for (a, b) in pieces(one) {
                for (c, d) in pieces(other) {
                    let level = |p: (f64, f64), q: (f64, f64)| (p.1 - q.1).abs() < 1e-6;
                    let upright = |p: (f64, f64), q: (f64, f64)| (p.0 - q.0).abs() < 1e-6;
                    let span = |p: f64, q: f64| (p.min(q), p.max(q));
                    let shared = |(a, b): (f64, f64), (c, d): (f64, f64)| b.min(d) - a.max(c);
                    let along = if level(a, b) && level(c, d) && level(a, c) {
                        shared(span(a.0, b.0), span(c.0, d.0))
                    } else if upright(a, b) && upright(c, d) && upright(a, c) {
                        shared(span(a.1, b.1), span(c.1, d.1))
                    } else {
                        0.0
                    };
                    assert!(
                        along < 0.5,
                        "{name}: {:?} and {:?} share {along}",
                        one.conductor,
                        other.conductor
                    );
                }
            }
        }
    }
}

/// Points at which conductors cross, counted on the finished drawing.
pub(super) fn crossings(drawing: &Drawing) -> usize {
    let all = &drawing.conductors;
    let mut count = 0;
    for (at, one) in all.iter().enumerate() {
        for other in &all[at + 1..] {
            for (a, b) in pieces(one) {
                for (c, d) in pieces(other) {
                    count += usize::from(cross((a, b), (c, d)) || cross((c, d), (a, b)));
                }
            }
        }
    }
    count
}

/// Whether a level piece crosses an upright one inside both.
fn cross(level: Piece, upright: Piece) -> bool {
    let ((a, b), (c, d)) = (level, upright);
    let is_level = (a.1 - b.1).abs() < 1e-6 && (a.0 - b.0).abs() > 1e-6;
    let is_upright = (c.0 - d.0).abs() < 1e-6 && (c.1 - d.1).abs() > 1e-6;
    let within = |value: f64, p: f64, q: f64| p.min(q) < value && value < p.max(q);
    is_level && is_upright && within(c.0, a.0, b.0) && within(a.1, c.1, d.1)
}

#[test]
fn every_example_can_be_read() {
    for path in examples() {
        hold(&path.display().to_string(), &circuit(&path));
    }
}

#[test]
fn crossings_of_the_boats_are_pinned() {
    let found: Vec<(&str, usize)> = BOATS
        .into_iter()
        .map(|name| (name, crossings(&draw(&circuit(&boat(name))))))
        .collect();
    assert_eq!(
        found, PINNED,
        "fewer is better: pin them; more wants a look at the picture"
    );
}

/// Crossings of each boat's diagram.
const PINNED: [(&str, usize); 6] = [
    ("basalt-bilge-pump", 0),
    ("flint-carburetted-two-stroke", 2),
    ("gabbro-injected-outboard", 64),
    ("gneiss-inboard-diesel", 26),
    ("marl-tiller-9hp", 3),
    ("schist-console-boat", 8),
];

#[test]
fn crossings_and_width_of_the_sheets_are_pinned() {
    let found: Vec<(&str, usize, f64)> = BOATS
        .into_iter()
        .map(|name| {
            let all = sheets(&circuit(&boat(name)));
            let crossed = all.iter().map(|sheet| crossings(&sheet.drawing)).sum();
            let widths = all.iter().map(|sheet| sheet.drawing.width.ceil());
            (name, crossed, widths.fold(0.0, f64::max))
        })
        .collect();
    assert_eq!(
        found, PINNED_SHEETS,
        "fewer and narrower is better: pin them; more wants a look at the picture"
    );
}

/// Crossings of all sheets of each boat, and the width of the widest.
const PINNED_SHEETS: [(&str, usize, f64); 6] = [
    ("basalt-bilge-pump", 0, 737.0),
    ("flint-carburetted-two-stroke", 1, 788.0),
    ("gabbro-injected-outboard", 0, 1270.0),
    ("gneiss-inboard-diesel", 1, 1467.0),
    ("marl-tiller-9hp", 0, 1113.0),
    ("schist-console-boat", 4, 994.0),
];

#[test]
fn made_up_circuits_of_up_to_sixty_wires_can_be_read() {
    let mut largest = 0;
    for seed in 0..60 {
        let wires = 4 + (seed as usize * 56) / 59;
        let circuit = circuit_of(&generated::circuit(seed, wires));
        largest = largest.max(circuit.wires.len());
        hold(&format!("seed {seed}, {wires} wires"), &circuit);
    }
    assert!(largest >= 58, "{largest}");
}

#[test]
fn the_same_circuit_gives_the_same_drawing_whatever_the_order_of_its_tables() {
    let text = generated::circuit(7, 30);
    let (head, wires) = text.split_once("[[wire]]").expect("wires");
    let mut tables: Vec<&str> = wires.split("[[wire]]").collect();
    tables.reverse();
    let turned = format!("{head}[[wire]]{}", tables.join("[[wire]]"));
    assert_eq!(draw(&circuit_of(&text)), draw(&circuit_of(&turned)));
}
