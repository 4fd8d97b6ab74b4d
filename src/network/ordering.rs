//! Order of elimination: least degree first, ties by elimination-tree level.
//!
//! The pattern of fill-in is worked out along with the order. Nodes touched by
//! linear branches only are preferred among equals: with all that hangs below them
//! in the elimination tree they are eliminated once per solve, not once per step.

use std::collections::BTreeSet;

/// A node in its place in the order of elimination.
pub(crate) struct Pivot {
    /// The node's index as the caller numbers it.
    pub(crate) node: usize,
    /// Nodes it is joined to when its turn comes.
    pub(crate) neighbours: Vec<usize>,
    /// True where no conductance that reaches it changes between Newton steps.
    pub(crate) is_static: bool,
}

/// Orders the nodes that have `adjacency`; `skip` (the reference) takes no part.
///
/// Returns static pivots first, then the others, each by elimination-tree level,
/// which is a valid order: what a node is joined to later stands at a higher level.
pub(crate) fn order(
    mut adjacency: Vec<BTreeSet<usize>>,
    skip: usize,
    is_linear: &[bool],
) -> Vec<Pivot> {
    let count = adjacency.len();
    let mut level = vec![0_usize; count];
    let mut is_static = is_linear.to_vec();
    let mut left: Vec<usize> = (0..count).filter(|&node| node != skip).collect();
    let mut pivots = Vec::with_capacity(left.len());
    while let Some(at) = (0..left.len()).min_by_key(|&at| {
        let node = left[at];
        (adjacency[node].len(), level[node], !is_static[node], node)
    }) {
        let node = left.remove(at);
        let neighbours: Vec<usize> = std::mem::take(&mut adjacency[node]).into_iter().collect();
        for &one in &neighbours {
            adjacency[one].remove(&node);
            adjacency[one].extend(neighbours.iter().filter(|&&other| other != one));
            level[one] = level[one].max(level[node] + 1);
            is_static[one] &= is_static[node];
        }
        pivots.push((
            level[node],
            Pivot {
                node,
                neighbours,
                is_static: is_static[node],
            },
        ));
    }
    pivots.sort_by_key(|(level, pivot)| (!pivot.is_static, *level));
    pivots.into_iter().map(|(_, pivot)| pivot).collect()
}
