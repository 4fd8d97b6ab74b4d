//! What a branch may carry: ranges of volts and amperes cut down to what its
//! law allows, whichever of the sizes still open its wire gets.

use super::range::Range;
use crate::network::{
    Charger, ConstantPower, Diode, HeatedLink, Parameters, Supply,
};
use crate::quantities::Celsius;
use crate::sizing::choices::Choice;

/// A branch's law with what is not decided in it.
#[derive(Debug, Clone)]
pub(super) enum Worth {
    /// A contact, a joint, a coil or a plain resistance, ohms.
    Ohms(f64),
    /// A wire, by its index in the circuit.
    Wire(usize),
    /// A fuse.
    Link(HeatedLink),
    /// A battery.
    Supply(Supply),
    /// A charger.
    Charger(Charger),
    /// A diode.
    Diode(Diode),
    /// Electronics, with the share of the time they are on.
    Power(ConstantPower, f64),
    /// Any law whose current never falls as its volts rise, with that share.
    Rising(Parameters, f64),
}

impl Worth {
    /// Of a branch that conducts; none for one that does not. `wire` is its
    /// index where it is a wire.
    pub(super) fn of(parameters: Parameters, scale: f64, wire: Option<usize>) -> Option<Self> {
        if scale <= 0.0 {
            return None;
        }
        if let Some(wire) = wire {
            return Some(Self::Wire(wire));
        }
        Some(match parameters {
            Parameters::Conductor(law) => {
                let conductance_s = law.conductance_s * scale;
                if conductance_s <= 0.0 {
                    return None;
                }
                Self::Ohms(1.0 / conductance_s)
            }
            Parameters::HeatedLink(law) => Self::Link(law),
            Parameters::Supply(law) => Self::Supply(law),
            Parameters::Charger(law) if law.i_max_a <= 0.0 => return None,
            Parameters::Charger(law) => Self::Charger(law),
            Parameters::Diode(law) => Self::Diode(law),
            Parameters::ConstantPower(law) => Self::Power(law, scale),
            other => Self::Rising(other, scale),
        })
    }

    /// Volts that a supply or charger stands at with nothing on it.
    pub(super) fn open_v(&self) -> Option<f64> {
        match self {
            Self::Supply(law) => Some(law.emf_v),
            Self::Charger(law) => Some(law.v_set_v),
            _ => None,
        }
    }

    /// Cuts volts and amperes down to what the law allows; none where nothing
    /// is left. `ohm` is the resistance where the law is one.
    pub(super) fn cut(&self, volts: Range, amps: Range, ohm: Range) -> Option<(Range, Range)> {
        match self {
            Self::Ohms(_) | Self::Wire(_) | Self::Link(_) => {
                let amps = amps.and(volts.over_positive(ohm))?;
                Some((volts.and(amps.times(ohm))?, amps))
            }
            Self::Supply(law) => {
                let parameters = Parameters::from(*law);
                let amps = amps.and(rising(&parameters, 1.0, volts))?;
                let at = |amps: f64| {
                    let ohm = if amps > 0.0 { law.r_charge_ohm } else { law.r_ohm };
                    law.emf_v + amps * ohm
                };
                let by_amps = Range {
                    low: at(amps.low),
                    high: at(amps.high),
                };
                Some((volts.and(by_amps)?, amps))
            }
            Self::Charger(law) => {
                let amps = amps.and(rising(&Parameters::from(*law), 1.0, volts))?;
                let gives = amps.turned();
                let by_amps = Range {
                    low: if gives.high < law.i_max_a * (1.0 - 1e-9) {
                        law.v_set_v - gives.high * law.r_regulator_ohm
                    } else {
                        f64::NEG_INFINITY
                    },
                    high: if gives.low > 0.0 {
                        law.v_set_v - gives.low * law.r_regulator_ohm
                    } else {
                        f64::INFINITY
                    },
                };
                Some((volts.and(by_amps)?, amps))
            }
            Self::Diode(law) => {
                let amps = amps.and(rising(&Parameters::from(*law), 1.0, volts))?;
                let by_amps = Range {
                    low: diode_v(law, amps.low).unwrap_or(f64::NEG_INFINITY),
                    high: diode_v(law, amps.high).unwrap_or(f64::INFINITY),
                };
                Some((volts.and(by_amps)?, amps))
            }
            Self::Power(law, scale) => {
                let parameters = Parameters::from(*law);
                let peaks = [-law.v_cut_v, law.v_cut_v];
                let inside = peaks
                    .into_iter()
                    .filter(|v| (volts.low..=volts.high).contains(v));
                let ends = [volts.low, volts.high].into_iter().chain(inside);
                // At the cut-off itself both sides of the law give the same.
                let found = ends.map(|v| scale * parameters.current(v).0);
                Some((volts, amps.and(Range::over(found))?))
            }
            Self::Rising(parameters, scale) => {
                Some((volts, amps.and(rising(parameters, *scale, volts))?))
            }
        }
    }
}

