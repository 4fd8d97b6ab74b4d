//! The wire list that a circuit file may name.

use super::{committed, files_of};
use ampkeel::circuit::{Circuit, Place, Wire};
use ampkeel::findings::Finding;
use ampkeel::quantities::Quantity;
use ampkeel::reading::read;
use ampkeel::span::CircuitText;
use proptest::prelude::*;
use std::fmt::Write;

const BOAT: &str = "format = 1\nwires = \"list.csv\"\n[battery.house]\ncold-cranking = \"500 A\"\nminus = \"ground\"\n[stud.ground]\n[fuse.main]\nstyle = \"blade\"\nrating = \"10 A\"\n[load.lamp]\nlamp = \"10 W\"\n";

/// A list, then what must be said of it: code, line, column, words, hint.
type Bad = (
    &'static str,
    &'static [(&'static str, usize, usize, &'static str, &'static str)],
);

const BAD: &[Bad] = &[
    (
        "to,size\nmain.in,14 AWG\n",
        &[(
            "wire-list-column",
            1,
            1,
            "no column `from`",
            "in any order: from,to,size,length,colour",
        )],
    ),
    (
        "hello\nworld\n",
        &[(
            "wire-list-column",
            1,
            1,
            "no column `from` and `to`",
            "line of headings",
        )],
    ),
    (
        "from;to;lenght\nhouse.plus;main.in;1 m\n",
        &[(
            "wire-list-column",
            1,
            9,
            "`lenght` is likely `length`",
            "did you mean `length`",
        )],
    ),
    (
        "from,to,length (m)\nhouse.plus,main.in,1\n",
        &[(
            "wire-list-column",
            1,
            9,
            "`length (m)`",
            "write the unit in every cell",
        )],
    ),
    (
        "from,to,color,colour\n",
        &[(
            "wire-list-column",
            1,
            15,
            "two columns are headed `colour`",
            "rename",
        )],
    ),
    (
        "from,to,length\nhouse.plus,main.in,0,5 m\n,lamp.plus,1 m\n",
        &[
            (
                "wire-list-row",
                2,
                20,
                "under no heading",
                "write the figure with a point: 0.5 m",
            ),
            ("wire-list-row", 3, 1, "has no `from`", "name the terminal"),
        ],
    ),
    (
        "from,to,note\nhouse.plus,main.in,red, spare\n",
        &[(
            "wire-list-row",
            2,
            25,
            "under no heading",
            "between two quotes",
        )],
    ),
    (
        "from;to;length;sheath;bundle\nhouse.plus;main.in;0,5 m;perhaps;many\n",
        &[
            ("bad-figure", 2, 20, "`length` cannot be read", "0.5"),
            (
                "wrong-type",
                2,
                26,
                "`sheath` takes yes or no",
                "write yes or no",
            ),
            (
                "out-of-range",
                2,
                34,
                "`bundle` takes a whole number",
                "from 1 to 200",
            ),
        ],
    ),
    (
        "from,to,place,insulation,joints\nhouse.plus,main.im,cellar,105,2\n",
        &[
            ("unknown-terminal", 2, 12, "main", "main.in"),
            (
                "unknown-word",
                2,
                20,
                "`place` cannot be `cellar`",
                "engine-space",
            ),
            ("bad-figure", 2, 27, "`insulation` cannot be read", "unit"),
            ("bad-figure", 2, 31, "`joints` cannot be read", "unit"),
        ],
    ),
    (
        "from,to,name\nhouse.plus,main.in,\"feed\nmain.out,lamp.plus,\"out\" side\nlamp.minus,ground,\"open\n",
        &[
            (
                "wire-list-row",
                2,
                20,
                "text behind a closed quote",
                "whole cell",
            ),
            (
                "wire-list-row",
                4,
                19,
                "is not closed",
                "between two quotes",
            ),
        ],
    ),
    (
        "from,to\nhouse.plus,house.plus\n",
        &[("wire-to-itself", 2, 12, "to itself", "other end")],
    ),
];

