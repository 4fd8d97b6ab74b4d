//! What the pictures and the list of findings must not leave out.

use super::{BOATS, boat, circuit, circuit_of, examples, report_of};
use ampkeel::circuit::{Circuit, Device};
use ampkeel::document::Emphasis;
use ampkeel::drawing::{Conductor, draw, sheets};
use ampkeel::protecting::{Kind, Verdict, study};
use ampkeel::reporting::{Flow, Overlay, Report, report};
use ampkeel::solving::solve;
use ampkeel::span::CircuitText;

/// Every overlay of a report by its state, with the conductors it lies over.
fn overlays(report: &Report) -> Vec<(&Overlay, Vec<Conductor>)> {
    let diagram = &report.diagram;
    let conductors = || diagram.drawing.conductors.iter().map(|one| one.conductor);
    let all = diagram.overlays.iter();
    all.map(|overlay| (overlay, conductors().collect()))
        .collect()
}

#[test]
fn a_battery_s_bolted_minus_carries_what_the_battery_gives() {
    let mut checked = 0;
    for name in BOATS {
        let of = circuit(&boat(name));
        let solution = solve(&of).expect("solved");
        let report = report_of(&boat(name));
        for (overlay, conductors) in overlays(&report) {
            let solved = solution.states.iter().find(|one| one.name == overlay.state);
            let solved = solved.expect("the state");
            for (at, conductor) in conductors.iter().enumerate() {
                let Conductor::Join(join) = *conductor else {
                    continue;
                };
                let Some((battery, amps)) = alone_on_its_minus(&of, join, solved) else {
                    continue;
                };
                let shown = &overlay.conductors[at];
                let joint_a = solved.joins_a[join].abs();
                assert!(
                    (joint_a - amps).abs() < 1e-6,
                    "{name}: {battery}: {joint_a} {amps}"
                );
                assert_eq!(
                    shown.flow == Flow::Carries,
                    amps >= 0.005,
                    "{name}: {battery}"
                );
                // Less is told as well, but is no current of the picture.
                assert_eq!(shown.words.is_empty(), amps < 1e-4);
                checked += 1;
            }
        }
    }
    assert!(checked > 5, "{checked}");
}

/// The battery whose minus post has a joint alone on it, with its current.
fn alone_on_its_minus(
    of: &Circuit,
    join: usize,
    solved: &ampkeel::solving::StateSolution,
) -> Option<(String, f64)> {
    let ends = [of.joins[join].part, of.joins[join].to];
    let part = of.parts.iter().find(|part| {
        matches!(part.device, Device::Battery(_)) && ends.contains(&part.terminals[1])
    })?;
    let minus = part.terminals[1];
    let wires = of.wires.iter().filter(|w| w.from == minus || w.to == minus);
    let joins = of.joins.iter().filter(|j| j.part == minus || j.to == minus);
    let reading = solved.batteries.get(&part.name)?;
    (wires.count() == 0 && joins.count() == 1).then(|| (part.name.clone(), reading.current_a.abs()))
}

#[test]
fn no_picture_cuts_a_rating_a_size_or_a_colour() {
    for path in examples() {
        let of = circuit(&path);
        let mut drawings = vec![draw(&of)];
        drawings.extend(sheets(&of).into_iter().map(|sheet| sheet.drawing));
        for drawing in &drawings {
            for one in &drawing.conductors {
                let Conductor::Wire(wire) = one.conductor else {
                    continue;
                };
                let wire = &of.wires[wire];
                let words = &one.lettering.text;
                assert!(words.contains(&wire.size.value.to_string()), "{words}");
                if let Some(colour) = &wire.colour {
                    assert!(words.contains(&colour.value), "{words}");
                }
                assert!(!words.contains('\u{2026}'), "{words}");
            }
            for placed in &drawing.symbols {
                let under = &placed.symbol.under;
                let shown = placed.lettering.iter().any(|one| one.text == *under);
                assert!(under.is_empty() || shown, "{}: {under}", path.display());
                // A fuse's name may be shortened, its rating not.
                let of_block = matches!(of.part(placed.symbol.part).device, Device::FuseBlock(_));
                for pin in placed
                    .symbol
                    .pins
                    .iter()
                    .filter(|pin| of_block && !pin.mark.is_empty())
                {
                    let shown = placed.lettering.iter().any(|one| one.text == pin.mark);
                    assert!(shown && pin.mark.ends_with(" A"), "{}", pin.mark);
                }
            }
        }
    }
}

