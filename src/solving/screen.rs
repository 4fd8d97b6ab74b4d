//! A solved circuit as a document: the answer first, then state by state.

mod first;
mod overview;

pub use first::first_screen;
pub(crate) use overview::found_mark;

use overview::overview;

use super::solution::{Ladder, PartReading, Solution, StateSolution, WireReading};
use crate::circuit::{Circuit, PartKind};
use crate::devices::BURNT;
use crate::document::{Cell, Document, Emphasis, Table};
use crate::findings::Severity;
use crate::quantities::{Amps, Celsius, Fraction, RadiansPerSecond, Volts, print};

/// Current under which a part counts as off, amperes.
const OFF_A: f64 = 1e-3;
/// What the marks in the tables mean.
const LEGEND: &str = "Marks: \u{2713} within its limit, ! look at it, !! beyond its limit. Percent of drop are of the nominal volts; the rule counts copper alone and decides, the meter shows everything on the way.";
/// Current under which no wire warms, amperes.
const WARMING_A: f64 = 0.1;

/// Writes the document of a solution; `only` picks one state by name.
pub fn document(circuit: &Circuit, solution: &Solution, only: Option<&str>) -> Document {
    let mut document = Document::new();
    let shown: Vec<&StateSolution> = solution
        .states
        .iter()
        .filter(|state| only.is_none_or(|name| state.name == name))
        .collect();
    document.answer(answer(circuit, solution));
    // Of many tables the key stands before the first.
    let are_many = shown.len() > 1;
    if are_many {
        document.table(overview(&shown, &solution.findings));
        document.paragraph(LEGEND);
    }
    for state in shown {
        of_state(&mut document, circuit, state);
    }
    if !are_many {
        document.paragraph(LEGEND);
    }
    document
}

/// One sentence: what is wrong, or that nothing is.
fn answer(circuit: &Circuit, solution: &Solution) -> String {
    let of = |severity| {
        solution
            .findings
            .iter()
            .filter(|finding| finding.severity() == severity)
            .count()
    };
    let violations = of(Severity::Violation);
    let cautions = of(Severity::Caution);
    let states = counted(solution.states.len(), "state");
    let also = if cautions > 0 {
        format!(", {}", counted(cautions, "caution"))
    } else {
        String::new()
    };
    if violations == 0 {
        return format!("{}: no violation in {states}{also}", circuit.title);
    }
    let subjects: Vec<String> = solution
        .findings
        .iter()
        .filter(|finding| finding.severity() == Severity::Violation)
        .map(|finding| format!("`{}` ({})", finding.subject, finding.code.name()))
        .collect();
    let named = subjects
        .iter()
        .take(4)
        .cloned()
        .collect::<Vec<_>>()
        .join(", ");
    let rest = if subjects.len() > 4 {
        format!(" and {} more", subjects.len() - 4)
    } else {
        String::new()
    };
    format!(
        "{}: {} in {states}{also}: {named}{rest}",
        circuit.title,
        counted(violations, "violation")
    )
}

/// Amperes, with what rounding leaves of nothing printed as nothing.
fn amps(current_a: f64) -> String {
    let shown = if current_a.abs() < 1e-6 {
        0.0
    } else {
        current_a
    };
    Amps::new(shown).to_string()
}

fn counted(count: usize, word: &str) -> String {
    let plural = if count == 1 { "" } else { "s" };
    format!("{count} {word}{plural}")
}

fn name_of(state: &StateSolution) -> String {
    if state.what_if {
        format!("{} (what if)", state.name)
    } else {
        state.name.clone()
    }
}

fn judged(state: &StateSolution, share: f64) -> Emphasis {
    match share {
        _ if state.what_if => Emphasis::Plain,
        s if s > 1.0 => Emphasis::Bad,
        _ => Emphasis::Ok,
    }
}

/// What the tables think of a fuse's load, percent of what it holds.
pub(crate) fn fuse_mark(state: &StateSolution, load_pct: f64) -> Emphasis {
    match load_pct {
        _ if state.what_if => Emphasis::Plain,
        p if p > 100.0 => Emphasis::Bad,
        p if p > 80.0 => Emphasis::Warn,
        _ => Emphasis::Ok,
    }
}

fn percent(value: Option<f64>) -> String {
    value.map_or("-".to_owned(), |value| print::percent(value / 100.0))
}

