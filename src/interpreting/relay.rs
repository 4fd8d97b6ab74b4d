//! What a relay with each condition shows: coil in the rig's loop, contacts under
//! a 55 W lamp, volts at which it closes.
//!
//! # Limits
//! A diode the wrong way round is taken as some tens of milliohms until the
//! lead's fuse has opened; both are drawn. Severities are judgement.

use super::evidence::{Evidence, Measure};
use super::kernel::Kernel;
use super::odds::Priors;
use super::specimen::{Expected, Group, SPECIMENS, Seen, Specimen};
use crate::bench::{Draws, Feed, Load, Refused, Rig, Settled, settled};
use crate::devices::RelayModel;
use crate::quantities::Band;
use crate::tables::contacts::{ContactKind, faulty};

/// What may be wrong with a relay.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Fault {
    Healthy,
    OpenCoil,
    ShortedCoil,
    BurntContacts,
    WeakPullIn,
    DiodeReversed,
}

const FAULTS: [(Fault, &str); 6] = [
    (Fault::Healthy, "healthy"),
    (Fault::OpenCoil, "open-coil"),
    (Fault::ShortedCoil, "shorted-coil"),
    (Fault::BurntContacts, "burnt-contacts"),
    (Fault::WeakPullIn, "weak-pull-in"),
    (Fault::DiodeReversed, "diode-reversed"),
];

/// A lamp of 55 W at 12 V: its resistance hot.
const LAMP_OHM: f64 = 12.0 * 12.0 / 55.0;
/// Ohms of an open coil.
const OPEN_OHM: f64 = 1e7;

const fn band(low: f64, typical: f64, high: f64) -> Band<f64> {
    Band { low, typical, high }
}

/// A relay as drawn.
struct Drawn {
    weight: f64,
    feed: Feed,
    load: Load,
    /// Ohms between 85 and 86.
    ohms: f64,
    contact_ohm: f64,
    /// What the contact feeds, as a resistance.
    contact_load_ohm: f64,
    pull_in_v: f64,
    /// Whether the lead's fuse has opened.
    is_cut: bool,
}

/// All specimens of all conditions.
pub(super) fn groups(
    relay: &RelayModel,
    rig: &Rig,
    evidence: &Evidence,
    priors: &Priors,
    kernel: &Kernel,
    draws: &mut Draws,
) -> Result<Vec<Group>, Refused> {
    let bad_ohm = faulty(ContactKind::RelayContact)?.value.si();
    let of = |(fault, condition)| {
        let drawn: Vec<Drawn> = (0..SPECIMENS)
            .map(|_| draw(fault, relay, rig, evidence, bad_ohm, kernel, draws))
            .collect();
        let loops: Vec<(Feed, Load)> = drawn.iter().map(|one| (one.feed, one.load)).collect();
        let found = settled(&loops)?;
        let specimens = drawn.iter().zip(&found);
        Ok(Group {
            condition,
            prior: priors.of(condition),
            brings: Vec::new(),
            specimens: specimens
                .map(|(one, s)| specimen(one, s, evidence, rig))
                .collect(),
        })
    };
    FAULTS.into_iter().map(of).collect()
}

fn draw(
    fault: Fault,
    relay: &RelayModel,
    rig: &Rig,
    evidence: &Evidence,
    bad_ohm: f64,
    kernel: &Kernel,
    draws: &mut Draws,
) -> Drawn {
    let mut feed = rig.specimen(draws);
    let open = rig.open_volts;
    let (low, typical) = (open.low.si() - 0.3, open.typical.si());
    let expected = Expected::new(low, typical, typical + 0.8, 16.0);
    let mut weight = 1.0;
    if evidence.rest_v.is_some() {
        let deviation = kernel.deviation(Measure::PostVolts, typical);
        let (emf_v, density) = expected.given(evidence.rest_v, deviation, draws);
        feed = feed.at_rest(emf_v);
        weight = density;
    }
    let mut coil_ohm = draws.quantity(&relay.coil_warm);
    if fault == Fault::ShortedCoil {
        coil_ohm *= draws.of(band(0.2, 0.5, 0.8));
    }
    let mut contact_ohm = draws.quantity(&relay.contact);
    if fault == Fault::BurntContacts {
        // From half of `surely bad` to fifty times as much, even in decades.
        contact_ohm = bad_ohm * 0.5 * 100f64.powf(draws.between(0.0, 1.0));
    }
    let warmth = relay.coil_warm.typical.si() / relay.coil.typical.si();
    let mut pull_in_v = draws.quantity(&relay.pull_in) * warmth;
    if fault == Fault::WeakPullIn {
        pull_in_v *= draws.of(band(1.15, 1.35, 1.8));
    }
    let seen_ohm = 1.0 / (1.0 / coil_ohm + relay.suppressor_s);
    let is_cut = fault == Fault::DiodeReversed && draws.between(0.0, 1.0) < 0.7;
    let (load, ohms) = match fault {
        Fault::OpenCoil => (Load::resistance(coil_ohm).scaled(0.0), OPEN_OHM),
        Fault::DiodeReversed => {
            let forward = Load::resistance(draws.of(band(0.02, 0.06, 0.15)));
            let load = if is_cut { forward.scaled(0.0) } else { forward };
            // One way round the meter sees the diode, the other way the coil.
            let share = if draws.between(0.0, 1.0) < 0.5 {
                1.0
            } else {
                draws.of(band(0.05, 0.3, 0.9))
            };
            (load, seen_ohm * share)
        }
        _ => (Load::resistance(seen_ohm), seen_ohm),
    };
    Drawn {
        weight,
        feed,
        load,
        ohms,
        contact_ohm,
        contact_load_ohm: rig.contact_load_ohm(LAMP_OHM, draws),
        pull_in_v,
        is_cut,
    }
}

fn specimen(one: &Drawn, s: &Settled, evidence: &Evidence, rig: &Rig) -> Specimen {
    let coil_v = if one.is_cut {
        0.0
    } else if one.load.scale == 0.0 {
        one.feed.open_v()
    } else {
        s.part_v
    };
    let open_v = one.feed.supply.emf_v;
    // On the bench the contact is tried closed; in the boat its own coil closes it.
    let has_closed = rig.aboard.is_none() || s.current_a > 0.0 && coil_v >= one.pull_in_v;
    let across_contact_v = if has_closed {
        open_v / (one.contact_load_ohm + one.contact_ohm) * one.contact_ohm
    } else {
        open_v
    };
    let seen = Seen::NOTHING
        .with(Measure::Volts, coil_v)
        .with(Measure::Amps, s.current_a)
        .with(Measure::PostVolts, s.post_v)
        .with(Measure::Ohms, one.ohms + 0.5 * rig.ohms_error.plus)
        .with(Measure::Millivolts, across_contact_v)
        .with(Measure::PullIn, one.pull_in_v);
    Specimen {
        weight: one.weight,
        runs: vec![seen; evidence.runs.len().max(1)],
        winding_ohm: one.ohms,
    }
}
