//! The wiring diagram of a circuit, laid out by itself: where every symbol
//! stands, how every conductor runs, where all lettering goes.
//!
//! The supply is at the left, and what is nearer to its minus stands farther
//! right; returns to the battery run below all else. Relays stand as coil and
//! contact, plugs as single pins, as in a detached drawing. Columns, orders,
//! heights and tracks are worked out one after the other, each in a file of its
//! own; the same circuit gives the same drawing.
//!
//! By construction: items of a column have rows of their own, conductors turn
//! only in channels between columns, and lettering has a zone where conductors
//! run level. So no lettering lies on other lettering and no conductor runs
//! through a symbol; tests hold it to that.
//!
//! A large circuit is laid out in sheets as well, one a fuse (`sheets`).
//!
//! # Limits
//! Nothing here knows volts; states are drawn over it. Long names are cut.
//!
//! Used by `reporting` and `present`.

mod align;
mod beside;
mod folds;
mod graph;
mod grid;
mod layers;
mod lettering;
mod order;
mod paper;
mod place;
mod potential;
mod route;
mod rows;
mod sheets;
mod symbol;
mod zone;

pub use graph::Conductor;
pub use lettering::width;
pub use paper::{Anchor, Drawing, Lettering, Placed, Port, Rect, Routed};
pub use sheets::{Sheet, sheets};
pub use symbol::{Glyph, Pin, Side, Symbol};

use crate::circuit::Circuit;

/// Symbols that know which way they look, and what joins them.
struct Prepared {
    graph: graph::Graph,
    potential: Vec<f64>,
}

impl Prepared {
    fn of(circuit: &Circuit) -> Self {
        let mut symbols = symbol::symbols(circuit);
        let potential = potential::potentials(circuit, &symbols);
        potential::turn(&mut symbols, circuit, &potential);
        Self {
            graph: graph::Graph::of(circuit, symbols),
            potential,
        }
    }
}

/// Lays out a circuit on one sheet.
pub fn draw(circuit: &Circuit) -> Drawing {
    let whole = Prepared::of(circuit);
    lay_out(circuit, &whole.graph, &whole.potential)
}

/// Lays out a circuit on one sheet and, where that is wider than `widest`, on
/// several as well.
pub fn draw_in_sheets(circuit: &Circuit, widest: f64) -> (Drawing, Vec<Sheet>) {
    let prepared = Prepared::of(circuit);
    let whole = lay_out(circuit, &prepared.graph, &prepared.potential);
    let sheets = if whole.width > widest {
        sheets::of(circuit, &prepared)
    } else {
        Vec::new()
    };
    (whole, sheets)
}

fn lay_out(circuit: &Circuit, graph: &graph::Graph, potential: &[f64]) -> Drawing {
    let columns = layers::columns(graph, potential);
    let grid = grid::Grid::of(graph, columns);
    let mut arranged = order::order(rows::Arrangement::new(graph, grid));
    align::align(&mut arranged);
    place::place(circuit, &arranged)
}
