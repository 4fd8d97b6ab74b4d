//! `tables`, `schema`, `completions`, `man`.

use super::{json, result, run, status, talk};
use ampkeel::tables::catalogue;

#[test]
fn every_table_is_listed_with_its_standing() {
    let shown = result(&run(&["tables"]));
    let object = json(&run(&["tables", "--json"]));
    let listed = object["tables"].as_array().expect("a list");
    assert_eq!(listed.len(), catalogue().len());
    for (table, entry) in catalogue().iter().zip(listed) {
        assert!(shown.contains(&table.id), "{}", table.id);
        assert_eq!(entry["source"]["standing"], table.source.standing.word());
    }
}

#[test]
fn every_table_is_printed_with_its_source_and_rows() {
    for table in catalogue() {
        let shown = run(&["tables", &table.id]);
        assert_eq!(status(&shown), 0, "{}", talk(&shown));
        assert!(result(&shown).contains("Sources"), "{}", table.id);
        let object = json(&run(&["tables", &table.id, "--json"]));
        let rows = object["rows"].as_array().expect("rows");
        assert_eq!(rows.len(), table.rows.len());
        assert_eq!(object["sources"][0]["document"], table.source.document);
    }
}

#[test]
fn a_slip_in_a_table_is_answered_with_the_nearest_one() {
    for table in catalogue().iter().take(3) {
        let output = run(&["tables", &format!("{}x", table.id)]);
        assert_eq!(status(&output), 2);
        let expected = format!("did you mean `{}`?", table.id);
        assert!(talk(&output).contains(&expected), "{}", talk(&output));
    }
}

#[test]
fn the_schema_is_json() {
    let output = run(&["schema"]);
    assert_eq!(status(&output), 0);
    assert!(json(&output).is_object());
}

#[test]
fn shells_and_manuals_get_their_files() {
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let output = run(&["completions", shell]);
        assert_eq!(status(&output), 0);
        assert!(result(&output).contains("explain"), "{shell}");
    }
    assert!(result(&run(&["man"])).contains(".TH ampkeel"));
    assert!(result(&run(&["man", "check"])).contains("ampkeel"));
    let output = run(&["man", "chekc"]);
    assert_eq!(status(&output), 2);
    assert!(talk(&output).contains("did you mean `check`?"));
}
