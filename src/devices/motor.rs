//! Motors and the pumps on their shafts.
//!
//! V = R i + Vb + k w and k i = T + b w + c2 w^2, with T the friction, the
//! torque of the pressure and any other steady load; b only where turns are
//! shorted. R(T) by the copper law, k falls 0.2 %/K with a ferrite magnet.
//!
//! A known working point (`at`) rescales the class: k from the speed, R from
//! the locked current (else the class's ratio of locked to running current),
//! and friction, drag and pressure torque in the class's own proportions.
//!
//! # Limits
//! Steady state at fixed pressure; the winding is taken at the temperature of
//! its place, which a fuel pump in its liquid and a brief run both come near.

use super::Model;
use super::coil::copper_factor;
use super::shelf::{Shelf, in_words};
use crate::circuit::{Condition, MotorSpec, WorkingPoint};
use crate::network::Motor;
use crate::quantities::{Amps, Band, Celsius, Fraction, Ohms, Volts};
use crate::sources::Source;
use crate::tables::OutOfTable;
use crate::tables::devices::{self, MotorParameters, PumpClass, SolenoidPump, USUAL_PUMP};

/// Pump or motor: where its class is looked up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Family {
    /// A pump.
    Pump,
    /// A motor.
    Motor,
}

/// A motor with its figures at 20 degC.
#[derive(Debug, Clone, PartialEq)]
pub struct MotorModel {
    /// Parameters, rescaled to what the file says.
    pub parameters: MotorParameters,
    /// Pressure it works against, pascals.
    pub pressure_pa: f64,
    /// Winding temperature.
    pub winding: Celsius,
    /// Largest fuse its maker allows, from the file.
    pub max_fuse: Option<Amps>,
    /// The working point it was fitted to, where the file knows one.
    pub known: Option<WorkingPoint>,
    /// Whether its winding was measured.
    pub winding_known: bool,
    /// Where its figures come from.
    pub source: Source,
}

/// The law a network branch needs, for one condition.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RunningLaw {
    /// Winding, ohms.
    pub r_ohm: f64,
    /// Brush drop, volts.
    pub v_brush_v: f64,
    /// Torque constant, V s.
    pub k_v_s: f64,
    /// Steady torque forward, N m; infinite when it cannot turn.
    pub forward_nm: f64,
    /// Steady torque backward, N m.
    pub reverse_nm: f64,
    /// Torque per speed, N m s.
    pub linear_nm_s: f64,
    /// Torque per speed squared, N m s2.
    pub drag_nm_s2: f64,
    /// Whether the winding carries current at all.
    pub fed: bool,
}

/// A pump worked by a pulsed coil.
#[derive(Debug, Clone, PartialEq)]
pub struct PulsePump {
    /// Coil at 20 degC.
    pub coil: Band<Ohms>,
    /// Coil at the temperature of its place.
    pub coil_warm: Band<Ohms>,
    /// Share of the time the coil is on.
    pub duty: Band<Fraction>,
}

/// Extra resistance that a bad contact puts into a part's lead, ohms, as in the
/// references' signatures of pump conditions.
pub const POOR_CONTACT_OHM: f64 = 0.5;
/// Current below which the brush drop is proportional, amperes.
const BRUSH_A: f64 = 0.3;
/// Flux of a ferrite magnet, per kelvin.
const FLUX_PER_K: f64 = -0.002;
/// Relief pressure of a fuel pump over its working pressure: 650 against 300 kPa.
const RELIEF_SHARE: f64 = 650.0 / 300.0;
/// What a worn stage still builds up: 180 of 300 kPa.
const WORN_SHARE: f64 = 180.0 / 300.0;
/// Drag left in air: from the dry signature of the references, 0.96 A at 7718 rpm.
const DRY_DRAG: f64 = 0.025;
/// Friction of a dragging motor over a sound one's.
const DRAGGING: f64 = 3.0;

impl MotorModel {
    /// Steady torque forward: friction, pressure and load, N m.
    fn torque(&self, pressure_share: f64, friction_share: f64) -> f64 {
        let p = &self.parameters;
        p.tc.typical * friction_share
            + p.load_torque.typical
            + p.ap_per_pa.typical * self.pressure_pa * pressure_share
    }

