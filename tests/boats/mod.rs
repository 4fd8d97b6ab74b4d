//! The example boats and devices show what the heads of their files promise.

mod basalt;
mod devices;
mod flint;
mod gabbro;
mod gneiss;
mod marl;
mod schist;

use ampkeel::findings::{Finding, Severity};
use ampkeel::reading::read;
use ampkeel::solving::{StateSolution, solve};
use ampkeel::span::CircuitText;
use std::path::{Path, PathBuf};
use std::process::Command;

/// A circuit file read and solved.
struct Solved {
    findings: Vec<Finding>,
    states: Vec<StateSolution>,
}

fn circuits() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("circuits")
}

fn text_of(file: &str) -> String {
    std::fs::read_to_string(circuits().join(file)).unwrap()
}

/// Solves a file of the folder `circuits`.
fn solved(file: &str) -> Solved {
    solved_text(&text_of(file))
}

fn solved_text(text: &str) -> Solved {
    let reading = read(&CircuitText::new("test.toml", text));
    let circuit = reading
        .circuit
        .unwrap_or_else(|| panic!("unsound: {:?}", reading.findings));
    let solution = solve(&circuit).unwrap();
    let mut findings = reading.findings;
    findings.extend(solution.findings);
    Solved {
        findings,
        states: solution.states,
    }
}

impl Solved {
    #[track_caller]
    fn state(&self, name: &str) -> &StateSolution {
        let found = self.states.iter().find(|state| state.name == name);
        found.unwrap_or_else(|| panic!("no state `{name}`"))
    }

    /// Current of a load.
    #[track_caller]
    fn amps(&self, state: &str, part: &str) -> f64 {
        self.state(state).parts[part].current_a.expect("connected")
    }

    /// Volts across a load.
    #[track_caller]
    fn volts(&self, state: &str, part: &str) -> f64 {
        self.state(state).parts[part].voltage_v.expect("connected")
    }

    /// Volts between two terminals.
    #[track_caller]
    fn between(&self, state: &str, from: &str, to: &str) -> f64 {
        let terminals = &self.state(state).terminals_v;
        terminals[from].expect("connected") - terminals[to].expect("connected")
    }

    /// Current a battery gives.
    #[track_caller]
    fn battery_a(&self, state: &str, battery: &str) -> f64 {
        self.state(state).batteries[battery].current_a
    }

    #[track_caller]
    fn battery_v(&self, state: &str, battery: &str) -> f64 {
        self.state(state).batteries[battery].voltage_v
    }

    #[track_caller]
    fn fuse_a(&self, state: &str, fuse: &str) -> f64 {
        self.state(state).fuses[fuse].current_a
    }

    #[track_caller]
    fn pulled_in(&self, state: &str, relay: &str) -> bool {
        self.state(state).relays[relay].pulled_in.expect("at rest")
    }

    /// Drop by the rule, percent.
    #[track_caller]
    fn rule_pct(&self, state: &str, part: &str) -> f64 {
        self.state(state).parts[part].rule_drop_pct.expect("fed")
    }

    /// Drop by the meter, percent of 12 V.
    #[track_caller]
    fn meter_pct(&self, state: &str, part: &str) -> f64 {
        self.state(state).parts[part].drop_v.expect("fed") / 12.0 * 100.0
    }

    /// Codes and subjects of one severity, sorted.
    fn found(&self, severity: Severity) -> Vec<(&str, &str)> {
        let mut found: Vec<(&str, &str)> = self
            .findings
            .iter()
            .filter(|finding| finding.severity() == severity)
            .map(|finding| (finding.code.name(), finding.subject.as_str()))
            .collect();
        found.sort_unstable();
        found
    }

    fn violations(&self) -> Vec<(&str, &str)> {
        self.found(Severity::Violation)
    }

    fn cautions(&self) -> Vec<(&str, &str)> {
        self.found(Severity::Caution)
    }

    /// No violation, and the figures themselves say so: drops within their
    /// limits, fuses within their ratings, wires within their ampacities.
    #[track_caller]
    fn is_healthy(&self) {
        assert_eq!(self.violations(), []);
        for state in self.states.iter().filter(|state| !state.what_if) {
            for (name, part) in &state.parts {
                if let (Some(pct), Some(limit)) = (part.rule_drop_pct, part.limit_pct) {
                    assert!(pct <= limit, "{name} in {}: {pct} %", state.name);
                }
            }
            for (name, fuse) in &state.fuses {
                assert!(fuse.current_a <= fuse.rating_a, "{name} in {}", state.name);
            }
            for wire in state.wires.iter().filter(|wire| !wire.cranking) {
                let most = wire.ampacity_a.unwrap_or(f64::INFINITY);
                assert!(wire.rms_a <= most, "{} in {}", wire.from, state.name);
            }
        }
    }
}

/// Holds that a figure lies where a file's head says.
#[track_caller]
fn within(figure: f64, low: f64, high: f64) {
    assert!(
        (low..=high).contains(&figure),
        "{figure}, not {low} to {high}"
    );
}

fn files(folder: &Path) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(folder).unwrap();
    let mut files: Vec<PathBuf> = entries
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.is_file())
        .collect();
    files.sort();
    files
}

/// The comment at the head of a file.
fn head(text: &str) -> String {
    let lines = text.lines().take_while(|line| line.starts_with('#'));
    lines.collect::<Vec<_>>().join("\n")
}

#[test]
fn every_file_is_sound_and_says_at_its_head_what_it_shows() {
    let boats = files(&circuits());
    let devices = files(&circuits().join("devices"));
    assert_eq!(boats.len(), 6, "a new boat needs a test of its promise");
    assert_eq!(devices.len(), devices::PROMISES.len());
    for path in boats.iter().chain(&devices) {
        let output = Command::new(env!("CARGO_BIN_EXE_ampkeel"))
            .arg("check")
            .arg(path)
            .output()
            .unwrap();
        assert_eq!(output.status.code(), Some(0), "{}", path.display());
        let text = std::fs::read_to_string(path).unwrap();
        let head = head(&text);
        assert!(head.len() > 80, "{}: {head}", path.display());
        assert!(head.contains("invented"), "{}", path.display());
    }
}

#[test]
fn every_state_a_boat_names_at_its_head_is_a_state_of_it() {
    for path in files(&circuits()) {
        let text = std::fs::read_to_string(&path).unwrap();
        let solved = solved_text(&text);
        // Names of states stand in backticks; so do those of slots.
        for name in head(&text).split('`').skip(1).step_by(2) {
            let is_state = solved.states.iter().any(|state| state.name == name);
            let is_slot = text.contains(&format!(".slots.{name}]"));
            let is_position = text.contains(&format!("master = \"{name}\""));
            assert!(
                is_state || is_slot || is_position,
                "{}: `{name}`",
                path.display()
            );
        }
    }
}

#[test]
fn a_solve_ends_with_1_where_a_file_promises_violations_and_with_0_elsewhere() {
    let promising = [
        "schist-console-boat.toml",
        "chattering-relay.toml",
        "collapsing-supply.toml",
        "electronics.toml",
        "relay-diode-reversed.toml",
        "reversed-battery.toml",
    ];
    let all = files(&circuits());
    for path in all.iter().chain(&files(&circuits().join("devices"))) {
        let name = path.file_name().unwrap().to_string_lossy();
        let status = Command::new(env!("CARGO_BIN_EXE_ampkeel"))
            .args(["solve", "--json"])
            .arg(path)
            .output()
            .unwrap()
            .status
            .code();
        let expected = i32::from(promising.contains(&&*name));
        assert_eq!(status, Some(expected), "{name}");
    }
}
