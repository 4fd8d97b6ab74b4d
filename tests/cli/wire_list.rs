//! A wire list beside the circuit file, as people keep it in a spreadsheet.

use super::{folder, json, result, run, run_with, status, talk};
use std::fs;
use std::path::PathBuf;

const BOAT: &str = "format = 1\ntitle = \"Basalt\"\nwires = \"list.csv\"   # from the spreadsheet\n[battery.house]\ncold-cranking = \"500 A\"\nminus = \"ground\"\n[stud.ground]\n[fuse.bilge]\nstyle = \"blade\"\nrating = \"5 A\"\n[switch.float]\n[pump.bilge-pump]\nclass = \"bilge pump 1100 gal/h\"\n[state.pumping]\nclosed = [\"float\"]\n";

const LIST: &str = "\u{feff}From;To;Cable no;Length;Size;Color\r\nhouse.plus;bilge.in;\"7; spare\";6 in;14 AWG;red\r\nbilge.out;float.in;8;4 ft;;red\r\nfloat.out;bilge-pump.plus;9;9 ft;?\r\n;;;;;\r\nbilge-pump.minus;ground;10;14 ft;\"10 AWG\";black\r\n";

fn boat(name: &str, list: Option<&[u8]>) -> (PathBuf, String) {
    let folder = folder(&format!("wire-list-{name}"));
    let file = folder.join("boat.toml");
    fs::write(&file, BOAT).expect("written");
    if let Some(list) = list {
        fs::write(folder.join("list.csv"), list).expect("written");
    }
    let name = file.to_str().expect("path").to_owned();
    (folder, name)
}

#[test]
fn a_list_is_solved_and_its_own_columns_are_kept() {
    let (_, file) = boat("solved", Some(LIST.as_bytes()));
    let checked = run(&["check", &file]);
    let shown = result(&checked).replace('\n', " ");
    let kept = "list.csv`, which also keeps `Cable no`)";
    assert!(
        shown.contains("4 wires (4 from `"),
        "{shown}{}",
        talk(&checked)
    );
    assert!(shown.contains(kept), "{shown}");
    let object = json(&run(&["solve", &file, "--json"]));
    let wires = object["states"][0]["wires"].as_array().expect("wires");
    let feed = wires.iter().find(|wire| wire["from"] == "house.plus");
    assert_eq!(feed.expect("the feed")["columns"]["Cable no"], "7; spare");
}

#[test]
fn a_sized_file_gets_a_list_of_its_own_with_everything_kept() {
    let (folder, file) = boat("sized", Some(LIST.as_bytes()));
    let sized = folder.join("sized.toml");
    let name = sized.to_str().expect("path");
    let output = run(&["size", &file, "-o", name]);
    assert_eq!(status(&output), 0, "{}", talk(&output));
    assert!(result(&output).contains("sized.csv"), "{}", result(&output));

    let text = fs::read_to_string(&sized).expect("written");
    let renamed = BOAT.replace("\"list.csv\"", "\"sized.csv\"");
    let ratings = |text: &str| -> Vec<String> {
        let lines = text.lines().filter(|line| !line.starts_with("rating"));
        lines.map(str::to_owned).collect()
    };
    assert_eq!(ratings(&text), ratings(&renamed));
    let object = json(&run(&["size", &file, "--json"]));
    let size = |from: &str| -> String {
        let wires = object["wires"].as_array().expect("wires");
        let wire = wires.iter().find(|wire| wire["from"] == from);
        wire.expect("a wire")["size"]
            .as_str()
            .expect("a size")
            .to_owned()
    };
    let expected = LIST
        .replace("6 in;14 AWG", &format!("6 in;{}", size("house.plus")))
        .replace("4 ft;;", &format!("4 ft;{};", size("bilge.out")))
        .replace("9 ft;?", &format!("9 ft;{}", size("float.out")))
        .replace("\"10 AWG\"", &format!("\"{}\"", size("bilge-pump.minus")));
    let list = fs::read_to_string(folder.join("sized.csv")).expect("written");
    // A cell that stays stays byte for byte; one that is written loses no quotes.
    assert_eq!(list, expected);
    assert_eq!(status(&run(&["check", name])), 0);
    assert_eq!(
        fs::read_to_string(folder.join("list.csv")).expect("kept"),
        LIST
    );

    fs::remove_file(&sized).expect("removed");
    fs::write(folder.join("sized.csv"), "mine").expect("written");
    let again = run(&["size", &file, "-o", name]);
    assert_eq!(status(&again), 2);
    assert!(talk(&again).contains("sized.csv"), "{}", talk(&again));
    assert!(!sized.exists());
    assert_eq!(
        fs::read_to_string(folder.join("sized.csv")).expect("kept"),
        "mine"
    );
    assert_eq!(fs::read_dir(&folder).expect("folder").count(), 3);
}

#[cfg(unix)]
#[test]
fn a_name_no_list_could_have_is_refused_only_where_the_circuit_has_a_list() {
    let (folder, file) = boat("odd-names", Some(LIST.as_bytes()));
    let alone = folder.join("alone.toml");
    let alone = alone.to_str().expect("path");
    let ends = "minus = \"ground\"\n[stud.ground]\n";
    let text = format!(
        "format = 1\n[battery.house]\n{ends}[fuse.main]\nstyle = \"blade\"\nrating = \"5 A\"\nin = \"house.plus\"\n[load.lamp]\ncurrent = \"1 A\"\nminus = \"ground\"\n[[wire]]\nfrom = \"main.out\"\nto = \"lamp.plus\"\nsize = \"16 AWG\"\nlength = \"4 ft\"\n"
    );
    fs::write(alone, text).expect("written");
    for name in ["a:b.toml", "a\\b.toml"] {
        let sized = folder.join(name);
        let name = sized.to_str().expect("path");
        let refused = run(&["size", &file, "-o", name]);
        assert_eq!(status(&refused), 2);
        assert!(talk(&refused).contains("is no name"), "{}", talk(&refused));
        assert!(!sized.exists());
        let output = run(&["size", alone, "-o", name]);
        assert_ne!(status(&output), 2, "{}", talk(&output));
        assert_eq!(status(&run(&["check", name])), 0);
    }
}

