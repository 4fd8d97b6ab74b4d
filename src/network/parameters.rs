//! The parameters of any branch, and the refusal of impossible ones.

use super::branch::Law;
use super::laws;
use super::{
    Charger, Conductor, ConstantCurrent, ConstantPower, Diode, HeatedConductor, HeatedLink, Lamp,
    Motor, Supply,
};

/// A parameter outside what its law allows.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("`{name}` is {value}, it must be {rule}")]
pub struct ParameterError {
    /// The parameter's field name, unit included.
    pub name: &'static str,
    /// What was given.
    pub value: f64,
    /// What is allowed, in words.
    pub rule: &'static str,
}

/// Why a branch's parameters were not taken.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SetError {
    /// A parameter outside what its law allows.
    #[error(transparent)]
    Parameter(#[from] ParameterError),
    /// The plan has no such branch.
    #[error("there is no branch {branch}")]
    NoBranch {
        /// The index asked for.
        branch: usize,
    },
    /// The solver has no such lane.
    #[error("there is no lane {lane}")]
    NoLane {
        /// The index asked for.
        lane: usize,
    },
    /// The branch was planned with another law.
    #[error("branch {branch} obeys {planned:?}, not {given:?}")]
    OtherLaw {
        /// The branch's index.
        branch: usize,
        /// Its law in the plan.
        planned: Law,
        /// The law of the parameters given.
        given: Law,
    },
}

fn ask(
    holds: bool,
    name: &'static str,
    value: f64,
    rule: &'static str,
) -> Result<(), ParameterError> {
    if holds {
        Ok(())
    } else {
        Err(ParameterError { name, value, rule })
    }
}

pub(crate) fn finite(name: &'static str, value: f64) -> Result<(), ParameterError> {
    ask(value.is_finite(), name, value, "finite")
}

pub(crate) fn positive(name: &'static str, value: f64) -> Result<(), ParameterError> {
    ask(
        value.is_finite() && value > 0.0,
        name,
        value,
        "finite and above zero",
    )
}

pub(crate) fn finite_not_negative(name: &'static str, value: f64) -> Result<(), ParameterError> {
    ask(
        value.is_finite() && value >= 0.0,
        name,
        value,
        "finite and not negative",
    )
}

pub(crate) fn not_negative(name: &'static str, value: f64) -> Result<(), ParameterError> {
    ask(value >= 0.0, name, value, "not negative")
}

/// The parameters of one branch, whatever its law.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Parameters {
    /// For [`Law::Conductor`].
    Conductor(Conductor),
    /// For [`Law::HeatedConductor`].
    HeatedConductor(HeatedConductor),
    /// For [`Law::HeatedLink`].
    HeatedLink(HeatedLink),
    /// For [`Law::Supply`].
    Supply(Supply),
    /// For [`Law::Charger`].
    Charger(Charger),
    /// For [`Law::Motor`].
    Motor(Motor),
    /// For [`Law::Lamp`].
    Lamp(Lamp),
    /// For [`Law::ConstantPower`].
    ConstantPower(ConstantPower),
    /// For [`Law::ConstantCurrent`].
    ConstantCurrent(ConstantCurrent),
    /// For [`Law::Diode`].
    Diode(Diode),
}

macro_rules! each_law {
    ($parameters:expr, $inner:ident => $result:expr) => {
        match $parameters {
            Parameters::Conductor($inner) => $result,
            Parameters::HeatedConductor($inner) => $result,
            Parameters::HeatedLink($inner) => $result,
            Parameters::Supply($inner) => $result,
            Parameters::Charger($inner) => $result,
            Parameters::Motor($inner) => $result,
            Parameters::Lamp($inner) => $result,
            Parameters::ConstantPower($inner) => $result,
            Parameters::ConstantCurrent($inner) => $result,
            Parameters::Diode($inner) => $result,
        }
    };
}

macro_rules! from_law {
    ($($law:ident),*) => {$(
        impl From<$law> for Parameters {
            fn from(parameters: $law) -> Self {
                Self::$law(parameters)
            }
        }
    )*};
}

from_law!(
    Conductor,
    HeatedConductor,
    HeatedLink,
    Supply,
    Charger,
    Motor,
    Lamp,
    ConstantPower,
    ConstantCurrent,
    Diode
);

