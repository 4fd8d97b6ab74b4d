//! What a draughtsman looks at before he signs: folds, frames, leaders, marks
//! that agree, titles of cards, words that fit the engine.

use super::{BOATS, boat, circuit, examples, folder, page, report_of};
use ampkeel::circuit::Engine;
use ampkeel::document::{Block, Document, Emphasis, Table};
use ampkeel::drawing::{Drawing, Glyph, draw, sheets};
use ampkeel::findings::Severity;
use ampkeel::present::svg;

fn number(node: roxmltree::Node<'_, '_>, name: &str) -> f64 {
    let value = node.attribute(name).unwrap_or_else(|| panic!("{name}"));
    value.parse().expect("a figure")
}

/// The drawings that are printed: the sheets, or the whole where it needs none.
fn drawings(path: &std::path::Path) -> Vec<Drawing> {
    let of = circuit(path);
    let whole = draw(&of);
    if whole.width <= ampkeel::reporting::ONE_SHEET {
        return vec![whole];
    }
    let sheets: Vec<Drawing> = sheets(&of).into_iter().map(|sheet| sheet.drawing).collect();
    if sheets.is_empty() {
        vec![whole]
    } else {
        sheets
    }
}

#[test]
fn no_fold_cuts_a_loop_off_its_symbols() {
    let mut folds = 0;
    for path in examples() {
        for drawing in drawings(&path) {
            for fold in &drawing.folds {
                for of in &drawing.conductors {
                    let passes = |pair: &&[(f64, f64)]| {
                        let (a, b) = (pair[0].0, pair[1].0);
                        a.min(b) < *fold && *fold < a.max(b)
                    };
                    let count = of.points.windows(2).filter(passes).count();
                    assert!(
                        count < 2,
                        "{}: {:?} passes {fold} {count} times",
                        path.display(),
                        of.conductor
                    );
                }
                folds += 1;
            }
        }
    }
    assert!(folds > 100, "{folds}");
}

#[test]
fn a_fold_is_clear_of_all_lettering_and_of_every_upright_piece() {
    for path in examples() {
        for drawing in drawings(&path) {
            for fold in &drawing.folds {
                let wires = drawing.conductors.iter();
                let names = drawing.symbols.iter().flat_map(|placed| &placed.lettering);
                let letters = wires.flat_map(|of| [&of.lettering, &of.figures]);
                for one in letters.chain(names) {
                    let room = one.room();
                    let cut = room.x < *fold && *fold < room.x + room.w;
                    assert!(!cut, "{}: `{}`", path.display(), one.text);
                }
                for of in &drawing.conductors {
                    let upright = of
                        .points
                        .windows(2)
                        .filter(|p| (p[0].0 - p[1].0).abs() < 1e-6);
                    for piece in upright {
                        // A hop over it is 3.5 to either side.
                        assert!((piece[0].0 - fold).abs() > 4.0, "{}", path.display());
                    }
                }
            }
        }
    }
}

/// Heights in points of the pieces of every block of pictures on lying pages.
fn lying(text: &str) -> Vec<Vec<f64>> {
    let blocks = text.split("<div class=\"sheets\">").skip(1);
    let block = |text: &str| {
        let text = text.split("</div>").next().unwrap_or_default();
        let heights = text.split("<figure>").skip(1).map(|figure| {
            let (_, rest) = figure.split_once("pt\" height=\"").expect("a height");
            let height = rest.split("pt\"").next().unwrap_or_default();
            height.parse().expect("points")
        });
        heights.collect()
    };
    blocks.map(block).collect()
}

#[test]
fn a_page_lies_only_where_the_picture_fills_most_of_it() {
    let folder = folder("lying");
    let mut upright = 0;
    for path in examples() {
        let text = std::fs::read_to_string(page(&path, &folder)).expect("page");
        upright += text.matches("<div class=\"sheets upright\">").count();
        for heights in lying(&text) {
            // Three fifths of 189 mm without captions and notes, 290 points, less the
            // empty margins of a drawing, which are trimmed.
            assert!(
                heights.iter().all(|height| *height >= 272.0),
                "{}: {heights:?}",
                path.display()
            );
        }
    }
    assert!(upright > 20, "{upright}");
}

