//! How likely a reading is where the model shows a figure.
//!
//! A normal curve around the figure. Its variance is that of the meter's error,
//! spread evenly within its reach, plus that of the model's own spread, taken
//! alike: `(reach^2 + (model x figure)^2) / 3`. Ohms and times are compared by
//! their logarithms, since they spread over decades.

use super::Measure;
use crate::bench::Rig;
use crate::quantities::Band;
use crate::tables::OutOfTable;
use crate::tables::meters::{Accuracy, reading_spread};

/// Ohms added before the logarithm: what a hand meter no longer resolves.
const LEAST_OHM: f64 = 0.1;
/// Seconds added before the logarithm.
const LEAST_S: f64 = 0.005;
/// Spread of `yes` (1) and `no` (0): one in some three hundred is mistaken.
const MISTAKEN_SD: f64 = 0.3;
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
                Measure::Amps | Measure::LoadAmps => ("amps", rig.amps_error, 1.0),
                Measure::Ohms | Measure::PullOhms | Measure::ToGround | Measure::PlusToGround => {
                    ("ohms", rig.ohms_error, 1.0)
                }
                Measure::AcVolts => ("ac volts", rig.volts_error, 1.0),
                Measure::Forward | Measure::Backward => ("diode range", rig.volts_error, 1.0),
                Measure::Millivolts => ("millivolts", rig.millivolts_error, 1.0),
                Measure::Speed => ("speed", rig.volts_error, RPM),
                Measure::Pressure => ("pressure", rig.volts_error, 1000.0),
                Measure::Peak => ("peak", rig.amps_error, 1.0),
                Measure::Settling => ("settling", rig.volts_error, 0.001),
                Measure::Flow | Measure::Moves => continue,
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

    /// A reading within the meter's error alone, in base units.
    pub(super) fn around(&self, measure: Measure, read: f64) -> Band<f64> {
        let reach = self.reach(measure, read);
        Band {
            low: read - reach,
            typical: read,
            high: read + reach,
        }
    }

    /// Standard deviation around a figure, on the scale of [`scaled`].
    pub(super) fn deviation(&self, measure: Measure, figure: f64) -> f64 {
        if measure.is_yes_or_no() {
            return MISTAKEN_SD;
        }
        let (_, model) = self.spreads[measure as usize];
        let held = measure.open().map_or(figure, |open| figure.min(open));
        let reach = self.reach(measure, held);
        let own = ((reach * reach + (model * held).powi(2)) / 3.0).sqrt();
        match measure {
            _ if measure.is_ohms() => own / (held + LEAST_OHM),
            Measure::Settling => own / (held + LEAST_S),
            _ => own,
        }
    }

    /// How well a reading goes with nothing at all, 1 for a reading of nothing.
    pub(super) fn as_nothing(&self, measure: Measure, read: f64) -> f64 {
        let off = read / self.deviation(measure, 0.0);
        (-0.5 * off * off).exp()
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
    let value = match measure.open() {
        Some(open) => value.clamp(0.0, open),
        None => value,
    };
    match measure {
        _ if measure.is_ohms() => (value + LEAST_OHM).ln(),
        _ if measure.is_yes_or_no() => f64::from(u8::from(value > 0.0)),
        Measure::Settling => (value.max(0.0) + LEAST_S).ln(),
        _ => value,
    }
}

/// The figure at a place on that scale.
pub(super) fn unscaled(measure: Measure, place: f64) -> f64 {
    match measure {
        _ if measure.is_ohms() => (place.exp() - LEAST_OHM).max(0.0),
        Measure::Settling => (place.exp() - LEAST_S).max(0.0),
        _ => place,
    }
}
