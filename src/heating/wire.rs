//! A wire in time: copper inside its insulation wall.
//!
//! Per metre, with c the copper and i the middle of the wall, each above the
//! air: Cc dc/dt = I^2 r(Tc) - Gw (c - i), Ci di/dt = Gw (c - i) - Ga i. The
//! resistance grows with the copper's heat, so the pair is linear for a
//! constant current and has a closed form of two exponentials.
//!
//! - Gw and Ga in series give back the published ampacity (`kappa_per_a2`), so
//!   long times agree with it exactly.
//! - Cc is chosen so that without loss I^2 t = 226^2 S^2 ln(h(T)/h(T0)), the
//!   IEC short-time formula, so short times agree with it exactly.
//! - Ci and Gw come from the wall: its size, and recalled figures of plastics.
//!
//! # Limits
//! No heat along the wire. The wall is one lump: between a tenth of a second
//! and some seconds the copper is a few kelvin hotter than shown.

use crate::devices::{COPPER_PER_K, WireModel};
use crate::quantities::{Celsius, WireSize};
use crate::tables::OutOfTable;
use crate::tables::conductors::{insulation_wall, strand_diameter};
use crate::tables::constants::{constant, short_time_constant};
use std::f64::consts::{FRAC_PI_4, TAU};

/// Class from which insulation is cross-linked.
pub(super) const CROSS_LINKED_DEGC: f64 = 125.0;
/// Excess temperature no figure goes beyond, kelvin.
const BEYOND_K: f64 = 1e5;

/// Thermal figures of a metre of wire.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WireBody {
    /// Air around it.
    pub air: Celsius,
    /// Copper at 20 degC, ohm by the metre.
    r20_ohm: f64,
    /// Heat of the copper, J/(K m).
    copper_j_per_k: f64,
    /// Heat of the insulation wall, J/(K m).
    wall_j_per_k: f64,
    /// From copper to the middle of the wall, W/(K m).
    inner_w_per_k: f64,
    /// From there to the air, W/(K m).
    outer_w_per_k: f64,
    /// Rows of the two equations without current, per second.
    cooling: [[f64; 2]; 2],
    /// What an ampere squared adds to the first of them, per second.
    growth: f64,
    /// Kelvin a second by an ampere squared in copper as warm as the air.
    push: f64,
    /// Rise of the copper's resistance by a kelvin, over that in the air's warmth.
    rise_per_k: f64,
}

/// How warm a wire is, kelvin above the air around it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WireHeat {
    /// Copper.
    pub copper_k: f64,
    /// Insulation wall, in the middle.
    pub wall_k: f64,
}

impl WireBody {
    /// The body of a wire; `class` is its insulation's.
    ///
    /// # Errors
    /// When no ampacity is published for it: its cooling is taken from that.
    pub fn new(size: WireSize, model: &WireModel, class: Celsius) -> Result<Self, OutOfTable> {
        let heat = heat_of_wall(class)?;
        let inside_m = strand_diameter(size)?.value.si();
        let outside_m = inside_m + 2.0 * insulation_wall(size)?.value.si();
        let r20_ohm = model.per_metre_ohm.value;
        let iec = short_time_constant()?.value * model.area_mm2;
        // Half the wall lies between the copper and the wall's middle.
        let inner = 2.0 * TAU / (heat.resistivity * (outside_m / inside_m).ln());
        if let Err(why) = &model.allowed {
            return Err(why.clone());
        }
        let whole = COPPER_PER_K * r20_ohm / model.kappa_per_a2;
        // A thick wall alone may hinder more than the published figure allows
        // for the whole; then the wall is taken as part of the copper's path.
        let inner = inner.max(2.0 * whole);
        let outer = 1.0 / (1.0 / whole - 1.0 / inner);
        let copper = COPPER_PER_K * r20_ohm * iec * iec;
        let wall = heat.j_per_m3_k * FRAC_PI_4 * (outside_m * outside_m - inside_m * inside_m);
        let warm = 1.0 + COPPER_PER_K * (model.ambient.si() - 20.0);
        Ok(Self {
            air: model.ambient,
            r20_ohm,
            copper_j_per_k: copper,
            wall_j_per_k: wall,
            inner_w_per_k: inner,
            outer_w_per_k: outer,
            cooling: [
                [-inner / copper, inner / copper],
                [inner / wall, -(inner + outer) / wall],
            ],
            growth: COPPER_PER_K * r20_ohm / copper,
            push: r20_ohm * warm / copper,
            rise_per_k: COPPER_PER_K / warm,
        })
    }

    /// Heat of a metre of its insulation wall, J/(K m).
    pub const fn wall_j_per_k(&self) -> f64 {
        self.wall_j_per_k
    }

    /// Heat of a metre of its copper, J/(K m).
    pub const fn copper_j_per_k(&self) -> f64 {
        self.copper_j_per_k
    }

    /// Settled with the copper at a temperature.
    pub fn settled_at(&self, copper: Celsius) -> WireHeat {
        let copper_k = (copper.si() - self.air.si()).max(0.0);
        let share = self.inner_w_per_k / (self.inner_w_per_k + self.outer_w_per_k);
        WireHeat {
            copper_k,
            wall_k: share * copper_k,
        }
    }

    /// Temperature of the copper.
    pub fn copper(&self, heat: WireHeat) -> Celsius {
        Celsius::new(self.air.si() + heat.copper_k)
    }

