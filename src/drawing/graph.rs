//! Symbols with the wires and bolted joints between them.

use super::symbol::{Glyph, Side, Symbol};
use crate::circuit::{Circuit, TerminalId};

/// What joins two terminals.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Conductor {
    /// A wire, by its index in the circuit.
    Wire(usize),
    /// A bolted joint, by its index in the circuit.
    Join(usize),
}

/// A conductor between two pins, each a symbol and a pin of it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Edge {
    pub conductor: Conductor,
    pub ends: [(usize, usize); 2],
}

/// Symbols and conductors.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Graph {
    pub symbols: Vec<Symbol>,
    pub edges: Vec<Edge>,
}

impl Graph {
    pub(super) fn of(circuit: &Circuit, symbols: Vec<Symbol>) -> Self {
        let mut at = vec![None; circuit.terminals.len()];
        for (number, symbol) in symbols.iter().enumerate() {
            for (pin, of) in symbol.pins.iter().enumerate() {
                at[of.terminal.0] = Some((number, pin));
            }
        }
        let wires = circuit.wires.iter().enumerate();
        let wires = wires.map(|(i, wire)| (Conductor::Wire(i), wire.from, wire.to));
        let joins = circuit.joins.iter().enumerate();
        let joins = joins.map(|(i, join)| (Conductor::Join(i), join.part, join.to));
        let edge = |(conductor, a, b): (Conductor, TerminalId, TerminalId)| {
            Some(Edge {
                conductor,
                ends: [at[a.0]?, at[b.0]?],
            })
        };
        Self {
            edges: wires.chain(joins).filter_map(edge).collect(),
            symbols,
        }
    }

    /// Whether a conductor ends on a battery's minus: it returns below all else.
    pub(super) fn returns(&self, edge: &Edge) -> bool {
        edge.ends.iter().any(|&(symbol, pin)| {
            let symbol = &self.symbols[symbol];
            symbol.glyph == Glyph::Battery && symbol.pins[pin].side == Some(Side::Left)
        })
    }
}
