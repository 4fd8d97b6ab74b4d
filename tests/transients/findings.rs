//! What a run shows to be wrong, what is made to happen on the way, and the
//! exit status.

use super::{at, circuit, followed, last, near, pump_on_a_battery};
use ampkeel::findings::Severity;
use ampkeel::transients::{Jam, Scenario, Short, Study, What, study};
use std::process::Command;

fn studied(text: &str, scenario: &Scenario) -> Study {
    study(&circuit(text), scenario).unwrap()
}

fn codes(study: &Study) -> Vec<&'static str> {
    study
        .findings
        .iter()
        .map(|found| found.code.name())
        .collect()
}

/// The pump behind a blade fuse on 3 m of 16 AWG.
fn fused(rating: &str) -> String {
    let wired = pump_on_a_battery(&[("to = \"pump.plus\"", "to = \"fuse.in\"")]);
    format!(
        "{wired}[fuse.fuse]\nstyle = \"blade\"\nrating = \"{rating}\"\n[[wire]]\nname = \"feed\"\n\
         from = \"fuse.out\"\nto = \"pump.plus\"\nsize = \"16 AWG\"\nlength = \"3 m\"\n"
    )
}

fn short(share: f64, ohm: f64, at_s: f64) -> Short {
    Short {
        wire: "feed".into(),
        share,
        ohm,
        to: None,
        at_s,
    }
}

#[test]
fn a_sound_start_finds_nothing() {
    let found = studied(&fused("15 A"), &Scenario::new("on", 2.0));
    assert_eq!(codes(&found), Vec::<&str>::new());
}

#[test]
fn a_fuse_that_opens_with_nothing_wrong_is_a_caution() {
    let found = studied(&fused("1 A"), &Scenario::new("on", 60.0));
    assert!(codes(&found).contains(&"fuse-opens-in-use"));
    let opening = found
        .findings
        .iter()
        .find(|f| f.code.name() == "fuse-opens-in-use");
    let opening = opening.unwrap();
    assert_eq!(opening.severity(), Severity::Caution);
    assert!(
        opening
            .hint
            .as_ref()
            .is_some_and(|hint| hint.contains("never fit a larger"))
    );
    // A short is what a fuse is for.
    let shorted = Scenario {
        short: Some(short(1.0, 1e-3, 0.0)),
        ..Scenario::new("on", 5.0)
    };
    assert!(!codes(&studied(&fused("10 A"), &shorted)).contains(&"fuse-opens-in-use"));
}

/// Battery 0.12 ohm and half of 3 m of 16 AWG, about 0.022 ohm: some 88 A until
/// the fuse, 8.9 times its 10 A, opens within 0.1 x (6/8.9)^2 s.
#[test]
fn a_short_made_on_the_way_begins_then_and_not_before() {
    let scenario = Scenario {
        from: Some("on".into()),
        short: Some(short(0.5, 1e-3, 1.5)),
        ..Scenario::new("on", 3.0)
    };
    let run = followed(&fused("10 A"), &scenario);
    near(run.first(What::Shorted, "feed").unwrap(), 1.5, 1e-9);
    assert_eq!(at(&run, "short", "current_a", 1.499), 0.0);
    let opens = run.first(What::Opens, "fuse").unwrap();
    let rating = 10.0 * (400.0_f64 / 395.0).sqrt();
    let peak = super::peak(&run, "short", "current_a").1;
    let middle_s = (0.02_f64 * 0.1).sqrt() * (6.0 * rating / peak).powi(2);
    // Warm from the pump's 5 A it opens sooner than from cold, and later because
    // copper and fuse heat and let less flow than at first.
    let share = (opens - 1.5) / middle_s;
    assert!((0.7..1.3).contains(&share), "{opens} {middle_s}");
    assert!(last(&run, "short", "current_a").abs() < 1e-15);
}

