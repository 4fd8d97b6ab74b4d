//! The page of a report: well formed, inert, complete, right in a real browser;
//! the wiring diagram: legible on every example and up to sixty wires.

mod browser;
mod charts;
mod contrast;
mod diagram;
mod driven;
mod driver;
mod generated;
mod page;
mod shown;
mod signed;
mod worksheets;

use ampkeel::circuit::Circuit;
use ampkeel::reading::read;
use ampkeel::reporting::{Report, report};
use ampkeel::span::CircuitText;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// The example boats.
const BOATS: [&str; 6] = [
    "basalt-bilge-pump",
    "flint-carburetted-two-stroke",
    "gabbro-injected-outboard",
    "gneiss-inboard-diesel",
    "marl-tiller-9hp",
    "schist-console-boat",
];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn boat(name: &str) -> PathBuf {
    root().join("circuits").join(format!("{name}.toml"))
}

/// Every example circuit: the boats, then one a device.
fn examples() -> Vec<PathBuf> {
    let mut all: Vec<PathBuf> = BOATS.iter().map(|name| boat(name)).collect();
    let devices = std::fs::read_dir(root().join("circuits/devices")).expect("devices");
    let mut devices: Vec<PathBuf> = devices.map(|entry| entry.expect("entry").path()).collect();
    devices.sort();
    all.extend(devices);
    all
}

fn circuit_of(text: &str) -> Circuit {
    let reading = read(&CircuitText::new("test.toml", text));
    let told: Vec<&str> = reading
        .findings
        .iter()
        .map(|f| f.statement.as_str())
        .collect();
    reading
        .circuit
        .unwrap_or_else(|| panic!("{told:?}\n{text}"))
}

fn circuit(path: &Path) -> Circuit {
    circuit_of(&std::fs::read_to_string(path).expect("circuit"))
}

/// The report of a circuit file, with what reading it said.
fn report_of(path: &Path) -> Report {
    let text = CircuitText::new(words(path), std::fs::read_to_string(path).expect("file"));
    let reading = read(&text);
    report(&circuit(path), &text, None, reading.findings).expect("a report")
}

/// A folder of its own for a test, emptied first.
fn folder(test: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("report-{test}"));
    drop(std::fs::remove_dir_all(&folder));
    std::fs::create_dir_all(&folder).expect("folder");
    folder
}

fn ampkeel(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_ampkeel"))
        .args(arguments)
        .output()
        .expect("ampkeel runs")
}

fn words(path: &Path) -> &str {
    path.to_str().expect("a path in plain words")
}

/// The page of a circuit file, written into a folder.
fn page(path: &Path, folder: &Path) -> PathBuf {
    let name = path.file_stem().expect("name").to_string_lossy();
    let page = folder.join(format!("{name}.html"));
    let output = ampkeel(&["report", words(path), "-o", words(&page)]);
    let status = output.status.code();
    assert!(
        matches!(status, Some(0 | 1)),
        "{name}: {status:?} {}",
        String::from_utf8_lossy(&output.stderr)
    );
    page
}
