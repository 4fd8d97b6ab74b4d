//! What a draughtsman asks of the charts: no line through words, nothing at a
//! place where it is not, nothing cut.

use super::{BOATS, boat, circuit, circuit_of, report_of};
use ampkeel::drawing::{Glyph, draw, sheets, width};
use ampkeel::present::svg;
use ampkeel::reporting::{Report, TraceChart};

/// Height of the letters of a chart.
const SIZE: f64 = 11.0;

fn number(node: roxmltree::Node<'_, '_>, name: &str) -> f64 {
    let value = node.attribute(name).unwrap_or_else(|| panic!("{name}"));
    value.parse().expect("a figure")
}

/// Level words with the room they take: left, right, upper and lower edge.
fn rooms(tree: &roxmltree::Document<'_>) -> Vec<(String, [f64; 4])> {
    let all = tree.descendants().filter(|node| node.has_tag_name("text"));
    all.filter(|node| node.attribute("transform").is_none())
        .map(|node| {
            let words = node.text().unwrap_or_default().to_owned();
            let (x, y, wide) = (
                number(node, "x"),
                number(node, "y"),
                width(&words, SIZE, false),
            );
            let left = match node.attribute("text-anchor") {
                Some("end") => x - wide,
                Some("middle") => x - wide / 2.0,
                _ => x,
            };
            (words, [left, left + wide, y - 8.0, y])
        })
        .collect()
}

/// Upright lines of a class: where, upper and lower end.
fn uprights(tree: &roxmltree::Document<'_>, classes: &[&str]) -> Vec<[f64; 3]> {
    let lines = tree.descendants().filter(|node| {
        node.has_tag_name("line")
            && node
                .attribute("class")
                .is_some_and(|c| classes.contains(&c))
    });
    lines
        .map(|node| {
            let (a, b) = (number(node, "y1"), number(node, "y2"));
            [number(node, "x1"), number(node, "x2"), a.min(b), a.max(b)]
        })
        .filter(|[from, to, ..]| (from - to).abs() < 1e-6)
        .map(|[x, _, top, low]| [x, top, low])
        .collect()
}

fn none_is_struck(name: &str, picture: &str) -> usize {
    let tree = roxmltree::Document::parse(picture).expect("a picture");
    let lines = uprights(&tree, &["mark", "event", "bar", "limit"]);
    for (words, [left, right, top, low]) in rooms(&tree) {
        for [x, from, to] in &lines {
            let struck = left < *x && *x < right && *from < low && top < *to;
            assert!(!struck, "{name}: `{words}` is struck at {x}");
        }
    }
    lines.len()
}

#[test]
fn no_words_of_a_chart_are_struck_by_an_upright_line() {
    let mut lines = 0;
    for name in BOATS {
        let report = report_of(&boat(name));
        for (at, chart) in report.fuses.iter().enumerate() {
            let name = format!("{name} {}", chart.name);
            lines += none_is_struck(&name, &svg::fuse_chart(chart, at, true).xml());
        }
        for (at, chart) in report.traces.iter().enumerate() {
            lines += none_is_struck(name, &svg::trace(chart, at, true).xml());
        }
        for (at, chart) in report.ladders.iter().enumerate() {
            lines += none_is_struck(&chart.load, &svg::ladder(chart, at, true).xml());
        }
    }
    assert!(lines > 200, "{lines}");
}

#[test]
fn a_current_that_the_scale_does_not_reach_has_words_and_no_line() {
    let mut off = 0;
    for name in BOATS {
        for (at, chart) in report_of(&boat(name)).fuses.iter().enumerate() {
            let left = chart.marks.iter().filter(|mark| mark.at < chart.amps.0);
            let left = left.count();
            let picture = svg::fuse_chart(chart, at, true).xml();
            assert_eq!(picture.matches(", off the scale").count(), left);
            let tree = roxmltree::Document::parse(&picture).expect("a picture");
            let lines = uprights(&tree, &["mark"]);
            // The frame's left edge.
            let at_edge = lines.iter().filter(|[x, ..]| *x < 46.5).count();
            assert_eq!(at_edge, 0, "{name} {}", chart.name);
            off += left;
        }
    }
    assert!(off > 0, "no example has one");
}

#[test]
fn a_fuse_whose_load_is_next_to_nothing_has_no_load_in_its_chart() {
    let report = report_of(&boat("schist-console-boat"));
    let mut charts = report.fuses.iter();
    let horn = charts.find(|chart| chart.name == "console.horn");
    let horn = horn.expect("the horn's fuse");
    let mut marks = horn.marks.iter();
    assert!(!marks.any(|mark| mark.name.starts_with("load")));
}

