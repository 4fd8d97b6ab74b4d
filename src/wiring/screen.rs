//! The answer on one screen: the size first, then every size, then the fuse.

use super::{Binding, Candidate, Ceiling, Limit, Request, Study};
use crate::circuit::Place;
use crate::document::{Cell, Document, Table};
use crate::quantities::{Amps, Fraction, SizeSystem, Volts, print};
use crate::tables::drops::DropBasis;

/// Writes the document of a study.
pub fn document(request: &Request, study: &Study) -> Document {
    let mut document = Document::new();
    document.about(about(request));
    document.caution(
        "Never fit a larger fuse to stop one from opening. On an engine's own harness the engine maker's wire and fuse figures rule.",
    );
    document.answer(answer(request, study));
    document.table(sizes(request, study));
    document.paragraph(reading_the_table(request));
    if let Some(chosen) = study.chosen() {
        if let (Some(start), Some(drop_v)) = (request.start, chosen.start_drop_v) {
            document.paragraph(starting(request, chosen, start, drop_v));
        }
        document.heading(format!("Fuse for {}", chosen.size));
        document.paragraph(least_fuse(request, study));
        document.table(fuses(study));
        document.paragraph("The rules above are ceilings for the wire, not ratings to aim for. Within them fit the least fuse that carries the load; if it is above the ceiling, the answer is a thicker wire.");
    }
    document
}

fn about(request: &Request) -> String {
    format!(
        "answered for {} over {} ({} ft) one way, the return as long: {} of wire in all; {} system, {}, {}{}",
        request.current,
        request.length,
        print::significant(request.length.si() / 0.3048, 3),
        crate::quantities::Metres::new(request.loop_m()),
        request.supply,
        request.insulation.map_or_else(
            || "insulation not known".to_owned(),
            |class| format!("insulation {class}")
        ),
        place_words(request.place),
        if request.bundle > 1 {
            format!(", {} loaded wires in the bundle", request.bundle)
        } else {
            String::new()
        }
    )
}

const fn place_words(place: Place) -> &'static str {
    match place {
        Place::Boat => "in the boat",
        Place::EngineSpace => "in the engine space",
        Place::Bench => "on the bench",
    }
}

fn limit_words(request: &Request) -> String {
    let volts = Volts::new(request.limit_v());
    match request.limit {
        Limit::Share(share) => format!("{share} ({volts})"),
        Limit::Volts(_) => format!(
            "{volts} ({})",
            Fraction::new(request.limit_v() / request.supply.si())
        ),
    }
}

fn answer(request: &Request, study: &Study) -> String {
    let Some(chosen) = study.chosen() else {
        return none_fits(request, study);
    };
    let thinner = study
        .choice
        .and_then(|at| study.candidates.get(at.checked_sub(1)?));
    let why = match thinner {
        Some(thinner) => format!(
            "{} would not do: {}",
            thinner.size,
            reasons(request, study, thinner)
        ),
        None => "it is the thinnest listed".to_owned(),
    };
    format!(
        "{}, decided by {}: it loses {} ({}) of {} allowed and may carry {}; {why}",
        chosen.size,
        match study.binding {
            Binding::Drop => "the volts lost",
            Binding::Ampacity => "the current it may carry",
            Binding::Fuse => "the fuse it needs",
            Binding::SmallestSize => "the smallest size allowed",
        },
        Volts::new(chosen.rule_drop_v),
        print::percent(chosen.rule_drop_pct / 100.0),
        limit_words(request),
        chosen.lies.carries,
    )
}

/// No size meets everything, and what the thickest fails.
pub(super) fn none_fits(request: &Request, study: &Study) -> String {
    match study.candidates.last() {
        Some(last) => format!(
            "no size meets everything; even {} would not do: {}",
            last.size,
            reasons(request, study, last)
        ),
        None => "no size is listed".to_owned(),
    }
}

/// What speaks against a size, in shop words.
fn reasons(request: &Request, study: &Study, candidate: &Candidate) -> String {
    let against = candidate.against.iter();
    let words: Vec<String> = against
        .map(|check| match check {
            Binding::Drop => format!(
                "it loses {}, more than {}",
                Volts::new(candidate.rule_drop_v),
                Volts::new(request.limit_v())
            ),
            Binding::Ampacity => format!("it may carry only {} there", candidate.lies.carries),
            Binding::Fuse => study.least_fuse.map_or_else(
                || "no fuse".to_owned(),
                |least| format!("it is too thin for the {least} fuse the load needs"),
            ),
            Binding::SmallestSize => match request.sizes {
                SizeSystem::Metric => "single wires are 1 mm2 or more".to_owned(),
                SizeSystem::Awg | SizeSystem::Sae => {
                    "single wires are 16 gauge or thicker".to_owned()
                }
            },
        })
        .collect();
    words.join("; ")
}

