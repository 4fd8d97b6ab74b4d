//! Cautions stand first and again at their step; no larger fuse is advised.

use super::steps_of;
use ampkeel::bench::{Options, Step, classes, document};
use ampkeel::present::{Look, terminal};

fn known_classes() -> Vec<String> {
    let numbered = |class: &&str| {
        class
            .replace(" N ", " 1100 ")
            .replace("livewell pump 1100", "livewell pump 500")
            .replace("starter 1100", "starter 40")
    };
    classes().iter().map(numbered).collect()
}

fn has(step: &Step, tag: &str) -> bool {
    step.cautions.iter().any(|caution| caution.tag == tag)
}

#[test]
fn every_procedure_opens_with_its_cautions_and_who_has_the_last_word() {
    for class in known_classes() {
        let found = steps_of(&class);
        let shown = terminal::render(&document(&found), None, &Look::default());
        let at = |words: &str| {
            shown
                .find(words)
                .unwrap_or_else(|| panic!("{class}: {words}"))
        };
        assert!(at("CAUTION") < at("\nsteps\n"), "{class}");
        assert!(at("Local codes") < at(&found.answer[..20]), "{class}");
        let listed = |tag: &str| found.cautions.iter().any(|caution| caution.tag == tag);
        for tag in ["fuse-never", "amps-jack", "eyes", "short"] {
            assert!(listed(tag), "{class}: {tag}");
        }
        // Jump cables of a starter have no fuse to choose.
        assert_eq!(
            listed("fuse-lead"),
            !class.starts_with("starter "),
            "{class}"
        );
    }
}

#[test]
fn cautions_of_a_step_are_all_told_at_the_start_too() {
    for class in known_classes() {
        let found = steps_of(&class);
        for caution in found.steps.iter().flat_map(|step| &step.cautions) {
            assert!(found.cautions.contains(caution), "{class}: {}", caution.tag);
        }
    }
}

#[test]
fn a_fuel_pump_runs_ten_seconds_filled_and_never_dry() {
    for class in [
        "high-pressure fuel pump",
        "rotary lift pump",
        "solenoid lift pump",
    ] {
        let found = steps_of(class);
        let run = found
            .steps
            .iter()
            .find(|step| step.action.starts_with("Switch on"));
        let run = run.expect("a run");
        assert!(run.action.contains("10 s at most"), "{class}");
        assert!(has(run, "time10") && has(run, "dry5"), "{class}");
        assert!(run.stop_if.is_some(), "{class}");
        let before = found
            .steps
            .iter()
            .take_while(|step| !step.action.starts_with("Switch on"));
        let prepared = before.last().expect("a step before");
        for tag in [
            "vapour",
            "test-fluid",
            "far-battery",
            "switch-far",
            "extinguisher",
        ] {
            assert!(has(prepared, tag), "{class}: {tag}");
        }
    }
}

#[test]
fn nothing_advises_a_larger_fuse() {
    for class in known_classes() {
        let found = steps_of(&class);
        let shown = terminal::render(&document(&found), None, &Look::default());
        let advice = shown.replace("Never fit a larger fuse", "");
        assert!(
            !advice.contains("larger fuse") && !advice.contains("bigger fuse"),
            "{class}"
        );
    }
}

/// `safety-rules`: vapour lies low in bilges, where these pumps are tried.
#[test]
fn every_pump_is_tried_outdoors_away_from_sparks() {
    for class in [
        "bilge pump 500 gal/h",
        "livewell pump 500 gal/h",
        "washdown pump",
        "high-pressure fuel pump",
    ] {
        let found = steps_of(class);
        assert!(
            found.cautions.iter().any(|caution| caution.tag == "vapour"),
            "{class}"
        );
    }
}

#[test]
fn a_lamp_is_warned_of_where_one_is_lit_and_not_at_the_ohms() {
    let found = steps_of("blade fuse 15 A");
    for step in &found.steps {
        let lights = step.action.contains("lamp");
        assert!(lights || !has(step, "lamp-hot"), "{}", step.action);
    }
    assert!(found.steps.iter().any(|step| has(step, "lamp-hot")));
}

/// The pump's class draws some 3 to 4 A with its outlet open, a trim motor that turns
/// free more than 2 A.
#[test]
fn a_lead_fuse_below_what_a_sound_part_draws_is_told_with_the_answer() {
    let told = |class: &str, amps: f64| {
        let options = Options {
            inline_fuse: Some(ampkeel::quantities::Amps::new(amps)),
            ..Options::default()
        };
        let (subject, rig) = super::rigged(class, &options);
        let found = ampkeel::bench::procedure(&subject, &rig, 1).expect("procedure");
        found.answer.contains("opens on a sound one")
    };
    for class in ["high-pressure fuel pump", "trim"] {
        assert!(told(class, 1.0), "{class}");
        assert!(!told(class, 15.0), "{class}");
    }
}

/// A class has no file, and its answer names what its step reads.
#[test]
fn a_class_alone_speaks_of_no_file_and_answers_with_what_its_step_reads() {
    for class in ["battery", "blade fuse 15 A"] {
        let found = steps_of(class);
        let shown = terminal::render(&document(&found), None, &Look::default());
        assert!(!shown.contains("the file"), "{class}");
    }
    let found = steps_of("battery");
    let at_rest = found
        .steps
        .iter()
        .flat_map(|step| &step.expect)
        .find(|read| read.quantity == "volts at rest")
        .expect("rest");
    let low = ampkeel::quantities::Volts::new(at_rest.low.expect("low"));
    assert!(
        found.answer.contains(&format!("reads {low} to")),
        "{}",
        found.answer
    );
}
