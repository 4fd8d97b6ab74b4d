//! The hidden truth of blind recovery: another generator, another model.
//!
//! Friction has a viscous share and less of the square; the brush drop rises as
//! `v0 (1 - exp(-i / 0.6 A))` and on with 20 mohm; tolerances lean to one side;
//! the loop is solved by bisection. Severities come from ranges of their own.

/// Park and Miller 1988.
pub(super) struct Lehmer(pub u64);

impl Lehmer {
    pub(super) fn share(&mut self) -> f64 {
        self.0 = self.0 * 48_271 % 2_147_483_647;
        self.0 as f64 / 2_147_483_647.0
    }

    pub(super) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    /// A factor whose tolerance leans to the high side: mean 1, reaching from
    /// `1 - 0.67 spread` to `1 + 1.33 spread`.
    pub(super) fn leaning(&mut self, spread: f64) -> f64 {
        let share = self.share() * self.share();
        1.0 + spread * (2.0 * share - 0.5).clamp(-0.67, 1.33)
    }

    /// One of the words by its odds.
    pub(super) fn pick<'a>(&mut self, odds: &[(&'a str, f64)]) -> &'a str {
        let whole: f64 = odds.iter().map(|(_, share)| share).sum();
        let mut left = self.share() * whole;
        for (word, share) in odds {
            left -= share;
            if left <= 0.0 {
                return word;
            }
        }
        odds[0].0
    }
}

/// A pump in plain figures.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pump {
    pub r_ohm: f64,
    pub brush_v: f64,
    /// Slope of the brush drop above its knee, ohms.
    pub film_ohm: f64,
    pub k: f64,
    pub friction_nm: f64,
    pub viscous_nm_s: f64,
    pub square_nm_s2: f64,
    pub per_pa_nm: f64,
    pub set_pa: f64,
}

impl Pump {
    /// A type of high-pressure fuel pump, somewhere in its class.
    pub(super) fn of_type(draw: &mut Lehmer) -> Self {
        let k = 0.0138 * draw.between(0.87, 1.2);
        // A third of the drag at 600 rad/s is viscous.
        let drag_nm = 8e-8 * 600.0 * 600.0 * draw.between(0.7, 1.3);
        Self {
            r_ohm: draw.between(0.4, 0.95),
            brush_v: draw.between(0.6, 1.1),
            film_ohm: 0.02,
            k,
            friction_nm: 0.012 * draw.between(0.7, 1.3),
            viscous_nm_s: 0.33 * drag_nm / 600.0,
            square_nm_s2: 0.67 * drag_nm / (600.0 * 600.0),
            per_pa_nm: 8.5e-8 * draw.between(0.75, 1.3),
            set_pa: 300e3,
        }
    }

    /// One of that type.
    pub(super) fn one(self, draw: &mut Lehmer) -> Self {
        Self {
            r_ohm: self.r_ohm * draw.leaning(0.1),
            brush_v: self.brush_v * draw.leaning(0.2),
            k: self.k * draw.leaning(0.04),
            friction_nm: self.friction_nm * draw.leaning(0.25),
            viscous_nm_s: self.viscous_nm_s * draw.leaning(0.25),
            square_nm_s2: self.square_nm_s2 * draw.leaning(0.2),
            per_pa_nm: self.per_pa_nm * draw.leaning(0.06),
            ..self
        }
    }

    fn brush(&self, current_a: f64) -> f64 {
        self.brush_v * (1.0 - (-current_a / 0.6).exp()) + self.film_ohm * current_a
    }

    /// Current at a speed, behind `emf_v` and `path_ohm`: by bisection.
    fn current(&self, emf_v: f64, path_ohm: f64, speed: f64) -> f64 {
        let (mut low, mut high) = (0.0, 3000.0);
        for _ in 0..90 {
            let i = 0.5 * (low + high);
            let used = (self.r_ohm + path_ohm) * i + self.brush(i) + self.k * speed;
            if used > emf_v { high = i } else { low = i }
        }
        low
    }

