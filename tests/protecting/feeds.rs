//! Feeds side by side, chargers, and breakers that close again: by hand.

use super::{check, figure, fuse, studied};
use ampkeel::protecting::{Kind, Order, Verdict};
use ampkeel::quantities::Amps;
use ampkeel::tables::contacts::{ContactKind, contact};
use ampkeel::tables::fuses::{Edge, FuseStyle, breaker_network, cold_resistance};
use approx::assert_relative_eq;

/// Two fuses side by side onto one bus, and a lamp behind both.
fn doubled(feed: &str) -> String {
    format!(
        r#"format = 1
[ambient]
bench = "20 degC"
[defaults.part]
place = "bench"
[defaults.wire]
size = "12 AWG"
tinned = false
joints = "0 ohm"
insulation = "105 degC"
[battery.start]
open-volts = "12.6 V"
resistance = "20 mohm"
[fuse.left]
style = "blade"
rating = "20 A"
in = "start.plus"
[fuse.right]
style = "blade"
rating = "20 A"
in = "start.plus"
[stud.bus]
[load.lamp]
resistance = "12 ohm"
[[wire]]
from = "left.out"
to = "bus"
length = "1 m"
[[wire]]
from = "right.out"
to = "bus"
length = "{feed}"
[[run]]
through = ["bus", "lamp.plus"]
lengths = ["5 m"]
back = ["lamp.minus", "start.minus"]
back-lengths = ["5 m"]
"#
    )
}

/// Typical ohms of a 20 A blade in its clips, bolted to the post.
fn feed_ohm() -> f64 {
    let cold = cold_resistance(FuseStyle::Blade, Amps::new(20.0)).expect("table");
    let of = |kind| contact(kind).expect("table").value.typical.si();
    cold.value.typical.si() + of(ContactKind::FuseClips) + of(ContactKind::BoltedJoint)
}

/// A dead short right behind one fuse is its own feed's alone; the other's share
/// comes back through both of their wires.
#[test]
fn a_dead_short_behind_one_of_two_fuses_draws_most_through_it() {
    let study = studied(&doubled("1 m"));
    let found = fuse(&study, "left").fault.expect("fed").si();
    // 12 AWG plain: 17.241/3.309 x 1.02 ohm/km.
    let wire = 17.241e-3 / 3.309 * 1.02;
    let (own, other) = (feed_ohm(), feed_ohm() + 2.0 * wire);
    let both = own * other / (own + other);
    let expected = 12.6 / (0.020 + both) * both / own;
    assert_relative_eq!(found, expected, max_relative = 2e-3);
}

/// A short at the lamp is shared: with equal feeds each fuse carries half of what
/// the wire carries, so the softest short through the fuse is half of it.
#[test]
fn two_equal_feeds_share_a_short_behind_them() {
    let study = studied(&doubled("1 m"));
    let single = studied(&doubled("1 m").replace(
        "[[wire]]\nfrom = \"right.out\"\nto = \"bus\"\nlength = \"1 m\"\n",
        "[load.spare]\nresistance = \"1000 ohm\"\nminus = \"bus\"\n[[wire]]\nfrom = \"right.out\"\nto = \"spare.plus\"\nlength = \"1 m\"\n",
    ));
    let least = |study: &ampkeel::protecting::Study| {
        let places = &fuse(study, "left").places;
        let place = places
            .iter()
            .find(|p| p.label.contains("lamp"))
            .expect("lamp");
        place.least_a
    };
    let (shared, alone) = (least(&study), least(&single));
    // Halved, but for what the second feed takes off the loop's resistance.
    assert!(
        shared > 0.5 * alone && shared < 0.6 * alone,
        "{shared} {alone}"
    );
}

