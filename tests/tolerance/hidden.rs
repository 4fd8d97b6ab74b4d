//! Hidden boats read with a meter: what the readings narrow holds them at the
//! stated rate, and readings that cannot be are told.

use std::fmt::Write;

use ampkeel::circuit::Circuit;
use ampkeel::devices::{Figure, Resolved, What, resolve};
use ampkeel::quantities::Band;
use ampkeel::solving::states;
use ampkeel::tolerance::Study;

use super::{HALF_KNOWN, circuit, studied};
use crate::procedures::lehmer::Lehmer;

fn plain() -> String {
    // A battery whose resistance was measured: no age to be drawn.
    HALF_KNOWN.replace("charge = \"70 to 100 %\"", "resistance = \"5 to 9 mohm\"")
}

/// A hidden boat: its figures in the order of the study's unknowns.
fn hidden(resolved: &Resolved, draw: &mut Lehmer) -> (Resolved, Vec<f64>) {
    let mut values = Vec::new();
    let mut one = resolved.clone();
    resolved.narrow(&mut one, &mut |figure: Figure, band: Band<f64>| {
        let value = draw.of(band.low, band.typical, band.high);
        // No steady state hangs on a motor's inertia or inductance.
        let is_still = matches!(figure.what, What::Inertia | What::Inductance);
        if band.high > band.low && !is_still {
            values.push(value);
        }
        value
    });
    (one, values)
}

/// A meter within its usual limits, anywhere in them.
fn read(draw: &mut Lehmer, value: f64, share: f64, plus: f64) -> f64 {
    value + (2.0 * draw.share() - 1.0) * (share * value + plus)
}

/// The file with what a meter shows in a hidden boat while both run: volts at
/// pump and lamp, amperes of the main fuse, millivolts along two wires.
fn with_readings(circuit: &Circuit, one: &Resolved, draw: &mut Lehmer) -> String {
    let solved = states(circuit, one).unwrap();
    let both = solved.iter().find(|state| state.name == "both").unwrap();
    let mut text = plain();
    let mut add = |at: &str, quantity: &str, value: f64, unit: &str| {
        write!(
            text,
            "\n[[reading]]\nat = \"{at}\"\nquantity = \"{quantity}\"\nvalue = \"{value:.6} {unit}\"\nstate = \"both\"\n"
        )
        .unwrap();
    };
    for part in ["bilge-pump", "lights"] {
        let volts = both.parts[part].voltage_v.unwrap();
        add(part, "volts", read(draw, volts, 0.008, 0.02), "V");
    }
    let amps = both.fuses["main"].current_a;
    add("main", "amps", read(draw, amps, 0.025, 0.1), "A");
    for (from, to) in [("main.out", "helm.feed"), ("helm.bilge", "bilge-switch.in")] {
        let wire = both
            .wires
            .iter()
            .find(|wire| wire.from == from && wire.to == to);
        let volts = wire.unwrap().drop_v.abs();
        let label = format!("{from} to {to}");
        add(
            &label,
            "millivolts",
            1000.0 * read(draw, volts, 0.008, 0.0003),
            "mV",
        );
    }
    text
}

/// The file's own unknowns are those of [`hidden`], in its order.
fn figures_of_parts(study: &Study, count: usize) -> &[[f64; 3]] {
    assert_eq!(study.unknowns.len(), study.drawn.len());
    &study.drawn[..count]
}

