//! Response of a solved network to a small current: transfer resistances.

use super::newton::Group;
use super::plan::Layout;

/// The factors of the network linearised at its operating point.
///
/// The matrix is symmetric, so a transfer read one way is the sensitivity the
/// other way: the voltage that a unit current from `a` to `b` makes between `c` and `d` is
/// the voltage that a unit current from `c` to `d` makes between `a` and `b`.
#[derive(Debug)]
pub struct SmallSignal<'a, const W: usize> {
    pub(crate) layout: &'a Layout,
    pub(crate) group: &'a Group<W>,
}

impl<const W: usize> SmallSignal<'_, W> {
    /// Voltage change of every node against the reference, volts per ampere
    /// injected into node `into` and drawn out of node `out_of`; one array a node.
    ///
    /// A lane in which no current can flow between the two (they are not
    /// connected to each other), or which is linearised beyond its largest
    /// power, is not a number throughout. Nodes the plan does not have inject nothing.
    pub fn transfer_ohm(&self, into: usize, out_of: usize) -> Vec<[f64; W]> {
        let symbolic = &self.layout.symbolic;
        let pivots = self.layout.pivots;
        let store = &self.group.store;
        let mut voltages = vec![[0.0; W]; pivots + 1];
        for (node, sign) in [(into, 1.0), (out_of, -1.0)] {
            if let Some(&position) = self.layout.position.get(node) {
                for lane in 0..W {
                    voltages[position as usize][lane] += sign;
                }
            }
        }
        let mut is_valid: [bool; W] = std::array::from_fn(|lane| !(self.group.lowest[lane] < 0.0));
        for (position, pivot) in symbolic.pivots.iter().enumerate() {
            let base = if position < self.layout.statics {
                symbolic.static_at
            } else {
                symbolic.work_at
            };
            let injected = voltages[position];
            let first = pivot.first_entry as usize;
            for entry in first..first + pivot.count as usize {
                let share = &store[base + pivots + entry];
                let later = symbolic.entries[entry].row as usize;
                for lane in 0..W {
                    voltages[later][lane] += share[lane] * injected[lane];
                }
            }
            let inverse = &store[base + position];
            for lane in 0..W {
                is_valid[lane] &= inverse[lane] > 0.0 || injected[lane].abs() < 1e-12;
                voltages[position][lane] = injected[lane] * inverse[lane];
            }
        }
        voltages[pivots] = [0.0; W];
        for (position, pivot) in symbolic.pivots.iter().enumerate().rev() {
            let base = if position < self.layout.statics {
                symbolic.static_at
            } else {
                symbolic.work_at
            };
            let first = pivot.first_entry as usize;
            for entry in first..first + pivot.count as usize {
                let share = &store[base + pivots + entry];
                let later = symbolic.entries[entry].row as usize;
                for lane in 0..W {
                    voltages[position][lane] += share[lane] * voltages[later][lane];
                }
            }
        }
        let by_node = |&position: &u32| {
            std::array::from_fn(|lane| {
                if is_valid[lane] {
                    voltages[position as usize][lane]
                } else {
                    f64::NAN
                }
            })
        };
        self.layout.position.iter().map(by_node).collect()
    }
}
