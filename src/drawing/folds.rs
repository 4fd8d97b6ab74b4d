//! Where a drawing too wide for its paper is folded: in a channel beside or
//! between its tracks, so that level pieces of conductors alone pass.
//!
//! A conductor that leaves a channel by the side it came in by is kept on one
//! side of the fold: cut off its symbols it would be a loop that says nothing.

use super::place::{BESIDE, TRACK};
use super::route::Tracks;
use super::symbol::Side;

/// From the outermost track to a fold: clear of a hop over it, and of letters.
const CLEAR: f64 = 0.75 * BESIDE;

/// The best fold of a channel whose first track stands at `first`: with as few
/// loops cut off as can be, then with as few conductors passing.
pub(super) fn fold(channel: &Tracks, first: f64) -> f64 {
    let best = (0..=channel.count).min_by_key(|gap| (loops(channel, *gap), passing(channel, *gap)));
    match best {
        None | Some(0) => first - CLEAR,
        Some(gap) if gap == channel.count => first + (gap as f64 - 1.0) * TRACK + CLEAR,
        Some(gap) => first + (gap as f64 - 0.5) * TRACK,
    }
}

/// Loops that a fold before the track `gap` cuts off their symbols.
fn loops(channel: &Tracks, gap: usize) -> usize {
    let is_loop = |(stops, track): &([Side; 2], usize)| match stops {
        [Side::Left, Side::Left] => *track >= gap,
        [Side::Right, Side::Right] => *track < gap,
        _ => false,
    };
    tracked(channel).filter(is_loop).count()
}

/// Ends of conductors with a track that pass a fold before the track `gap`;
/// straight ones pass every fold.
fn passing(channel: &Tracks, gap: usize) -> usize {
    let passes = |side: Side, track: usize| match side {
        Side::Left => track >= gap,
        Side::Right => track < gap,
    };
    tracked(channel)
        .map(|(stops, track)| stops.iter().filter(|side| passes(**side, track)).count())
        .sum()
}

/// The sides of each conductor that turns in a channel, and its track.
fn tracked(channel: &Tracks) -> impl Iterator<Item = ([Side; 2], usize)> + '_ {
    let all = channel.runs.iter();
    all.filter_map(|(run, track)| Some((run.stretch.sides, (*track)?)))
}
