//! Faults between the ranges: nothing lies between a sound joint and a bad one, and
//! what reads the same from two causes is told as both.

use super::{RPM, asked, first, odds, of_class, rig_of, run};
use ampkeel::interpreting::{Interpretation, Measure, NONE_OF_THESE};
use ampkeel::quantities::Amps;

fn of(class: &str, readings: &[(Measure, f64)]) -> Interpretation {
    asked(of_class(class), rig_of(class), None, vec![run(readings)])
}

fn at_rest(rest_v: f64, readings: &[(Measure, f64)]) -> Interpretation {
    let runs = if readings.is_empty() {
        vec![]
    } else {
        vec![run(readings)]
    };
    asked(of_class("battery"), rig_of("battery"), Some(rest_v), runs)
}

/// Volts over amperes: 40 mohm in a pin, 12 to 40 in another, 24 and 30 in a rocker that
/// has 20 at most, 1.5 and 1.6 in a battery switch that has 1: all more than sound.
#[test]
fn a_contact_a_little_worse_than_sound_is_a_bad_one() {
    for (class, amps, volts) in [
        ("plug", 10.0, 0.4),
        ("plug", 5.0, 0.06),
        ("plug", 5.0, 0.1),
        ("plug", 5.0, 0.2),
        ("rocker switch", 5.0, 0.12),
        ("rocker switch", 5.0, 0.15),
        ("battery switch", 100.0, 0.15),
        ("battery switch", 5.0, 0.008),
    ] {
        let found = of(
            class,
            &[(Measure::Amps, amps), (Measure::Millivolts, volts)],
        );
        let of = format!("{class} {amps} A {volts} V: {}", found.statement);
        assert!(found.impossible.is_none(), "{of}");
        assert_eq!(first(&found), "poor-contact", "{of}");
    }
}

/// (12.5 - 8) V / 1.6 A = 2.8 ohm of lead, 3.25 and 3.75 of others, 0.33 and 0.21 before
/// starters, where a sound lead has some hundredths.
#[test]
fn ohms_between_the_posts_and_the_part_are_a_poor_contact_however_many() {
    use Measure::{Amps, PostVolts, Volts};
    for (class, volts, amps) in [
        ("high-pressure fuel pump", 6.0, 2.0),
        ("trim", 5.0, 2.0),
        ("starter 9 hp", 6.0, 20.0),
        ("starter 40 hp", 4.0, 40.0),
        ("horn", 1.0, 0.5),
    ] {
        let read = [(Volts, volts), (Amps, amps), (PostVolts, 12.5)];
        let found = of(class, &read);
        let of = format!("{class}: {} {:?}", found.statement, found.impossible);
        assert!(found.impossible.is_none(), "{of}");
        assert_eq!(first(&found), "poor-contact", "{of}");
    }
}

/// With nothing flowing all contacts lose nothing, open ones too: the odds stay what
/// they were, 0.12 of them for an open plug.
#[test]
fn no_volts_across_a_contact_that_carries_nothing_prove_nothing() {
    use Measure::{Amps, Millivolts};
    for class in ["blade fuse 15 A", "rocker switch", "plug", "breaker 30 A"] {
        let found = of(class, &[(Amps, 0.0), (Millivolts, 0.0)]);
        let says = &found.statement;
        assert!(says.contains("proves nothing"), "{says}");
        let before = of(class, &[]);
        for verdict in &before.conditions {
            let now = odds(&found, verdict.condition);
            let was = verdict.probability;
            assert!(
                (now - was).abs() < 0.05,
                "{class} {}: {was} {now}",
                verdict.condition
            );
        }
        let next = found.next_reading.expect("a load");
        assert!(
            next.contains("to ground") && next.contains("load"),
            "{next}"
        );
    }
}

/// 12 V x 8 A = 96 W in the clips, and a load that would draw 8 A on what is left of
/// 12.6 V draws 8 x 12.6 / 0.6 = 168 A on all of it.
#[test]
fn a_current_through_a_contact_that_takes_all_the_volts_does_not_go_together() {
    let read = [(Measure::Amps, 8.0), (Measure::Volts, 12.0)];
    let found = of("blade fuse 15 A", &read);
    assert!(
        found.statement.contains("do not go together"),
        "{}",
        found.statement
    );
    assert!(odds(&found, NONE_OF_THESE) > 0.5);
}