    /// Current and speed behind a battery and leads.
    pub(super) fn settle(&self, emf_v: f64, path_ohm: f64, pressure_pa: f64) -> (f64, f64) {
        let surplus = |w: f64| {
            let torque = self.friction_nm
                + self.viscous_nm_s * w
                + self.square_nm_s2 * w * w
                + self.per_pa_nm * pressure_pa;
            self.k * self.current(emf_v, path_ohm, w) - torque
        };
        if surplus(0.0) <= 0.0 {
            return (self.current(emf_v, path_ohm, 0.0), 0.0);
        }
        let (mut low, mut high) = (0.0, emf_v / self.k);
        for _ in 0..80 {
            let w = 0.5 * (low + high);
            if surplus(w) > 0.0 { low = w } else { high = w }
        }
        (self.current(emf_v, path_ohm, low), low)
    }
}

/// What the hidden bench shows, before the meter.
#[derive(Debug, Clone, Copy)]
pub(super) struct Shown {
    pub rest_v: f64,
    pub volts: f64,
    pub amps: f64,
    pub speed: f64,
    pub pressure_pa: f64,
}

/// One pump with one condition on one bench, against its pressure.
pub(super) fn shown(condition: &str, sound: Pump, draw: &mut Lehmer) -> Shown {
    let mut pump = sound;
    let mut emf_v = draw.between(12.35, 12.85);
    let mut path_ohm = draw.between(0.08, 0.13);
    let mut pressure = draw.between(0.95, 1.05);
    match condition {
        "locked" => pump.friction_nm = 100.0,
        "dragging" => {
            let times = draw.between(2.2, 5.0);
            pump.friction_nm *= times;
            pump.viscous_nm_s *= draw.between(1.0, 1.5);
        }
        "worn-stage" => pressure = draw.between(0.3, 0.8),
        "coil-open" => pump.r_ohm *= draw.between(1.8, 2.2),
        "worn-brush" => {
            pump.r_ohm += draw.between(0.3, 1.2);
            pump.brush_v += draw.between(0.2, 0.9);
        }
        "shorted-coil" => {
            let share = if draw.share() < 0.6 { 1.0 } else { 2.0 } / 8.0;
            pump.viscous_nm_s += share * pump.k * pump.k / (2.0 * pump.r_ohm);
            pump.r_ohm *= 1.0 - share;
            pump.k *= 1.0 - share;
        }
        "restricted" => pressure = draw.between(1.4, 2.4),
        "dry" => {
            pressure = draw.between(0.0, 0.04);
            pump.square_nm_s2 *= draw.between(0.0, 0.15);
            pump.viscous_nm_s *= draw.between(0.0, 0.3);
        }
        "reversed" => pressure = draw.between(0.0, 0.06),
        "poor-contact" => path_ohm += draw.between(0.2, 1.2),
        "low-supply" => emf_v = draw.between(9.5, 11.6),
        "hot" => {
            let over_k = draw.between(35.0, 65.0);
            pump.r_ohm *= 1.0 + 0.0039 * over_k;
            pump.k *= 1.0 - 0.002 * over_k;
        }
        _ => {}
    }
    let battery_v = emf_v;
    let (mut amps, mut speed) = pump.settle(emf_v, path_ohm, pressure * pump.set_pa);
    if condition == "open" {
        (amps, speed) = (0.0, 0.0);
    }
    let mut volts = emf_v - path_ohm * amps;
    if condition == "shorted" {
        speed = 0.0;
        let short_ohm = draw.between(0.02, 0.3);
        amps = if draw.share() < 0.75 {
            0.0
        } else {
            emf_v / (path_ohm + short_ohm)
        };
        volts = amps * short_ohm;
    }
    if speed == 0.0 {
        pressure = draw.between(0.0, 0.2);
    }
    Shown {
        rest_v: battery_v,
        volts,
        amps,
        speed,
        pressure_pa: pressure * pump.set_pa,
    }
}
