//! Each family of parts against figures of manuals and the trade, and what it asks
//! for next.

use super::{RPM, asked, first, of_class, rig_of, run};
use ampkeel::bench::{Options, Rig, Subject, air, testable, usual};
use ampkeel::interpreting::{
    Examined, Interpretation, Measure, NONE_OF_THESE, NotExamined, OPEN_OHM, OPEN_V, Run, RunKind,
};
use ampkeel::quantities::{Band, Ohms};
use approx::{assert_abs_diff_eq, assert_relative_eq};
use std::collections::BTreeSet;

fn of(class: &str, readings: &[(Measure, f64)]) -> Interpretation {
    asked(of_class(class), rig_of(class), None, vec![run(readings)])
}

fn off(class: &str, readings: &[(Measure, f64)]) -> Interpretation {
    let run = Run {
        kind: Some(RunKind::Off),
        readings: readings.to_vec(),
    };
    asked(of_class(class), rig_of(class), None, vec![run])
}

fn all_likely(found: &Interpretation) -> Vec<&'static str> {
    let mut all = vec![first(found)];
    all.extend(&found.twins);
    all
}

/// `starters`: 45 A at 10.9 V free on 12.04 V behind 25.2 mohm; stalled 390 A at
/// 2.25 V; an outboard's at most 30 A at 10500 rpm.
#[test]
fn a_starter_reads_as_its_manuals_say() {
    use Measure::{Amps, Ohms as ByOhms, Speed, Volts};
    let class = "starter 50 hp";
    let free = of(
        class,
        &[(Amps, 30.0), (Volts, 11.9), (Speed, 10_500.0 * RPM)],
    );
    assert_eq!(first(&free), "healthy");
    let mut rig = rig_of(class);
    rig.open_volts = Band::within(ampkeel::quantities::Volts::new(12.04), 0.01);
    rig.battery = Band::within(Ohms::new(0.0102), 0.05);
    rig.leads = Band::within(Ohms::new(0.014), 0.05);
    let stalled = run(&[(Amps, 390.0), (Volts, 2.25), (Speed, 0.0)]);
    let stalled = asked(of_class(class), rig, None, vec![stalled]);
    assert_eq!(first(&stalled), "locked");
    // No fuse is in the jump cables: nothing is said of one.
    assert!(stalled.notes.iter().all(|note| !note.contains("fuse")));
    let dead = of(class, &[(Amps, 0.0), (Volts, 12.6)]);
    assert_eq!(first(&dead), "open");
    assert_eq!(first(&of(class, &[(ByOhms, OPEN_OHM)])), "open");
}

/// A trade rule of free runs: much current and little speed is a tight or shorted
/// armature; little of both is bad brushes; none is open.
#[test]
fn free_running_motors_read_as_the_trade_reads_them() {
    use Measure::{Amps, Speed, Volts};
    let slow = of("trim", &[(Amps, 9.0), (Volts, 12.0), (Speed, 3600.0 * RPM)]);
    assert!(
        all_likely(&slow).contains(&"dragging"),
        "{:?}",
        all_likely(&slow)
    );
    let weak = of("trim", &[(Amps, 2.6), (Volts, 12.4), (Speed, 3000.0 * RPM)]);
    assert!(
        all_likely(&weak).contains(&"worn-brush"),
        "{:?}",
        all_likely(&weak)
    );
    let fine = of("blower", &[(Amps, 4.0), (Volts, 12.4)]);
    assert_eq!(first(&fine), "healthy");
}

/// Locked trim motors draw 60 to 120 A (`trim-figures`); 30 A blade fuses open
/// late on twice their rating.
#[test]
fn a_stalled_trim_motor_is_named_and_its_fuse_spoken_of() {
    use Measure::{Amps, Speed, Volts};
    let found = of("trim", &[(Amps, 75.0), (Volts, 8.8), (Speed, 0.0)]);
    assert_eq!(first(&found), "locked");
    assert!(
        found.notes.join(" ").contains("30 A fuse"),
        "{:?}",
        found.notes
    );
}

/// `solenoid-lift-pump`: 0.9 A in the mean, 2.2 A stuck on.
#[test]
fn a_pulsed_pump_reads_as_its_table_says() {
    use Measure::{Amps, Flow, Moves, Ohms as ByOhms, Peak};
    let class = "solenoid lift pump";
    let read = |readings: &[(Measure, f64)]| of(class, readings);
    let sound = read(&[(Amps, 0.9), (Peak, 2.0), (Moves, 1.0), (Flow, 1e-5)]);
    assert_eq!(first(&sound), "healthy");
    assert_eq!(first(&read(&[(Amps, 2.2), (Moves, 0.0)])), "locked");
    let dead = read(&[(Amps, 0.0), (Moves, 0.0)]);
    assert_eq!(first(&dead), "open");
    assert!(dead.twins.contains(&"reversed"), "{:?}", dead.twins);
    assert_eq!(first(&read(&[(ByOhms, OPEN_OHM)])), "open");
    let dry = read(&[(Amps, 0.9), (Moves, 1.0), (Flow, 0.0)]);
    assert_eq!(first(&dry), "worn-stage");
    assert!(dry.twins.contains(&"dry"), "{:?}", dry.twins);
}

