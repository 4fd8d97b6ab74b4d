//! Where every stamp and every elimination step reads and writes.
//!
//! All values of a lane group lie in one store: a zero, a bin, the static region
//! (conductances that do not change between Newton steps) and the work region
//! (those that do) with the injected currents. Which region holds a value at each
//! moment is known in advance, so each step names where to read and where to
//! write: nothing is copied or cleared between Newton steps.

use super::ordering::Pivot as OrderedNode;
use super::plan::Link;

/// Place of the constant zero.
pub(crate) const ZERO: u32 = 0;
/// Place for what is nobody's (stamps onto the reference).
pub(crate) const BIN: u32 = 1;

/// The plan's reading and writing places.
#[derive(Debug)]
pub(crate) struct Symbolic {
    /// Number of values in the store.
    pub(crate) store: usize,
    /// First place of the static region: conductances to the reference by
    /// position, then node to node by entry.
    pub(crate) static_at: usize,
    /// First place of the work region, laid out alike.
    pub(crate) work_at: usize,
    /// First place of the injected currents, by position.
    pub(crate) injected_at: usize,
    /// Where linear branches add their conductance, in the order of storage.
    pub(crate) linear: Vec<Move>,
    /// Where the other branches add conductance and current, in the order of storage.
    pub(crate) stamps: Vec<Stamp>,
    /// Pivots by position.
    pub(crate) pivots: Vec<Pivot>,
    /// Node-to-node conductances, row by row.
    pub(crate) entries: Vec<Entry>,
    /// For each pivot, the pairs of its entries: the entry they meet in.
    pub(crate) updates: Vec<Move>,
}

/// `store[to] = store[from] + something`.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Move {
    /// Place read.
    pub(crate) from: u32,
    /// Place written.
    pub(crate) to: u32,
}

/// Where a nonlinear branch adds its conductance and its current.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Stamp {
    /// Position of the branch's first node.
    pub(crate) from: u32,
    /// Position of its second node.
    pub(crate) to: u32,
    /// Conductance.
    pub(crate) conductance: Move,
    /// Current leaving the first node.
    pub(crate) leaves: Move,
    /// Current entering the second node.
    pub(crate) enters: Move,
}

/// One elimination step.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Pivot {
    /// Place of its conductance to the reference.
    pub(crate) to_reference: u32,
    /// Place of its injected current.
    pub(crate) injected: u32,
    /// Its first entry.
    pub(crate) first_entry: u32,
    /// Number of entries.
    pub(crate) count: u32,
    /// Its first update.
    pub(crate) first_update: u32,
}

/// A conductance from a pivot to a later node.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Entry {
    /// Place of the conductance.
    pub(crate) conductance: u32,
    /// Position of the later node.
    pub(crate) row: u32,
    /// Where the later node's conductance to the reference is read.
    pub(crate) to_reference: u32,
    /// Where the later node's injected current is read.
    pub(crate) injected: u32,
}

/// Where each value stands while the plan is played through.
struct Tracker {
    conductance: Vec<u32>,
    injected: Vec<u32>,
    injected_at: u32,
}

impl Tracker {
    /// Adds to a conductance, the sum being kept in the region at `base`.
    fn add(&mut self, slot: usize, base: usize) -> Move {
        let to = (base + slot) as u32;
        Move {
            from: std::mem::replace(&mut self.conductance[slot], to),
            to,
        }
    }

    /// Adds to an injected current; the reference's goes to the bin.
    fn inject(&mut self, position: u32) -> Move {
        let Some(place) = self.injected.get_mut(position as usize) else {
            return Move {
                from: ZERO,
                to: BIN,
            };
        };
        let to = self.injected_at + position;
        Move {
            from: std::mem::replace(place, to),
            to,
        }
    }
}

/// Positions of the nodes each pivot is joined to, ascending, and where its row begins.
struct Rows {
    first: Vec<usize>,
    rows: Vec<u32>,
}

impl Rows {
    fn of(&self, pivot: usize) -> &[u32] {
        &self.rows[self.first[pivot]..self.first[pivot + 1]]
    }

