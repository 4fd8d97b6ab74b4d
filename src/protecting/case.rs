//! A circuit with all that the checks look at.

use super::faults::{Faults, Moment};
use super::switching::{Switched, switched};
use super::ways::{Through, Way, Ways, edges, link_ohm, shortest, tied_to_minus};
use crate::circuit::zones::{FuseId, Zones, fuse_terminals, fuses};
use crate::circuit::{Circuit, Condition, Device, Given, PartId, State, TerminalId};
use crate::devices::{Model, Resolved, resolve};
use crate::findings::Finding;
pub(super) use crate::heating::Fitted;
use crate::heating::{WireBody, WireHeat, WireLimits, end_temperature, fitted};
use crate::quantities::{Band, Celsius};
use crate::solving::{Solution, SolveError, StateSolution, cranking_wires, solve};
use crate::span::Span;
use crate::tables::OutOfTable;
use std::collections::{BTreeMap, BTreeSet};

/// Current under which a part counts as switched off, amperes.
pub(super) const OFF_A: f64 = 0.01;
/// Name of a what-if state that stands for a locked motor.
const LOCKED: &str = " locked in ";

/// The case.
pub(super) struct Case<'a> {
    pub circuit: &'a Circuit,
    pub resolved: Resolved,
    pub zones: Zones,
    pub ways: Vec<Ways>,
    /// How fault currents flow with every feed.
    pub faults: Faults,
    /// Ways from the load side of each fuse.
    inner: BTreeMap<FuseId, Vec<Option<Way>>>,
    /// Wires of the starter's own circuit.
    pub cranking: BTreeSet<usize>,
    /// Solved as written, with what solving finds.
    pub solution: Solution,
    /// What happens in the first moments of every judged state.
    pub switched: Vec<Switched>,
    /// One state for every motor that runs, that motor locked.
    pub locked: Vec<StateSolution>,
    pub fuses: Vec<Fitted>,
}

impl<'a> Case<'a> {
    pub(super) fn of(circuit: &'a Circuit) -> Result<Self, SolveError> {
        let resolved = resolve(circuit)?;
        let solution = solve(circuit)?;
        let locked = lock_each(circuit, &solution)?;
        let mut all = Vec::new();
        for id in fuses(circuit) {
            all.extend(fitted(circuit, id)?);
        }
        let edges = edges(circuit, &resolved);
        let mut case = Self {
            circuit,
            zones: Zones::of(circuit),
            ways: Ways::of(circuit, &edges),
            faults: Faults::of(circuit, &resolved, &edges)?,
            inner: BTreeMap::new(),
            cranking: cranking_wires(circuit, &solution.states),
            switched: switched(circuit, &solution),
            resolved,
            solution,
            locked,
            fuses: all,
        };
        let tied = tied_to_minus(circuit);
        for fuse in &case.fuses {
            let mut barred = tied.clone();
            barred.insert(case.supply_side(fuse));
            let ways = shortest(circuit, &edges, case.load_side(fuse), &barred);
            case.inner.insert(fuse.id, ways);
        }
        Ok(case)
    }

    /// Ways from the load side of a fuse, by terminal.
    pub(super) fn inner(&self, fuse: &Fitted) -> Option<&[Option<Way>]> {
        self.inner.get(&fuse.id).map(Vec::as_slice)
    }

    /// Resistance of a fuse or breaker in its holder, ohms.
    pub(super) fn link_ohm(&self, fuse: &Fitted) -> Band<f64> {
        match self.resolved.part(fuse.id.part) {
            Model::Links(links) => link_ohm(&links[fuse.id.slot.unwrap_or(0)]),
            _ => Band::default(),
        }
    }

    /// States that are judged.
    pub(super) fn states(&self) -> impl Iterator<Item = &StateSolution> {
        self.solution.states.iter().filter(|state| !state.what_if)
    }

    /// Largest continuous current of a fuse, and the state it flows in.
    pub(super) fn continuous(&self, fuse: &Fitted) -> (f64, Option<&str>) {
        self.states()
            .filter(|state| !self.is_cranking(state, fuse))
            .filter_map(|state| Some((state.fuses.get(&fuse.name)?.current_a, state.name.as_str())))
            .max_by(|a, b| a.0.total_cmp(&b.0))
            .map_or((0.0, None), |(amps, name)| (amps, Some(name)))
    }

