//! Typical readings of parts worked out once more, by other means.

use super::loop_by_hand::typical_loop;
use super::{circuit, reading, rigged, rigged_part, steps_of_part, typical};
use ampkeel::bench::{Kind, Options, Rig, SEED, procedure};
use ampkeel::devices::MotorModel;
use approx::assert_relative_eq;

fn turning(kind: &Kind) -> &MotorModel {
    match kind {
        Kind::Drive(drive) => &drive.motor,
        Kind::Starter(motor) => motor,
        other => panic!("{other:?} is no such motor"),
    }
}

/// With nothing on its shaft a motor carries friction and drag alone.
#[test]
fn motors_turning_free_draw_what_bisection_on_their_speed_finds() {
    for class in [
        "trim",
        "blower",
        "starter 10 hp",
        "starter 40 hp",
        "starter 150 hp",
    ] {
        let (subject, rig) = rigged(class, &Options::default());
        let found = procedure(&subject, &rig, SEED).expect("procedure");
        let mut one = typical_loop(&rig, &turning(&subject.kind).parameters);
        one.torque_nm = turning(&subject.kind).parameters.tc.typical;
        let (current, volts) = one.solve();
        assert_relative_eq!(typical(&found, "current"), current, max_relative = 1e-6);
        let at = if class.starts_with("starter") {
            "volts at the starter"
        } else {
            "volts at the motor"
        };
        assert_relative_eq!(typical(&found, at), volts, max_relative = 1e-6);
        let lost = rig.open_volts.typical.si() - rig.battery.typical.si() * current - volts;
        assert_relative_eq!(
            typical(&found, "volts lost on the way"),
            lost,
            max_relative = 1e-5
        );
    }
}

/// Loop resistance of the rig without the fuse's element.
fn path_ohm(rig: &Rig) -> f64 {
    rig.battery.typical.si()
        + rig.leads.typical.si()
        + rig.fuse.clips.typical.si()
        + rig.burden.typical.si()
}

/// The whole loop with a load of constant resistance, the lead's fuse warming.
fn through(rig: &Rig, ohms: f64) -> f64 {
    let mut current = 0.0;
    for _ in 0..50 {
        let rise = 1.0 + rig.fuse.rise_per_a2 * current * current;
        let total = path_ohm(rig) + rig.fuse.cold.typical.si() * rise + ohms;
        current = rig.open_volts.typical.si() / total;
    }
    current
}

#[test]
fn a_primer_draws_its_volts_over_its_ohms() {
    let (subject, rig) = rigged("primer", &Options::default());
    let found = procedure(&subject, &rig, SEED).expect("procedure");
    let current = through(&rig, 4.0);
    assert_relative_eq!(typical(&found, "current"), current, max_relative = 1e-6);
    assert_relative_eq!(
        typical(&found, "volts at its terminals"),
        current * 4.0,
        max_relative = 1e-6
    );
}

/// A relay's contacts, a switch, a pin: all lose current times ohms. The lamp's
/// own law is not solved here; its current is taken from the rig and its volts.
#[test]
fn a_switch_loses_its_lamps_current_times_its_contact() {
    let circuit = circuit(
        "format = 1\n[battery.b]\n[switch.s]\ncontact = \"40 mohm\"\nin = \"b.plus\"\n[load.l]\nlamp = \"21 W\"\nplus = \"s.out\"\nminus = \"b.minus\"\n",
    );
    let (subject, rig) = rigged_part(&circuit, "s");
    let found = procedure(&subject, &rig, SEED).expect("procedure");
    let across = typical(&found, "volts across one contact");
    // 21 W at 12 V are 1.75 A; a filament draws by the root of its volts, so
    // within 4 % on 11 to 13 V.
    assert_relative_eq!(across, 1.75 * 0.040, max_relative = 0.04);
}

#[test]
fn a_fuse_loses_its_lamps_current_times_its_warm_element() {
    let circuit = circuit(
        "format = 1\n[battery.b]\n[fuse.f]\nstyle = \"blade\"\nrating = \"10 A\"\nin = \"b.plus\"\n[load.l]\nlamp = \"21 W\"\nplus = \"f.out\"\nminus = \"b.minus\"\n",
    );
    let found = steps_of_part(&circuit, "f");
    let element = typical(&found, "`f` across the fuse, 55 W headlamp bulb on it");
    let holder = typical(&found, "`f` with its clips, 55 W headlamp bulb on it");
    // 7.7 mohm cold, 0.59 x 0.70 x (4.58/10)^2 warmer; clips 2 mohm. The lamp
    // draws 4.58 A within 4 %.
    let current = 55.0 / 12.0;
    let warm = 1.0 + 0.59 * 0.696 * (current / 10.0f64).powi(2);
    assert_relative_eq!(element, current * 0.0077 * warm, max_relative = 0.04);
    assert_relative_eq!(
        holder / element,
        (0.0077 * warm + 0.002) / (0.0077 * warm),
        max_relative = 1e-3
    );
}

