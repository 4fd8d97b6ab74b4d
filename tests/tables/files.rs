//! Every data file: read, complete, added up, held against printed answers.

use ampkeel::sources::Standing;
use ampkeel::tables::{Cell, Table, catalogue, problems, read_table, table};
use std::collections::BTreeSet;

#[test]
fn every_data_file_is_read_without_a_problem() {
    assert_eq!(problems(), &[]);
    assert!(catalogue().len() > 100);
}

#[test]
fn every_table_is_complete_and_has_its_own_name() {
    let mut seen = BTreeSet::new();
    for table in catalogue() {
        let id = &table.id;
        assert!(seen.insert(id.clone()), "{id} stands twice");
        let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        assert!(id.chars().all(plain), "{id}");
        assert!(!table.source.document.is_empty(), "{id}: document");
        assert!(!table.source.place.is_empty(), "{id}: place");
        assert!(!table.applies.is_empty(), "{id}: limits");
        assert!(!table.rows.is_empty(), "{id}: rows");
        for column in &table.columns {
            assert!(!column.unit.is_empty(), "{id}: unit of {}", column.name);
        }
        for row in &table.rows {
            assert_eq!(row.len(), table.columns.len(), "{id}");
        }
        assert_ne!(table.source.standing, Standing::Invented, "{id}");
    }
}

#[test]
fn rows_name_their_standing_in_the_one_vocabulary() {
    for table in catalogue() {
        if table.column("standing").is_none() {
            continue;
        }
        for row in 0..table.rows.len() {
            let word = table.text(row, "standing").unwrap_or_default();
            assert!(
                Standing::from_word(word).is_some(),
                "{} row {row}: {word}",
                table.id
            );
        }
    }
}

/// Sums were taken from the reference papers, so a slipped digit shows.
#[test]
fn column_totals_match_the_reference() {
    for table in catalogue() {
        let id = &table.id;
        let stated = |name: &str| {
            table
                .totals
                .iter()
                .find(|(key, _)| key == name)
                .map(|(_, sum)| *sum)
        };
        assert_eq!(stated("rows"), Some(table.rows.len() as f64), "{id}");
        for (at, column) in table.columns.iter().enumerate() {
            let figures: Vec<f64> = table
                .rows
                .iter()
                .filter_map(|row| row[at].number())
                .collect();
            if figures.is_empty() {
                assert_eq!(stated(&column.name), None, "{id}.{}", column.name);
                continue;
            }
            let sum: f64 = figures.iter().filter(|f| f.is_finite()).sum();
            let Some(expected) = stated(&column.name) else {
                panic!("{id}.{} has no total", column.name);
            };
            assert!(
                (sum - expected).abs() <= 1e-9 * expected.abs().max(1e-12),
                "{id}.{}: rows add up to {sum}, total says {expected}",
                column.name
            );
        }
    }
}

#[test]
fn printed_answers_are_found_in_the_rows() {
    let mut held = 0;
    for table in catalogue() {
        for check in &table.checks {
            let row = (0..table.rows.len()).find(|&row| {
                check
                    .given
                    .iter()
                    .all(|(column, cell)| table.cell(row, column) == Some(cell))
            });
            let Some(row) = row else {
                panic!("{}: no row for {:?}", table.id, check.given);
            };
            for (column, printed) in &check.printed {
                assert_eq!(
                    table.cell(row, column),
                    Some(printed),
                    "{} {column}, {}",
                    table.id,
                    check.place
                );
                held += 1;
            }
        }
    }
    assert!(held > 25, "{held}");
}

#[test]
fn no_table_carries_an_address() {
    let words = |table: &Table| {
        let mut all = vec![
            table.title.clone(),
            table.source.to_string(),
            table.source_note.clone(),
            table.applies.clone(),
        ];
        all.extend(table.notes.iter().cloned());
        for row in &table.rows {
            all.extend(row.iter().filter_map(Cell::text).map(str::to_owned));
        }
        all.join("\n")
    };
    for table in catalogue() {
        let text = words(table);
        for mark in ["http", "www.", ".com", "@"] {
            assert!(!text.contains(mark), "{}: {mark}", table.id);
        }
    }
}

