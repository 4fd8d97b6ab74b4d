//! What a state shows on the wiring diagram: what is live, what is beyond a
//! limit, what is hot, how the contacts stand.

use crate::circuit::zones::{FuseId, fuse_name};
use crate::circuit::{Circuit, ContactPosition, Device, PartId, State, SwitchKind};
use crate::document::Emphasis;
use crate::drawing::{Conductor, Drawing, Glyph, Pin, Symbol};
use crate::findings::Finding;
use crate::quantities::{Amps, Celsius, Volts};
use crate::solving::{StateSolution, WireReading, found_mark, fuse_mark, load_mark};

/// Less is no current to speak of, amperes.
const OFF_A: f64 = 0.005;
/// Less is not told either, amperes; what lies between drains a battery all the
/// same, as a clock or an alarm does.
const TRICKLE_A: f64 = 1e-4;
/// From here up a terminal counts as live, volts.
const LIVE_V: f64 = 1.0;
/// A wire so far above its air is called hot, kelvin: it is felt by hand.
const HOT_K: f64 = 20.0;

/// How a conductor stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Flow {
    /// Neither volts nor current.
    Dead,
    /// Volts without current, or with very little.
    Live,
    /// Current.
    Carries,
}

/// A conductor in a state.
#[derive(Debug, Clone, PartialEq)]
pub struct Shown {
    /// How it stands.
    pub flow: Flow,
    /// Whether it is within its limits.
    pub emphasis: Emphasis,
    /// Whether it is hot.
    pub hot: bool,
    /// Whether it carries very little, less than counts as current.
    pub trickle: bool,
    /// `5.75 A 0.11 V`; empty where it carries nothing.
    pub words: String,
}

/// A state over the drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Overlay {
    /// The state's name.
    pub state: String,
    /// Whether it is a what-if state.
    pub what_if: bool,
    /// One entry a conductor of the drawing.
    pub conductors: Vec<Shown>,
    /// Whether each symbol's part is within its limits.
    pub symbols: Vec<Emphasis>,
    /// For each symbol that of each pin: a block's fuse by itself, not its block.
    pub pins: Vec<Vec<Emphasis>>,
    /// For each symbol, which of its ways are closed.
    pub closed: Vec<Vec<bool>>,
    /// The state in one sentence, for those who do not see the picture.
    pub sentence: String,
}

/// A state over a drawing.
pub(super) fn overlay(
    circuit: &Circuit,
    drawing: &Drawing,
    state: &State,
    solved: &StateSolution,
    findings: &[Finding],
) -> Overlay {
    let conductors: Vec<Shown> = drawing
        .conductors
        .iter()
        .map(|of| shown(circuit, of.conductor, solved, findings))
        .collect();
    let closed = drawing
        .symbols
        .iter()
        .map(|placed| closed(circuit, &placed.symbol, state, solved))
        .collect();
    let symbols: Vec<Emphasis> = drawing
        .symbols
        .iter()
        .map(|placed| {
            let part = circuit.part(placed.symbol.part);
            let whole = !matches!(part.device, Device::FuseBlock(_));
            let found = found_mark(findings, &part.name, &state.name, whole);
            let load = solved.parts.get(&part.name);
            let load = load.map_or(Emphasis::Plain, |reading| load_mark(solved, reading));
            let of_fuse = of_fuse(solved, &part.name);
            worst([found, load, of_fuse])
        })
        .collect();
    let pins: Vec<Vec<Emphasis>> = drawing
        .symbols
        .iter()
        .map(|placed| of_pins(circuit, &placed.symbol, findings, solved))
        .collect();
    Overlay {
        state: state.name.clone(),
        what_if: solved.what_if,
        sentence: sentence(circuit, drawing, (&conductors, &symbols, &pins), state),
        symbols,
        pins,
        conductors,
        closed,
    }
}

