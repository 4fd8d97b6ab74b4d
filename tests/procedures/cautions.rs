//! Cautions stand first and again at their step; no larger fuse is advised.

use super::steps_of;
use ampkeel::bench::{Step, classes, document};
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
        for tag in ["fuse-lead", "fuse-never", "amps-jack", "eyes", "short"] {
            let listed = found.cautions.iter().any(|caution| caution.tag == tag);
            assert!(listed, "{class}: {tag}");
        }
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
