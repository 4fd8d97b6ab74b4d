//! The answer on one screen: what happens, when, and how far each quantity goes.

use super::plot::plot;
use super::study::{Openings, Study};
use super::watch::What;
use super::{Column, Event, Transient};
use crate::document::{Block, Cell, Document, Table};
use crate::quantities::{Amps, Celsius, Seconds, Volts, print};
use crate::tables::cautions::deference;
use crate::tables::fuses::Edge;

/// Hottest wires shown.
const WIRES: usize = 5;
/// A wire that warms less than this is not worth a row, kelvin.
const WARM_K: f64 = 2.0;

/// Writes the document of a study; `plotted` is one of its columns.
pub fn document(title: &str, study: &Study, plotted: Option<&Column>) -> Document {
    let mut document = Document::new();
    document.caution("This is reckoned, not tried: never make a short or hold a shaft to see it happen. Near petrol a spark or a hot wire is enough.");
    document.caution("Never fit a larger fuse to stop one from opening.");
    document.caution(deference());
    document.answer(format!("{title}, {}: {}", setting(study), answer(study)));
    document.table(events(&study.run));
    document.table(openings(study));
    document.table(loads(&study.run));
    document.table(wires(&study.run));
    if let Some(column) = plotted {
        document.push(Block::Plot(plot(&study.run, column)));
    }
    document.paragraph("Typical figures of each class. A fuse is one instance of its band at a time, its clock matched to the gates of its family, for genuine fuses. No arc, no contact bounce, no inductance of wires and coils; pulsed loads draw their mean; a running motor's heat is carried off, a standing one's heats its copper, also past what its insulation stands, where `protect` lets the current go on unchanged; the battery keeps its charge.");
    document
}

/// Below this a figure is rounding, not a reading.
fn shown(value: f64) -> f64 {
    if value.abs() < 1e-4 { 0.0 } else { value }
}

/// From where into which state.
fn setting(study: &Study) -> String {
    let asked = &study.scenario;
    let from = asked.from.as_ref().map_or_else(
        || "from cold and dead".to_owned(),
        |from| format!("from `{from}`"),
    );
    let mut words = format!("{from} into `{}`", asked.state);
    for jam in &asked.locked {
        words = format!("{words}, `{}` jammed{}", jam.part, later(jam.at_s));
    }
    if let Some(short) = &asked.short {
        let ohm = crate::quantities::Ohms::new(short.ohm);
        let share = print::percent(short.share);
        words = format!(
            "{words}, `{}` shorted at {share} by {ohm}{}",
            short.wire,
            later(short.at_s)
        );
    }
    words
}

/// ` after 2.00 s`; nothing for what is so from the start.
fn later(at_s: f64) -> String {
    if at_s > 0.0 {
        format!(" after {}", Seconds::new(at_s))
    } else {
        String::new()
    }
}

fn answer(study: &Study) -> String {
    let run = &study.run;
    let reached = Seconds::new(run.reached_s);
    let mut words = match opening(study) {
        Some(words) => words,
        None if study.scenario.fuses.is_none() => format!("followed for {reached}, fuses held"),
        None => format!("no fuse opens within {reached}"),
    };
    if let Some((column, peak)) = largest(run) {
        words = format!(
            "{words}; `{}` peaks at {} after {}",
            column.subject,
            Amps::new(peak.1),
            Seconds::new(peak.0)
        );
    }
    let first = |what: What| run.events.iter().find(|event| event.what == what);
    for (what, verb) in [
        (What::BurnsThrough, "burns through"),
        (
            What::InsulationFails,
            "is hotter for longer than its insulation stands",
        ),
        (
            What::InsulationPassed,
            "is for a while hotter than the class of its insulation",
        ),
    ] {
        if let Some(event) = first(what) {
            let after = Seconds::new(event.time_s);
            words = format!("{words}; `{}` {verb} after {after}", event.subject);
            break;
        }
    }
    if let Some(why) = &run.ended {
        words = format!("{words}; it stops at {reached}: {why}");
    }
    words
}

fn opening(study: &Study) -> Option<String> {
    let order = |times: &Openings| {
        let any = [times.middle_s, times.earliest_s, times.latest_s];
        any.into_iter().flatten().fold(f64::INFINITY, f64::min)
    };
    let by_time =
        |a: &(&String, &Openings), b: &(&String, &Openings)| order(a.1).total_cmp(&order(b.1));
    let (name, times) = study.openings.iter().min_by(by_time)?;
    let within = Seconds::new(study.scenario.duration_s);
    Some(match (times.earliest_s, times.middle_s, times.latest_s) {
        (Some(early), _, Some(late)) => format!(
            "fuse `{name}` opens between {} and {}",
            Seconds::new(early),
            Seconds::new(late)
        ),
        (Some(early), ..) => format!(
            "fuse `{name}` may open from {} on, or hold beyond {within}",
            Seconds::new(early)
        ),
        _ => format!("fuse `{name}` may open within {within}"),
    })
}

/// The load or short with the largest current.
fn largest(run: &Transient) -> Option<(&Column, (f64, f64))> {
    let is_load = |column: &&Column| {
        column.quantity == "current_a"
            && (column.subject == "short"
                || run
                    .column(&column.subject, "voltage_v")
                    .is_some_and(|_| run.column(&column.subject, "heat").is_none()))
    };
    let peaks = run.columns.iter().filter(is_load);
    let peaks = peaks.map(|column| (column, column.peak(&run.times_s)));
    // A battery gives what the loads take; the loads are what is asked about.
    let peaks = peaks
        .filter(|(column, peak)| !run.supplies.contains(&column.subject) && shown(peak.1) != 0.0);
    peaks.max_by(|a, b| a.1.1.abs().total_cmp(&b.1.1.abs()))
}

