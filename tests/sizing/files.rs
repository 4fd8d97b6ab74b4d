//! The sized file: the owner's own but for sizes and ratings.

use super::circuit;
use ampkeel::circuit::Circuit;
use ampkeel::reading::read;
use ampkeel::sizing::{Sizing, Stock, rewritten, size};
use ampkeel::span::CircuitText;

fn written(text: &str) -> (String, Sizing) {
    let given = circuit(text);
    let sizing = size(&given, &Stock::default()).unwrap();
    let text = CircuitText::new("test.toml", text);
    (
        rewritten(&text, &given, &sizing, None)
            .expect("reads back")
            .text,
        sizing,
    )
}

/// Comments and what else stands in a file but sizes and ratings.
fn kept_lines(text: &str) -> Vec<String> {
    let plain = |line: &str| {
        let comment = line.find('#').map_or("", |at| &line[at..]);
        let value = ["size =", "rating =", "slots ="]
            .iter()
            .any(|key| line.starts_with(key));
        if value {
            comment.to_owned()
        } else {
            line.to_owned()
        }
    };
    let lines = text.lines().map(plain).filter(|line| !line.is_empty());
    lines.collect()
}

fn labels(circuit: &Circuit) -> Vec<String> {
    let wires = circuit.wires.iter();
    let mut labels: Vec<String> = wires
        .map(|wire| format!("{} {}", circuit.wire_label(wire), wire.size.value))
        .collect();
    labels.sort();
    labels
}

#[test]
fn comments_order_and_spacing_stay_and_the_sizes_read_back() {
    for text in [
        include_str!("../../circuits/schist-console-boat.toml"),
        include_str!("../../circuits/gabbro-injected-outboard.toml"),
        include_str!("../../circuits/marl-tiller-9hp.toml"),
    ] {
        let (new, sizing) = written(text);
        assert!(sizing.changed_wires().count() > 0);
        assert_ne!(new, text);
        assert_eq!(kept_lines(&new), kept_lines(text));
        let back = read(&CircuitText::new("new.toml", new))
            .circuit
            .expect("sound");
        assert_eq!(labels(&back), labels(&sizing.circuit));
    }
}

#[test]
fn nothing_to_change_leaves_the_file_byte_for_byte() {
    let (once, _) = written(include_str!("../../circuits/schist-console-boat.toml"));
    let (twice, _) = written(&once);
    assert_eq!(once, twice);
}

/// A run that takes the default in a list, one with a return before its chain,
/// wires in braces, single quotes and Windows line ends.
const ODD: &str = "format = 1\r\n[battery.house]\r\ncold-cranking = \"500 A\"\r\nminus = \"ground\"\r\n[stud.ground]\r\n[stud.mid]\r\n\
[fuse.main]\r\nstyle = 'blade'\r\nrating = '30 A'   # as found\r\nin = \"house.plus\"\r\n\
[load.winch]\r\ncurrent = \"13 A\"\r\n[fuse.small]\r\nstyle = \"blade\"\r\nrating = \"1 A\"\r\nin = \"mid\"\r\n[load.lamp]\r\ncurrent = \"0.5 A\"\r\nminus = \"ground\"\r\n\
[defaults.wire]\r\nsize = \"8 AWG\"\r\n\
[[run]]   # the winch\r\nback-lengths = [\"12 ft\"]\r\nback = [\"winch.minus\", \"ground\"]\r\nthrough = [\"main.out\", \"mid\", \"winch.plus\"]\r\nlengths = [\"3 ft\", \"9 ft\"]\r\n";

#[test]
fn lists_braces_and_other_line_ends_are_written_as_they_are_read() {
    let text = format!(
        "wire = [{{ from = \"small.out\", to = \"lamp.plus\", length = \"2 ft\" }}]\r\n{ODD}"
    );
    let (new, sizing) = written(&text);
    assert!(new.contains("wire = [{ size = \""), "{new}");
    assert!(new.contains("[[run]]   # the winch\r\nsize = "), "{new}");
    assert!(new.contains("   # as found\r\n"), "{new}");
    assert!(!new.replace("\r\n", "").contains('\n'), "{new}");
    let back = circuit(&new);
    assert_eq!(labels(&back), labels(&sizing.circuit));
}