/// 60 A are twice 30 A.
#[test]
fn a_breaker_that_carries_twice_its_rating_is_told_so() {
    let read = [(Measure::Amps, 60.0), (Measure::Millivolts, 0.2)];
    let found = of("breaker 30 A", &read);
    assert!(
        found.statement.contains("2.0 times its rating"),
        "{}",
        found.statement
    );
    let notes = found.notes.join(" ");
    assert!(notes.contains("Never a larger breaker"), "{notes}");
}

/// A winding of 0.07 ohm at least cannot read 0, nor 3 V drive 250 A through it.
#[test]
fn a_dead_short_in_a_trim_motor_keeps_it_off_any_battery() {
    for read in [
        &[(Measure::Ohms, 0.0)][..],
        &[(Measure::Volts, 3.0), (Measure::Amps, 250.0)],
    ] {
        let found = of("trim", read);
        assert_eq!(first(&found), "shorted", "{}", found.statement);
        assert!(found.impossible.is_none(), "{:?}", found.impossible);
        assert!(found.cautions.iter().any(|c| c.tag == "shorted-part"));
    }
}

/// 0.3 V / 500 A = 0.6 mohm, a tenth of what a starter has from stud to case.
#[test]
fn a_starter_of_less_than_a_milliohm_is_shorted_and_its_ohms_prove_nothing() {
    let read = [(Measure::Volts, 0.3), (Measure::Amps, 500.0)];
    let found = of("starter 40 hp", &read);
    assert_eq!(first(&found), "shorted", "{}", found.statement);
    // A hand meter's last digit is 0.1 ohm, its winding some milliohms.
    let by_ohms = of("starter 40 hp", &[(Measure::Ohms, 0.0)]);
    assert!(odds(&by_ohms, "shorted") < 0.2, "{}", by_ohms.statement);
}

#[test]
fn no_volts_at_a_trim_motor_are_an_open_lead_or_a_short_that_opened_its_fuse() {
    let found = of("trim", &[(Measure::Volts, 0.0), (Measure::Amps, 0.0)]);
    for condition in ["shorted", "poor-contact"] {
        assert!(odds(&found, condition) > 0.1, "{:?}", found.conditions);
    }
}

/// 5 / 400, 6 / 400 and 4 / 350 are 12.5, 15 and 11.4 mohm: it stands.
#[test]
fn a_starter_that_was_seen_to_stand_is_believed() {
    use Measure::{Amps, Speed, Volts};
    for (amps, volts) in [(400.0, 5.0), (400.0, 6.0), (350.0, 4.0)] {
        let read = [(Amps, amps), (Volts, volts), (Speed, 0.0)];
        let found = of("starter 40 hp", &read);
        assert!(found.impossible.is_none(), "{:?}", found.impossible);
        assert_eq!(first(&found), "locked", "{}", found.statement);
    }
}

/// The same rig, the same class: one range.
#[test]
fn what_a_plain_starter_draws_free_is_what_its_steps_print() {
    let found = of("starter 40 hp", &[(Measure::Amps, 30.0)]);
    let ampkeel::interpreting::Examined::Starter(motor) = of_class("starter 40 hp") else {
        panic!("a starter");
    };
    let rig = rig_of("starter 40 hp");
    let own = ampkeel::bench::free_current(&motor, &rig).expect("a range");
    let range = format!("{} to {}", own.low, own.high);
    // Some 30 A idle at 130 A of cranking, in `starters`.
    assert!(
        own.low > Amps::new(15.0) && own.high < Amps::new(50.0),
        "{range}"
    );
    assert!(
        found.notes.join(" ").contains(&range),
        "{range}: {:?}",
        found.notes
    );
}

/// No current at all at 3000 rpm, the posts at 12.6 V: dead regulator or an open way.
#[test]
fn a_regulator_that_gives_nothing_at_all_is_among_the_likely() {
    use Measure::{Amps, PostVolts, Speed};
    let read = [(Speed, 3000.0 * RPM), (PostVolts, 12.6), (Amps, 0.0)];
    let found = of("charger", &read);
    assert!(
        odds(&found, "regulator-dead") > 0.1,
        "{:?}",
        found.conditions
    );
}