#[test]
fn no_legend_of_a_fuse_s_chart_is_cut() {
    for name in BOATS {
        for (number, chart) in report_of(&boat(name)).fuses.iter().enumerate() {
            let picture = ampkeel::present::svg::fuse_chart(chart, number, true).xml();
            assert!(!picture.contains('\u{2026}'), "{name}: {}", chart.name);
        }
    }
}

#[test]
fn edges_of_a_chart_begin_at_the_currents_that_the_sentence_names() {
    for name in BOATS {
        let study = study(&circuit(&boat(name))).expect("a study");
        for fuse in &study.fuses {
            let check = fuse.checks.iter().find(|check| check.kind == Kind::Hold);
            let Some(check) = check else { continue };
            for (sign, key) in [('e', "from_a"), ('L', "to_a")] {
                let told = check.value(key).expect("a current");
                let curve = fuse.chart.curves.iter().find(|curve| curve.sign == sign);
                let first = curve.expect("an edge").points[0].0;
                let axis = fuse.chart.x.from;
                assert!(
                    (first - told.max(axis)).abs() < 1e-9,
                    "{name} {}: {first} {told}",
                    fuse.name
                );
            }
        }
    }
}

#[test]
fn a_fuse_that_may_not_break_a_short_or_not_open_first_is_in_the_list() {
    let mut found = 0;
    for name in BOATS {
        let study = study(&circuit(&boat(name))).expect("a study");
        for fuse in &study.fuses {
            for check in &fuse.checks {
                let code = match check.kind {
                    Kind::Breaking => "breaking-capacity-unproven",
                    Kind::Selectivity => "both-may-open",
                    _ => continue,
                };
                let mut listed = study.findings.iter();
                let is_listed =
                    listed.any(|one| one.code.name() == code && one.subject == fuse.name);
                let is_told = check.verdict == Verdict::Caution;
                assert_eq!(is_listed, is_told, "{name}: {} {code}", fuse.name);
                found += usize::from(is_told);
            }
        }
    }
    assert!(found >= 5, "{found}");
}

#[test]
fn a_frame_is_clear_of_a_symbol_s_circle_and_of_a_fuse_s_letters() {
    let mut frames = 0;
    for name in BOATS {
        let report = report_of(&boat(name));
        for overlay in &report.diagram.overlays {
            let picture = ampkeel::present::svg::diagram_alone(&report.diagram, overlay).xml();
            let tree = roxmltree::Document::parse(&picture).expect("a picture");
            let number = |node: roxmltree::Node<'_, '_>, name: &str| -> f64 {
                let value = node.attribute(name).expect("a measure");
                value.parse().expect("a figure")
            };
            let all = tree.descendants().filter(|node| node.has_tag_name("rect"));
            let flagged = all.filter(|node| {
                node.attribute("class")
                    .is_some_and(|class| class.starts_with("flag"))
            });
            for frame in flagged {
                let (left, top) = (number(frame, "x"), number(frame, "y"));
                let (right, low) = (left + number(frame, "width"), top + number(frame, "height"));
                let inside = |x: f64, y: f64| left < x && x < right && top < y && y < low;
                for circle in tree
                    .descendants()
                    .filter(|node| node.has_tag_name("circle"))
                {
                    let (x, y) = (number(circle, "cx"), number(circle, "cy"));
                    let r = number(circle, "r");
                    if r > 5.0 && inside(x, y) {
                        // Half of either line.
                        let clear = r + 0.65 + 1.2;
                        assert!(inside(x - clear, y) && inside(x + clear, y), "{name}");
                        assert!(
                            inside(x, y - clear + 0.5) && inside(x, y + clear - 0.5),
                            "{name}"
                        );
                    }
                }
                for placed in &report.diagram.drawing.symbols {
                    for one in &placed.lettering {
                        let room = one.room();
                        let (high, foot) = (one.y - 0.73 * one.size, one.y + 0.2 * one.size);
                        let apart = room.x >= right
                            || room.x + room.w <= left
                            || high >= low
                            || foot <= top;
                        let within =
                            inside(room.x, high - 1.0) && inside(room.x + room.w, foot + 1.0);
                        assert!(apart || within, "{name}: `{}`", one.text);
                    }
                }
                frames += 1;
            }
        }
    }
    assert!(frames > 20, "{frames}");
}

