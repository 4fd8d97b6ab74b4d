//! From text to circuit, and every mistake in one run.

mod bad_circuits;
mod damages;
mod draws;
mod json_schema;
mod limits;
mod mutations;
mod order_of_tables;
mod wire_list;

use ampkeel::reading::{Reading, read};
use ampkeel::span::CircuitText;
use std::fs;
use std::path::Path;

/// Reads a text under a name of its own.
fn read_text(text: &str) -> Reading {
    read(&CircuitText::new("test.toml", text))
}

/// Every circuit file of a folder below `circuits`: its name and its text.
fn files_of(folder: &str) -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let mut files: Vec<(String, String)> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|end| end == "toml"))
        .map(|path| {
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            (name, fs::read_to_string(path).unwrap())
        })
        .collect();
    files.sort();
    files
}

/// All committed circuit files: boats, then single devices.
fn committed() -> Vec<(String, String)> {
    let mut files = files_of("circuits");
    files.extend(files_of("circuits/devices"));
    files
}
