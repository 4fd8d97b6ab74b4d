//! Lengths that are ranges and sizes that nobody read.

use ampkeel::sizing::{Stock, rewritten};
use ampkeel::span::CircuitText;

use super::{awg, circuit, sized, wire};

fn pump(length: &str, size: &str) -> String {
    format!(
        "format = 1\ntitle = \"Invented pump\"\n\
         [battery.house]\ncold-cranking = \"500 A\"\nminus = \"ground\"\n\
         [stud.ground]\n[fuse.main]\nstyle = \"blade\"\nrating = \"5 A\"\n\
         [switch.float]\n[pump.bilge]\nclass = \"bilge pump 1100 gal/h\"\n\
         [[run]]\nthrough = [\"house.plus\", \"main\", \"float\", \"bilge.plus\"]\n\
         lengths = [\"6 in\", \"1 m\", \"{length}\"]\n\
         back = [\"bilge.minus\", \"ground\"]\nback-lengths = [\"{length}\"]\n{size}\
         [state.pumping]\nclosed = [\"float\"]\n"
    )
}

const READ: &str = "size = \"14 AWG\"\n";

#[test]
fn a_length_that_is_a_range_is_sized_for_its_long_end() {
    let stock = Stock::default();
    let sizes = |text: &str| {
        let sizing = sized(text, &stock);
        let each = sizing.wires.iter();
        each.map(|wire| wire.size.to_string()).collect::<Vec<_>>()
    };
    let range = sizes(&pump("1 to 7 m", READ));
    assert_eq!(range, sizes(&pump("7 m", READ)));
    // By hand, 2.65 A and 13.2 mohm per metre of 16 AWG: 9.2 m lose 0.32 V and
    // pass 3 % of 12 V, 15.2 m lose 0.53 V: the middle, 4 m, asks for less.
    assert_ne!(range, sizes(&pump("4 m", READ)));
    // Copper by hand: 7 m twice, not 4 m.
    let sizing = sized(&pump("1 to 7 m", READ), &stock);
    let metres: f64 = sizing.shopping.wires.iter().map(|row| row.all_m).sum();
    assert!((metres - (0.1524 + 1.0 + 14.0)).abs() < 1e-9, "{metres}");
}

#[test]
fn the_new_file_keeps_its_ranges_of_length() {
    let text = pump("1 to 7 m", READ);
    let sizing = sized(&text, &Stock::default());
    let given = CircuitText::new("pump.toml", text.as_str());
    let new = rewritten(&given, &circuit(&text), &sizing, None).unwrap();
    assert!(new.text.contains("\"1 to 7 m\""), "{}", new.text);
}

#[test]
fn a_wire_nobody_read_does_not_count_as_one_that_stays_or_changes() {
    let sizing = sized(&pump("?", ""), &Stock::default());
    assert_eq!(sizing.unread_wires().count(), 4);
    assert_eq!(sizing.changed_wires().count(), 0);
    assert!(sizing.shopping.wires.iter().all(|row| row.changed_m <= 0.0));
    assert!(wire(&sizing, "bilge.minus to ground").is_unread);
}

#[test]
fn where_nothing_fits_the_long_ends_the_likely_lengths_are_sized_and_named() {
    // Only 16 AWG is at hand: by the same hand it serves 4 m and not 7 m.
    let sizing = sized(&pump("3 to 7 m", READ), &awg(&[16]));
    let long = sized(&pump("7 m", READ), &awg(&[16]));
    assert!(!long.collisions.is_empty());
    assert!(!sizing.is_for_likely && !sizing.collisions.is_empty());
    let sizing = sized(&pump("1 to 7 m", READ), &awg(&[16]));
    assert!(sizing.is_for_likely && sizing.collisions.is_empty());
    // A range that fits at its long end is sized there.
    let short = sized(&pump("1 to 4 m", READ), &awg(&[16]));
    assert!(!short.is_for_likely && short.collisions.is_empty());
}
