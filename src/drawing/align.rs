//! Heights that make conductors straight: each column is drawn towards its
//! neighbours, items keep their order and their room.

use super::grid::{Grid, Item, Stop};
use super::rows::Arrangement;
use super::symbol::Side;

/// Sweeps there and back.
const SWEEPS: usize = 8;
/// Two conductors on either side of a channel, or the two ends of one that is
/// not straight, lie at least so far apart.
pub(super) const APART: f64 = 8.0;
/// Farthest an item is moved to keep conductors apart.
const FARTHEST: i32 = 4000;
/// What a passing conductor's wish to be straight weighs against a symbol's.
const PASSING: f64 = 6.0;

/// Gives every item its height.
pub(super) fn align(now: &mut Arrangement<'_>) {
    let columns = now.grid.columns.len();
    for _ in 0..SWEEPS {
        for column in 0..columns {
            settle(now, column, Side::Left);
        }
        for column in (0..columns).rev() {
            settle(now, column, Side::Right);
        }
    }
    for column in 0..columns {
        settle(now, column, Side::Left);
        keep_apart(now, column);
    }
    lift(now);
}

/// The channel on one side of a column.
fn channel(column: usize, side: Side) -> usize {
    match side {
        Side::Left => column,
        Side::Right => column + 1,
    }
}

/// Whose end a stop is.
fn owner(now: &Arrangement<'_>, edge: usize, stop: Stop) -> Item {
    match stop {
        Stop::End(end) => Item::Symbol(now.graph.edges[edge].ends[end].0),
        Stop::Column(_) => Item::Pass(edge),
    }
}

/// Moves of an item that would make one of its conductors straight.
fn wishes(now: &Arrangement<'_>, grid: &Grid, column: usize, side: Side, item: Item) -> Vec<f64> {
    let mut moves = Vec::new();
    for stretch in &grid.channels[channel(column, side)] {
        if stretch.sides[0] == stretch.sides[1] {
            continue;
        }
        // A column's items lie on the other side of the channel.
        let own = usize::from(stretch.sides[0] == side);
        let stop = stretch.stops[own];
        if owner(now, stretch.edge, stop) == item {
            let other = now.stop_y(stretch.edge, stretch.stops[1 - own]);
            moves.push(other - now.stop_y(stretch.edge, stop));
        }
    }
    moves.sort_by(f64::total_cmp);
    moves
}

/// Least squares of what the items of a column wish, in their order: runs that
/// press against each other are pooled.
fn settle(now: &mut Arrangement<'_>, column: usize, side: Side) {
    let items = now.grid.columns[column].clone();
    let mut offset = 0.0;
    let mut pools: Vec<(f64, f64, usize)> = Vec::new();
    let mut offsets = Vec::new();
    for &item in &items {
        let moves = wishes(now, &now.grid, column, side, item);
        let move_by = moves.get(moves.len() / 2).copied();
        let weight = match (move_by, item) {
            (None, _) => 0.05,
            (Some(_), Item::Pass(_)) => PASSING,
            (Some(_), Item::Symbol(_)) => 1.0,
        };
        let wish = now.top(item, column) + move_by.unwrap_or(0.0) - offset;
        pools.push((wish, weight, 1));
        while let [.., (low, w, n), (high, v, m)] = pools[..]
            && low > high
        {
            pools.truncate(pools.len() - 2);
            pools.push(((low * w + high * v) / (w + v), w + v, n + m));
        }
        offsets.push(offset);
        offset += now.height(item);
    }
    let tops = pools
        .iter()
        .flat_map(|(at, _, count)| std::iter::repeat_n(at.round(), *count));
    for ((item, top), offset) in items.iter().zip(tops).zip(offsets) {
        now.put(*item, column, top + offset);
    }
}

/// Moves items down, or up where there is room, until no conductor of the
/// channel before them lies on another.
fn keep_apart(now: &mut Arrangement<'_>, column: usize) {
    let mut free_from = f64::NEG_INFINITY;
    for item in now.grid.columns[column].clone() {
        let wanted = now.top(item, column).max(free_from);
        let moves = (0..FARTHEST).flat_map(|by| [by, -by]);
        let found = moves
            .map(|by| wanted + f64::from(by))
            .filter(|top| *top >= free_from)
            .find(|top| {
                now.put(item, column, *top);
                is_clear(now, column, item)
            });
        let top = found.unwrap_or(wanted);
        now.put(item, column, top);
        free_from = top + now.height(item);
    }
}

fn is_clear(now: &Arrangement<'_>, column: usize, item: Item) -> bool {
    let stretches = &now.grid.channels[column];
    for mine in stretches {
        for at in [0, 1] {
            let is_own =
                mine.sides[at] == Side::Right && owner(now, mine.edge, mine.stops[at]) == item;
            if !is_own {
                continue;
            }
            let y = now.stop_y(mine.edge, mine.stops[at]);
            for other in stretches {
                for end in [0, 1] {
                    if other.sides[end] == Side::Right {
                        continue;
                    }
                    let apart = (now.stop_y(other.edge, other.stops[end]) - y).abs();
                    let straight = other == mine && apart < 1e-9;
                    if apart < APART && !straight {
                        return false;
                    }
                }
            }
        }
    }
    true
}

/// The whole drawing begins at height 0.
fn lift(now: &mut Arrangement<'_>) {
    let columns = 0..now.grid.columns.len();
    let all: Vec<(usize, Item)> = columns
        .flat_map(|column| {
            now.grid.columns[column]
                .iter()
                .map(move |item| (column, *item))
        })
        .collect();
    let tops = all.iter().map(|(column, item)| now.top(*item, *column));
    let highest = tops.fold(f64::INFINITY, f64::min);
    for (column, item) in all {
        let top = now.top(item, column) - highest;
        now.put(item, column, top);
    }
}
