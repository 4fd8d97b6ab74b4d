//! A short at the far end of every wire behind a fuse: what flows, whether the
//! wire stands it until the fuse opens, and which device opens first.
//!
//! Looked at from the softest to the hardest short: with this fuse the only
//! feed, and, where other feeds lie beside it, with all of them sharing.

use super::case::{Case, Fitted, WireCase};
use super::check::Verdict;
use super::faults::{Fault, Moment};
use super::selectivity::{Order, order};
use super::ways::{Through, Way, Ways, wire_ohm};
use super::wires::{between, latest_s};
use crate::circuit::{Device, TerminalId};
use crate::devices::Model;
use crate::heating::ADIABATIC_S;
use crate::quantities::{Amps, Band, Seconds};
use std::ops::Add;

/// A short at the far end of one wire.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// The wire, by index in the circuit.
    pub wire: usize,
    /// Its name, or `FROM to TO`.
    pub label: String,
    /// Least current through the fuse, amperes.
    pub least_a: f64,
    /// Most current through the fuse, amperes.
    pub most_a: f64,
    /// Earliest opening at the hardest short, seconds; infinite where it holds.
    pub earliest_s: f64,
    /// Latest opening at the softest short, seconds; infinite where it need not open.
    pub latest_s: f64,
    /// Where the fuse does worst against the wire.
    pub worst: Pinch,
    /// Which opens first; none where no device stands before the fuse.
    pub first: Option<First>,
}

/// A fuse against a wire at one current.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pinch {
    /// Current of the fuse, amperes.
    pub fuse_a: f64,
    /// Latest opening, seconds; infinite where none is promised.
    pub opens_s: f64,
    /// What the wire stands, seconds; infinite where for good.
    pub stands_s: f64,
    /// The same by the copper alone, seconds.
    pub adiabatic_s: f64,
    /// How it comes out.
    pub verdict: Verdict,
}

/// Which device opens first, over all shorts at a place.
#[derive(Debug, Clone, PartialEq)]
pub struct First {
    /// How sure it is that the fuse itself does.
    pub order: Order,
    /// The device before it that may open too.
    pub upstream: String,
    /// At the softest short neither need open.
    pub may_stay: bool,
}

impl Pinch {
    /// How bad: latest opening over what the wire stands.
    pub(super) fn share(&self) -> f64 {
        match (self.opens_s.is_finite(), self.stands_s.is_finite()) {
            (_, false) => 0.0,
            (false, true) => f64::INFINITY,
            (true, true) => self.opens_s / self.stands_s,
        }
    }

    fn is_worse(&self, than: &Self) -> bool {
        (self.verdict, self.share()) > (than.verdict, than.share())
    }

    fn of(fuse: &Fitted, in_time: &WireCase, fuse_a: f64, wire_a: f64) -> Self {
        let opens_s = latest_s(fuse, fuse_a);
        let stands_s = in_time.stands_s(wire_a);
        // A wire that starts beyond its end temperature stands nothing.
        let adiabatic_s = in_time
            .limits
            .adiabatic_s(in_time.start, wire_a)
            .unwrap_or(0.0);
        let verdict = if opens_s > stands_s {
            Verdict::Violation
        } else if opens_s <= ADIABATIC_S && opens_s > adiabatic_s {
            Verdict::Caution
        } else {
            Verdict::Holds
        };
        Self {
            fuse_a,
            opens_s,
            stands_s,
            adiabatic_s,
            verdict,
        }
    }
}

/// Every wire behind a fuse that has an ampacity and is fed, by its index.
pub(super) fn places(case: &Case<'_>, fuse: &Fitted) -> Vec<Place> {
    let behind = case.zones.wires.get(&fuse.id);
    let wires = behind.into_iter().flatten();
    wires.filter_map(|&wire| place(case, fuse, wire)).collect()
}

fn place(case: &Case<'_>, fuse: &Fitted, wire: usize) -> Option<Place> {
    let in_time = case.wire(wire).ok()?;
    let short = short(case, fuse, wire)?;
    let pairs: Vec<(f64, f64)> = between(short.alone.low, short.alone.high)
        .map(|amps| (amps, amps))
        .chain(short.shared(fuse, wire))
        .collect();
    let pinch = |(fuse_a, wire_a): &(f64, f64)| Pinch::of(fuse, &in_time, *fuse_a, *wire_a);
    let worst = pairs
        .iter()
        .map(pinch)
        .reduce(|worst, one| if one.is_worse(&worst) { one } else { worst })?;
    let fuse_amps = || pairs.iter().map(|pair| pair.0);
    let (least_a, most_a) = (
        fuse_amps().fold(f64::INFINITY, f64::min),
        fuse_amps().fold(0.0, f64::max),
    );
    let earliest = fuse.device.opening(Amps::new(most_a)).earliest;
    Some(Place {
        wire,
        label: case.circuit.wire_label(&case.circuit.wires[wire]),
        least_a,
        most_a,
        earliest_s: earliest.map_or(f64::INFINITY, Seconds::si),
        latest_s: latest_s(fuse, least_a),
        worst,
        first: first(case, fuse, &short),
    })
}

