//! A label is followed up to what the wire stands, as in `solve`.

use super::{check, fuse, studied};
use ampkeel::protecting::{Kind, Verdict};

fn labelled(rating: &str, label: &str) -> (Verdict, String) {
    let study = studied(&format!(
        r#"format = 1
[battery.house]
minus = "ground"
[stud.ground]
[fuse.guard]
style = "blade"
rating = "{rating}"
label = "{label}"
[pump.bilge]
class = "bilge pump 1100 gal/h"
[[run]]
through = ["house.plus", "guard", "bilge.plus"]
lengths = ["6 in", "3 ft"]
back = ["bilge.minus", "ground"]
back-lengths = ["3 ft"]
size = "16 AWG"
"#
    ));
    let label = check(fuse(&study, "guard"), Kind::Label);
    (label.verdict, label.sentence.clone())
}

/// 16 AWG of unknown insulation carries 15 A (33 CFR 183.425 table 5).
#[test]
fn a_label_above_what_the_wire_carries_is_not_followed() {
    let (verdict, says) = labelled("5 A", "40 A");
    assert_eq!(verdict, Verdict::Note);
    assert!(says.contains("leave it"), "{says}");
    assert!(!says.contains("may be fitted"), "{says}");
    let (verdict, says) = labelled("5 A", "10 A");
    assert_eq!(verdict, Verdict::Note);
    assert!(says.contains("10.0 A may be fitted"), "{says}");
}

#[test]
fn a_fuse_above_its_label_is_a_violation() {
    let (verdict, says) = labelled("10 A", "5 A");
    assert_eq!(verdict, Verdict::Violation);
    assert!(says.contains("fit 5.00 A"), "{says}");
    assert_eq!(labelled("5 A", "5 A").0, Verdict::Holds);
}
