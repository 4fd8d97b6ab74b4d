//! Specimens of relays and solenoids: what one with a condition draws, and shows.
//!
//! # Limits
//! Severities are judgement.

use super::Measure;
use super::evidence::Run;
use super::family::Bench;
use super::joint::Joints;
use super::relay::Fault;
use super::short::{Short, is_lead_cut};
use super::specimen::{Group, OPEN_OHM, SPECIMENS, Seen, Specimen, sound_contact};
use super::supply::{self, Trouble};
use crate::bench::{Draws, Feed, Load, Refused, Settled, settled};
use crate::devices::RelayModel;
use crate::quantities::Band;

/// A lamp of 55 W at 12 V: its resistance hot.
const LAMP_OHM: f64 = 12.0 * 12.0 / 55.0;
/// Share of burnt contacts that conduct nothing at all.
const BURNT_OPEN: f64 = 0.2;
/// Share of burnt contacts that have next to nothing left, and the most ohms those have:
/// of a lamp's volts they leave it half a volt (judgement).
const BURNT_AWAY: f64 = 0.2;
const BURNT_AWAY_OHM: f64 = 60.0;
/// Share of open coils whose break still conducts, green, and times the coil's ohms that
/// it then has (judgement).
const ROTTED: f64 = 0.15;
const ROTTED_TIMES: (f64, f64) = (1.3, 1000.0);
/// Share of relays with a resistor across the coil that nobody named, and its ohms
/// (around the 680 ohm of `relay-data`; judgement).
const HIDDEN: f64 = 0.2;
const RESISTOR_OHM: (f64, f64) = (470.0, 1000.0);
/// Share of the ohms that a coil with shorted turns keeps, and how often it is any less
/// (judgement).
const KEEPS: Band<f64> = band(0.2, 0.5, 0.8);
const KEEPS_LESS: f64 = 0.2;
const LEAST_KEPT: f64 = 0.005;
/// Share of reversed diodes that have opened the lead's fuse.
const CUT: f64 = 0.7;

const fn band(low: f64, typical: f64, high: f64) -> Band<f64> {
    Band { low, typical, high }
}

/// A relay as drawn.
struct Drawn {
    fault: Fault,
    weight: f64,
    feed: Feed,
    load: Load,
    /// Ohms of the coil with what lies across it.
    ohms: f64,
    /// Ohms by a meter, where they are those of a short.
    shown_ohm: Option<f64>,
    pull_ohm: f64,
    contact_ohm: f64,
    /// What the contact feeds, as a resistance; not a number where it carries nothing.
    contact_load_ohm: f64,
    pull_in_v: f64,
    /// Whether an open joint or fuse keeps everything from it.
    is_cut: bool,
}

/// A relay and how it was read.
pub(super) struct Trial<'a> {
    pub relay: &'a RelayModel,
    pub bench: &'a Bench<'a>,
    /// Contact that is surely bad.
    pub bad_ohm: f64,
}

