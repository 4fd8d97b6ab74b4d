//! The rig's loop solved once more, by bisection on the shaft's speed.
//!
//! Equations as in the references (`devices.md`, section 2):
//! `V = (R + Rs) i + Vb + k w`, `k i = Tc + c2 w^2 + ap dp + load`.

use super::{motor, reading, rigged, steps_of, typical};
use ampkeel::bench::{Load, Options, Refused, Rig, SEED, procedure, settled};
use ampkeel::circuit::BenchMeter;
use ampkeel::quantities::{Amps, Band, Volts};
use ampkeel::tables::devices::MotorParameters;
use approx::assert_relative_eq;

/// A motor's loop in plain figures.
pub(super) struct Loop {
    pub emf_v: f64,
    /// Everything in the loop but the winding and the fuse's element.
    pub path_ohm: f64,
    pub fuse_cold_ohm: f64,
    pub fuse_rise_per_a2: f64,
    pub winding_ohm: f64,
    pub brush_v: f64,
    pub k: f64,
    pub torque_nm: f64,
    pub drag: f64,
}

impl Loop {
    /// Current in the loop and volts at the motor.
    pub(super) fn solve(&self) -> (f64, f64) {
        let mut current = 0.0;
        // The fuse warms with the current: repeated until it settles.
        for _ in 0..60 {
            let rise = 1.0 + self.fuse_rise_per_a2 * current * current;
            current = self.at(self.path_ohm + self.fuse_cold_ohm * rise);
        }
        let rise = 1.0 + self.fuse_rise_per_a2 * current * current;
        let path = self.path_ohm + self.fuse_cold_ohm * rise;
        (current, self.emf_v - path * current)
    }

    fn at(&self, path_ohm: f64) -> f64 {
        let over_brush = self.emf_v - self.brush_v;
        let loop_ohm = self.winding_ohm + path_ohm;
        let current = |w: f64| (over_brush - self.k * w) / loop_ohm;
        let surplus = |w: f64| self.k * current(w) - self.torque_nm - self.drag * w * w;
        if surplus(0.0) <= 0.0 {
            return current(0.0);
        }
        let (mut low, mut high) = (0.0, over_brush / self.k);
        for _ in 0..200 {
            let middle = 0.5 * (low + high);
            if surplus(middle) > 0.0 {
                low = middle;
            } else {
                high = middle;
            }
        }
        current(low)
    }
}

pub(super) fn typical_loop(rig: &Rig, motor: &MotorParameters) -> Loop {
    Loop {
        emf_v: rig.open_volts.typical.si(),
        path_ohm: rig.battery.typical.si()
            + rig.leads.typical.si()
            + rig.fuse.clips.typical.si()
            + rig.burden.typical.si(),
        fuse_cold_ohm: rig.fuse.cold.typical.si(),
        fuse_rise_per_a2: rig.fuse.rise_per_a2,
        winding_ohm: motor.r.typical.si(),
        brush_v: motor.v_brush.si(),
        k: motor.k.typical,
        torque_nm: motor.tc.typical + motor.load_torque.typical,
        drag: motor.c2.typical,
    }
}

#[test]
fn typical_readings_are_those_of_the_motor_equations() {
    for class in [
        "high-pressure fuel pump",
        "rotary lift pump",
        "bilge pump 500 gal/h",
        "bilge pump 2000 gal/h",
    ] {
        let (subject, rig) = rigged(class, &Options::default());
        let found = procedure(&subject, &rig, SEED).expect("procedure");
        // Bench and class temperature are both 20 degC, so no warmth enters.
        let (current, volts) = typical_loop(&rig, &motor(&subject).parameters).solve();
        assert_relative_eq!(typical(&found, "current"), current, max_relative = 1e-7);
        assert_relative_eq!(
            typical(&found, "volts at the pump"),
            volts,
            max_relative = 1e-7
        );
        let lost = rig.open_volts.typical.si() - rig.battery.typical.si() * current - volts;
        assert_relative_eq!(
            typical(&found, "volts lost on the way"),
            lost,
            max_relative = 1e-6
        );
    }
}

