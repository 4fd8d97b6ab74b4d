//! Every part of every example has its steps, or is refused in words.

use super::{rigged_part, steps_of, steps_of_part};
use ampkeel::bench::{Options, PLAIN_CLASSES, Refused, Subject, air, testable};
use ampkeel::circuit::Device;

#[test]
fn every_part_of_every_example_gets_steps_or_is_refused_in_words() {
    let (mut given, mut refused) = (0, 0);
    for (file, circuit) in crate::solving::examples() {
        for id in circuit.part_ids() {
            let part = circuit.part(id);
            if testable(part) {
                let found = steps_of_part(&circuit, &part.name);
                assert!(found.steps.len() >= 2, "{file} {}", part.name);
                assert!(!found.answer.is_empty(), "{file} {}", part.name);
                given += 1;
            } else {
                let air = air(Some(&circuit), &Options::default());
                let why = Subject::of_part(&circuit, id, air).expect_err("refused");
                assert!(matches!(part.device, Device::Driver(_)));
                assert!(matches!(why, Refused::NoSteps { .. }));
                assert!(why.to_string().contains("test what hangs on them"));
                refused += 1;
            }
        }
    }
    assert!(given > 200 && refused > 0, "{given} {refused}");
}

/// Fuses, breakers, switches, plugs, diodes, batteries and chargers without a file.
#[test]
fn every_plain_class_gets_its_steps_with_its_cautions() {
    for class in PLAIN_CLASSES {
        // A rating that every family is made in, but for strips.
        let rating = if class.starts_with("strip") {
            " 30 A"
        } else {
            " 20 A"
        };
        let class = class.replace(" N A", rating);
        let found = steps_of(&class);
        assert!(found.steps.len() >= 3, "{class}");
        assert!(!found.answer.is_empty(), "{class}");
        for tag in ["fuse-lead", "fuse-never", "amps-jack"] {
            assert!(found.cautions.iter().any(|c| c.tag == tag), "{class} {tag}");
        }
    }
    let air = ampkeel::quantities::Celsius::new(20.0);
    for (class, says) in [
        ("blade fuse 17 A", "they are made in"),
        ("breaker 3 A", "they are made in"),
        ("silver fuse 15 A", "silver fuse 15 A"),
    ] {
        let why = Subject::of_class(class, air).expect_err("refused");
        assert!(why.to_string().contains(says), "{why}");
    }
}

#[test]
fn computed_ranges_are_in_order_and_finite() {
    for (file, circuit) in crate::solving::examples() {
        for part in circuit.parts.iter().filter(|part| testable(part)) {
            let found = steps_of_part(&circuit, &part.name);
            for reading in found.steps.iter().flat_map(|step| &step.expect) {
                let ends = [reading.low, reading.typical, reading.high];
                let given: Vec<f64> = ends.into_iter().flatten().collect();
                assert!(!given.is_empty(), "{file} {}", reading.quantity);
                assert!(given.iter().all(|end| end.is_finite()));
                assert!(given.is_sorted(), "{file} {}: {given:?}", reading.quantity);
            }
        }
    }
}

#[test]
fn one_fuse_of_a_block_stands_alone_by_its_full_name() {
    let examples = crate::solving::examples();
    let (_, circuit) = examples
        .iter()
        .find(|(file, _)| file.contains("gabbro"))
        .expect("gabbro");
    let (block, _) = rigged_part(circuit, "engine-fuses");
    let one = block.clone().slot("fuel").expect("a slot");
    assert_eq!(one.name, "engine-fuses.fuel");
    assert!(block.slot("full").is_none());
}
