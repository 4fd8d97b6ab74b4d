//! Diagrams on paper: every piece stands whole on A4 and on Letter, its smallest
//! letters 7 points high. What is wider is folded where level lines alone pass,
//! and a letter says at either side where a line goes on.

use crate::drawing::{Drawing, Lettering, Routed};
use crate::markup::{Element, element};
use crate::present::svg::plain;
use crate::reporting::Diagram;

/// Points of paper a unit of the drawing: the smallest letters are 9.5 units high.
const POINTS: f64 = 7.0 / 9.5;

/// What captions and notes take of a page's height, points.
const WORDS_PT: f64 = 52.0;
/// What a caption and the room under a piece take, units.
const BETWEEN: f64 = 44.0;
/// Share of a lying page that a picture fills at least.
const LEAST_FILLED: f64 = 0.6;
/// Free room above and below what a piece shows: a frame, a tag's letter.
const AROUND: f64 = 12.0;
/// Room beside a cut for the letters of the lines that go on.
const TAG: f64 = 14.0;
/// What pieces above each other both show, where a drawing is higher than a page.
const SHARED: f64 = 50.0;

/// The room that both papers leave inside their margins.
struct Page {
    w: f64,
    h: f64,
    class: &'static str,
}

impl Page {
    const fn of(w_mm: f64, h_mm: f64, class: &'static str) -> Self {
        Self {
            w: w_mm * 72.0 / 25.4 / POINTS,
            h: (h_mm * 72.0 / 25.4 - WORDS_PT) / POINTS,
            class,
        }
    }

    /// Pages that pieces of some heights take, one below the other.
    fn count(&self, heights: &[f64]) -> usize {
        let (mut pages, mut used) = (1, 0.0);
        for height in heights {
            if used > 0.0 && used + height > self.h {
                (pages, used) = (pages + 1, 0.0);
            }
            used += height + BETWEEN;
        }
        pages
    }

    /// Pages above each other that a height takes.
    fn rows(&self, height: f64) -> usize {
        (height / self.h).ceil().max(1.0) as usize
    }
}

/// A4 is the narrower upright, Letter the lower.
const UPRIGHT: Page = Page::of(186.0, 252.0, "sheets upright");
/// Letter is the narrower lying, A4 the lower.
const LYING: Page = Page::of(259.0, 189.0, "sheets");

/// From where to where a piece shows a drawing.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Span {
    from: f64,
    to: f64,
}

impl Span {
    fn size(self) -> f64 {
        self.to - self.from
    }
}

/// A diagram in pieces that can be read on paper; shown in print alone.
pub(super) fn paper(diagram: &Diagram, name: &str, title: &str) -> Element {
    let drawing = &diagram.drawing;
    let upright = laid(drawing, &UPRIGHT);
    let lying = laid(drawing, &LYING);
    let heights = |laid: &Laid| laid.pieces.iter().map(|piece| piece.high.size()).collect();
    // A page that is not high enough would cut symbols.
    let cost = |page: &Page, laid: &Laid| {
        let heights: Vec<f64> = heights(laid);
        let rows = page.rows(drawing.height);
        (rows, page.count(&heights), heights.len())
    };
    // A lying page that stays half empty is paper for nothing, and upright pieces
    // share theirs with others.
    let heights: Vec<f64> = heights(&upright);
    let is_low = drawing.height < LEAST_FILLED * LYING.h && UPRIGHT.count(&heights) == 1;
    let (page, laid) = if is_low || cost(&UPRIGHT, &upright) <= cost(&LYING, &lying) {
        (UPRIGHT, upright)
    } else {
        (LYING, lying)
    };
    let (across, down) = (&laid.across, laid.rows);
    let count = laid.pieces.len();
    let mut all = element("div").class(page.class);
    for (number, of) in (1..).zip(&laid.pieces) {
        let caption = match (count, down) {
            (1, _) => title.to_owned(),
            (_, 1) => {
                format!("{title}, piece {number} of {count}; lines go on at the same letter")
            }
            _ => format!(
                "{title}, piece {number} of {count}: row {} of {down}, column {} of {}; lines go on at the same letter",
                of.row + 1,
                of.column + 1,
                across.len()
            ),
        };
        let tags = Tags::of(drawing, across, of.column);
        all = all.with(
            element("figure")
                .with(element("figcaption").text(caption))
                .with(piece(name, across[of.column], of.high, &tags)),
        );
    }
    all
}

