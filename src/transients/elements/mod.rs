//! Branches that remember: each with its own states, eliminated locally.
//!
//! A branch gives its current `i(x, v)` and the rates `x'(x, v)` of its states
//! at its voltage, with all slopes. Nothing else of it is seen by the network.

pub(super) mod battery;
pub(super) mod capacitor;
pub(super) mod filament;
pub(super) mod link;
pub(super) mod motor;
pub(super) mod warming;
pub(super) mod wire;

use crate::network::Parameters;
use battery::Battery;
use capacitor::Capacitor;
use filament::Filament;
use link::Link;
use motor::Motor;
use warming::Warming;
use wire::Wire;

/// Most states of one branch: the longest network of a fuse.
pub(super) const MOST: usize = 5;

/// States, rates or slopes by state; those beyond a branch's own are zero.
pub(super) type States = [f64; MOST];

/// Current, rates and all their slopes at one point.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Slopes {
    /// Current, amperes.
    pub(super) i: f64,
    /// Current by voltage, siemens.
    pub(super) i_v: f64,
    /// Current by state.
    pub(super) i_x: States,
    /// Rates, per second.
    pub(super) f: States,
    /// Rates by voltage.
    pub(super) f_v: States,
    /// Rates by state.
    pub(super) f_x: [States; MOST],
}

impl Slopes {
    /// Makes all that a branch of so many states uses zero.
    pub(super) fn clear(&mut self, count: usize) {
        (self.i, self.i_v) = (0.0, 0.0);
        for row in [&mut self.i_x, &mut self.f, &mut self.f_v] {
            row[..count].fill(0.0);
        }
        for row in &mut self.f_x[..count] {
            row[..count].fill(0.0);
        }
    }
}

/// What every remembering branch can do.
pub(super) trait Remembers {
    /// Size at which each state counts as small: the error allowed is relative to
    /// it and to the state. Its length is the count of states.
    fn scales(&self) -> &[f64];

    /// Current alone.
    fn current(&self, x: &States, v: f64) -> f64;

    /// Current and rates, slopes left out.
    fn value(&self, x: &States, v: f64) -> (f64, States);

    /// Current, rates and slopes, into what is zero.
    fn slopes(&self, x: &States, v: f64, slopes: &mut Slopes);
}

/// One branch of the transient.
#[derive(Debug, Clone)]
pub(super) enum Element {
    /// No memory: a law of the network and the share of its current that flows.
    Still(Parameters, f64),
    /// A wire.
    Wire(Wire),
    /// A fuse or breaker.
    Link(Link),
    /// A battery.
    Battery(Battery),
    /// A motor.
    Motor(Motor),
    /// A lamp.
    Filament(Filament),
    /// A heater whose resistance rises.
    Warming(Warming),
    /// Input capacitor of electronics.
    Capacitor(Capacitor),
}

impl Element {
    /// The remembering branch, if it is one.
    pub(super) fn memory(&self) -> Option<&dyn Remembers> {
        match self {
            Self::Still(..) => None,
            Self::Wire(one) => Some(one),
            Self::Link(one) => Some(one),
            Self::Battery(one) => Some(one),
            Self::Motor(one) => Some(one),
            Self::Filament(one) => Some(one),
            Self::Warming(one) => Some(one),
            Self::Capacitor(one) => Some(one),
        }
    }

    /// Scales of the states.
    pub(super) fn scales(&self) -> &[f64] {
        self.memory().map_or(&[], |one| one.scales())
    }

    /// Current and rates.
    pub(super) fn value(&self, x: &States, v: f64) -> (f64, States) {
        match self {
            Self::Still(law, scale) => (still(law, *scale, v).0, [0.0; MOST]),
            Self::Wire(one) => one.value(x, v),
            Self::Link(one) => one.value(x, v),
            Self::Battery(one) => one.value(x, v),
            Self::Motor(one) => one.value(x, v),
            Self::Filament(one) => one.value(x, v),
            Self::Warming(one) => one.value(x, v),
            Self::Capacitor(one) => one.value(x, v),
        }
    }

    /// Current alone.
    pub(super) fn current(&self, x: &States, v: f64) -> f64 {
        match self {
            Self::Still(law, scale) => still(law, *scale, v).0,
            Self::Wire(one) => one.current(x, v),
            Self::Link(one) => one.current(x, v),
            Self::Battery(one) => one.current(x, v),
            Self::Motor(one) => one.current(x, v),
            Self::Filament(one) => one.current(x, v),
            Self::Warming(one) => one.current(x, v),
            Self::Capacitor(one) => one.current(x, v),
        }
    }

    /// Current and conductance of a branch without memory.
    #[inline]
    pub(super) fn still(&self, v: f64) -> (f64, f64) {
        match self {
            Self::Still(law, scale) => still(law, *scale, v),
            _ => (0.0, 0.0),
        }
    }

    /// Current, rates and slopes of a branch with memory, into what is zero.
    pub(super) fn slopes(&self, x: &States, v: f64, slopes: &mut Slopes) {
        match self {
            Self::Still(..) => {}
            Self::Wire(one) => one.slopes(x, v, slopes),
            Self::Link(one) => one.slopes(x, v, slopes),
            Self::Battery(one) => one.slopes(x, v, slopes),
            Self::Motor(one) => one.slopes(x, v, slopes),
            Self::Filament(one) => one.slopes(x, v, slopes),
            Self::Warming(one) => one.slopes(x, v, slopes),
            Self::Capacitor(one) => one.slopes(x, v, slopes),
        }
    }
}

