//! The answer on one screen: when it opens, what it shows, what it guards.

use super::{Guarded, HOLDS, OPENS_FROM, Opening, Request, Study, Zone, pulse_screen};
use crate::document::{Cell, Document, Table};
use crate::quantities::{Band, Quantity, Seconds, print};
use crate::sources::Standing;
use crate::tables::fuses::FuseStyle;

/// Writes the document of a study.
pub fn document(request: &Request, study: &Study) -> Document {
    let mut document = Document::new();
    document.caution("Never fit a larger fuse to stop one from opening, and never bridge one: the wire becomes the fuse. On an engine's own harness the engine maker's rating rules.");
    if let (Some(pulse), Some(fared)) = (&request.pulse, &study.fared) {
        pulse_screen::write(&mut document, request, pulse, fared);
        document.paragraph(standing_words(request, study));
        return document;
    }
    match study.asked(request) {
        Some(asked) => {
            document.answer(answer(request, study, asked));
            if let Some(more) = remark(asked) {
                document.paragraph(more);
            }
        }
        None => {
            document.answer(format!(
                "{} {}: steady load up to {}, holds to {}, made to open from {}",
                request.rating,
                request.style.trade_name(),
                study.steady,
                study.effective * HOLDS,
                study.effective * OPENS_FROM
            ));
        }
    }
    document.table(times(study));
    document.paragraph(standing_words(request, study));
    document.heading("The fuse");
    document.bullets(about_fuse(request, study));
    if let Some(wire) = &request.wire {
        document.heading(format!("Before {}", wire.words));
        document.table(rules(request, wire));
        document.table(settled(wire));
        document.paragraph("Between 1.1 and 1.35 times its rating no fuse need open, so the wire must stand the second row above for good. Where it does not, the answer is a thicker wire, never a larger fuse.");
    }
    document
}

fn answer(request: &Request, study: &Study, asked: &Opening) -> String {
    let head = format!(
        "{} {} at {}, {} times its rating{}",
        request.rating,
        request.style,
        asked.current,
        print::significant(asked.multiple, 3),
        match request.ambient {
            Some(ambient) => format!(" of {} in air of {ambient}", study.effective),
            None => String::new(),
        }
    );
    if let Some(breaks) = study.breaks.filter(|breaks| asked.current > *breaks) {
        return format!(
            "{head}: above the {breaks} it can break, it may not clear the fault and may burst; a device of a larger breaking capacity belongs before it"
        );
    }
    match (asked.zone, asked.earliest, asked.middle, asked.latest) {
        (Zone::Holds, ..) => format!("{head}: it holds and is not made to open"),
        (_, Some(earliest), Some(middle), Some(latest)) => {
            format!(
                "{head}: {} it opens between {earliest} and {latest}; middle {middle}",
                by_gates(request.style)
            )
        }
        (_, Some(earliest), ..) => format!(
            "{head}: nothing is promised; it may open after {earliest} or later, or carry this for good"
        ),
        _ => format!("{head}: nothing is promised"),
    }
}

/// Whose gates speak.
const fn by_gates(style: FuseStyle) -> &'static str {
    match style {
        FuseStyle::Blade | FuseStyle::MiniBlade => "by the recalled gates",
        FuseStyle::Strip => "by a wide recalled envelope",
        FuseStyle::HighCurrentBlade => "by its gates",
        FuseStyle::Glass | FuseStyle::SlowGlass => "by a partly assumed band",
    }
}

fn remark(asked: &Opening) -> Option<&'static str> {
    match asked.zone {
        Zone::Holds => None,
        Zone::NothingPromised => Some(
            "From 1.1 to 1.35 times the rating no opening is promised. The wire behind it must carry this current.",
        ),
        Zone::Opens => Some(
            "The middle is the geometric mean of the two gates, not the time of a typical fuse.",
        ),
        Zone::AboveGates => Some(
            "The middle is the geometric mean of the two edges, not the time of a typical fuse. This is above the last gate: the times are derived with the heat to melt held constant.",
        ),
    }
}

fn times(study: &Study) -> Table {
    let mut table = Table::new("opening from cold, at a constant current")
        .figures("x rating")
        .figures("current")
        .figures("earliest")
        .figures("middle")
        .figures("latest")
        .words("meaning");
    for opening in &study.openings {
        let time = |seconds: Option<Seconds>| {
            seconds.map_or_else(|| "never".to_owned(), |seconds| seconds.to_string())
        };
        let middle = match opening.zone {
            Zone::NothingPromised => "-".to_owned(),
            _ => time(opening.middle),
        };
        let latest = match opening.zone {
            Zone::NothingPromised => "may never".to_owned(),
            _ => time(opening.latest),
        };
        table.row([
            Cell::plain(print::significant(opening.multiple, 3)),
            Cell::plain(opening.current.to_string()),
            Cell::plain(time(opening.earliest)),
            Cell::plain(middle),
            Cell::plain(latest),
            meaning(study, opening),
        ]);
    }
    table
}

