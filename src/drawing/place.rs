//! Puts an arrangement on paper: columns and tracks get their measures.

use super::beside::{letters, under, under_words};
use super::folds::fold;
use super::grid::{Item, Stop};
use super::lettering::{cut, width};
use super::paper::{Anchor, Drawing, Lettering, Placed, Port, Rect, Routed};
use super::route::{Tracks, tracks};
use super::rows::{Arrangement, HEAD};
use super::symbol::{Glyph, LONGEST_MARK, Side, Symbol};
use super::zone::{Zone, words, zone};
use crate::circuit::Circuit;

/// Free room around everything.
const MARGIN: f64 = 12.0;
/// Between two tracks of a channel.
pub(super) const TRACK: f64 = 9.0;
/// Between tracks and what lies beside them.
pub(super) const BESIDE: f64 = 8.0;
/// Half the width of what is drawn of a symbol.
pub(super) const HALF: f64 = 21.0;
/// Half the width of a block with its terminals' names inside.
pub(super) const HALF_WIDE: f64 = 34.0;
/// From the drawn symbol to where a terminal's conductors meet.
pub(super) const MEET: f64 = 5.0;
/// Height of a symbol's name.
pub(super) const NAME: f64 = 11.0;
/// Height of all other lettering.
pub(super) const SMALL: f64 = 9.5;
/// Height of a terminal's mark.
pub(super) const MARK: f64 = 9.5;
/// Longest name shown whole.
pub(super) const LONGEST_NAME: usize = 20;
/// Room for what a state says on a conductor: `12.3 A 0.12 V`.
const STATE: &str = "12.3 A 12.3 mV";

/// Puts an arrangement on paper.
pub(super) fn place(circuit: &Circuit, now: &Arrangement<'_>) -> Drawing {
    let channels: Vec<Tracks> = (0..now.grid.channels.len())
        .map(|channel| tracks(now, channel))
        .collect();
    let texts: Vec<String> = now
        .graph
        .edges
        .iter()
        .map(|edge| words(circuit, edge.conductor))
        .collect();
    let zones: Vec<Zone> = (0..texts.len()).map(|edge| zone(now, edge)).collect();
    let across = Across::of(now, &channels, &texts, &zones);
    let symbols: Vec<Placed> = (0..now.graph.symbols.len())
        .map(|symbol| placed(now, &across, symbol))
        .collect();
    let conductors: Vec<Routed> = (0..texts.len())
        .map(|edge| {
            routed(
                now,
                &channels,
                &across,
                &symbols,
                edge,
                &texts[edge],
                zones[edge],
            )
        })
        .collect();
    let bottom = |now: &Arrangement<'_>| {
        let mut lowest: f64 = 0.0;
        for (column, items) in now.grid.columns.iter().enumerate() {
            for &item in items {
                lowest = lowest.max(now.top(item, column) + now.height(item));
            }
        }
        lowest
    };
    Drawing {
        width: across.end + MARGIN,
        height: bottom(now) + 2.0 * MARGIN,
        symbols,
        conductors,
        folds: across.folds,
    }
}

/// Measures from left to right.
struct Across {
    /// Left edge and width of each column.
    columns: Vec<(f64, f64)>,
    /// First track of each channel.
    tracks: Vec<f64>,
    /// How far each conductor's lettering may stand inside a column, towards the
    /// symbol it leads to.
    slacks: Vec<f64>,
    /// Beside the tracks of each channel between two columns.
    folds: Vec<f64>,
    end: f64,
}

