//! Conditions of a motor pump as changes to its law, with drawn severity.
//!
//! The references' signatures lie inside these ranges: friction x 3 and x 4.5,
//! 180 and 650 of 300 kPa, R x 2, R + 0.5 ohm with 0.4 V, one and two coils of
//! eight, 0.5 and 1 ohm in the lead, 10.5 V, 70 degC. The ranges themselves are
//! judgement.
//!
//! # Limits
//! A centrifugal pump draws less with its outlet shut or its wheel worn: its
//! drag is scaled, since its pressure torque is part of the drag.

use super::evidence::RunKind;
use super::specimen::Expected;
use crate::bench::Draws;
use crate::circuit::Condition;
use crate::devices::{MotorModel, RunningLaw};
use crate::quantities::{Band, Celsius, Pascals};

/// One drawn fault.
#[derive(Debug, Clone, Copy)]
pub(super) struct Fault {
    pub condition: Condition,
    /// How bad, in the condition's own measure.
    severity: f64,
    /// A second figure of it.
    second: f64,
}

const fn band(low: f64, typical: f64, high: f64) -> Band<f64> {
    Band { low, typical, high }
}

/// Speed up to which a nearly locked pump creeps, rad/s: 100 rpm.
pub(super) const CREEP_RAD_S: f64 = 10.5;

impl Fault {
    pub(super) fn draw(condition: Condition, draws: &mut Draws) -> Self {
        let (severity, second) = match condition {
            Condition::Dragging => (draws.of(band(1.9, 3.0, 6.0)), 0.0),
            Condition::CoilOpen => (draws.of(band(1.7, 2.0, 2.3)), 0.0),
            Condition::WornBrush => (
                draws.of(band(0.25, 0.5, 1.5)),
                draws.of(band(0.2, 0.4, 1.2)),
            ),
            // Two coils shorted in three of ten.
            Condition::ShortedCoil => {
                let coils = if draws.between(0.0, 1.0) < 0.3 {
                    2.0
                } else {
                    1.0
                };
                (coils, 0.0)
            }
            Condition::Dry => (
                draws.of(band(0.0, 0.025, 0.3)),
                draws.of(band(0.7, 1.0, 1.1)),
            ),
            Condition::PoorContact => (draws.of(band(0.15, 0.5, 1.5)), 0.0),
            // A battery that is charged but weak, in three of ten.
            Condition::LowSupply => {
                let is_weak = draws.between(0.0, 1.0) < 0.3;
                let times = if is_weak {
                    draws.of(band(3.0, 6.0, 30.0))
                } else {
                    1.0
                };
                (times, f64::from(u8::from(is_weak)))
            }
            Condition::Hot => (draws.of(band(50.0, 70.0, 95.0)), 0.0),
            Condition::Locked => (draws.between(0.0, CREEP_RAD_S), draws.between(0.0, 1.0)),
            Condition::WornStage | Condition::Restricted => (draws.of(band(0.5, 0.7, 0.95)), 0.0),
            Condition::Healthy | Condition::Open | Condition::Reversed => (0.0, 0.0),
        };
        Self {
            condition,
            severity,
            second,
        }
    }

    /// The law of a specimen with this fault, run dry or against `pressure_pa`.
    pub(super) fn law(&self, sound: &MotorModel, pressure_pa: f64, is_dry: bool) -> RunningLaw {
        let pumps = sound.parameters.ap_per_pa.typical > 0.0;
        let mut one = sound.at_pressure(Pascals::new(pressure_pa));
        if self.condition == Condition::Hot {
            one.winding = Celsius::new(one.winding.si().max(self.severity));
        }
        let mut law = one.law(Condition::Healthy);
        let friction = one.parameters.tc.typical;
        match self.condition {
            Condition::Locked => {
                law.forward_nm = f64::INFINITY;
                law.reverse_nm = f64::INFINITY;
            }
            Condition::Dragging => law.forward_nm += friction * (self.severity - 1.0),
            Condition::Open => law.fed = false,
            Condition::CoilOpen => law.r_ohm *= self.severity,
            Condition::WornBrush => {
                law.r_ohm += self.severity;
                law.v_brush_v += self.second;
            }
            Condition::ShortedCoil => {
                let bars = f64::from(one.parameters.bars.unwrap_or(8)).max(4.0);
                let share = self.severity / bars;
                law.linear_nm_s = share * law.k_v_s * law.k_v_s / (2.0 * law.r_ohm);
                law.r_ohm *= 1.0 - share;
                law.k_v_s *= 1.0 - share;
            }
            Condition::Dry => self.dry_out(&mut law, friction),
            Condition::WornStage | Condition::Restricted if !pumps => {
                law.drag_nm_s2 *= self.severity;
            }
            _ => {}
        }
        if is_dry && self.condition != Condition::Dry {
            law.drag_nm_s2 *= DRY_DRAG;
        }
        law
    }

    fn dry_out(&self, law: &mut RunningLaw, friction_nm: f64) {
        law.drag_nm_s2 *= self.severity;
        law.forward_nm += friction_nm * (self.second - 1.0);
    }

    /// Resistance added to the lead, ohms.
    pub(super) fn lead_ohm(&self) -> f64 {
        if self.condition == Condition::PoorContact {
            self.severity
        } else {
            0.0
        }
    }

    /// Factor on the battery's resistance.
    pub(super) fn battery_times(&self) -> f64 {
        if self.condition == Condition::LowSupply {
            self.severity
        } else {
            1.0
        }
    }

    /// Whether the battery is flat, not only weak.
    pub(super) fn is_flat(&self) -> bool {
        self.condition == Condition::LowSupply && self.second == 0.0
    }

    /// Creeping speed of one that is nearly locked, rad/s.
    pub(super) fn creep_rad_s(&self) -> f64 {
        if self.condition == Condition::Locked && self.second < 0.5 {
            self.severity
        } else {
            0.0
        }
    }
}

/// Drag left in air: the dry signature of the references.
const DRY_DRAG: f64 = 0.025;

/// Pressure a condition brings along, pascals; `set` is the working pressure.
pub(super) fn pressure(condition: Condition, kind: RunKind, set_pa: f64) -> Expected {
    let (low, typical, high) = match (kind, condition) {
        (RunKind::Dry, _) => (0.0, 0.0, 0.05),
        (_, Condition::Dry | Condition::Reversed) => (0.0, 0.0, 0.15),
        (RunKind::Wet, Condition::Restricted) => (0.3, 1.5, 2.7),
        (RunKind::Wet, _) => (0.0, 0.0, 0.1),
        (RunKind::AtPressure, Condition::WornStage) => (0.2, 0.6, 0.88),
        (RunKind::AtPressure, Condition::Restricted) => (1.25, 2.17, 2.7),
        // A check valve may hold what was there before.
        (RunKind::AtPressure, Condition::Locked | Condition::Open) => (0.0, 0.0, 1.1),
        (
            RunKind::AtPressure,
            Condition::Dragging
            | Condition::CoilOpen
            | Condition::WornBrush
            | Condition::PoorContact
            | Condition::LowSupply,
        ) => (0.6, 1.0, 1.1),
        (RunKind::AtPressure, _) => (0.9, 1.0, 1.1),
    };
    Expected::new(low * set_pa, typical * set_pa, high * set_pa, 4.0 * set_pa)
}