    /// Current of a fuse in a state, amperes; nothing where none is named.
    pub(super) fn fuse_current(&self, state: Option<&str>, fuse: &str) -> f64 {
        let found = self.state(state).and_then(|state| state.fuses.get(fuse));
        found.map_or(0.0, |reading| reading.current_a)
    }

    /// Current of a part in a state, amperes; nothing where none is named.
    pub(super) fn part_current(&self, state: Option<&str>, part: &str) -> f64 {
        let found = self.state(state).and_then(|state| state.parts.get(part));
        found.and_then(|part| part.current_a).unwrap_or_default()
    }

    fn state(&self, name: Option<&str>) -> Option<&StateSolution> {
        let mut states = self.solution.states.iter();
        states.find(|state| Some(state.name.as_str()) == name)
    }

    /// Whether the wires behind a fuse carry mostly a starter in a state.
    fn is_cranking(&self, state: &StateSolution, fuse: &Fitted) -> bool {
        let Some(behind) = self.zones.wires.get(&fuse.id) else {
            return false;
        };
        let cranking =
            |wire: &crate::solving::WireReading| wire.cranking && behind.contains(&wire.wire);
        state.wires.iter().any(cranking)
    }

    /// Hottest a wire gets in any judged state; its air where it never carries.
    pub(super) fn warmest(&self, wire: usize) -> Celsius {
        let air = self.resolved.wires[wire].ambient.si();
        let readings = self.states().flat_map(|state| &state.wires);
        let hottest = readings
            .filter(|reading| reading.wire == wire)
            .map(|reading| reading.temperature_degc)
            .fold(air, f64::max);
        Celsius::new(hottest)
    }

    /// Motors and pumps whose feed stands right behind a fuse.
    pub(super) fn motors(&self, fuse: &Fitted) -> Vec<PartId> {
        let Some(reached) = self.zones.terminals.get(&fuse.id) else {
            return Vec::new();
        };
        let behind = |part: &PartId| {
            let part = self.circuit.part(*part);
            let feeds = &part.terminals[..part.terminals.len() - 1];
            matches!(part.device, Device::Pump(_) | Device::Motor(_))
                && feeds.iter().any(|feed| reached.contains(feed))
        };
        self.circuit.part_ids().filter(behind).collect()
    }

    /// The state in which a motor draws most, with its readings there.
    pub(super) fn running(&self, motor: PartId) -> Option<&StateSolution> {
        self.solution
            .drawing_most(&self.circuit.part(motor).name, OFF_A)
    }

    /// The same state with the motor locked.
    pub(super) fn stalled(&self, motor: PartId, state: &StateSolution) -> Option<&StateSolution> {
        let name = what_if_name(&self.circuit.part(motor).name, &state.name);
        self.locked.iter().find(|locked| locked.name == name)
    }

    /// The fuse right before another on its way from the battery; of several
    /// the smallest, which is the likeliest to open along.
    pub(super) fn upstream(&self, fuse: &Fitted) -> Option<&Fitted> {
        let (one, other) = fuse_terminals(self.circuit, fuse.id);
        let own = self.zones.terminals.get(&fuse.id)?;
        let feed = if own.contains(&other) { one } else { other };
        let before = self.zones.before_terminal(feed).filter(|id| *id != fuse.id);
        let fitted = before.filter_map(|id| self.fuses.iter().find(|other| other.id == id));
        fitted.min_by(|a, b| {
            let (a, b) = (a.device.effective.si(), b.device.effective.si());
            a.total_cmp(&b)
        })
    }

    /// Load side of a fuse.
    pub(super) fn load_side(&self, fuse: &Fitted) -> TerminalId {
        self.zones.load_side(self.circuit, fuse.id)
    }

    /// Supply side of a fuse.
    pub(super) fn supply_side(&self, fuse: &Fitted) -> TerminalId {
        let (one, other) = fuse_terminals(self.circuit, fuse.id);
        if self.load_side(fuse) == other {
            one
        } else {
            other
        }
    }