/// `engine-loads`: a primer has 4 ohm and takes 3 A, an injector 12 to 16 ohm.
#[test]
fn windings_read_as_their_table_says() {
    use Measure::{Amps, Moves, Ohms as ByOhms, Volts};
    let primer = |readings: &[(Measure, f64)]| of("primer", readings);
    let sound = primer(&[(Amps, 2.9), (Volts, 12.2), (Moves, 1.0)]);
    assert_eq!(first(&sound), "healthy");
    assert_eq!(first(&primer(&[(ByOhms, OPEN_OHM)])), "open");
    assert_eq!(first(&primer(&[(ByOhms, 1.6)])), "shorted-coil");
    assert_eq!(first(&primer(&[(ByOhms, 4.2), (Moves, 0.0)])), "stuck");
    let starved = primer(&[(Amps, 1.5), (Volts, 6.2)]);
    assert_eq!(first(&starved), "poor-contact");
    assert_eq!(first(&of("injector", &[(ByOhms, 13.8)])), "healthy");
    let low = of("injector", &[(ByOhms, 6.0)]);
    assert_eq!(first(&low), "shorted-coil");
    assert_eq!(
        first(&of("capacitor-discharge ignition", &[(ByOhms, OPEN_OHM)])),
        "open"
    );
}

/// A coil burns under steady current: nobody is sent to read the current of an
/// injector, nor to put a battery on a capacitor-discharge coil.
#[test]
fn no_current_is_asked_for_where_a_battery_would_burn_the_coil() {
    for class in [
        "injector",
        "low-impedance injector",
        "capacitor-discharge ignition",
    ] {
        let measures = of_class(class).measures();
        for never in [Measure::Amps, Measure::Volts, Measure::PostVolts] {
            assert!(!measures.contains(&never), "{class}");
        }
        let asked = of(class, &[]);
        let next = asked.next_reading.expect("a reading");
        assert!(!next.contains("current"), "{class}: {next}");
    }
}

/// `relay-tests`, `starter-solenoids`: contacts that lose 0.5 V cranking are bad,
/// 0.1 to 0.2 V is good; coil 3 to 6 ohm.
#[test]
fn solenoids_and_stuck_relays_read_as_their_tables_say() {
    use Measure::{LoadAmps, Millivolts, Moves, Ohms as ByOhms, PullOhms};
    let class = "starter-solenoid";
    let cranking = |volts: f64| of(class, &[(LoadAmps, 150.0), (Millivolts, volts)]);
    assert_eq!(first(&cranking(0.15)), "healthy");
    let burnt = cranking(0.55);
    assert_eq!(first(&burnt), "burnt-contacts");
    let ohms = burnt
        .estimates
        .iter()
        .find(|e| e.quantity.contains("millivolts over amperes"));
    assert_relative_eq!(
        ohms.expect("estimate").value,
        0.55 / 150.0,
        max_relative = 1e-9
    );
    assert_eq!(first(&of(class, &[(ByOhms, 4.8), (Moves, 0.0)])), "stuck");
    assert_eq!(
        first(&of("shift-solenoid", &[(PullOhms, OPEN_OHM)])),
        "open-pull-winding"
    );
    assert_eq!(
        first(&off("plug-in", &[(Millivolts, 0.03)])),
        "welded-contacts"
    );
    let apart = off("plug-in", &[(Millivolts, 12.6)]);
    assert_ne!(first(&apart), "welded-contacts");
}

/// Published: a 15 A blade fuse stands for 0.21 A a millivolt, a 10 A one for
/// 0.13 A: cold, at 8 A, 38 and 62 mV.
#[test]
fn fuses_read_by_their_millivolts() {
    use Measure::{Amps, Millivolts, Ohms as ByOhms, Volts};
    let class = "blade fuse 15 A";
    let at = |volts: f64| of(class, &[(Amps, 8.0), (Millivolts, volts)]);
    let sound = at(0.0385);
    assert_eq!(first(&sound), "healthy");
    let current = sound.estimates.iter().find(|e| e.unit == "A");
    let current = current.expect("estimate");
    assert!(current.low < 8.0 && 8.0 < current.high, "{current:?}");
    assert_eq!(first(&at(0.4)), "tired-fuse");
    assert!(all_likely(&at(0.064)).contains(&"wrong-fuse"));
    let holder = of(class, &[(Amps, 8.0), (Millivolts, 0.0385), (Volts, 0.9)]);
    assert_eq!(first(&holder), "poor-contact");
    assert_eq!(first(&of(class, &[(ByOhms, OPEN_OHM)])), "open");
    let blown = of(class, &[(Amps, 0.0), (Millivolts, 12.6)]);
    assert_eq!(first(&blown), "open");
}