fn tables(document: &Document) -> impl Iterator<Item = &Table> {
    document.blocks().iter().filter_map(|block| match block {
        Block::Table(table) => Some(table),
        _ => None,
    })
}

fn column(table: &Table, name: &str) -> Option<usize> {
    table.columns.iter().position(|one| one.name == name)
}

/// Whether a state's own table finds a load over its limit by the meter.
fn metered_over(solved: &Document, state: &str) -> bool {
    let heading = format!("state `{state}`");
    let mut blocks = solved.blocks().iter();
    let own = blocks.find(|block| matches!(block, Block::Heading { text, .. } if *text == heading));
    assert!(own.is_some(), "{heading}");
    let rest = blocks.take_while(|block| !matches!(block, Block::Heading { .. }));
    let mut loads = rest.filter_map(|block| match block {
        Block::Table(table) if table.title == "what each load gets" => Some(table),
        _ => None,
    });
    loads.any(|table| {
        let meter = column(table, "meter shows").expect("the meter");
        let mut rows = table.rows.iter();
        rows.any(|row| row[meter].emphasis == Emphasis::Warn)
    })
}

#[test]
fn no_mark_of_the_states_side_by_side_is_better_than_what_stands_below() {
    let (mut metered, mut found) = (0, 0);
    for name in BOATS {
        let report = report_of(&boat(name));
        let Some(states) = tables(&report.solved).find(|table| table.title == "states") else {
            continue;
        };
        let drop = column(states, "worst drop").expect("drops");
        let fuse = column(states, "fullest fuse").expect("fuses");
        for row in &states.rows {
            if metered_over(&report.solved, &row[0].text) {
                assert_ne!(row[drop].emphasis, Emphasis::Ok, "{name} {}", row[0].text);
                metered += 1;
            }
            let of_fuse = row[fuse].text.split(' ').nth(2).unwrap_or_default();
            for finding in &report.findings {
                let here = finding
                    .state
                    .as_ref()
                    .is_none_or(|state| *state == row[0].text);
                if finding.subject == of_fuse && here && finding.severity() <= Severity::Caution {
                    assert_ne!(row[fuse].emphasis, Emphasis::Ok, "{name} {of_fuse}");
                    found += 1;
                }
            }
        }
    }
    assert!(metered > 2 && found > 2, "{metered} {found}");
}

#[test]
fn a_what_if_state_says_at_its_picture_that_it_is_never_judged() {
    let mut what_if = 0;
    for path in examples() {
        let report = report_of(&path);
        for overlay in &report.diagram.overlays {
            let says = overlay
                .sentence
                .contains("a what-if: shown and never judged");
            assert_eq!(says, overlay.what_if, "{}", overlay.sentence);
            let picture = svg::diagram_alone(&report.diagram, overlay).xml();
            assert_eq!(picture.contains("never judged"), overlay.what_if);
            what_if += usize::from(overlay.what_if);
        }
    }
    assert!(what_if > 0);
}

/// Leaders of a chart: how often each is interrupted, and names cut by their own.
fn leaders(name: &str, picture: &str) -> usize {
    let tree = roxmltree::Document::parse(picture).expect("a picture");
    let class = |node: &roxmltree::Node<'_, '_>, wanted: &[&str]| {
        let class = node.attribute("class");
        class.is_some_and(|class| wanted.contains(&class))
    };
    let lines = tree.descendants().filter(|node| node.has_tag_name("line"));
    let mut at: Vec<i64> = lines
        .filter(|node| class(node, &["mark", "event"]))
        .map(|node| (number(node, "x1") * 10.0).round() as i64)
        .collect();
    let all = at.len();
    at.sort_unstable();
    at.dedup();
    assert_eq!(at.len(), all, "{name}: words lie across a leader");
    for words in tree.descendants().filter(|node| class(node, &["halo"])) {
        let x = number(words, "x");
        assert!((0.0..=380.0).contains(&x), "{name}: {:?}", words.text());
    }
    all
}