    /// The law under a condition, as the references' signatures define it.
    pub fn law(&self, condition: Condition) -> RunningLaw {
        let p = &self.parameters;
        let degc = self.winding_degc(condition);
        let mut law = RunningLaw {
            r_ohm: p.r.typical.si() * copper_factor(Celsius::new(degc)),
            v_brush_v: p.v_brush.si(),
            k_v_s: p.k.typical * (1.0 + FLUX_PER_K * (degc - 20.0)),
            forward_nm: self.torque(1.0, 1.0),
            reverse_nm: p.tc.typical + p.load_torque.typical,
            linear_nm_s: 0.0,
            drag_nm_s2: p.c2.typical,
            fed: true,
        };
        match condition {
            Condition::Locked => {
                law.forward_nm = f64::INFINITY;
                law.reverse_nm = f64::INFINITY;
            }
            Condition::Dragging => law.forward_nm = self.torque(1.0, DRAGGING),
            Condition::WornStage => law.forward_nm = self.torque(WORN_SHARE, 1.0),
            Condition::Restricted => law.forward_nm = self.torque(RELIEF_SHARE, 1.0),
            Condition::Reversed => law.forward_nm = self.torque(0.0, 1.0),
            Condition::Dry => {
                law.forward_nm = self.torque(0.0, 1.0);
                law.drag_nm_s2 *= DRY_DRAG;
            }
            Condition::Open => law.fed = false,
            Condition::CoilOpen => law.r_ohm *= 2.0,
            Condition::WornBrush => {
                law.r_ohm += 0.5;
                law.v_brush_v += 0.4;
            }
            Condition::ShortedCoil => {
                // One of `bars` coils shorted: turns and flux linkage fall by
                // that share, and the shorted coil drags as b w.
                let share = 1.0 / f64::from(p.bars.unwrap_or(8));
                law.linear_nm_s = share * law.k_v_s * law.k_v_s / (2.0 * law.r_ohm);
                law.r_ohm *= 1.0 - share;
                law.k_v_s *= 1.0 - share;
            }
            Condition::Healthy | Condition::PoorContact | Condition::LowSupply | Condition::Hot => {
            }
        }
        law
    }
}

impl RunningLaw {
    /// The branch law of the network.
    pub fn branch(&self) -> Motor {
        Motor {
            r_ohm: self.r_ohm,
            v_brush_v: self.v_brush_v,
            i_brush_a: BRUSH_A,
            k_v_s: self.k_v_s,
            torque_forward_nm: self.forward_nm,
            torque_reverse_nm: self.reverse_nm,
            b_nm_s: self.linear_nm_s,
            c2_nm_s2: self.drag_nm_s2,
        }
    }
}

pub(super) fn resolve(
    spec: &MotorSpec,
    subject: &str,
    family: Family,
    ambient: Celsius,
    shelf: &mut Shelf,
) -> Result<Model, OutOfTable> {
    let name = spec
        .class
        .as_ref()
        .map_or(USUAL_PUMP, |given| given.value.as_str());
    let (parameters, source) = match family {
        Family::Motor => {
            let found = devices::motor_class(name)?;
            (found.value, found.source)
        }
        Family::Pump => {
            let found = devices::pump_class(name)?;
            match found.value {
                PumpClass::Motor(parameters) => (parameters, found.source),
                PumpClass::Solenoid(pump) => {
                    return Ok(Model::PulsePump(pulse(
                        spec,
                        &pump,
                        subject,
                        ambient,
                        shelf,
                        found.source,
                    )));
                }
            }
        }
    };
    let rescaled = rescale(&parameters, spec);
    if spec.at.is_none() {
        let what = format!(
            "{name}: winding {}, about {} at {}",
            in_words(&parameters.r),
            parameters.current_ref,
            parameters.v_ref
        );
        shelf.note(subject, what, source.clone());
    } else {
        shelf.note(
            subject,
            format!("{name}: proportions of friction, drag and pressure"),
            source.clone(),
        );
    }
    let pressure_pa = spec
        .at
        .as_ref()
        .and_then(|at| at.pressure)
        .map_or(parameters.dp_ref.si(), |p| p.value.typical.si());
    Ok(Model::Motor(Box::new(MotorModel {
        parameters: rescaled,
        pressure_pa,
        winding: ambient,
        max_fuse: spec.max_fuse.map(|given| given.value),
        known: spec.at.clone(),
        winding_known: spec.resistance.is_some() || spec.locked.is_some(),
        source,
    })))
}

fn pulse(
    spec: &MotorSpec,
    pump: &SolenoidPump,
    subject: &str,
    ambient: Celsius,
    shelf: &mut Shelf,
    source: Source,
) -> PulsePump {
    let class = crate::sources::Sourced::new(pump.coil, source.clone());
    let coil = shelf.take(spec.resistance.as_ref(), subject, "coil", class);
    let duty = if let Some(at) = &spec.at {
        // Mean current over what the coil would draw all the time.
        let whole = at.voltage.value.typical.si() / coil.typical.si();
        let share = |amps: Amps| Fraction::new((amps.si() / whole).clamp(0.0, 1.0));
        let mean = at.current.value;
        Band::new(share(mean.low), share(mean.typical), share(mean.high))
    } else {
        let what = format!("coil on for {} of the time", in_words(&pump.duty));
        shelf.note(subject, what, source);
        pump.duty
    };
    PulsePump {
        coil,
        coil_warm: coil.scaled(copper_factor(ambient)),
        duty,
    }
}

