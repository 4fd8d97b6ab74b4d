//! Branch currents by the exact laws, and how well they balance at each node.

use super::branch::Law;
use super::laws::{self, CurrentLaw, VoltageLaw};
use super::newton::Group;
use super::plan::{Layout, Link};
use super::stamping::{State, across_in_circuit, lane_of};
use super::{
    Charger, ConstantCurrent, ConstantPower, Diode, HeatedConductor, HeatedLink, Lamp, Motor,
    Supply,
};

/// Fills currents, imbalances and the largest imbalance of each lane.
#[inline(always)]
pub(crate) fn settle<const W: usize>(layout: &Layout, group: &mut Group<W>) {
    let Group {
        parameters,
        voltages,
        states,
        currents,
        imbalance,
        residual_a,
        ..
    } = group;
    imbalance.fill([0.0; W]);
    let mut sums = Sums {
        layout,
        parameters,
        voltages,
        currents,
        imbalance,
    };
    sums.linear();
    let (conductors, links) = states.split_at(layout.of_law[Law::HeatedConductor as usize].len());
    sums.state::<HeatedConductor, 6>(Law::HeatedConductor, conductors);
    sums.state::<HeatedLink, 6>(Law::HeatedLink, links);
    sums.law::<Supply, 4>(Law::Supply);
    sums.law::<Charger, 4>(Law::Charger);
    sums.law::<Motor, 11>(Law::Motor);
    sums.law::<Lamp, 3>(Law::Lamp);
    sums.law::<ConstantPower, 4>(Law::ConstantPower);
    sums.law::<ConstantCurrent, 4>(Law::ConstantCurrent);
    sums.law::<Diode, 4>(Law::Diode);
    let mut largest = [0.0; W];
    let mut poison = [0.0; W];
    for at_node in imbalance.iter() {
        for lane in 0..W {
            let size = at_node[lane].abs();
            largest[lane] = if size > largest[lane] {
                size
            } else {
                largest[lane]
            };
            // A comparison loses what is not a number; a product with zero keeps it.
            poison[lane] += 0.0 * size;
        }
    }
    for lane in 0..W {
        residual_a[lane] = largest[lane] + poison[lane];
    }
}

/// The sums in progress.
struct Sums<'a, const W: usize> {
    layout: &'a Layout,
    parameters: &'a [[f64; W]],
    voltages: &'a [[f64; W]],
    currents: &'a mut [[f64; W]],
    imbalance: &'a mut [[f64; W]],
}

impl<const W: usize> Sums<'_, W> {
    // Everything is copied to locals first and written back last: only then does the
    // compiler know that no write changes what a later lane reads.

    #[inline(always)]
    fn linear(&mut self) {
        let range = self.layout.parameters_of_law[Law::Conductor as usize].clone();
        let chunks = self.parameters[range].as_chunks::<2>().0;
        let range = self.layout.of_law[Law::Conductor as usize].clone();
        let links = &self.layout.sorted[range.clone()];
        for ((link, [scale, conductance]), place) in
            links.iter().zip(chunks).zip(&mut self.currents[range])
        {
            let (scale, conductance, v) = (*scale, *conductance, across(link, self.voltages));
            let mut current = [0.0; W];
            for lane in 0..W {
                current[lane] = scale[lane] * conductance[lane] * v[lane];
            }
            *place = current;
            share_out(link, &current, self.imbalance);
        }
    }

    #[inline(always)]
    fn law<L: VoltageLaw<N>, const N: usize>(&mut self, law: Law) {
        let range = self.layout.parameters_of_law[law as usize].clone();
        let chunks = self.parameters[range].as_chunks::<N>().0;
        let range = self.layout.of_law[law as usize].clone();
        let links = &self.layout.sorted[range.clone()];
        for ((link, p), place) in links.iter().zip(chunks).zip(&mut self.currents[range]) {
            let (p, v) = (*p, across(link, self.voltages));
            let mut current = [0.0; W];
            for lane in 0..W {
                current[lane] = p[0][lane] * L::current(&lane_of(&p, lane), v[lane]).0;
            }
            *place = current;
            share_out(link, &current, self.imbalance);
        }
    }

    #[inline(always)]
    fn state<L: CurrentLaw<N>, const N: usize>(&mut self, law: Law, states: &[State<W>]) {
        let range = self.layout.parameters_of_law[law as usize].clone();
        let chunks = self.parameters[range].as_chunks::<N>().0;
        let range = self.layout.of_law[law as usize].clone();
        let links = &self.layout.sorted[range.clone()];
        let rest = chunks.iter().zip(states).zip(&mut self.currents[range]);
        for (link, ((p, state), place)) in links.iter().zip(rest) {
            let (p, state) = (*p, *state);
            let v = across_in_circuit(&p[0], &across(link, self.voltages));
            let mut current = [0.0; W];
            for lane in 0..W {
                let lane_p = lane_of(&p, lane);
                let i = L::inside(&lane_p, state.conductance[lane] * v[lane] + state.i0[lane]);
                // The line is as near as the last step; one step on the law itself is exact.
                let (drop, slope) = L::drop(&lane_p, i);
                current[lane] = p[0][lane] * (i + (v[lane] - drop) / slope);
            }
            *place = current;
            share_out(link, &current, self.imbalance);
        }
    }
}