/// 30 mV stand for 6.3 A in a sound 15 A fuse (0.21 A a millivolt), and for less in
/// a tired one: without the current they do not part the two.
#[test]
fn millivolts_without_a_current_ask_for_it() {
    let found = of("blade fuse 15 A", &[(Measure::Millivolts, 0.030)]);
    assert_eq!(first(&found), "healthy");
    let current = found.estimates.iter().find(|e| e.unit == "A");
    let current = current.expect("estimate");
    assert!(current.low < 6.3 && 6.3 < current.high, "{current:?}");
    assert!(found.notes.join(" ").contains("No current was given"));
    let next = found.next_reading.expect("a reading");
    assert!(
        next.contains("current") || next.contains("wire to wire"),
        "{next}"
    );
    // What a switch loses at more than it is made for is no question of the load.
    let burnt = of("rocker switch", &[(Measure::Millivolts, 3.0)]);
    assert_eq!(first(&burnt), "poor-contact");
}

/// `contact-resistance`: a rocker switch has 8 mohm, is bad from 100.
#[test]
fn switches_and_joints_read_by_their_millivolts() {
    use Measure::{Amps, Millivolts, Ohms as ByOhms};
    let switch = |volts: f64| of("rocker switch", &[(Amps, 5.0), (Millivolts, volts)]);
    assert_eq!(first(&switch(0.04)), "healthy");
    assert_eq!(first(&switch(0.9)), "poor-contact");
    assert_eq!(
        first(&off("rocker switch", &[(ByOhms, 0.3)])),
        "welded-contacts"
    );
    let plug = of("plug", &[(Amps, 4.6), (Millivolts, 1.2)]);
    assert_eq!(first(&plug), "poor-contact");
    assert_eq!(first(&of("breaker 50 A", &[(ByOhms, OPEN_OHM)])), "open");
}

/// `charging-outputs`, `charging-volts`, `rectifier-faults`.
#[test]
fn charging_systems_read_as_their_manuals_say() {
    use Measure::{
        AcVolts, Amps, Backward, Forward, Ohms as ByOhms, PlusToGround, PostVolts, Speed,
    };
    let fast = 3000.0 * RPM;
    let read = |readings: &[(Measure, f64)]| of("charger", readings);
    let sound = read(&[
        (Speed, fast),
        (PostVolts, 14.3),
        (Amps, 9.0),
        (AcVolts, 0.08),
    ]);
    assert_eq!(first(&sound), "healthy");
    let boils = read(&[(Speed, fast), (PostVolts, 15.6)]);
    assert_eq!(first(&boils), "regulator-high");
    let shorted = read(&[(Forward, 0.002), (Backward, 0.002)]);
    assert_eq!(first(&shorted), "diode-shorted");
    assert!(shorted.twins.contains(&"leg-shorted"));
    let next = shorted.next_reading.expect("a reading");
    assert!(next.contains("plus to its ground"), "{next}");
    let leg = read(&[(Forward, 0.002), (Backward, 0.002), (PlusToGround, 2.0)]);
    assert_eq!(first(&leg), "leg-shorted");
    assert_eq!(
        first(&read(&[(Forward, OPEN_V), (Backward, OPEN_V)])),
        "diode-open"
    );
    assert_eq!(first(&read(&[(ByOhms, OPEN_OHM)])), "stator-open");
    let flat = read(&[(Speed, fast), (PostVolts, 12.4), (Amps, 0.0)]);
    assert_ne!(first(&flat), "healthy");
    let none = flat.conditions.iter().find(|v| v.condition == "healthy");
    assert!(none.expect("listed").probability < 0.02);
}

