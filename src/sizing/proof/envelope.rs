//! Ranges that hold every voltage and current of a state, whichever of the
//! sizes still open each wire gets, as long as the choice is admissible.
//!
//! Nothing is assumed of how one wire bears on another's load. The ranges start
//! from what no passive wiring can exceed (the sum of the supplies' open
//! volts between any two nodes) and are cut, over and over, by what every
//! solution obeys: each branch its law, each node its balance, each voltage
//! the difference of its ends. To these come the limits that an admissible
//! choice keeps: a load within its drop limit stands no further below its
//! supply's posts than that drop, its copper hotter than the rule counts, and
//! the joints and contacts on the way. Each cut only takes away what no
//! admissible choice can have, so whenever the cutting stops the ranges hold
//! them all; where a range runs empty there is no admissible choice.

use super::frame::{DRAWS_A, Frame, Held, Ways};
use super::range::Range;
use super::worth::{Worth, link_ohm, wire_ohm};
use crate::circuit::{DropBasis, PartId};
use crate::sizing::choices::{Choices, Ohms};
use crate::solving::{Demand, Role, rule_ohm};
use crate::tables::OutOfTable;
use std::collections::BTreeMap;

/// Sizes still open, by wire.
pub(super) type Domain = Vec<Vec<usize>>;

/// What is the same in every state.
#[derive(Debug, Clone, Copy)]
pub(super) struct Given<'a> {
    /// Sizes of every wire.
    pub choices: &'a [Choices],
    /// Sizes still open.
    pub domain: &'a Domain,
    /// Basis of the drop rule.
    pub basis: DropBasis,
    /// Wires that the answer holds to their class.
    pub within_class: &'a [bool],
    /// Contacts of switches, ohms: one on which a heavy cable ends is taken for
    /// a battery's master switch.
    pub switches: &'a BTreeMap<PartId, Range>,
}

/// The ranges of one state.
#[derive(Debug, Clone)]
pub(super) struct Envelope {
    /// Volts of every node against its island's zero.
    nodes: Vec<Range>,
    /// Volts across every branch.
    pub volts: Vec<Range>,
    /// Amperes through every branch.
    pub amps: Vec<Range>,
}

/// Passes after which the cutting stops, however much it still gains.
const MOST_PASSES: usize = 400;
/// Share of its width by which a range has to shrink to count.
const GAIN: f64 = 1e-4;
/// Width too small to go on for.
const NARROW: f64 = 1e-7;
/// Amperes that nothing on a boat exceeds.
const MOST_A: f64 = 1e9;
/// Amperes at which cases part: a supply gives more, or less. Above what the
/// sharing of currents leaves out.
pub(super) const GIVES_A: f64 = 2e-6;
/// Current that the sharing of currents leaves out, amperes, and a little.
const LEFT_OUT_A: f64 = 1.1e-6;
/// Share of a load's current from which a battery counts as feeding it.
const FEEDS: f64 = 1e-6;

impl Envelope {
    /// The widest ranges of a frame.
    pub(super) fn widest(frame: &Frame) -> Self {
        let volts = Range::within(frame.most_v() + 1.0);
        let mut nodes = vec![volts; frame.at_node.len()];
        for zero in &frame.zeros {
            nodes[*zero] = Range::exactly(0.0);
        }
        Self {
            nodes,
            volts: vec![volts; frame.branches.len()],
            amps: vec![Range::within(MOST_A); frame.branches.len()],
        }
    }

    /// Cuts until little is gained; none where nothing is left.
    ///
    /// # Errors
    /// When the table of constants cannot be read.
    pub(super) fn cut(
        mut self,
        frame: &Frame,
        given: &Given<'_>,
    ) -> Result<Option<Self>, OutOfTable> {
        for _ in 0..MOST_PASSES {
            let before = self.amps.clone();
            let extra_a2 = self.pulses(frame);
            let kept = self.by_laws(frame, given, extra_a2)
                && self.by_balance(frame)
                && self.by_limits(frame, given, extra_a2)?;
            if !kept {
                return Ok(None);
            }
            let gains = |(old, new): (&Range, &Range)| {
                new.width() > NARROW && old.width() - new.width() > GAIN * old.width()
            };
            if !before.iter().zip(&self.amps).any(gains) {
                break;
            }
        }
        Ok(Some(self))
    }