/// Fits the class to what the file says of this one.
fn rescale(class: &MotorParameters, spec: &MotorSpec) -> MotorParameters {
    let mut fitted = match &spec.at {
        Some(at) => {
            let winding = measured_winding(class, at.voltage.value.typical, spec);
            through_point(class, at, winding)
        }
        None => without_point(class, spec),
    };
    if let Some(bars) = spec.bars {
        fitted.bars = Some(bars.value);
    }
    if let Some(dry) = spec.dry {
        // Running dry only friction is left: k I = Tc.
        let friction = fitted.k.typical * dry.value.typical.si();
        let least = fitted.tc.typical + fitted.load_torque.typical;
        fitted.tc = spread_like(fitted.tc, friction.min(least.max(friction * 0.5)));
    }
    fitted
}

/// Without a working point: measured winding or locked current alone.
fn without_point(class: &MotorParameters, spec: &MotorSpec) -> MotorParameters {
    let mut fitted = class.clone();
    if let Some(ohms) = measured_winding(class, class.v_ref, spec) {
        fitted.r = ohms;
    }
    fitted
}

fn measured_winding(class: &MotorParameters, at: Volts, spec: &MotorSpec) -> Option<Band<Ohms>> {
    let from_locked = |amps: Amps| Ohms::new((at.si() - class.v_brush.si()) / amps.si());
    spec.resistance.map(|given| given.value).or_else(|| {
        let locked = spec.locked?.value;
        Some(Band::new(
            from_locked(locked.high),
            from_locked(locked.typical),
            from_locked(locked.low),
        ))
    })
}

/// Rescales the class through a known working point; `measured` is the winding
/// where it was measured.
pub(super) fn through_point(
    class: &MotorParameters,
    at: &WorkingPoint,
    measured: Option<Band<Ohms>>,
) -> MotorParameters {
    let volts = at.voltage.value.typical;
    let current_a = at.current.value.typical.si();
    let pressure_pa = at
        .pressure
        .map_or(class.dp_ref.si(), |p| p.value.typical.si());
    let model = MotorModel {
        parameters: class.clone(),
        pressure_pa,
        winding: Celsius::new(20.0),
        max_fuse: None,
        known: None,
        winding_known: false,
        source: Source::new("", "", crate::sources::Standing::Derived),
    };
    let branch = model.law(Condition::Healthy).branch();
    let class_speed = branch.speed_rad_s(volts.si());
    let class_current = class_current(&model, class_speed);
    let over_brush = volts.si() - class.v_brush.si();
    let winding = measured.unwrap_or_else(|| {
        // Locked over running current as in the class.
        let ratio = over_brush / class.r.typical.si() / class_current.max(1e-9);
        let typical = over_brush / (ratio * current_a);
        class.r.scaled(typical / class.r.typical.si())
    });
    let speed = at
        .speed
        .map_or(class_speed, |speed| speed.value.typical.si());
    let k = (over_brush - current_a * winding.typical.si()) / speed.max(1e-9);
    let k = if k > 0.0 && k.is_finite() {
        k
    } else {
        class.k.typical
    };
    // Torque at the point, split as the class splits its own there.
    let share = k * current_a / (class.k.typical * class_current).max(1e-12);
    let slower = if speed > 0.0 {
        (class_speed / speed).powi(2)
    } else {
        1.0
    };
    MotorParameters {
        v_ref: volts,
        r: winding,
        k: spread_like(class.k, k),
        tc: spread_like(class.tc, class.tc.typical * share),
        c2: spread_like(class.c2, class.c2.typical * share * slower),
        ap_per_pa: spread_like(class.ap_per_pa, class.ap_per_pa.typical * share),
        load_torque: spread_like(class.load_torque, class.load_torque.typical * share),
        current_ref: at.current.value.typical,
        speed_ref: at
            .speed
            .map(|given| given.value.typical)
            .or(class.speed_ref),
        locked_ref: Amps::new(over_brush / winding.typical.si()),
        ..class.clone()
    }
}

/// Current of the class at a speed, from its torque.
fn class_current(model: &MotorModel, speed: f64) -> f64 {
    let law = model.law(Condition::Healthy);
    (law.forward_nm + law.drag_nm_s2 * speed * speed) / law.k_v_s
}

/// A band of the same relative width around another typical value.
fn spread_like(band: Band<f64>, typical: f64) -> Band<f64> {
    let factor = if band.typical == 0.0 {
        0.0
    } else {
        typical / band.typical
    };
    Band {
        low: band.low * factor,
        typical: band.typical * factor,
        high: band.high * factor,
    }
}
