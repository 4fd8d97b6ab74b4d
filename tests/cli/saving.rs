//! `-o`: never over another file unless told, and never half a file.

use super::{folder, result, run, status, talk};

#[test]
fn a_file_is_written_once_and_replaced_only_by_force() {
    let folder = folder("saving");
    let path = folder.join("circuit.schema.json");
    let name = path.to_str().expect("path");

    let first = run(&["schema", "-o", name]);
    assert_eq!(status(&first), 0, "{}", talk(&first));
    let schema = std::fs::read_to_string(&path).expect("written");
    assert_eq!(schema, result(&run(&["schema"])));

    std::fs::write(&path, "mine").expect("written");
    let second = run(&["schema", "-o", name]);
    assert_eq!(status(&second), 2);
    assert!(talk(&second).contains("`--force` replaces it"));
    assert_eq!(std::fs::read_to_string(&path).expect("kept"), "mine");

    assert_eq!(status(&run(&["schema", "-o", name, "--force"])), 0);
    assert_eq!(std::fs::read_to_string(&path).expect("replaced"), schema);
    assert_eq!(std::fs::read_dir(&folder).expect("folder").count(), 1);
}

#[test]
fn a_folder_that_is_not_there_is_said() {
    let path = folder("saving-nowhere").join("missing/circuit.schema.json");
    let output = run(&["schema", "-o", path.to_str().expect("path")]);
    assert_eq!(status(&output), 2);
    assert!(talk(&output).contains("cannot write"));
}

/// Renaming a finished file over a device or a pipe would take it away for all.
#[cfg(unix)]
#[test]
fn devices_and_folders_are_never_replaced_and_the_mode_of_a_file_stays() {
    use std::os::unix::fs::PermissionsExt;
    let folder = folder("saving-kinds");
    let refused = run(&["schema", "-o", folder.to_str().expect("path"), "--force"]);
    assert_eq!(status(&refused), 2);
    assert!(talk(&refused).contains("no file takes its place"));
    let pipe = folder.join("pipe");
    let made = std::process::Command::new("mkfifo").arg(&pipe).status();
    assert!(made.expect("a pipe is made").success());
    let refused = run(&["schema", "-o", pipe.to_str().expect("path"), "--force"]);
    assert_eq!(status(&refused), 2);
    assert!(talk(&refused).contains("no file takes its place"));

    let own = folder.join("own");
    std::fs::write(&own, "mine").expect("written");
    std::fs::set_permissions(&own, PermissionsExt::from_mode(0o600)).expect("set");
    let replaced = run(&["schema", "-o", own.to_str().expect("path"), "--force"]);
    assert_eq!(status(&replaced), 0);
    let mode = std::fs::metadata(&own).expect("there").permissions().mode();
    assert_eq!(mode & 0o777, 0o600);
}
