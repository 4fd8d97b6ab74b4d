//! What hangs together: components, and loops that current could take.
//!
//! Terminals are the corners, wires, bolted joints and ways through parts the
//! edges. Current can flow through a part only if a loop without repeats goes
//! through it and through a battery, which is so exactly when both edges lie
//! in one biconnected block (Hopcroft and Tarjan; linear in the edges).

/// An undirected graph with numbered edges.
#[derive(Debug, Default)]
pub(super) struct Graph {
    corners: usize,
    /// Both ends of each edge.
    pub(super) edges: Vec<(usize, usize)>,
}

impl Graph {
    /// A graph of so many corners.
    pub(super) fn new(corners: usize) -> Self {
        Self {
            corners,
            edges: Vec::new(),
        }
    }

    /// Adds an edge and returns its number.
    pub(super) fn join(&mut self, a: usize, b: usize) -> usize {
        self.edges.push((a, b));
        self.edges.len() - 1
    }

    /// For each corner its component, named by its smallest corner.
    pub(super) fn components(&self) -> Vec<usize> {
        let mut parent: Vec<usize> = (0..self.corners).collect();
        for &(a, b) in &self.edges {
            let (a, b) = (root(&mut parent, a), root(&mut parent, b));
            parent[a.max(b)] = a.min(b);
        }
        (0..self.corners)
            .map(|corner| root(&mut parent, corner))
            .collect()
    }

    /// For each edge the number of its block.
    pub(super) fn blocks(&self) -> Vec<usize> {
        Blocks::new(self).run()
    }

    /// For each corner the edges at it.
    fn around(&self) -> Vec<Vec<usize>> {
        let mut around = vec![Vec::new(); self.corners];
        for (edge, &(a, b)) in self.edges.iter().enumerate() {
            around[a].push(edge);
            around[b].push(edge);
        }
        around
    }
}

fn root(parent: &mut [usize], mut at: usize) -> usize {
    while parent[at] != at {
        parent[at] = parent[parent[at]];
        at = parent[at];
    }
    at
}

const UNSEEN: usize = usize::MAX;

/// A walk in depth that keeps its own stack, so that long chains of wires
/// cannot exhaust the machine's.
struct Blocks<'g> {
    graph: &'g Graph,
    around: Vec<Vec<usize>>,
    order: Vec<usize>,
    low: Vec<usize>,
    used: Vec<bool>,
    waiting: Vec<usize>,
    block: Vec<usize>,
    found: usize,
    clock: usize,
}

/// A corner being walked: the edge it was reached by, and the next to try.
struct Visit {
    corner: usize,
    by: usize,
    next: usize,
}

impl<'g> Blocks<'g> {
    fn new(graph: &'g Graph) -> Self {
        Self {
            around: graph.around(),
            order: vec![UNSEEN; graph.corners],
            low: vec![UNSEEN; graph.corners],
            used: vec![false; graph.edges.len()],
            waiting: Vec::new(),
            block: vec![UNSEEN; graph.edges.len()],
            found: 0,
            clock: 0,
            graph,
        }
    }

    fn run(mut self) -> Vec<usize> {
        for corner in 0..self.graph.corners {
            if self.order[corner] == UNSEEN {
                self.walk(corner);
            }
        }
        self.block
    }

    fn enter(&mut self, corner: usize, by: usize) -> Visit {
        self.order[corner] = self.clock;
        self.low[corner] = self.clock;
        self.clock += 1;
        Visit {
            corner,
            by,
            next: 0,
        }
    }

    fn walk(&mut self, start: usize) {
        let mut stack = vec![self.enter(start, UNSEEN)];
        while let Some(visit) = stack.last_mut() {
            let corner = visit.corner;
            if let Some(&edge) = self.around[corner].get(visit.next) {
                visit.next += 1;
                if let Some(next) = self.follow(corner, edge) {
                    let deeper = self.enter(next, edge);
                    stack.push(deeper);
                }
                continue;
            }
            let by = visit.by;
            stack.pop();
            if let Some(above) = stack.last() {
                let above = above.corner;
                self.low[above] = self.low[above].min(self.low[corner]);
                if self.low[corner] >= self.order[above] {
                    self.close(by);
                }
            }
        }
    }

    /// Follows an edge; returns the corner behind it if it is new.
    fn follow(&mut self, corner: usize, edge: usize) -> Option<usize> {
        if std::mem::replace(&mut self.used[edge], true) {
            return None;
        }
        let (a, b) = self.graph.edges[edge];
        let other = if a == corner { b } else { a };
        self.waiting.push(edge);
        if self.order[other] == UNSEEN {
            return Some(other);
        }
        self.low[corner] = self.low[corner].min(self.order[other]);
        None
    }

    /// Gives every edge since `by` the next block number.
    fn close(&mut self, by: usize) {
        while let Some(edge) = self.waiting.pop() {
            self.block[edge] = self.found;
            if edge == by {
                break;
            }
        }
        self.found += 1;
    }
}

#[cfg(test)]
mod tests {
    use super::Graph;

    #[test]
    fn a_dangling_edge_is_a_block_of_its_own() {
        let mut graph = Graph::new(4);
        let ring = [graph.join(0, 1), graph.join(1, 2), graph.join(2, 0)];
        let tail = graph.join(2, 3);
        let blocks = graph.blocks();
        assert!(ring.iter().all(|&edge| blocks[edge] == blocks[ring[0]]));
        assert_ne!(blocks[tail], blocks[ring[0]]);
    }

    #[test]
    fn two_rings_that_share_a_corner_are_two_blocks() {
        let mut graph = Graph::new(5);
        let first = [graph.join(0, 1), graph.join(1, 2), graph.join(2, 0)];
        let second = [graph.join(2, 3), graph.join(3, 4), graph.join(4, 2)];
        let blocks = graph.blocks();
        assert_ne!(blocks[first[0]], blocks[second[0]]);
        assert!(second.iter().all(|&edge| blocks[edge] == blocks[second[0]]));
    }

    #[test]
    fn two_parallel_edges_are_a_ring() {
        let mut graph = Graph::new(2);
        let (one, two) = (graph.join(0, 1), graph.join(0, 1));
        let blocks = graph.blocks();
        assert_eq!(blocks[one], blocks[two]);
    }
}
