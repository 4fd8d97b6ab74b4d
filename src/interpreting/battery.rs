//! What a battery with each condition shows: at rest, and under the current read.
//!
//! V = E - I R. Volts at rest follow the signs of `battery-faults`, resistance
//! the multipliers of `battery-factors`; those of worn plates (1.5 times a new one's
//! and up) and of the open cell are judgement.
//!
//! # Limits
//! Readings within the first ten seconds of a load, which takes the surface charge
//! of a battery just charged at once (`surface`). In the boat the load is that of its state
//! where no current was read.

use super::evidence::{Evidence, Run};
use super::family::{Bench, Family, Warned, Weighed, Words, among};
use super::odds::DOUBTED;
use super::specimen::{Brings, Expected, Group, SPECIMENS, Seen, Specimen, normal};
use super::{Estimate, Measure, estimates, surface};
use crate::bench::{Draws, LOAD_TIMES, Refused, Rig};
use crate::quantities::Band;

const WORDS: [Words; 5] = [
    ("healthy", "sound", "is what a sound battery shows"),
    (
        "discharged",
        "discharged",
        "is what an empty one shows; charge it and test again",
    ),
    (
        "shorted-cell",
        "one cell shorted",
        "is two volts short of a whole battery; replace it",
    ),
    (
        "sulphated",
        "sulphated or worn out",
        "is what one shows that falls too far under a load",
    ),
    (
        "open-cell",
        "an open cell or strap",
        "is what one shows that has volts but gives no current; replace it, it can spark inside",
    ),
];

/// The rig's own battery.
pub(super) struct Battery;

impl Family for Battery {
    fn part(&self) -> &'static str {
        "battery"
    }

    fn measures(&self) -> Vec<Measure> {
        vec![Measure::Volts, Measure::PostVolts, Measure::Amps]
    }

    /// Its current is the load it was tried with.
    fn given(&self) -> &'static [Measure] {
        &[Measure::Amps]
    }

    fn asks(&self, _: &Evidence, is_new: bool) -> Vec<Measure> {
        if is_new {
            vec![Measure::PostVolts]
        } else {
            Vec::new()
        }
    }

    /// A load, where none was tried.
    fn asked(&self, evidence: &Evidence) -> Vec<Run> {
        if evidence.runs.iter().any(|run| posts_v(run).is_some()) {
            return Vec::new();
        }
        vec![Run::default()]
    }

    fn lacks(&self, evidence: &Evidence) -> Option<&'static str> {
        let unloaded = evidence
            .runs
            .iter()
            .any(|run| posts_v(run).is_some() && run.get(Measure::Amps).is_none());
        unloaded.then_some(
            "volts of a battery under load need the load: add `--amps 20A`; volts at rest are `--battery-volts`",
        )
    }

    fn groups(&self, bench: &Bench<'_>, draws: &mut Draws) -> Result<Vec<Group>, Refused> {
        let of = |fault: &Fault| Group {
            condition: fault.word,
            prior: bench.priors.of(fault.word),
            brings: brings(fault, bench.evidence),
            specimens: (0..SPECIMENS)
                .map(|_| specimen(fault, bench, draws))
                .collect(),
        };
        Ok(faults(bench.rig).iter().map(of).collect())
    }

    fn estimates(&self, weighed: &Weighed<'_>, draws: &mut Draws) -> Vec<Estimate> {
        estimates::of_battery(weighed.bench.evidence, weighed.bench.kernel, draws)
    }

    /// A charge and a night's rest part an empty battery from one with a shorted
    /// cell; a load and a rest take the surface charge off.
    fn settles(&self, weighed: &Weighed<'_>) -> Option<String> {
        if is_lifted(weighed.bench) {
            return Some(surface::OFF_FIRST.to_owned());
        }
        let may_be = |condition| weighed.share(condition) >= DOUBTED;
        if may_be("discharged") && may_be("shorted-cell") {
            return Some(CHARGE_AND_REST.to_owned());
        }
        let rig = weighed.bench.rig;
        surface::taken_off(least_at_rest(weighed.bench), rig.open_volts.high.si())
    }

    /// One just charged, or still on its charger, shows volts of neither.
    fn hidden(&self, weighed: &Weighed<'_>) -> Option<String> {
        let Bench {
            rig,
            evidence,
            kernel,
            ..
        } = weighed.bench;
        if is_lifted(weighed.bench) {
            return Some(LIFTED.to_owned());
        }
        if evidence.readings().next().is_some() {
            return None;
        }
        let reach_v = kernel.reach(Measure::PostVolts, evidence.rest_v?);
        surface::hides(evidence.rest_v? - reach_v, rig.open_volts.high.si())
    }

    fn notes(&self, weighed: &Weighed<'_>) -> Result<Vec<String>, Refused> {
        let Bench { rig, evidence, .. } = weighed.bench;
        let is_unknown = |run: &Run| run.get(Measure::Amps).is_none();
        let unknown = evidence.runs.iter().any(is_unknown);
        let aboard = rig.aboard.as_ref().filter(|_| unknown);
        let note = aboard.map(|aboard| {
            format!(
                "Its load was taken as {} to {} times the {} that the circuit takes in `{}`: the current by a large clamp, as `--amps`, says more.",
                LOAD_TIMES.low, LOAD_TIMES.high, aboard.others.typical, aboard.state
            )
        });
        let least_v = least_at_rest(weighed.bench);
        let fresh = surface::note(evidence.rest_v, least_v, rig.open_volts.high.si());
        Ok(note.into_iter().chain(fresh).collect())
    }

    fn cautions(&self) -> Warned {
        (&["battery"], &["vapour"])
    }

    fn is_fed(&self) -> bool {
        false
    }

    fn words(&self, condition: &str) -> (&'static str, &'static str) {
        among(&WORDS, condition)
    }

    fn name(&self, measure: Measure) -> &'static str {
        match measure {
            Measure::Volts | Measure::PostVolts => "volts at the posts under load",
            _ => measure.words(),
        }
    }

    fn how_aboard(&self, measure: Measure) -> Option<&'static str> {
        (measure == Measure::PostVolts).then_some("the volts at its posts in this state")
    }

    fn how(&self, measure: Measure) -> Option<&'static str> {
        (measure == Measure::PostVolts).then_some(
            "the volts at its posts under a load: a 55 W lamp, or half its cold-cranking amperes",
        )
    }
}

