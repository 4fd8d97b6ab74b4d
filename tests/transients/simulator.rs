//! A pump and a lamp starting together behind a warm wire, and a jammed pump
//! whose fuse opens, against a general circuit simulator on the same laws.
//!
//! `regenerate.sh` writes the decks with the figures the devices resolve and
//! stores what ngspice finds beside them; the laws stand in this file and in
//! `deck` as that program knows them, written from the documentation of
//! `src/transients/elements` and `src/heating`. The test needs only the stored file. Not checked
//! so: the figures themselves, and when the shaft breaks away, which the deck
//! smooths over a thousandth of a radian a second.

use super::deck::{jammed, wire_heat};
use super::fuse_heat::fused;
use super::{at, circuit, followed, near};
use crate::heating::by_hand::{blade, blade_pace};
use ampkeel::circuit::Condition;
use ampkeel::devices::{Model, resolve};
use ampkeel::quantities::WireSize;
use ampkeel::tables::fuses::Edge;
use ampkeel::transients::{Scenario, What};
use std::fmt::Write;
use std::path::{Path, PathBuf};

const TEXT: &str = "\
format = 1
[ambient]
bench = \"20 degC\"
[defaults.part]
place = \"bench\"
[defaults.wire]
size = \"16 AWG\"
joints = \"0 ohm\"
insulation = \"105 degC\"
[battery.house]
cold-cranking = \"300 A\"
[pump.pump]
class = \"high-pressure fuel pump\"
[load.lamp]
lamp = \"24 W\"
inrush = \"20 A\"
[[wire]]
from = \"house.plus\"
to = \"pump.plus\"
length = \"3 m\"
[[wire]]
from = \"pump.plus\"
to = \"lamp.plus\"
size = \"4/0 AWG\"
length = \"1 mm\"
[[wire]]
from = \"pump.minus\"
to = \"house.minus\"
size = \"4/0 AWG\"
length = \"1 mm\"
[[wire]]
from = \"lamp.minus\"
to = \"house.minus\"
size = \"4/0 AWG\"
length = \"1 mm\"
";

/// Milliseconds at which both are read.
const MOMENTS_MS: [f64; 9] = [0.5, 1.0, 2.0, 4.0, 8.0, 16.0, 32.0, 64.0, 150.0];

fn beside(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/transients")
        .join(name)
}

/// Friction, back-EMF, filament and heat as sources; states as capacitors.
fn deck() -> String {
    let built = circuit(TEXT);
    let resolved = resolve(&built).unwrap();
    let part = |name: &str| resolved.part(built.find(name).unwrap());
    let (Model::Battery(battery), Model::Motor(pump)) = (part("house"), part("pump")) else {
        panic!("a battery and a motor");
    };
    let law = pump.law(Condition::Healthy);
    let wires = built.wires.iter().zip(&resolved.wires);
    let long = wires
        .clone()
        .find(|(wire, _)| wire.length.value.typical.si() > 1.0);
    let wire = long.unwrap().1;
    let [cc, ci, gw, ga] = wire_heat(WireSize::Awg(16), wire);
    let figures = [
        ("emf", battery.open_volts.typical.si()),
        ("fast", battery.fast.typical.si()),
        ("slow", battery.slow.typical.si()),
        ("rw", wire.copper_ohm()),
        ("r20", wire.per_metre_ohm.value),
        ("cc", cc),
        ("ci", ci),
        ("gw", gw),
        ("ga", ga),
        ("r", law.r_ohm),
        ("vb", law.v_brush_v),
        ("k", law.k_v_s),
        ("torque", law.forward_nm),
        ("c2", law.drag_nm_s2),
        ("l", pump.parameters.l.typical),
        ("j", pump.parameters.j.typical),
    ];
    let mut text = String::from("* a pump and a lamp behind a warm wire\n");
    for (name, value) in figures {
        writeln!(text, ".param {name}={value:e}").unwrap();
    }
    text + "\
* battery: emf less its slow part s, which a current leaves behind with 20 s
bemf e 0 v={emf}-v(s)
rfast e post {fast}
vbat post plus 0
cs s 0 20 ic=0
bs 0 s i={slow}*i(vbat)-v(s)
* wire in air of 20 degC: kelvin of copper and wall, heated by its current
bwire plus end v=i(vw)*{rw}*(1+0.00393*v(kc))
vw end pump 0
ckc kc 0 {cc} ic=0
bkc 0 kc i={r20}*i(vw)*i(vw)*(1+0.00393*v(kc))-{gw}*(v(kc)-v(kw))
ckw kw 0 {ci} ic=0
bkw 0 kw i={gw}*(v(kc)-v(kw))-{ga}*v(kw)
* motor: winding, brushes, back-EMF; the shaft's speed is the volts of w
vm pump m0 0
lm m0 m1 {l} ic=0
rm m1 m2 {r}
bm m2 0 v={vb}*max(-1,min(1,i(vm)/0.3))+{k}*v(w)
cw w 0 {j} ic=0
bw 0 w i={k}*i(vm)-({torque}*min(1,max(0,v(w)*1e3))+min({torque},max(0,{k}*i(vm)))*(1-min(1,max(0,v(w)*1e3))))-{c2}*v(w)*v(w)
* lamp: 24 W at 12 V, cold at a tenth; heat to warm up 40 ms of its power
vl pump l0 0
bl l0 0 i=2*(v(l0)/12)/v(f)
cf f 0 0.04 ic=0.1
bf 0 f i=(v(l0)/12)*(v(l0)/12)/v(f)-(v(f)>=0.725 ? ((v(f)-0.45)/0.55)*((v(f)-0.45)/0.55)/v(f) : 0.34482758620689655*(v(f)^4-1e-4)/(0.725^4-1e-4))
.options reltol=1e-6 abstol=1e-9 vntol=1e-9 chgtol=1e-18 method=gear
.end
"
}

