//! How near each terminal is to a battery's plus: 1 on it, 0 on its minus.
//!
//! Every contact is imagined closed, wires and contacts weigh 1, loads 100, and
//! the resistances' network is solved: along every way current could take, the
//! figure falls. It says which terminal of a symbol looks left.

use super::symbol::{Glyph, Side, Symbol};
use crate::circuit::{Circuit, Device};

/// What a load weighs against a wire.
const LOAD: f64 = 100.0;
/// Holds what nothing connects to a supply, and keeps the equations sound.
const LEAK: f64 = 1e-7;
/// Figures nearer than this are alike: no current passes.
const ALIKE: f64 = 1e-6;

/// One figure a terminal of the circuit.
pub(super) fn potentials(circuit: &Circuit, symbols: &[Symbol]) -> Vec<f64> {
    let count = circuit.terminals.len();
    let mut matrix = vec![vec![0.0; count + 1]; count];
    let mut link = |a: usize, b: usize, weight: f64| {
        let g = 1.0 / weight;
        matrix[a][a] += g;
        matrix[b][b] += g;
        matrix[a][b] -= g;
        matrix[b][a] -= g;
    };
    for wire in &circuit.wires {
        link(wire.from.0, wire.to.0, 1.0);
    }
    for join in &circuit.joins {
        link(join.part.0, join.to.0, 1.0);
    }
    for symbol in symbols.iter().filter(|s| s.glyph != Glyph::Battery) {
        let weight = if is_load(symbol.glyph) { LOAD } else { 1.0 };
        for &(a, b) in &symbol.ways {
            link(symbol.pins[a].terminal.0, symbol.pins[b].terminal.0, weight);
        }
    }
    for (at, row) in matrix.iter_mut().enumerate() {
        row[at] += LEAK;
        row[count] += 0.5 * LEAK;
    }
    for part in &circuit.parts {
        if matches!(part.device, Device::Battery(_)) {
            for (terminal, figure) in [(part.terminals[0].0, 1.0), (part.terminals[1].0, 0.0)] {
                matrix[terminal].fill(0.0);
                matrix[terminal][terminal] = 1.0;
                matrix[terminal][count] = figure;
            }
        }
    }
    solved(matrix)
}

/// Gauss elimination; the matrix is diagonally dominant, so no pivoting is needed.
fn solved(mut matrix: Vec<Vec<f64>>) -> Vec<f64> {
    let count = matrix.len();
    for pivot in 0..count {
        let (above, below) = matrix.split_at_mut(pivot + 1);
        let row = &above[pivot];
        for other in below {
            let factor = other[pivot] / row[pivot];
            if factor != 0.0 {
                for at in pivot..=count {
                    other[at] -= factor * row[at];
                }
            }
        }
    }
    let mut found = vec![0.0; count];
    for at in (0..count).rev() {
        let known: f64 = (at + 1..count).map(|c| matrix[at][c] * found[c]).sum();
        found[at] = (matrix[at][count] - known) / matrix[at][at];
    }
    found
}

/// Symbols that hold the potential up.
pub(super) fn is_load(glyph: Glyph) -> bool {
    matches!(
        glyph,
        Glyph::Coil
            | Glyph::Pump
            | Glyph::Motor
            | Glyph::Solenoid
            | Glyph::Lamp
            | Glyph::Resistance
            | Glyph::Load
            | Glyph::Charger
    )
}

/// Which way each pin looks.
pub(super) fn turn(symbols: &mut [Symbol], circuit: &Circuit, potential: &[f64]) {
    let distance = distances(circuit, symbols);
    for symbol in symbols {
        match symbol.glyph {
            Glyph::Stud => {}
            Glyph::Battery => {
                symbol.pins[0].side = Some(Side::Right);
                symbol.pins[1].side = Some(Side::Left);
            }
            Glyph::Block | Glyph::Driver => turn_whole(symbol, potential, &distance),
            _ => turn_each(symbol, potential, &distance),
        }
    }
}