#[test]
fn the_headline_and_the_odds_say_the_same() {
    use Measure::{AcVolts, Amps, PostVolts};
    let odd = of("charger", &[(PostVolts, 14.2), (Amps, 5.0), (AcVolts, 5.0)]);
    let flat = at_rest(6.5, &[]);
    for found in [odd, flat] {
        let refuses = found.statement.contains("fits no one condition");
        let none_first = first(&found) == NONE_OF_THESE;
        assert_eq!(
            refuses, none_first,
            "{}: {:?}",
            found.statement, found.conditions
        );
    }
}

/// A full one rests at 12.69 V; a meter of 0.5 % and two digits shows up to 12.75 V.
#[test]
fn a_full_battery_within_the_meters_error_carries_no_surface_charge() {
    let full = at_rest(12.70, &[]);
    let notes = full.notes.join(" ");
    assert!(!notes.contains("No battery rests"), "{notes}");
    assert_eq!(first(&full), "healthy");
    let boiling = at_rest(15.5, &[]).statement;
    assert!(boiling.contains("charger still on"), "{boiling}");
}

/// V = E - I R: volts cannot rise under a load, and no resistance is below nothing.
#[test]
fn volts_that_rise_under_a_load_are_a_charger_still_on() {
    let read = [(Measure::Amps, 100.0), (Measure::PostVolts, 13.5)];
    let found = at_rest(12.5, &read);
    let says = &found.statement;
    assert!(says.contains("charger"), "{says}");
    assert!(
        found
            .estimates
            .iter()
            .all(|e| e.low <= e.high && e.low >= 0.0)
    );
    assert!(found.estimates.is_empty(), "{:?}", found.estimates);
}

#[test]
fn an_injector_that_does_not_tick_may_never_have_had_its_tap() {
    let read = [(Measure::Ohms, 14.0), (Measure::Moves, 0.0)];
    let found = of("injector", &read);
    assert!(found.twins.contains(&"poor-contact") || first(&found) == "poor-contact");
    assert!(odds(&found, "stuck") > 0.2 && odds(&found, "poor-contact") > 0.2);
    let next = found.next_reading.expect("a lamp");
    assert!(next.contains("lamp"), "{next}");
}

/// It turns and delivers nothing: a closed outlet and a stripped wheel do that too.
#[test]
fn a_pump_without_a_stream_need_not_run_backwards() {
    let class = "bilge pump 500 gal/h";
    let sound = of(class, &[(Measure::Flow, 0.0)]);
    for condition in ["restricted", "worn-stage"] {
        let is_told = odds(&sound, condition) > odds(&sound, "reversed");
        assert!(is_told, "{condition}: {:?}", sound.conditions);
    }
}

/// `engine-loads`: injectors of the normal kind have 12 to 16 ohm, of the other 0.5 to 4; a secondary
/// winding has thousands.
#[test]
fn the_ohms_of_another_kind_are_told_as_that_kind() {
    for (class, ohms, kind) in [
        ("low-impedance injector", 14.0, "normal kind"),
        ("injector", 2.0, "low-impedance kind"),
        ("ignition coil", 8e3, "secondary winding"),
    ] {
        let found = of(class, &[(Measure::Ohms, ohms)]);
        let why = found
            .impossible
            .unwrap_or_else(|| panic!("{class}: {}", found.statement));
        assert!(why.contains(kind), "{why}");
        assert!(
            !why.contains("together") && !why.contains("thousand,"),
            "{why}"
        );
    }
}

#[test]
fn ohms_alone_are_never_called_a_draw_nor_an_opened_fuse() {
    for (class, ohms) in [
        ("trim", 0.0),
        ("trim", 0.3),
        ("starter 40 hp", 0.1),
        ("horn", 0.0),
    ] {
        let says = of(class, &[(Measure::Ohms, ohms)]).statement;
        assert!(
            !says.contains("draws") && !says.contains("it opened"),
            "{says}"
        );
    }
}