#[test]
fn a_small_fuse_is_loaded_with_a_lamp_it_bears() {
    for (rating, lamp) in [
        ("1 A", "5 W"),
        ("2 A", "10 W"),
        ("5 A", "21 W"),
        ("10 A", "55 W"),
    ] {
        let circuit = circuit(&format!(
            "format = 1\n[battery.b]\n[fuse.f]\nstyle = \"blade\"\nrating = \"{rating}\"\nin = \"b.plus\"\n[load.l]\nlamp = \"5 W\"\nplus = \"f.out\"\nminus = \"b.minus\"\n"
        ));
        let found = steps_of_part(&circuit, "f");
        let mut quantities = found.steps.iter().flat_map(|step| &step.expect);
        assert!(
            quantities.any(|reading| reading.quantity.contains(lamp)),
            "{rating}"
        );
    }
}

/// A selector's pairs by position, worked out by hand for three terminals in a
/// row: two contacts in series have twice the ohms.
#[test]
fn a_selector_is_read_pair_by_pair() {
    let circuit = circuit(
        "format = 1\n[battery.b]\n[switch.key]\nterminals = [\"b\", \"i\", \"s\"]\npositions = { off = [], run = [\"b-i\"], start = [\"b-i\", \"b-s\"] }\ncontact = \"1 ohm\"\nb = \"b.plus\"\n[load.l]\nlamp = \"21 W\"\nplus = \"key.i\"\nminus = \"b.minus\"\n[load.m]\nlamp = \"21 W\"\nplus = \"key.s\"\nminus = \"b.minus\"\n[state.off]\n[state.run]\nset = { key = \"run\" }\n",
    );
    let found = steps_of_part(&circuit, "key");
    let step = |name: &str| {
        let mut steps = found.steps.iter();
        steps
            .find(|step| step.action.starts_with(&format!("Position `{name}`")))
            .expect("position")
    };
    let read = |name: &str| -> Vec<(String, Option<f64>)> {
        let expect = step(name).expect.iter();
        expect.map(|r| (r.quantity.clone(), r.typical)).collect()
    };
    assert_eq!(read("off"), vec![("every two terminals".to_owned(), None)]);
    let run = read("run");
    assert_eq!(run[0].0, "`b` to `i`");
    assert_eq!(run[1], ("every other two terminals".to_owned(), None));
    let start = read("start");
    let between = |pair: &str| start.iter().find(|r| r.0 == pair).and_then(|r| r.1);
    // The leads add 0.15 ohm on the average.
    assert_relative_eq!(
        between("`b` to `s`").expect("made"),
        1.15,
        max_relative = 1e-9
    );
    assert_relative_eq!(
        between("`i` to `s`").expect("made"),
        2.15,
        max_relative = 1e-9
    );
}

#[test]
fn a_normally_closed_switch_reads_closed_at_rest() {
    let text = "format = 1\n[battery.b]\n[switch.s]\nnormally = \"closed\"\nin = \"b.plus\"\n[load.l]\nlamp = \"21 W\"\nplus = \"s.out\"\nminus = \"b.minus\"\n";
    let closed_at_rest = |text: &str| {
        let found = steps_of_part(&circuit(text), "s");
        let rest = found
            .steps
            .iter()
            .find(|step| step.action.starts_with("Nothing acting"));
        rest.expect("rest").expect[0].typical.is_some()
    };
    assert!(closed_at_rest(text));
    assert!(!closed_at_rest(
        &text.replace("normally = \"closed\"\n", "")
    ));
}

#[test]
fn both_fields_of_a_two_field_motor_are_run() {
    let examples = crate::solving::examples();
    let two = examples
        .iter()
        .find(|(file, _)| file.contains("trim-two-field"));
    let found = steps_of_part(&two.expect("file").1, "trim-motor");
    let says = |words: &str| found.steps.iter().any(|step| step.action.contains(words));
    assert!(says("plus to `up`, minus to `common`") && says("move plus from `up` to `down`"));
    assert!(reading(&found, "current the other way").typical.is_some());
}
