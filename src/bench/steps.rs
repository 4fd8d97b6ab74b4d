//! A procedure: cautions, steps and expected readings, before anyone shows them.

use super::COVERAGE;
use super::circuit_loop::Settled;
use crate::circuit::TerminalId;
use crate::findings::{Assumed, Finding};
use crate::quantities::print::alike;
use crate::quantities::{Amps, Band, Ohms, Volts};
use crate::sources::Source;
use crate::tables::cautions::Caution;

/// What a reading is in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// Volts.
    Volts,
    /// Amperes.
    Amps,
    /// Ohms.
    Ohms,
}

impl Unit {
    /// Its sign.
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Volts => "V",
            Self::Amps => "A",
            Self::Ohms => "ohm",
        }
    }

    /// A figure of it, printed with the prefix that suits `like`.
    fn print(self, value: f64, like: f64) -> String {
        match self {
            // A hand meter shows no microvolts.
            Self::Volts => alike(Volts::new(value), Volts::new(like.max(1e-3))),
            Self::Amps => alike(Amps::new(value), Amps::new(like)),
            // On its lowest range a hand meter shows ohms, never milliohms.
            Self::Ohms => alike(Ohms::new(value), Ohms::new(like.max(1.0))),
        }
    }
}

/// Where the meter's leads or its clamp go for a reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Jack {
    /// Volts jack, 20 V range.
    Volts,
    /// Volts jack, 200 mV range.
    Millivolts,
    /// Ohms, lowest range that shows a figure, leads nulled first.
    Ohms,
    /// Volts jack, ac.
    AcVolts,
    /// Diode range.
    Diode,
    /// The 10 A jack, in the lead.
    TenAmps,
    /// A 40 to 60 A clamp around one lead.
    Clamp,
    /// A 400 to 600 A clamp around one cable.
    LargeClamp,
}

impl Jack {
    /// The word on the screen and in JSON.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Volts => "volts",
            Self::Millivolts => "millivolts",
            Self::Ohms => "ohms",
            Self::AcVolts => "ac volts",
            Self::Diode => "diode range",
            Self::TenAmps => "10 A jack",
            Self::Clamp => "clamp",
            Self::LargeClamp => "large clamp",
        }
    }

    /// What it reads in.
    pub const fn unit(self) -> Unit {
        match self {
            Self::Volts | Self::Millivolts | Self::AcVolts | Self::Diode => Unit::Volts,
            Self::Ohms => Unit::Ohms,
            Self::TenAmps | Self::Clamp | Self::LargeClamp => Unit::Amps,
        }
    }
}

/// What a reading is in a log, which `interpret` or `trace` reads.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Logged {
    /// Volts of the bench battery, nothing connected.
    AtRest,
    /// A quantity of the part, in a run where it takes one.
    OfPart(Quantity, Option<Run>),
    /// Volts lost between two terminals in a state of the circuit.
    Lost {
        /// Name of the state.
        state: String,
        /// The terminal nearer to plus.
        at: TerminalId,
        /// The other.
        to: TerminalId,
    },
}

/// A quantity of a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    /// At its own terminals.
    Volts,
    /// Through it.
    Amps,
    /// Across it.
    Ohms,
    /// At which a relay closes.
    PullIn,
    /// On the diode range.
    Forward,
    /// From a winding to ground.
    ToGround,
    /// From a rectifier's plus to ground.
    PlusToGround,
}

/// How a part runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Run {
    /// A pump in its liquid.
    Wet,
    /// A coil on.
    On,
}

/// A reading to expect. An end that is `None` is open.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// What is read, and where: `volts at the pump`.
    pub quantity: String,
    /// Lowest of a sound part.
    pub low: Option<f64>,
    /// The typical part, read without error.
    pub typical: Option<f64>,
    /// Highest of a sound part.
    pub high: Option<f64>,
    /// Unit of the three.
    pub unit: Unit,
    /// Share of sound parts whose reading lies inside; none where the ends are limits.
    pub coverage: Option<f64>,
    /// Whether a reading above the highest proves nothing: a sound part may show it too.
    pub above_proves_nothing: bool,
    /// What it is in a log; none where no command reads it.
    pub logged: Option<Logged>,
}

impl Reading {
    /// A computed range.
    pub fn computed(quantity: &str, band: Band<f64>, unit: Unit) -> Self {
        Self {
            quantity: quantity.to_owned(),
            low: Some(band.low),
            typical: Some(band.typical),
            high: Some(band.high),
            unit,
            coverage: Some(COVERAGE),
            above_proves_nothing: false,
            logged: None,
        }
    }

    /// Says that a reading above the highest proves nothing.
    #[must_use]
    pub fn above_proves_nothing(mut self) -> Self {
        self.above_proves_nothing = true;
        self
    }

    /// Says what it is in a log.
    #[must_use]
    pub fn logged(mut self, as_what: Logged) -> Self {
        self.logged = Some(as_what);
        self
    }

    /// At least so much.
    pub fn at_least(quantity: &str, low: f64, unit: Unit) -> Self {
        Self {
            quantity: quantity.to_owned(),
            low: Some(low),
            typical: None,
            high: None,
            unit,
            coverage: None,
            above_proves_nothing: false,
            logged: None,
        }
    }

