//! The order of items in each column, and of conductors on each symbol, with as
//! few crossings as sweeping and sifting find.

use super::grid::{Item, Stop, Stretch};
use super::rows::{Arrangement, Slots};
use super::symbol::{Glyph, Side};

/// Sweeps over all columns.
const SWEEPS: usize = 24;
/// Passes of sifting.
const PASSES: usize = 5;
/// Above this many conductors nothing is sifted: it takes their cube.
const MOST_SIFTED: usize = 160;

/// Orders everything; the best order met is kept.
pub(super) fn order(mut now: Arrangement<'_>) -> Arrangement<'_> {
    let columns = now.grid.columns.len();
    let mut best = now.clone();
    let mut fewest = usize::MAX;
    for sweep in 0..SWEEPS {
        for step in 0..columns {
            let (column, side) = if sweep % 2 == 0 {
                (step, Side::Left)
            } else {
                (columns - 1 - step, Side::Right)
            };
            sort_column(&mut now, column, side);
            sort_slots(&mut now, column);
        }
        let found = crossings(&now);
        if found < fewest {
            fewest = found;
            best = now.clone();
        }
    }
    if best.graph.edges.len() <= MOST_SIFTED {
        sift(&mut best, Follow::Itself);
        sift(&mut best, Follow::Neighbours);
    }
    best
}

/// Whose conductors change places on their symbols as an item moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Follow {
    /// Those of its own column.
    Itself,
    /// Those of both columns beside it too: two coils change places and with them
    /// the outputs of the module that fires them.
    Neighbours,
}

impl Follow {
    /// Columns whose slots are sorted anew, of so many.
    fn columns(self, column: usize, count: usize) -> std::ops::Range<usize> {
        match self {
            Self::Itself => column..column + 1,
            Self::Neighbours => column.saturating_sub(1)..(column + 2).min(count),
        }
    }
}

/// What a conductor's stop in a channel meets: the other stop's height.
fn others(now: &Arrangement<'_>, channel: usize, column: usize, item: Item) -> Vec<f64> {
    let stretches = now.grid.channels[channel].iter();
    let mut heights = Vec::new();
    for stretch in stretches {
        for at in [0, 1] {
            if belongs(now, stretch, at, column, item) {
                heights.push(now.stop_y(stretch.edge, stretch.stops[1 - at]));
            }
        }
    }
    heights
}

fn belongs(now: &Arrangement<'_>, stretch: &Stretch, at: usize, column: usize, item: Item) -> bool {
    match (stretch.stops[at], item) {
        (Stop::End(end), Item::Symbol(symbol)) => {
            now.graph.edges[stretch.edge].ends[end].0 == symbol
        }
        (Stop::Column(passed), Item::Pass(edge)) => passed == column && stretch.edge == edge,
        _ => false,
    }
}

fn sort_column(now: &mut Arrangement<'_>, column: usize, side: Side) {
    let channel = match side {
        Side::Left => column,
        Side::Right => column + 1,
    };
    let mut keyed: Vec<(f64, Item)> = now.grid.columns[column]
        .iter()
        .map(|&item| (key(now, channel, column, item), item))
        .collect();
    keyed.sort_by(|a, b| a.0.total_cmp(&b.0));
    now.grid.columns[column] = keyed.into_iter().map(|(_, item)| item).collect();
    now.stack(column);
}

/// Mean height of what an item meets; returns run below everything.
fn key(now: &Arrangement<'_>, channel: usize, column: usize, item: Item) -> f64 {
    if let Item::Pass(edge) = item
        && now.graph.returns(&now.graph.edges[edge])
    {
        return 1e9 + edge as f64;
    }
    let met = others(now, channel, column, item);
    let own = now.top(item, column) + now.height(item) / 2.0;
    if met.is_empty() {
        return own;
    }
    met.iter().sum::<f64>() / met.len() as f64
}

/// Conductors on the symbols of a column in the order of their other stops;
/// pins follow the mean of their conductors where they may change places.
fn sort_slots(now: &mut Arrangement<'_>, column: usize) {
    for item in now.grid.columns[column].clone() {
        let Item::Symbol(symbol) = item else {
            continue;
        };
        for side in [Side::Left, Side::Right] {
            let keys: Vec<f64> = (0..now.slots[symbol].on(side).len())
                .map(|at| slot_key(now, symbol, side, at))
                .collect();
            let slots = now.slots[symbol].on(side).to_vec();
            let loose = now.graph.symbols[symbol].glyph == Glyph::Stud;
            let pin_key = |pin: usize| {
                let of_pin = || (0..slots.len()).filter(|at| slots[*at].pin == pin);
                of_pin().map(|at| keys[at]).sum::<f64>() / of_pin().count().max(1) as f64
            };
            let mut order: Vec<usize> = (0..slots.len()).collect();
            order.sort_by(|&a, &b| {
                let by_pin = if loose {
                    std::cmp::Ordering::Equal
                } else {
                    let (x, y) = (slots[a].pin, slots[b].pin);
                    pin_key(x).total_cmp(&pin_key(y)).then(x.cmp(&y))
                };
                by_pin.then(keys[a].total_cmp(&keys[b])).then(a.cmp(&b))
            });
            *now.slots[symbol].on_mut(side) = order.into_iter().map(|at| slots[at]).collect();
        }
    }
}

