//! A short at the far end of every wire behind a fuse.

use super::case::{Case, Fitted, WireCase};
use super::check::{Check, Kind, Verdict};
use super::ways::{Way, Ways, wire_ohm};
use super::wires::{between, finite, latest_s, time};
use crate::circuit::{Device, TerminalId};
use crate::findings::{Finding, code};
use crate::heating::ADIABATIC_S;
use crate::quantities::{Amps, Band};
use crate::sources::{Source, Standing};
use std::ops::Add;

/// A short at the far end of one wire.
struct Far {
    wire: usize,
    least_a: f64,
    most_a: f64,
    /// Current at which the fuse does worst against the wire.
    worst_a: f64,
    opens_s: f64,
    stands_s: f64,
    adiabatic_s: f64,
    verdict: Verdict,
}

impl Far {
    /// How bad: latest opening over what the wire stands.
    fn share(&self) -> f64 {
        match (self.opens_s.is_finite(), self.stands_s.is_finite()) {
            (_, false) => 0.0,
            (false, true) => f64::INFINITY,
            (true, true) => self.opens_s / self.stands_s,
        }
    }
}

/// The far end of a wire: the one the way from the battery reaches last.
fn far_end(case: &Case<'_>, wire: usize) -> TerminalId {
    let wire = &case.circuit.wires[wire];
    let reach = |terminal| {
        let ways = case.ways.iter().filter_map(|ways: &Ways| ways.to(terminal));
        ways.map(|way| way.ohm.typical)
            .fold(f64::INFINITY, f64::min)
    };
    if reach(wire.from) > reach(wire.to) {
        wire.from
    } else {
        wire.to
    }
}

/// Return of a short: a load's own way back, else a wire as long and as thick
/// as the way there.
fn way_back(case: &Case<'_>, at: TerminalId, ways: &Ways, there: &Way) -> Band<f64> {
    let part = case.circuit.part(case.circuit.terminal(at).part);
    let own = match part.device {
        Device::Pump(_) | Device::Motor(_) | Device::Load(_) | Device::Solenoid(_) => part
            .terminals
            .last()
            .filter(|minus| **minus != at)
            .and_then(|minus| ways.back_from(*minus)),
        _ => None,
    };
    if let Some(way) = own {
        return Band {
            low: 0.0,
            ..way.ohm
        };
    }
    let wires = there
        .wires()
        .map(|wire| wire_ohm(&case.resolved.wires[wire]));
    let sum = wires.fold(Band::default(), Add::add);
    Band { low: 0.0, ..sum }
}

fn far_short(case: &Case<'_>, fuse: &Fitted, wire: usize) -> Option<Far> {
    let in_time = case.wire(wire).ok()?;
    let end = far_end(case, wire);
    let fault = case.fault(end, |ways, way| way_back(case, end, ways, way))?;
    let mut worst: Option<Far> = None;
    for current_a in between(fault.low, fault.high) {
        let one = at_current(fuse, wire, &in_time, &fault, current_a);
        let is_worse = worst
            .as_ref()
            .is_none_or(|w| (one.verdict, one.share()) > (w.verdict, w.share()));
        if is_worse {
            worst = Some(one);
        }
    }
    worst
}

fn at_current(
    fuse: &Fitted,
    wire: usize,
    in_time: &WireCase,
    fault: &Band<f64>,
    current_a: f64,
) -> Far {
    let opens_s = latest_s(fuse, current_a);
    let stands_s = in_time.stands_s(current_a);
    // A wire that starts beyond its end temperature stands nothing.
    let adiabatic_s = in_time
        .limits
        .adiabatic_s(in_time.start, current_a)
        .unwrap_or(0.0);
    let verdict = if opens_s > stands_s {
        Verdict::Violation
    } else if opens_s <= ADIABATIC_S && opens_s > adiabatic_s {
        Verdict::Caution
    } else {
        Verdict::Holds
    };
    Far {
        wire,
        least_a: fault.low,
        most_a: fault.high,
        worst_a: current_a,
        opens_s,
        stands_s,
        adiabatic_s,
        verdict,
    }
}

/// A short at the far end of every wire behind the fuse; the worst is told.
pub(super) fn shorts(case: &Case<'_>, fuse: &Fitted) -> Option<(Check, Option<Finding>)> {
    let behind = case.zones.wires.get(&fuse.id)?;
    let mut worst: Option<Far> = None;
    let mut count = 0;
    for &wire in behind {
        let Some(far) = far_short(case, fuse, wire) else {
            continue;
        };
        count += 1;
        let is_worse = worst
            .as_ref()
            .is_none_or(|w| (far.verdict, far.share()) > (w.verdict, w.share()));
        if is_worse {
            worst = Some(far);
        }
    }
    let far = worst?;
    let label = case.circuit.wire_label(&case.circuit.wires[far.wire]);
    let range = format!("{} to {}", Amps::new(far.least_a), Amps::new(far.most_a));
    let stands = if far.stands_s.is_finite() {
        format!("the wire stands it for {}", time(far.stands_s))
    } else {
        "the wire stands it for good".into()
    };
    let opens = if far.opens_s.is_finite() {
        format!("opens within {}", time(far.opens_s))
    } else {
        "need not open".into()
    };
    let tail = match far.verdict {
        Verdict::Violation => "the insulation fails first",
        Verdict::Caution => "in time only if the insulation takes its share of the heat",
        _ => "in time",
    };
    let of_how_many = if count == 1 {
        "its wire".to_owned()
    } else {
        format!("any of its {count} wires")
    };
    let lead = if far.verdict == Verdict::Violation {
        format!("a short at the far end of {of_how_many} must be ended, and one is not")
    } else {
        format!("a short at the far end of {of_how_many} is ended; the hardest")
    };
    let sentence = format!(
        "{lead}: `{label}`, {range}; at {} it {opens} and {stands}: {tail}",
        Amps::new(far.worst_a)
    );
    let iec = Source::new(
        "IEC 60364-5-54 and IEC 60724",
        "short-time formula and end temperatures",
        Standing::Published,
    );
    let check = Check::new(Kind::Short, far.verdict, sentence)
        .about(label.clone())
        .figure("wires", f64::from(count))
        .figure("least_a", far.least_a)
        .figure("most_a", far.most_a)
        .figure("worst_a", far.worst_a)
        .figure("opens_latest_s", finite(far.opens_s))
        .figure("wire_stands_s", finite(far.stands_s))
        .figure("adiabatic_s", finite(far.adiabatic_s))
        .source(iec.clone())
        .source(fuse.device.source.clone());
    let finding = (far.verdict == Verdict::Violation).then(|| {
        let statement = format!(
            "a short at the end of `{label}` draws {}, and `{}` {opens}; {stands}",
            Amps::new(far.worst_a),
            fuse.name
        );
        Finding::new(code("short-not-cleared"), &fuse.name, statement)
            .with_hint("a thicker or shorter wire, or a smaller fuse that still carries the load")
            .with_measure(far.opens_s.min(1e9), finite(far.stands_s), "s")
            .with_label(case.circuit.wires[far.wire].span, "this wire")
            .with_label(fuse.span, "this fuse")
            .mendable(!case.circuit.wires[far.wire].keep)
            .with_source(iec)
    });
    Some((check, finding))
}
