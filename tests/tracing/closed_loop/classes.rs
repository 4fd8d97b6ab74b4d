//! Faults that no meter can separate count as one.
//!
//! Two classes (a cause at a place) are one where, with some degree both may
//! have, the oracle's boat shows the same readings in both: the same fuses
//! open in every state, in times a person tells apart; volts at every terminal
//! and amperes through every fuse agree wherever they can be read (a fuse that
//! opens at once lets nobody read before it); pulled fuses beep alike; and,
//! where a fuse opens, a lamp in its holder and the ohms behind it agree with
//! everything plugged in and with each part unplugged in turn. Looks, tugs,
//! wiggles and spare parts do not count: they are no meters. A degree that
//! shows nothing at all does not count either.
//!
//! Two meters: the one of the slip, with the readings a person takes who walks
//! from test to test ([`Rule::Slip`]); and a good one that also reads
//! millivolts at every terminal while a lamp feeds the short, so that two wires
//! of one net come apart ([`Rule::Millivolts`]).

use super::boat::Boat;
use super::dice::Dice;
use super::harm::{Harm, Hidden};
use super::places::{Place, Places};
use super::shown::Playing;
use super::trying::{lamp_v, lit, unpluggable};
use ampkeel::circuit::{Circuit, PartId};
use ampkeel::tracing::Cause;
use std::cell::OnceCell;
use std::collections::BTreeMap;
use std::rc::Rc;

/// How finely it is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Rule {
    /// Tenths of a volt, tests as they are on offer.
    Slip,
    /// Hundredths of a volt, and at every terminal under a lamp's current.
    Millivolts,
}

impl Rule {
    /// Volts that are told apart: fixed, and share of the reading.
    const fn volts(self) -> (f64, f64) {
        match self {
            Self::Slip => (0.12, 0.02),
            Self::Millivolts => (0.03, 0.01),
        }
    }

    const fn amps(self) -> (f64, f64) {
        match self {
            Self::Slip => (0.2, 0.08),
            Self::Millivolts => (0.05, 0.03),
        }
    }
}

/// Volts told apart under a lamp's current.
const UNDER_LAMP: (f64, f64) = (0.01, 0.02);
/// Ratio of ohms, and of times, that are told apart.
const OHMS: f64 = 1.3;
const LEADS_OHM: f64 = 0.4;
const TIMES: f64 = 4.0;
/// Seconds below which every time is "at once".
const AT_ONCE_S: f64 = 2.0;
/// Seconds that a reading takes.
const READS_S: f64 = 4.0;

/// A cause at a place.
pub(super) type Key = (Cause, String);

/// What a boat shows.
struct Signature {
    boat: Boat,
    opens: Vec<Option<(usize, f64)>>,
    burnt: Option<usize>,
    volts: Vec<f64>,
    amps: Vec<f64>,
    /// At rest, with everything off.
    rest_a: f64,
    deep: OnceCell<Vec<f64>>,
    /// Volts at every terminal with a lamp in the holder.
    lit: OnceCell<Vec<f64>>,
}

/// The classes of a circuit, for a complaint about a fuse or not.
pub(super) struct Classes {
    boat: Boat,
    circuit: Circuit,
    places: BTreeMap<Key, Vec<Place>>,
    sound: Signature,
    signatures: BTreeMap<Key, Rc<Vec<Signature>>>,
    pairs: [BTreeMap<(Key, Key), bool>; 2],
}

fn close(a: f64, b: f64, (fixed, share): (f64, f64)) -> bool {
    (a - b).abs() <= fixed + share * a.abs().max(b.abs())
}

impl Signature {
    fn of(boat: Boat, harm: Option<&Harm>, circuit: &Circuit) -> Option<Self> {
        // Conditions of the harm itself stand in every state: the file says which are what-if.
        let real = (0..circuit.states.len()).filter(|at| !circuit.states[*at].is_what_if());
        let playing = Playing::new(boat);
        let (mut opens, mut volts, mut amps) = (Vec::new(), Vec::new(), Vec::new());
        let mut rest_a = f64::INFINITY;
        for at in real {
            let seen = playing.see(at)?;
            let first = seen.opened.first().copied();
            let slow = first.is_none_or(|(_, after_s)| after_s > READS_S);
            let point = if slow { &seen.whole } else { &seen.end };
            volts.extend(&point.volts);
            amps.extend(&point.fuse_a);
            volts.extend(&seen.end.volts);
            rest_a = rest_a.min(Playing::battery_a(&seen.end));
            opens.push(first);
        }
        let burnt = match harm {
            Some(Harm::Burnt { fuse }) => Some(*fuse),
            _ => None,
        };
        Some(Self {
            boat: playing.boat,
            opens,
            burnt,
            volts,
            amps,
            rest_a,
            deep: OnceCell::new(),
            lit: OnceCell::new(),
        })
    }

    fn plainly_like(&self, other: &Self, rule: Rule) -> bool {
        let times = |(a, b): (&Option<(usize, f64)>, &Option<(usize, f64)>)| match (a, b) {
            (None, None) => true,
            (Some(a), Some(b)) => {
                let ratio = a.1.max(AT_ONCE_S) / b.1.max(AT_ONCE_S);
                a.0 == b.0 && ratio < TIMES && ratio > 1.0 / TIMES
            }
            _ => false,
        };
        let pairs =
            |a: &[f64], b: &[f64], within| a.iter().zip(b).all(|(a, b)| close(*a, *b, within));
        self.burnt == other.burnt
            && self.opens.iter().zip(&other.opens).all(times)
            && pairs(&self.amps, &other.amps, rule.amps())
            && pairs(&self.volts, &other.volts, rule.volts())
            && close(self.rest_a, other.rest_a, (0.02, 0.15))
    }

