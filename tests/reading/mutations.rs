//! Damaged files: whatever is done to a sound file, the answer is either a
//! circuit, each of whose states is solved or refused by a finding, or a
//! mistake with its place in the text. Never a panic, never a wait.

use super::damages::{DAMAGES, padded};
use super::draws::Draws;
use super::{files_of, read_text};
use ampkeel::findings::{Finding, Severity};
use ampkeel::present::json::{Envelope, envelope, solution::states};
use ampkeel::present::{Look, terminal};
use ampkeel::solving::{document, solve};
use ampkeel::span::CircuitText;
use std::time::{Duration, Instant};

/// No single file may take longer, even on a loaded machine without
/// optimisation; a healthy one takes some milliseconds.
const LONGEST: Duration = Duration::from_secs(10);

/// What a damaged file must come to; the answer is also printed both ways.
fn judge(text: &str) -> Result<Came, String> {
    let reading = read_text(text);
    let source = CircuitText::new("test.toml", text);
    for finding in &reading.findings {
        in_the_text(finding, text)?;
    }
    let mistakes = reading
        .findings
        .iter()
        .any(|finding| finding.severity() == Severity::Mistake);
    let Some(circuit) = reading.circuit.filter(|_| !mistakes) else {
        if !mistakes {
            return Err("no circuit and no mistake".to_owned());
        }
        let mut answer = ampkeel::document::Document::default();
        answer.findings(reading.findings);
        let shown = terminal::render(&answer, Some(&source), &Look::default());
        return if shown.contains("mistake[") {
            Ok(Came::Mistake)
        } else {
            Err(format!("no mistake is shown in {shown}"))
        };
    };
    if circuit.states.is_empty() {
        return Err("a sound circuit without a state".to_owned());
    }
    let solution = match solve(&circuit) {
        Ok(solution) => solution,
        Err(why) => return Err(format!("sound, yet refused: {why}")),
    };
    for finding in &solution.findings {
        in_the_text(finding, text).or_else(|why| {
            if finding.labels.is_empty() {
                Ok(())
            } else {
                Err(why)
            }
        })?;
    }
    for state in &circuit.states {
        let solved = solution.states.iter().any(|s| s.name == state.name);
        let refused = solution.findings.iter().any(|finding| {
            finding.code.name() == "solution-not-found"
                && finding.state.as_deref() == Some(&state.name)
        });
        if solved == refused {
            return Err(format!(
                "`{}`: solved {solved}, refused {refused}",
                state.name
            ));
        }
    }
    terminal::render(
        &document(&circuit, &solution, None),
        Some(&source),
        &Look::default(),
    );
    let common = Envelope {
        command: "solve",
        findings: &solution.findings,
        text: Some(&source),
        assumed: &solution.assumed,
        ..Envelope::default()
    };
    match envelope(&common, states(&circuit, &solution, None)) {
        Ok(_) if solution.states.is_empty() => Ok(Came::Unsolved),
        Ok(_) => Ok(Came::Solved),
        Err(why) => Err(why.to_string()),
    }
}

/// How a damaged file came out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Came {
    Mistake,
    Solved,
    Unsolved,
}

/// A finding points into the text, at whole characters.
fn in_the_text(finding: &Finding, text: &str) -> Result<(), String> {
    let code = finding.code.name();
    if finding.labels.is_empty() && code != "too-many-mistakes" {
        return Err(format!("{code} has no place: {}", finding.statement));
    }
    for label in &finding.labels {
        let (start, end) = (label.span.start, label.span.end);
        let whole = text.is_char_boundary(start) && text.is_char_boundary(end);
        if start > end || end > text.len() || !whole {
            return Err(format!("{code} points to {start}..{end} of {}", text.len()));
        }
    }
    Ok(())
}

/// Damages every file of a folder `each` times by every damage.
fn hold(folder: &str, each: usize) -> [usize; 3] {
    let mut counts = [0; 3];
    let mut complaints = Vec::new();
    for (seed, (name, text)) in (1..).zip(files_of(folder)) {
        for (kind, damage) in DAMAGES.iter().enumerate() {
            let mut draws = Draws::new(1000 * seed + u64::try_from(kind).expect("fits"));
            for turn in 0..each {
                let mut damaged = damage(&text, &mut draws);
                if turn % 4 == 3 {
                    damaged = draws.one_of(DAMAGES)(&padded(damaged), &mut draws);
                }
                let begun = Instant::now();
                match judge(&damaged) {
                    Ok(came) => counts[came as usize] += 1,
                    Err(why) => {
                        complaints.push(format!("{name}, damage {kind}, turn {turn}: {why}"));
                    }
                }
                let took = begun.elapsed();
                if took > LONGEST {
                    complaints.push(format!("{name}, damage {kind}, turn {turn}: {took:?}"));
                }
            }
        }
    }
    assert!(complaints.is_empty(), "\n{}\n", complaints.join("\n"));
    counts
}

#[test]
fn damaged_device_files_are_solved_or_refused_in_words() {
    let [mistakes, solved, _] = hold("circuits/devices", 12);
    assert!(
        mistakes > 500 && solved > 300,
        "{mistakes} mistakes, {solved} solved"
    );
}

#[test]
fn damaged_boats_are_solved_or_refused_in_words() {
    let [mistakes, solved, _] = hold("circuits", 16);
    assert!(
        mistakes > 200 && solved > 100,
        "{mistakes} mistakes, {solved} solved"
    );
}
