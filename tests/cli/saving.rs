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
