//! What a class of charging system gives by its speed, and the volts it holds.

use super::Measure;
use super::evidence::Run;
use crate::bench::ChargerPart;
use crate::quantities::{Amps, Band, RadiansPerSecond};
use crate::tables::OutOfTable;
use crate::tables::devices::{charger_defaults, charging_output};

/// Engine speeds anyone might have run it at where none was given, rpm.
const ANY_SPEED: (f64, f64) = (700.0, 3000.0);
/// Steps of speed between.
const SPEEDS: usize = 12;
/// What a class of system gives at each speed it may have run at.
pub(super) fn outputs(part: &ChargerPart, run: &Run) -> Result<Vec<Band<f64>>, OutOfTable> {
    let rpm = std::f64::consts::TAU / 60.0;
    let speeds = match run.get(Measure::Speed) {
        Some(read) => vec![read],
        None => (0..=SPEEDS)
            .map(|step| ANY_SPEED.0 + (ANY_SPEED.1 - ANY_SPEED.0) * step as f64 / SPEEDS as f64)
            .map(|speed| speed * rpm)
            .collect(),
    };
    let most = part.model.output;
    let at = |speed: f64| {
        let of = |rating| output_at(rating, speed);
        Ok(Band {
            low: of(most.low)?,
            typical: of(most.typical)?,
            high: of(most.high)?,
        })
    };
    speeds.into_iter().map(at).collect()
}

/// Output of a system, also below the least speed its manual lists.
fn output_at(rating: Amps, speed: f64) -> Result<f64, OutOfTable> {
    let at = |rpm: f64| {
        let speed = RadiansPerSecond::new(rpm * std::f64::consts::TAU / 60.0);
        charging_output(rating, speed).map(|found| found.value.si())
    };
    let rpm = speed * 60.0 / std::f64::consts::TAU;
    match at(rpm.max(700.0)) {
        Ok(amps) => Ok(amps),
        // Idle is not listed for every system: a third of 1000 rpm (judgement).
        Err(_) => {
            Ok(at(1000.0)? * (1.0 / 3.0 + (rpm - 700.0).max(0.0) / 300.0 * 2.0 / 3.0).min(1.0))
        }
    }
}

/// Volts a sound one holds: what the manuals accept of any, or the file says.
pub(super) fn held(part: &ChargerPart) -> Result<Band<f64>, OutOfTable> {
    if !part.regulated {
        // About 16.5 V were seen at full speed with the battery charged.
        let seen = part.model.set_point.typical.si();
        return Ok(Band {
            low: seen - 1.0,
            typical: seen,
            high: seen + 1.0,
        });
    }
    let own = part.model.set_point;
    let usual = charger_defaults()?.value.set_point;
    let least = usual.low.si().min(own.low.si());
    let most = usual.high.si().max(own.high.si());
    Ok(Band {
        low: least,
        typical: own.typical.si(),
        high: most,
    })
}
