//! The field: columns of items, and in the channels between them the stretches
//! of every conductor.
//!
//! Channel `c` lies left of column `c`. A conductor that passes a column takes
//! a row of its own there, so that it never runs through a symbol.

use super::graph::Graph;
use super::symbol::Side;

/// What takes rows of a column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Item {
    Symbol(usize),
    /// A conductor passing, by its edge.
    Pass(usize),
}

/// One end of a stretch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stop {
    /// An end of the edge itself: which of its two.
    End(usize),
    /// The pass through this column.
    Column(usize),
}

/// The stretch of a conductor within one channel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Stretch {
    pub edge: usize,
    pub stops: [Stop; 2],
    /// On which side of the channel each stop lies.
    pub sides: [Side; 2],
}

/// Columns and channels.
#[derive(Debug, Clone)]
pub(super) struct Grid {
    pub column_of: Vec<usize>,
    pub columns: Vec<Vec<Item>>,
    pub channels: Vec<Vec<Stretch>>,
    /// Which side of its symbol each end of each edge is on.
    pub sides: Vec<[Side; 2]>,
}

impl Grid {
    pub(super) fn of(graph: &Graph, column_of: Vec<usize>) -> Self {
        let count = column_of.iter().max().map_or(0, |last| last + 1);
        let mut columns = vec![Vec::new(); count];
        for (symbol, &column) in column_of.iter().enumerate() {
            columns[column].push(Item::Symbol(symbol));
        }
        let mut grid = Self {
            sides: Vec::new(),
            columns,
            channels: vec![Vec::new(); count + 1],
            column_of,
        };
        for (number, edge) in graph.edges.iter().enumerate() {
            let sides = grid.sides_of(graph, edge.ends);
            grid.lay(number, edge.ends, sides);
            grid.sides.push(sides);
        }
        grid
    }

    /// A bar takes a conductor on the side it comes from.
    fn sides_of(&self, graph: &Graph, ends: [(usize, usize); 2]) -> [Side; 2] {
        let fixed = ends.map(|(symbol, pin)| graph.symbols[symbol].pins[pin].side);
        let column = ends.map(|(symbol, _)| self.column_of[symbol]);
        let channel = |end: usize| fixed[end].map(|side| channel(column[end], side));
        let free = |end: usize| match channel(1 - end) {
            Some(other) if other <= column[end] => Side::Left,
            None if column[1 - end] < column[end] => Side::Left,
            _ => Side::Right,
        };
        [0, 1].map(|end| fixed[end].unwrap_or_else(|| free(end)))
    }

    fn lay(&mut self, edge: usize, ends: [(usize, usize); 2], sides: [Side; 2]) {
        let at = [0, 1].map(|end| channel(self.column_of[ends[end].0], sides[end]));
        let (first, last) = if at[0] <= at[1] { (0, 1) } else { (1, 0) };
        for column in at[first]..at[last] {
            self.columns[column].push(Item::Pass(edge));
        }
        for number in at[first]..=at[last] {
            let from = if number == at[first] {
                (Stop::End(first), facing(sides[first]))
            } else {
                (Stop::Column(number - 1), Side::Left)
            };
            let to = if number == at[last] {
                (Stop::End(last), facing(sides[last]))
            } else {
                (Stop::Column(number), Side::Right)
            };
            self.channels[number].push(Stretch {
                edge,
                stops: [from.0, to.0],
                sides: [from.1, to.1],
            });
        }
    }
}

fn channel(column: usize, side: Side) -> usize {
    match side {
        Side::Left => column,
        Side::Right => column + 1,
    }
}

/// A pin on a symbol's right lies on its channel's left.
fn facing(side: Side) -> Side {
    match side {
        Side::Left => Side::Right,
        Side::Right => Side::Left,
    }
}