/// The instances of the fuse, and the names of their decks.
const JAMS: [(Edge, &str); 3] = [
    (Edge::Early, "jammed-early"),
    (Edge::Nominal, "jammed-middle"),
    (Edge::Late, "jammed-late"),
];

/// A jammed pump behind a 5 A blade; its clock's pace by hand at rows fine
/// enough for straight lines between them.
fn jam_deck(edge: Edge) -> String {
    let rows = (0..=300).map(|n| {
        let multiple = 1.0 + 0.01 * f64::from(n);
        (multiple * multiple, blade_pace(edge, multiple))
    });
    let rows: Vec<(f64, f64)> = rows.collect();
    jammed(&circuit(&fused()), blade(edge), &rows)
}

#[test]
fn the_decks_hold_the_figures_of_the_circuits() {
    let jams = JAMS.map(|(edge, name)| (name, jam_deck(edge)));
    for (name, fresh) in [("pump-and-lamp", deck())].into_iter().chain(jams) {
        let path = beside(&format!("{name}.cir"));
        if std::env::var_os("AMPKEEL_WRITE_DECKS").is_some() {
            std::fs::write(&path, &fresh).unwrap();
        }
        let kept = std::fs::read_to_string(&path).unwrap();
        assert_eq!(kept, fresh, "run tests/transients/regenerate.sh");
    }
}

/// A figure the simulator left under a name.
fn stored_at(file: &str, name: &str) -> f64 {
    let stored = std::fs::read_to_string(beside(file)).unwrap();
    let mut lines = stored.lines();
    let line = lines.find(|line| line.split_whitespace().next() == Some(name));
    let line = line.unwrap_or_else(|| panic!("{name} is not stored"));
    line.split_whitespace().nth(1).unwrap().parse().unwrap()
}

#[test]
fn a_fuse_opens_on_a_jammed_pump_when_a_circuit_simulator_says() {
    for (edge, name) in JAMS {
        let file = format!("{name}.txt");
        let scenario = Scenario {
            locked: vec!["pump".into()],
            fuses: Some(edge),
            ..Scenario::new("on", 5.0)
        };
        let run = followed(&fused(), &scenario);
        let opens = run.first(What::Opens, "fuse").unwrap();
        near(opens, stored_at(&file, "opens"), 1e-3);
        near(
            super::peak(&run, "pump", "current_a").1,
            stored_at(&file, "peak"),
            1e-3,
        );
        let rise = at(&run, "pump", "winding_degc", opens) - 20.0;
        near(rise, stored_at(&file, "rise"), 2e-3);
    }
}

#[test]
fn a_pump_and_a_lamp_start_as_a_circuit_simulator_has_them() {
    let stored_at = |name: &str| stored_at("pump-and-lamp.txt", name);
    let scenario = Scenario {
        tolerance: 1e-8,
        ..Scenario::new("on", 0.2)
    };
    let run = followed(TEXT, &scenario);
    for (number, moment_ms) in MOMENTS_MS.into_iter().enumerate() {
        let time_s = moment_ms * 1e-3;
        let pairs = [
            ("pump", "current_a", "ip", 1.0),
            ("pump", "voltage_v", "vp", 1.0),
            ("pump", "speed_rpm", "wp", 60.0 / std::f64::consts::TAU),
            ("lamp", "current_a", "il", 1.0),
        ];
        for (part, quantity, short, factor) in pairs {
            let expected = stored_at(&format!("{short}{number}")) * factor;
            let found = at(&run, part, quantity, time_s);
            assert!(
                (found - expected).abs() <= 1e-3 * expected.abs(),
                "{part} {quantity} at {moment_ms} ms: {found} for {expected}"
            );
        }
    }
    near(
        super::peak(&run, "pump", "current_a").1,
        stored_at("peak"),
        1e-3,
    );
}
