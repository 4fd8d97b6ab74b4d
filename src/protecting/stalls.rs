//! A locked motor behind its fuse: who gives way first.
//!
//! The winding heats, so its current falls (`heating::FedWinding`, the law that
//! `transients` follows too; up to the limit of its insulation loss is left out,
//! since that fails it soonest). The earliest fuse meets the cold winding's
//! current, the latest the one that chokes soonest (half the copper).
//!
//! Past the limit nobody knows: turns short, which takes more, or its copper
//! stays whole and heats on, which takes less. Both ends are worked out: with the
//! current of the limit going on, which the wire has to bear, and with whole
//! copper, by which alone an opening is promised.

use super::case::{Case, Fitted};
use super::check::{Check, Kind, Verdict};
use super::driven::Driven;
use super::starts::start_of;
use super::wires::finite;
use crate::circuit::Condition;
use crate::findings::{Finding, code};
use crate::heating::{Course, Duty, Family, FedWinding, Protector, StandingWinding};
use crate::quantities::{Amps, Celsius, Seconds, print};
use crate::tables::OutOfTable;
use crate::tables::fuses::{Edge, standard_ratings, steady_loading};

/// A stall, worked out.
struct Stall {
    /// Fuse current with a cold and with a ruined winding.
    cold_a: f64,
    hot_a: f64,
    /// Fuse current once the winding is as hot as its copper gets.
    settled_a: f64,
    earliest_s: Option<f64>,
    /// Latest opening where the current of the winding at its limit goes on.
    latest_s: Option<f64>,
    /// The same where its copper stays whole and heats on.
    latest_whole_s: Option<f64>,
    /// Time until the winding's insulation fails, soonest, typical, latest.
    fails_s: [f64; 3],
}

/// Share of the way to its settled temperature after which a winding counts as settled.
const SETTLED: f64 = 0.999;

/// A stalled motor on a fuse; `winding` scales the typical winding's resistance.
fn stall(device: &Protector, driven: &Driven<'_>, winding: f64) -> Result<Stall, OutOfTable> {
    let beside_a = driven.beside_a;
    let body = driven.motor.winding_body()?;
    let start_degc = driven.motor.winding.si();
    let limit_k = body.limit.si().max(start_degc) - start_degc;
    let law = driven.motor.law(Condition::Locked);
    // Of half the copper; without loss up to the limit, with it beyond.
    let fed = |heat_j_per_k: f64, cools_s: f64| FedWinding {
        winding: StandingWinding {
            r_ohm: winding * law.r_ohm,
            per_k: StandingWinding::per_k_at(start_degc),
            heat_j_per_k,
            cools_s,
        },
        volts: (driven.feed.volts - law.v_brush_v).max(0.0),
        feed_ohm: driven.feed.ohm,
    };
    let light = body.heat_j_per_k / body.spread;
    let lossless = fed(light, f64::INFINITY);
    let warming = lossless.courses(0.0, limit_k);
    let soonest_s: f64 = warming.iter().map(|(_, seconds)| seconds).sum();
    // What it loses goes with its surface, which stays what it is.
    let lossy = fed(light, body.cools_s / body.spread);
    let settles_k = lossy.settles_k().max(limit_k);
    let (cold_a, hot_a) = (lossless.current_a(0.0), lossless.current_a(limit_k));
    let (cold_a, hot_a) = (cold_a + beside_a, hot_a + beside_a);
    let settled_a = lossy.current_a(settles_k) + beside_a;
    let course =
        |(amps, seconds): &(f64, f64)| Course::constant(device.multiple(amps + beside_a), *seconds);
    let for_good = |amps: f64| Course::constant(device.multiple(amps), f64::INFINITY);
    let warm = device.multiple(driven.running_a + beside_a);
    let late = device.element(Edge::Late);
    // The latest fuse meets the winding that heats, and so chokes, soonest.
    let latest = |after: Vec<Course>| {
        let to_limit = warming.iter().map(course);
        let duty = Duty::once(to_limit.chain(after).collect());
        late.run(late.cold(), &duty).opens.map(|at| at.0)
    };
    let beyond = lossy.courses(limit_k, limit_k + SETTLED * (settles_k - limit_k));
    let beyond = beyond.iter().map(course).chain([for_good(settled_a)]);
    let early = device.element(Edge::Early);
    let steady = Duty::once(vec![for_good(cold_a)]);
    let earliest_s = early.run(early.settled(warm), &steady).opens.map(|at| at.0);
    let typical_s = soonest_s * body.spread;
    Ok(Stall {
        cold_a,
        hot_a,
        settled_a,
        earliest_s,
        latest_s: latest(vec![for_good(hot_a)]),
        latest_whole_s: latest(beyond.collect()),
        fails_s: [soonest_s, typical_s, typical_s * body.spread],
    })
}