fn slot_key(now: &Arrangement<'_>, symbol: usize, side: Side, at: usize) -> f64 {
    let own = now.slot_y(symbol, side, at);
    let Some((edge, end)) = now.slots[symbol].on(side)[at].end else {
        return own;
    };
    let column = now.grid.column_of[symbol];
    let channel = match side {
        Side::Left => column,
        Side::Right => column + 1,
    };
    let stretches = now.grid.channels[channel].iter();
    let mut own_stretch = stretches.filter(|s| s.edge == edge);
    let Some(stretch) = own_stretch.find(|s| s.stops.contains(&Stop::End(end))) else {
        return own;
    };
    let other = stretch.stops.iter().find(|stop| **stop != Stop::End(end));
    let Some(other) = other else { return own };
    let y = now.stop_y(edge, *other);
    // Around the own symbol: above it or below it, by where it goes.
    if stretch.sides[0] == stretch.sides[1] && (y - own).abs() < 1e-9 {
        own
    } else {
        y
    }
}

/// Least crossings of the order as it stands, channel by channel.
pub(super) fn crossings(now: &Arrangement<'_>) -> usize {
    (0..now.grid.channels.len())
        .map(|channel| in_channel(now, channel))
        .sum()
}

fn in_channel(now: &Arrangement<'_>, channel: usize) -> usize {
    let all: Vec<(Stretch, [f64; 2])> = now.grid.channels[channel]
        .iter()
        .map(|stretch| {
            (
                *stretch,
                stretch.stops.map(|stop| now.stop_y(stretch.edge, stop)),
            )
        })
        .collect();
    let mut count = 0;
    for (at, (a, ya)) in all.iter().enumerate() {
        for (b, yb) in &all[at + 1..] {
            count += usize::from(must_cross(a.sides, *ya, b.sides, *yb));
        }
    }
    count
}

/// Whether two stretches of a channel cross however they are drawn.
fn must_cross(sides_a: [Side; 2], a: [f64; 2], sides_b: [Side; 2], b: [f64; 2]) -> bool {
    let across = |sides: [Side; 2]| sides[0] != sides[1];
    let within = |y: f64, of: [f64; 2]| (of[0].min(of[1])..of[0].max(of[1])).contains(&y);
    let on = |side: Side, sides: [Side; 2], y: [f64; 2]| y[usize::from(sides[0] != side)];
    match (across(sides_a), across(sides_b)) {
        (true, true) => {
            let left = on(Side::Left, sides_a, a) - on(Side::Left, sides_b, b);
            let right = on(Side::Right, sides_a, a) - on(Side::Right, sides_b, b);
            left * right < 0.0
        }
        (true, false) => within(on(sides_b[0], sides_a, a), b),
        (false, true) => within(on(sides_a[0], sides_b, b), a),
        (false, false) => sides_a[0] == sides_b[0] && within(a[0], b) != within(a[1], b),
    }
}

/// Moves each item to the place in its column that leaves fewest crossings, as
/// long as that saves any.
fn sift(best: &mut Arrangement<'_>, follow: Follow) {
    for _ in 0..PASSES {
        let mut saved = false;
        for column in 0..best.grid.columns.len() {
            for item in best.grid.columns[column].clone() {
                saved |= sift_one(best, column, item, follow);
            }
        }
        if !saved {
            return;
        }
    }
}

/// Crossings in all channels beside some columns.
fn beside(now: &Arrangement<'_>, columns: &std::ops::Range<usize>) -> usize {
    (columns.start..=columns.end)
        .map(|channel| in_channel(now, channel))
        .sum()
}

fn sift_one(best: &mut Arrangement<'_>, column: usize, item: Item, follow: Follow) -> bool {
    let kept = best.grid.columns[column].clone();
    let slots = best.slots.clone();
    let columns = follow.columns(column, best.grid.columns.len());
    let mut fewest = beside(best, &columns);
    let before = fewest;
    let rest: Vec<Item> = kept.iter().copied().filter(|one| *one != item).collect();
    let mut found = (kept, slots);
    for place in 0..=rest.len() {
        let mut tried = rest.clone();
        tried.insert(place, item);
        arrange(best, column, tried, found.1.clone());
        if !returns_last(best, column) {
            continue;
        }
        for at in columns.clone() {
            sort_slots(best, at);
        }
        let crossings = beside(best, &columns);
        if crossings < fewest {
            fewest = crossings;
            found = (best.grid.columns[column].clone(), best.slots.clone());
        }
    }
    let (items, slots) = found;
    arrange(best, column, items, slots);
    fewest < before
}

fn arrange(now: &mut Arrangement<'_>, column: usize, items: Vec<Item>, slots: Vec<Slots>) {
    now.grid.columns[column] = items;
    now.slots = slots;
    now.stack(column);
}

/// Whether the returns to a battery still run below all else.
fn returns_last(now: &Arrangement<'_>, column: usize) -> bool {
    let is_return = |item: &Item| match item {
        Item::Pass(edge) => now.graph.returns(&now.graph.edges[*edge]),
        Item::Symbol(_) => false,
    };
    let items = &now.grid.columns[column];
    let mut rest = items.iter().skip_while(|item| !is_return(item));
    rest.all(is_return)
}
