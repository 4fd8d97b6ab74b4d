//! What a battery with each condition shows: at rest, and under the current read.
//!
//! V = E - I R. Volts at rest follow the signs of `battery-faults`, resistance
//! the multipliers of `battery-factors`; the open cell's is judgement.
//!
//! # Limits
//! Readings within the first ten seconds of a load; a battery just charged
//! shows some tenths of a volt more. In the boat the load is that of its state
//! where no current was read.

use super::evidence::{Evidence, Measure};
use super::kernel::Kernel;
use super::odds::Priors;
use super::specimen::{Brings, Expected, Group, SPECIMENS, Seen, Specimen, normal};
use crate::bench::{Draws, Rig};
use crate::quantities::{Band, Volts};

const fn band(low: f64, typical: f64, high: f64) -> Band<f64> {
    Band { low, typical, high }
}

/// A condition: volts at rest, and factor on the resistance of a sound one.
struct Fault {
    word: &'static str,
    rest_v: Band<f64>,
    times: Band<f64>,
}

/// Factor from which a range is drawn even in decades: from here it spans many.
const DECADES_FROM: f64 = 30.0;

impl Fault {
    fn draw_times(&self, draws: &mut Draws) -> f64 {
        let Band { low, high, .. } = self.times;
        if low >= DECADES_FROM {
            return low * (high / low).powf(draws.between(0.0, 1.0));
        }
        draws.of(self.times)
    }
}

fn faults(rig: &Rig) -> [Fault; 5] {
    let fault = |word, rest_v, times| Fault {
        word,
        rest_v,
        times,
    };
    let open = rig.open_volts;
    let sound = band(
        open.low.si() - 0.25,
        open.typical.si(),
        open.typical.si() + 0.6,
    );
    [
        fault("healthy", sound, band(0.9, 1.1, 2.0)),
        fault("discharged", band(11.3, 12.05, 12.45), band(1.2, 2.0, 6.0)),
        fault("shorted-cell", band(10.0, 10.6, 11.0), band(1.0, 1.5, 4.0)),
        fault("sulphated", band(11.9, 12.4, 12.9), band(3.0, 6.0, 30.0)),
        fault(
            "open-cell",
            band(11.5, 12.4, 12.9),
            band(40.0, 1000.0, 40000.0),
        ),
    ]
}

/// Volts at rest a condition brings along.
fn at_rest(fault: &Fault) -> Expected {
    let Band { low, typical, high } = fault.rest_v;
    Expected::new(low, typical, high, 16.0)
}

/// All specimens of all conditions.
pub(super) fn groups(
    rig: &Rig,
    evidence: &Evidence,
    priors: &Priors,
    kernel: &Kernel,
    draws: &mut Draws,
) -> Vec<Group> {
    let of = |fault: &Fault| Group {
        condition: fault.word,
        prior: priors.of(fault.word),
        brings: brings(fault, evidence),
        specimens: (0..SPECIMENS)
            .map(|_| specimen(fault, rig, evidence, kernel, draws))
            .collect(),
    };
    faults(rig).iter().map(of).collect()
}

fn brings(fault: &Fault, evidence: &Evidence) -> Vec<Brings> {
    let of = |read| Brings {
        what: "volts at rest",
        measure: Measure::PostVolts,
        low: fault.rest_v.low,
        high: fault.rest_v.high,
        read,
    };
    evidence.rest_v.map(of).into_iter().collect()
}

fn specimen(
    fault: &Fault,
    rig: &Rig,
    evidence: &Evidence,
    kernel: &Kernel,
    draws: &mut Draws,
) -> Specimen {
    let deviation = kernel.deviation(Measure::PostVolts, evidence.rest_v.unwrap_or(0.0));
    let (emf_v, weight) = at_rest(fault).given(evidence.rest_v, deviation, draws);
    let ohms = draws.quantity(&rig.battery) * fault.draw_times(draws);
    let one_run = |read: Option<f64>, draws: &mut Draws| {
        let nominal_a = read.unwrap_or_else(|| rig.battery_load_a(LAMP_A, draws));
        let off = kernel.deviation(Measure::Amps, nominal_a) * normal(draws);
        let load_a = (nominal_a + off).max(0.0);
        // The load lets go where the battery gives nothing more.
        let posts = Volts::new((emf_v - load_a * ohms).max(0.0)).si();
        Seen::NOTHING
            .with(Measure::PostVolts, posts)
            .with(Measure::Volts, posts)
            .with(Measure::Amps, nominal_a)
    };
    let mut runs: Vec<Seen> = evidence
        .runs
        .iter()
        .map(|run| one_run(run.get(Measure::Amps), draws))
        .collect();
    runs.push(one_run(None, draws));
    Specimen {
        weight,
        runs,
        winding_ohm: ohms,
    }
}

/// A 55 W lamp: the load to try where none was.
pub(super) const LAMP_A: f64 = 55.0 / 12.0;