impl Across {
    fn of(now: &Arrangement<'_>, channels: &[Tracks], texts: &[String], zones: &[Zone]) -> Self {
        let widest: Vec<f64> = now.grid.columns.iter().map(|of| widest(now, of)).collect();
        let slacks: Vec<f64> = (0..texts.len())
            .map(|edge| slack(now, &widest, edge, zones[edge]))
            .collect();
        let room = |channel: usize, side: Side| {
            let here = |at: &usize| zones[*at].channel == channel && zones[*at].side == side;
            let all = (0..texts.len()).filter(here);
            all.map(|at| {
                let letters = width(&texts[at], SMALL, false).max(width(STATE, SMALL, false));
                letters + BESIDE - slacks[at]
            })
            .fold(0.0, f64::max)
        };
        let mut x = MARGIN;
        let (mut columns, mut tracks, mut folds) = (Vec::new(), Vec::new(), Vec::new());
        for (channel, of) in channels.iter().enumerate() {
            x += room(channel, Side::Left) + BESIDE;
            tracks.push(x);
            if channel > 0 && channel < widest.len() {
                folds.push(fold(of, x));
            }
            x += (of.count as f64 - 1.0).max(0.0) * TRACK;
            x += BESIDE + room(channel, Side::Right);
            if let Some(&wide) = widest.get(channel) {
                columns.push((x, wide));
                x += wide;
            }
        }
        Self {
            columns,
            tracks,
            slacks,
            folds,
            end: x,
        }
    }
}

fn widest(now: &Arrangement<'_>, items: &[Item]) -> f64 {
    let widths = items.iter().map(|item| item_width(now, *item));
    widths.fold(0.0, f64::max)
}

/// What a column leaves free between its edge and where a conductor meets its
/// symbol: names are wider than signs and stand above the line, so lettering
/// goes in under them. What passes a column has all of it.
fn slack(now: &Arrangement<'_>, widest: &[f64], edge: usize, zone: Zone) -> f64 {
    match zone.stop {
        Stop::Column(column) => widest[column],
        Stop::End(end) => {
            let number = now.graph.edges[edge].ends[end].0;
            let symbol = &now.graph.symbols[number];
            let wide = widest[now.grid.column_of[number]];
            let taken = match symbol.glyph {
                Glyph::Stud => 0.0,
                glyph if marks_inside(glyph) => half_of(symbol) + MEET,
                _ => half_of(symbol) + MEET + mark_room(symbol),
            };
            (wide / 2.0 - taken - 2.0).max(0.0)
        }
    }
}

/// Half the width of what is drawn of a symbol.
fn half(glyph: Glyph) -> f64 {
    match glyph {
        Glyph::Block | Glyph::Driver | Glyph::Selector | Glyph::Changeover => HALF_WIDE,
        Glyph::Stud => 3.0,
        Glyph::Pin => 9.0,
        _ => HALF,
    }
}

/// Whether a symbol's marks stand inside its frame.
pub(super) fn marks_inside(glyph: Glyph) -> bool {
    matches!(glyph, Glyph::Block | Glyph::Driver)
}

fn item_width(now: &Arrangement<'_>, item: Item) -> f64 {
    let Item::Symbol(number) = item else {
        return 0.0;
    };
    let symbol = &now.graph.symbols[number];
    let lettering = width(&cut(&symbol.name, LONGEST_NAME), NAME, true)
        .max(width(&under_words(symbol), SMALL, false))
        .max(width(&symbol.elsewhere, SMALL, false));
    let drawn = 2.0 * (half_of(symbol) + MEET + mark_room(symbol)) + 4.0;
    lettering.max(drawn) + 4.0
}

/// Half the width, wider where long names stand inside.
fn half_of(symbol: &Symbol) -> f64 {
    if marks_inside(symbol.glyph) {
        let longest = symbol
            .pins
            .iter()
            .map(|pin| width(&cut(&pin.mark, LONGEST_MARK), MARK, false));
        longest.fold(HALF_WIDE, |room, mark| room.max(f64::midpoint(mark, 52.0)))
    } else {
        half(symbol.glyph)
    }
}

/// Room beside the drawn symbol for its terminals' marks.
fn mark_room(symbol: &Symbol) -> f64 {
    if marks_inside(symbol.glyph) {
        return 4.0;
    }
    let marks = symbol
        .pins
        .iter()
        .map(|pin| width(&cut(&pin.mark, 8), MARK, false));
    marks.fold(0.0, f64::max) + 2.0
}