/// Quoted after ABYC E-11: strings of 2400 A of short-circuit current side by side,
/// three of them, give 7200 A. Behind a fuse that adds its own ohms.
#[test]
fn three_batteries_side_by_side_add_up() {
    let each = 12.6 / 2400.0;
    let battery = |name: &str| {
        format!(
            "[battery.{name}]\nopen-volts = \"12.6 V\"\nresistance = \"{each:e} ohm\"\n[[wire]]\nfrom = \"{name}.plus\"\nto = \"bus\"\n[[wire]]\nfrom = \"{name}.minus\"\nto = \"ground\"\n"
        )
    };
    let text = format!(
        "format = 1\n[defaults.wire]\nsize = \"4/0 AWG\"\nlength = \"1 mm\"\njoints = \"0 ohm\"\n\
         [stud.bus]\n[stud.ground]\n[fuse.main]\nstyle = \"strip\"\nrating = \"100 A\"\n\
         [load.lamp]\nresistance = \"12 ohm\"\n[[run]]\nthrough = [\"bus\", \"main\", \"lamp.plus\"]\n\
         back = [\"lamp.minus\", \"ground\"]\n{}{}{}",
        battery("one"),
        battery("two"),
        battery("three")
    );
    let study = studied(&text);
    let found = fuse(&study, "main").fault.expect("fed").si();
    let cold = cold_resistance(FuseStyle::Strip, Amps::new(100.0)).expect("table");
    let ends = contact(ContactKind::BoltedJoint).expect("table");
    let own = cold.value.typical.si() + ends.value.typical.si();
    // A millimetre of 4/0 AWG is 0.16 microhm.
    let bank = 12.6 / (12.6 / found - own);
    assert_relative_eq!(bank, 7200.0, max_relative = 2e-3);
}

/// A stator of 16 A on 16 AWG that carries 21.2 A in the engine space: it may go on
/// for good. On 18 AWG of unknown insulation, 10 A x 0.58, it may not.
#[test]
fn a_charger_s_own_lead_must_carry_what_it_gives() {
    let with = |size: &str, insulation: &str| {
        let text = format!(
            r#"format = 1
[battery.start]
cold-cranking = "350 A"
minus = "ground"
[stud.ground]
[fuse.main]
style = "blade"
rating = "20 A"
in = "start.plus"
[stud.bus]
[charger.stator]
output = "16 A"
minus = "ground"
[load.lamp]
resistance = "12 ohm"
minus = "ground"
[[wire]]
from = "main.out"
to = "bus"
size = "10 AWG"
length = "1 m"
[[wire]]
from = "stator.plus"
to = "bus"
size = "{size}"
length = "1 m"
place = "engine-space"
{insulation}
[[wire]]
from = "bus"
to = "lamp.plus"
size = "10 AWG"
length = "1 m"
"#
        );
        let study = studied(&text);
        assert_eq!(study.chargers.len(), 1);
        let told = study
            .findings
            .iter()
            .any(|f| f.code.name() == "charger-above-wire" && f.subject == "stator");
        (study.chargers[0].1.clone(), told)
    };
    let (good, told) = with("16 AWG", "insulation = \"105 degC\"");
    assert_eq!((good.verdict, told), (Verdict::Holds, false));
    assert_relative_eq!(figure(&good, "output_a").expect("gives"), 16.0);
    // 33 CFR 183.425 table 5: 25 A at 105 degC, times 0.85.
    assert_relative_eq!(figure(&good, "wire_carries_a").expect("carries"), 21.25);
    let (thin, told) = with("18 AWG", "");
    assert_eq!((thin.verdict, told), (Verdict::Caution, true));
}

fn breaker(reset: &str) -> String {
    format!(
        r#"format = 1
[ambient]
bench = "23 degC"
[defaults.part]
place = "bench"
[battery.start]
cold-cranking = "500 A"
[breaker.guard]
rating = "10 A"
{reset}
in = "start.plus"
[load.lamp]
resistance = "12 ohm"
[[run]]
through = ["guard.out", "lamp.plus"]
lengths = ["10 m"]
back = ["lamp.minus", "start.minus"]
back-lengths = ["10 m"]
size = "16 AWG"
insulation = "105 degC"
"#
    )
}