/// One piece: its row and column, and from which height to which it shows.
struct Piece {
    row: usize,
    column: usize,
    high: Span,
}

/// A drawing in pieces for a kind of page.
struct Laid {
    across: Vec<Span>,
    rows: usize,
    pieces: Vec<Piece>,
}

/// Folded for a page; each piece without what is empty above and below it.
fn laid(drawing: &Drawing, page: &Page) -> Laid {
    let across = folded(drawing, page.w);
    let down = rows(drawing.height, page.h);
    let filled: Vec<Span> = across.iter().map(|wide| filled(drawing, *wide)).collect();
    let mut pieces = Vec::new();
    for (row, whole) in down.iter().enumerate() {
        for (column, filled) in filled.iter().enumerate() {
            let high = Span {
                from: whole.from.max(filled.from - AROUND),
                to: whole.to.min(filled.to + AROUND),
            };
            if high.size() > 0.0 {
                pieces.push(Piece { row, column, high });
            }
        }
    }
    Laid {
        rows: down.len(),
        across,
        pieces,
    }
}

/// From the highest to the lowest of what a drawing shows between two uprights.
fn filled(drawing: &Drawing, wide: Span) -> Span {
    let is_here = |left: f64, right: f64| left < wide.to && wide.from < right;
    let mut all = Span {
        from: f64::INFINITY,
        to: f64::NEG_INFINITY,
    };
    let mut hold = |left: f64, right: f64, top: f64, low: f64| {
        if is_here(left, right) {
            all.from = all.from.min(top);
            all.to = all.to.max(low);
        }
    };
    let wires = drawing.conductors.iter();
    let names = drawing.symbols.iter().flat_map(|placed| &placed.lettering);
    let letters = wires.flat_map(|of| [&of.lettering, &of.figures]);
    let rooms = letters.chain(names).map(Lettering::room);
    for room in rooms.chain(drawing.symbols.iter().map(|placed| placed.body)) {
        hold(room.x, room.x + room.w, room.y, room.y + room.h);
    }
    for pair in drawing
        .conductors
        .iter()
        .flat_map(|of| of.points.windows(2))
    {
        let ((a, b), (c, d)) = (pair[0], pair[1]);
        hold(a.min(c), a.max(c).max(a.min(c) + 0.1), b.min(d), b.max(d));
    }
    all
}

/// The fewest pieces of at most a width, of about the same size.
fn folded(drawing: &Drawing, most: f64) -> Vec<Span> {
    let fewest = cut(drawing, most);
    let mut even = drawing.width / fewest.len() as f64;
    // Each try is wider by a hundredth, so it ends at the widest.
    while even < most {
        let tried = cut(drawing, even);
        if tried.len() == fewest.len() {
            return tried;
        }
        even *= 1.01;
    }
    fewest
}

/// Pieces of at most a width, each as wide as its folds allow.
fn cut(drawing: &Drawing, most: f64) -> Vec<Span> {
    let mut spans = Vec::new();
    let mut from = 0.0;
    loop {
        let before = if from > 0.0 { TAG } else { 0.0 };
        if drawing.width - from + before <= most {
            break;
        }
        let reach = from + most - before - TAG;
        let folds = drawing.folds.iter().copied();
        let ahead = folds.filter(|at| *at > from + 1.0 && *at <= reach);
        // Where no fold is near enough it is cut through.
        let to = ahead.fold(f64::NEG_INFINITY, f64::max);
        let to = if to.is_finite() {
            to
        } else {
            reach.max(from + TAG)
        };
        spans.push(Span { from, to });
        from = to;
    }
    spans.push(Span {
        from,
        to: drawing.width,
    });
    spans
}

/// Rows of at most a height; a cut has a strip of its neighbour on it.
fn rows(height: f64, most: f64) -> Vec<Span> {
    if height <= most {
        return vec![Span {
            from: 0.0,
            to: height,
        }];
    }
    let count = (height / (most - 2.0 * SHARED)).ceil();
    let each = height / count;
    let row = |at: f64| Span {
        from: (at * each - SHARED).max(0.0),
        to: ((at + 1.0) * each + SHARED).min(height),
    };
    (0..count as u32).map(|at| row(f64::from(at))).collect()
}

/// Heights and letters of the lines that go on before and after a piece.
struct Tags {
    before: Vec<(f64, String)>,
    after: Vec<(f64, String)>,
}