/// A jam at 1 s: until then the pump runs as if nothing were to come.
#[test]
fn a_shaft_that_jams_on_the_way_runs_until_then() {
    let jam = Jam {
        at_s: 1.0,
        ..Jam::from("pump")
    };
    let scenario = Scenario {
        from: Some("on".into()),
        locked: vec![jam],
        fuses: None,
        ..Scenario::new("on", 1.2)
    };
    let run = followed(&fused("10 A"), &scenario);
    near(run.first(What::Jams, "pump").unwrap(), 1.0, 1e-9);
    near(
        at(&run, "pump", "speed_rpm", 0.999),
        at(&run, "pump", "speed_rpm", 0.0),
        1e-4,
    );
    assert_eq!(at(&run, "pump", "speed_rpm", 1.001), 0.0);
    // Its current rises with the winding's time constant, L over all resistance.
    assert!(at(&run, "pump", "current_a", 1.0001) < 8.0);
    assert!(last(&run, "pump", "current_a") > 14.0);
    let found = studied(
        &fused("30 A"),
        &Scenario {
            fuses: scenario.fuses,
            ..scenario.clone()
        },
    );
    assert_eq!(codes(&found), Vec::<&str>::new());
    let long = Scenario {
        fuses: Scenario::new("on", 1.0).fuses,
        duration_s: 20.0,
        ..scenario
    };
    assert!(codes(&studied(&fused("30 A"), &long)).contains(&"winding-overheats"));
}

#[test]
fn a_wire_that_no_fuse_saves_is_a_violation() {
    let scenario = Scenario {
        short: Some(short(1.0, 0.05, 0.0)),
        ..Scenario::new("on", 600.0)
    };
    // 50 A in 16 AWG, which carries 25 A: a 40 A blade may take half an hour.
    let found = studied(&fused("40 A"), &scenario);
    let fails = found
        .findings
        .iter()
        .find(|f| f.code.name() == "insulation-fails");
    let fails = fails.unwrap_or_else(|| panic!("{:?}", codes(&found)));
    assert_eq!(fails.severity(), Severity::Violation);
    assert_eq!(fails.subject, "fuse.out to pump.plus");
    // 10 A opens in time.
    assert!(!codes(&studied(&fused("10 A"), &scenario)).contains(&"insulation-fails"));
    // Held fuses are no boat's.
    let held = Scenario {
        fuses: None,
        ..scenario
    };
    assert_eq!(codes(&studied(&fused("40 A"), &held)), Vec::<&str>::new());
}

const CRANKING: &str = include_str!("cranking-with-a-module.toml");

#[test]
fn a_relay_and_a_module_that_a_cranking_dip_drops_out_are_told() {
    let scenario = Scenario {
        from: Some("on".into()),
        ..Scenario::new("crank", 3.0)
    };
    let found = studied(CRANKING, &scenario);
    let codes = codes(&found);
    assert!(codes.contains(&"relay-drops-out"), "{codes:?}");
    assert!(codes.contains(&"electronics-cut-off"), "{codes:?}");
    let relay = found
        .findings
        .iter()
        .find(|f| f.code.name() == "relay-drops-out");
    assert!(relay.unwrap().statement.contains("closes again after"));
    let run = &found.run;
    let off = run.first(What::CutsOff, "module").unwrap();
    let back = run.first(What::ComesBack, "module").unwrap();
    assert!(off < back);
    near(at(run, "module", "voltage_v", off), 9.0, 1e-3);
    // Nothing is told of relays and modules that are switched off on purpose.
    let off = Scenario {
        from: Some("on".into()),
        ..Scenario::new("off", 1.0)
    };
    let found = studied(CRANKING, &off);
    assert!(found.run.first(What::LetsGo, "main").is_some());
    let told: Vec<&str> = found.findings.iter().map(|f| f.code.name()).collect();
    assert!(!told.contains(&"relay-drops-out"), "{told:?}");
}

#[test]
fn the_exit_status_is_one_where_a_wire_fails() {
    let folder = std::env::temp_dir().join(format!("ampkeel-fails-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let path = folder.join("boat.toml");
    std::fs::write(&path, fused("40 A")).unwrap();
    let status = |more: &[&str]| {
        let output = Command::new(env!("CARGO_BIN_EXE_ampkeel"))
            .arg("transient")
            .arg(&path)
            .args(more)
            .output()
            .unwrap();
        output.status.code()
    };
    let shorted = [
        "--short",
        "feed at 100 %",
        "--short-ohms",
        "50 mohm",
        "--for",
        "10 min",
    ];
    assert_eq!(status(&["--for", "1 s"]), Some(0));
    assert_eq!(status(&shorted), Some(1));
    assert_eq!(
        status(&[&shorted[..], &["--short-after", "599 s"]].concat()),
        Some(0)
    );
    assert_eq!(status(&["--short-after", "1 s"]), Some(2));
    assert_eq!(status(&["--locked-after", "1 s"]), Some(2));
    std::fs::remove_dir_all(&folder).unwrap();
}