#[test]
fn every_bad_list_is_told_with_its_place_and_what_to_type() {
    let mut complaints = String::new();
    for (list, expected) in BAD {
        let text =
            CircuitText::new("boat.toml", BOAT).with_list("list.csv", Ok((*list).to_owned()));
        let reading = read(&text);
        // What is not wired follows from the few rows of these lists.
        let of_list = |one: &&Finding| text.is_in_list(one.labels[0].span.start);
        let mut found = reading.findings.iter().filter(of_list);
        for (code, line, column, words, hint) in *expected {
            let is_it = found.next().is_some_and(|one| {
                let at = one.labels[0].span.start;
                one.code.name() == *code
                    && text.text_at(at).name == "list.csv"
                    && text.line_column(at) == (*line, *column)
                    && one.statement.contains(words)
                    && one
                        .hint
                        .as_deref()
                        .is_some_and(|given| given.contains(hint))
            });
            if !is_it {
                let _ = writeln!(complaints, "{list:?}: no {code} at {line}:{column}");
            }
        }
        if complaints.is_empty() && found.next().is_none() && reading.circuit.is_none() {
            continue;
        }
        for one in &reading.findings {
            let at = text.line_column(one.labels[0].span.start);
            let _ = writeln!(
                complaints,
                "  {at:?} {} {} {:?}",
                one.code.name(),
                one.statement,
                one.hint
            );
        }
    }
    assert!(complaints.is_empty(), "{complaints}");
}

#[test]
fn a_slip_in_the_circuit_file_does_not_hide_those_of_its_list() {
    let broken = BOAT.replace("\"10 W\"", "10 W");
    let list = "from,to,size\nhouse.plus,main.in,14\n";
    let text = CircuitText::new("boat.toml", broken).with_list("list.csv", Ok(list.to_owned()));
    let codes: Vec<&str> = read(&text)
        .findings
        .iter()
        .map(|one| one.code.name())
        .collect();
    assert_eq!(codes, ["toml-syntax", "bad-figure"]);
}

/// A figure of a range as a cell says it.
fn range<Q: Quantity>(band: &ampkeel::quantities::Band<Q>, unit: &str) -> String {
    format!("{:?} to {:?} {unit}", band.low.si(), band.high.si())
}

/// A cell of a wire under a heading.
fn cell(circuit: &Circuit, wire: &Wire, heading: &str) -> String {
    let end = |terminal| {
        let terminal = circuit.terminal(terminal);
        let label = terminal.label.as_str();
        let half = circuit.part(terminal.part).kind() == ampkeel::circuit::PartKind::Plug;
        if half {
            label.trim_end_matches(".from").to_owned()
        } else {
            label.to_owned()
        }
    };
    let flag = |flag: bool| if flag { "yes" } else { "no" }.to_owned();
    match heading {
        "from" => end(wire.from),
        "to" => end(wire.to),
        "size" if wire.unwritten.size.is_some() => "?".to_owned(),
        "size" => wire.size.value.to_string(),
        "length" if wire.unwritten.length.is_some() => String::new(),
        "length" => range(&wire.length.value, "m"),
        "colour" => wire
            .colour
            .as_ref()
            .map_or(String::new(), |given| given.value.clone()),
        "name" => wire
            .name
            .as_ref()
            .map_or(String::new(), |given| given.value.clone()),
        "insulation" => wire.insulation.as_ref().map_or(String::new(), |given| {
            format!("{:?} degC", given.value.si())
        }),
        "place" => match wire.place {
            Place::Boat => "boat",
            Place::EngineSpace => "engine-space",
            Place::Bench => "bench",
        }
        .to_owned(),
        "bundle" => wire
            .bundle
            .as_ref()
            .map_or(String::new(), |given| given.value.to_string()),
        "sheath" => flag(wire.sheath),
        "tinned" => wire
            .tinned
            .as_ref()
            .map_or(String::new(), |given| flag(given.value)),
        "joints" => wire
            .joints
            .as_ref()
            .map_or(String::new(), |given| range(&given.value, "ohm")),
        "keep" => flag(wire.keep),
        _ => cable_no(wire),
    }
}

/// Something of one's own to be kept with a wire.
fn cable_no(wire: &Wire) -> String {
    format!("{}-{}, \"mine\"", wire.from.0, wire.to.0)
}

const HEADINGS: [&str; 14] = [
    "from",
    "to",
    "size",
    "length",
    "colour",
    "name",
    "insulation",
    "place",
    "bundle",
    "sheath",
    "tinned",
    "joints",
    "keep",
    "Cable no",
];