impl Tags {
    fn of(drawing: &Drawing, across: &[Span], column: usize) -> Self {
        let mut number = 0;
        let mut at_cuts: Vec<Vec<(f64, String)>> = Vec::new();
        for span in &across[..across.len() - 1] {
            let mut heights = passing(&drawing.conductors, span.to);
            heights.sort_by(f64::total_cmp);
            let named = heights.into_iter().map(|y| {
                number += 1;
                (y, letter(number))
            });
            at_cuts.push(named.collect());
        }
        let cut = |at: Option<usize>| at.and_then(|at| at_cuts.get(at)).cloned();
        Self {
            before: cut(column.checked_sub(1)).unwrap_or_default(),
            after: cut(Some(column)).unwrap_or_default(),
        }
    }
}

/// Heights at which conductors pass an upright line.
fn passing(conductors: &[Routed], x: f64) -> Vec<f64> {
    let pieces = conductors.iter().flat_map(|of| of.points.windows(2));
    let passes = |pair: &&[(f64, f64)]| {
        let (a, b) = (pair[0].0, pair[1].0);
        a.min(b) < x && x < a.max(b)
    };
    pieces.filter(passes).map(|pair| pair[0].1).collect()
}

/// A, B .. Z, AA, AB ..
fn letter(number: usize) -> String {
    let mut rest = number;
    let mut letters = Vec::new();
    while rest > 0 {
        letters.push(b'A' + ((rest - 1) % 26) as u8);
        rest = (rest - 1) / 26;
    }
    letters.iter().rev().map(|at| char::from(*at)).collect()
}

fn piece(name: &str, wide: Span, high: Span, tags: &Tags) -> Element {
    let room = |tags: &[(f64, String)]| if tags.is_empty() { 0.0 } else { TAG };
    let (before, after) = (room(&tags.before), room(&tags.after));
    let (w, h) = (wide.to - wide.from, high.to - high.from);
    let whole = before + w + after;
    let shown = element("svg")
        .attr("x", plain(before))
        .attr("width", plain(w))
        .attr("height", plain(h))
        .attr(
            "viewBox",
            format!(
                "{} {} {} {}",
                plain(wide.from),
                plain(high.from),
                plain(w),
                plain(h)
            ),
        )
        .with(element("use").attr("href", format!("#{name}")));
    let tagged = |tags: &[(f64, String)], x: f64| {
        let here = tags
            .iter()
            .filter(|(y, _)| (high.from..=high.to).contains(y));
        let all = here.map(|(y, letter)| {
            element("text")
                .attr("x", plain(x))
                .attr("y", plain(y - high.from + 3.5))
                .attr("font-size", 9.5)
                .attr("font-weight", "bold")
                .attr("text-anchor", "middle")
                .text(letter)
        });
        all.collect::<Vec<Element>>()
    };
    element("svg")
        .attr("viewBox", format!("0 0 {} {}", plain(whole), plain(h)))
        .attr("width", format!("{}pt", plain(whole * POINTS)))
        .attr("height", format!("{}pt", plain(h * POINTS)))
        .attr("aria-hidden", "true")
        .with(shown)
        .all(tagged(&tags.before, before / 2.0))
        .all(tagged(&tags.after, before + w + after / 2.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_that_go_on_are_lettered_like_columns_of_a_table() {
        let all = [1, 26, 27, 52, 53, 703].map(letter);
        assert_eq!(all, ["A", "Z", "AA", "AZ", "BA", "AAA"]);
    }

    #[test]
    fn a_drawing_is_folded_at_its_folds_into_the_fewest_even_pieces() {
        let drawing = Drawing {
            width: 1500.0,
            height: 100.0,
            symbols: Vec::new(),
            conductors: Vec::new(),
            folds: vec![200.0, 500.0, 720.0, 930.0, 1300.0],
        };
        let spans = folded(&drawing, 1000.0);
        let ends: Vec<f64> = spans.iter().map(|span| span.to).collect();
        assert_eq!(ends, [720.0, 1500.0]);
        // Without a fold it is cut through, and it ends.
        let bare = Drawing {
            folds: Vec::new(),
            ..drawing
        };
        assert!(
            folded(&bare, 400.0)
                .iter()
                .all(|span| span.to - span.from <= 400.0)
        );
    }
}