    /// At most so much.
    pub fn at_most(quantity: &str, high: f64, unit: Unit) -> Self {
        Self {
            low: None,
            high: Some(high),
            ..Self::at_least(quantity, high, unit)
        }
    }

    /// The range in words: `2.40 A to 4.90 A, typically 3.50 A`.
    pub fn range_words(&self) -> String {
        let print = |value| self.unit.print(value, self.largest());
        match (self.low, self.typical, self.high) {
            (Some(low), Some(typical), Some(high)) => format!(
                "{} to {}, typically {}",
                print(low),
                print(high),
                print(typical)
            ),
            (Some(low), _, None) => format!("over {}", print(low)),
            (None, _, Some(high)) => format!("under {}", print(high)),
            _ => String::new(),
        }
    }

    /// The unit to read in, with the prefix of the printed range.
    pub fn unit_words(&self) -> String {
        let printed = self.unit.print(self.largest(), self.largest());
        printed
            .split_once(' ')
            .map_or_else(String::new, |(_, unit)| unit.to_owned())
    }

    fn largest(&self) -> f64 {
        self.high.or(self.low).unwrap_or(0.0)
    }
}

/// One step.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Step {
    /// What to do.
    pub action: String,
    /// Cautions of this step, shown before it.
    pub cautions: Vec<Caution>,
    /// Where the meter goes, in the order of the readings; empty where none is taken.
    pub meter: Vec<Jack>,
    /// What the meter should show.
    pub expect: Vec<Reading>,
    /// What else should be seen or heard.
    pub signs: Vec<String>,
    /// What to know for the reading: figures to hold it against.
    pub notes: Vec<String>,
    /// What a reading outside means.
    pub outside: Vec<String>,
    /// When to stop at once.
    pub stop_if: Option<String>,
}

impl Step {
    /// Starts a step.
    pub fn new(action: impl Into<String>) -> Self {
        Self {
            action: action.into(),
            ..Self::default()
        }
    }

    /// Adds cautions.
    #[must_use]
    pub fn cautions(mut self, cautions: impl IntoIterator<Item = Caution>) -> Self {
        self.cautions.extend(cautions);
        self
    }

    /// Says where the meter goes.
    #[must_use]
    pub fn meter(mut self, jack: Jack) -> Self {
        if !self.meter.contains(&jack) {
            self.meter.push(jack);
        }
        self
    }

    /// Where the meter goes, in words; none where no reading is taken.
    pub fn meter_words(&self) -> Option<String> {
        let words: Vec<&str> = self.meter.iter().map(|jack| jack.word()).collect();
        (!words.is_empty()).then(|| words.join(", then "))
    }

    /// Adds an expected reading.
    #[must_use]
    pub fn expect(mut self, reading: Reading) -> Self {
        self.expect.push(reading);
        self
    }

    /// Adds what should be seen or heard.
    #[must_use]
    pub fn sign(mut self, text: impl Into<String>) -> Self {
        self.signs.push(text.into());
        self
    }

    /// Adds what to know for the reading.
    #[must_use]
    pub fn note(mut self, text: impl Into<String>) -> Self {
        self.notes.push(text.into());
        self
    }

    /// Adds what a reading outside means.
    #[must_use]
    pub fn outside(mut self, text: impl Into<String>) -> Self {
        self.outside.push(text.into());
        self
    }

    /// Says when to stop.
    #[must_use]
    pub fn stop_if(mut self, text: impl Into<String>) -> Self {
        self.stop_if = Some(text.into());
        self
    }
}

/// What a fault would show on this rig.
#[derive(Debug, Clone, PartialEq)]
pub struct Signature {
    /// What is wrong, in words.
    pub fault: &'static str,
    /// Current of the typical part with that fault, amperes.
    pub current_a: f64,
    /// Volts at the part.
    pub voltage_v: f64,
    /// What tells it from the others.
    pub sign: &'static str,
}

impl Signature {
    /// What a loop with the fault in it settles to; `fed` says whether current
    /// can pass the part at all.
    pub(super) fn of(
        fault: &'static str,
        settled: &Settled,
        fed: bool,
        sign: &'static str,
    ) -> Self {
        Self {
            fault,
            current_a: settled.current_a,
            // Out of circuit the part has the posts' volts across it.
            voltage_v: if fed { settled.part_v } else { settled.post_v },
            sign,
        }
    }
}

/// Bench steps of one part on one rig.
#[derive(Debug, Clone, PartialEq)]
pub struct Procedure {
    /// The part in words.
    pub title: String,
    /// The rig in words.
    pub rig: String,
    /// The main reading in one sentence.
    pub answer: String,
    /// Every caution that applies, before anything is done.
    pub cautions: Vec<Caution>,
    /// The steps, in order.
    pub steps: Vec<Step>,
    /// What faults would show; empty where the steps say it all.
    pub signatures: Vec<Signature>,
    /// What is wrong with the rig.
    pub findings: Vec<Finding>,
    /// Defaults that entered.
    pub assumed: Vec<Assumed>,
    /// Citations.
    pub sources: Vec<Source>,
    /// Seed of the draws.
    pub seed: u64,
    /// Specimens drawn for each reading.
    pub specimens: usize,
}
