//! What was read, and how the part was run while it was read.

use crate::devices::LinkModel;
use crate::quantities::print::alike;
use crate::quantities::{
    Amps, CubicMetresPerSecond, Ohms, Pascals, RadiansPerSecond, Seconds, Volts,
};

/// What is read in a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Measure {
    /// Volts at the part's own terminals.
    Volts,
    /// Amperes through the part.
    Amps,
    /// Speed, rad/s.
    Speed,
    /// Pressure rise, pascals.
    Pressure,
    /// Volts at the battery's posts while the part runs.
    PostVolts,
    /// Ohms across the part, off the harness.
    Ohms,
    /// Volts across a fuse in the lead (pump) or a loaded contact (relay).
    Millivolts,
    /// Flow, m3/s: only whether there is any counts.
    Flow,
    /// Largest current of the start, amperes.
    Peak,
    /// Time until the current is within a tenth of its final value, seconds.
    Settling,
    /// Volts at which a relay just closes.
    PullIn,
}

impl Measure {
    /// How many there are.
    pub const COUNT: usize = 11;
    /// All of them.
    pub const ALL: [Self; Self::COUNT] = [
        Self::Volts,
        Self::Amps,
        Self::Speed,
        Self::Pressure,
        Self::PostVolts,
        Self::Ohms,
        Self::Millivolts,
        Self::Flow,
        Self::Peak,
        Self::Settling,
        Self::PullIn,
    ];

    /// What it is called: `volts at the part`.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Volts => "volts at the part",
            Self::Amps => "current",
            Self::Speed => "speed",
            Self::Pressure => "pressure",
            Self::PostVolts => "volts at the battery's posts while it runs",
            Self::Ohms => "ohms across the part, unplugged",
            Self::Millivolts => "millivolts across the fuse or contact",
            Self::Flow => "flow",
            Self::Peak => "largest current of the start",
            Self::Settling => "settling time of the current",
            Self::PullIn => "volts at which it just closes",
        }
    }

    /// The option it is given with.
    pub const fn option(self) -> &'static str {
        match self {
            Self::Volts => "volts",
            Self::Amps => "amps",
            Self::Speed => "speed",
            Self::Pressure => "pressure",
            Self::PostVolts => "running-battery-volts",
            Self::Ohms => "ohms",
            Self::Millivolts => "millivolts",
            Self::Flow => "flow",
            Self::Peak => "peak",
            Self::Settling => "settling",
            Self::PullIn => "pull-in",
        }
    }

    /// A figure of it, printed.
    pub fn print(self, value: f64) -> String {
        match self {
            Self::Volts | Self::PostVolts | Self::Millivolts | Self::PullIn => {
                Volts::new(value).to_string()
            }
            Self::Amps | Self::Peak if value == 0.0 => "0 A".to_owned(),
            Self::Amps | Self::Peak => alike(Amps::new(value), Amps::new(value.max(0.1))),
            Self::Speed => RadiansPerSecond::new(value).to_string(),
            Self::Pressure => Pascals::new(value).to_string(),
            Self::Ohms if value >= OPEN_OHM => "open".to_owned(),
            Self::Ohms => alike(Ohms::new(value), Ohms::new(value.max(1.0))),
            Self::Flow => CubicMetresPerSecond::new(value).to_string(),
            Self::Settling => Seconds::new(value).to_string(),
        }
    }
}

/// From here up a hand meter shows no more than `open`, ohms.
pub const OPEN_OHM: f64 = 1e6;

/// How the part was run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RunKind {
    /// It ran dry: reported, never asked for.
    Dry,
    /// Filled, its outlet open.
    Wet,
    /// Against its working pressure.
    AtPressure,
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

    /// How it was run: as said, else against pressure where one was read.
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