#[test]
fn no_leader_of_a_chart_is_interrupted_by_words() {
    let mut count = 0;
    for name in BOATS {
        let report = report_of(&boat(name));
        for (at, chart) in report.fuses.iter().enumerate() {
            let name = format!("{name} {}", chart.name);
            count += leaders(&name, &svg::fuse_chart(chart, at, true).xml());
        }
        for (at, chart) in report.traces.iter().enumerate() {
            count += leaders(&chart.title, &svg::trace(chart, at, true).xml());
        }
    }
    assert!(count > 150, "{count}");
}

#[test]
fn hot_dots_touch_no_lettering_of_their_wire() {
    for style in [
        include_str!("../../src/present/html/style.css"),
        include_str!("../../src/present/svg/alone.css"),
    ] {
        let (_, rest) = style.split_once(".hot{").expect("hot dots");
        let (_, rest) = rest.split_once("stroke-width:").expect("their size");
        let wide: f64 = rest
            .split(';')
            .next()
            .unwrap_or_default()
            .parse()
            .expect("a size");
        for name in BOATS {
            for of in draw(&circuit(&boat(name))).conductors {
                let level = of
                    .points
                    .windows(2)
                    .filter(|p| (p[0].1 - p[1].1).abs() < 1e-6);
                for piece in level {
                    let over = |room: &ampkeel::drawing::Rect| {
                        let (a, b) = (piece[0].0, piece[1].0);
                        a.min(b) < room.x + room.w && room.x < a.max(b)
                    };
                    let (above, below) = (&of.lettering, of.figures.room());
                    let y = piece[0].1;
                    // Feet of letters without tails stand on the line of the text.
                    if over(&above.room()) && above.y < y {
                        assert!(above.y <= y - wide / 2.0 - 1.0, "{name}: {}", above.text);
                    }
                    if over(&below) && below.y > y - 1.0 {
                        assert!(below.y >= y + wide / 2.0 + 0.5, "{name}");
                    }
                }
            }
        }
    }
}

#[test]
fn a_frame_of_a_block_s_fuse_goes_round_its_sign() {
    let mut framed = 0;
    for name in BOATS {
        let report = report_of(&boat(name));
        let drawing = &report.diagram.drawing;
        for overlay in &report.diagram.overlays {
            let picture = svg::diagram_alone(&report.diagram, overlay).xml();
            let tree = roxmltree::Document::parse(&picture).expect("a picture");
            let rects = |wanted: &str| -> Vec<[f64; 4]> {
                let all = tree.descendants().filter(|node| node.has_tag_name("rect"));
                let all = all.filter(|node| {
                    let class = node.attribute("class");
                    class.is_some_and(|class| class.starts_with(wanted))
                });
                all.map(|node| {
                    let (x, y) = (number(node, "x"), number(node, "y"));
                    [x, y, x + number(node, "width"), y + number(node, "height")]
                })
                .collect()
            };
            let (signs, frames) = (rects("bx"), rects("flag"));
            let blocks = drawing.symbols.iter().zip(&overlay.pins);
            for (placed, pins) in blocks.filter(|(one, _)| one.symbol.glyph == Glyph::Block) {
                for port in placed.ports.iter().filter(|port| port.pin != 0) {
                    if !matches!(pins[port.pin], Emphasis::Warn | Emphasis::Bad) {
                        continue;
                    }
                    let body = placed.body;
                    let sign = signs.iter().find(|[x, y, right, low]| {
                        body.x < *x && *right < body.x + body.w && *y < port.y() && port.y() < *low
                    });
                    let [x, y, right, low] = *sign.expect("the fuse's sign");
                    let around = frames
                        .iter()
                        .any(|one| one[0] < x && one[1] < y && one[2] > right && one[3] > low);
                    assert!(around, "{name}: pin {} of {}", port.pin, placed.symbol.name);
                    framed += 1;
                }
            }
        }
    }
    assert!(framed > 3, "{framed}");
}

#[test]
fn every_row_of_a_table_is_named_by_a_thing_and_every_column_has_a_name() {
    for path in examples() {
        let report = report_of(&path);
        let sheets = report.worksheets.iter().flat_map(|sheet| &sheet.signatures);
        for table in tables(&report.solved)
            .chain(tables(&report.protected))
            .chain(sheets)
        {
            for one in &table.columns {
                assert!(!one.name.is_empty(), "{}: {}", path.display(), table.title);
            }
            for row in &table.rows {
                let named = &row[0].text;
                assert!(
                    !["feed", "return", "there", "back", "", "-"].contains(&named.as_str()),
                    "{}: {}",
                    path.display(),
                    table.title
                );
            }
        }
    }
}