/// A stator made with a grounded end reads its coil to ground and is sound; a
/// floating one that does is shorted (`charging-ohms`).
#[test]
fn ohms_to_ground_mean_what_the_winding_is_made_like() {
    let at = |winding: &str| {
        let text = format!(
            "format = 1\n[battery.b]\nminus = \"g\"\n[stud.g]\n[charger.stator]\noutput = \"16 A\"\nwinding = \"{winding}\"\nminus = \"g\"\n[fuse.f]\nstyle = \"blade\"\nrating = \"20 A\"\n[load.l]\ncurrent = \"1 A\"\n[[wire]]\nfrom = \"b.plus\"\nto = \"f.in\"\nsize = \"12 AWG\"\nlength = \"1 ft\"\n[[wire]]\nfrom = \"f.out\"\nto = \"stator.plus\"\nsize = \"12 AWG\"\nlength = \"2 ft\"\n[[run]]\nthrough = [\"f.out\", \"l.plus\"]\nlengths = [\"2 ft\"]\nback = [\"l.minus\", \"g\"]\nback-lengths = [\"2 ft\"]\nsize = \"12 AWG\"\n"
        );
        let reading = ampkeel::reading::read(&ampkeel::span::CircuitText::new("t.toml", &text));
        let circuit = reading
            .circuit
            .unwrap_or_else(|| panic!("{:?}", reading.findings));
        let id = circuit.find("stator").expect("there");
        let air = air(Some(&circuit), &Options::default());
        let subject = Subject::of_part(&circuit, id, air).expect("steps");
        let rig = Rig::new(
            Some(&circuit),
            &Options::default(),
            usual(&subject).expect("usual"),
        );
        let runs = vec![run(&[(Measure::ToGround, 0.6)])];
        asked(
            Examined::of(&subject).expect("one"),
            rig.expect("rig"),
            None,
            runs,
        )
    };
    assert_eq!(first(&at("floating")), "stator-grounded");
    let grounded = at("grounded");
    assert_eq!(first(&grounded), "healthy");
    assert!(
        grounded
            .conditions
            .iter()
            .all(|v| v.condition != "stator-grounded")
    );
}

#[test]
fn a_diode_reads_by_the_diode_range() {
    use Measure::{Backward, Forward};
    let read = |one: f64, other: f64| of("diode", &[(Forward, one), (Backward, other)]);
    assert_eq!(first(&read(0.55, OPEN_V)), "healthy");
    assert_eq!(first(&read(0.001, 0.001)), "shorted");
    assert_eq!(first(&read(OPEN_V, OPEN_V)), "open");
}

/// Every kind of part of every example circuit, with nothing read: the odds of the
/// table come back, and one reading is asked for.
#[test]
fn every_testable_part_of_every_example_can_be_interpreted() {
    let mut seen = BTreeSet::new();
    for (file, circuit) in crate::solving::examples() {
        for part in circuit.parts.iter().filter(|part| testable(part)) {
            let id = circuit.find(&part.name).expect("there");
            let air = air(Some(&circuit), &Options::default());
            let subject = Subject::of_part(&circuit, id, air).expect("steps");
            let examined = match Examined::of(&subject) {
                Ok(examined) => examined,
                Err(NotExamined::WholeBlock(names)) => {
                    assert!(names.contains('.'), "{file} {names}");
                    continue;
                }
                Err(why) => panic!("{file} {}: {why}", part.name),
            };
            if !seen.insert(format!("{} {}", part.kind().word(), subject.class)) {
                continue;
            }
            let rig = Rig::new(
                Some(&circuit),
                &Options::default(),
                usual(&subject).expect("usual"),
            );
            let odds: Vec<(String, f64)> = ampkeel::tables::devices::prior_odds(examined.part())
                .expect("odds")
                .value
                .into_iter()
                .map(|(word, share)| (word.to_owned(), share))
                .collect();
            let found = asked(examined, rig.expect("rig"), None, Vec::new());
            let sum: f64 = found.conditions.iter().map(|v| v.probability).sum();
            assert_abs_diff_eq!(sum, 1.0, epsilon = 1e-9);
            let known: f64 = found
                .conditions
                .iter()
                .map(|v| {
                    odds.iter()
                        .find(|(word, _)| word == v.condition)
                        .expect("listed")
                        .1
                })
                .sum();
            for verdict in &found.conditions {
                let (_, share) = odds
                    .iter()
                    .find(|(word, _)| word == verdict.condition)
                    .expect("listed");
                // The odds of conditions it cannot have fall to the others.
                let expected = share / known;
                assert!(
                    (verdict.probability / expected - 1.0).abs() < 1e-6,
                    "{file} {} {}: {} against {expected}",
                    part.name,
                    verdict.condition,
                    verdict.probability
                );
                let is_known = verdict.means != "none of these";
                assert_eq!(
                    is_known,
                    verdict.condition != NONE_OF_THESE,
                    "{}",
                    verdict.condition
                );
            }
            assert!(found.statement.contains("nothing was read"), "{file}");
            assert!(found.next_reading.is_some(), "{file} {}", part.name);
            assert!(found.cautions.len() > 3, "{file} {}", part.name);
        }
    }
    assert!(seen.len() > 25, "{seen:?}");
}