#[test]
fn a_size_that_all_wires_share_by_default_gives_the_list_a_column() {
    let plain = "from,to,length\nhouse.plus,bilge.in,6 in\nbilge.out,float.in,40 ft\nfloat.out,bilge-pump.plus,9 ft\nbilge-pump.minus,ground,50 ft\n";
    let (folder, file) = boat("default", Some(plain.as_bytes()));
    let text = format!("{BOAT}[defaults.wire]\nsize = \"18 AWG\"\n");
    fs::write(&file, text).expect("written");
    let sized = folder.join("new.toml");
    let name = sized.to_str().expect("path");
    let output = run(&["size", &file, "-o", name]);
    assert_ne!(status(&output), 2, "{}", talk(&output));
    assert_eq!(status(&run(&["check", name])), 0);
    let list = fs::read_to_string(folder.join("new.csv")).expect("written");
    let text = fs::read_to_string(&sized).expect("written");
    let is_shared = text.contains("size = \"18 AWG\"") == list.starts_with("from,to,length,size\n");
    assert!(is_shared, "{text}{list}");
}

#[test]
fn mistakes_in_both_files_are_shown_in_one_run_each_with_its_file() {
    let list =
        b"from,to,size,length\nhouse.plus,bilge.in,14 AWG,0,5 m\nbilge.out,flaot.in,14,4 ft\n";
    let (folder, file) = boat("both", Some(list));
    fs::write(&file, BOAT.replace("5 A", "5A A")).expect("written");
    let shown = result(&run(&["check", &file]));
    let csv = folder.join("list.csv");
    for (place, words) in [
        (format!("{file}:10:10"), "`A A` is not a unit"),
        (
            format!("{}:2:28", csv.display()),
            "write the figure with a point: 0.5 m",
        ),
        (
            format!("{}:3:11", csv.display()),
            "did you mean `float.in`?",
        ),
        (format!("{}:3:20", csv.display()), "write \"14 AWG\""),
    ] {
        assert!(shown.contains(&place), "{place}: {shown}");
        assert!(shown.contains(words), "{words}: {shown}");
    }
    assert!(shown.contains("4 mistakes"), "{shown}");
    let object = json(&run(&["check", &file, "--json"]));
    let found = object["findings"].as_array().expect("findings");
    let of_list = found.iter().filter(|one| one["file"].is_string()).count();
    assert_eq!(of_list, 3);
}

#[test]
fn a_list_that_cannot_be_had_is_said_at_the_line_that_asks_for_it() {
    let not_there = boat("none", None).1;
    let no_text = boat("latin", Some(b"from,to\nhaus\xfc.plus,a\n")).1;
    let binary = boat("binary", Some(b"PK\x03\x04\0\0")).1;
    let empty = boat("empty", Some(b"\r\n;;\r\n")).1;
    let large = boat("large", Some(&vec![b'a'; 5_000_000])).1;
    let (folder, is_folder) = boat("folder", None);
    fs::create_dir(folder.join("list.csv")).expect("made");
    for (file, why) in [
        (not_there, "there is no such file"),
        (no_text, "byte 13 does not fit"),
        (binary, "it is no text"),
        (empty, "it is empty"),
        (large, "larger than 4 MB"),
        (is_folder, "it is no file"),
    ] {
        let output = run(&["check", &file]);
        let shown = result(&output);
        assert_eq!(status(&output), 2, "{shown}");
        assert!(
            shown.contains(why) && shown.contains(":3:9"),
            "{why}: {shown}"
        );
        assert!(shown.contains("1 mistake;"), "{shown}");
    }
    let piped = run_with(&["check", "-"], BOAT);
    assert!(result(&piped).contains("from a pipe"), "{}", result(&piped));
}

#[test]
fn lists_in_other_folders_are_not_opened() {
    let (folder, file) = boat("elsewhere", Some(LIST.as_bytes()));
    fs::create_dir(folder.join("below")).expect("made");
    fs::copy(folder.join("list.csv"), folder.join("below/list.csv")).expect("copied");
    let outside = folder.join("list.csv");
    let outside = outside.to_str().expect("path");
    for (name, is_read) in [
        (outside, false),
        ("../wire-list-elsewhere/list.csv", false),
        ("below/../list.csv", false),
        ("", false),
        ("below/list.csv", true),
        ("./list.csv", true),
    ] {
        fs::write(&file, BOAT.replace("list.csv", name)).expect("written");
        let output = run(&["check", &file]);
        assert_eq!(status(&output) == 0, is_read, "{name}: {}", result(&output));
    }
}

#[test]
fn a_row_that_is_listed_twice_is_said_to_be_two_wires() {
    let row = "bilge.out;float.in;8;4 ft;;red\r\n";
    let twice = LIST.replace(row, &format!("{row}{row}"));
    let (_, file) = boat("twice", Some(twice.as_bytes()));
    let checked = run(&["check", &file]);
    assert_eq!(status(&checked), 0);
    assert!(result(&checked).contains("wire-listed-twice"));
    // A number of its own makes it a wire of its own.
    let other = row.replace(";8;", ";8b;");
    let beside = LIST.replace(row, &format!("{row}{other}"));
    let (_, file) = boat("beside", Some(beside.as_bytes()));
    assert!(!result(&run(&["check", &file])).contains("wire-listed-twice"));
}