const fn band(low: f64, typical: f64, high: f64) -> Band<f64> {
    Band { low, typical, high }
}

/// A condition: volts at rest, and factor on the resistance of a sound one.
struct Fault {
    word: &'static str,
    rest_v: Band<f64>,
    times: Band<f64>,
    /// Whether it may be emptied to the last.
    empties: bool,
    /// Whether more than one of its cells may be shorted.
    loses_cells: bool,
    /// Volts below and above its range from which a surprise is hardly one any
    /// more: a sound battery never rests at 6 V, a flat one may (judgement).
    reach_v: (f64, f64),
}

/// Volts that rise under a load.
const LIFTED: &str = "is more under a load than at rest, which no battery does: a charger or a running engine still feeds it";

/// Least volts at rest, the meter's error taken off.
fn least_at_rest(bench: &Bench<'_>) -> Option<f64> {
    let reach_v = |read| bench.kernel.reach(Measure::PostVolts, read);
    bench.evidence.rest_v.map(|read| read - reach_v(read))
}

/// Whether the posts stood higher under a load than at rest, the meter's error allowed.
fn is_lifted(bench: &Bench<'_>) -> bool {
    let Some(rest_v) = bench.evidence.rest_v else {
        return false;
    };
    let reach_v = |read| bench.kernel.reach(Measure::PostVolts, read);
    let is_above = |posts_v: f64| posts_v - reach_v(posts_v) > rest_v + reach_v(rest_v);
    bench.evidence.runs.iter().filter_map(posts_v).any(is_above)
}

const CHARGE_AND_REST: &str = "charge it for some hours in the open air while somebody is by, off at once when it gets warm or smells; let it rest for some hours and read its volts again: an empty one is back over 12.4 V, one with a shorted cell stays two volts short";
/// The most that is left under a load that a battery does not bear (judgement).
const COLLAPSED_V: f64 = 1.0;
/// The most that is shown at rest, volts.
const MOST_V: f64 = 16.0;
/// Share of discharged batteries that were emptied to the last, and what they
/// show at rest (judgement): below 11.3 V down to where cells begin to reverse.
const EMPTIED: f64 = 0.2;
const EMPTIED_V: Band<f64> = band(9.0, 11.2, 11.6);
/// Share of those that were left on their load for days, and how far they fall
/// (judgement): cells reverse one by one, down to almost nothing.
const LEFT_ON: f64 = 0.25;
const LEFT_ON_V: (f64, f64) = (1.0, 11.0);
/// Share of batteries with a shorted cell that have a second one, and with a second
/// that have a third (judgement).
const ANOTHER_CELL: f64 = 0.1;
/// What each takes, volts.
const CELL_V: f64 = 2.1;
/// Weight left to a battery beyond the reach of its condition.
const BEYOND: f64 = 1e-3;

/// Ends of a range so many times apart are drawn even in decades: worn plates add
/// a little as often as much.
const DECADES_FROM: f64 = 10.0;

impl Fault {
    /// Weight of a battery that was read at rest as it was.
    fn reaches(&self, rest_v: Option<f64>) -> f64 {
        let (below, above) = self.reach_v;
        let ends = (self.rest_v.low - below)..=(self.rest_v.high + above);
        if rest_v.is_none_or(|volts| ends.contains(&volts)) {
            1.0
        } else {
            BEYOND
        }
    }

