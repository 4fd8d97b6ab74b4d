//! How likely a reading is where the model shows a figure.
//!
//! A normal curve around the figure. Its variance is that of the meter's error,
//! spread evenly within its reach, plus that of the model's own spread, taken
//! alike: `(reach^2 + (model x figure)^2) / 3`. Ohms and times are compared by
//! their logarithms, since they spread over decades.

use super::evidence::{Measure, OPEN_OHM};
use crate::bench::Rig;
use crate::tables::OutOfTable;
use crate::tables::meters::{Accuracy, reading_spread};

/// Ohms added before the logarithm: what a hand meter no longer resolves.
const LEAST_OHM: f64 = 0.1;
/// Seconds added before the logarithm.
const LEAST_S: f64 = 0.005;
/// Spread of `stream` (1) and `no stream` (0): one in some three hundred is mistaken.
const STREAM_SD: f64 = 0.3;
/// One rpm, rad/s.
const RPM: f64 = std::f64::consts::TAU / 60.0;

/// Spread of every measure on one rig.
#[derive(Debug, Clone)]
pub(super) struct Kernel {
    spreads: [(Accuracy, f64); Measure::COUNT],
}

impl Kernel {
    pub(super) fn of(rig: &Rig) -> Result<Self, OutOfTable> {
        let mut spreads = [(rig.volts_error, 0.0); Measure::COUNT];
        for measure in Measure::ALL {
            let (row, of_rig, unit) = match measure {
                Measure::Volts | Measure::PostVolts | Measure::PullIn => {
                    ("volts", rig.volts_error, 1.0)
                }
                Measure::Amps => ("amps", rig.amps_error, 1.0),
                Measure::Ohms => ("ohms", rig.ohms_error, 1.0),
                Measure::Millivolts => ("millivolts", rig.millivolts_error, 1.0),
                Measure::Speed => ("speed", rig.volts_error, RPM),
                Measure::Pressure => ("pressure", rig.volts_error, 1000.0),
                Measure::Peak => ("peak", rig.amps_error, 1.0),
                Measure::Settling => ("settling", rig.volts_error, 0.001),
                Measure::Flow => continue,
            };
            let found = reading_spread(row)?.value;
            let meter = found.gauge.map_or(of_rig, |gauge| Accuracy {
                plus: gauge.plus * unit,
                ..gauge
            });
            spreads[measure as usize] = (meter, found.model.si());
        }
        Ok(Self { spreads })
    }

    /// Half width of the meter's error alone, in base units.
    pub(super) fn reach(&self, measure: Measure, value: f64) -> f64 {
        let (meter, _) = self.spreads[measure as usize];
        meter.share.si() * value.abs() + meter.plus
    }

    /// Standard deviation around a figure, on the scale of [`scaled`].
    pub(super) fn deviation(&self, measure: Measure, figure: f64) -> f64 {
        if measure == Measure::Flow {
            return STREAM_SD;
        }
        let (_, model) = self.spreads[measure as usize];
        let held = if measure == Measure::Ohms {
            figure.min(OPEN_OHM)
        } else {
            figure
        };
        let reach = self.reach(measure, held);
        let own = ((reach * reach + (model * held).powi(2)) / 3.0).sqrt();
        match measure {
            Measure::Ohms => own / (held + LEAST_OHM),
            Measure::Settling => own / (held + LEAST_S),
            _ => own,
        }
    }

    /// Density of reading `read` where the model shows `figure`, the curve
    /// `wider` times as wide; none where the model says nothing.
    pub(super) fn density(&self, measure: Measure, read: f64, figure: f64, wider: f64) -> f64 {
        let deviation = self.deviation(measure, figure) * wider;
        let off = (scaled(measure, read) - scaled(measure, figure)) / deviation;
        (-0.5 * off * off).exp() / (deviation * std::f64::consts::TAU.sqrt())
    }
}

/// A figure on the scale it is compared on.
pub(super) fn scaled(measure: Measure, value: f64) -> f64 {
    match measure {
        Measure::Ohms => (value.clamp(0.0, OPEN_OHM) + LEAST_OHM).ln(),
        Measure::Settling => (value.max(0.0) + LEAST_S).ln(),
        Measure::Flow => f64::from(u8::from(value > 0.0)),
        _ => value,
    }
}

/// The figure at a place on that scale.
pub(super) fn unscaled(measure: Measure, place: f64) -> f64 {
    match measure {
        Measure::Ohms => (place.exp() - LEAST_OHM).max(0.0),
        Measure::Settling => (place.exp() - LEAST_S).max(0.0),
        _ => place,
    }
}