#[test]
fn bands_behind_a_fuse_are_numbered_at_their_curves_and_in_the_legend() {
    let mut checked = 0;
    for name in BOATS {
        for (at, chart) in report_of(&boat(name)).fuses.iter().enumerate() {
            let below =
                |band: &&ampkeel::reporting::Band| band.rank == ampkeel::reporting::Rank::Below;
            let behind = chart.bands.iter().filter(below).count();
            let picture = svg::fuse_chart(chart, at, true).xml();
            let tree = roxmltree::Document::parse(&picture).expect("a picture");
            let bold = tree
                .descendants()
                .filter(|node| node.attribute("font-weight") == Some("bold"));
            let mut at_curves: Vec<usize> = bold
                .flat_map(|node| node.text().unwrap_or_default().split(", "))
                .map(|number| number.parse().expect("a number"))
                .collect();
            at_curves.sort_unstable();
            if behind > 1 {
                assert_eq!(
                    at_curves,
                    (1..=behind).collect::<Vec<_>>(),
                    "{}",
                    chart.name
                );
                for number in 1..=behind {
                    assert!(picture.contains(&format!("{number}, behind it:")));
                }
                checked += 1;
            } else {
                assert!(at_curves.is_empty(), "{}", chart.name);
            }
        }
    }
    assert!(checked > 3, "{checked}");
}

#[test]
fn a_ladder_holds_its_limit_against_what_the_rule_counts_alone() {
    let mut with_both = 0;
    for name in BOATS {
        let report = report_of(&boat(name));
        for (at, chart) in report.ladders.iter().enumerate() {
            let picture = svg::ladder(chart, at, true).xml();
            assert!(!picture.contains('\u{2026}'), "{name}: {}", chart.load);
            let tree = roxmltree::Document::parse(&picture).expect("a picture");
            let limits = uprights(&tree, &["limit"]);
            let bars: Vec<[f64; 4]> = tree
                .descendants()
                .filter(|node| node.has_tag_name("rect") && node.attribute("class").is_some())
                .map(|node| {
                    let (x, y) = (number(node, "x"), number(node, "y"));
                    [x, x + number(node, "width"), y, y + number(node, "height")]
                })
                .collect();
            let Some((drop_v, limit_v)) = chart.rule else {
                assert!(limits.is_empty());
                continue;
            };
            let [[x, top, low]] = limits[..] else {
                panic!("{name}: {limits:?}");
            };
            let beside: Vec<&[f64; 4]> = bars
                .iter()
                .filter(|[_, _, upper, lower]| top < *lower && *upper < low)
                .collect();
            let [[from, to, ..]] = beside[..] else {
                panic!("{name}: {} bars beside the limit", beside.len());
            };
            assert!(from.abs() < 1e-9);
            if (drop_v / limit_v - 1.0).abs() > 0.02 {
                assert_eq!(*to > x, drop_v > limit_v, "{}", chart.load);
            }
            let kinds = |is_copper| chart.steps.iter().any(|step| step.is_copper == is_copper);
            with_both += usize::from(kinds(true) && kinds(false));
        }
    }
    assert!(with_both > 20, "{with_both}");
}

#[test]
fn a_step_of_copper_is_a_wire_with_its_size_and_nothing_else_is() {
    for name in BOATS {
        for chart in report_of(&boat(name)).ladders {
            for step in &chart.steps {
                let is_wire = step.what.contains(" to ") && !step.what.starts_with("joints");
                let is_rest = step.what.contains("wires that lose little");
                assert_eq!(step.is_copper, is_wire || is_rest, "{name}: {}", step.what);
            }
            let sum: f64 = chart.steps.iter().map(|step| step.drop_v).sum();
            assert!((sum - chart.lost_v).abs() < 1e-9);
        }
    }
}

#[test]
fn a_load_that_loses_next_to_nothing_is_told_in_a_sentence() {
    let folder = super::folder("little");
    let page = super::page(&boat("gabbro-injected-outboard"), &folder);
    let page = std::fs::read_to_string(page).expect("page");
    let report = report_of(&boat("gabbro-injected-outboard"));
    let (little, shown): (Vec<_>, Vec<_>) = report
        .ladders
        .iter()
        .partition(|chart| chart.is_next_to_nothing());
    assert!(little.iter().any(|chart| chart.load == "stop-sense"));
    assert!(shown.len() > 5);
    let (_, told) = page.split_once("Next to nothing, ").expect("a sentence");
    let told = told.split("</p>").next().unwrap_or_default();
    for chart in &little {
        assert!(told.contains(&format!("<code>{}</code>", chart.load)));
    }
    let (_, section) = page.split_once("id=\"ladders\"").expect("a section");
    let section = section.split("</section>").next().unwrap_or_default();
    assert_eq!(section.matches("<svg").count(), shown.len());
}

fn jams(report: &Report) -> Vec<&TraceChart> {
    let all = report.traces.iter();
    all.filter(|chart| chart.title.contains(" jams ")).collect()
}