/// The wire that stands furthest above the others in temperature.
fn hottest(state: &StateSolution) -> Option<String> {
    let hottest = |wires: Vec<&WireReading>| {
        wires
            .into_iter()
            .max_by(|a, b| a.temperature_degc.total_cmp(&b.temperature_degc))
            .cloned()
    };
    let carrying = |wire: &&WireReading| wire.rms_a > WARMING_A;
    let wire = hottest(state.wires.iter().filter(carrying).collect())?;
    let label = format!("{} to {}", wire.from, wire.to);
    let degc = Celsius::new(wire.temperature_degc);
    let current = Amps::new(wire.rms_a);
    let over = wire.ampacity_a.is_some_and(|most| wire.rms_a > most);
    Some(if degc >= BURNT {
        format!(
            "{label} burns: {current} would take it past {degc}, so its resistance is held there and the current is a first estimate."
        )
    } else if wire.cranking && over {
        format!(
            "Hottest wire: {label} would settle at {degc}; a cranking cable is exempt, since it carries {current} for seconds only."
        )
    } else {
        format!("Hottest wire: {label} at {degc}.")
    })
}

fn of_state(document: &mut Document, circuit: &Circuit, state: &StateSolution) {
    document.heading(format!("state `{}`", name_of(state)));
    document.paragraph(supplies(state));
    document.table(loads(state));
    document.table(fuses(state));
    document.paragraph(rest(circuit, state));
    for (name, _) in laddered(state) {
        if let Some(ladder) = state.ladders.get(name) {
            document.table(rungs(name, ladder));
        }
    }
}

/// Loads whose ladder is shown: all that break the rule, and of those that only
/// the meter finds over, the worst.
fn laddered(state: &StateSolution) -> Vec<(&String, &PartReading)> {
    let missing = state.parts.iter().filter(|(_, part)| misses(state, part));
    let (broken, metered): (Vec<_>, Vec<_>) =
        missing.partition(|(_, part)| over(part.rule_drop_pct, part.limit_pct));
    let excess =
        |part: &PartReading| meter_pct(part).unwrap_or(0.0) - part.limit_pct.unwrap_or(0.0);
    let worst = metered
        .into_iter()
        .max_by(|a, b| excess(a.1).total_cmp(&excess(b.1)));
    broken.into_iter().chain(worst).collect()
}

fn over(value: Option<f64>, limit: Option<f64>) -> bool {
    value.zip(limit).is_some_and(|(value, limit)| value > limit)
}

/// Whether a load is over its limit by the rule or by the meter.
fn misses(state: &StateSolution, part: &PartReading) -> bool {
    !state.what_if
        && (over(part.rule_drop_pct, part.limit_pct) || over(meter_pct(part), part.limit_pct))
}

/// The meter's drop in percent, by the same nominal voltage as the rule's.
fn meter_pct(part: &PartReading) -> Option<f64> {
    let nominal = 100.0 * part.rule_drop_v? / part.rule_drop_pct?;
    (nominal > 0.0).then_some(100.0 * part.drop_v? / nominal)
}

fn supplies(state: &StateSolution) -> String {
    let mut words: Vec<String> = Vec::new();
    for (name, battery) in &state.batteries {
        let gives = if battery.current_a < -OFF_A {
            format!("takes {} of charge", Amps::new(-battery.current_a))
        } else {
            format!("gives {}", amps(battery.current_a.max(0.0)))
        };
        words.push(format!(
            "`{name}` stands at {} and {gives}",
            Volts::new(battery.voltage_v)
        ));
    }
    for (name, current_a) in state
        .chargers
        .iter()
        .filter(|(_, current_a)| **current_a > OFF_A)
    {
        words.push(format!("`{name}` gives {}", Amps::new(*current_a)));
    }
    words.join("; ")
}

/// What the tables think of a load: of its drop by the rule, and by the meter.
fn marks(state: &StateSolution, part: &PartReading) -> (Emphasis, Emphasis) {
    let share = part.rule_drop_pct.zip(part.limit_pct);
    let rule = share.map_or(Emphasis::Plain, |(drop, limit)| judged(state, drop / limit));
    let over = meter_pct(part).zip(part.limit_pct);
    let is_over = over.is_some_and(|(meter, limit)| meter > limit);
    let meter = if is_over && !state.what_if {
        Emphasis::Warn
    } else {
        Emphasis::Plain
    };
    (rule, meter)
}

/// The worse of both, for pictures: a load that draws nothing has none.
pub(crate) fn load_mark(state: &StateSolution, part: &PartReading) -> Emphasis {
    if part.current_a.unwrap_or(0.0).abs() < OFF_A {
        return Emphasis::Plain;
    }
    let (rule, meter) = marks(state, part);
    rule.max(meter)
}