    /// The conductance slot between two positions: entry or, with the reference, pivot.
    fn slot(&self, one: u32, other: u32) -> Option<usize> {
        let pivots = self.first.len() - 1;
        let (early, late) = (one.min(other) as usize, one.max(other));
        if early == late as usize {
            None
        } else if late as usize == pivots {
            Some(early)
        } else {
            self.of(early)
                .binary_search(&late)
                .ok()
                .map(|at| pivots + self.first[early] + at)
        }
    }
}

/// Plays stamping and elimination through once, noting every place.
pub(crate) fn work_out(
    order: &[OrderedNode],
    position: &[u32],
    statics: usize,
    sorted: &[Link],
) -> Symbolic {
    let pivots = order.len();
    let mut rows = Rows {
        first: vec![0],
        rows: Vec::new(),
    };
    for pivot in order {
        let mut row: Vec<u32> = pivot
            .neighbours
            .iter()
            .map(|&node| position[node])
            .collect();
        row.sort_unstable();
        rows.rows.extend(row);
        rows.first.push(rows.rows.len());
    }
    let conductances = pivots + rows.rows.len();
    let static_at = 2;
    let work_at = static_at + conductances;
    let injected_at = work_at + conductances;
    let mut tracker = Tracker {
        conductance: vec![ZERO; conductances],
        injected: vec![ZERO; pivots],
        injected_at: injected_at as u32,
    };
    let mut symbolic = Symbolic {
        store: injected_at + pivots,
        static_at,
        work_at,
        injected_at,
        linear: Vec::new(),
        stamps: Vec::new(),
        pivots: Vec::with_capacity(pivots),
        entries: Vec::with_capacity(rows.rows.len()),
        updates: Vec::new(),
    };
    let bin = Move {
        from: ZERO,
        to: BIN,
    };
    for link in sorted.iter().filter(|link| link.law.is_linear()) {
        let slot = rows.slot(link.from, link.to);
        symbolic
            .linear
            .push(slot.map_or(bin, |slot| tracker.add(slot, static_at)));
    }
    for pivot in 0..statics {
        symbolic.eliminate(pivot, static_at, &rows, &mut tracker);
    }
    for link in sorted.iter().filter(|link| !link.law.is_linear()) {
        let slot = rows.slot(link.from, link.to);
        symbolic.stamps.push(Stamp {
            from: link.from,
            to: link.to,
            conductance: slot.map_or(bin, |slot| tracker.add(slot, work_at)),
            leaves: slot.map_or(bin, |_| tracker.inject(link.from)),
            enters: slot.map_or(bin, |_| tracker.inject(link.to)),
        });
    }
    for pivot in statics..pivots {
        symbolic.eliminate(pivot, work_at, &rows, &mut tracker);
    }
    symbolic
}

impl Symbolic {
    /// Notes the places of one elimination step.
    fn eliminate(&mut self, pivot: usize, base: usize, rows: &Rows, tracker: &mut Tracker) {
        let row = rows.of(pivot);
        let pivots = tracker.injected.len();
        self.pivots.push(Pivot {
            to_reference: tracker.conductance[pivot],
            injected: tracker.injected[pivot],
            first_entry: self.entries.len() as u32,
            count: row.len() as u32,
            first_update: self.updates.len() as u32,
        });
        for (at, &later) in row.iter().enumerate() {
            let conductance = tracker.conductance[pivots + rows.first[pivot] + at];
            let to_reference = tracker.add(later as usize, base).from;
            // Static pivots inject nothing, so they leave the injected currents alone.
            let injected = if base == self.work_at {
                tracker.inject(later).from
            } else {
                ZERO
            };
            self.entries.push(Entry {
                conductance,
                row: later,
                to_reference,
                injected,
            });
        }
        for (at, &one) in row.iter().enumerate() {
            for &other in &row[at + 1..] {
                // Both are neighbours of the pivot, so the pattern holds their pair.
                let slot = rows.slot(one, other).unwrap_or_default();
                self.updates.push(tracker.add(slot, base));
            }
        }
    }
}