fn rising(parameters: &Parameters, scale: f64, volts: Range) -> Range {
    Range {
        low: scale * parameters.current(volts.low).0,
        high: scale * parameters.current(volts.high).0,
    }
}

/// Largest reverse current a diode of the network leaks, amperes.
const LEAK_A: f64 = 1e-6;
/// Amperes above which a diode's law is turned round; below, its volts say
/// nothing.
const DIODE_FROM_A: f64 = 1e-3;

/// Volts of a diode at a current: with h = (i + leak) r, v = drop + h - e/h.
fn diode_v(law: &Diode, amps: f64) -> Option<f64> {
    let leak_v = LEAK_A * law.r_on_ohm;
    let e = leak_v * (leak_v + law.v_drop_v);
    let h = (amps + LEAK_A) * law.r_on_ohm;
    (amps > DIODE_FROM_A).then(|| law.v_drop_v + h - e / h)
}

/// Resistance of a fuse between a least and a most current, ohms.
pub(super) fn link_ohm(law: &HeatedLink, amps: Range, extra_a2: f64) -> Range {
    let at = |squared_a2: f64| {
        let rise = (law.beta_per_a2 * squared_a2).min(law.rise_cap);
        law.r_contacts_ohm + law.r_cold_ohm * (1.0 + rise)
    };
    Range {
        low: at(amps.least().powi(2)),
        high: at(amps.most().powi(2) + extra_a2),
    }
}

/// A wire of one size: its joints, and its copper between a least and a most
/// current, ohms. Where it is held to its class it gets no hotter than that;
/// the solver lets no wire get hotter than burnt.
pub(super) fn wire_ohm(
    choice: &Choice,
    amps: Range,
    extra_a2: f64,
    within_class: bool,
) -> (f64, Range) {
    let model = &choice.model;
    let low = model.copper_at(amps.least());
    let heating_a = (amps.most().powi(2) + extra_a2).sqrt();
    let mut high = model.copper_at(heating_a).min(model.copper_burnt());
    if within_class && let Ok(allowed) = &model.allowed {
        high = high.min(model.copper_of(Celsius::new(allowed.class.si() + CLASS_ROOM_K)));
    }
    let copper = Range {
        low: low.min(model.copper_burnt()),
        high: high.max(low),
    };
    (model.joints.typical.si(), copper)
}

/// Kelvins above its class from which the judge calls a wire hot, and a little.
const CLASS_ROOM_K: f64 = 0.6;

#[cfg(test)]
mod tests {
    use super::{Range, Worth, diode_v};
    use crate::network::{ConstantPower, Diode, Parameters, Supply};

    #[test]
    fn the_volts_of_a_diode_give_its_current_back() {
        let law = Diode {
            v_drop_v: 0.8,
            r_on_ohm: 0.01,
        };
        for amps in [0.01, 1.0, 30.0] {
            let volts = diode_v(&law, amps).expect("above the least");
            let back = Parameters::from(law).current(volts).0;
            assert!((back - amps).abs() < 1e-9 * (1.0 + amps), "{amps} {back}");
        }
    }

    #[test]
    fn electronics_draw_most_at_their_cut_off() {
        let law = ConstantPower {
            p_w: 60.0,
            v_cut_v: 6.0,
        };
        let worth = Worth::Power(law, 1.0);
        let volts = Range {
            low: 3.0,
            high: 12.0,
        };
        let (_, amps) = worth
            .cut(volts, Range::within(1e6), Range::exactly(1.0))
            .expect("some");
        assert!((amps.low - 5.0).abs() < 1e-9 && (amps.high - 10.0).abs() < 1e-9);
    }

    #[test]
    fn a_battery_that_gives_a_known_current_stands_at_known_volts() {
        let law = Supply {
            emf_v: 12.6,
            r_ohm: 0.01,
            r_charge_ohm: 0.2,
        };
        let gives = Range {
            low: -20.0,
            high: -10.0,
        };
        let (volts, _) = Worth::Supply(law)
            .cut(Range::within(50.0), gives, Range::exactly(1.0))
            .expect("some");
        assert!((volts.low - 12.4).abs() < 1e-9 && (volts.high - 12.5).abs() < 1e-9);
    }
}
