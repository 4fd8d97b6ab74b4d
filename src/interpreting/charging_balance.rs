//! Volts and amperes of a battery while an engine charges it.
//!
//! The stator is a current that its speed sets; the regulator lets through what
//! keeps it below its set-point, behind the charging lead; loads of the engine
//! take their share first; what is left charges the battery:
//!
//! ```text
//! i = min(output, what gives v + i (lead + droop) = set-point), 0 at least
//! v = E + (i - loads) R,   R that of charging above the loads, else of the battery
//! ```
//!
//! # Limits
//! Means over the pulses; the surface charge of a battery just off a charger is
//! in its charge.
//!
//! # Source
//! Charge accepted at 14.4 V: table `charge-acceptance`; volts at rest:
//! `open-volts-flooded`.

use crate::bench::Draws;
use crate::quantities::{AmpHours, Band, Celsius, Fraction};
use crate::tables::OutOfTable;
use crate::tables::batteries::{
    Chemistry, TEMPERATURES, charge_acceptance, default_battery, open_volts,
};

/// Volts at which charge acceptance is tabulated.
const ACCEPTANCE_V: f64 = 14.4;
/// Least charge of a battery that still starts its engine.
const LEAST_CHARGE: f64 = 0.3;
/// Steps of charge from there to full.
const STEPS: usize = 14;

/// One step of charge.
#[derive(Debug, Clone, Copy)]
struct Charge {
    open_v: f64,
    /// Amperes accepted, for each Ah.
    accepted: Band<f64>,
}

/// Batteries by their charge.
#[derive(Debug, Clone)]
pub(super) struct Charges {
    steps: Vec<Charge>,
    capacity_ah: Band<f64>,
}

/// A battery that takes charge.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sink {
    pub open_v: f64,
    /// Resistance against charge, ohms.
    pub charge_ohm: f64,
    /// Resistance while it gives, ohms.
    pub give_ohm: f64,
    /// What the engine takes meanwhile, amperes.
    pub loads_a: f64,
}

/// What charges it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Giver {
    /// The most the stator gives at this speed, amperes.
    pub output_a: f64,
    /// Volts at which its regulator lets nothing more through.
    pub set_v: f64,
    /// Charging lead with the regulator's taper, ohms.
    pub lead_ohm: f64,
}

impl Charges {
    pub(super) fn of(air: Celsius) -> Result<Self, OutOfTable> {
        let (coldest, hottest) = TEMPERATURES;
        let degc = Celsius::new(air.si().clamp(coldest.si(), hottest.si()));
        let step = |number: usize| {
            let share = LEAST_CHARGE + (1.0 - LEAST_CHARGE) * number as f64 / STEPS as f64;
            let charge = Fraction::new(share.min(1.0));
            let open = open_volts(Chemistry::Flooded, charge, degc)?.value;
            let accepted = charge_acceptance(AmpHours::new(1.0), charge)?.value;
            Ok(Charge {
                open_v: open.typical.si(),
                accepted: accepted.si(),
            })
        };
        Ok(Self {
            steps: (0..=STEPS).map(step).collect::<Result<_, OutOfTable>>()?,
            capacity_ah: default_battery()?.value.capacity.si(),
        })
    }

    /// A sound battery of any charge, or of the charge its volts at rest stand for.
    pub(super) fn draw(&self, rest_v: Option<f64>, give_ohm: f64, draws: &mut Draws) -> Sink {
        let step = match rest_v {
            None => {
                self.steps[draws.between(0.0, self.steps.len() as f64) as usize % self.steps.len()]
            }
            Some(rest) => {
                let apart = |charge: &&Charge| (charge.open_v - rest).abs();
                let nearest = self
                    .steps
                    .iter()
                    .min_by(|a, b| apart(a).total_cmp(&apart(b)));
                nearest.copied().unwrap_or(self.steps[0])
            }
        };
        let open_v = rest_v.unwrap_or(step.open_v);
        let accepted_a = draws.of(step.accepted) * draws.of(self.capacity_ah);
        Sink {
            open_v,
            charge_ohm: (ACCEPTANCE_V - step.open_v).max(0.1) / accepted_a.max(1e-3),
            give_ohm,
            loads_a: 0.0,
        }
    }
}

impl Sink {
    /// Volts at the posts while so much comes in.
    fn volts(&self, in_a: f64) -> f64 {
        let over_a = in_a - self.loads_a;
        let ohm = if over_a > 0.0 {
            self.charge_ohm
        } else {
            self.give_ohm
        };
        self.open_v + over_a * ohm
    }

    /// Current from the charger, and volts at the posts.
    pub(super) fn settle(&self, giver: &Giver) -> (f64, f64) {
        let left = |in_a: f64| giver.set_v - self.volts(in_a) - in_a * giver.lead_ohm;
        let most_a = giver.output_a.max(0.0);
        let in_a = if left(0.0) <= 0.0 {
            0.0
        } else if left(most_a) >= 0.0 {
            most_a
        } else {
            // Straight on either side of the loads' current.
            let knee = self.loads_a.clamp(0.0, most_a);
            let (from, to) = if left(knee) > 0.0 {
                (knee, most_a)
            } else {
                (0.0, knee)
            };
            let (high, low) = (left(from), left(to));
            from + (to - from) * high / (high - low)
        };
        (in_a, self.volts(in_a))
    }
}