fn placed(now: &Arrangement<'_>, across: &Across, number: usize) -> Placed {
    let symbol = &now.graph.symbols[number];
    let (left, wide) = across.columns[now.grid.column_of[number]];
    let centre = left + wide / 2.0;
    let top = now.symbol_y[number] + HEAD + MARGIN;
    let half = half_of(symbol);
    let body = Rect {
        x: centre - half,
        y: top + 2.0,
        w: 2.0 * half,
        h: now.body(number) - 4.0,
    };
    let mut ports = Vec::new();
    for side in [Side::Left, Side::Right] {
        for (at, slot) in now.slots[number].on(side).iter().enumerate() {
            let y = now.slot_y(number, side, at) + MARGIN;
            let known = ports
                .iter_mut()
                .find(|port: &&mut Port| port.pin == slot.pin && port.side == side);
            match known {
                Some(port) => port.ys.push(y),
                None => ports.push(Port {
                    pin: slot.pin,
                    side,
                    x: meeting(symbol, centre, half, side),
                    ys: vec![y],
                }),
            }
        }
    }
    let mut lettering = letters(symbol, &ports, centre, top);
    let under = under(symbol, &ports, (left, wide), top, now.body(number));
    // Marks come last.
    lettering.splice(1..1, under);
    Placed {
        symbol: symbol.clone(),
        body,
        ports,
        lettering,
    }
}

fn meeting(symbol: &Symbol, centre: f64, half: f64, side: Side) -> f64 {
    match (symbol.glyph, side) {
        (Glyph::Stud, _) => centre,
        (_, Side::Left) => centre - half - MEET,
        (_, Side::Right) => centre + half + MEET,
    }
}

fn routed(
    now: &Arrangement<'_>,
    channels: &[Tracks],
    across: &Across,
    symbols: &[Placed],
    edge: usize,
    text: &str,
    zone: Zone,
) -> Routed {
    let mut points: Vec<(f64, f64)> = Vec::new();
    let ends = now.graph.edges[edge].ends;
    let port_x = |end: usize| {
        let (symbol, pin) = ends[end];
        let side = now.grid.sides[edge][end];
        let mut ports = symbols[symbol].ports.iter();
        let port = ports.find(|port| port.pin == pin && port.side == side);
        port.map_or(0.0, |port| port.x)
    };
    // Stretches lie in the channels' order; the first may begin at either end.
    let mut own = channels.iter().enumerate().flat_map(|(channel, tracks)| {
        let runs = tracks
            .runs
            .iter()
            .filter(|(run, _)| run.stretch.edge == edge);
        runs.map(move |(run, track)| (channel, run, *track))
    });
    let all: Vec<_> = own.by_ref().collect();
    for (channel, run, track) in &all {
        for at in [0, 1] {
            let y = run.y[at] + MARGIN;
            if let Stop::End(end) = run.stretch.stops[at]
                && at == 0
            {
                points.push((port_x(end), y));
            }
            if let Some(track) = track {
                points.push((across.tracks[*channel] + *track as f64 * TRACK, y));
            }
            if let Stop::End(end) = run.stretch.stops[at]
                && at == 1
            {
                points.push((port_x(end), y));
            }
        }
    }
    let (y, x, anchor) = lettering_place(now, across, edge, zone);
    let letters = |text: String, below: bool| Lettering {
        text,
        x,
        // Clear of the thickest line that a state draws, and of hot dots.
        y: if below { y + 11.0 } else { y - 4.0 },
        anchor,
        size: SMALL,
        bold: false,
    };
    Routed {
        conductor: now.graph.edges[edge].conductor,
        points,
        lettering: letters(text.to_owned(), false),
        figures: letters(STATE.to_owned(), true),
    }
}

fn lettering_place(
    now: &Arrangement<'_>,
    across: &Across,
    edge: usize,
    zone: Zone,
) -> (f64, f64, Anchor) {
    let y = now.stop_y(edge, zone.stop) + MARGIN;
    let gap = BESIDE / 2.0;
    match zone.side {
        Side::Right => {
            let right = across
                .columns
                .get(zone.channel)
                .map_or(across.end, |column| column.0);
            (y, right + across.slacks[edge] - gap, Anchor::End)
        }
        Side::Left => {
            let left = match zone.channel.checked_sub(1) {
                Some(column) => across.columns[column].0 + across.columns[column].1,
                None => MARGIN,
            };
            (y, left - across.slacks[edge] + gap, Anchor::Start)
        }
    }
}
