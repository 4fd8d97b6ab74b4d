//! What a solve found, lane by lane.

use super::branch::Law;
use super::connectivity::Reach;
use super::newton::{Group, Status};
use super::plan::Layout;

/// Why a lane has no operating point.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum Failure {
    /// Constant-power branches ask for more than the supply can give, and no point
    /// below their cut-off was found either.
    #[error("the supply collapses under constant power at node {node}")]
    Collapse {
        /// The node nearest the trouble.
        node: usize,
    },
    /// The currents do not balance.
    #[error("no balanced point found: node {node} is off by {imbalance_a} A after {steps} steps")]
    NotConverged {
        /// The node with the largest imbalance.
        node: usize,
        /// Its imbalance, amperes.
        imbalance_a: f64,
        /// Newton steps taken.
        steps: u32,
    },
}

/// One solved lane, on its own.
#[derive(Debug, Clone, PartialEq)]
pub struct Point {
    /// Voltage of each node against the reference, volts. Of nodes not connected,
    /// against a node of their own part.
    pub voltages_v: Vec<f64>,
    /// Current of each branch, amperes, from `from` to `to`.
    pub currents_a: Vec<f64>,
    /// For each node, whether branches in circuit join it to the reference.
    pub connected: Vec<bool>,
    /// Constant-power branches that draw current below their cut-off.
    pub collapsed: Vec<usize>,
    /// Newton steps taken.
    pub steps: u32,
    /// Largest imbalance of currents at any node, amperes.
    pub residual_a: f64,
}

/// What a solve found; borrows the solver until the next one.
#[derive(Debug, Clone, Copy)]
pub struct Outcome<'a, const W: usize> {
    pub(crate) layout: &'a Layout,
    pub(crate) group: &'a Group<W>,
    pub(crate) reach: Option<&'a Reach>,
}

impl<const W: usize> Outcome<'_, W> {
    /// Voltages of `node` against the reference, volts, one a lane; of a node not
    /// connected, against a node of its own part. Zero for a node the plan does not have.
    pub fn voltages_v(&self, node: usize) -> [f64; W] {
        self.layout
            .position
            .get(node)
            .map_or([0.0; W], |&position| self.group.voltages[position as usize])
    }

    /// Currents of `branch`, amperes, one a lane, from `from` through the branch
    /// to `to`. Zero for a branch the plan does not have.
    pub fn currents_a(&self, branch: usize) -> [f64; W] {
        self.layout
            .sorted_at
            .get(branch)
            .map_or([0.0; W], |&at| self.group.currents[at])
    }

    /// Largest imbalance of currents at any node of each lane, amperes.
    pub fn residual_a(&self) -> [f64; W] {
        self.group.residual_a
    }

    /// Newton steps of each lane.
    pub fn steps(&self) -> [u32; W] {
        self.group.steps
    }

    /// True where branches in circuit join `node` to the reference in `lane`.
    pub fn is_connected(&self, node: usize, lane: usize) -> bool {
        let Some(&position) = self.layout.position.get(node) else {
            return false;
        };
        self.reach
            .is_none_or(|reach| reach.joined[position as usize] >> lane & 1 != 0)
    }

    /// True if every lane has an operating point.
    pub fn is_solved(&self) -> bool {
        self.group
            .status
            .iter()
            .all(|status| *status == Status::Solved)
    }

    /// Why `lane` has no operating point, if it has none.
    pub fn failure(&self, lane: usize) -> Option<Failure> {
        match self.group.status[lane] {
            Status::Solved => None,
            Status::Collapse { position } => Some(Failure::Collapse {
                node: self.layout.node_at[position],
            }),
            Status::NotConverged { position } => Some(self.not_converged(position, lane)),
            Status::Stuck => Some(self.not_converged(self.layout.pivots, lane)),
        }
    }

    fn not_converged(&self, position: usize, lane: usize) -> Failure {
        Failure::NotConverged {
            node: self.layout.node_at[position],
            imbalance_a: self.group.imbalance[position][lane],
            steps: self.group.steps[lane],
        }
    }

    /// Constant-power branches that draw current below their cut-off in `lane`:
    /// no point exists with all of them above it. A branch without voltage
    /// (less than a millionth of its cut-off) is merely off and not listed.
    pub fn collapsed(&self, lane: usize) -> Vec<usize> {
        let links = self
            .layout
            .links(Law::ConstantPower)
            .iter()
            .zip(self.layout.of_law[Law::ConstantPower as usize].clone());
        let fallen = links.filter(|(link, at)| {
            let first = self.layout.parameters_at(*at);
            let drawn = self.group.parameters[first][lane] * self.group.parameters[first + 1][lane];
            let cut = self.group.parameters[first + 2][lane];
            let v = self.group.voltages[link.from as usize][lane]
                - self.group.voltages[link.to as usize][lane];
            drawn > 0.0 && v.abs() < cut && v.abs() > 1e-6 * cut
        });
        let mut branches: Vec<usize> = fallen.map(|(link, _)| link.branch).collect();
        branches.sort_unstable();
        branches
    }

    /// Copies one lane out.
    ///
    /// # Errors
    /// The lane has no operating point.
    pub fn point(&self, lane: usize) -> Result<Point, Failure> {
        if let Some(failure) = self.failure(lane) {
            return Err(failure);
        }
        Ok(Point {
            voltages_v: (0..self.layout.nodes)
                .map(|node| self.voltages_v(node)[lane])
                .collect(),
            currents_a: (0..self.layout.sorted.len())
                .map(|branch| self.currents_a(branch)[lane])
                .collect(),
            connected: (0..self.layout.nodes)
                .map(|node| self.is_connected(node, lane))
                .collect(),
            collapsed: self.collapsed(lane),
            steps: self.group.steps[lane],
            residual_a: self.group.residual_a[lane],
        })
    }
}