/// Closed until its heat is 1, open until it is 0.7, over and over, by the closed
/// form of the passive late network with its clock matched to the gates.
#[test]
fn a_breaker_that_resets_itself_cycles_at_the_times_of_its_network() {
    let study = studied(&breaker("reset = \"automatic\""));
    let report = fuse(&study, "guard");
    let found = check(report, Kind::Reclosing);
    let m = figure(found, "at_a").expect("flows") / 10.0;
    let states: Vec<(f64, f64)> = breaker_network(Edge::Late)
        .expect("table")
        .value
        .iter()
        .map(|s| (s.a, s.tau.si()))
        .collect();
    let halved = |f: &dyn Fn(f64) -> f64| {
        // Rising through zero between 0 and a day.
        let (mut low, mut high) = (0.0f64, 86_400.0f64);
        for _ in 0..200 {
            let middle = f64::midpoint(low, high);
            if f(middle) < 0.0 {
                low = middle;
            } else {
                high = middle;
            }
        }
        high
    };
    let heat = |u: &[f64], m: f64, t: f64| -> Vec<f64> {
        let each = states.iter().zip(u);
        each.map(|((a, tau), u)| a * m * m + (u - a * m * m) * (-t / tau).exp())
            .collect()
    };
    let sum = |u: &[f64]| u.iter().sum::<f64>();
    let cold = vec![0.0; states.len()];
    let passive = halved(&|t| sum(&heat(&cold, m, t)) - 1.0);
    // UL 1077 latest: 40 s at 2 x, 5 s at 4 x, 1.8 s at 6 x, 0.4 s at 10 x.
    let rows: [(f64, f64); 5] = [
        (1.35, 3600.0),
        (2.0, 40.0),
        (4.0, 5.0),
        (6.0, 1.8),
        (10.0, 0.4),
    ];
    let gate_of = |m: f64| {
        let upper = rows
            .iter()
            .position(|row| row.0 >= m)
            .expect("inside")
            .max(1);
        let ((m0, t0), (m1, t1)) = (rows[upper - 1], rows[upper]);
        t0 * (t1 / t0).powf((m / m0).ln() / (m1 / m0).ln())
    };
    let pace = passive / gate_of(m);
    // At no current the clock runs as at the first gate.
    let idle = halved(&|t| sum(&heat(&cold, 1.35 * (1.0 + 1e-6), t)) - 1.0) / 3600.0;
    let mut u = cold;
    let mut round = (0.0, 0.0);
    for _ in 0..60 {
        let closed = halved(&|t| sum(&heat(&u, m, t * pace)) - 1.0);
        u = heat(&u, m, closed * pace);
        let open = halved(&|t| 0.7 - sum(&heat(&u, 0.0, t * idle)));
        u = heat(&u, 0.0, open * idle);
        round = (closed, open);
    }
    assert_relative_eq!(
        figure(found, "closed_s").expect("closes"),
        round.0,
        max_relative = 2e-3
    );
    assert_relative_eq!(
        figure(found, "open_s").expect("opens"),
        round.1,
        max_relative = 2e-3
    );
    assert!(
        found.sentence.contains("closes again by itself"),
        "{}",
        found.sentence
    );
}

#[test]
fn a_breaker_reset_by_hand_has_nothing_to_tell_of_that() {
    for reset in ["reset = \"manual\"", ""] {
        let study = studied(&breaker(reset));
        let kinds: Vec<Kind> = fuse(&study, "guard")
            .checks
            .iter()
            .map(|c| c.kind)
            .collect();
        assert!(!kinds.contains(&Kind::Reclosing));
    }
}

/// Every wire behind a fuse has its place, and the worst of them is the check's.
#[test]
fn every_wire_has_a_place_and_the_check_tells_the_worst() {
    let study = studied(&super::text_of("schist-console-boat.toml"));
    let mut several = 0;
    for report in &study.fuses {
        several += usize::from(report.places.len() > 1);
        let worst = report.places.iter().map(|place| place.worst.verdict).max();
        let told = report.checks.iter().find(|c| c.kind == Kind::Short);
        assert_eq!(told.map(|c| c.verdict), worst, "{}", report.name);
        for place in &report.places {
            assert!(place.least_a <= place.most_a && place.earliest_s <= place.latest_s);
            if let Some(first) = &place.first {
                assert!(first.order <= Order::Both && first.upstream != report.name);
            }
        }
    }
    assert!(several > 2);
}