impl Parameters {
    /// The law these parameters belong to.
    pub fn law(&self) -> Law {
        match self {
            Self::Conductor(_) => Law::Conductor,
            Self::HeatedConductor(_) => Law::HeatedConductor,
            Self::HeatedLink(_) => Law::HeatedLink,
            Self::Supply(_) => Law::Supply,
            Self::Charger(_) => Law::Charger,
            Self::Motor(_) => Law::Motor,
            Self::Lamp(_) => Law::Lamp,
            Self::ConstantPower(_) => Law::ConstantPower,
            Self::ConstantCurrent(_) => Law::ConstantCurrent,
            Self::Diode(_) => Law::Diode,
        }
    }

    /// Checks every parameter against what its law allows.
    ///
    /// # Errors
    /// The first parameter out of range. Nothing infinite or not a number is
    /// allowed, a motor's torque excepted (infinite means locked).
    pub fn check(&self) -> Result<(), ParameterError> {
        each_law!(self, inner => inner.check())
    }

    /// Current (amperes) and slope (siemens) of a whole branch at `v` volts by its exact law.
    pub fn current(&self, v_v: f64) -> (f64, f64) {
        let mut stored = [0.0; Law::MOST_STORED];
        stored[0] = 1.0;
        self.store(|slot, value| stored[slot] = value);
        laws::exact(self.law(), &stored[..self.law().stored()], v_v)
    }

    /// Hands each stored value with its slot to `put`, slot 0 (the scale) left out.
    pub(crate) fn store(&self, mut put: impl FnMut(usize, f64)) {
        each_law!(self, inner => inner.stored().into_iter().enumerate().skip(1).for_each(|(slot, value)| put(slot, value)));
    }

    /// Finite stand-ins for a branch whose parameters were never set; its scale is zero.
    pub(crate) fn placeholder(law: Law) -> Self {
        match law {
            Law::Conductor => Conductor::OPEN.into(),
            Law::HeatedConductor => HeatedConductor {
                r_joint_ohm: 0.0,
                r_ambient_ohm: 1.0,
                kappa_per_a2: 0.0,
                extra_a2: 0.0,
            }
            .into(),
            Law::HeatedLink => HeatedLink {
                r_contacts_ohm: 0.0,
                r_cold_ohm: 1.0,
                beta_per_a2: 0.0,
                extra_a2: 0.0,
                rise_cap: 0.0,
            }
            .into(),
            Law::Supply => Supply {
                emf_v: 0.0,
                r_ohm: 1.0,
                r_charge_ohm: 1.0,
            }
            .into(),
            Law::Charger => Charger {
                i_max_a: 0.0,
                v_set_v: 0.0,
                r_regulator_ohm: 1.0,
            }
            .into(),
            Law::Motor => Motor {
                r_ohm: 1.0,
                v_brush_v: 0.0,
                i_brush_a: 1.0,
                k_v_s: 1.0,
                torque_forward_nm: 0.0,
                torque_reverse_nm: 0.0,
                b_nm_s: 0.0,
                c2_nm_s2: 0.0,
            }
            .into(),
            Law::Lamp => Lamp {
                v_nominal_v: 1.0,
                i_nominal_a: 0.0,
            }
            .into(),
            Law::ConstantPower => ConstantPower {
                p_w: 0.0,
                v_cut_v: 1.0,
            }
            .into(),
            Law::ConstantCurrent => ConstantCurrent {
                i_a: 0.0,
                v_cut_v: 1.0,
            }
            .into(),
            Law::Diode => Diode {
                v_drop_v: 0.7,
                r_on_ohm: 1.0,
            }
            .into(),
        }
    }
}

impl Law {
    /// The most that any law stores: the motor's.
    pub(crate) const MOST_STORED: usize = Motor::STORED;

    /// Number of stored parameters, the scale included.
    pub(crate) const fn stored(self) -> usize {
        match self {
            Self::Conductor => Conductor::STORED,
            Self::HeatedConductor => HeatedConductor::STORED,
            Self::HeatedLink => HeatedLink::STORED,
            Self::Supply => Supply::STORED,
            Self::Charger => Charger::STORED,
            Self::Motor => Motor::STORED,
            Self::Lamp => Lamp::STORED,
            Self::ConstantPower => ConstantPower::STORED,
            Self::ConstantCurrent => ConstantCurrent::STORED,
            Self::Diode => Diode::STORED,
        }
    }

    /// True for the law whose conductance no voltage changes.
    pub(crate) const fn is_linear(self) -> bool {
        matches!(self, Self::Conductor)
    }

    /// True for laws solved for current, with a state of their own.
    pub(crate) const fn has_state(self) -> bool {
        matches!(self, Self::HeatedConductor | Self::HeatedLink)
    }
}
