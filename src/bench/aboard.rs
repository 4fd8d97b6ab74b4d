//! A part read in the boat, not on the bench: fed by its circuit in a state.
//!
//! Whole circuits are drawn within their stated ranges (charge of the battery,
//! joints, wires, holders, contacts, the other loads); each is solved with test
//! resistances in the part's place, which gives its feed as a [`Bend`].
//!
//! # Limits
//! As [`Socket`] and [`Bend`]; the battery is taken settled under the other loads.

use super::bend::{Behind, Bend, RUNNING, TRIED};
use super::circuit_loop::Feed;
use super::harness::Working;
use super::rig::{Notes, Options, Rig, Usual, ammeter, battery_of};
use super::{Draws, Refused, chance};
use crate::circuit::zones::FuseId;
use crate::circuit::{BenchRig, Circuit, Device, PartId};
use crate::devices::{BatteryModel, Model, Resolved, resolve};
use crate::findings::Assumed;
use crate::heating::{Fitted, fitted};
use crate::quantities::{Amps, Band, Ohms, Quantity, Volts};
use crate::solving::{Fed, NoFeed, Socket, states};
use crate::tables::meters::MeterReading;

/// A part's place in the boat and what the circuit gives it there.
#[derive(Debug, Clone, PartialEq)]
pub struct Aboard {
    /// The state.
    pub state: String,
    /// What feeds the part; none for a battery, which feeds itself.
    pub feed: Option<Thevenin>,
    /// The battery that feeds the part.
    pub battery: String,
    /// What that battery gives to everything else; below zero while it is charged.
    pub others: Band<Amps>,
    /// Relays pulled in.
    pub relays: Vec<String>,
    /// The fuse before the part, and what it carries beside the part's own.
    pub fuse: Option<(Fitted, Band<Amps>)>,
    /// What a relay's closed contact feeds, as a resistance; none where it carries nothing.
    pub contact_load: Option<Band<Ohms>>,
    /// Tags of the cautions that go with the state.
    pub tags: Vec<&'static str>,
    feeds: Vec<Feed>,
    typical: Feed,
}

/// A feed in two figures: middle and nine in ten of the circuits drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thevenin {
    /// Volts at the part with nothing drawn.
    pub open: Band<Volts>,
    /// Resistance behind them, from nothing drawn to the part running.
    pub ohm: Band<Ohms>,
}

/// Circuits drawn.
const CIRCUITS: usize = 1024;
/// Step of the battery's volts that tells how the feed follows them.
const STEP_V: f64 = 1.0;
/// A state's real load over what its circuit says: engines turn harder cold, lamps
/// and radios differ (judgement).
pub const LOAD_TIMES: Band<f64> = Band {
    low: 0.7,
    typical: 1.0,
    high: 1.6,
};
/// Times its written length that a wire has, cut strands and thin copper counted
/// in: lengths are paced more often than taped (judgement).
const AS_WRITTEN: Band<f64> = Band {
    low: 0.85,
    typical: 1.0,
    high: 1.3,
};
/// Current from which a relay's contact counts as loaded, amperes.
const LOADED_A: f64 = 0.05;

