//! Conditions of a motor, with a pump on its shaft or free, as changes to its
//! law, with drawn severity.
//!
//! The references' signatures lie inside these ranges: friction x 3 and x 4.5,
//! 180 and 650 of 300 kPa, R x 2, R + 0.5 ohm with 0.4 V, one and two coils of
//! eight, 0.5 and 1 ohm in the lead, 10.5 V, 70 degC. The ranges themselves are
//! judgement.
//!
//! # Limits
//! A centrifugal pump draws less with its outlet shut or its wheel worn: its
//! drag is scaled, since its pressure torque is part of the drag.

use super::aim::Aims;
use super::evidence::RunKind;
use super::joint::Joints;
use super::short::{SHORTED, Short, Shorts, is_lead_cut};
use super::specimen::Expected;
use super::supply::Trouble;
use crate::bench::Draws;
use crate::circuit::Condition;
use crate::devices::{MotorModel, RunningLaw};
use crate::quantities::{Band, Celsius, Pascals};

/// Sizes of the faults that go with the size of a motor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Sizes {
    /// Resistance a worn brush adds, ohms, from and to; even in decades where
    /// `in_decades`.
    brush_ohm: Band<f64>,
    /// Volts a worn brush adds.
    brush_v: Band<f64>,
    /// Bad joints in its lead.
    joints: Joints,
    /// Shorts inside.
    shorts: Shorts,
    /// Least share of the rig's leads before a short.
    least_leads: f64,
    /// The most that brushes and bars add where it stands under its full current, ohms.
    standing_ohm: f64,
    /// Whether what a brush adds spreads evenly over decades.
    in_decades: bool,
    /// Commutator bars where its class names none.
    bars: u32,
}

impl Sizes {
    /// Of a pump.
    pub(super) const PUMP: Self = Self {
        brush_ohm: band(0.25, 0.5, 1.5),
        brush_v: band(0.2, 0.4, 1.2),
        joints: Joints::around(band(0.15, 0.5, 1.5), (0.05, 30.0)),
        shorts: Shorts::USUAL,
        least_leads: 1.0,
        standing_ohm: 0.0,
        in_decades: false,
        bars: 8,
    };

    /// Of a trim motor or blower: brushes add as much of the winding as a pump's.
    pub(super) fn drive(winding_ohm: f64) -> Self {
        Self {
            brush_ohm: band(0.45, 0.9, 2.7).times(winding_ohm),
            brush_v: band(0.2, 0.4, 1.2),
            joints: Joints::new((0.05, 1.5), (0.03, 30.0)),
            shorts: Shorts::of_winding(winding_ohm, true),
            least_leads: LEAST_LEADS,
            standing_ohm: 0.0,
            in_decades: true,
            bars: 12,
        }
    }

    /// Of a starter: a textbook's corroded cable end has 90 mohm.
    pub(super) fn starter(winding_ohm: f64) -> Self {
        Self {
            brush_ohm: band(0.5, 3.0, 15.0).times(winding_ohm),
            brush_v: band(0.0, 0.2, 1.0),
            joints: Joints::new((0.01, 0.15), (0.005, 5.0)),
            // Nothing opens on jump cables.
            shorts: Shorts::of_winding(winding_ohm, false),
            least_leads: LEAST_LEADS,
            standing_ohm: (STANDING_OHM - winding_ohm).max(0.0),
            in_decades: true,
            bars: 25,
        }
    }

    fn draw(&self, band: Band<f64>, draws: &mut Draws) -> f64 {
        if self.in_decades {
            draws.decades(band.low, band.high)
        } else {
            draws.of(band)
        }
    }
}

/// What may be wrong with a motor: a condition that files name too, or a short
/// inside, which none does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Ill {
    As(Condition),
    Shorted,
}

impl Ill {
    pub(super) fn word(self) -> &'static str {
        match self {
            Self::As(condition) => condition.word(),
            Self::Shorted => SHORTED,
        }
    }

    /// The condition it turns and builds pressure as.
    pub(super) const fn like(self) -> Condition {
        match self {
            Self::As(condition) => condition,
            Self::Shorted => Condition::Locked,
        }
    }
}

/// The most a starter has that is locked, from stud to case, ohms: 8 to 18 mohm are
/// met on small outboards, cold brushes and bars in it (judgement).
const STANDING_OHM: f64 = 0.018;

/// Least share of the usual leads that a short in a motor was tried on: what lets
/// hundreds of amperes through had heavier cables than the usual ones (judgement).
const LEAST_LEADS: f64 = 0.3;

/// One drawn fault.
#[derive(Debug, Clone, Copy)]
pub(super) struct Fault {
    pub condition: Condition,
    /// Its density against that of plain draws.
    pub weight: f64,
    /// The short inside, where that is what is wrong.
    pub short: Option<Short>,
    /// Whether nothing comes through its lead: an open joint, an opened fuse.
    is_lead_cut: bool,
    /// What is wrong with battery and lead.
    pub trouble: Trouble,
    /// Whether anything comes out of it while it turns.
    pub streams: bool,
    /// How bad, in the condition's own measure.
    severity: f64,
    /// A second figure of it.
    second: f64,
    /// What brushes and bars add where it stands, ohms.
    standing_ohm: f64,
    /// Commutator bars where the class names none.
    bars: u32,
}