fn shown(
    circuit: &Circuit,
    conductor: Conductor,
    solved: &StateSolution,
    findings: &[Finding],
) -> Shown {
    let volts = |terminal: crate::circuit::TerminalId| {
        let label = &circuit.terminal(terminal).label;
        solved.terminals_v.get(label).copied().flatten()
    };
    match conductor {
        Conductor::Join(at) => {
            let live = volts(circuit.joins[at].part).is_some_and(|v| v.abs() > LIVE_V);
            let current_a = solved.joins_a.get(at).map_or(0.0, |amps| amps.abs());
            let trickle = is_trickle(current_a);
            Shown {
                flow: flow(current_a >= OFF_A, live || trickle),
                emphasis: Emphasis::Plain,
                hot: false,
                trickle,
                words: if current_a >= TRICKLE_A {
                    Amps::new(current_a).to_string()
                } else {
                    String::new()
                },
            }
        }
        Conductor::Wire(at) => {
            let wire = &circuit.wires[at];
            let label = circuit.wire_label(wire);
            let live = [wire.from, wire.to]
                .into_iter()
                .any(|end| volts(end).is_some_and(|v| v.abs() > LIVE_V));
            let reading = solved.wires.iter().find(|reading| reading.wire == at);
            let current_a = reading.map_or(0.0, |r| r.current_a.abs());
            let trickle = is_trickle(current_a);
            let air = circuit.ambient.at(wire.place).si();
            Shown {
                flow: flow(current_a >= OFF_A, live || trickle),
                trickle,
                emphasis: found_mark(findings, &label, &solved.name, true),
                hot: reading.is_some_and(|r| r.temperature_degc - air >= HOT_K),
                words: reading
                    .filter(|_| current_a >= TRICKLE_A)
                    .map_or_else(String::new, |r| words(r, air)),
            }
        }
    }
}

fn is_trickle(current_a: f64) -> bool {
    (TRICKLE_A..OFF_A).contains(&current_a)
}

fn flow(carries: bool, live: bool) -> Flow {
    match (carries, live) {
        (true, _) => Flow::Carries,
        (false, true) => Flow::Live,
        (false, false) => Flow::Dead,
    }
}

fn words(reading: &WireReading, air: f64) -> String {
    let current = Amps::new(reading.current_a.abs());
    if is_trickle(reading.current_a.abs()) {
        return current.to_string();
    }
    let drop = Volts::new(reading.drop_v.abs());
    if reading.temperature_degc - air >= HOT_K {
        return format!("{current} {}", Celsius::new(reading.temperature_degc));
    }
    format!("{current} {drop}")
}

/// How each pin of a symbol stands: a block's by the fuse behind it.
fn of_pins(
    circuit: &Circuit,
    symbol: &Symbol,
    findings: &[Finding],
    solved: &StateSolution,
) -> Vec<Emphasis> {
    let pins = symbol.pins.iter();
    pins.map(|pin| {
        slot_name(circuit, symbol.part, pin).map_or(Emphasis::Plain, |name| {
            let found = found_mark(findings, &name, &solved.name, true);
            worst([found, of_fuse(solved, &name)])
        })
    })
    .collect()
}

/// What the table of the state thinks of a fuse, in every state and not in its worst
/// alone.
fn of_fuse(solved: &StateSolution, name: &str) -> Emphasis {
    let fuse = solved.fuses.get(name).filter(|fuse| fuse.current_a > OFF_A);
    fuse.map_or(Emphasis::Plain, |fuse| fuse_mark(solved, fuse.load_pct))
}

/// The worst of some marks; what holds needs none in a picture.
fn worst(marks: impl IntoIterator<Item = Emphasis>) -> Emphasis {
    let worst = marks.into_iter().max().unwrap_or_default();
    if worst == Emphasis::Ok {
        Emphasis::Plain
    } else {
        worst
    }
}

/// Name of the fuse of a block behind a pin; none for its feed or another part.
fn slot_name(circuit: &Circuit, part: PartId, pin: &Pin) -> Option<String> {
    let Device::FuseBlock(block) = &circuit.part(part).device else {
        return None;
    };
    let slot = Some(block.slot_at(pin.terminal)?);
    Some(fuse_name(circuit, FuseId { part, slot }))
}