/// `pump_conditions` of the references (derived), healthy with open outlet:
/// 3.57 A and 12.17 V on 12.6 V through 0.12 ohm.
#[test]
fn an_open_outlet_draws_what_the_signature_says() {
    let volts = |v| Some(Band::exactly(Volts::new(v)));
    let options = Options {
        battery_volts: volts(12.6),
        ..Options::default()
    };
    let (subject, mut rig) = rigged("high-pressure fuel pump", &options);
    let zero = Band::exactly(ampkeel::quantities::Ohms::new(0.0));
    rig.battery = Band::exactly(ampkeel::quantities::Ohms::new(0.06));
    rig.leads = Band::exactly(ampkeel::quantities::Ohms::new(0.06 - 1e-6));
    rig.fuse.clips = zero;
    rig.fuse.cold = Band::exactly(ampkeel::quantities::Ohms::new(1e-6));
    let found = procedure(&subject, &rig, SEED).expect("procedure");
    assert_relative_eq!(typical(&found, "current"), 3.57, max_relative = 0.01);
    assert_relative_eq!(
        typical(&found, "volts at the pump"),
        12.17,
        max_relative = 0.005
    );
    let of = |fault: &str| {
        let row = found.signatures.iter().find(|row| row.fault == fault);
        row.expect("row").current_a
    };
    // The same table: locked 17.61 A, dry 0.96 A, restricted 6.55 A, open 0 A.
    assert_relative_eq!(of("locked"), 17.61, max_relative = 0.01);
    assert_relative_eq!(of("dry"), 0.96, max_relative = 0.01);
    assert_relative_eq!(of("restricted"), 6.55, max_relative = 0.01);
    assert_relative_eq!(of("open"), 0.0);
}

#[test]
fn a_coil_draws_its_volts_over_its_ohms() {
    let (subject, rig) = rigged("plug-in", &Options::default());
    let found = procedure(&subject, &rig, SEED).expect("procedure");
    // Loop of resistances: 85 ohm coil, fuse at 20 degC hardly warm.
    let path = rig.battery.typical.si()
        + rig.leads.typical.si()
        + rig.fuse.clips.typical.si()
        + rig.burden.typical.si();
    let open = rig.open_volts.typical.si();
    let cold = open / (85.0 + path + rig.fuse.cold.typical.si());
    let warm = rig.fuse.cold.typical.si() * (1.0 + rig.fuse.rise_per_a2 * cold * cold);
    assert_relative_eq!(
        typical(&found, "coil current"),
        open / (85.0 + path + warm),
        max_relative = 1e-6
    );
}

/// 0.12 ohm of jack and leads at 3.6 A is 0.43 V (devices.md section 9:
/// 0.25 to 1 V lost at 5 A).
#[test]
fn the_ampere_jack_takes_its_volts_from_the_pump() {
    let clamp = steps_of("high-pressure fuel pump");
    let options = Options {
        meter: Some(BenchMeter::Jack),
        ..Options::default()
    };
    let (subject, rig) = rigged("high-pressure fuel pump", &options);
    let jack = procedure(&subject, &rig, SEED).expect("procedure");
    let lost = typical(&clamp, "volts at the pump") - typical(&jack, "volts at the pump");
    assert!((0.35..0.45).contains(&lost), "{lost}");
    assert!(typical(&jack, "current") < typical(&clamp, "current"));
}

#[test]
fn a_fuse_that_leads_cannot_carry_is_told() {
    use ampkeel::quantities::WireSize;
    let thin = Options {
        lead_size: Some(WireSize::Awg(18)),
        inline_fuse: Some(Amps::new(15.0)),
        ..Options::default()
    };
    let (subject, rig) = rigged("high-pressure fuel pump", &thin);
    let found = procedure(&subject, &rig, SEED).expect("procedure");
    assert_eq!(found.findings[0].code.name(), "fuse-above-lead");
    assert!(steps_of("high-pressure fuel pump").findings.is_empty());
    assert!(reading(&found, "current").coverage == Some(0.9));
}

/// A resistance below zero is no collapsing supply: it is told as what it is.
#[test]
fn a_figure_out_of_its_laws_range_has_its_own_refusal() {
    let (_, rig) = rigged("rotary lift pump", &Options::default());
    let mut feed = rig.typical();
    feed.link.r_contacts_ohm = -1.0;
    let why = settled(&[(feed, Load::resistance(4.0))]).expect_err("refused");
    assert!(matches!(why, Refused::Figure(_)), "{why:?}");
    assert!(why.to_string().contains("r_contacts_ohm"), "{why}");
}
