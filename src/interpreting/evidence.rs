//! What was read, and how the part was run while it was read.

use super::Measure;
use crate::devices::LinkModel;

/// How the part was run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RunKind {
    /// It ran dry: reported, never asked for.
    Dry,
    /// Filled, its outlet open.
    Wet,
    /// Against its working pressure.
    AtPressure,
    /// Coil, switch or breaker on.
    On,
    /// Coil, switch or breaker off.
    Off,
}

/// Readings of one run.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Run {
    /// How it was run, where that was said.
    pub kind: Option<RunKind>,
    /// What was read, in base units.
    pub readings: Vec<(Measure, f64)>,
}

impl Run {
    /// What was read of a measure.
    pub fn get(&self, measure: Measure) -> Option<f64> {
        let found = self.readings.iter().find(|(of, _)| *of == measure);
        found.map(|(_, value)| *value)
    }

    /// Whether a relay, switch or breaker was off in it.
    pub(super) fn is_off(&self) -> bool {
        self.kind == Some(RunKind::Off)
    }

    /// How a pump was run: as said, else against pressure where one was read.
    pub(super) fn kind(&self) -> RunKind {
        let read = self.get(Measure::Pressure).is_some();
        self.kind.unwrap_or(if read {
            RunKind::AtPressure
        } else {
            RunKind::Wet
        })
    }
}

/// Everything that was read of one part.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Evidence {
    /// Volts of the battery at rest.
    pub rest_v: Option<f64>,
    /// The fuse that `Millivolts` were read across, where it is not the rig's.
    pub fuse: Option<LinkModel>,
    /// The runs.
    pub runs: Vec<Run>,
}

impl Evidence {
    /// Every reading of every run.
    pub fn readings(&self) -> impl Iterator<Item = (usize, Measure, f64)> {
        let numbered = self.runs.iter().enumerate();
        numbered.flat_map(|(at, run)| run.readings.iter().map(move |&(of, v)| (at, of, v)))
    }
}