const fn band(low: f64, typical: f64, high: f64) -> Band<f64> {
    Band { low, typical, high }
}

/// Speed up to which a nearly locked motor creeps, rad/s: 100 rpm.
pub(super) const CREEP_RAD_S: f64 = 10.5;

impl Fault {
    pub(super) fn draw(
        ill: Ill,
        sizes: &Sizes,
        (leads_ohm, aims): (f64, &Aims),
        draws: &mut Draws,
    ) -> Self {
        let condition = ill.like();
        let (short, of_short) = if ill == Ill::Shorted {
            let (short, weight) = sizes.shorts.near(aims.short, leads_ohm, draws);
            (Some(short), weight)
        } else {
            (None, 1.0)
        };
        let (joint_ohm, of_joint) = if condition == Condition::PoorContact {
            sizes.joints.near(aims.joint, draws)
        } else {
            (0.0, 1.0)
        };
        let (severity, second) = match condition {
            Condition::Dragging => (draws.of(band(1.9, 3.0, 6.0)), 0.0),
            Condition::CoilOpen => (draws.of(band(1.7, 2.0, 2.3)), 0.0),
            Condition::WornBrush => (sizes.draw(sizes.brush_ohm, draws), draws.of(sizes.brush_v)),
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
            Condition::Hot => (draws.of(band(50.0, 70.0, 95.0)), 0.0),
            Condition::Locked => (draws.between(0.0, CREEP_RAD_S), draws.between(0.0, 1.0)),
            Condition::WornStage | Condition::Restricted => (draws.of(band(0.5, 0.7, 0.95)), 0.0),
            Condition::Healthy
            | Condition::Open
            | Condition::Reversed
            | Condition::PoorContact
            | Condition::LowSupply => (0.0, 0.0),
        };
        let trouble = match condition {
            Condition::PoorContact => Trouble::joint(joint_ohm),
            Condition::LowSupply => Trouble::low_supply(draws),
            _ if short.is_some() => Trouble::stiff(sizes.least_leads, draws),
            _ => Trouble::NONE,
        };
        Self {
            condition,
            weight: of_short * of_joint,
            short,
            is_lead_cut: is_lead_cut(short, condition == Condition::PoorContact, draws),
            trouble,
            streams: !draws.chance(without_stream(condition)),
            severity,
            second,
            standing_ohm: draws.between(0.0, sizes.standing_ohm),
            bars: sizes.bars,
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
                law.r_ohm += self.standing_ohm;
            }
            Condition::Dragging => law.forward_nm += friction * (self.severity - 1.0),
            Condition::Open => law.fed = false,
            Condition::CoilOpen => law.r_ohm *= self.severity,
            Condition::WornBrush => {
                law.r_ohm += self.severity;
                law.v_brush_v += self.second;
            }
            Condition::ShortedCoil => {
                let bars = f64::from(one.parameters.bars.unwrap_or(self.bars)).max(4.0);
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
        if let Some(short) = self.short {
            (law.r_ohm, law.v_brush_v) = (short.ohm, 0.0);
        }
        law.fed &= !self.is_lead_cut;
        law
    }

    /// Volts at its terminals while nothing flows.
    pub(super) const fn idle_v(&self, open_v: f64) -> f64 {
        if self.is_lead_cut { 0.0 } else { open_v }
    }

    fn dry_out(&self, law: &mut RunningLaw, friction_nm: f64) {
        law.drag_nm_s2 *= self.severity;
        law.forward_nm += friction_nm * (self.second - 1.0);
    }

    /// Creeping speed of one that is nearly locked, rad/s.
    pub(super) fn creep_rad_s(&self) -> f64 {
        if self.condition == Condition::Locked && self.short.is_none() && self.second < 0.5 {
            self.severity
        } else {
            0.0
        }
    }
}

/// Share of pumps that turn and deliver no stream (judgement): a closed or clogged
/// outlet, a stripped impeller, a relief stuck open show the same as one that runs
/// backwards.
fn without_stream(condition: Condition) -> f64 {
    match condition {
        Condition::Dry | Condition::Reversed => 1.0,
        Condition::Restricted | Condition::WornStage => 0.5,
        _ => 0.0,
    }
}

/// Drag left in air: the dry signature of the references.
const DRY_DRAG: f64 = 0.025;

/// Pressure a condition brings along, pascals; `set` is the working pressure.
pub(super) fn pressure(condition: Condition, kind: RunKind, set_pa: f64) -> Expected {
    let (low, typical, high) = match (kind, condition) {
        (RunKind::Dry, _) => (0.0, 0.0, 0.05),
        (_, Condition::Dry | Condition::Reversed) => (0.0, 0.0, 0.15),
        (RunKind::Wet | RunKind::On | RunKind::Off, Condition::Restricted) => (0.3, 1.5, 2.7),
        (RunKind::Wet | RunKind::On | RunKind::Off, _) => (0.0, 0.0, 0.1),
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