/// The circuit file without its wires, and they as a list.
fn moved(circuit: &Circuit, text: &str, order: &[usize], mark: char, ending: &str) -> CircuitText {
    let mut kept = String::from("format = 1\nwires = \"list.csv\"\n");
    let mut inside = false;
    for line in text.lines() {
        if line.starts_with('[') {
            inside = line.starts_with("[[run]]") || line.starts_with("[[wire]]");
        }
        if !inside && !line.starts_with("format") {
            kept.push_str(line);
            kept.push('\n');
        }
    }
    let quoted = |cell: String| {
        if cell.contains([mark, '"']) {
            format!("\"{}\"", cell.replace('"', "\"\""))
        } else {
            cell
        }
    };
    let join = |cells: Vec<String>| cells.join(&mark.to_string()) + ending;
    let mut list = join(order.iter().map(|at| HEADINGS[*at].to_owned()).collect());
    for wire in &circuit.wires {
        list += &join(
            order
                .iter()
                .map(|at| quoted(cell(circuit, wire, HEADINGS[*at])))
                .collect(),
        );
    }
    CircuitText::new("moved.toml", kept).with_list("list.csv", Ok(list))
}

/// Everything of a wire but where it is written, figures to twelve digits.
fn described(circuit: &Circuit) -> Vec<String> {
    let figures = |band: [f64; 3]| format!("{:.11e} {:.11e} {:.11e}", band[0], band[1], band[2]);
    let wire = |wire: &Wire| {
        let length = wire.length.value;
        let joints = wire.joints.as_ref().map(|given| {
            let band = given.value;
            figures([band.low.si(), band.typical.si(), band.high.si()])
        });
        format!(
            "{} {} {} {:?} {:?} {:?} {:?} {} {:?} {joints:?} {} {:?} {:?}",
            circuit.wire_label(wire),
            wire.size.value,
            figures([length.low.si(), length.typical.si(), length.high.si()]),
            wire.insulation.as_ref().map(|given| given.value),
            wire.place,
            wire.bundle.as_ref().map(|given| given.value),
            wire.name.as_ref().map(|given| &given.value),
            wire.sheath,
            wire.tinned.as_ref().map(|given| given.value),
            wire.keep,
            wire.colour.as_ref().map(|given| &given.value),
            wire.unwritten,
        )
    };
    let mut all: Vec<String> = circuit.wires.iter().map(wire).collect();
    all.sort();
    all
}

proptest! {
    #![proptest_config(crate::cases(12))]
    #[test]
    fn a_circuit_with_its_wires_in_a_list_is_the_same_circuit(
        order in Just((0..HEADINGS.len()).collect::<Vec<_>>()).prop_shuffle(),
        mark in prop_oneof![Just(','), Just(';'), Just('\t')],
        ending in prop_oneof![Just("\n"), Just("\r\n")],
    ) {
        let mut files = committed();
        files.extend(files_of("circuits/typical"));
        for (name, text) in files {
            let Some(given) = read(&CircuitText::new(name.clone(), text.clone())).circuit else {
                continue;
            };
            if given.wires.is_empty() || text.contains("wire = [") {
                continue;
            }
            let list = moved(&given, &text, &order, mark, ending);
            let reading = read(&list);
            let back = reading.circuit;
            prop_assert!(back.is_some(), "{name}: {:?}\n{:?}", reading.findings, list.list);
            let back = back.expect("sound");
            prop_assert_eq!(described(&back), described(&given), "{}", &name);
            prop_assert_eq!(back.parts.len(), given.parts.len());
            prop_assert_eq!(back.joins.len(), given.joins.len());
            for wire in &back.wires {
                let kept = vec![("Cable no".to_owned(), cable_no(wire))];
                prop_assert_eq!(&wire.columns, &kept);
            }
        }
    }

    #[test]
    fn no_list_panics_and_every_mistake_has_its_place(list in "[a-z.,;\t\"0-9 \u{e9}\r\n]{0,120}", headed in any::<bool>()) {
        let list = if headed { format!("from,to,size,length\n{list}") } else { list };
        let text = CircuitText::new("boat.toml", BOAT).with_list("list.csv", Ok(list.clone()));
        let reading = read(&text);
        prop_assert!(reading.circuit.is_some() || !reading.findings.is_empty());
        for finding in &reading.findings {
            for label in &finding.labels {
                let file = text.text_at(label.span.start);
                let (start, end) = (label.span.start - file.start, label.span.end - file.start);
                prop_assert!(start <= end && end <= file.text.len());
                prop_assert!(file.text.is_char_boundary(start) && file.text.is_char_boundary(end));
            }
        }
    }
}
