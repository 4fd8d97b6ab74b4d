//! The JSON Schema, held by an independent validator.

use super::{committed, files_of};
use boon::{Compiler, Schemas};
use serde_json::{Value, json};

/// Asks the validator about a file as JSON.
fn complaint(file: &Value) -> Option<String> {
    let mut schemas = Schemas::new();
    let mut compiler = Compiler::new();
    compiler
        .add_resource("schema.json", ampkeel::reading::schema())
        .unwrap();
    let index = compiler.compile("schema.json", &mut schemas).unwrap();
    let judged = schemas.validate(file, index);
    judged.err().map(|error| format!("{error:#}"))
}

/// The same file as JSON: an editor sees nothing else of it.
fn as_json(text: &str) -> Value {
    toml::from_str(text).unwrap()
}

#[test]
fn every_committed_circuit_fits_the_schema() {
    let mut files = committed();
    files.extend(files_of("circuits/typical"));
    assert!(files.len() >= 37);
    for (name, text) in files {
        let complaint = complaint(&as_json(&text));
        assert_eq!(complaint, None, "{name}");
    }
}

/// A small sound file, its wire as given.
fn file(wire: &Value) -> Value {
    json!({
        "format": 1,
        "battery": { "house": { "cold-cranking": "500 A" } },
        "fuse": { "main": { "style": "blade", "rating": "10 A" } },
        "load": { "lamp": { "lamp": "10 W" } },
        "wire": [
            { "from": "house.plus", "to": "main.in", "size": "14 AWG", "length": "6 in" },
            { "from": "lamp.minus", "to": "house.minus", "size": "14 AWG", "length": "9 ft" },
            wire,
        ],
    })
}

fn sound_wire() -> Value {
    json!({ "from": "main.out", "to": "lamp.plus", "size": "14 AWG", "length": "9 ft" })
}

#[test]
fn the_schema_takes_what_people_write() {
    for (key, value) in [
        ("size", "14 AWG"),
        ("size", "2/0 awg"),
        ("size", "16 SAE"),
        ("size", "2.5 mm\u{b2}"),
        ("length", "9ft"),
        ("length", "14 ft 6 in"),
        ("length", "1\u{bd} in"),
        ("length", "8 to 10 ft"),
        ("length", "2.7 m +/- 10 %"),
        ("insulation", "105 \u{b0}C"),
        ("insulation", "221 degF"),
        ("joints", "5 m\u{2126}"),
        ("place", "engine-space"),
    ] {
        let mut wire = sound_wire();
        wire[key] = json!(value);
        assert_eq!(complaint(&file(&wire)), None, "{key} = {value}");
    }
}

#[test]
fn the_schema_refuses_wrong_values_of_a_wire() {
    for (key, value) in [
        ("size", json!(14)),
        ("size", json!("14")),
        ("size", json!("14 A")),
        ("length", json!(9)),
        ("length", json!("9")),
        ("length", json!("4,3 m")),
        ("length", json!("9 V")),
        ("length", json!("inf m")),
        ("insulation", json!("105")),
        ("joints", json!("5 Mohms and more")),
        ("place", json!("moon")),
        ("bundle", json!("4")),
        ("bundle", json!(0)),
        ("tinned", json!("yes")),
        ("from", json!("House.plus")),
        ("gauge", json!("14 AWG")),
    ] {
        let mut wire = sound_wire();
        wire[key] = value.clone();
        assert!(complaint(&file(&wire)).is_some(), "{key} = {value} passes");
    }
    for missing in ["from", "to"] {
        let mut wire = sound_wire();
        wire.as_object_mut().expect("object").remove(missing);
        assert!(
            complaint(&file(&wire)).is_some(),
            "a wire without {missing} passes"
        );
    }
}

#[test]
fn the_schema_takes_a_wire_that_nobody_measured() {
    for key in ["size", "length"] {
        let mut wire = sound_wire();
        wire[key] = json!("?");
        assert_eq!(complaint(&file(&wire)), None, "{key}");
        wire.as_object_mut().expect("object").remove(key);
        assert_eq!(complaint(&file(&wire)), None, "{key}");
        wire[key] = json!("??");
        assert!(complaint(&file(&wire)).is_some(), "{key}");
    }
}

#[test]
fn the_schema_refuses_wrong_tables_and_fields() {
    let wrong: [(&str, &[&str], Value); 11] = [
        ("a newer format", &["format"], json!(2)),
        ("an unknown kind", &["thruster"], json!({ "bow": {} })),
        (
            "a fuse without a rating",
            &["fuse", "main"],
            json!({ "style": "blade" }),
        ),
        (
            "a fuse without a style",
            &["fuse", "main"],
            json!({ "rating": "10 A" }),
        ),
        (
            "an unknown style",
            &["fuse", "main", "style"],
            json!("wire"),
        ),
        ("a bare rating", &["fuse", "main", "rating"], json!(10)),
        (
            "an unknown field",
            &["fuse", "main", "colour"],
            json!("red"),
        ),
        (
            "a load with two answers",
            &["load", "lamp", "current"],
            json!("1 A"),
        ),
        ("a load without an answer", &["load", "lamp"], json!({})),
        (
            "an unknown class",
            &["load", "lamp"],
            json!({ "class": "toaster" }),
        ),
        ("a name with capitals", &["stud"], json!({ "Ground": {} })),
    ];
    assert_eq!(complaint(&file(&sound_wire())), None);
    for (what, path, value) in wrong {
        let mut file = file(&sound_wire());
        *path.iter().fold(&mut file, |at, key| &mut at[*key]) = value;
        assert!(complaint(&file).is_some(), "{what} passes");
    }
    let mut without_format = file(&sound_wire());
    without_format["format"] = Value::Null;
    assert!(complaint(&without_format).is_some());
    without_format
        .as_object_mut()
        .expect("object")
        .remove("format");
    assert!(complaint(&without_format).is_some());
}
