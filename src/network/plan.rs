//! What is worked out once per topology: order, pattern, and where each value goes.

use std::collections::BTreeSet;
use std::ops::Range;
use std::sync::Arc;

use super::branch::{Branch, Law};
use super::ordering;
use super::symbolic::{self, Symbolic};

/// Why a topology cannot be planned.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PlanError {
    /// A branch ends at a node that does not exist.
    #[error("branch {branch} ends at node {node}, but there are {nodes} nodes")]
    NoNode {
        /// The branch's index.
        branch: usize,
        /// The node it names.
        node: usize,
        /// How many nodes there are.
        nodes: usize,
    },
    /// The reference is not one of the nodes.
    #[error("node {reference} cannot be the reference, there are {nodes} nodes")]
    NoReference {
        /// The node named.
        reference: usize,
        /// How many nodes there are.
        nodes: usize,
    },
}

/// The order of elimination, its pattern and the layout of values for one topology.
///
/// Values (open branches too: their conductance is zero) come later, so one plan
/// serves every state, fault, sample and search step. Cheap to clone.
#[derive(Debug, Clone)]
pub struct Plan(pub(crate) Arc<Layout>);

/// The plan's contents.
#[derive(Debug)]
pub(crate) struct Layout {
    /// Number of nodes, the reference included.
    pub(crate) nodes: usize,
    /// Number of pivots: nodes less one. Also the position of the reference.
    pub(crate) pivots: usize,
    /// Pivots `0..statics` are eliminated once per solve.
    pub(crate) statics: usize,
    /// Node of each position, the reference last.
    pub(crate) node_at: Vec<usize>,
    /// Position of each node.
    pub(crate) position: Vec<u32>,
    /// Branches sorted by law.
    pub(crate) sorted: Vec<Link>,
    /// Place of each branch (caller's index) in `sorted`.
    pub(crate) sorted_at: Vec<usize>,
    /// Range of each law in `sorted`, indexed by the law.
    pub(crate) of_law: [Range<usize>; 10],
    /// Range of each law in the parameter store.
    pub(crate) parameters_of_law: [Range<usize>; 10],
    /// Number of stored parameters in all.
    pub(crate) parameters: usize,
    /// Where stamps and elimination read and write.
    pub(crate) symbolic: Symbolic,
}

/// A branch with its ends as positions.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Link {
    /// The caller's index.
    pub(crate) branch: usize,
    /// Its law.
    pub(crate) law: Law,
    /// Position of `from`.
    pub(crate) from: u32,
    /// Position of `to`.
    pub(crate) to: u32,
}

impl Plan {
    /// Plans the solution of `branches` between nodes `0..nodes`, voltages counted from `reference`.
    ///
    /// # Errors
    /// A branch end or the reference is not below `nodes`.
    pub fn new(nodes: usize, reference: usize, branches: &[Branch]) -> Result<Self, PlanError> {
        if reference >= nodes {
            return Err(PlanError::NoReference { reference, nodes });
        }
        for (branch, ends) in branches.iter().enumerate() {
            if let Some(node) = [ends.from, ends.to].into_iter().find(|&node| node >= nodes) {
                return Err(PlanError::NoNode {
                    branch,
                    node,
                    nodes,
                });
            }
        }
        let mut adjacency = vec![BTreeSet::new(); nodes];
        let mut is_linear = vec![true; nodes];
        for branch in branches.iter().filter(|branch| branch.from != branch.to) {
            if branch.from != reference && branch.to != reference {
                adjacency[branch.from].insert(branch.to);
                adjacency[branch.to].insert(branch.from);
            }
            if !branch.law.is_linear() {
                is_linear[branch.from] = false;
                is_linear[branch.to] = false;
            }
        }
        let order = ordering::order(adjacency, reference, &is_linear);
        let node_at: Vec<usize> = order
            .iter()
            .map(|pivot| pivot.node)
            .chain([reference])
            .collect();
        let mut position = vec![0; nodes];
        for (at, &node) in node_at.iter().enumerate() {
            position[node] = at as u32;
        }
        let (sorted, of_law) = sort(branches, &position);
        let mut sorted_at = vec![0; branches.len()];
        for (at, link) in sorted.iter().enumerate() {
            sorted_at[link.branch] = at;
        }
        let mut parameters = 0;
        let parameters_of_law = Law::ALL.map(|law| {
            let first = parameters;
            parameters += of_law[law as usize].len() * law.stored();
            first..parameters
        });
        let statics = order.iter().take_while(|pivot| pivot.is_static).count();
        let symbolic = symbolic::work_out(&order, &position, statics, &sorted);
        Ok(Self(Arc::new(Layout {
            nodes,
            pivots: nodes - 1,
            statics,
            node_at,
            position,
            sorted,
            sorted_at,
            of_law,
            parameters_of_law,
            parameters,
            symbolic,
        })))
    }

    /// Number of nodes, the reference included.
    pub fn nodes(&self) -> usize {
        self.0.nodes
    }

    /// Number of branches.
    pub fn branches(&self) -> usize {
        self.0.sorted.len()
    }

    /// Number of node pairs that hold a conductance during elimination, fill-in included.
    pub fn entries(&self) -> usize {
        self.0.symbolic.entries.len()
    }

    /// Number of nodes eliminated at every Newton step; the others once per solve.
    pub fn pivots_per_step(&self) -> usize {
        self.0.pivots - self.0.statics
    }
}

impl Layout {
    /// Index of a branch's first stored parameter (its scale).
    pub(crate) fn parameters_at(&self, sorted: usize) -> usize {
        let law = self.sorted[sorted].law;
        self.parameters_of_law[law as usize].start
            + (sorted - self.of_law[law as usize].start) * law.stored()
    }

    /// The branches of one law.
    pub(crate) fn links(&self, law: Law) -> &[Link] {
        &self.sorted[self.of_law[law as usize].clone()]
    }
}

/// Sorts branches by law, keeping the caller's order within each.
fn sort(branches: &[Branch], position: &[u32]) -> (Vec<Link>, [Range<usize>; 10]) {
    let mut sorted = Vec::with_capacity(branches.len());
    let of_law = Law::ALL.map(|law| {
        let first = sorted.len();
        for (branch, ends) in branches
            .iter()
            .enumerate()
            .filter(|(_, ends)| ends.law == law)
        {
            sorted.push(Link {
                branch,
                law,
                from: position[ends.from],
                to: position[ends.to],
            });
        }
        first..sorted.len()
    });
    (sorted, of_law)
}