/// Words that only an outboard has.
const OUTBOARD: [&str; 4] = ["muffs", "tell-tale", "propeller", "lanyard"];

#[test]
fn an_inboard_engine_is_never_told_of_muffs_tell_tale_or_propeller() {
    let folder = folder("engine-words");
    let (mut inboards, mut others) = (0, 0);
    for name in BOATS {
        let path = boat(name);
        let text = std::fs::read_to_string(page(&path, &folder)).expect("page");
        let (_, body) = text.split_once("<body>").expect("a body");
        let body = body.to_lowercase();
        let engine = circuit(&path).boat.engine.map(|given| given.value);
        let said: Vec<&str> = OUTBOARD
            .into_iter()
            .filter(|word| body.contains(word))
            .collect();
        if engine == Some(Engine::Inboard) {
            assert!(said.is_empty(), "{name}: {said:?}");
            assert!(body.contains("seacock open") && body.contains("gear in neutral"));
            inboards += 1;
        } else {
            others += said.len();
        }
    }
    assert!(inboards > 0 && others > 8, "{inboards} {others}");
}

#[test]
fn the_bench_and_the_harness_of_an_inboard_speak_its_words_on_the_command_line_too() {
    let path = boat("gneiss-inboard-diesel");
    for part in ["alternator", "starter", "start-battery"] {
        let output = super::ampkeel(&["bench", super::words(&path), part]);
        let text = String::from_utf8(output.stdout)
            .expect("text")
            .to_lowercase();
        assert!(text.len() > 500, "{part}");
        for word in OUTBOARD {
            assert!(!text.contains(word), "{part}: {word}");
        }
    }
}

#[test]
fn every_lamp_behind_its_own_fuse_has_its_start_in_that_fuses_chart() {
    for (name, fuse, lamps) in [
        (
            "gneiss-inboard-diesel",
            "navigation",
            &["anchor-light", "steaming-light", "tricolour"][..],
        ),
        ("gneiss-inboard-diesel", "cabin", &["cabin-lamps"]),
        (
            "schist-console-boat",
            "console.lights",
            &["bow-light", "compass-light", "stern-light"],
        ),
        (
            "flint-carburetted-two-stroke",
            "board.white",
            &["white-light"],
        ),
    ] {
        let report = report_of(&boat(name));
        let chart = report.fuses.iter().find(|chart| chart.name == fuse);
        let chart = chart.expect("a chart");
        for lamp in lamps {
            let mut marks = chart.marks.iter();
            let marked =
                marks.any(|one| one.name.starts_with("start of") && one.name.contains(lamp));
            let told = |(_, words): &(_, String)| {
                words.starts_with("start: ") && words.contains(&format!("`{lamp}`"))
            };
            assert!(marked && chart.verdicts.iter().any(told), "{name}: {lamp}");
        }
    }
}

#[test]
fn a_jam_whose_first_amperes_exceed_its_verdict_says_that_they_are_the_start() {
    let mut said = 0;
    for name in BOATS {
        let report = report_of(&boat(name));
        for chart in report
            .traces
            .iter()
            .filter(|one| one.title.contains(" jams "))
        {
            let (_, rest) = chart.verdict.split_once("it carries ").expect("amperes");
            let settled: f64 = rest
                .split(' ')
                .next()
                .unwrap_or_default()
                .parse()
                .expect("amperes");
            let points = chart.curves[0].points.iter();
            let most = points.map(|point| point.1).fold(0.0, f64::max);
            let tells = chart
                .verdict
                .contains("highest amperes are those of the start");
            // As printed, in three figures.
            if most > 1.01 * settled {
                assert!(tells, "{name}: {most} {settled}");
                said += 1;
            } else if most < settled {
                assert!(!tells, "{name}: {most} {settled}");
            }
        }
    }
    assert!(said > 0);
}