    /// Whether it is open in it if a supply gives or takes.
    pub(super) fn is_open(&self, supply: usize) -> bool {
        let amps = self.amps[supply];
        amps.low < -GIVES_A && amps.high > -GIVES_A
    }

    /// The same where a supply is taken to give, or not to.
    pub(super) fn where_it_gives(&self, supply: usize, gives: bool) -> Option<Self> {
        let mut other = self.clone();
        let now = other.amps[supply];
        let part = if gives {
            Range {
                low: now.low,
                high: -GIVES_A,
            }
        } else {
            Range {
                low: -GIVES_A,
                high: now.high,
            }
        };
        (part.low <= part.high).then(|| {
            other.amps[supply] = part;
            other
        })
    }

    /// Most mean square beyond the mean that pulsing loads put on any branch,
    /// A^2: small-signal shares are at most one but for the falling
    /// characteristic of electronics; twice that is taken.
    fn pulses(&self, frame: &Frame) -> f64 {
        let loads = frame.branches.iter().zip(&self.amps);
        let sum: f64 = loads
            .filter(|(branch, _)| branch.pulse > 0.0)
            .map(|(branch, amps)| branch.pulse * amps.most().powi(2))
            .sum();
        4.0 * sum
    }

    /// Every branch obeys its law, and stands between its ends.
    fn by_laws(&mut self, frame: &Frame, given: &Given<'_>, extra_a2: f64) -> bool {
        for (at, branch) in frame.branches.iter().enumerate() {
            let ends = self.nodes[branch.from].less(self.nodes[branch.to]);
            let Some(volts) = self.volts[at].and(ends) else {
                return false;
            };
            let ohm = self.ohm(frame, given, at, extra_a2);
            let Some((volts, amps)) = branch.worth.cut(volts, self.amps[at], ohm) else {
                return false;
            };
            let from = self.nodes[branch.from].and(self.nodes[branch.to].plus(volts));
            let to = self.nodes[branch.to].and(self.nodes[branch.from].less(volts));
            let (Some(from), Some(to)) = (from, to) else {
                return false;
            };
            self.nodes[branch.from] = from;
            self.nodes[branch.to] = to;
            self.volts[at] = volts;
            self.amps[at] = amps;
        }
        true
    }

    fn ohm(&self, frame: &Frame, given: &Given<'_>, at: usize, extra_a2: f64) -> Range {
        let branch = &frame.branches[at];
        match &branch.worth {
            Worth::Ohms(ohm) => {
                let own = Range::exactly(*ohm);
                match branch.role {
                    Role::Switch(part, ..) => given.switches.get(&part).map_or(own, |r| r.or(own)),
                    _ => own,
                }
            }
            Worth::Link(law) => link_ohm(law, self.amps[at], extra_a2),
            Worth::Wire(wire) => {
                let sizes = self.sizes(frame, given, at, *wire, extra_a2);
                let ohm = sizes.map(|(_, joints, copper)| Range {
                    low: joints + copper.low,
                    high: joints + copper.high,
                });
                ohm.reduce(Range::or).unwrap_or(Range::exactly(1.0))
            }
            _ => Range::exactly(1.0),
        }
    }

