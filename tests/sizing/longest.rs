//! Lengths that are ranges and sizes that nobody read.

use ampkeel::sizing::{Stock, rewritten};
use ampkeel::span::CircuitText;

use super::{circuit, sized, wire};

fn lamp(length: &str, size: &str) -> String {
    format!(
        "format = 1\ntitle = \"Invented lamp\"\n\
         [battery.house]\ncold-cranking = \"500 A\"\nminus = \"ground\"\n\
         [stud.ground]\n[fuse.main]\nstyle = \"blade\"\nrating = \"10 A\"\n\
         [switch.light]\n[load.lamp]\nlamp = \"60 W\"\n\
         [[run]]\nthrough = [\"house.plus\", \"main\", \"light\", \"lamp.plus\"]\n\
         lengths = [\"6 in\", \"1 m\", \"{length}\"]\n\
         back = [\"lamp.minus\", \"ground\"]\nback-lengths = [\"{length}\"]\n{size}\
         [state.night]\nclosed = [\"light\"]\n"
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
    let range = sizes(&lamp("1 to 7 m", READ));
    assert_eq!(range, sizes(&lamp("7 m", READ)));
    // The middle of the range, 4 m, would ask for less.
    assert_ne!(range, sizes(&lamp("4 m", READ)));
    // Copper by hand: 7 m twice, not 4 m.
    let sizing = sized(&lamp("1 to 7 m", READ), &stock);
    let metres: f64 = sizing.shopping.wires.iter().map(|row| row.all_m).sum();
    assert!((metres - (0.1524 + 1.0 + 14.0)).abs() < 1e-9, "{metres}");
}

#[test]
fn the_new_file_keeps_its_ranges_of_length() {
    let text = lamp("1 to 7 m", READ);
    let sizing = sized(&text, &Stock::default());
    let given = CircuitText::new("lamp.toml", text.as_str());
    let new = rewritten(&given, &circuit(&text), &sizing, None).unwrap();
    assert!(new.text.contains("\"1 to 7 m\""), "{}", new.text);
}

#[test]
fn a_wire_nobody_read_does_not_count_as_one_that_stays_or_changes() {
    let sizing = sized(&lamp("?", ""), &Stock::default());
    assert_eq!(sizing.unread_wires().count(), 4);
    assert_eq!(sizing.changed_wires().count(), 0);
    assert!(sizing.shopping.wires.iter().all(|row| row.changed_m <= 0.0));
    assert!(wire(&sizing, "lamp.minus to ground").is_unread);
}
