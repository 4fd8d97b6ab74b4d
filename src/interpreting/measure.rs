//! What can be read of a part on the bench.

use crate::quantities::print::alike;
use crate::quantities::{
    Amps, CubicMetresPerSecond, Ohms, Pascals, RadiansPerSecond, Seconds, Volts,
};

/// What is read in a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Measure {
    /// Volts at the part's own terminals; across a fuse or switch from wire to wire.
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
    /// Ohms of the pull winding of a shift solenoid.
    PullOhms,
    /// Volts across a fuse in the lead, or across a contact under a load.
    Millivolts,
    /// Flow, m3/s: only whether there is any counts.
    Flow,
    /// Largest current of the start or of a stroke, amperes.
    Peak,
    /// Time until the current is within a tenth of its final value, seconds.
    Settling,
    /// Volts at which a relay just closes.
    PullIn,
    /// Amperes through a relay's contacts.
    LoadAmps,
    /// Ac volts across the battery's posts.
    AcVolts,
    /// Ohms from a winding to ground.
    ToGround,
    /// Ohms from a rectifier's plus to its ground, the higher way round.
    PlusToGround,
    /// Diode range, red lead on the anode, volts.
    Forward,
    /// Diode range, leads swapped, volts.
    Backward,
    /// Whether it clicks or moves: 1 or 0.
    Moves,
}

/// From here up a hand meter shows no more than `open`, ohms.
pub const OPEN_OHM: f64 = 1e6;
/// From here up a meter's diode range shows no more than `open`, volts.
pub const OPEN_V: f64 = 2.0;

impl Measure {
    /// How many there are.
    pub const COUNT: usize = 19;
    /// All of them.
    pub const ALL: [Self; Self::COUNT] = [
        Self::Volts,
        Self::Amps,
        Self::Speed,
        Self::Pressure,
        Self::PostVolts,
        Self::Ohms,
        Self::PullOhms,
        Self::Millivolts,
        Self::Flow,
        Self::Peak,
        Self::Settling,
        Self::PullIn,
        Self::LoadAmps,
        Self::AcVolts,
        Self::ToGround,
        Self::PlusToGround,
        Self::Forward,
        Self::Backward,
        Self::Moves,
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
            Self::PullOhms => "ohms of the pull winding",
            Self::Millivolts => "millivolts across the fuse or contact",
            Self::Flow => "flow",
            Self::Peak => "largest current of the start",
            Self::Settling => "settling time of the current",
            Self::PullIn => "volts at which it just closes",
            Self::LoadAmps => "current through its contacts",
            Self::AcVolts => "ac volts at the posts",
            Self::ToGround => "ohms to ground",
            Self::PlusToGround => "ohms from plus to ground",
            Self::Forward => "diode range, one way",
            Self::Backward => "diode range, leads swapped",
            Self::Moves => "a click or move",
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
            Self::PullOhms => "pull-ohms",
            Self::Millivolts => "millivolts",
            Self::Flow => "flow",
            Self::Peak => "peak",
            Self::Settling => "settling",
            Self::PullIn => "pull-in",
            Self::LoadAmps => "load-amps",
            Self::AcVolts => "ac-volts",
            Self::ToGround => "ohms-to-ground",
            Self::PlusToGround => "plus-to-ground",
            Self::Forward => "diode",
            Self::Backward => "diode-swapped",
            Self::Moves => "moves",
        }
    }

    /// Whether it is ohms, which spread over decades and may be `open`.
    pub const fn is_ohms(self) -> bool {
        matches!(
            self,
            Self::Ohms | Self::PullOhms | Self::ToGround | Self::PlusToGround
        )
    }

    /// Whether it was read on a diode range, which may show `open`.
    pub const fn is_diode_range(self) -> bool {
        matches!(self, Self::Forward | Self::Backward)
    }

    /// Whether it is read with the power off.
    pub const fn is_unpowered(self) -> bool {
        self.is_ohms() || self.is_diode_range()
    }

    /// Whether only yes or no counts.
    pub const fn is_yes_or_no(self) -> bool {
        matches!(self, Self::Flow | Self::Moves)
    }

    /// What a meter shows that is open, in base units; none where it shows a figure.
    pub const fn open(self) -> Option<f64> {
        if self.is_ohms() {
            Some(OPEN_OHM)
        } else if self.is_diode_range() {
            Some(OPEN_V)
        } else {
            None
        }
    }

    /// A figure of it, printed.
    pub fn print(self, value: f64) -> String {
        if self.open().is_some_and(|open| value >= open) {
            return "open".to_owned();
        }
        match self {
            Self::Volts
            | Self::PostVolts
            | Self::Millivolts
            | Self::PullIn
            | Self::AcVolts
            | Self::Forward
            | Self::Backward => Volts::new(value).to_string(),
            Self::Amps | Self::Peak | Self::LoadAmps if value == 0.0 => "0 A".to_owned(),
            Self::Amps | Self::Peak | Self::LoadAmps => {
                alike(Amps::new(value), Amps::new(value.max(0.1)))
            }
            Self::Speed => RadiansPerSecond::new(value).to_string(),
            Self::Pressure => Pascals::new(value).to_string(),
            Self::Ohms | Self::PullOhms | Self::ToGround | Self::PlusToGround => {
                alike(Ohms::new(value), Ohms::new(value.max(1.0)))
            }
            Self::Flow => CubicMetresPerSecond::new(value).to_string(),
            Self::Settling => Seconds::new(value).to_string(),
            Self::Moves => (if value > 0.0 { "yes" } else { "no" }).to_owned(),
        }
    }
}