    /// Each size still open of a wire: its place, joints and copper in ohms.
    fn sizes<'e>(
        &'e self,
        frame: &Frame,
        given: &'e Given<'_>,
        at: usize,
        wire: usize,
        extra_a2: f64,
    ) -> impl Iterator<Item = (usize, f64, Range)> + 'e {
        let choices = &given.choices[wire];
        let within_class = given.within_class[wire] && !frame.cranking.contains(&wire);
        given.domain[wire].iter().map(move |place| {
            let choice = &choices.all[*place];
            let (joints, copper) = wire_ohm(choice, self.amps[at], extra_a2, within_class);
            (*place, joints, copper)
        })
    }

    /// What flows into a node flows out of it.
    fn by_balance(&mut self, frame: &Frame) -> bool {
        for branches in &frame.at_node {
            let leaving: Vec<Range> = branches
                .iter()
                .map(|(branch, leaves)| oriented(self.amps[*branch], *leaves))
                .collect();
            let nothing = Range::exactly(0.0);
            // Sums of all before and all after, so that nothing is taken back out.
            let mut after = vec![nothing; leaving.len() + 1];
            for at in (0..leaving.len()).rev() {
                after[at] = after[at + 1].plus(leaving[at]);
            }
            let mut before = nothing;
            for (at, (branch, leaves)) in branches.iter().enumerate() {
                let others = before.plus(after[at + 1]);
                let Some(own) = leaving[at].and(others.turned()) else {
                    return false;
                };
                before = before.plus(leaving[at]);
                let Some(own) = self.amps[*branch].and(oriented(own, *leaves)) else {
                    return false;
                };
                self.amps[*branch] = own;
            }
        }
        true
    }

    /// What an admissible choice keeps at its consumers.
    fn by_limits(
        &mut self,
        frame: &Frame,
        given: &Given<'_>,
        extra_a2: f64,
    ) -> Result<bool, OutOfTable> {
        for (at, _) in frame.branches.iter().enumerate().filter(|(_, b)| b.draws) {
            let volts = self.volts[at].and(at_least(0.0));
            let amps = self.amps[at].and(at_least(DRAWS_A));
            let (Some(volts), Some(amps)) = (volts, amps) else {
                return Ok(false);
            };
            (self.volts[at], self.amps[at]) = (volts, amps);
        }
        for held in &frame.held {
            let Some(load) = held.load else { continue };
            let least_v = match held.demand {
                Demand::Drop { limit_v, .. } => {
                    self.least_v(frame, given, held, limit_v, extra_a2)?
                }
                Demand::Starter { needs_v, .. } => Some(needs_v),
                // A relay that pulled in and holds has its drop-out at least.
                Demand::Coil { drop_out_v, .. } => Some(drop_out_v),
            };
            let Some(least_v) = least_v else { continue };
            let Some(volts) = self.volts[load].and(at_least(least_v)) else {
                return Ok(false);
            };
            self.volts[load] = volts;
        }
        Ok(true)
    }

    /// Least volts at a load within its drop limit, whichever supply its drop
    /// counts from; none where nothing can be said.
    fn least_v(
        &self,
        frame: &Frame,
        given: &Given<'_>,
        held: &Held,
        limit_v: f64,
        extra_a2: f64,
    ) -> Result<Option<f64>, OutOfTable> {
        let mut least: Option<f64> = None;
        let mut fed = false;
        for ways in self.main(frame, held) {
            fed = true;
            let Some(back) = ways.back.as_ref().filter(|_| self.returns(ways)) else {
                return Ok(None);
            };
            let mut beside_v = 0.0;
            let mut hotter: f64 = 1.0;
            let steps = ways.feed.bridges.iter().chain(&back.bridges);
            let loose = ways.feed.loose.iter().chain(&back.loose);
            let all = steps
                .map(|(at, forward)| (*at, oriented(self.volts[*at], *forward).high.max(0.0)))
                .chain(loose.map(|at| (*at, self.volts[*at].most())));
            for (at, volts) in all {
                let Role::Wire(wire) = frame.branches[at].role else {
                    beside_v += volts;
                    continue;
                };
                let most_a = self.amps[at].most();
                let mut joints_v: f64 = 0.0;
                for (place, joints, copper) in self.sizes(frame, given, at, wire, extra_a2) {
                    joints_v = joints_v.max(joints * most_a);
                    hotter = hotter.max(hotter_by(given, wire, place, copper)?);
                }
                beside_v += joints_v;
            }
            let one = self.volts[ways.supply].low - hotter * limit_v - beside_v;
            least = Some(least.map_or(one, |least| least.min(one)));
        }
        Ok(least.filter(|_| fed))
    }

    /// Supplies that the drop of a consumer may count from: the battery with
    /// the largest share in what it gets, a charger only where no battery has
    /// any.
    ///
    /// What a supply gives bounds its share from above, and the shares of all
    /// that give add up to one; so one whose share stays below an even part is
    /// never the largest, and none counts that is surely below another.
    pub(super) fn main<'f>(&self, frame: &'f Frame, held: &'f Held) -> Vec<&'f Ways> {
        let may_give = |supply: &usize| self.amps[*supply].low < 0.0;
        let able: Vec<&Ways> = held
            .ways
            .iter()
            .filter(|ways| may_give(&ways.supply))
            .collect();
        let is_battery = |ways: &Ways| matches!(frame.branches[ways.supply].role, Role::Supply(_));
        let batteries = able.iter().copied().filter(|ways| is_battery(ways));
        let least: Vec<(usize, f64)> = batteries
            .map(|ways| (ways.supply, self.least_share(frame, ways)))
            .collect();
        let fed = least.iter().any(|(_, share)| *share > FEEDS);
        let givers: Vec<usize> = frame.supplies.iter().copied().filter(may_give).collect();
        let charged = givers
            .iter()
            .any(|at| matches!(frame.branches[*at].role, Role::Charger(_)));
        let even = 1.0 / givers.len().max(1) as f64 - FEEDS;
        able.into_iter()
            .filter(|ways| {
                if !is_battery(ways) {
                    return !fed;
                }
                let most = self.most_share(held, ways);
                let mut others = least.iter().filter(|(supply, _)| *supply != ways.supply);
                let is_below = others.any(|(_, share)| *share > most);
                most > FEEDS && !is_below && (charged || most >= even)
            })
            .collect()
    }

    /// Most share a supply can have in what a consumer gets: along bridges its
    /// current only gets less, and so does its share.
    fn most_share(&self, held: &Held, ways: &Ways) -> f64 {
        let mut own_a = -self.amps[ways.supply].low;
        let mut most: f64 = 1.0;
        for (at, forward) in &ways.feed.bridges {
            let amps = oriented(self.amps[*at], *forward);
            own_a = own_a.min(amps.high.max(0.0));
            if amps.low > 0.0 {
                most = most.min(own_a / amps.low);
            }
        }
        let draws_a = held.load.map_or(0.0, |load| self.amps[load].low);
        if draws_a > 0.0 {
            most = most.min(own_a / draws_a);
        }
        most
    }

    /// Least share a supply surely has in what a consumer gets: along bridges
    /// alone, its share mixed at each node with all that could flow in there
    /// besides; zero where it need not feed it at all.
    fn least_share(&self, frame: &Frame, ways: &Ways) -> f64 {
        let gives_a = -self.amps[ways.supply].high;
        if gives_a <= 0.0 || !ways.feed.loose.is_empty() {
            return 0.0;
        }
        let mut node = frame.branches[ways.supply].from;
        let mut share = gives_a / (gives_a + self.inflow(frame, node, ways.supply));
        for (branch, forward) in &ways.feed.bridges {
            let amps = oriented(self.amps[*branch], *forward).low;
            if amps <= 0.0 {
                return 0.0;
            }
            let ends = &frame.branches[*branch];
            node = if *forward { ends.to } else { ends.from };
            share *= amps / (amps + self.inflow(frame, node, *branch));
        }
        share
    }

    /// Most that can flow into a node but by one branch, amperes.
    fn inflow(&self, frame: &Frame, node: usize, but: usize) -> f64 {
        let others = frame.at_node[node].iter().filter(|(at, _)| *at != but);
        let most = |(at, leaves): &(usize, bool)| {
            oriented(self.amps[*at], *leaves).turned().high.max(0.0)
        };
        others.map(most).sum()
    }

    /// Whether what a consumer takes surely has a share in what returns to a
    /// supply: along bridges alone.
    pub(super) fn returns(&self, ways: &Ways) -> bool {
        ways.back.as_ref().is_some_and(|back| {
            let flows = |(branch, forward): &(usize, bool)| {
                oriented(self.amps[*branch], *forward).low > LEFT_OUT_A
            };
            back.loose.is_empty() && back.bridges.iter().all(flows)
        })
    }
}

/// How much more the copper of a wire loses than the rule counts.
fn hotter_by(
    given: &Given<'_>,
    wire: usize,
    place: usize,
    copper: Range,
) -> Result<f64, OutOfTable> {
    if given.basis == DropBasis::Physical {
        // The rule counts the copper itself.
        return Ok(1.0);
    }
    let choice = &given.choices[wire].all[place];
    Ok(copper.high / rule_ohm(given.basis, &choice.model, 0.0)?)
}

fn at_least(low: f64) -> Range {
    Range {
        low,
        high: f64::INFINITY,
    }
}

/// Amperes in the direction asked for.
pub(super) fn oriented(amps: Range, forward: bool) -> Range {
    if forward { amps } else { amps.turned() }
}

/// Which ohms a limit of the search counts for a demand.
pub(super) const fn ohms_of(demand: Demand) -> Ohms {
    match demand {
        Demand::Drop { .. } => Ohms::Rule,
        Demand::Starter { .. } | Demand::Coil { .. } => Ohms::Copper,
    }
}