#[test]
fn a_larger_fuse_is_forbidden_once_and_a_battery_takes_charge_in_words() {
    let mut takes = 0;
    for name in BOATS {
        let report = report_of(&boat(name));
        let said = report
            .cautions
            .iter()
            .filter(|one| one.contains("larger fuse"));
        assert_eq!(said.count(), 1, "{name}");
        for block in report.solved.blocks() {
            let ampkeel::document::Block::Table(table) = block else {
                continue;
            };
            let Some(at) = table.columns.iter().position(|one| one.name == "gives") else {
                continue;
            };
            for row in &table.rows {
                assert!(!row[at].text.starts_with('-'), "{name}: {}", row[at].text);
                takes += usize::from(row[at].text.starts_with("takes "));
            }
        }
    }
    assert!(takes > 0);
}

#[test]
fn a_block_is_not_framed_for_one_of_its_fuses() {
    let report = report_of(&boat("schist-console-boat"));
    let of = circuit(&boat("schist-console-boat"));
    let drawing = &report.diagram.drawing;
    for overlay in &report.diagram.overlays {
        for (at, placed) in drawing.symbols.iter().enumerate() {
            if of.part(placed.symbol.part).name != "console" {
                continue;
            }
            assert_ne!(overlay.symbols[at], Emphasis::Bad);
            for (pin, how) in placed.symbol.pins.iter().zip(&overlay.pins[at]) {
                let is_plotter = pin.mark.starts_with("plotter");
                assert_eq!(*how == Emphasis::Bad, is_plotter, "{}", pin.mark);
            }
            assert!(overlay.sentence.contains("`console.plotter`"));
        }
    }
}

/// Two loads behind a block whose slots' names are cut to the same letters.
fn with_equal_marks(small: &str, large: &str) -> String {
    format!(
        r#"format = 1
title = "Two slots alike"
[battery.house]
cold-cranking = "500 A"
[fuse-block.panel]
style = "blade"
slots = {{ accessories1 = "10 A", accessories2 = "10 A" }}
[load.small]
current = "1 A"
[load.large]
current = "14 A"
[[run]]
through = ["house.plus", "panel.feed"]
lengths = ["6 in"]
size = "8 AWG"
[[run]]
through = ["panel.{small}", "small.plus"]
lengths = ["5 ft"]
back = ["small.minus", "house.minus"]
back-lengths = ["5 ft"]
size = "12 AWG"
[[run]]
through = ["panel.{large}", "large.plus"]
lengths = ["5 ft"]
back = ["large.minus", "house.minus"]
back-lengths = ["5 ft"]
size = "12 AWG"
[state.on]
"#
    )
}

#[test]
fn the_frame_of_a_fuse_lies_on_its_own_name_where_two_are_cut_to_the_same() {
    for (small, large) in [
        ("accessories1", "accessories2"),
        ("accessories2", "accessories1"),
    ] {
        let text = with_equal_marks(small, large);
        let of = circuit_of(&text);
        let text = CircuitText::new("test.toml", text.as_str());
        let report = report(&of, &text, None, Vec::new()).expect("a report");
        let mut symbols = report.diagram.drawing.symbols.iter();
        let block = symbols.find(|one| one.symbol.name == "panel");
        let block = block.expect("the block");
        let height = |slot: &str| {
            let label = format!("panel.{slot}");
            let mut pins = block.symbol.pins.iter();
            let pin = pins.position(|pin| of.terminal(pin.terminal).label == label);
            let pin = pin.expect("the slot");
            (
                block.port(pin).expect("a wire").y(),
                &block.symbol.pins[pin].mark,
            )
        };
        let ((own, mark), (other, like)) = (height(large), height(small));
        assert_eq!(mark, like, "the marks are no longer alike");
        let overlay = &report.diagram.overlays[0];
        let picture = ampkeel::present::svg::diagram_alone(&report.diagram, overlay).xml();
        let tree = roxmltree::Document::parse(&picture).expect("a picture");
        let number = |node: roxmltree::Node<'_, '_>, name: &str| -> f64 {
            let value = node.attribute(name).expect("a measure");
            value.parse().expect("a figure")
        };
        let frames: Vec<(f64, f64)> = tree
            .descendants()
            .filter(|node| node.attribute("class") == Some("flagbad"))
            .filter(|node| {
                (block.body.x..block.body.x + block.body.w).contains(&number(*node, "x"))
            })
            .map(|node| {
                (
                    number(node, "y"),
                    number(node, "y") + number(node, "height"),
                )
            })
            .collect();
        let [(top, low)] = frames[..] else {
            panic!("{large}: {frames:?}");
        };
        // A name stands just above its own wire.
        let gap = |wire: f64| (wire - f64::midpoint(top, low)).abs();
        assert!(
            gap(own) < 12.0 && gap(own) < gap(other),
            "{large}: {top} {low} {own} {other}"
        );
    }
}