/// A locked motor behind its fuse.
pub(super) fn stalls(
    case: &Case<'_>,
    fuse: &Fitted,
    driven: &Driven<'_>,
) -> Result<(Check, Vec<Finding>), OutOfTable> {
    let found = stall(&fuse.device, driven, 1.0)?;
    // Windings of such motors spread: least current with the most ohms.
    let r = &driven.motor.parameters.r;
    let weak = stall(&fuse.device, driven, r.high.si() / r.typical.si())?;
    let strong = stall(&fuse.device, driven, r.low.si() / r.typical.si())?;
    let body = driven.motor.winding_body()?;
    let limit = body.limit;
    let cold = Amps::new(found.cold_a);
    let [soon_s, typical_s, _] = found.fails_s;
    let in_time = found.latest_s.is_some_and(|latest_s| latest_s <= soon_s);
    let head = format!(
        "with `{}` stalled it carries {cold}, {} times its {} there",
        driven.name,
        print::significant(fuse.device.multiple(found.cold_a), 2),
        fuse.device.effective
    );
    let verdict = if in_time {
        Verdict::Holds
    } else {
        Verdict::Caution
    };
    let sentence = format!("{head}; {}", tail(&found, limit, in_time));
    let mut check = Check::new(Kind::Stall, verdict, sentence)
        .about(driven.name)
        .in_state(&driven.state.name)
        .figure("stall_cold_a", found.cold_a)
        .figure("stall_hot_a", found.hot_a)
        .figure("stall_settled_a", found.settled_a)
        .figure("stall_low_a", weak.cold_a)
        .figure("stall_high_a", strong.cold_a)
        .figure("stall_solved_a", driven.locked_a + driven.beside_a)
        .figure("opens_earliest_s", found.earliest_s)
        .figure("opens_latest_s", found.latest_s)
        .figure("opens_latest_whole_s", found.latest_whole_s)
        .figure("winding_fails_soonest_s", soon_s)
        .figure("winding_fails_s", typical_s)
        .figure("winding_fails_latest_s", found.fails_s[2])
        .source(driven.motor.source.clone())
        .source(body.source)
        .source(fuse.device.source.clone());
    if !in_time {
        check = check.more(what_would(case, fuse, driven, soon_s)?).more(
            "A motor with a thermal cut-out would end it, and so does whoever watches the current when it starts and switches off",
        );
    }
    if is_spread(&weak, &strong) {
        let (least, most) = (Amps::new(weak.cold_a), Amps::new(strong.cold_a));
        let and = if weak.latest_s.is_none() && found.latest_s.is_some() {
            format!(
                "; at the low end it falls to {} as the winding heats, at which no opening is promised",
                Amps::new(weak.hot_a)
            )
        } else {
            String::new()
        };
        check = check.more(format!(
            "Motors of its kind draw {least} to {most} stalled{and}"
        ));
    }
    let mut findings = Vec::new();
    if let Some(wire) = Scorched::of(case, fuse, &found) {
        check = check
            .more(wire.words())
            .figure("wire_degc", wire.degc.min(1e4))
            .figure("wire_class_degc", wire.class_degc)
            .figure("wire_stands_s", finite(wire.stands_s));
        if wire.is_outlasted() {
            check.verdict = Verdict::Violation;
            findings.push(wire.finding(fuse, driven, cold));
        }
    }
    // Promised is what whole copper, which draws least, opens too.
    let never = found.latest_whole_s.is_none() || weak.latest_whole_s.is_none();
    findings.extend(never.then(|| {
        let statement = format!(
            "`{}` need not open when `{}` is stalled and it carries {cold}{}",
            fuse.name,
            driven.name,
            spread(&weak, &strong)
        );
        Finding::new(code("stall-not-cleared"), &fuse.name, statement)
        .in_state(&driven.state.name)
        .with_hint("free the motor before running it, watch its current when it starts, or fit a motor with a thermal cut-out; never a larger fuse")
        .with_measure(found.cold_a, Some(fuse.device.effective.si()), "A")
        .with_label(fuse.span, "this fuse")
    }));
    Ok((check, findings))
}