    /// Settled under the mean square of a current; beyond all measure where it
    /// never settles.
    pub fn settled_under(&self, square_a2: f64) -> WireHeat {
        let [[a, b], [c, d]] = self.matrix(square_a2);
        let push = square_a2 * self.push;
        let determinant = a * d - b * c;
        let settled = WireHeat {
            copper_k: -push * d / determinant,
            wall_k: push * c / determinant,
        };
        let settles = determinant > 0.0 && settled.copper_k < BEYOND_K;
        if settles {
            settled
        } else {
            WireHeat {
                copper_k: BEYOND_K,
                wall_k: BEYOND_K,
            }
        }
    }

    /// Mean square of the current under which its copper settles at a
    /// temperature, amperes squared.
    pub fn square_for(&self, copper: Celsius) -> f64 {
        let (gw, ga) = (self.inner_w_per_k, self.outer_w_per_k);
        let rise_k = (copper.si() - self.air.si()).max(0.0);
        let ohm = self.r20_ohm * (1.0 + COPPER_PER_K * (copper.si() - 20.0));
        gw * ga / (gw + ga) * rise_k / ohm
    }

    /// Kelvin gained a second under the square of a current.
    #[inline]
    pub fn rates(&self, heat: WireHeat, square_a2: f64) -> WireHeat {
        let [[a, b], [c, d]] = self.matrix(square_a2);
        WireHeat {
            copper_k: a * heat.copper_k + b * heat.wall_k + square_a2 * self.push,
            wall_k: c * heat.copper_k + d * heat.wall_k,
        }
    }

    /// What the rates gain by a kelvin of copper and of wall: rows of copper,
    /// then of wall.
    #[inline]
    pub fn matrix(&self, square_a2: f64) -> [[f64; 2]; 2] {
        let [[a, b], wall] = self.cooling;
        [[a + self.growth * square_a2, b], wall]
    }

    /// What the copper's rate gains by an ampere squared.
    #[inline]
    pub fn copper_by_square(&self, heat: WireHeat) -> f64 {
        self.push + self.growth * heat.copper_k
    }

    /// Resistance of its copper over that at the temperature of the air, and
    /// what a kelvin adds to it.
    #[inline]
    pub fn ohms_over_cold(&self, heat: WireHeat) -> (f64, f64) {
        (1.0 + self.rise_per_k * heat.copper_k, self.rise_per_k)
    }

    /// After a time at a constant current.
    pub fn after(&self, heat: WireHeat, current_a: f64, seconds: f64) -> WireHeat {
        // At one current loss and rise of resistance balance and nothing ever
        // settles; a shift in the twelfth digit steps around it.
        let square = current_a * current_a;
        let near = self.evolve(heat, square, seconds);
        near.unwrap_or_else(|| {
            let aside = square * (1.0 + 1e-9);
            self.evolve(heat, aside, seconds).unwrap_or(heat)
        })
    }

    fn evolve(&self, heat: WireHeat, square_a2: f64, seconds: f64) -> Option<WireHeat> {
        let [[a, b], [c, d]] = self.matrix(square_a2);
        let determinant = a * d - b * c;
        if determinant == 0.0 {
            return None;
        }
        // Where it would settle: M x + (P/Cc, 0) = 0.
        let push = square_a2 * self.push;
        let rest = [-push * d / determinant, push * c / determinant];
        let [x, y] = [heat.copper_k - rest[0], heat.wall_k - rest[1]];
        let middle = f64::midpoint(a, d);
        let spread = (0.25 * (a - d) * (a - d) + b * c).sqrt();
        // exp(M t) = exp(middle t) (cosh(spread t) + sinh(spread t)/spread (M - middle)).
        let up = ((middle + spread) * seconds).min(60.0).exp();
        let down = ((middle - spread) * seconds).exp();
        let (even, odd) = (0.5 * (up + down), 0.5 * (up - down) / spread);
        let copper_k = rest[0] + even * x + odd * ((a - middle) * x + b * y);
        let wall_k = rest[1] + even * y + odd * (c * x + (d - middle) * y);
        Some(WireHeat {
            copper_k: copper_k.clamp(0.0, BEYOND_K),
            wall_k: wall_k.clamp(0.0, BEYOND_K),
        })
    }

    /// Time to a copper temperature at a constant current; none where it never
    /// gets there.
    pub fn reaches(&self, heat: WireHeat, current_a: f64, degc: f64) -> Option<f64> {
        self.first(heat, current_a, |_, hot_degc| hot_degc >= degc)
    }

    /// First time at which a condition of time and copper temperature holds that
    /// then stays true; by bisection in the logarithm of time.
    pub(super) fn first(
        &self,
        heat: WireHeat,
        current_a: f64,
        holds: impl Fn(f64, f64) -> bool,
    ) -> Option<f64> {
        let at = |t: f64| {
            let hot = self.after(heat, current_a, t);
            holds(t, self.air.si() + hot.copper_k)
        };
        let (mut low, mut high) = (-16.0f64, 16.0f64);
        if !at(high.exp()) {
            return None;
        }
        if at(low.exp()) {
            return Some(0.0);
        }
        for _ in 0..80 {
            let middle = f64::midpoint(low, high);
            if at(middle.exp()) {
                high = middle;
            } else {
                low = middle;
            }
        }
        Some(high.exp())
    }
}

/// Heat and thermal resistivity of an insulation.
struct Wall {
    j_per_m3_k: f64,
    resistivity: f64,
}

fn heat_of_wall(class: Celsius) -> Result<Wall, OutOfTable> {
    let name = if class.si() >= CROSS_LINKED_DEGC {
        "cross-linked polyethylene"
    } else {
        "PVC insulation"
    };
    let figure = |what: &str| constant(&format!("{what} of {name}")).map(|found| found.value);
    // g/cm3 and kJ/(kg K) together are MJ/(m3 K).
    Ok(Wall {
        j_per_m3_k: figure("density")? * figure("specific heat")? * 1e6,
        resistivity: figure("thermal resistivity")?,
    })
}