/// Voltages across a branch.
#[inline(always)]
fn across<const W: usize>(link: &Link, voltages: &[[f64; W]]) -> [f64; W] {
    let from = voltages[link.from as usize];
    let to = voltages[link.to as usize];
    let mut v = [0.0; W];
    for lane in 0..W {
        v[lane] = from[lane] - to[lane];
    }
    v
}

#[inline(always)]
fn share_out<const W: usize>(link: &Link, current: &[f64; W], imbalance: &mut [[f64; W]]) {
    let mut leaving = imbalance[link.from as usize];
    for lane in 0..W {
        leaving[lane] += current[lane];
    }
    imbalance[link.from as usize] = leaving;
    let mut leaving = imbalance[link.to as usize];
    for lane in 0..W {
        leaving[lane] -= current[lane];
    }
    imbalance[link.to as usize] = leaving;
}

/// A lane's worst node against what rounding allows.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Worst {
    /// Position of the node.
    pub(crate) position: usize,
    /// Imbalance less allowance, amperes; at most zero if all nodes balance.
    pub(crate) excess_a: f64,
}

/// Compares each node's imbalance with `residual_a + 64 eps sum |G V|`.
pub(crate) fn worst<const W: usize>(
    layout: &Layout,
    group: &Group<W>,
    lane: usize,
    residual_a: f64,
) -> Worst {
    let mut allowed = vec![residual_a; layout.nodes];
    let mut p = [0.0; Law::MOST_STORED];
    for (at, link) in layout.sorted.iter().enumerate() {
        let first = layout.parameters_at(at);
        let p = &mut p[..link.law.stored()];
        for (slot, value) in p.iter_mut().enumerate() {
            *value = group.parameters[first + slot][lane];
        }
        let (from, to) = (
            group.voltages[link.from as usize][lane],
            group.voltages[link.to as usize][lane],
        );
        let (current, slope) = laws::exact(link.law, p, from - to);
        let size = 64.0 * f64::EPSILON * (slope.abs() * (from.abs() + to.abs()) + current.abs());
        allowed[link.from as usize] += size;
        allowed[link.to as usize] += size;
    }
    let mut worst = Worst {
        position: layout.pivots,
        excess_a: f64::NEG_INFINITY,
    };
    for (position, (at_node, allowed)) in group.imbalance.iter().zip(&allowed).enumerate() {
        let excess_a = at_node[lane].abs() - allowed;
        if !(excess_a <= worst.excess_a) {
            worst = Worst { position, excess_a };
            if excess_a.is_nan() {
                return Worst {
                    position,
                    excess_a: f64::INFINITY,
                };
            }
        }
    }
    worst
}