/// What becomes of fuse and winding.
fn tail(found: &Stall, limit: Celsius, in_time: bool) -> String {
    let seconds = |s: f64| Seconds::new(s);
    let winding = format!(
        "the winding passes {limit} after about {}",
        seconds(found.fails_s[1])
    );
    match (found.earliest_s, found.latest_s) {
        (early, Some(late)) if in_time => format!(
            "it opens between {} and {}, before the winding passes {limit}",
            seconds(early.unwrap_or_default()),
            seconds(late)
        ),
        (early, Some(late)) => {
            let whole = match found.latest_whole_s {
                Some(whole) => format!("by {}", seconds(whole)),
                None => "perhaps never".to_owned(),
            };
            format!(
                "it opens between {} and {} if {winding} and then goes on drawing {}, {whole} if its copper stays whole and heats on until it draws {}: the wire is saved, the motor may not be",
                seconds(early.unwrap_or_default()),
                seconds(late),
                Amps::new(found.hot_a),
                Amps::new(found.settled_a)
            )
        }
        (Some(early), None) => format!(
            "it may open after {} or later, or never: {winding} and then draws {}, {} once its copper settles, at which no opening is promised",
            seconds(early),
            Amps::new(found.hot_a),
            Amps::new(found.settled_a)
        ),
        (None, None) => format!("this fuse will not open on it: {winding}"),
    }
}

/// Whether motors of the kind differ: not where the winding is known.
fn is_spread(weak: &Stall, strong: &Stall) -> bool {
    strong.cold_a - weak.cold_a >= 0.01 * strong.cold_a
}

/// ` (11.0 A to 26.0 A over motors of its kind)`; nothing where they do not differ.
fn spread(weak: &Stall, strong: &Stall) -> String {
    if !is_spread(weak, strong) {
        return String::new();
    }
    format!(
        " ({} to {} over motors of its kind)",
        Amps::new(weak.cold_a),
        Amps::new(strong.cold_a)
    )
}

/// What a stall does to the wire behind the fuse that stands it worst.
struct Scorched {
    label: String,
    /// Copper when the latest fuse opens, or for good, and its class, degC.
    degc: f64,
    class_degc: f64,
    /// How long it stands the current, and how long it flows, seconds.
    stands_s: f64,
    flows_s: f64,
}

/// Time after which a wire has settled, seconds.
const SETTLED_S: f64 = 1e6;

impl Scorched {
    /// The wire that outlasts the stall by least; the cold winding's current is
    /// taken all along, the worst it can be.
    fn of(case: &Case<'_>, fuse: &Fitted, found: &Stall) -> Option<Self> {
        let behind = case.zones.wires.get(&fuse.id)?;
        let flows_s = found.latest_s.unwrap_or(f64::INFINITY);
        let of_wire = |&wire: &usize| {
            let in_time = case.wire(wire).ok()?;
            let class_degc = in_time.limits.class.si();
            let degc = in_time.after(found.cold_a, flows_s.min(SETTLED_S));
            Some(Self {
                label: case.circuit.wire_label(&case.circuit.wires[wire]),
                degc,
                class_degc,
                stands_s: in_time.stands_s(found.cold_a),
                flows_s,
            })
        };
        let over = |one: &Self| (one.is_outlasted(), one.degc - one.class_degc);
        behind.iter().filter_map(of_wire).max_by(|a, b| {
            let (a, b) = (over(a), over(b));
            a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
        })
    }

