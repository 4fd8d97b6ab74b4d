//! Contrast of every colour of the page and of the pictures alone, computed
//! from their style sheets by the formula of WCAG 2.2 ("relative luminance",
//! "contrast ratio"): words 4.5 to 1 (1.4.3), lines and marks that carry
//! meaning 3 to 1 (1.4.11), in light, dark and on paper.

use super::root;
use std::collections::BTreeMap;

/// Colours by their variable.
type Colours = BTreeMap<String, [f64; 3]>;

/// One rule.
struct Rule {
    selector: String,
    declarations: Vec<(String, String)>,
    /// Whether it holds on paper alone.
    on_paper: bool,
}

/// Selectors whose lines mean nothing by themselves.
const DECORATION: &[&str] = &[
    // Rules of a chart; the figures stand at the axes.
    ".grid",
    // The light rim that lifts letters off a line.
    ".halo",
    // What is left out of a line where another hops over it.
    ".left-out",
    // Rules between rows, edges of panels and boxes of text.
    "th,td",
    "tbody tr",
    ".scroll",
    ".reading",
    "details.sheet",
    // A wash of a tenth; the line in its middle and its words carry it.
    ".spread",
];

fn sheet(name: &str) -> String {
    std::fs::read_to_string(root().join("src/present").join(name)).expect("style sheet")
}

fn colour(text: &str) -> Option<[f64; 3]> {
    let digits = text.trim().strip_prefix('#')?;
    let one = |at: usize, wide: usize| {
        let piece = digits.get(at * wide..(at + 1) * wide)?;
        let piece = if wide == 1 {
            piece.repeat(2)
        } else {
            piece.to_owned()
        };
        u8::from_str_radix(&piece, 16).ok().map(f64::from)
    };
    let wide = match digits.len() {
        3 => 1,
        6 => 2,
        _ => return None,
    };
    Some([one(0, wide)?, one(1, wide)?, one(2, wide)?])
}

/// WCAG 2.2, "relative luminance".
fn luminance(colour: [f64; 3]) -> f64 {
    let [r, g, b] = colour.map(|part| {
        let part = part / 255.0;
        if part <= 0.04045 {
            part / 12.92
        } else {
            ((part + 0.055) / 1.055).powf(2.4)
        }
    });
    0.2126 * r + 0.7152 * g + 0.0722 * b
}

/// WCAG 2.2, "contrast ratio".
fn contrast(a: [f64; 3], b: [f64; 3]) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

#[test]
fn the_formula_gives_the_published_ratios() {
    // Black on white is 21 to 1; #767676 is the lightest grey that passes 4.5.
    let white = [255.0; 3];
    assert!((contrast([0.0; 3], white) - 21.0).abs() < 1e-9);
    assert!(contrast([118.0; 3], white) >= 4.5);
    assert!(contrast([119.0; 3], white) < 4.5);
}

/// The rules of a style sheet, those inside `@media` and `@page` among them.
fn rules(text: &str) -> Vec<Rule> {
    let mut all = Vec::new();
    let mut open: Vec<String> = Vec::new();
    for piece in text.split_inclusive(['{', '}']) {
        let inside = piece.trim_end_matches(['{', '}']).trim();
        if piece.ends_with('{') {
            open.push(inside.to_owned());
            continue;
        }
        let on_paper = open.iter().any(|one| one.starts_with("@media print"));
        if let Some(selector) = open.pop()
            && !inside.is_empty()
        {
            let declarations = inside.split(';').filter_map(|one| {
                let (name, value) = one.split_once(':')?;
                Some((name.trim().to_owned(), value.trim().to_owned()))
            });
            all.push(Rule {
                selector,
                declarations: declarations.collect(),
                on_paper,
            });
        }
    }
    all
}

/// The colours of light, dark and paper, in this order.
fn palettes() -> Vec<(&'static str, Colours)> {
    let mut base = Colours::new();
    let mut all = Vec::new();
    let found = rules(&sheet("html/style.css"));
    let roots = found.iter().filter(|rule| rule.selector == ":root");
    for (rule, name) in roots.zip(["light", "dark", "paper"]) {
        let mut own = base.clone();
        for (name, value) in &rule.declarations {
            if let (Some(name), Some(colour)) = (name.strip_prefix("--"), colour(value)) {
                own.insert(name.to_owned(), colour);
            }
        }
        if name == "light" {
            base = own.clone();
        }
        all.push((name, own));
    }
    assert_eq!(all.len(), 3);
    all
}