/// Short reasons for the last column.
fn short(study: &Study, candidate: &Candidate) -> Cell {
    if candidate.ok() {
        return Cell::ok("ok");
    }
    let words: Vec<String> = candidate
        .against
        .iter()
        .map(|check| match check {
            Binding::Drop => "drop".to_owned(),
            Binding::Ampacity => "amps".to_owned(),
            Binding::Fuse => study
                .least_fuse
                .map_or_else(|| "fuse".to_owned(), |least| format!("{least} fuse")),
            Binding::SmallestSize => "thin".to_owned(),
        })
        .collect();
    Cell::bad(words.join(", "))
}

fn sizes(request: &Request, study: &Study) -> Table {
    let mut table = Table::new("every size")
        .words("size")
        .figures("drop")
        .figures("%")
        .figures("meter");
    if request.start.is_some() {
        table = table.figures("start");
    }
    table = table.figures("wire at").figures("carries").words("ok?");
    for (at, candidate) in study.candidates.iter().enumerate() {
        let mut row = vec![
            Cell::plain(candidate.size.to_string()),
            Cell::plain(Volts::new(candidate.rule_drop_v).to_string()),
            Cell::plain(print::percent(candidate.rule_drop_pct / 100.0)),
            Cell::plain(
                candidate
                    .drop_v
                    .map_or_else(|| "-".to_owned(), |volts| Volts::new(volts).to_string()),
            ),
        ];
        if let Some(volts) = candidate.start_drop_v {
            row.push(if volts < request.supply.si() {
                Cell::plain(Volts::new(volts).to_string())
            } else {
                Cell::bad("all")
            });
        }
        row.push(match candidate.drop_v {
            Some(_) if candidate.temperature.si() > candidate.lies.class.si() + 1e-6 => {
                Cell::bad(candidate.temperature.to_string())
            }
            Some(_) => Cell::plain(candidate.temperature.to_string()),
            None => Cell::bad("burns"),
        });
        row.push(Cell::plain(candidate.lies.carries.to_string()));
        row.push(if Some(at) == study.choice {
            Cell::ok("chosen")
        } else {
            short(study, candidate)
        });
        table.row(row);
    }
    table
}

fn reading_the_table(request: &Request) -> String {
    let rule = match request.basis {
        DropBasis::Abyc => "10.75 x amperes x feet of wire / circular mils (ABYC)",
        DropBasis::Iso => "0.0164 x amperes x metres of wire / mm2 (ISO 10133)",
    };
    let area = match request.sizes {
        SizeSystem::Awg => "true AWG areas",
        SizeSystem::Sae => "the SAE chart's least areas",
        SizeSystem::Metric => "nominal areas",
    };
    let least = match request.sizes {
        SizeSystem::Awg => "16 AWG",
        SizeSystem::Sae => "16 SAE",
        SizeSystem::Metric => "1 mm2",
    };
    format!(
        "Drop, feed and return by the rule: {rule}, {area}; it decides. Meter: what a meter would show, copper at its own temperature and four sound joints, without fuse, switch and contacts. Thin: single wires are {least} or thicker."
    )
}

fn starting(request: &Request, chosen: &Candidate, start: Amps, drop_v: f64) -> String {
    format!(
        "While it starts at {start}, {} loses {} and the load gets {} of {}. The limit is for steady current; if the load will not start on that, take a thicker wire.",
        chosen.size,
        Volts::new(drop_v),
        Volts::new((request.supply.si() - drop_v).max(0.0)),
        request.supply
    )
}

fn least_fuse(request: &Request, study: &Study) -> String {
    match study.least_fuse {
        Some(least) => format!(
            "Least fuse for the load: {least} {} ({} is {} of it; steady loads stay at or below 80 %).",
            study.family,
            request.current,
            print::percent(request.current.si() / least.si())
        ),
        None => format!(
            "No standard fuse carries {} at 80 % of its rating: split the load.",
            request.current
        ),
    }
}

fn fuses(study: &Study) -> Table {
    let mut table = Table::new(format!("largest standard {} fuse by rule", study.family))
        .words("rule")
        .figures("allows")
        .figures("largest")
        .words("carries the load");
    for ceiling in &study.ceilings {
        table.row([
            Cell::plain(ceiling.basis.words()),
            Cell::plain(
                ceiling
                    .limit
                    .map_or_else(|| "not listed".to_owned(), |limit| limit.to_string()),
            ),
            Cell::plain(
                ceiling
                    .largest
                    .map_or_else(|| "-".to_owned(), |largest| largest.to_string()),
            ),
            carries(study, ceiling),
        ]);
    }
    table
}

fn carries(study: &Study, ceiling: &Ceiling) -> Cell {
    match (ceiling.largest, study.least_fuse, ceiling.limit) {
        (_, _, None) => Cell::plain("-"),
        (Some(largest), Some(least), _) if largest.si() >= least.si() => Cell::ok("yes"),
        _ => Cell::bad("no: thicker wire"),
    }
}
