//! In which column each symbol stands, counted from the supply.
//!
//! A wire from a pin that looks right to one that looks left asks for a later
//! column, two pins that look the same way for the same column. Wishes are
//! taken in order; one that contradicts those taken before is dropped, and its
//! wire then runs around.

use super::graph::{Edge, Graph};
use super::symbol::{Glyph, Side};

/// Columns of all symbols.
pub(super) fn columns(graph: &Graph, potential: &[f64]) -> Vec<usize> {
    let mut order = Order::new(graph.symbols.len());
    let (mut after, mut beside) = (Vec::new(), Vec::new());
    for edge in graph.edges.iter().filter(|edge| !graph.returns(edge)) {
        match wish(graph, edge, potential) {
            Wish::After(a, b) => after.push((a, b)),
            Wish::Beside(a, b) => beside.push((a, b)),
            Wish::None => {}
        }
    }
    for (a, b) in after {
        order.after(a, b);
    }
    for (a, b) in beside {
        order.beside(a, b);
    }
    order.settle(graph)
}

enum Wish {
    After(usize, usize),
    Beside(usize, usize),
    None,
}

fn wish(graph: &Graph, edge: &Edge, potential: &[f64]) -> Wish {
    let [(a, pin_a), (b, pin_b)] = edge.ends;
    if a == b {
        return Wish::None;
    }
    let side = |symbol: usize, pin: usize| graph.symbols[symbol].pins[pin].side;
    match (side(a, pin_a), side(b, pin_b)) {
        (Some(Side::Right) | None, Some(Side::Left)) | (Some(Side::Right), None) => {
            Wish::After(a, b)
        }
        (Some(Side::Left) | None, Some(Side::Right)) | (Some(Side::Left), None) => {
            Wish::After(b, a)
        }
        (Some(_), Some(_)) => Wish::Beside(a, b),
        (None, None) => {
            let of = |symbol: usize| potential[graph.symbols[symbol].pins[0].terminal.0];
            if of(a) >= of(b) {
                Wish::After(a, b)
            } else {
                Wish::After(b, a)
            }
        }
    }
}

/// Wishes taken so far.
struct Order {
    /// Which symbols share a column: each points to a leader.
    leader: Vec<usize>,
    /// Pairs of which the second stands in a later column.
    later: Vec<(usize, usize)>,
}

impl Order {
    fn new(count: usize) -> Self {
        Self {
            leader: (0..count).collect(),
            later: Vec::new(),
        }
    }

    fn of(&self, mut symbol: usize) -> usize {
        while self.leader[symbol] != symbol {
            symbol = self.leader[symbol];
        }
        symbol
    }

    fn after(&mut self, a: usize, b: usize) {
        if !self.leads(b, a) {
            self.later.push((a, b));
        }
    }

    fn beside(&mut self, a: usize, b: usize) {
        if !self.leads(a, b) && !self.leads(b, a) {
            let (a, b) = (self.of(a), self.of(b));
            self.leader[a.max(b)] = a.min(b);
        }
    }

    /// Whether wishes already lead from one column to another, or they are one.
    fn leads(&self, from: usize, to: usize) -> bool {
        let (from, to) = (self.of(from), self.of(to));
        let mut seen = vec![false; self.leader.len()];
        let mut open = vec![from];
        while let Some(at) = open.pop() {
            if at == to {
                return true;
            }
            if std::mem::replace(&mut seen[at], true) {
                continue;
            }
            let next = self.later.iter().filter(|(a, _)| self.of(*a) == at);
            open.extend(next.map(|(_, b)| self.of(*b)));
        }
        false
    }

    /// Longest ways from the left; then whatever only feeds moves right to what it feeds.
    fn settle(&self, graph: &Graph) -> Vec<usize> {
        let count = self.leader.len();
        let pairs: Vec<(usize, usize)> = self
            .later
            .iter()
            .map(|(a, b)| (self.of(*a), self.of(*b)))
            .collect();
        let mut column = vec![0; count];
        // No circles, so as many passes as symbols are enough.
        for _ in 0..count {
            let mut moved = false;
            for &(a, b) in &pairs {
                if column[b] < column[a] + 1 {
                    column[b] = column[a] + 1;
                    moved = true;
                }
            }
            if !moved {
                break;
            }
        }
        self.pull_right(graph, &pairs, &mut column);
        (0..count).map(|symbol| column[self.of(symbol)]).collect()
    }

    fn pull_right(&self, graph: &Graph, pairs: &[(usize, usize)], column: &mut [usize]) {
        let holds_battery = |group: usize| {
            let members = (0..self.leader.len()).filter(|s| self.of(*s) == group);
            members
                .into_iter()
                .any(|s| graph.symbols[s].glyph == Glyph::Battery)
        };
        for _ in 0..column.len() {
            let mut moved = false;
            for group in 0..column.len() {
                if self.of(group) != group || holds_battery(group) {
                    continue;
                }
                let into = pairs.iter().filter(|(_, b)| *b == group).count();
                let out = pairs.iter().filter(|(a, _)| *a == group);
                let (ways, nearest) = out.fold((0, usize::MAX), |(ways, nearest), (_, b)| {
                    (ways + 1, nearest.min(column[*b]))
                });
                if ways > into && column[group] + 1 < nearest {
                    column[group] = nearest - 1;
                    moved = true;
                }
            }
            if !moved {
                break;
            }
        }
    }
}