/// Which ways of a symbol are closed.
fn closed(circuit: &Circuit, symbol: &Symbol, state: &State, solved: &StateSolution) -> Vec<bool> {
    let part: PartId = symbol.part;
    let position = state.contacts.get(&part);
    let ways = symbol.ways.iter();
    match (&circuit.part(part).device, symbol.glyph, position) {
        (Device::Relay(_), Glyph::Make | Glyph::Changeover, _) => {
            let relay = solved.relays.get(&circuit.part(part).name);
            let pulled_in = relay.and_then(|reading| reading.pulled_in);
            ways.map(|(_, place)| pulled_in == Some(*place == 1))
                .collect()
        }
        (_, _, Some(ContactPosition::Simple { closed })) => vec![*closed; symbol.ways.len()],
        (Device::Switch(switch), _, Some(ContactPosition::Selector { position })) => {
            let pairs: &[(usize, usize)] = match &switch.kind {
                SwitchKind::Selector { positions } => &positions[*position].1,
                SwitchKind::Simple { .. } => &[],
            };
            ways.map(|way| pairs.contains(way)).collect()
        }
        (_, _, Some(ContactPosition::Channels { closed })) => {
            ways.map(|(channel, _)| closed.contains(channel)).collect()
        }
        _ => vec![true; symbol.ways.len()],
    }
}

fn sentence(
    circuit: &Circuit,
    drawing: &Drawing,
    (all, symbols, pins): (&[Shown], &[Emphasis], &[Vec<Emphasis>]),
    state: &State,
) -> String {
    let parts = |wanted: Emphasis| {
        let pairs = drawing.symbols.iter().zip(symbols);
        let mut names: Vec<String> = pairs
            .filter(|(_, emphasis)| **emphasis == wanted)
            .map(|(placed, _)| format!("`{}`", circuit.part(placed.symbol.part).name))
            .collect();
        names.dedup();
        for (placed, pins) in drawing.symbols.iter().zip(pins) {
            let part = placed.symbol.part;
            let pairs = placed.symbol.pins.iter().zip(pins);
            let wanted = pairs.filter(|(_, emphasis)| **emphasis == wanted);
            let slots = wanted.filter_map(|(pin, _)| slot_name(circuit, part, pin));
            names.extend(slots.map(|name| format!("`{name}`")));
        }
        names
    };
    let named = |wanted: &dyn Fn(&Shown) -> bool| {
        let pairs = drawing.conductors.iter().zip(all);
        let wires = pairs.filter_map(|(of, shown)| match of.conductor {
            Conductor::Wire(at) if wanted(shown) => {
                Some(format!("`{}`", circuit.wire_label(&circuit.wires[at])))
            }
            _ => None,
        });
        wires.collect::<Vec<String>>()
    };
    let carrying = named(&|shown| shown.flow == Flow::Carries).len();
    let wires = circuit.wires.len();
    let trickling = named(&|shown| shown.trickle).len();
    let mut text = format!(
        "In `{}` {carrying} of {wires} wires carry current",
        state.name
    );
    if trickling > 0 {
        let rest = Amps::new(OFF_A);
        text = format!("{text} of {rest} or more, {trickling} carry less");
    }
    let bad = named(&|shown| shown.emphasis == Emphasis::Bad);
    let warned = named(&|shown| shown.emphasis == Emphasis::Warn);
    for (words, names) in [
        ("beyond a limit", [bad, parts(Emphasis::Bad)].concat()),
        ("to look at", [warned, parts(Emphasis::Warn)].concat()),
        ("hot", named(&|shown| shown.hot)),
    ] {
        if !names.is_empty() {
            text = format!("{text}; {words}: {}", names.join(", "));
        }
    }
    text.push('.');
    if state.is_what_if() {
        text.push_str(" This is a what-if: shown and never judged, so nothing in it is marked.");
    }
    text
}