fn still(law: &Parameters, scale: f64, v: f64) -> (f64, f64) {
    if scale == 0.0 {
        return (0.0, 0.0);
    }
    if let Parameters::Conductor(conductor) = law {
        let conductance = conductor.conductance_s * scale;
        return (conductance * v, conductance);
    }
    let (i, slope) = law.current(v);
    (scale * i, scale * slope)
}

#[cfg(test)]
mod tests {
    use super::battery::Battery;
    use super::capacitor::Capacitor;
    use super::filament::Filament;
    use super::link::Link;
    use super::motor::{Motion, Motor};
    use super::warming::Warming;
    use super::wire::Wire;
    use super::{MOST, Remembers, Slopes, States};
    use crate::circuit::Place;
    use crate::devices::{Laid, WireModel};
    use crate::heating::{Family, Protector, WireBody};
    use crate::quantities::{Amps, Band, Celsius, Metres, Ohms, WireSize};
    use crate::tables::fuses::{Edge, FuseStyle};

    /// Two metres of 14 AWG.
    fn body() -> WireBody {
        let size = WireSize::Awg(14);
        let model = WireModel::new(&Laid {
            size,
            tinned: true,
            length: Band::exactly(Metres::new(2.0)),
            joints: Band::exactly(Ohms::new(0.0)),
            insulation: Some(Celsius::new(105.0)),
            place: Place::Boat,
            ambient: Celsius::new(30.0),
            bundle: 1,
        });
        WireBody::new(size, &model.expect("table"), Celsius::new(105.0)).expect("table")
    }

    /// Every slope of every branch against central differences.
    fn hold(one: &dyn Remembers, x: &[f64], v: f64) {
        let mut states: States = [0.0; MOST];
        states[..x.len()].copy_from_slice(x);
        assert_eq!(one.scales().len(), x.len());
        let mut slopes = Slopes::default();
        one.slopes(&states, v, &mut slopes);
        let (i, f) = one.value(&states, v);
        near(slopes.i, i);
        near(one.current(&states, v), i);
        let step = 1e-6;
        let (up, down) = (one.value(&states, v + step), one.value(&states, v - step));
        near(slopes.i_v, (up.0 - down.0) / (2.0 * step));
        for (row, rate) in f.into_iter().enumerate().take(x.len()) {
            near(slopes.f[row], rate);
            near(slopes.f_v[row], (up.1[row] - down.1[row]) / (2.0 * step));
        }
        for column in 0..x.len() {
            let step = 1e-6 * states[column].abs().max(0.1);
            let moved = |by: f64| {
                let mut moved = states;
                moved[column] += by;
                one.value(&moved, v)
            };
            let (up, down) = (moved(step), moved(-step));
            near(slopes.i_x[column], (up.0 - down.0) / (2.0 * step));
            for row in 0..x.len() {
                let difference = (up.1[row] - down.1[row]) / (2.0 * step);
                near(slopes.f_x[row][column], difference);
            }
        }
    }

    #[track_caller]
    fn near(found: f64, expected: f64) {
        let off = (found - expected).abs();
        assert!(
            off <= 1e-6 * expected.abs().max(1e-3),
            "{found} for {expected}"
        );
    }

    #[test]
    fn slopes_are_those_of_the_values() {
        let wire = Wire::new(0.001, 0.02, 1.3, Some(body()));
        hold(&wire, &[20.0, 12.0], 0.4);
        let fuse = Protector::new(Family::Fuse(FuseStyle::Blade), Amps::new(10.0), None);
        let fuse = fuse.expect("made");
        for edge in Edge::ALL {
            let element = fuse.element(edge);
            let count = element.states.len();
            let link = Link::new(0.001, 0.005, 0.59, 9.7, element).with_pulse(1.2);
            // At some 12, 24 and 96 A.
            for v in [0.1, 0.2, 0.8] {
                hold(&link, &[0.1, 0.3, 0.05][..count], v);
            }
        }
        hold(&Battery::new(12.6, 0.01, 0.005, 0.3), &[0.2], 11.9);
        hold(&Battery::new(12.6, 0.01, 0.005, 0.3), &[-0.2], 13.9);
        hold(&Capacitor::new(1.5, 1e-3), &[3.0], 9.0);
        hold(&Filament::new(12.0, 0.8, 10.0), &[0.5], 12.0);
        hold(&Filament::new(12.0, 0.8, 10.0), &[0.9], 12.0);
        hold(&Warming::new(10.0, 2.0, 12.0), &[0.4], 11.0);
        let mut motor = Motor {
            winding: crate::heating::StandingWinding {
                r_ohm: 0.5,
                per_k: 0.004,
                heat_j_per_k: 8.0,
                cools_s: 60.0,
            },
            v_brush_v: 0.8,
            k_v_s: 0.014,
            l_h: 3e-4,
            j_kgm2: 8e-6,
            forward_nm: 0.03,
            reverse_nm: 0.01,
            linear_nm_s: 1e-6,
            drag_nm_s2: 8e-8,
            motion: Motion::Still,
            turned: false,
        };
        for motion in [Motion::Still, Motion::Forward, Motion::Backward] {
            motor.motion = motion;
            hold(&motor, &[5.0, 300.0, 20.0], 11.0);
            hold(&motor, &[0.2, -300.0, 20.0], 11.0);
        }
    }
}