    /// Every fuse before another on its way from the battery, nearest first.
    pub(super) fn all_upstream(&self, fuse: &Fitted) -> Vec<&Fitted> {
        let mut all: Vec<&Fitted> = Vec::new();
        let mut next = self.upstream(fuse);
        while let Some(one) = next {
            if one.id == fuse.id || all.iter().any(|known| known.id == one.id) {
                break;
            }
            all.push(one);
            next = self.upstream(one);
        }
        all
    }

    /// Current through a fuse into a dead short right behind it, straight to
    /// the battery's minus, softest, typical and hardest; typical counts the
    /// battery's fast resistance alone. None where no battery feeds it.
    pub(super) fn available(&self, fuse: &Fitted) -> Option<Band<f64>> {
        let fed = self.supply_side(fuse);
        self.ways.iter().find_map(|ways| ways.to(fed))?;
        let at = self.load_side(fuse);
        let [low, typical, high] = Moment::ALL.map(|moment| {
            let fault = self.faults.at(at, 0.0, moment);
            fault.through(Through::Link(fuse.id))
        });
        Some(Band { low, typical, high })
    }

    /// Body, limits and start of a wire; why not, where no ampacity is known.
    pub(super) fn wire(&self, wire: usize) -> Result<WireCase, OutOfTable> {
        let model = &self.resolved.wires[wire];
        let allowed = model.allowed.as_ref().map_err(Clone::clone)?;
        let size = self.circuit.wires[wire].size.value;
        let body = WireBody::new(size, model, allowed.class)?;
        let start = self.warmest(wire);
        Ok(WireCase {
            start,
            heat: body.settled_at(start),
            body,
            limits: WireLimits {
                class: allowed.class,
                end: end_temperature(allowed.class)?.value,
                area_mm2: model.area_mm2,
            },
        })
    }

    /// What solving finds about a fuse under some codes.
    pub(super) fn found<'s>(
        &'s self,
        fuse: &str,
        codes: &'s [&str],
    ) -> impl Iterator<Item = &'s Finding> {
        let subject = fuse.to_owned();
        self.solution.findings.iter().filter(move |finding| {
            finding.subject == subject && codes.contains(&finding.code.name())
        })
    }
}

/// A wire in time.
#[derive(Debug, Clone, Copy)]
pub(super) struct WireCase {
    pub body: WireBody,
    pub limits: WireLimits,
    pub start: Celsius,
    pub heat: WireHeat,
}

impl WireCase {
    /// How long it stands a current; infinite for good.
    pub(super) fn stands_s(&self, current_a: f64) -> f64 {
        let stands = self.limits.stands_s(&self.body, self.heat, current_a);
        stands.unwrap_or(f64::INFINITY)
    }

    /// Copper temperature after a time at a current, degC.
    pub(super) fn after(&self, current_a: f64, seconds: f64) -> f64 {
        let heat = self.body.after(self.heat, current_a, seconds);
        self.body.copper(heat).si()
    }
}

fn what_if_name(motor: &str, state: &str) -> String {
    format!("{motor}{LOCKED}{state}")
}

/// Solves, beside the states as written, one for every motor in every state it
/// runs in, with that motor locked.
fn lock_each(circuit: &Circuit, solution: &Solution) -> Result<Vec<StateSolution>, SolveError> {
    let mut wider = circuit.clone();
    for (index, state) in circuit.states.iter().enumerate() {
        let Some(solved) = solution.states.iter().find(|s| s.name == state.name) else {
            continue;
        };
        if state.is_what_if() {
            continue;
        }
        for id in circuit.part_ids() {
            let part = circuit.part(id);
            let turns = matches!(part.device, Device::Pump(_) | Device::Motor(_));
            let current_a = solved.parts.get(&part.name).and_then(|p| p.current_a);
            if turns && current_a.unwrap_or(0.0).abs() > OFF_A {
                wider.states.push(locked_state(circuit, index, id));
            }
        }
    }
    let solved = solve(&wider)?;
    let extra = solved.states.into_iter();
    Ok(extra.filter(|state| state.name.contains(LOCKED)).collect())
}

fn locked_state(circuit: &Circuit, index: usize, motor: PartId) -> State {
    let mut state = circuit.states[index].clone();
    state.name = what_if_name(&circuit.part(motor).name, &state.name);
    // Its relays stand as they do in the state itself.
    state.after = Some(index);
    let locked = Given::new(Condition::Locked, Span::default());
    state.conditions.insert(motor, locked);
    state
}
