//! Ways from a supply to a load through what never ends a current: wires,
//! contacts, fuses, joints.
//!
//! A branch whose loss parts the wiring in two is a bridge: whatever passes
//! between the two sides passes it. Between two points every way crosses the
//! same bridges; what lies between them, loops, is loose: nothing is said of
//! how current parts there.

/// A branch of the wiring with its ends.
#[derive(Debug, Clone, Copy)]
pub(super) struct Edge {
    /// Number of the branch.
    pub branch: usize,
    /// One end.
    pub from: usize,
    /// The other.
    pub to: usize,
}

/// The way between two nodes.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Route {
    /// Bridges in order, and whether each is passed from its `from` to its `to`.
    pub bridges: Vec<(usize, bool)>,
    /// Branches that may or may not lie on it.
    pub loose: Vec<usize>,
}

/// The wiring as a forest of bridges between patches without one.
#[derive(Debug, Clone)]
pub(super) struct Routes {
    /// Patch of each node.
    patch: Vec<usize>,
    /// From each patch: the patch reached, the bridge, and its direction.
    bridges: Vec<Vec<(usize, usize, bool)>>,
    /// Branches within each patch.
    loose: Vec<Vec<usize>>,
}

impl Routes {
    /// Of edges between nodes `0..nodes`.
    pub(super) fn of(nodes: usize, edges: &[Edge]) -> Self {
        let is_bridge = bridges(nodes, edges);
        let mut patch: Vec<usize> = (0..nodes).collect();
        for (edge, bridge) in edges.iter().zip(&is_bridge) {
            if !bridge {
                let (a, b) = (root(&mut patch, edge.from), root(&mut patch, edge.to));
                patch[a.max(b)] = a.min(b);
            }
        }
        let patch: Vec<usize> = (0..nodes).map(|node| root(&mut patch, node)).collect();
        let mut routes = Self {
            bridges: vec![Vec::new(); nodes],
            loose: vec![Vec::new(); nodes],
            patch,
        };
        for (edge, bridge) in edges.iter().zip(is_bridge) {
            let (a, b) = (routes.patch[edge.from], routes.patch[edge.to]);
            if bridge {
                routes.bridges[a].push((b, edge.branch, true));
                routes.bridges[b].push((a, edge.branch, false));
            } else {
                routes.loose[a].push(edge.branch);
            }
        }
        routes
    }

    /// The way from a node to another; none where nothing joins them.
    pub(super) fn between(&self, from: usize, to: usize) -> Option<Route> {
        let (start, end) = (self.patch[from], self.patch[to]);
        let mut came: Vec<Option<(usize, usize, bool)>> = vec![None; self.patch.len()];
        let mut open = vec![start];
        while let Some(at) = open.pop() {
            if at == end {
                break;
            }
            for &(next, branch, forward) in &self.bridges[at] {
                if next != start && came[next].is_none() {
                    came[next] = Some((at, branch, forward));
                    open.push(next);
                }
            }
        }
        let mut route = Route::default();
        let mut at = end;
        route.loose.extend(&self.loose[at]);
        while at != start {
            let (before, branch, forward) = came[at]?;
            route.bridges.push((branch, forward));
            route.loose.extend(&self.loose[before]);
            at = before;
        }
        route.bridges.reverse();
        Some(route)
    }
}

fn root(parent: &mut [usize], mut node: usize) -> usize {
    while parent[node] != node {
        parent[node] = parent[parent[node]];
        node = parent[node];
    }
    node
}

/// Which edges are bridges: depth first, without recursion; an edge is one
/// where nothing below it reaches above it.
fn bridges(nodes: usize, edges: &[Edge]) -> Vec<bool> {
    let mut at_node: Vec<Vec<(usize, usize)>> = vec![Vec::new(); nodes];
    for (number, edge) in edges.iter().enumerate() {
        at_node[edge.from].push((edge.to, number));
        at_node[edge.to].push((edge.from, number));
    }
    let mut order = vec![usize::MAX; nodes];
    let mut reach = vec![usize::MAX; nodes];
    let mut found = vec![false; edges.len()];
    let mut count = 0;
    for first in 0..nodes {
        if order[first] != usize::MAX {
            continue;
        }
        // Node, the edge it was entered by, and how many of its edges are done.
        let mut stack = vec![(first, usize::MAX, 0)];
        (order[first], reach[first]) = (count, count);
        count += 1;
        while let Some((node, entered, done)) = stack.pop() {
            let Some(&(next, edge)) = at_node[node].get(done) else {
                if let Some((above, ..)) = stack.last() {
                    reach[*above] = reach[*above].min(reach[node]);
                    found[entered] = reach[node] > order[*above];
                }
                continue;
            };
            stack.push((node, entered, done + 1));
            if edge == entered || next == node {
                continue;
            }
            if order[next] == usize::MAX {
                (order[next], reach[next]) = (count, count);
                count += 1;
                stack.push((next, edge, 0));
            } else {
                reach[node] = reach[node].min(order[next]);
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::{Edge, Routes};

    fn routes(nodes: usize, ends: &[(usize, usize)]) -> Routes {
        let edge = |(branch, &(from, to)): (usize, &(usize, usize))| Edge { branch, from, to };
        let edges: Vec<Edge> = ends.iter().enumerate().map(edge).collect();
        Routes::of(nodes, &edges)
    }

    #[test]
    fn a_ring_between_two_leads_is_loose() {
        // 0 - 1, a ring 1 2 3, 3 - 4, and 5 apart.
        let routes = routes(6, &[(0, 1), (1, 2), (2, 3), (1, 3), (4, 3)]);
        let route = routes.between(0, 4).expect("joined");
        assert_eq!(route.bridges, [(0, true), (4, false)]);
        assert_eq!(route.loose, [1, 2, 3]);
        assert_eq!(routes.between(0, 5), None);
    }

    #[test]
    fn two_wires_side_by_side_are_no_bridge() {
        let routes = routes(3, &[(0, 1), (1, 0), (1, 2)]);
        let route = routes.between(0, 2).expect("joined");
        assert_eq!((route.bridges, route.loose), (vec![(2, true)], vec![0, 1]));
    }

    #[test]
    fn a_long_chain_does_not_overflow() {
        let ends: Vec<(usize, usize)> = (0..50_000).map(|at| (at, at + 1)).collect();
        let routes = routes(50_001, &ends);
        assert_eq!(routes.between(0, 50_000).expect("joined").bridges.len(), 50_000);
    }
}
