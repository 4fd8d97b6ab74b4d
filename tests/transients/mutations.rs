//! Circuits with slips in them: no panic, no figure that is none.

use ampkeel::reading::read;
use ampkeel::span::CircuitText;
use ampkeel::tables::fuses::Edge;
use ampkeel::transients::{Ready, Scenario};

/// A small generator of its own: the same slips on every machine.
struct Draws(u64);

impl Draws {
    fn below(&mut self, count: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % count
    }
}

/// One digit of a file changed, or one line lost.
fn slipped(text: &str, draws: &mut Draws) -> String {
    let digits: Vec<usize> = text
        .bytes()
        .enumerate()
        .filter(|(_, byte)| byte.is_ascii_digit())
        .map(|(at, _)| at)
        .collect();
    if draws.below(4) == 0 {
        let lost = draws.below(text.lines().count());
        let kept = text.lines().enumerate().filter(|(at, _)| *at != lost);
        return kept.flat_map(|(_, line)| [line, "\n"]).collect();
    }
    let at = digits[draws.below(digits.len())];
    let digit = char::from(b'0' + draws.below(10) as u8).to_string();
    let mut text = text.to_owned();
    text.replace_range(at..=at, &digit);
    text
}

#[test]
fn circuits_with_slips_are_followed_or_refused_in_words() {
    let mut draws = Draws(20_260_401);
    let mut followed = 0;
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    for folder in ["circuits", "circuits/devices"] {
        let mut paths: Vec<_> = std::fs::read_dir(root.join(folder))
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .filter(|path| path.extension().is_some_and(|end| end == "toml"))
            .collect();
        paths.sort();
        for path in paths {
            let text = std::fs::read_to_string(path).unwrap();
            for _ in 0..6 {
                followed += follow(&slipped(&text, &mut draws), &mut draws);
            }
        }
    }
    assert!(followed > 100, "only {followed} were followed");
}

/// Follows one state of a text, if it is a circuit; counts what was followed.
fn follow(text: &str, draws: &mut Draws) -> usize {
    let Some(circuit) = read(&CircuitText::new("slip.toml", text)).circuit else {
        return 0;
    };
    let Ok(ready) = Ready::new(&circuit) else {
        return 0;
    };
    let state = &circuit.states[draws.below(circuit.states.len())].name;
    let scenario = Scenario {
        from: (draws.below(2) == 0).then(|| circuit.states[0].name.clone()),
        fuses: [Some(Edge::Early), Some(Edge::Late), None][draws.below(3)],
        ..Scenario::new(state, 2.0)
    };
    let Ok(run) = ready.run(&scenario) else {
        return 0;
    };
    for column in &run.columns {
        let sound = column.values.iter().all(|value| value.is_finite());
        assert!(sound, "{} in\n{text}", column.key());
    }
    assert!(run.times_s.windows(2).all(|pair| pair[0] <= pair[1]));
    1
}
