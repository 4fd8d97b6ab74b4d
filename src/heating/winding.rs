//! The winding of a motor that stands: its ohms rise as its copper warms, and
//! its copper warms by its own current, `m c dT/dt = i^2 r(T) - m c (T - T0) / tau`.
//!
//! One law for `transients`, which follows it with all of the circuit, and for
//! `protecting`, which asks it for a motor behind a feed.
//!
//! # Limits
//! The law is that of whole copper. Past the limit of its insulation nobody
//! knows: turns that short take more than it says, and end it sooner.

/// The winding of a standing motor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StandingWinding {
    /// At the temperature of its place, ohms.
    pub r_ohm: f64,
    /// Relative rise of its resistance per kelvin.
    pub per_k: f64,
    /// Heat of its copper, joules per kelvin.
    pub heat_j_per_k: f64,
    /// Time in which it loses 63 % of its rise, seconds; infinite where no loss
    /// is counted.
    pub cools_s: f64,
}

impl StandingWinding {
    /// Relative rise of copper's resistance per kelvin of what it has at a
    /// temperature, degC.
    pub fn per_k_at(degc: f64) -> f64 {
        1.0 / (234.5 + degc)
    }

    /// Its resistance, ohms, so many kelvin above its place.
    pub fn ohm(&self, rise_k: f64) -> f64 {
        self.r_ohm * (1.0 + self.per_k * rise_k)
    }

    /// How its resistance grows, ohms per kelvin.
    pub fn ohm_by_rise(&self) -> f64 {
        self.r_ohm * self.per_k
    }

    /// What it loses, kelvin per second; negative.
    pub fn cools(&self, rise_k: f64) -> f64 {
        -rise_k / self.cools_s
    }

    /// How it warms under its current, kelvin per second.
    pub fn warms(&self, rise_k: f64, current_a: f64) -> f64 {
        self.cools(rise_k) + current_a * current_a * self.ohm(rise_k) / self.heat_j_per_k
    }
}

/// A standing motor behind what feeds it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FedWinding {
    /// Its winding.
    pub winding: StandingWinding,
    /// Volts that drive its current: those of the feed less those of its brushes.
    pub volts: f64,
    /// Ohms of the feed.
    pub feed_ohm: f64,
}

/// Halvings that bring a settled temperature far below a thousandth of a kelvin.
const HALVINGS: u32 = 60;
/// Hotter than copper ever gets, kelvin above its place.
const HOTTEST_K: f64 = 1e6;
/// Steps of temperature that a course is cut into.
const STEPS: u32 = 60;

impl FedWinding {
    /// Its current, amperes, so many kelvin above its place.
    pub fn current_a(&self, rise_k: f64) -> f64 {
        self.volts.max(0.0) / (self.feed_ohm + self.winding.ohm(rise_k))
    }

    /// Where its temperature settles, kelvin above its place: heat over rise only
    /// falls as it warms, so there is one such place.
    pub fn settles_k(&self) -> f64 {
        let warms = |rise_k: f64| self.winding.warms(rise_k, self.current_a(rise_k));
        let (mut low, mut high) = (0.0, HOTTEST_K);
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(low, high);
            if warms(middle) > 0.0 {
                low = middle;
            } else {
                high = middle;
            }
        }
        low
    }

    /// Current, amperes, and seconds of each step on the way from one rise to a
    /// higher one below the settled.
    pub fn courses(&self, from_k: f64, to_k: f64) -> Vec<(f64, f64)> {
        let step_k = (to_k - from_k).max(0.0) / f64::from(STEPS);
        let at = |step: u32| {
            let rise_k = from_k + (f64::from(step) + 0.5) * step_k;
            let amps = self.current_a(rise_k);
            let rate = self.winding.warms(rise_k, amps).max(1e-12);
            (amps, step_k / rate)
        };
        (0..STEPS).map(at).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 12 V over 0.5 ohm is 24 A and 288 W; with 8 J/K that is 36 K/s.
    /// Settled at 60 s: x = (60 / 8) 144 / (0.5 (1 + x / 254.5)), so
    /// x^2 / 254.5 + x - 2160 = 0 and x = 625.0 K.
    #[test]
    fn a_winding_settles_where_it_loses_what_it_takes() {
        let winding = StandingWinding {
            r_ohm: 0.5,
            per_k: StandingWinding::per_k_at(20.0),
            heat_j_per_k: 8.0,
            cools_s: 60.0,
        };
        let fed = FedWinding {
            winding,
            volts: 12.0,
            feed_ohm: 0.0,
        };
        assert!((winding.warms(0.0, 24.0) - 36.0).abs() < 1e-12);
        let by_hand = 254.5 / 2.0 * ((1.0 + 4.0 * 2160.0 / 254.5f64).sqrt() - 1.0);
        assert!((fed.settles_k() - by_hand).abs() < 1e-6);
        assert!((by_hand - 625.0).abs() < 1.0, "{by_hand}");
    }

    /// Without loss and feed, `dt = C r0 (1 + a x) dx / V^2`: from 0 to 135 K with
    /// 8 J/K, 0.5 ohm and 12 V it takes 8 x 0.5 / 144 x (135 + 135^2 / 509) s.
    #[test]
    fn steps_add_up_to_the_time_by_hand() {
        let fed = FedWinding {
            winding: StandingWinding {
                r_ohm: 0.5,
                per_k: StandingWinding::per_k_at(20.0),
                heat_j_per_k: 8.0,
                cools_s: f64::INFINITY,
            },
            volts: 12.0,
            feed_ohm: 0.0,
        };
        let seconds: f64 = fed.courses(0.0, 135.0).iter().map(|(_, s)| s).sum();
        let by_hand = 8.0 * 0.5 / 144.0 * (135.0 + 135.0 * 135.0 / 509.0);
        assert!((seconds - by_hand).abs() < 1e-9 * by_hand, "{seconds}");
    }
}
