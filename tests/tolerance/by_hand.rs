//! A loop whose every figure has a range of its own, against hand calculation;
//! and the worst corner against all of them.

use ampkeel::devices::resolve;
use ampkeel::quantities::{Band, Dimension};
use ampkeel::solving::states;
use ampkeel::tolerance::{Side, Standing};

use super::{circuit, studied};
use crate::procedures::lehmer::Lehmer;

/// A battery of 12 V, two wires without copper to speak of beside their joints,
/// and a resistance. The wires are 10 AWG and a tenth of a metre: a third of a
/// milliohm each, against ohms.
const LOOP: &str = r#"
format = 1
[battery.house]
open-volts = "12.0 to 13.0 V"
resistance = "0.2 to 0.6 ohm"
minus = "ground"
[stud.ground]
[fuse.main]
style = "blade"
rating = "10 A"
[load.heater]
resistance = "3 to 5 ohm"
[[wire]]
from = "house.plus"
to = "main.in"
size = "10 AWG"
length = "0.1 m"
joints = "0 ohm"
[[wire]]
from = "main.out"
to = "heater.plus"
size = "10 AWG"
length = "0.1 m"
joints = "0.1 to 0.5 ohm"
[[wire]]
from = "heater.minus"
to = "ground"
size = "10 AWG"
length = "0.1 m"
joints = "0 ohm"
"#;

#[test]
fn a_loop_of_four_ranges_spreads_as_by_hand() {
    let study = studied(&circuit(LOOP), 4096);
    let mut draw = Lehmer(7);
    let mut amps = Vec::new();
    for _ in 0..20_000 {
        let volts = draw.of(12.0, 12.5, 13.0);
        let inside = draw.of(0.2, 0.4, 0.6);
        let joints = draw.of(0.1, 0.3, 0.5);
        let load = draw.of(3.0, 4.0, 5.0);
        // 10 mohm for the fuse, its clips, the wires: cold resistance of a 10 A
        // blade near 7.7 mohm, clips 2 mohm, wires 1 mohm.
        amps.push(volts / (inside + joints + load + 0.0107));
    }
    amps.sort_by(f64::total_cmp);
    let range = study
        .ranges
        .iter()
        .find(|range| range.subject == "heater" && range.dimension == Dimension::Current)
        .unwrap();
    for (share, told) in [(0.05, range.p5), (0.5, range.p50), (0.95, range.p95)] {
        let by_hand = amps[(share * amps.len() as f64) as usize];
        assert!(
            (told / by_hand - 1.0).abs() < 0.01,
            "{share}: {told} by hand {by_hand}"
        );
    }
}

#[test]
fn the_worst_corner_is_the_worst_of_all_corners() {
    let circuit = circuit(LOOP);
    let study = studied(&circuit, 256);
    let verdict = study
        .verdicts
        .iter()
        .find(|verdict| verdict.code.name() == "fuse-loaded-high")
        .unwrap();
    assert_eq!(verdict.side, Side::Above);
    let resolved = resolve(&circuit).unwrap();
    let mut count = 0;
    let _ = resolved.specimen(&mut |band: Band<f64>| {
        count += usize::from(band.high > band.low);
        band.typical
    });
    assert!(
        count <= 12,
        "{count} ranges are too many to try every corner"
    );
    let mut worst = 0.0_f64;
    for corner in 0..1_u32 << count {
        let mut at = 0;
        let one = resolved.specimen(&mut |band: Band<f64>| {
            if band.high <= band.low {
                return band.typical;
            }
            at += 1;
            if corner >> (at - 1) & 1 == 1 {
                band.high
            } else {
                band.low
            }
        });
        let solved = states(&circuit, &one).unwrap();
        worst = worst.max(solved[0].fuses["main"].current_a);
    }
    assert!(
        (verdict.worst / worst - 1.0).abs() < 1e-6,
        "{} of all corners {worst}",
        verdict.worst
    );
}

#[test]
fn what_decides_alone_is_measured_first_and_settles_the_verdict() {
    // Two and a half amperes through 14 AWG, 8.3 mohm a metre: of 20 to 160 m
    // the longer ones lose more than the 1.2 V allowed; nothing else is open,
    // and only the length decides.
    let text = LOOP
        .replace("open-volts = \"12.0 to 13.0 V\"", "open-volts = \"12.6 V\"")
        .replace("resistance = \"0.2 to 0.6 ohm\"", "resistance = \"5 mohm\"")
        .replace("resistance = \"3 to 5 ohm\"", "resistance = \"5 ohm\"")
        .replace("joints = \"0.1 to 0.5 ohm\"", "joints = \"2 mohm\"")
        .replace(
            "to = \"heater.plus\"\nsize = \"10 AWG\"\nlength = \"0.1 m\"",
            "to = \"heater.plus\"\nsize = \"14 AWG\"\nlength = \"20 to 160 m\"",
        );
    let study = studied(&circuit(&text), 2048);
    let open: Vec<_> = study
        .verdicts
        .iter()
        .filter(|verdict| verdict.standing == Standing::Open)
        .collect();
    assert_eq!(open.len(), 1, "{open:?}");
    assert_eq!(open[0].code.name(), "drop-above-limit");
    let first = &study.next[0];
    assert_eq!(first.subject, "main.out to heater.plus");
    assert!(first.what.contains(&"length"));
    assert!(first.share > 0.95, "{}", first.share);
    assert!(first.settles[0].1 > 0.8, "{:?}", first.settles);
}