impl Rig {
    /// The boat in a state in place of a bench, for one of its parts; `usual` is
    /// what its bench test takes, which chooses the meter.
    ///
    /// # Errors
    /// A part the state does not feed, a state without an operating point, or a
    /// figure no table has.
    pub fn aboard(
        circuit: &Circuit,
        part: PartId,
        state: usize,
        options: &Options,
        usual: Usual,
        draws: &mut Draws,
    ) -> Result<Self, Refused> {
        let mut resolved = resolve(circuit)?;
        let probe_s = probe(resolved.part(part));
        let socket = Socket::new(circuit, state, part, probe_s)
            .map_err(|why| told(circuit, part, state, probe_s, why))?;
        let mut notes = Notes::default();
        let (open_volts, battery) = at_rest(circuit, socket.battery, &mut notes)?;
        let feeding = resolved.parts.get_mut(socket.battery.0);
        if let Some(Model::Battery(model)) = feeding {
            model.open_volts = open_volts;
        }
        let study = Study {
            circuit,
            socket: &socket,
            resolved: &resolved,
            loads_s: TRIED.map(|times| times * probe_s),
        };
        let aboard = study.aboard(state, draws)?;
        let none = BenchRig::default();
        let written = if usual.heavy { &none } else { &circuit.bench };
        let (burden, amps_error, _, meter) = ammeter(written, options, usual.meter, &mut notes)?;
        let (amps_error, meter) = if usual.heavy {
            let large = notes.accuracy("amperes", MeterReading::LargeClampAmps)?;
            (large, super::Jack::LargeClamp)
        } else {
            (amps_error, meter)
        };
        let fuse = match &aboard.fuse {
            Some((fuse, _)) => link_of(&resolved, fuse.id),
            None => None,
        };
        let place = circuit.part(part).place;
        Ok(Self {
            fuse_is_usual: true,
            open_volts,
            battery,
            leads: Band::exactly(Ohms::new(0.0)),
            lead_size: usual.lead_size,
            fuse: fuse.unwrap_or_else(|| super::heavy::switched_by(Band::exactly(Ohms::new(1e-9)))),
            meter,
            heavy: usual.heavy,
            burden,
            amps_error,
            volts_error: notes.accuracy("volts", MeterReading::Volts)?,
            millivolts_error: notes.accuracy("millivolts", MeterReading::Millivolts)?,
            ohms_error: notes.accuracy("ohms", MeterReading::Ohms)?,
            air: circuit.ambient.at(place),
            words: String::new(),
            assumed: with_notes(resolved.assumed.clone(), notes),
            engine: circuit.boat.drive(),
            aboard: Some(aboard),
        })
    }
}

impl Rig {
    /// Current of the fuse before the part beside the part's own, amperes; on a
    /// bench none.
    pub fn beside_fuse_a(&self, draws: &mut Draws) -> f64 {
        let fuse = self.aboard.as_ref().and_then(|aboard| aboard.fuse.as_ref());
        fuse.map_or(0.0, |(_, beside)| draws.quantity(beside))
    }

    /// What the state takes from the battery, amperes, a cold engine's more counted;
    /// `lamp_a` on a bench.
    pub fn battery_load_a(&self, lamp_a: f64, draws: &mut Draws) -> f64 {
        let aboard = self.aboard.as_ref();
        aboard.map_or(lamp_a, |aboard| {
            draws.quantity(&aboard.others) * draws.of(LOAD_TIMES)
        })
    }

    /// What a relay's closed contact feeds, as a resistance, ohms: `lamp_ohm` on a
    /// bench; not a number where it carries nothing.
    pub fn contact_load_ohm(&self, lamp_ohm: f64, draws: &mut Draws) -> f64 {
        match &self.aboard {
            None => lamp_ohm,
            Some(aboard) => aboard
                .contact_load
                .map_or(f64::NAN, |load| draws.quantity(&load)),
        }
    }
}

impl Aboard {
    /// The typical circuit's feed, with a meter in the lead.
    pub(super) fn typical(&self, burden: Ohms) -> Feed {
        through(self.typical, burden)
    }

    /// The feed of one drawn circuit, with a meter in the lead.
    pub(super) fn specimen(&self, burden: Ohms, draws: &mut Draws) -> Feed {
        let at = draws.between(0.0, self.feeds.len() as f64) as usize;
        let feed = self.feeds.get(at).copied().unwrap_or(self.typical);
        through(feed, burden)
    }

    /// Feed and state in words, with the battery at the volts read at rest.
    pub fn in_words(&self, rest_v: Option<f64>) -> String {
        let more_v = rest_v.map_or(0.0, |rest_v| {
            self.typical.at_rest(rest_v).open_v() - self.typical.open_v()
        });
        let volts = |volts: Volts| Volts::new(volts.si() + more_v);
        let given = |amps: Amps| {
            if amps.si() < 0.0 {
                format!(
                    "`{}` is charged with {}",
                    self.battery,
                    Amps::new(-amps.si())
                )
            } else if self.feed.is_some() {
                format!("the other loads take {amps} from `{}`", self.battery)
            } else {
                format!("the loads take {amps} from it")
            }
        };
        let feed = self
            .feed
            .map_or_else(String::new, |Thevenin { open, ohm }| {
                format!(
                    "{} ({} to {}) at its terminals with nothing drawn, behind {} ({} to {}); ",
                    volts(open.typical),
                    volts(open.low),
                    volts(open.high),
                    ohm.typical,
                    ohm.low,
                    ohm.high,
                )
            });
        let relays = if self.relays.is_empty() {
            "no relay pulled in".to_owned()
        } else {
            format!("relays pulled in: {}", self.relays.join(", "))
        };
        format!(
            "in the boat, state `{}`: {feed}{}; {relays}",
            self.state,
            given(self.others.typical)
        )
    }
}

