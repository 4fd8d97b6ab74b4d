//! What hangs together in a state, and from which post its volts count.

use super::net::{Net, Role};
use super::values::Setting;
use crate::network::Parameters;

/// The islands of a state.
#[derive(Debug, Clone)]
pub(super) struct Islands {
    /// Island of each node.
    pub of_node: Vec<usize>,
    /// Per island: node counted as zero volts; none where no supply feeds it.
    pub zero: Vec<Option<usize>>,
}

impl Islands {
    /// Groups the nodes that conducting branches join.
    pub(super) fn of(net: &Net, settings: &[Setting]) -> Self {
        let mut parent: Vec<usize> = (0..net.nodes).collect();
        for (branch, setting) in net.branches.iter().zip(settings) {
            if conducts(setting) {
                let (a, b) = (root(&mut parent, branch.from), root(&mut parent, branch.to));
                parent[a.max(b)] = a.min(b);
            }
        }
        let of_node: Vec<usize> = (0..net.nodes).map(|node| root(&mut parent, node)).collect();
        let mut zero = vec![None; net.nodes];
        // Batteries first, so that volts count from a battery's minus where there is one.
        for wanted in [true, false] {
            for ((role, branch), setting) in net.roles.iter().zip(&net.branches).zip(settings) {
                let supply = match role {
                    Role::Supply(_) => wanted,
                    Role::Charger(_) => !wanted && conducts(setting),
                    _ => false,
                };
                if supply {
                    zero[of_node[branch.to]].get_or_insert(branch.to);
                }
            }
        }
        Self { of_node, zero }
    }

    /// Node voltages counted from each island's own zero; none where no supply
    /// feeds the island.
    pub(super) fn settle(&self, voltages_v: &[f64]) -> Vec<Option<f64>> {
        let of = |node: usize| {
            self.zero[self.of_node[node]].map(|zero| voltages_v[node] - voltages_v[zero] + 0.0)
        };
        (0..voltages_v.len()).map(of).collect()
    }
}

/// Whether a branch joins its ends at all.
fn conducts(setting: &Setting) -> bool {
    let carries = match setting.parameters {
        Parameters::Conductor(law) => law.conductance_s > 0.0,
        Parameters::Charger(law) => law.i_max_a > 0.0,
        _ => true,
    };
    setting.scale > 0.0 && carries
}

fn root(parent: &mut [usize], mut node: usize) -> usize {
    while parent[node] != node {
        parent[node] = parent[parent[node]];
        node = parent[node];
    }
    node
}