    /// Whether the stall outlasts what the insulation stands.
    fn is_outlasted(&self) -> bool {
        self.stands_s.is_finite() && self.flows_s > self.stands_s
    }

    fn words(&self) -> String {
        let degc = if self.degc > 400.0 {
            "more than 400 \u{b0}C".to_owned()
        } else {
            Celsius::new(self.degc).to_string()
        };
        let when = if self.flows_s.is_finite() {
            "gets to"
        } else {
            "would settle at"
        };
        let judged = if self.degc <= self.class_degc {
            "within"
        } else {
            "above"
        };
        let stands = if self.is_outlasted() {
            format!(
                "; its insulation stands that for {} only",
                Seconds::new(self.stands_s)
            )
        } else {
            String::new()
        };
        format!(
            "Of its wires `{}` gets hottest: it {when} {degc}, {judged} its {}{stands}",
            self.label,
            Celsius::new(self.class_degc)
        )
    }

    fn finding(&self, fuse: &Fitted, driven: &Driven<'_>, cold: Amps) -> Finding {
        let ends = if self.flows_s.is_finite() {
            format!("`{}` may take {}", fuse.name, Seconds::new(self.flows_s))
        } else {
            format!("`{}` need never open", fuse.name)
        };
        let statement = format!(
            "with `{}` stalled `{}` carries {cold}, stands that for {}, and {ends}",
            driven.name,
            self.label,
            Seconds::new(self.stands_s)
        );
        Finding::new(code("stall-outlasts-wire"), &self.label, statement)
            .in_state(&driven.state.name)
            .with_hint("a thicker wire, or a smaller fuse that still carries load and start; never a larger one")
            .with_measure(self.degc.min(1e4), Some(self.class_degc), "degC")
            .with_label(fuse.span, "this fuse")
    }
}

/// What would end the stall: never a larger fuse.
fn what_would(
    case: &Case<'_>,
    fuse: &Fitted,
    driven: &Driven<'_>,
    soon_s: f64,
) -> Result<String, OutOfTable> {
    let Family::Fuse(style) = fuse.device.family else {
        return Ok("Breakers of a smaller rating are not looked at here".into());
    };
    let needed_a = case.continuous(fuse).0 / steady_loading()?.value.si();
    let start = start_of(case, fuse, driven.name);
    for rating in standard_ratings(style)?.value {
        if rating >= fuse.device.rating {
            break;
        }
        let closer = Protector::new(
            fuse.device.family,
            rating,
            Some(case.circuit.ambient.at(fuse.place)),
        )?;
        if closer.effective.si() < needed_a {
            continue;
        }
        let survives = start.as_ref().is_none_or(|start| {
            let before = closer.multiple(start.before_a);
            let run = closer.run(&start.duty(&closer), |element| element.settled(before));
            run.early.opens.is_none()
        });
        let closer_stall = stall(&closer, driven, 1.0)?;
        if let (true, Some(latest_s)) = (survives, closer_stall.latest_s) {
            let when = if latest_s <= soon_s {
                "in time for the winding"
            } else if closer_stall.latest_whole_s.is_some() {
                "if not in time for the winding"
            } else {
                "if not in time for the winding, and perhaps never if its copper stays whole and heats on"
            };
            return Ok(format!(
                "{rating} still carries its load and its start and opens on the stall within {}, {when}",
                Seconds::new(latest_s)
            ));
        }
    }
    Ok("No smaller rating of its family both carries its load and opens on the stall".into())
}
