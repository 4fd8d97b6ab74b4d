//! The built program, run as people run it.

mod check;
mod exit_status;
mod explain;
mod new;
mod other_commands;
mod saving;
mod solve;
mod streams;
mod wire_list;

use std::io::Write;
use std::path::PathBuf;
use std::process::{Command, Output, Stdio};

/// A circuit file that breaks the rules of TOML on its second line.
const BROKEN: &str = "format = 1\ntitle = \"no end\n";

/// The program with a clean environment as far as colour goes.
fn ampkeel(arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_ampkeel"));
    command.args(arguments);
    for variable in ["NO_COLOR", "CLICOLOR", "CLICOLOR_FORCE", "TERM", "CI"] {
        command.env_remove(variable);
    }
    command
}

/// Runs it with nothing to read.
fn run(arguments: &[&str]) -> Output {
    let mut command = ampkeel(arguments);
    command.stdin(Stdio::null()).output().expect("runs")
}

/// Runs it with `input` piped in.
pub(crate) fn run_with(arguments: &[&str], input: &str) -> Output {
    let mut command = ampkeel(arguments);
    command
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    let mut child = command.spawn().expect("starts");
    let mut pipe = child.stdin.take().expect("pipe");
    pipe.write_all(input.as_bytes()).expect("written");
    drop(pipe);
    child.wait_with_output().expect("ends")
}

fn result(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("text")
}

fn talk(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("text")
}

fn status(output: &Output) -> i32 {
    output.status.code().expect("an exit status")
}

fn json(output: &Output) -> serde_json::Value {
    serde_json::from_slice(&output.stdout).expect("JSON")
}

/// A fresh folder for one test.
fn folder(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    if folder.exists() {
        std::fs::remove_dir_all(&folder).expect("removed");
    }
    std::fs::create_dir_all(&folder).expect("made");
    folder
}