impl Trial<'_> {
    pub(super) fn group(
        &self,
        fault: Fault,
        condition: &'static str,
        draws: &mut Draws,
    ) -> Result<Group, Refused> {
        let drawn: Vec<Drawn> = (0..SPECIMENS).map(|_| self.draw(fault, draws)).collect();
        let loops: Vec<(Feed, Load)> = drawn.iter().map(|one| (one.feed, one.load)).collect();
        let found = settled(&loops)?;
        let both = drawn.iter().zip(&found);
        let specimens = both.map(|(one, s)| self.specimen(one, s, draws)).collect();
        let brings = supply::brings(self.bench, fault == Fault::LowSupply);
        Ok(Group {
            condition,
            prior: self.bench.priors.of(condition),
            brings: brings.into_iter().collect(),
            specimens,
        })
    }

    fn draw(&self, fault: Fault, draws: &mut Draws) -> Drawn {
        let relay = self.relay;
        let mut coil_ohm = draws.quantity(&relay.coil_warm);
        let trouble = match fault {
            Fault::PoorContact => Trouble::joint(coil_ohm * Joints::OF_LOAD.draw(draws)),
            Fault::LowSupply => Trouble::low_supply(draws),
            _ => Trouble::NONE,
        };
        let (feed, weight) = supply::feed(self.bench, &trouble, draws);
        if fault == Fault::ShortedCoil {
            coil_ohm *= shorted_share(draws);
        }
        let warmth = relay.coil_warm.typical.si() / relay.coil.typical.si();
        let mut pull_in_v = draws.quantity(&relay.pull_in) * warmth;
        if fault == Fault::WeakPullIn {
            pull_in_v *= draws.of(band(1.15, 1.35, 1.8));
        }
        let inside = Short::draw(self.bench.rig.ohms_error.plus, draws);
        let short = (fault == Fault::Shorted).then_some(inside);
        let is_cut = match fault {
            Fault::DiodeReversed => draws.chance(CUT),
            _ => is_lead_cut(short, fault == Fault::PoorContact, draws),
        };
        let (load, ohms) = match short {
            Some(short) => (short.load(), short.ohm),
            None => self.coil(fault, coil_ohm, draws),
        };
        let load = if is_cut { load.scaled(0.0) } else { load };
        let pull = relay.pull_winding.map(|winding| draws.quantity(&winding));
        Drawn {
            fault,
            weight,
            feed,
            load,
            ohms,
            shown_ohm: short.map(|short| short.shown_ohm),
            pull_ohm: if fault == Fault::OpenPull {
                OPEN_OHM
            } else {
                pull.unwrap_or(f64::NAN)
            },
            contact_ohm: self.contact(fault, draws),
            contact_load_ohm: self.bench.rig.contact_load_ohm(LAMP_OHM, draws),
            pull_in_v,
            is_cut,
        }
    }

    /// The coil as a load, and its ohms by a meter.
    fn coil(&self, fault: Fault, coil_ohm: f64, draws: &mut Draws) -> (Load, f64) {
        let seen_ohm = 1.0 / (1.0 / coil_ohm + self.relay.suppressor_s);
        match fault {
            Fault::OpenCoil => match self.across_open(coil_ohm, draws) {
                Some(ohm) => (Load::resistance(ohm), ohm),
                None => (Load::resistance(coil_ohm).scaled(0.0), OPEN_OHM),
            },
            Fault::DiodeReversed => {
                let forward = Load::resistance(draws.of(band(0.02, 0.06, 0.15)));
                // One way round the meter sees the diode, the other way the coil.
                let share = if draws.chance(0.5) {
                    1.0
                } else {
                    draws.of(band(0.05, 0.3, 0.9))
                };
                (forward, seen_ohm * share)
            }
            _ => (Load::resistance(seen_ohm), seen_ohm),
        }
    }

    /// What an open coil leaves: its resistor, or a break that has rotted and not parted.
    fn across_open(&self, coil_ohm: f64, draws: &mut Draws) -> Option<f64> {
        let break_ohm = draws.chance(ROTTED).then(|| {
            let (least, most) = ROTTED_TIMES;
            coil_ohm * draws.decades(least, most)
        });
        let has_own = self.relay.suppressor_s > 0.0;
        let resistor_ohm = if has_own {
            Some(1.0 / self.relay.suppressor_s)
        } else {
            let (least, most) = RESISTOR_OHM;
            draws.chance(HIDDEN).then(|| draws.decades(least, most))
        };
        match (break_ohm, resistor_ohm) {
            (Some(a), Some(b)) => Some(1.0 / (1.0 / a + 1.0 / b)),
            (one, other) => one.or(other),
        }
    }

    fn contact(&self, fault: Fault, draws: &mut Draws) -> f64 {
        if fault == Fault::BurntContacts {
            if draws.chance(BURNT_OPEN) {
                return OPEN_OHM;
            }
            // From where sound ones end to fifty times what is surely bad; some have
            // hardly a spot left that conducts.
            let usual_ohm = 50.0 * self.bad_ohm;
            if draws.chance(BURNT_AWAY) {
                return draws.decades(usual_ohm, usual_ohm.max(BURNT_AWAY_OHM));
            }
            let from_ohm = self.relay.contact.high.si().min(0.5 * self.bad_ohm);
            return draws.decades(from_ohm, usual_ohm);
        }
        sound_contact(&self.relay.contact, draws)
    }

    fn specimen(&self, one: &Drawn, s: &Settled, draws: &mut Draws) -> Specimen {
        let runs = self.bench.runs.iter();
        let runs: Vec<Seen> = runs.map(|run| self.seen(one, run, s, draws)).collect();
        // No contact takes more volts than the battery has.
        let taken_v = runs.iter().map(|seen| seen.get(Measure::Millivolts));
        let is_possible = taken_v.fold(0.0, f64::max) <= one.feed.open_v();
        let is_dead = one.contact_ohm >= OPEN_OHM;
        let flows = if is_dead { self.none_flows() } else { 1.0 };
        Specimen {
            weight: if is_possible { one.weight * flows } else { 0.0 },
            runs,
            winding_ohm: one.ohms,
        }
    }

    fn seen(&self, one: &Drawn, run: &Run, s: &Settled, draws: &mut Draws) -> Seen {
        let coil_v = if one.is_cut {
            0.0
        } else if one.load.scale == 0.0 {
            one.feed.open_v()
        } else {
            s.part_v
        };
        let pulls = !matches!(
            one.fault,
            Fault::OpenCoil
                | Fault::Shorted
                | Fault::DiodeReversed
                | Fault::Stuck
                | Fault::OpenPull
        ) && coil_v > one.pull_in_v;
        let closed = if run.is_off() {
            one.fault == Fault::WeldedContacts
        } else {
            pulls || one.fault == Fault::WeldedContacts
        };
        let open_v = one.feed.open_v();
        let is_loaded = !one.contact_load_ohm.is_nan() || run.get(Measure::LoadAmps).is_some();
        let makes = closed && one.contact_ohm < OPEN_OHM;
        let across_v = if !is_loaded {
            f64::NAN
        } else if makes {
            self.load_a(run, one, draws) * one.contact_ohm
        } else {
            open_v
        };
        let not_nulled = 0.5 * self.bench.rig.ohms_error.plus;
        let energised = |value: f64| if run.is_off() { 0.0 } else { value };
        Seen::NOTHING
            .with(Measure::Volts, energised(coil_v))
            .with(Measure::Amps, energised(s.current_a))
            .with(Measure::PostVolts, s.post_v)
            .with(
                Measure::Ohms,
                one.shown_ohm.unwrap_or(one.ohms + not_nulled),
            )
            .with(Measure::PullOhms, one.pull_ohm + not_nulled)
            .with(Measure::Millivolts, across_v)
            .with(Measure::PullIn, one.pull_in_v)
            .with(Measure::Moves, f64::from(u8::from(pulls && !run.is_off())))
    }

    /// How well the currents read through closed contacts go with none flowing.
    fn none_flows(&self) -> f64 {
        let closed = self.bench.runs.iter().filter(|run| !run.is_off());
        let read = closed.filter_map(|run| run.get(Measure::LoadAmps));
        let kernel = self.bench.kernel;
        read.map(|amps| kernel.as_nothing(Measure::LoadAmps, amps))
            .product()
    }

    /// Current through the contacts: near what was read, else the lamp's, or that
    /// of what they feed in the boat.
    fn load_a(&self, run: &Run, one: &Drawn, draws: &mut Draws) -> f64 {
        match run.get(Measure::LoadAmps) {
            Some(read) => {
                let reach = self.bench.kernel.reach(Measure::LoadAmps, read);
                draws.between(read - reach, read + reach).max(0.0)
            }
            None => one.feed.open_v() / (one.contact_load_ohm + one.contact_ohm),
        }
    }
}

fn shorted_share(draws: &mut Draws) -> f64 {
    if draws.chance(KEEPS_LESS) {
        draws.decades(LEAST_KEPT, KEEPS.low)
    } else {
        draws.of(KEEPS)
    }
}
