//! Published choices of wire and fuse, each as a whole circuit: one wire, as
//! the return is bolted on, so the choice is one size.

use super::{fuse, sized, wire};
use ampkeel::sizing::{FuseBinding, Stock, WireBinding};

/// A load of constant current on one wire of the whole loop's length.
fn one_wire(current_a: f64, loop_ft: f64, limit_pct: f64, more: &str, wire: &str) -> String {
    format!(
        "format = 1\n[battery.house]\ncold-cranking = \"900 A\"\nminus = \"ground\"\n[stud.ground]\n\
         [fuse.main]\nstyle = \"strip\"\nrating = \"80 A\"\nin = \"house.plus\"\n{more}\n\
         [load.load]\ncurrent = \"{current_a} A\"\nminus = \"ground\"\n\
         [limits]\ndrop-other = \"{limit_pct} %\"\n{wire}\n"
    ) + &format!(
        "[[wire]]\nfrom = \"main.out\"\nto = \"load.plus\"\nsize = \"2 AWG\"\ninsulation = \"105 degC\"\nlength = \"{loop_ft} ft\"\n"
    )
}

#[track_caller]
fn choice(text: &str) -> (String, WireBinding) {
    let sizing = sized(text, &Stock::default());
    let wire = wire(&sizing, "main.out to load.plus");
    (wire.size.to_string(), wire.binding)
}

#[track_caller]
fn by_drop(current_a: f64, loop_ft: f64, limit_v: f64) -> String {
    // A blade, so that no fuse asks for more than the drop does.
    let text = one_wire(current_a, loop_ft, limit_v / 12.0 * 100.0, "", "").replace(
        "style = \"strip\"\nrating = \"80 A\"",
        "style = \"blade\"\nrating = \"30 A\"",
    );
    let (size, binding) = choice(&text);
    assert_eq!(binding, WireBinding::Drop, "{size}");
    size
}

/// FAA AC 43.13-1B, table 11-7 rows 1 to 3 and example 1 of paragraph 11-66.
#[test]
fn sizes_of_the_aircraft_circular() {
    assert_eq!(by_drop(20.0, 107.0, 1.0), "6 AWG");
    assert_eq!(by_drop(20.0, 90.0, 0.5), "4 AWG");
    assert_eq!(by_drop(20.0, 88.0, 4.0), "12 AWG");
    assert_eq!(by_drop(20.0, 50.0, 1.0), "8 AWG");
}

/// A marine catalogue, 10 A over 11 ft out and 10 ft back at 3 %: 12 AWG.
#[test]
fn the_bilge_pump_of_a_catalogue() {
    assert_eq!(by_drop(10.0, 21.0, 0.36), "12 AWG");
}

/// The same at 10 %, by the catalogue's chart: 16 AWG; a fuse of 15 A for the
/// 12.5 A it asks for leaves it.
#[test]
fn the_bilge_pump_at_ten_percent() {
    let text = one_wire(10.0, 21.0, 10.0, "", "").replace(
        "style = \"strip\"\nrating = \"80 A\"",
        "style = \"blade\"\nrating = \"15 A\"",
    );
    assert_eq!(choice(&text).0, "16 AWG");
}

/// A refrigeration maker's page: 45 A over 40 ft at 10 %: 8 AWG.
#[test]
fn foot_amperes_of_a_refrigeration_maker() {
    let text = one_wire(45.0, 40.0, 10.0, "", "").replace("80 A", "60 A");
    assert_eq!(choice(&text), ("8 AWG".into(), WireBinding::Drop));
}

/// 33 CFR 183.455(c)(1) with table 5: 16 AWG of 105 degC may stand behind
/// 37.5 A; 24.9 A of load ask for 31.1 A, so 35 A fits there, and nothing fits
/// under the rule of 100 %, which allows 25 A.
#[test]
fn the_legal_fuse_of_sixteen_gauge() {
    let kept = |basis: &str| {
        one_wire(24.9, 2.0, 10.0, "", &format!("fuse-basis = \"{basis}\""))
            .replace(
                "style = \"strip\"\nrating = \"80 A\"",
                "style = \"blade\"\nrating = \"40 A\"",
            )
            .replace("size = \"2 AWG\"", "keep = true\nsize = \"16 AWG\"")
    };
    let legal = sized(&kept("cfr-150"), &Stock::default());
    assert_eq!(fuse(&legal, "main").rating_a, 35.0);
    assert_eq!(fuse(&legal, "main").binding, FuseBinding::Load);
    assert!(legal.collisions.is_empty(), "{:?}", legal.collisions);
    let strict = sized(&kept("load-and-100"), &Stock::default());
    assert_eq!(fuse(&strict, "main").rating_a, 25.0);
    assert_eq!(strict.collisions.len(), 1, "{:?}", strict.collisions);
}

/// Reprint of the Coast Guard guideline: 10 AWG of 105 degC carries 51 A in the
/// engine space, so it stands behind a kept fuse of 50 A, and not of 60 A.
#[test]
fn the_fuse_of_ten_gauge_in_the_engine_space() {
    let behind = |rating: &str| {
        let text = one_wire(30.0, 2.0, 10.0, "keep = true", "")
            .replace("80 A", rating)
            .replace("[[wire]]", "[[wire]]\nplace = \"engine-space\"");
        choice(&text)
    };
    assert_eq!(behind("50 A"), ("10 AWG".into(), WireBinding::Fuse));
    assert_eq!(behind("60 A").0, "8 AWG");
}
