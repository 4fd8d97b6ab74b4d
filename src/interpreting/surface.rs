//! Surface charge: the tenths of a volt that a battery just charged still shows.
//!
//! # Limits
//! How many carry it, and how much, is judgement; it is taken as gone at once under
//! a load.

use crate::bench::Draws;

/// Share of batteries that were read soon after they were charged.
const SHARE: f64 = 0.12;
/// The most it adds at rest, volts.
const MOST_V: f64 = 0.8;

/// Share of batteries that were read with their charger still on (judgement).
const ON_CHARGER: f64 = 0.04;
/// The most a charger holds a battery above its own volts: 16.5 V of a stator without
/// a regulator, over 12.6 V.
pub(super) const CHARGING_V: f64 = 3.9;

/// What to do before its volts are judged.
pub(super) const OFF_FIRST: &str = "take the charger off, stop the engine, let it rest for an hour, and read its volts at rest and under the load again";
/// The same of a surface charge alone.
const TAKE_OFF: &str = "take the surface charge off: a 55 W lamp for three minutes, lamp off, ten minutes' rest, and read its volts again";

/// Volts that one carries beyond those of its charge. Most carry none; a charger that
/// is still on lifts it by what it holds; of the others few carry much, for it decays.
pub(super) fn carried_v(draws: &mut Draws) -> f64 {
    if draws.chance(ON_CHARGER) {
        return draws.between(0.0, CHARGING_V);
    }
    if !draws.chance(SHARE) {
        return 0.0;
    }
    let share = draws.between(0.0, 1.0);
    MOST_V * share * share
}

/// Volts from which no charger that holds is behind them: the battery boils. No
/// charger of its voltage gives more than that.
const BOILS_V: f64 = 15.0;
const MOST_CHARGER_V: f64 = 18.0;

/// What stands above a full battery, where nothing else was read: not its own volts.
pub(super) fn hides(least_v: f64, full_v: f64) -> Option<String> {
    if least_v <= full_v || least_v > MOST_CHARGER_V {
        return None;
    }
    Some(if least_v < BOILS_V {
        "is surface charge of a battery just charged, or of a charger still on; it says nothing of the battery yet".to_owned()
    } else {
        "is of a charger still on, and more than one that holds gives: surface charge is less; take it off before the battery boils, it says nothing of the battery yet".to_owned()
    })
}

/// Volts at rest that are above those of a full battery, the meter's error taken off.
fn above(least_v: Option<f64>, full_v: f64) -> Option<f64> {
    least_v.filter(|least| *least > full_v)
}

/// What takes it off, where some was read.
pub(super) fn taken_off(least_v: Option<f64>, full_v: f64) -> Option<String> {
    above(least_v, full_v).map(|_| TAKE_OFF.to_owned())
}

/// That volts above those of a full battery say nothing of its charge.
pub(super) fn note(rest_v: Option<f64>, least_v: Option<f64>, full_v: f64) -> Option<String> {
    let read = above(least_v, full_v).and(rest_v)?;
    Some(format!(
        "No battery rests above {full_v:.2} V for long: {read:.2} V is surface charge of one just charged, or still on a charger, and hides what lies beneath."
    ))
}