/// The colour a declaration's value names.
fn named(value: &str, colours: &Colours) -> Option<[f64; 3]> {
    value.split([' ', ',']).find_map(|word| {
        let variable = word
            .strip_prefix("var(--")
            .and_then(|rest| rest.strip_suffix(')'));
        match variable {
            Some(name) => Some(*colours.get(name).unwrap_or_else(|| panic!("--{name}"))),
            None => colour(word),
        }
    })
}

/// What a declaration asks for; none where it is no foreground.
fn asked(selector: &str, property: &str) -> Option<f64> {
    if DECORATION.contains(&selector) {
        return None;
    }
    let words = ["svg text", "svg .faint", "svg .bad", "svg .warn"];
    let words_alone = ["text", ".faint", ".bad", ".warn"];
    match property {
        "color" => Some(4.5),
        "fill" if words.contains(&selector) || words_alone.contains(&selector) => Some(4.5),
        "fill" | "stroke" | "outline" => Some(3.0),
        _ if property.starts_with("border") => Some(3.0),
        _ => None,
    }
}

/// Holds every foreground of a sheet to its ground; returns how many.
fn held(name: &str, found: &[Rule], colours: &Colours, grounds: &[[f64; 3]]) -> usize {
    let mut count = 0;
    let here = found
        .iter()
        .filter(|rule| !rule.on_paper || name == "paper");
    for Rule {
        selector,
        declarations,
        ..
    } in here
    {
        // Rules that give a ground of their own are held to that.
        let own_ground = declarations
            .iter()
            .filter(|(property, _)| property.starts_with("background"))
            .find_map(|(_, value)| named(value, colours));
        for (property, value) in declarations {
            let Some(least) = asked(selector, property) else {
                continue;
            };
            let Some(ink) = named(value, colours) else {
                continue;
            };
            let behind = own_ground.map_or(grounds.to_vec(), |own| vec![own]);
            // What is filled with the ground is a hole, no foreground.
            if property == "fill" && grounds[0] == ink {
                continue;
            }
            for ground in behind {
                let found = contrast(ink, ground);
                assert!(
                    found >= least,
                    "{name}: {selector} {property} {value}: {found:.2} under {least}"
                );
                count += 1;
            }
        }
    }
    count
}

#[test]
fn every_colour_of_the_page_stands_out_in_light_dark_and_on_paper() {
    let found = rules(&sheet("html/style.css"));
    for (name, colours) in palettes() {
        let grounds = ["ground", "alarm", "panel"].map(|ground| colours[ground]);
        let count = held(name, &found, &colours, &grounds);
        assert!(count > 120, "{name}: {count}");
    }
}

#[test]
fn every_colour_of_a_picture_alone_stands_out_from_white() {
    let found = rules(&sheet("svg/alone.css"));
    let count = held("alone", &found, &Colours::new(), &[[255.0; 3]]);
    assert!(count > 25, "{count}");
}

#[test]
fn lines_of_one_chart_differ_without_their_colour() {
    // Width and dashes of the lines that stand in one picture.
    let found = rules(&sheet("html/style.css"));
    let look = |selector: &str| {
        // A selector may be one of several of its rule.
        let of = found
            .iter()
            .filter(|rule| rule.selector.split(',').any(|one| one == selector));
        let declarations = of.flat_map(|rule| &rule.declarations);
        let mut look: Vec<String> = declarations
            .filter(|(name, _)| name == "stroke-width" || name == "stroke-dasharray")
            .map(|(name, value)| format!("{name} {value}"))
            .collect();
        look.sort();
        assert!(!look.is_empty(), "{selector}");
        look
    };
    for picture in [
        &[".own", ".above", ".below", ".wirelimit", ".mark", ".axis"][..],
        &[".curve", ".curve2", ".limit", ".event", ".axis"],
        &[
            ".wires", ".live", ".carries", ".warned", ".beyond", ".hot", ".joins",
        ],
    ] {
        let mut looks: Vec<Vec<String>> = picture.iter().map(|one| look(one)).collect();
        looks.sort();
        let count = looks.len();
        looks.dedup();
        assert_eq!(looks.len(), count, "{picture:?}");
    }
}
