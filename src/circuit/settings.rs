//! The tables `[boat]`, `[ambient]`, `[limits]` and `[bench]`.

use super::{Given, PartId};
use crate::quantities::{Band, Celsius, Fraction, Metres, Ohms, Volts, WireSize};
use crate::span::Span;

/// What drives the boat; decides which rules are law and which good practice.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Engine {
    /// Outboard: federal electrical rules leave the engine itself out.
    Outboard,
    /// Inboard.
    Inboard,
    /// Sterndrive.
    Sterndrive,
}

/// What it burns.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fuel {
    /// Petrol: vapour, so ignition protection is asked for.
    Petrol,
    /// Diesel.
    Diesel,
}

/// The table `[boat]`.
#[derive(Debug, Clone, PartialEq)]
pub struct Boat {
    /// Kind of drive, if written.
    pub engine: Option<Given<Engine>>,
    /// Fuel, if written.
    pub fuel: Option<Given<Fuel>>,
    /// Nominal voltage; 12 V unless written.
    pub nominal: Volts,
}

impl Boat {
    /// What drives it, if its file says so.
    pub fn drive(&self) -> Option<Engine> {
        self.engine.map(|given| given.value)
    }
}

/// Where a part sits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Place {
    /// Anywhere on the boat outside the engine space.
    Boat,
    /// Under the cowl or in the engine box.
    EngineSpace,
    /// On the bench.
    Bench,
}

impl Place {
    /// The word as files write it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Boat => "boat",
            Self::EngineSpace => "engine-space",
            Self::Bench => "bench",
        }
    }
}

/// The table `[ambient]`: air temperature by place.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ambient {
    /// Default 30 degC.
    pub boat: Option<Given<Band<Celsius>>>,
    /// Default 50 degC.
    pub engine_space: Option<Given<Band<Celsius>>>,
    /// Default 20 degC.
    pub bench: Option<Given<Band<Celsius>>>,
}

impl Ambient {
    /// The same air at every place.
    pub fn everywhere(air: Celsius) -> Self {
        let given = Some(Given::new(Band::exactly(air), Span::default()));
        Self {
            boat: given,
            engine_space: given,
            bench: given,
        }
    }

    /// What is written of a place.
    pub fn given(&mut self, place: Place) -> &mut Option<Given<Band<Celsius>>> {
        match place {
            Place::Boat => &mut self.boat,
            Place::EngineSpace => &mut self.engine_space,
            Place::Bench => &mut self.bench,
        }
    }

    /// Air temperature used at a place.
    pub fn at(&self, place: Place) -> Celsius {
        let (given, default_degc) = match place {
            Place::Boat => (&self.boat, 30.0),
            Place::EngineSpace => (&self.engine_space, 50.0),
            Place::Bench => (&self.bench, 20.0),
        };
        given
            .as_ref()
            .map_or(Celsius::new(default_degc), |band| band.value.typical)
    }
}

/// Which constant the drop rule computes with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DropBasis {
    /// K = 10.75 ohm circular mil per foot.
    Abyc,
    /// 0.0164 ohm mm2 per metre.
    Iso,
    /// The conductor's own resistance at its own temperature.
    Physical,
}

impl DropBasis {
    /// The word as files write it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Abyc => "abyc",
            Self::Iso => "iso",
            Self::Physical => "physical",
        }
    }
}

/// How a fuse is held against its wire.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FuseBasis {
    /// At or above the load's need, at or below the corrected ampacity.
    LoadAnd100,
    /// Up to 150 % of the table value.
    Cfr150,
    /// Up to the corrected ampacity.
    Iso100,
}

impl FuseBasis {
    /// The word as files write it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::LoadAnd100 => "load-and-100",
            Self::Cfr150 => "cfr-150",
            Self::Iso100 => "iso-100",
        }
    }
}

/// The table `[limits]`.
#[derive(Debug, Clone, PartialEq)]
pub struct Limits {
    /// Drop limit of critical loads; default 3 %.
    pub drop_critical: Fraction,
    /// Drop limit of all others; default 10 %.
    pub drop_other: Fraction,
    /// Parts added to the critical ones.
    pub critical: Vec<PartId>,
    /// Constant of the drop rule.
    pub drop_basis: DropBasis,
    /// Rule for fuse against wire.
    pub fuse_basis: FuseBasis,
}

/// How the bench current is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BenchMeter {
    /// A clamp around the lead: nothing in the circuit.
    Clamp,
    /// The ampere jack: meter and its leads in series.
    Jack,
}

/// The table `[bench]`, as far as written.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BenchRig {
    /// Battery part used on the bench.
    pub battery: Option<Given<PartId>>,
    /// Length of each lead, one way.
    pub lead_length: Option<Given<Band<Metres>>>,
    /// Size of the leads.
    pub lead_size: Option<Given<WireSize>>,
    /// Rating of the inline fuse, with the style `blade`.
    pub inline_fuse: Option<Given<crate::quantities::Amps>>,
    /// How current is read.
    pub meter: Option<Given<BenchMeter>>,
    /// Series resistance of the meter in its ampere jack, leads included.
    pub meter_resistance: Option<Given<Band<Ohms>>>,
    /// Error of the meter as a share of the current read.
    pub meter_error: Option<Given<Fraction>>,
}
