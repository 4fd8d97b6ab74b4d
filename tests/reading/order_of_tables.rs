//! The order of tables in a file means nothing, but for that of the states.

use super::draws::Draws;
use super::{committed, read_text};
use ampkeel::present::json::{Envelope, envelope, solution::states};
use ampkeel::solving::solve;

/// How many other orders each file is tried in.
const ORDERS: u64 = 6;

/// The text before the first header, then one text a table with its header.
fn tables(text: &str) -> (String, Vec<String>) {
    let mut head = String::new();
    let mut tables: Vec<String> = Vec::new();
    for line in text.split_inclusive('\n') {
        if line.starts_with('[') {
            tables.push(line.to_owned());
        } else {
            tables.last_mut().unwrap_or(&mut head).push_str(line);
        }
    }
    (head, tables)
}

/// The same file with its tables in another order, states in their own.
fn reordered(text: &str, draws: &mut Draws) -> String {
    let (head, mut tables) = tables(text);
    draws.shuffle(&mut tables);
    let is_state = |table: &String| table.starts_with("[state.");
    let mut in_order = text_order(text).into_iter();
    for table in tables.iter_mut().filter(|table| is_state(table)) {
        *table = in_order.next().expect("as many states as before");
    }
    head + &tables.concat()
}

fn text_order(text: &str) -> Vec<String> {
    let (_, mut all) = tables(text);
    all.retain(|table| table.starts_with("[state."));
    all
}

/// What `solve --json` prints, without the places in the file.
fn solved(text: &str) -> String {
    let reading = read_text(text);
    let circuit = reading
        .circuit
        .unwrap_or_else(|| panic!("unsound: {:?}\n{text}", reading.findings));
    let solution = solve(&circuit).unwrap();
    let mut findings = reading.findings;
    findings.extend(solution.findings.iter().cloned());
    let common = Envelope {
        command: "solve",
        findings: &findings,
        assumed: &solution.assumed,
        ..Envelope::default()
    };
    envelope(&common, states(&circuit, &solution, None)).unwrap()
}

#[test]
fn a_file_with_its_tables_in_another_order_gives_the_same_answer() {
    let mut moved = 0;
    for (seed, (name, text)) in (1..).zip(committed()) {
        let expected = solved(&text);
        let mut draws = Draws::new(seed);
        for _ in 0..ORDERS {
            let other = reordered(&text, &mut draws);
            moved += usize::from(other != text);
            let found = solved(&other);
            let differing = expected.lines().zip(found.lines()).find(|(a, b)| a != b);
            assert!(
                expected == found,
                "{name}: {differing:?} differ in this order:\n{other}"
            );
        }
    }
    assert!(moved > 150, "only {moved} files came out in another order");
}

#[test]
fn the_answer_shows_states_in_the_order_of_the_file() {
    let text = committed()
        .into_iter()
        .find(|(name, _)| name == "selector.toml")
        .expect("there")
        .1;
    let (head, mut all) = tables(&text);
    all.reverse();
    let backwards = head + &all.concat();
    let names = |text: &str| -> Vec<String> {
        let circuit = read_text(text).circuit.expect("sound");
        let states = solve(&circuit).unwrap().states;
        states.into_iter().map(|state| state.name).collect()
    };
    assert_eq!(names(&text), ["off", "run", "start"]);
    assert_eq!(names(&backwards), ["start", "run", "off"]);
}

#[test]
fn two_wires_side_by_side_may_stand_in_either_order() {
    let text = "format = 1\n[battery.house]\nminus = \"ground\"\n[stud.ground]\n\
                [load.lamp]\nlamp = \"10 W\"\nminus = \"ground\"\n";
    let wire = "[[wire]]\nfrom = \"house.plus\"\nto = \"lamp.plus\"\nsize = \"16 AWG\"\nlength = \"2 m\"\n";
    // They differ in nothing but one of these.
    for field in [
        "joints = \"0.2 ohm\"",
        "insulation = \"105 degC\"",
        "tinned = true",
        "sheath = true",
        "bundle = 7",
        "keep = true",
    ] {
        let one = solved(&format!("{text}{wire}{field}\n{wire}"));
        let other = solved(&format!("{text}{wire}{wire}{field}\n"));
        assert!(one == other, "{field}");
    }
}