#[test]
fn readings_narrow_and_nine_in_ten_hidden_figures_stay_inside() {
    let boats = 40;
    let unread = circuit(&plain());
    let resolved = resolve(&unread).unwrap();
    let mut draw = Lehmer(424_242);
    let (mut inside, mut all, mut narrower) = (0, 0, 0.0);
    let mut boats_told_off = 0;
    let before = studied(&unread, 1024);
    // What the readings speak of: wires along which millivolts were read.
    let spoken: Vec<usize> = (0..before.unknowns.len())
        .filter(|at| {
            let of = &before.unknowns[*at];
            of.subject == "main.out to helm.feed"
                || of.subject == "helm.bilge to bilge-switch.in"
                || of.subject == "bilge-pump"
        })
        .collect();
    assert!(spoken.len() >= 8, "{}", spoken.len());
    for _ in 0..boats {
        let (one, values) = hidden(&resolved, &mut draw);
        let text = with_readings(&unread, &one, &mut draw);
        let study = studied(&circuit(&text), 1024);
        let after = figures_of_parts(&study, values.len());
        let readings = study.readings.as_ref().unwrap();
        boats_told_off += usize::from(!study.findings.is_empty() && readings.contradict);
        for &at in &spoken {
            let [low, _, high] = after[at];
            inside += usize::from((low..=high).contains(&values[at]));
            all += 1;
            let [before_low, _, before_high] = before.drawn[at];
            narrower += (high - low) / (before_high - before_low);
        }
    }
    let share = inside as f64 / f64::from(all);
    // 40 boats of some ten figures each that hang together: at least 40
    // independent ones, of which four spreads are 0.19; the figures of one boat
    // are drawn apart, so twice as tight is asked.
    assert!((share - 0.9).abs() < 0.06, "{inside} of {all}");
    let narrower = narrower / f64::from(all);
    assert!(narrower < 0.97, "ranges are {narrower} of what they were");
    // One sound boat in a hundred is told off by chance; three of forty happen
    // in one run of a hundred.
    assert!(
        boats_told_off <= 3,
        "{boats_told_off} of {boats} sound boats"
    );
}

#[test]
fn a_hidden_joint_is_found_by_its_millivolts() {
    // One joint may be anything up to half an ohm; the wire is known.
    let text = |joint: &str| {
        format!(
            r#"
format = 1
[battery.house]
open-volts = "12.6 V"
resistance = "10 mohm"
minus = "ground"
[stud.ground]
[fuse.main]
style = "blade"
rating = "10 A"
[load.heater]
resistance = "4 ohm"
[[wire]]
from = "house.plus"
to = "main.in"
size = "14 AWG"
length = "0.5 m"
[[wire]]
from = "main.out"
to = "heater.plus"
size = "14 AWG"
length = "3 m"
joints = "{joint}"
[[wire]]
from = "heater.minus"
to = "ground"
size = "14 AWG"
length = "3 m"
"#
        )
    };
    // By hand: 14 AWG tinned has 8.5 mohm per metre near 30 degC, 26 mohm for 3 m; with
    // 0.2 ohm of joint 0.226 ohm. The loop: 4 + 0.226 + 0.010 + 0.032 + 0.010
    // ohm, 12.6 V: 2.945 A, and 0.666 V along the wire.
    let read = format!(
        "{}\n[[reading]]\nat = \"main.out to heater.plus\"\nquantity = \"volts\"\nvalue = \"0.666 V\"\n",
        text("0 to 500 mohm")
    );
    let study = studied(&circuit(&read), 2048);
    let joint = study
        .unknowns
        .iter()
        .position(|of| of.what.starts_with("joints") && of.subject == "main.out to heater.plus")
        .unwrap();
    let [low, middle, high] = study.drawn[joint];
    assert!((middle - 0.2).abs() < 0.008, "{low} {middle} {high}");
    assert!(
        low > 0.18 && high < 0.22 && high - low < 0.03,
        "{low} {high}"
    );
}

#[test]
fn a_reading_no_boat_of_the_ranges_shows_is_told() {
    let unread = circuit(&plain());
    let resolved = resolve(&unread).unwrap();
    let mut draw = Lehmer(99);
    let (one, _) = hidden(&resolved, &mut draw);
    let text = with_readings(&unread, &one, &mut draw);
    // Nine volts at the lamp beside twelve at the pump: a joint that the drawing
    // does not have.
    let mut wrong: Vec<String> = text.split("[[reading]]").map(str::to_owned).collect();
    let lamp = wrong
        .iter()
        .position(|part| part.contains("at = \"lights\""))
        .unwrap();
    wrong[lamp] =
        "\nat = \"lights\"\nquantity = \"volts\"\nvalue = \"9.0 V\"\nstate = \"both\"\n".to_owned();
    let study = studied(&circuit(&wrong.join("[[reading]]")), 1024);
    let readings = study.readings.unwrap();
    assert!(readings.contradict);
    let told = study
        .findings
        .iter()
        .find(|finding| finding.code.name() == "reading-contradicts")
        .unwrap();
    assert_eq!(told.subject, "lights");
    assert!(!told.labels.is_empty() && told.hint.is_some());
}