#[test]
fn the_tables_the_work_needs_are_all_there() {
    for id in [
        "awg-geometry",
        "sae-areas",
        "resistance-nec",
        "resistance-ul-1581",
        "resistance-iec-60228",
        "resistance-iso-6722",
        "ampacity-cfr",
        "engine-space-factors-cfr",
        "bundle-factors-cfr",
        "ampacity-cfr-105c-reprint",
        "rules-cfr",
        "minimum-gauges",
        "ampacity-iso-10133",
        "engine-space-factors-iso",
        "drop-limits",
        "drop-constants",
        "copper",
        "insulation-types",
        "short-time-factors",
        "short-time-constants",
        "service-drop-limits",
        "fuse-to-wire-rules",
        "blade-families",
        "fuse-colours-c-f",
        "fuse-colours-e",
        "gates-blade",
        "gates-strip",
        "gates-glass",
        "gates-ul-248-14",
        "gates-breaker",
        "breaker-types",
        "breaker-ambient",
        "fuse-ambient",
        "loading-rules",
        "fuse-resistance-blade",
        "fuse-resistance-mini-blade",
        "fuse-resistance-high-current",
        "fuse-hot-resistance",
        "high-current-fuses",
        "breaking-capacity-breakers",
        "standard-ratings",
        "glass-sizes",
        "fuse-networks",
        "fuse-network-results",
        "early-stretch",
        "pulse-withstand",
        "selectivity-gates",
        "failed-element",
        "contact-resistance",
        "crimp-pull",
        "open-volts-flooded",
        "open-volts-agm",
        "open-volts-temperature",
        "battery-resistance",
        "battery-factors",
        "cranking-ratings",
        "battery-minimum",
        "charging-outputs",
        "charging-ohms",
        "charging-volts",
        "pump-defaults",
        "pump-ranges",
        "bilge-classes",
        "trim-figures",
        "starters",
        "engine-loads",
        "relay-data",
        "relay-temperature",
        "relay-terminals",
        "relay-tests",
        "starter-solenoids",
        "motor-temperature",
        "brush-drop",
        "motor-fuse-ceilings",
        "meter-burden",
        "meter-accuracy",
        "leak-readings",
        "fuse-millivolts",
        "safety-limits",
        "safety-regs",
        "cautions",
        "protectors-faa-11-3",
        "switch-factors-faa-11-4",
        "ampacity-faa-11-9",
        "ampacity-mil-w-5088",
    ] {
        assert!(table(id).is_some(), "{id} is missing");
    }
}

const SOUND: &str = r#"
id = "example"
title = "Example"
[source]
document = "A document"
place = "table 1"
standing = "published"
[applies]
words = "Always."
[columns]
zeta = "-"
alpha_a = "A"
[data]
rows = [["one", 1.5], ["two", inf], ["three", ""]]
[totals]
rows = 3
alpha_a = 1.5
"#;

#[test]
fn columns_keep_the_order_of_the_file() {
    let table = read_table("fuses", SOUND).expect("sound");
    let names: Vec<&str> = table.columns.iter().map(|c| c.name.as_str()).collect();
    assert_eq!(names, ["zeta", "alpha_a"]);
    assert_eq!(table.number(0, "alpha_a"), Some(1.5));
    assert_eq!(table.number(1, "alpha_a"), Some(f64::INFINITY));
    assert_eq!(table.cell(2, "alpha_a"), Some(&Cell::Empty));
}

#[test]
fn a_damaged_file_is_refused_in_words() {
    let broken =
        |from: &str, to: &str| read_table("fuses", &SOUND.replace(from, to)).expect_err("damaged");
    for (from, to, says) in [
        (
            "[\"one\", 1.5]",
            "[\"one\"]",
            "row 1 has 1 cells for 2 columns",
        ),
        (
            "standing = \"published\"",
            "standing = \"sure\"",
            "`sure` is not a word of standing",
        ),
        ("document = \"A document\"", "", "`document` is missing"),
        ("[applies]", "[limits]", "section [applies] is missing"),
        ("1.5]", "nan]", "`nan` is not a figure"),
    ] {
        assert_eq!(broken(from, to), says);
    }
    assert!(read_table("fuses", "id = ").is_err());
}