    /// The first fuse that opens, and its state.
    fn first(&self, circuit: &Circuit) -> Option<(usize, usize)> {
        let real = (0..circuit.states.len()).filter(|at| !circuit.states[*at].is_what_if());
        self.opens
            .iter()
            .zip(real)
            .find_map(|(one, state)| Some((one.as_ref()?.0, state)))
    }

    /// Volts at every terminal while a lamp feeds the fault.
    fn lit(&self, circuit: &Circuit) -> &[f64] {
        self.lit.get_or_init(|| {
            let Some((fuse, state)) = self.first(circuit) else {
                return Vec::new();
            };
            lit(&self.boat, fuse, state, &[]).map_or_else(Vec::new, |(_, point)| point.volts)
        })
    }

    /// With a lamp and an ohmmeter, parts unplugged in turn.
    fn deep(&self, circuit: &Circuit) -> &[f64] {
        self.deep.get_or_init(|| {
            let parts = unpluggable(circuit);
            let Some((fuse, state)) = self.first(circuit) else {
                return Vec::new();
            };
            let Some((base_v, point)) = lit(&self.boat, fuse, state, &[]) else {
                return Vec::new();
            };
            // A load without current changes nothing when it goes.
            let idle = |part: PartId| {
                let reading = point.solution.parts.get(&circuit.part(part).name);
                let none = reading.is_some_and(|one| one.current_a.unwrap_or(0.0).abs() < 1e-3);
                none && !self.boat.of.iter().any(|(_, of)| *of == part)
            };
            let without = |part: &PartId| {
                if idle(*part) {
                    base_v
                } else {
                    lamp_v(&self.boat, fuse, state, &[*part])
                }
            };
            let mut all = vec![base_v];
            all.extend(parts.iter().map(without));
            let loads: Vec<PartId> = parts
                .iter()
                .copied()
                .filter(|part| {
                    use ampkeel::circuit::Device;
                    !matches!(
                        circuit.part(*part).device,
                        Device::Plug(_) | Device::Relay(_)
                    )
                })
                .collect();
            for unplugged in [&[][..], &loads[..]] {
                let ohm = self
                    .boat
                    .ohms_behind(fuse, Some(state), unplugged, &mut Dice::new(1));
                // As volts beside the lamp's: a share of the tolerance each.
                all.push((ohm + LEADS_OHM).ln() / OHMS.ln());
            }
            all
        })
    }

    fn is_like(&self, other: &Self, circuit: &Circuit, rule: Rule) -> bool {
        if !self.plainly_like(other, rule) {
            return false;
        }
        if self.opens.iter().all(Option::is_none) {
            return true;
        }
        if rule == Rule::Millivolts {
            let lit = self.lit(circuit).iter().zip(other.lit(circuit));
            let mut apart = lit.filter(|(a, b)| !close(**a, **b, UNDER_LAMP));
            if apart.next().is_some() {
                return false;
            }
        }
        let (a, b) = (self.deep(circuit), other.deep(circuit));
        a.iter().zip(b).all(|(a, b)| (a - b).abs() < 1.0)
    }
}

impl Classes {
    pub(super) fn of(circuit: &Circuit, opens: bool) -> Self {
        let boat = Boat::of_file(circuit);
        let mut places: BTreeMap<Key, Vec<Place>> = BTreeMap::new();
        for place in Places::of(circuit, opens) {
            places
                .entry((place.cause, place.subject.clone()))
                .or_default()
                .push(place);
        }
        Self {
            sound: Signature::of(boat.clone(), None, circuit).expect("the sound boat solves"),
            boat,
            circuit: circuit.clone(),
            places,
            signatures: BTreeMap::new(),
            pairs: [BTreeMap::new(), BTreeMap::new()],
        }
    }

    fn signatures(&mut self, key: &Key) -> Rc<Vec<Signature>> {
        if let Some(known) = self.signatures.get(key) {
            return Rc::clone(known);
        }
        let rating_a: Vec<f64> = self.boat.fuses.iter().map(|fuse| fuse.rating_a).collect();
        let mut all = Vec::new();
        for place in self.places.get(key).into_iter().flatten() {
            for hidden in place.samples(&rating_a) {
                let Hidden { harm, .. } = &hidden;
                let found = Signature::of(hidden.in_boat(&self.boat), Some(harm), &self.circuit);
                let shows = found.filter(|found| !found.plainly_like(&self.sound, Rule::Slip));
                all.extend(shows);
            }
        }
        let all = Rc::new(all);
        self.signatures.insert(key.clone(), Rc::clone(&all));
        all
    }

    /// Whether two classes count as one.
    pub(super) fn same(&mut self, a: &Key, b: &Key, rule: Rule) -> bool {
        if a == b {
            return true;
        }
        let pair = if a < b {
            (a.clone(), b.clone())
        } else {
            (b.clone(), a.clone())
        };
        if let Some(known) = self.pairs[rule as usize].get(&pair) {
            return *known;
        }
        let (one, other) = (self.signatures(a), self.signatures(b));
        let circuit = &self.circuit;
        let same = one
            .iter()
            .any(|a| other.iter().any(|b| a.is_like(b, circuit, rule)));
        self.pairs[rule as usize].insert(pair, same);
        same
    }
}