/// Which opens first, of the fuse and all devices before it.
fn first(case: &Case<'_>, fuse: &Fitted, short: &Short) -> Option<First> {
    let mut found: Option<First> = None;
    for above in case.all_upstream(fuse) {
        let alone = between(short.alone.low, short.alone.high)
            .filter(|amps| latest_s(fuse, *amps).is_finite())
            .map(|amps| order(fuse, amps, above, amps));
        let shared = short.feeds.iter().filter_map(|fault| {
            let own_a = fault.through(Through::Link(fuse.id));
            let above_a = fault.through(Through::Link(above.id));
            latest_s(fuse, own_a)
                .is_finite()
                .then(|| order(fuse, own_a, above, above_a))
        });
        // Where no short is sure to open it, the question is open too.
        let order = alone.chain(shared).max().unwrap_or(Order::Both);
        if found.as_ref().is_none_or(|known| order > known.order) {
            found = Some(First {
                order,
                upstream: above.name.clone(),
                may_stay: latest_s(fuse, short.alone.low).is_infinite(),
            });
        }
    }
    found
}

/// Currents into a short at a place.
struct Short {
    /// With this fuse the only feed: the same in fuse and wire.
    alone: Band<f64>,
    /// With every feed, softest first; empty where that changes nothing.
    feeds: Vec<Fault>,
}

impl Short {
    /// Amperes of fuse and wire with every feed.
    fn shared(&self, fuse: &Fitted, wire: usize) -> impl Iterator<Item = (f64, f64)> {
        let pair = move |fault: &Fault| {
            (
                fault.through(Through::Link(fuse.id)),
                fault.through(Through::Wire(wire)),
            )
        };
        self.feeds.iter().map(pair)
    }
}

/// Share by which another feed must change a current to be looked at.
const SHARED: f64 = 0.02;

fn short(case: &Case<'_>, fuse: &Fitted, wire: usize) -> Option<Short> {
    let inner = case.inner(fuse)?;
    let end = far_end(case, inner, wire);
    let within = inner[end.0].as_ref()?;
    let mut alone: Option<Band<f64>> = None;
    let mut back = Band::default();
    for ways in &case.ways {
        let (Some(way), Model::Battery(battery)) = (
            ways.to(case.supply_side(fuse)),
            case.resolved.part(ways.battery),
        ) else {
            continue;
        };
        back = way_back(case, end, ways, [way, within]);
        let ohm = way.ohm + case.link_ohm(fuse) + within.ohm + back;
        let (volts, fast) = (battery.open_volts.si(), battery.fast.si());
        let one = Band {
            low: volts.low / (fast.high + battery.slow.high.si() + ohm.high),
            typical: volts.typical / (fast.typical + ohm.typical),
            high: volts.high / (fast.low + ohm.low),
        };
        alone = Some(alone.map_or(one, |known: Band<f64>| Band {
            low: known.low.min(one.low),
            typical: known.typical.max(one.typical),
            high: known.high.max(one.high),
        }));
    }
    let alone = alone?;
    let feeds: Vec<Fault> = Moment::ALL
        .into_iter()
        .map(|moment| case.faults.at(end, moment.ohm(back), moment))
        .collect();
    let of_alone = [alone.low, alone.typical, alone.high];
    let differs = feeds.iter().zip(of_alone).any(|(fault, amps)| {
        let own = fault.through(Through::Link(fuse.id));
        let wire = fault.through(Through::Wire(wire));
        (own - amps).abs() > SHARED * amps || (wire - amps).abs() > SHARED * amps
    });
    Some(Short {
        alone,
        feeds: if differs { feeds } else { Vec::new() },
    })
}

/// The far end of a wire: the one the way from the fuse reaches last.
fn far_end(case: &Case<'_>, inner: &[Option<Way>], wire: usize) -> TerminalId {
    let wire = &case.circuit.wires[wire];
    let reach = |at: TerminalId| {
        let way = inner[at.0].as_ref();
        way.map_or(f64::INFINITY, |way| way.ohm.typical)
    };
    let (from, to) = (reach(wire.from), reach(wire.to));
    // An end that the fuse does not reach lies on the way of another.
    if from.is_finite() && (from > to || to.is_infinite()) {
        wire.from
    } else {
        wire.to
    }
}

/// Return of a short: a load's own way back, else a wire as long and as thick
/// as the way there. The hardest lies on the nearest grounded metal.
fn way_back(case: &Case<'_>, at: TerminalId, ways: &Ways, there: [&Way; 2]) -> Band<f64> {
    let part = case.circuit.part(case.circuit.terminal(at).part);
    let own = match part.device {
        Device::Pump(_) | Device::Motor(_) | Device::Load(_) | Device::Solenoid(_) => part
            .terminals
            .last()
            .filter(|minus| **minus != at)
            .and_then(|minus| ways.back_from(*minus)),
        _ => None,
    };
    let ohm = own.map_or_else(
        || {
            let wires = there.into_iter().flat_map(Way::wires);
            let each = wires.map(|wire| wire_ohm(&case.resolved.wires[wire]));
            each.fold(Band::default(), Add::add)
        },
        |way| way.ohm,
    );
    Band { low: 0.0, ..ohm }
}
