//! One specimen of a motor: every range narrowed to one figure.
//!
//! # Limits
//! The figures of a class are drawn one by one, as if they did not hang
//! together; a working point in the file ties them: every specimen runs
//! through it, within the spread of the point itself.

use super::MotorModel;
use super::drawn::What;
use super::motor::through_point;
use crate::circuit::{Given, WorkingPoint};
use crate::quantities::{Band, Pascals, Quantity};
use crate::tables::devices::MotorParameters;

/// How far a sound one may be from a current known as a plain figure:
/// `devices.md` of the references has 10 % for a specification at a stated pressure.
const SPECIFIED_WITHIN: f64 = 0.1;

impl MotorModel {
    /// The same motor against another pressure.
    #[must_use]
    pub fn at_pressure(&self, pressure: Pascals) -> Self {
        Self {
            pressure_pa: pressure.si(),
            ..self.clone()
        }
    }

    /// The same motor with nothing on its shaft: friction and drag are left.
    #[must_use]
    pub fn unloaded(&self) -> Self {
        let mut free = self.clone();
        free.parameters.load_torque = Band {
            low: 0.0,
            typical: 0.0,
            high: 0.0,
        };
        free
    }

    /// One specimen, each of its ranges narrowed to what `pick` takes of it.
    #[must_use]
    pub fn specimen(&self, pick: &mut impl FnMut(Band<f64>) -> f64) -> Self {
        Self {
            parameters: self.narrowed(&mut |_, band| pick(band)),
            ..self.clone()
        }
    }

    /// The parameters of one specimen; `pick` is told which figure it narrows.
    pub(super) fn narrowed(
        &self,
        pick: &mut impl FnMut(What, Band<f64>) -> f64,
    ) -> MotorParameters {
        let class = narrowed(&self.parameters, pick);
        match &self.known {
            Some(at) => {
                let measured = self.winding_known.then_some(class.r);
                through_point(&class, &narrowed_point(at, pick), measured)
            }
            None => class,
        }
    }
}

fn narrowed(
    class: &MotorParameters,
    pick: &mut impl FnMut(What, Band<f64>) -> f64,
) -> MotorParameters {
    let mut exactly = |what: What, band: Band<f64>| {
        let value = pick(what, band);
        Band {
            low: value,
            typical: value,
            high: value,
        }
    };
    MotorParameters {
        k: exactly(What::TorqueConstant, class.k),
        tc: exactly(What::Friction, class.tc),
        c2: exactly(What::Drag, class.c2),
        ap_per_pa: exactly(What::PressureTorque, class.ap_per_pa),
        load_torque: exactly(What::LoadTorque, class.load_torque),
        j: exactly(What::Inertia, class.j),
        l: exactly(What::Inductance, class.l),
        r: one(&class.r, &mut |band| pick(What::Winding, band)),
        ..class.clone()
    }
}

fn narrowed_point(
    at: &WorkingPoint,
    pick: &mut impl FnMut(What, Band<f64>) -> f64,
) -> WorkingPoint {
    let current = at.current.value;
    let spread = if current.is_range() {
        current
    } else {
        Band::within(current.typical, SPECIFIED_WITHIN)
    };
    let current = one(&spread, &mut |band| pick(What::KnownCurrent, band));
    WorkingPoint {
        current: Given::new(current, at.current.span),
        speed: at.speed.map(|speed| {
            let value = one(&speed.value, &mut |band| pick(What::KnownSpeed, band));
            Given::new(value, speed.span)
        }),
        ..at.clone()
    }
}

pub(super) fn one<Q: Quantity>(band: &Band<Q>, pick: &mut impl FnMut(Band<f64>) -> f64) -> Band<Q> {
    Band::exactly(Q::new(pick(band.si())))
}