fn through(mut feed: Feed, burden: Ohms) -> Feed {
    feed.link.r_contacts_ohm += burden.si();
    feed
}

/// A socket with all that is tried in it.
struct Study<'a> {
    circuit: &'a Circuit,
    socket: &'a Socket<'a>,
    resolved: &'a Resolved,
    loads_s: [f64; TRIED.len()],
}

impl Study<'_> {
    fn aboard(&self, state: usize, draws: &mut Draws) -> Result<Aboard, Refused> {
        let follows = self.follows()?;
        let one = std::slice::from_ref(self.resolved);
        let typical = self.feeds(one, follows)?.remove(0);
        let drawn: Vec<Resolved> = (0..CIRCUITS)
            .map(|_| {
                let mut one = self.resolved.specimen(&mut |band| draws.of(band));
                for wire in &mut one.wires {
                    wire.length = wire.length.scaled(draws.of(AS_WRITTEN));
                }
                one
            })
            .collect();
        let found = self.feeds(&drawn, follows)?;
        // The middle of the circuits drawn: joints lean so far to the high side that
        // the typical circuit stands at the low end.
        let range = |figure: &dyn Fn(&Found) -> f64| {
            let mut sample: Vec<f64> = found.iter().map(figure).collect();
            sample.sort_by(f64::total_cmp);
            let middle = sample[sample.len() / 2];
            chance::range(sample, middle)
        };
        let thevenin = |one: &Found| one.bend.thevenin(one.knots[RUNNING].current_a.abs());
        let fuse = match self.socket.fuse {
            Some(id) => fitted(self.circuit, id)?,
            None => None,
        };
        let beside = |one: &Found| {
            let at = one.knots[RUNNING];
            (at.fuse_a.unwrap_or(0.0) - at.current_a.abs()).max(0.0)
        };
        let contact = |one: &Found| {
            let at = one.knots[RUNNING];
            at.contact_a.map_or(f64::INFINITY, |amps| at.posts_v / amps)
        };
        let loaded = typical.knots[RUNNING]
            .contact_a
            .is_some_and(|amps| amps > LOADED_A);
        let written = &self.circuit.states[state];
        let solved = states(self.circuit, self.resolved)?;
        let solved = solved.iter().find(|found| found.name == written.name);
        Ok(Aboard {
            state: written.name.clone(),
            feed: self.socket.feeds_a_part().then(|| Thevenin {
                open: banded(range(&|one| thevenin(one).0)),
                ohm: banded(range(&|one| thevenin(one).1)),
            }),
            battery: self.circuit.part(self.socket.battery).name.clone(),
            others: banded(range(&|one| one.knots[0].battery_a)),
            relays: self.socket.pulled_in().map(str::to_owned).collect(),
            fuse: fuse.map(|fuse| (fuse, banded(range(&beside)))),
            contact_load: loaded.then(|| banded(range(&contact))),
            tags: solved.map_or_else(Vec::new, |found| {
                Working::of(self.circuit, written, found).tags
            }),
            feeds: found.iter().map(|one| one.bend.feed()).collect(),
            typical: typical.bend.feed(),
        })
    }

    fn feeds(&self, circuits: &[Resolved], follows: f64) -> Result<Vec<Found>, Refused> {
        let all = self
            .socket
            .with(circuits, &self.loads_s)
            .map_err(unsolved)?;
        let found = circuits.iter().zip(all).map(|(one, knots)| {
            let behind = match one.part(self.socket.battery) {
                Model::Battery(battery) => behind(battery, follows),
                _ => Behind {
                    rest_v: 0.0,
                    battery_ohm: 0.0,
                    follows,
                },
            };
            Found {
                bend: Bend::of(&knots, behind),
                knots,
            }
        });
        Ok(found.collect())
    }

    /// Volts the part's feed gives up for each volt its battery does.
    fn follows(&self) -> Result<f64, Refused> {
        let mut lower = self.resolved.clone();
        if let Some(Model::Battery(battery)) = lower.parts.get_mut(self.socket.battery.0) {
            let volts = battery.open_volts.typical.si() - STEP_V;
            battery.open_volts = Band::exactly(Volts::new(volts));
        }
        let both = [self.resolved.clone(), lower];
        let loads_s = [self.loads_s[RUNNING]];
        let found = self.socket.with(&both, &loads_s).map_err(unsolved)?;
        let volts = |at: usize| found[at][0].voltage_v.abs();
        Ok(((volts(0) - volts(1)) / STEP_V).clamp(0.0, 1.5))
    }
}