fn loads(state: &StateSolution) -> Table {
    let mut table = Table::new("what each load gets")
        .words("load")
        .figures("volts")
        .figures("amperes")
        .figures("drop by the rule")
        .figures("limit")
        .figures("meter shows");
    for (name, part) in &state.parts {
        let current_a = part.current_a.unwrap_or(0.0);
        if current_a.abs() < OFF_A {
            continue;
        }
        let (mark, meter_mark) = marks(state, part);
        let speed = part.speed_rad_s.map_or(String::new(), |speed| match speed {
            0.0 => ", standing still".to_owned(),
            // The speed of an armature behind gears tells no one anything.
            _ if part.kind != PartKind::Pump => String::new(),
            _ => format!(", {}", RadiansPerSecond::new(speed)),
        });
        table.row([
            Cell::plain(format!(
                "{name}{}{speed}",
                if part.kind == PartKind::FuseBlock {
                    " (feed)"
                } else {
                    ""
                }
            )),
            Cell::plain(
                part.voltage_v
                    .map_or("-".to_owned(), |v| Volts::new(v).to_string()),
            ),
            Cell::plain(Amps::new(current_a).to_string()),
            Cell::with(percent(part.rule_drop_pct), mark),
            Cell::plain(percent(part.limit_pct)),
            Cell::with(
                part.drop_v
                    .map_or("-".to_owned(), |v| format!("{} lost", Volts::new(v))),
                meter_mark,
            ),
        ]);
    }
    table
}

fn fuses(state: &StateSolution) -> Table {
    let mut table = Table::new("what each fuse carries, as it heats (root mean square)")
        .words("fuse")
        .figures("carries")
        .figures("rating")
        .figures("load");
    for (name, fuse) in state
        .fuses
        .iter()
        .filter(|(_, fuse)| fuse.current_a > OFF_A)
    {
        table.row([
            Cell::plain(name.as_str()),
            Cell::plain(Amps::new(fuse.current_a).to_string()),
            Cell::plain(print::nominal(Amps::new(fuse.rating_a))),
            Cell::with(
                print::percent(Fraction::new(fuse.load_pct / 100.0).si()),
                fuse_mark(state, fuse.load_pct),
            ),
        ]);
    }
    table
}

/// Hottest wire, relays, and what is off.
fn rest(circuit: &Circuit, state: &StateSolution) -> String {
    let mut words = Vec::new();
    words.extend(hottest(state));
    let relays = |wanted: Option<bool>| -> String {
        let named = state
            .relays
            .iter()
            .filter(|(_, relay)| relay.pulled_in == wanted)
            .map(|(name, _)| name.as_str());
        named.collect::<Vec<_>>().join(", ")
    };
    for (word, wanted) in [
        ("Relays in", Some(true)),
        ("Relays out", Some(false)),
        ("Relays that chatter", None),
    ] {
        let named = relays(wanted);
        if !named.is_empty() {
            words.push(format!("{word}: {named}."));
        }
    }
    let off: Vec<&str> = state
        .parts
        .iter()
        .filter(|(name, part)| {
            part.current_a.unwrap_or(0.0).abs() < OFF_A
                && circuit
                    .find(name)
                    .is_some_and(|id| circuit.part(id).kind() != PartKind::FuseBlock)
        })
        .map(|(name, _)| name.as_str())
        .collect();
    if !off.is_empty() {
        words.push(format!("Off: {}.", off.join(", ")));
    }
    words.join(" ")
}

fn rungs(name: &str, ladder: &Ladder) -> Table {
    let rungs = ladder.feed.iter().chain(&ladder.back);
    let lost = Volts::new(rungs.map(|rung| rung.drop_v).sum());
    let title = format!(
        "where the volts go, `{}` to `{name}` and back: {lost} lost",
        ladder.supply
    );
    // The step first: a row that becomes a card is named by it.
    let mut table = Table::new(title)
        .words("step")
        .words("way")
        .figures("lost")
        .figures("at");
    for (side, rungs) in [("feed", &ladder.feed), ("return", &ladder.back)] {
        for rung in rungs.iter().filter(|rung| rung.drop_v >= 5e-4) {
            table.row([
                Cell::plain(rung.what.as_str()),
                Cell::plain(side),
                Cell::plain(Volts::new(rung.drop_v).to_string()),
                Cell::plain(Amps::new(rung.current_a).to_string()),
            ]);
        }
    }
    table
}