fn meaning(study: &Study, opening: &Opening) -> Cell {
    match opening.zone {
        Zone::Holds if opening.current.si() <= study.steady.si() * (1.0 + 1e-9) => {
            Cell::ok("steady load")
        }
        Zone::Holds => Cell::warn("holds; too much for a steady load"),
        Zone::NothingPromised => Cell::warn("nothing promised"),
        Zone::Opens => Cell::plain("opens"),
        Zone::AboveGates => Cell::plain("opens; derived"),
    }
}

/// How far the times can be trusted.
fn standing_words(request: &Request, study: &Study) -> String {
    let gates = match (request.style, study.standing) {
        (FuseStyle::Blade | FuseStyle::MiniBlade, _) => {
            "Within the recalled gates, for a genuine fuse at 23 \u{b0}C; only the pair at 1.35 times was read in print."
        }
        (FuseStyle::HighCurrentBlade, _) => {
            "Gates at 1.35, 2 and 3.5 times were read in print; at 6 times recalled. For a genuine fuse at 23 \u{b0}C."
        }
        (FuseStyle::Strip, _) => {
            "A wide recalled envelope, since strip families differ; some promise to hold only to 0.75 or 1.0 times."
        }
        (_, Standing::Published) => "Within published gates, for a genuine fuse at 23 \u{b0}C.",
        _ => {
            "Latest times at 1.35 and 2 times are published; the rest, and all earliest times, are assumed for modelling."
        }
    };
    format!("{gates} A warm or tired fuse opens sooner, a copy may not open at all.")
}

fn band<Q: Quantity + std::fmt::Display>(band: &Band<Q>) -> String {
    format!("{} ({} to {})", band.typical, band.low, band.high)
}

fn about_fuse(request: &Request, study: &Study) -> Vec<String> {
    let mut items = Vec::new();
    if let Some(colour) = study.colour {
        items.push(format!("colour: {colour}{}", ambiguity(study)));
    }
    items.push(format!(
        "steady load at most {} (80 % of {})",
        study.steady, study.effective
    ));
    items.push(format!("cold resistance {}", band(&study.cold)));
    if let (Some(across), Some(asked)) = (&study.across, study.asked(request)) {
        let when = match asked.zone {
            Zone::Holds => "settled",
            _ => "at the first instant, rising until it opens",
        };
        items.push(format!(
            "across the fuse at {}: {}, {when}; clips not counted",
            asked.current,
            band(across)
        ));
    }
    items.push(match study.breaks {
        Some(breaks) => format!(
            "breaks up to {breaks} at up to {}; a starting battery can give more into a short right at its posts",
            study.voltage
        ),
        None => format!(
            "no breaking capacity is published for it; voltage up to {}: keep it away from the battery's posts",
            study.voltage
        ),
    });
    items
}

fn ambiguity(study: &Study) -> String {
    if study.same_colour.is_empty() {
        return String::new();
    }
    let others: Vec<String> = study
        .same_colour
        .iter()
        .map(|(style, rating)| format!("{rating} {style}"))
        .collect();
    format!(
        "; read the figure, not the colour; the same or a near colour: {}",
        others.join(", ")
    )
}

fn rules(request: &Request, wire: &Guarded) -> Table {
    let mut table = Table::new("the fuse against the wire, by rule")
        .words("rule")
        .figures("allows")
        .words("this fuse");
    for rule in &wire.rules {
        let fits = rule
            .limit
            .map(|limit| request.rating.si() <= limit.si() * (1.0 + 1e-9));
        table.row([
            Cell::plain(rule.words),
            Cell::plain(
                rule.limit
                    .map_or_else(|| "not listed".to_owned(), |limit| limit.to_string()),
            ),
            match fits {
                Some(true) => Cell::ok("within"),
                Some(false) => Cell::bad("above"),
                None => Cell::plain("-"),
            },
        ]);
    }
    table
}

fn settled(wire: &Guarded) -> Table {
    let mut table = Table::new(format!(
        "what the wire settles at; its insulation is made for {}",
        wire.class
    ))
    .figures("x rating")
    .figures("current")
    .figures("wire at");
    for row in &wire.settles {
        let cell = match row.temperature {
            Some(degc) if degc.si() <= wire.class.si() => Cell::ok(degc.to_string()),
            Some(degc) => Cell::bad(degc.to_string()),
            None => Cell::bad("burns"),
        };
        table.row([
            Cell::plain(print::significant(row.multiple, 3)),
            Cell::plain(row.current.to_string()),
            cell,
        ]);
    }
    table
}