fn events(run: &Transient) -> Table {
    let mut table = Table::new("what happens")
        .figures("after")
        .words("what")
        .figures("at");
    for event in &run.events {
        let at = event
            .current_a
            .map_or_else(String::new, |a| Amps::new(a).to_string());
        table.row([
            Cell::plain(exact(event.time_s)),
            told(event),
            Cell::plain(at),
        ]);
    }
    table
}

/// A moment to a hundredth of a millisecond below a second.
fn exact(time_s: f64) -> String {
    match time_s {
        0.0 => "0 s".to_owned(),
        s if s < 1.0 => format!("{} ms", print::plain(s * 1e3, 2)),
        s if s >= 120.0 => Seconds::new(s).to_string(),
        s => format!("{} s", print::plain(s, 3)),
    }
}

fn told(event: &Event) -> Cell {
    let name = &event.subject;
    let arc = if event.arc_j > 1e-6 {
        format!(
            ", {} mJ in the arc",
            print::significant(event.arc_j * 1e3, 3)
        )
    } else {
        String::new()
    };
    match event.what {
        What::Switched => Cell::plain(format!("switched to `{name}`{arc}")),
        What::Opens => Cell::warn(format!("fuse `{name}` opens{arc}")),
        What::PullsIn => Cell::plain(format!("relay `{name}` pulls in{arc}")),
        What::LetsGo => Cell::plain(format!("relay `{name}` lets go{arc}")),
        What::Turns => Cell::plain(format!("`{name}` begins to turn")),
        What::Stands => Cell::plain(format!("`{name}` comes to rest")),
        What::Jams => Cell::plain(format!("`{name}` jams{arc}")),
        What::Shorted => Cell::plain(format!("`{name}` is shorted{arc}")),
        What::ClosesAgain => Cell::warn(format!("breaker `{name}` closes again")),
        What::CutsOff => Cell::warn(format!("`{name}` has too few volts to work")),
        What::ComesBack => Cell::plain(format!("`{name}` has volts again")),
        What::InsulationPassed => Cell::warn(format!("`{name}` passes its insulation's class")),
        What::InsulationFails => Cell::bad(format!(
            "`{name}` too hot for longer than its insulation stands"
        )),
        What::WindingHot => Cell::bad(format!("winding of `{name}` is hotter than it stands")),
        What::BurnsThrough => Cell::bad(format!("`{name}` burns through{arc}")),
    }
}

fn openings(study: &Study) -> Table {
    let words = match study.scenario.fuses {
        Some(Edge::Early) => "early",
        Some(Edge::Late) => "late",
        _ => "middle",
    };
    let title = format!("when fuses open, all of them early, middle or late; shown above: {words}");
    let mut table = Table::new(title)
        .words("fuse")
        .figures("early")
        .figures("middle")
        .figures("late");
    let time = |time_s: Option<f64>| time_s.map_or_else(|| "holds".to_owned(), exact);
    for (name, times) in &study.openings {
        table.row([
            name.clone(),
            time(times.earliest_s),
            time(times.middle_s),
            time(times.latest_s),
        ]);
    }
    table
}

/// Parts and fuses shown, those with the largest peaks.
const PARTS: usize = 12;

fn loads(run: &Transient) -> Table {
    let flows =
        |column: &&Column| column.quantity == "current_a" && !column.subject.contains(" to ");
    let columns = run.columns.iter().filter(flows);
    let peaks = columns.map(|column| (column, column.peak(&run.times_s)));
    let mut rows: Vec<(&Column, (f64, f64))> =
        peaks.filter(|(_, peak)| peak.1.abs() >= 1e-3).collect();
    let all = rows.len();
    // Sorting is stable: equal peaks stay in the circuit's order.
    rows.sort_by(|a, b| b.1.1.abs().total_cmp(&a.1.1.abs()));
    rows.truncate(PARTS);
    let title = if all > rows.len() {
        format!("peaks and end values, the {} largest of {all}", rows.len())
    } else {
        "peaks and end values".to_owned()
    };
    let mut table = Table::new(title)
        .words("part")
        .figures("peak")
        .figures("after")
        .figures("end")
        .figures("least volts");
    for (column, (time_s, peak_a)) in rows {
        let volts = run.column(&column.subject, "voltage_v");
        let least = volts.map(|volts| volts.values.iter().copied().fold(f64::INFINITY, f64::min));
        table.row([
            column.subject.clone(),
            Amps::new(peak_a).to_string(),
            Seconds::new(time_s).to_string(),
            end(column).map_or_else(String::new, |a| Amps::new(shown(a)).to_string()),
            least.map_or_else(String::new, |v| Volts::new(shown(v)).to_string()),
        ]);
    }
    table
}

fn end(column: &Column) -> Option<f64> {
    column.values.last().copied()
}

fn wires(run: &Transient) -> Table {
    let mut table = Table::new("hottest wires and windings")
        .words("which")
        .figures("begins at")
        .figures("hottest")
        .figures("after");
    let mut rows: Vec<(&Column, f64, (f64, f64))> = run
        .columns
        .iter()
        .filter(|column| ["temperature_degc", "winding_degc"].contains(&column.quantity))
        .filter_map(|column| {
            let first = *column.values.first()?;
            let peak = column.peak(&run.times_s);
            (peak.1 - first > WARM_K).then_some((column, first, peak))
        })
        .collect();
    rows.sort_by(|a, b| (b.2.1 - b.1).total_cmp(&(a.2.1 - a.1)));
    for (column, first, (time_s, degc)) in rows.into_iter().take(WIRES) {
        table.row([
            column.subject.clone(),
            Celsius::new(first).to_string(),
            Celsius::new(degc).to_string(),
            exact(time_s),
        ]);
    }
    table
}
