//! Batteries: at rest, under load, cranking, against tables and hand calculation.

use super::{circuit, reading, steps_of_part, typical};
use approx::assert_relative_eq;

fn with(battery: &str) -> String {
    format!(
        "format = 1\n[battery.b]\n{battery}\n[load.l]\nlamp = \"21 W\"\nplus = \"b.plus\"\nminus = \"b.minus\"\n"
    )
}

/// `open-volts-flooded`, published: 12.65, 12.45, 12.24 and 12.06 V at 26.7 degC.
#[test]
fn volts_at_rest_follow_the_published_table_by_charge() {
    for (charge, volts) in [
        ("100 %", 12.65),
        ("75 %", 12.45),
        ("50 %", 12.24),
        ("25 %", 12.06),
    ] {
        let circuit = circuit(&with(&format!(
            "charge = \"{charge}\"\ntemperature = \"26.7 degC\"\ncold-cranking = \"400 A\""
        )));
        let found = steps_of_part(&circuit, "b");
        assert_relative_eq!(typical(&found, "volts at rest"), volts, epsilon = 0.005);
        let outside = found.steps.iter().flat_map(|step| &step.outside);
        assert!(
            outside
                .clone()
                .any(|line| line.starts_with("10.4 to 10.8 V: one shorted cell"))
        );
    }
}

/// By hand: E - (CCA/2)(R0 + R1 (1 - exp(-15/20))) with R0 = 2.2/CCA and
/// R1 = 1.0/CCA at 25 degC, whatever the rating: 12.65 - 5 mV - 1.1 - 0.264 V.
#[test]
fn the_load_test_takes_the_same_volts_of_any_sound_battery() {
    for rating in ["240 A", "350 A", "630 A"] {
        let circuit = circuit(&with(&format!(
            "charge = \"100 %\"\ntemperature = \"25 degC\"\ncold-cranking = \"{rating}\""
        )));
        let found = steps_of_part(&circuit, "b");
        let open = 12.65 + 0.003 * (25.0 - 26.7);
        let by_hand = open - 1.1 - 0.5 * (1.0 - (-0.75f64).exp());
        let volts = reading(&found, "volts under load");
        assert_relative_eq!(volts.typical.expect("computed"), by_hand, epsilon = 0.01);
        // The trade's limit of 9.6 V lies below any sound one.
        assert!(volts.low.expect("computed") > 9.6);
    }
}

/// `ph_100a` of the collected examples: 12 V behind 12 mohm at 100 A stands at 10.8 V.
/// Half of 200 A of cranking is those 100 A; a measured resistance has no slow part.
#[test]
fn a_textbook_battery_stands_at_ten_volts_and_eight_under_a_hundred_amperes() {
    use ampkeel::bench::{Kind, Options, Rig, SEED, procedure, usual};
    use ampkeel::quantities::{Amps, Band, Ohms, Volts};
    let circuit = circuit(&with("cold-cranking = \"200 A\""));
    let (mut subject, _) = super::rigged_part(&circuit, "b");
    if let Kind::Battery(battery) = &mut subject.kind {
        battery.model.open_volts = Band::exactly(Volts::new(12.0));
        battery.model.fast = Band::exactly(Ohms::new(0.012));
        battery.model.slow = Band::exactly(Ohms::new(0.0));
        assert_eq!(battery.model.cold_cranking, Some(Amps::new(200.0)));
    }
    let rig = Rig::new(None, &Options::default(), usual(&subject).expect("usual")).expect("rig");
    let found = procedure(&subject, &rig, SEED).expect("procedure");
    assert_relative_eq!(
        typical(&found, "volts under load"),
        10.8,
        max_relative = 1e-9
    );
}

/// Published: 9.6 V while cranking is the least a battery may show; a sound
/// outboard's holds 10.5 V.
#[test]
fn a_sound_battery_cranks_above_the_published_limits() {
    for (file, circuit) in crate::solving::examples() {
        if !file.contains("gabbro") {
            continue;
        }
        let found = steps_of_part(&circuit, "cranking");
        let volts = reading(&found, "volts at the posts, cranking");
        assert!(volts.low.expect("computed") > 10.5);
        // It cannot stand higher than at rest.
        let rest = reading(&found, "volts at rest");
        assert!(volts.high.expect("computed") < rest.low.expect("computed"));
    }
}

#[test]
fn a_battery_without_a_rating_has_no_load_test() {
    let circuit = circuit(&with("open-volts = \"13.3 V\"\nresistance = \"5 mohm\""));
    let found = steps_of_part(&circuit, "b");
    assert!(
        !found
            .steps
            .iter()
            .any(|step| step.action.starts_with("Load test"))
    );
    assert!(
        found
            .steps
            .iter()
            .any(|step| step.action.starts_with("Volts at its posts"))
    );
}