    /// Volts that a second and a third shorted cell take.
    fn lost_v(&self, draws: &mut Draws) -> f64 {
        if !self.loses_cells || !draws.chance(ANOTHER_CELL) {
            return 0.0;
        }
        if draws.chance(ANOTHER_CELL) {
            2.0 * CELL_V
        } else {
            CELL_V
        }
    }

    fn draw_times(&self, draws: &mut Draws) -> f64 {
        let Band { low, high, .. } = self.times;
        if high >= DECADES_FROM * low {
            return draws.decades(low, high);
        }
        draws.of(self.times)
    }
}

fn faults(rig: &Rig) -> [Fault; 5] {
    let fault = |word, rest_v, times, reach_v| Fault {
        empties: word == "discharged",
        loses_cells: word == "shorted-cell",
        word,
        rest_v,
        times,
        reach_v,
    };
    // Self-discharge ends at nothing.
    let flat = (f64::INFINITY, surface::CHARGING_V);
    let open = rig.open_volts;
    let sound = band(
        open.low.si() - 0.25,
        open.typical.si(),
        open.high.si() + 0.1,
    );
    [
        fault(
            "healthy",
            sound,
            band(0.9, 1.05, 1.4),
            (0.3, surface::CHARGING_V),
        ),
        fault(
            "discharged",
            band(11.3, 12.05, 12.45),
            band(1.2, 2.0, 6.0),
            flat,
        ),
        // A second and a third cell shorted are 2.1 V less each.
        fault(
            "shorted-cell",
            band(10.0, 10.6, 11.0),
            band(1.0, 1.5, 4.0),
            (2.0 * CELL_V, surface::CHARGING_V),
        ),
        fault(
            "sulphated",
            band(11.9, 12.45, 12.8),
            band(1.5, 4.0, 30.0),
            flat,
        ),
        fault(
            "open-cell",
            band(11.5, 12.45, 12.85),
            band(40.0, 1000.0, 40000.0),
            flat,
        ),
    ]
}

/// Volts its cells give, and the density of what was read at rest: some still carry
/// the charger's last tenths, which a load takes at once; some are emptied to the
/// last.
fn drawn_at_rest(
    fault: &Fault,
    rest_v: Option<f64>,
    deviation: f64,
    draws: &mut Draws,
) -> (f64, f64) {
    let carried_v = surface::carried_v(draws);
    let is_emptied = fault.empties && draws.chance(EMPTIED);
    let own = if is_emptied { EMPTIED_V } else { fault.rest_v };
    let lost_v = fault.lost_v(draws);
    let (low, typical, high) = (own.low - lost_v, own.typical - lost_v, own.high - lost_v);
    let expected = if is_emptied && draws.chance(LEFT_ON) {
        Expected::evenly(LEFT_ON_V.0, LEFT_ON_V.1, MOST_V)
    } else {
        Expected::new(low, typical, high, MOST_V)
    };
    expected.given(rest_v.map(|read| read - carried_v), deviation, draws)
}

/// Volts across the posts under a load.
fn posts_v(run: &Run) -> Option<f64> {
    run.get(Measure::Volts).or(run.get(Measure::PostVolts))
}

fn brings(fault: &Fault, evidence: &Evidence) -> Vec<Brings> {
    let of = |read| Brings {
        beyond: fault.reach_v,
        ..Brings::within("volts at rest", Measure::PostVolts, fault.rest_v, read)
    };
    evidence.rest_v.map(of).into_iter().collect()
}

fn specimen(fault: &Fault, bench: &Bench<'_>, draws: &mut Draws) -> Specimen {
    let rest_v = bench.evidence.rest_v;
    let deviation = bench
        .kernel
        .deviation(Measure::PostVolts, rest_v.unwrap_or(0.0));
    let (emf_v, density) = drawn_at_rest(fault, rest_v, deviation, draws);
    let weight = density * fault.reaches(rest_v);
    let ohms = draws.quantity(&bench.rig.battery) * fault.draw_times(draws);
    let runs = bench.runs.iter();
    let seen = |run: &&Run| {
        let read = run.get(Measure::Amps);
        let nominal_a = read.unwrap_or_else(|| bench.rig.battery_load_a(LAMP_A, draws));
        let off = bench.kernel.deviation(Measure::Amps, nominal_a) * normal(draws);
        let load_a = (nominal_a + off).max(0.0);
        let loaded_v = emf_v - load_a * ohms;
        // The load lets go where the battery gives nothing more; what little a bad
        // strap passes still shows.
        let posts = if loaded_v > 0.0 {
            loaded_v
        } else {
            draws.between(0.0, COLLAPSED_V)
        };
        Seen::NOTHING
            .with(Measure::PostVolts, posts)
            .with(Measure::Volts, posts)
    };
    Specimen {
        weight,
        runs: runs.map(seen).collect(),
        winding_ohm: ohms,
    }
}

/// A 55 W lamp: the load to try where none was.
const LAMP_A: f64 = 55.0 / 12.0;