/// Feed on one side, slots or channels on the other.
fn turn_whole(symbol: &mut Symbol, potential: &[f64], distance: &[usize]) {
    let single = symbol.ways.first().map_or(0, |way| {
        let shared = symbol.ways.iter().all(|other| other.0 == way.0);
        if shared { way.0 } else { way.1 }
    });
    let left_votes = symbol.ways.iter().filter(|(a, b)| {
        let other = if *a == single { *b } else { *a };
        is_left(symbol, single, other, potential, distance)
    });
    let single_left = 2 * left_votes.count() >= symbol.ways.len();
    for at in 0..symbol.pins.len() {
        let left = (at == single) == single_left;
        symbol.pins[at].side = Some(if left { Side::Left } else { Side::Right });
    }
}

/// Each pin by the ways it is part of.
fn turn_each(symbol: &mut Symbol, potential: &[f64], distance: &[usize]) {
    let votes = |at: usize| {
        let ways = symbol.ways.iter().filter(|(a, b)| *a == at || *b == at);
        ways.map(|&(a, b)| {
            let other = if a == at { b } else { a };
            if is_left(symbol, at, other, potential, distance) {
                1
            } else {
                -1
            }
        })
        .sum::<i32>()
    };
    let mut left: Vec<bool> = (0..symbol.pins.len()).map(|at| votes(at) > 0).collect();
    match symbol.glyph {
        // The moving arm on one side, its two places on the other.
        Glyph::Changeover => {
            let arm_left = votes(0) > 0 || (votes(0) == 0 && votes(1) < 0 && votes(2) < 0);
            left = vec![arm_left, !arm_left, !arm_left];
        }
        Glyph::Motor | Glyph::Pump if left.len() == 3 => {
            let common_left = votes(2) > 0;
            left = vec![!common_left, !common_left, common_left];
        }
        _ => {}
    }
    if left.len() == 2 && left[0] == left[1] {
        left[1] = !left[0];
    }
    for (pin, left) in symbol.pins.iter_mut().zip(left) {
        pin.side = Some(if left { Side::Left } else { Side::Right });
    }
}

/// Whether one pin looks left of another: the nearer to plus, else the one fewer
/// steps away, else the one written first.
fn is_left(
    symbol: &Symbol,
    one: usize,
    other: usize,
    potential: &[f64],
    distance: &[usize],
) -> bool {
    let [a, b] = [one, other].map(|pin| symbol.pins[pin].terminal.0);
    let difference = potential[a] - potential[b];
    if difference.abs() > ALIKE {
        return difference > 0.0;
    }
    // Dead ends: on the feed's side they lead away from it, on the return's to it.
    let nearer = distance[a].cmp(&distance[b]).then(one.cmp(&other)).is_lt();
    if potential[a] < 0.25 { !nearer } else { nearer }
}

/// Steps from any battery post to each terminal.
fn distances(circuit: &Circuit, symbols: &[Symbol]) -> Vec<usize> {
    let mut next: Vec<Vec<usize>> = vec![Vec::new(); circuit.terminals.len()];
    let mut link = |a: usize, b: usize| {
        next[a].push(b);
        next[b].push(a);
    };
    for wire in &circuit.wires {
        link(wire.from.0, wire.to.0);
    }
    for join in &circuit.joins {
        link(join.part.0, join.to.0);
    }
    let mut reached = std::collections::VecDeque::new();
    let mut steps = vec![usize::MAX; circuit.terminals.len()];
    for symbol in symbols {
        if symbol.glyph == Glyph::Battery {
            for pin in &symbol.pins {
                steps[pin.terminal.0] = 0;
                reached.push_back(pin.terminal.0);
            }
            continue;
        }
        for &(a, b) in &symbol.ways {
            link(symbol.pins[a].terminal.0, symbol.pins[b].terminal.0);
        }
    }
    while let Some(at) = reached.pop_front() {
        for &to in &next[at] {
            if steps[to] == usize::MAX {
                steps[to] = steps[at] + 1;
                reached.push_back(to);
            }
        }
    }
    steps
}
