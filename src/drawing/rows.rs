//! Heights: which rows a symbol has, and where in its column each item stands.

use super::graph::Graph;
use super::grid::{Grid, Item, Stop};
use super::symbol::{Glyph, Side};

/// Room a conductor takes with its lettering above and below.
pub(super) const PITCH: f64 = 28.0;
/// Room for a symbol's name.
pub(super) const HEAD: f64 = 16.0;
/// Room for what stands under a symbol.
pub(super) const FOOT: f64 = 13.0;
/// Height of each further line there.
pub(super) const FOOT_LINE: f64 = 11.0;
/// Free room below a symbol.
const GAP: f64 = 10.0;

/// A place where one conductor meets a symbol.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Slot {
    /// The symbol's pin.
    pub pin: usize,
    /// Edge and which of its ends; none at a pin that nothing is on.
    pub end: Option<(usize, usize)>,
}

/// The slots of a symbol, top to bottom on either side.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Slots {
    pub left: Vec<Slot>,
    pub right: Vec<Slot>,
}

impl Slots {
    pub(super) fn on(&self, side: Side) -> &[Slot] {
        match side {
            Side::Left => &self.left,
            Side::Right => &self.right,
        }
    }

    pub(super) fn on_mut(&mut self, side: Side) -> &mut Vec<Slot> {
        match side {
            Side::Left => &mut self.left,
            Side::Right => &mut self.right,
        }
    }
}

/// The slots of every symbol, pins as written.
pub(super) fn slots(graph: &Graph, grid: &Grid) -> Vec<Slots> {
    let mut all = vec![Slots::default(); graph.symbols.len()];
    for (number, symbol) in graph.symbols.iter().enumerate() {
        for (pin, of) in symbol.pins.iter().enumerate() {
            let mut met = [Vec::new(), Vec::new()];
            for (edge, ends) in graph.edges.iter().enumerate() {
                for end in [0, 1] {
                    if ends.ends[end] == (number, pin) {
                        let right = grid.sides[edge][end] == Side::Right;
                        met[usize::from(right)].push(Slot {
                            pin,
                            end: Some((edge, end)),
                        });
                    }
                }
            }
            if met.iter().all(Vec::is_empty) {
                let right = of.side == Some(Side::Right);
                met[usize::from(right)].push(Slot { pin, end: None });
            }
            let [left, right] = met;
            all[number].left.extend(left);
            all[number].right.extend(right);
        }
    }
    all
}

/// Columns, channels and slots in their present order.
#[derive(Debug, Clone)]
pub(super) struct Arrangement<'g> {
    pub graph: &'g Graph,
    pub grid: Grid,
    pub slots: Vec<Slots>,
    /// Top of every symbol.
    pub symbol_y: Vec<f64>,
    /// Height of each pass: by edge, then column.
    pub pass_y: Vec<Vec<f64>>,
}

impl<'g> Arrangement<'g> {
    pub(super) fn new(graph: &'g Graph, grid: Grid) -> Self {
        let mut new = Self {
            slots: slots(graph, &grid),
            symbol_y: vec![0.0; graph.symbols.len()],
            pass_y: vec![vec![0.0; grid.columns.len()]; graph.edges.len()],
            graph,
            grid,
        };
        for column in 0..new.grid.columns.len() {
            new.stack(column);
        }
        new
    }

    /// Height of a symbol's body, where its conductors enter.
    pub(super) fn body(&self, symbol: usize) -> f64 {
        let slots = &self.slots[symbol];
        let rows = slots.left.len().max(slots.right.len()).max(1);
        rows as f64 * PITCH
    }

    pub(super) fn foot(&self, symbol: usize) -> f64 {
        let symbol = &self.graph.symbols[symbol];
        let bare = symbol.under.is_empty() || symbol.glyph == Glyph::Stud;
        match usize::from(!bare) + usize::from(!symbol.elsewhere.is_empty()) {
            0 => 0.0,
            lines => FOOT + (lines as f64 - 1.0) * FOOT_LINE,
        }
    }

    /// Height an item takes.
    pub(super) fn height(&self, item: Item) -> f64 {
        match item {
            Item::Symbol(symbol) => HEAD + self.body(symbol) + self.foot(symbol) + GAP,
            Item::Pass(_) => PITCH,
        }
    }

    /// Top of an item.
    pub(super) fn top(&self, item: Item, column: usize) -> f64 {
        match item {
            Item::Symbol(symbol) => self.symbol_y[symbol],
            Item::Pass(edge) => self.pass_y[edge][column] - PITCH / 2.0,
        }
    }

    pub(super) fn put(&mut self, item: Item, column: usize, top: f64) {
        match item {
            Item::Symbol(symbol) => self.symbol_y[symbol] = top,
            Item::Pass(edge) => self.pass_y[edge][column] = top + PITCH / 2.0,
        }
    }

    /// Puts the items of a column one below the other.
    pub(super) fn stack(&mut self, column: usize) {
        let mut top = 0.0;
        for item in self.grid.columns[column].clone() {
            self.put(item, column, top);
            top += self.height(item);
        }
    }

    /// Height of a slot.
    pub(super) fn slot_y(&self, symbol: usize, side: Side, at: usize) -> f64 {
        let count = self.slots[symbol].on(side).len() as f64;
        let free = self.body(symbol) - count * PITCH;
        self.symbol_y[symbol] + HEAD + free / 2.0 + (at as f64 + 0.5) * PITCH
    }

    /// Height of an edge's end.
    pub(super) fn end_y(&self, edge: usize, end: usize) -> f64 {
        let symbol = self.graph.edges[edge].ends[end].0;
        let side = self.grid.sides[edge][end];
        let slots = self.slots[symbol].on(side);
        let at = slots.iter().position(|slot| slot.end == Some((edge, end)));
        self.slot_y(symbol, side, at.unwrap_or(0))
    }

    /// Height of a stop of a stretch.
    pub(super) fn stop_y(&self, edge: usize, stop: Stop) -> f64 {
        match stop {
            Stop::End(end) => self.end_y(edge, end),
            Stop::Column(column) => self.pass_y[edge][column],
        }
    }
}