fn banded<Q: Quantity>(band: Band<f64>) -> Band<Q> {
    Band::new(Q::new(band.low), Q::new(band.typical), Q::new(band.high))
}

/// One circuit's feed.
struct Found {
    bend: Bend,
    knots: Vec<Fed>,
}

fn behind(battery: &BatteryModel, follows: f64) -> Behind {
    Behind {
        rest_v: battery.open_volts.typical.si(),
        battery_ohm: battery.settled().si(),
        follows,
    }
}

/// About the conductance of a part running, siemens.
fn probe(model: &Model) -> f64 {
    match model {
        Model::Motor(motor) => motor.parameters.current_ref.si() / motor.parameters.v_ref.si(),
        Model::Relay(relay) => 1.0 / relay.coil_warm.typical.si(),
        Model::Solenoid(solenoid) => 1.0 / solenoid.coil_warm.typical.si(),
        _ => PROBE_S,
    }
}

/// A small lamp, for what has no model of its own.
const PROBE_S: f64 = 1.0 / 12.0;

/// The feeding battery at rest: volts and inside resistance.
fn at_rest(
    circuit: &Circuit,
    battery: PartId,
    notes: &mut Notes,
) -> Result<(Band<Volts>, Band<Ohms>), Refused> {
    let part = circuit.part(battery);
    let spec = match &part.device {
        Device::Battery(spec) => spec.clone(),
        _ => crate::circuit::Battery::default(),
    };
    let air = circuit.ambient.at(part.place);
    battery_of(&part.name, &spec, None, air, notes)
}

/// The circuit's defaults, and of the notes those that it does not tell itself.
fn with_notes(mut assumed: Vec<Assumed>, notes: Notes) -> Vec<Assumed> {
    let told = |note: &Assumed| assumed.iter().any(|of| of.what == note.what);
    let more: Vec<Assumed> = notes.0.into_iter().filter(|note| !told(note)).collect();
    assumed.extend(more);
    assumed
}

fn link_of(resolved: &Resolved, id: FuseId) -> Option<crate::devices::LinkModel> {
    match resolved.part(id.part) {
        Model::Links(links) => links.get(id.slot.unwrap_or(0)).cloned(),
        _ => None,
    }
}

fn unsolved(why: NoFeed) -> Refused {
    match why {
        NoFeed::Solve(why) => why.into(),
        NoFeed::Balance(why) => why.into(),
        NoFeed::Figure(why) => why.into(),
        other => Refused::NoFeed(other.to_string()),
    }
}

/// Says in which states the part is fed, where this one does not.
fn told(circuit: &Circuit, part: PartId, state: usize, probe_s: f64, why: NoFeed) -> Refused {
    if why != NoFeed::NotFed {
        return unsolved(why);
    }
    let fed = (0..circuit.states.len())
        .filter(|at| Socket::new(circuit, *at, part, probe_s).is_ok())
        .map(|at| circuit.states[at].name.as_str())
        .collect::<Vec<_>>()
        .join(", ");
    Refused::NotFed {
        part: circuit.part(part).name.clone(),
        state: circuit.states[state].name.clone(),
        fed: if fed.is_empty() {
            "no state".to_owned()
        } else {
            fed
        },
    }
}
