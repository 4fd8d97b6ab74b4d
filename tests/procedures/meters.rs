//! Every reading says where the meter goes, and the place fits the reading.

use super::{steps_of, steps_of_part};
use ampkeel::bench::{Jack, Procedure};

fn fits(found: &Procedure) {
    for step in &found.steps {
        for reading in &step.expect {
            let fits = step.meter.iter().any(|jack| jack.unit() == reading.unit);
            assert!(fits, "{}: {}", found.title, reading.quantity);
        }
    }
}

#[test]
fn every_reading_of_every_part_names_a_jack_of_its_unit() {
    for (_, circuit) in crate::solving::examples() {
        for part in &circuit.parts {
            if ampkeel::bench::testable(part) {
                fits(&steps_of_part(&circuit, &part.name));
            }
        }
    }
}

#[test]
fn a_starter_is_read_by_a_large_clamp_and_a_coil_in_the_jack() {
    let jacks = |class: &str| -> Vec<Jack> {
        let found = steps_of(class);
        found
            .steps
            .iter()
            .flat_map(|step| step.meter.clone())
            .collect()
    };
    assert!(jacks("starter 40 hp").contains(&Jack::LargeClamp));
    assert!(!jacks("starter 40 hp").contains(&Jack::TenAmps));
    assert!(jacks("plug-in").contains(&Jack::TenAmps));
    assert!(jacks("trim").contains(&Jack::Clamp));
}
