//! What to buy: wire by size and colour, fuses by style and rating, terminals
//! by size.

use super::{SizedFuse, SizedWire};
use crate::circuit::Circuit;
use crate::devices::wire_ends;
use crate::tables::contacts::ContactKind;
use crate::tables::fuses::FuseStyle;

/// Wire of one size and colour.
#[derive(Debug, Clone, PartialEq)]
pub struct BuyWire {
    /// Size as printed on the reel.
    pub size: String,
    /// Colour; none where the file names none.
    pub colour: Option<String>,
    /// Metres for the wires that change.
    pub changed_m: f64,
    /// Metres in the whole circuit.
    pub all_m: f64,
}

/// Fuses of one style and rating.
#[derive(Debug, Clone, PartialEq)]
pub struct BuyFuse {
    /// Family; none for breakers.
    pub style: Option<FuseStyle>,
    /// Rating, amperes.
    pub rating_a: f64,
    /// How many change.
    pub changed: usize,
    /// How many in the whole circuit.
    pub all: usize,
}

/// Terminals for one size of wire.
#[derive(Debug, Clone, PartialEq)]
pub struct Terminals {
    /// Size of the wire.
    pub size: String,
    /// What it is fastened to.
    pub kind: ContactKind,
    /// How many for the wires that change.
    pub changed: usize,
    /// How many in the whole circuit.
    pub all: usize,
}

/// Everything to buy, in a fixed order.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ShoppingList {
    /// Wire, thin to thick, then by colour.
    pub wires: Vec<BuyWire>,
    /// Fuses by style and rating.
    pub fuses: Vec<BuyFuse>,
    /// Terminals by size of wire.
    pub terminals: Vec<Terminals>,
}

/// Adds everything up.
pub(super) fn list(circuit: &Circuit, wires: &[SizedWire], fuses: &[SizedFuse]) -> ShoppingList {
    let mut list = ShoppingList::default();
    let mut by_size: Vec<&SizedWire> = wires.iter().collect();
    // Copper by the metre: thin to thick whatever the system.
    let thickness = |wire: &SizedWire| wire.kg / length_m(circuit, wire);
    by_size.sort_by(|a, b| {
        let colour = |wire: &SizedWire| colour(circuit, wire);
        thickness(a)
            .total_cmp(&thickness(b))
            .then_with(|| a.size.to_string().cmp(&b.size.to_string()))
            .then_with(|| colour(a).cmp(&colour(b)))
            .then(a.wire.cmp(&b.wire))
    });
    for wire in by_size {
        list.add_wire(circuit, wire);
    }
    let mut by_rating: Vec<&SizedFuse> = fuses.iter().collect();
    by_rating.sort_by(|a, b| {
        a.style
            .cmp(&b.style)
            .then(a.rating_a.total_cmp(&b.rating_a))
    });
    for fuse in by_rating {
        list.add_fuse(fuse);
    }
    list
}

fn length_m(circuit: &Circuit, wire: &SizedWire) -> f64 {
    circuit.wires[wire.wire].length.value.typical.si()
}

fn colour(circuit: &Circuit, wire: &SizedWire) -> Option<String> {
    let given = circuit.wires[wire.wire].colour.as_ref();
    given.map(|colour| colour.value.clone())
}

impl ShoppingList {
    fn add_wire(&mut self, circuit: &Circuit, wire: &SizedWire) {
        let (size, colour) = (wire.size.to_string(), colour(circuit, wire));
        let length_m = length_m(circuit, wire);
        let changes = wire.changes();
        let same = |row: &&mut BuyWire| row.size == size && row.colour == colour;
        let changed_m = if changes { length_m } else { 0.0 };
        match self.wires.iter_mut().find(same) {
            Some(row) => {
                row.changed_m += changed_m;
                row.all_m += length_m;
            }
            None => self.wires.push(BuyWire {
                size: size.clone(),
                colour,
                changed_m,
                all_m: length_m,
            }),
        }
        for kind in wire_ends(circuit, &circuit.wires[wire.wire], wire.size) {
            let same = |row: &&mut Terminals| row.size == size && row.kind == kind;
            match self.terminals.iter_mut().find(same) {
                Some(row) => {
                    row.changed += usize::from(changes);
                    row.all += 1;
                }
                None => self.terminals.push(Terminals {
                    size: size.clone(),
                    kind,
                    changed: usize::from(changes),
                    all: 1,
                }),
            }
        }
    }

    fn add_fuse(&mut self, fuse: &SizedFuse) {
        let changed = usize::from(fuse.rating_a.total_cmp(&fuse.was_a).is_ne());
        let same = |row: &&mut BuyFuse| {
            row.style == fuse.style && row.rating_a.total_cmp(&fuse.rating_a).is_eq()
        };
        match self.fuses.iter_mut().find(same) {
            Some(row) => {
                row.changed += changed;
                row.all += 1;
            }
            None => self.fuses.push(BuyFuse {
                style: fuse.style,
                rating_a: fuse.rating_a,
                changed,
                all: 1,
            }),
        }
    }
}
