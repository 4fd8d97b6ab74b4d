//! The linear network alone: given conductances, many right-hand sides.
//!
//! One elimination in star-mesh form serves any number of current vectors:
//! what a linearly implicit time step needs, whose stages share one matrix.

use std::sync::Arc;

use super::branch::{Branch, Law};
use super::elimination::eliminate_static;
use super::plan::{Layout, Plan, PlanError};
use super::stamping::stamp_linear;

/// A network of plain conductances with its factors.
///
/// # Example
/// A divider: 2 S and 1 S in series to the reference, 3 A into the far end.
/// ```
/// let mut linear = ampkeel::network::Linear::new(3, 0, [(1, 2), (2, 0)])?;
/// assert!(linear.factor(&[2.0, 1.0]) > 0.0);
/// let mut volts = [0.0, 3.0, 0.0];
/// linear.solve(&mut volts);
/// assert!((volts[1] - 4.5).abs() < 1e-12 && (volts[2] - 3.0).abs() < 1e-12);
/// # Ok::<(), ampkeel::network::PlanError>(())
/// ```
#[derive(Debug, Clone)]
pub struct Linear {
    layout: Arc<Layout>,
    parameters: Vec<[f64; 1]>,
    store: Vec<[f64; 1]>,
    by_position: Vec<f64>,
}

impl Linear {
    /// Plans the network of the branches between nodes `0..nodes`.
    ///
    /// # Errors
    /// A branch end or the reference is not below `nodes`.
    pub fn new(
        nodes: usize,
        reference: usize,
        ends: impl IntoIterator<Item = (usize, usize)>,
    ) -> Result<Self, PlanError> {
        let branch = |(from, to)| Branch {
            law: Law::Conductor,
            from,
            to,
        };
        let branches: Vec<Branch> = ends.into_iter().map(branch).collect();
        let layout = Plan::new(nodes, reference, &branches)?.0;
        // Conductors are stored as scale and conductance, in the caller's order.
        Ok(Self {
            parameters: vec![[1.0]; 2 * branches.len()],
            store: vec![[0.0]; layout.symbolic.store],
            by_position: vec![0.0; nodes],
            layout,
        })
    }

    /// Takes the conductance of every branch, siemens, and eliminates.
    ///
    /// Returns the smallest pivot sum: zero where a part hangs on nothing,
    /// below zero where falling characteristics outweigh the rest and the
    /// solution means nothing.
    pub fn factor(&mut self, conductances_s: &[f64]) -> f64 {
        for (pair, &conductance) in self.parameters.chunks_exact_mut(2).zip(conductances_s) {
            pair[1] = [conductance];
        }
        stamp_linear(&self.layout, &self.parameters, &mut self.store);
        eliminate_static(&self.layout, &mut self.store)[0]
    }

    /// Turns injected currents, one a node, amperes, into node voltages against
    /// the reference, volts. A part that hangs on nothing counts from a node of its own.
    pub fn solve(&mut self, nodes: &mut [f64]) {
        let layout = &*self.layout;
        let symbolic = &layout.symbolic;
        let pivots = layout.pivots;
        let at = symbolic.static_at;
        let values = &mut self.by_position;
        for (value, &node) in values.iter_mut().zip(&layout.node_at) {
            *value = nodes[node];
        }
        for (position, pivot) in symbolic.pivots.iter().enumerate() {
            let injected = values[position];
            let first = pivot.first_entry as usize;
            for entry in first..first + pivot.count as usize {
                let later = symbolic.entries[entry].row as usize;
                values[later] += self.store[at + pivots + entry][0] * injected;
            }
            values[position] = injected * self.store[at + position][0];
        }
        values[pivots] = 0.0;
        for (position, pivot) in symbolic.pivots.iter().enumerate().rev() {
            let first = pivot.first_entry as usize;
            for entry in first..first + pivot.count as usize {
                let later = symbolic.entries[entry].row as usize;
                values[position] += self.store[at + pivots + entry][0] * values[later];
            }
        }
        for (value, &node) in values.iter().zip(&layout.node_at) {
            nodes[node] = *value;
        }
    }
}