#[test]
fn a_jam_says_in_title_and_words_that_its_curve_has_no_fuse_opening() {
    let mut checked = 0;
    for name in BOATS {
        for chart in jams(&report_of(&boat(name))) {
            assert!(!chart.title.contains("no fuse opens"));
            assert!(chart.title.contains("if no fuse opened"));
            assert!(chart.curves[0].name.ends_with("if no fuse opened"));
            let last = chart.curves[0].points.last().expect("a curve").1;
            let last = ampkeel::quantities::Amps::new(last).to_string();
            assert!(chart.verdict.contains("drawn as if no fuse opened"));
            assert!(chart.verdict.contains(&last), "{}", chart.verdict);
            checked += 1;
        }
    }
    assert!(checked > 3, "{checked}");
}

#[test]
fn the_two_fields_of_a_trim_motor_come_in_at_two_points() {
    let of = circuit(&boat("marl-tiller-9hp"));
    let mut drawings = vec![draw(&of)];
    drawings.extend(sheets(&of).into_iter().map(|sheet| sheet.drawing));
    let report = report_of(&boat("marl-tiller-9hp"));
    let overlay = &report.diagram.overlays[0];
    let mut checked = 0;
    for drawing in drawings {
        let mut symbols = drawing.symbols.iter();
        let Some(motor) =
            symbols.find(|one| one.symbol.glyph == Glyph::Motor && one.ports.len() == 3)
        else {
            continue;
        };
        let middle = motor.body.x + motor.body.w / 2.0;
        let diagram = ampkeel::reporting::Diagram {
            names: vec![String::new(); drawing.conductors.len()],
            overlays: Vec::new(),
            title: String::new(),
            drawing: drawing.clone(),
        };
        let mut bare = overlay.clone();
        bare.conductors.clear();
        bare.symbols.clear();
        bare.pins.clear();
        bare.closed.clear();
        let picture = svg::diagram_alone(&diagram, &bare).xml();
        let tree = roxmltree::Document::parse(&picture).expect("a picture");
        let title = |node: roxmltree::Node<'_, '_>| {
            let first = node.first_element_child()?;
            first.text().map(str::to_owned)
        };
        let group = tree.descendants().find(|node| {
            node.has_tag_name("g") && title(*node).is_some_and(|words| words == "tilt, trim")
        });
        let lines: Vec<_> = group
            .expect("the motor")
            .children()
            .filter(|node| node.attribute("class") == Some("sy"))
            .collect();
        // Where lines end at the sign, none shares its point with another.
        let mut ends: Vec<(i64, i64)> = lines
            .iter()
            .map(|node| (number(*node, "x2"), number(*node, "y2")))
            .filter(|(x, _)| (x - middle).abs() < 13.0)
            .map(|(x, y)| ((x * 10.0).round() as i64, (y * 10.0).round() as i64))
            .collect();
        ends.sort_unstable();
        let count = ends.len();
        ends.dedup();
        assert_eq!((count, ends.len()), (3, 3), "{ends:?}");
        checked += 1;
    }
    assert!(checked > 0);
}

#[test]
fn a_level_line_hops_over_every_upright_one_it_crosses() {
    for name in BOATS {
        let report = report_of(&boat(name));
        let of = &report.diagram;
        let picture = svg::diagram_alone(of, &of.overlays[0]).xml();
        let hops = picture.matches(" 0 0 1 ").count() + picture.matches(" 0 0 0 ").count();
        let crossed = super::diagram::crossings(&of.drawing);
        // Once in the line itself, once above what it crosses.
        assert!(hops >= 2 * crossed, "{name}: {hops} of {crossed}");
    }
}

#[test]
fn small_currents_of_a_state_are_counted_apart() {
    let of = circuit_of(
        r#"format = 1
title = "A clock"
[battery.house]
cold-cranking = "500 A"
[fuse.main]
style = "blade"
rating = "5 A"
[load.clock]
current = "2 mA"
[[run]]
through = ["house.plus", "main.in"]
lengths = ["6 in"]
size = "14 AWG"
[[run]]
through = ["main.out", "clock.plus"]
lengths = ["5 ft"]
back = ["clock.minus", "house.minus"]
back-lengths = ["5 ft"]
size = "14 AWG"
[state.off]
"#,
    );
    let text = ampkeel::span::CircuitText::new("test.toml", "");
    let report = ampkeel::reporting::report(&of, &text, None, Vec::new()).expect("a report");
    let overlay = &report.diagram.overlays[0];
    let told = "In `off` 0 of 3 wires carry current of 5.00 mA or more, 3 carry less";
    assert!(overlay.sentence.starts_with(told), "{}", overlay.sentence);
    for shown in &overlay.conductors {
        // The way back is live as the way there is.
        assert_eq!(shown.flow, ampkeel::reporting::Flow::Live);
        assert!(shown.words.ends_with(" mA"), "{}", shown.words);
    }
}
