//! A jammed pump behind a fuse, all in one loop, as a deck for a general circuit
//! simulator: the laws as the documentation of `heating` and of
//! `transients::elements` writes them. Shared by a test and a benchmark.

use ampkeel::circuit::{Circuit, Condition};
use ampkeel::devices::{Model, WireModel, resolve};
use ampkeel::quantities::WireSize;
use ampkeel::tables::conductors::{insulation_wall, strand_diameter};
use std::f64::consts::{FRAC_PI_4, TAU};
use std::fmt::Write;

/// Heat of copper and wall, J/(K m), and the losses from one to the other and
/// to the air, W/(K m): the short-time formula for the copper, PVC around it
/// (1.4 g/cm3, 1.2 J/(g K), 5 K m/W), and a loss that gives back the ampacity.
pub(super) fn wire_heat(size: WireSize, wire: &WireModel) -> [f64; 4] {
    let r20 = wire.per_metre_ohm.value;
    let inside = strand_diameter(size).expect("table").value.si();
    let outside = inside + 2.0 * insulation_wall(size).expect("table").value.si();
    let area = FRAC_PI_4 * (outside * outside - inside * inside);
    let whole = 0.00393 * r20 / wire.kappa_per_a2;
    let inner = (2.0 * TAU / (5.0 * (outside / inside).ln())).max(2.0 * whole);
    [
        0.00393 * r20 * (226.0 * wire.area_mm2).powi(2),
        1.4e6 * 1.2 * area,
        inner,
        1.0 / (1.0 / whole - 1.0 / inner),
    ]
}

/// The deck of a circuit whose battery, wires, fuse and locked pump lie in one
/// loop. `network` and `pace` are the fuse's, the clock's pace by rows of the
/// square of the multiple.
pub(super) fn jammed(circuit: &Circuit, network: &[(f64, f64)], pace: &[(f64, f64)]) -> String {
    let resolved = resolve(circuit).expect("tables");
    let part = |name: &str| resolved.part(circuit.find(name).expect("a part"));
    let (Model::Battery(battery), Model::Links(links), Model::Motor(pump)) =
        (part("house"), part("fuse"), part("pump"))
    else {
        panic!("a battery, a fuse and a motor");
    };
    let law = pump.law(Condition::Healthy);
    let link = &links[0];
    let rating = link.rating.si() * link.ambient_factor;
    let settled: f64 = network.iter().map(|(a, _)| a).sum();
    let degc = pump.winding.si();
    let figures = [
        ("emf", battery.open_volts.typical.si()),
        ("fast", battery.fast.typical.si()),
        ("clips", link.clips.typical.si()),
        ("cold", link.cold.typical.si()),
        ("gain", link.rise_per_a2 * rating * rating / settled),
        ("cap", link.rise_cap),
        ("per", 1.0 / (rating * rating)),
        ("l", pump.parameters.l.typical),
        ("r", law.r_ohm),
        ("vb", law.v_brush_v),
        ("warm", 234.5 + degc),
        // 0.34 g by the watt of 12 V and 4.92 A, 393 J/(kg K).
        ("heat", 0.34e-3 * 12.0 * 4.92 * 393.0),
    ];
    let mut text = String::from("* a jammed pump behind a fuse\n");
    for (name, value) in figures {
        writeln!(text, ".param {name}={value:e}").expect("written");
    }
    text += "bemf e 0 v={emf}\nrfast e n0 {fast}\nvloop n0 n1 0\n";
    text += "bfuse n1 w0 v=i(vloop)*({clips}+{cold}*(1+min({gain}*v(u),{cap})))\n";
    let rows: Vec<String> = pace.iter().map(|(q, s)| format!("{q:e},{s:e}")).collect();
    writeln!(
        text,
        "bpace pace 0 v=pwl({{per}}*i(vloop)*i(vloop),{})",
        rows.join(",")
    )
    .expect("written");
    let mut sum = Vec::new();
    for (n, (a, tau)) in network.iter().enumerate() {
        writeln!(
            text,
            "cu{n} u{n} 0 1 ic=0\nbu{n} 0 u{n} i=v(pace)*({a:e}*{{per}}*i(vloop)*i(vloop)-v(u{n}))/{tau:e}"
        )
        .expect("written");
        sum.push(format!("v(u{n})"));
    }
    writeln!(text, "bu u 0 v={}", sum.join("+")).expect("written");
    let mut at = 0;
    for (wire, model) in circuit.wires.iter().zip(&resolved.wires) {
        let [cc, ci, gw, ga] = wire_heat(wire.size.value, model);
        let r20 = model.per_metre_ohm.value;
        let warm = 1.0 + 0.00393 * (model.ambient.si() - 20.0);
        let (joints, cold) = (model.joints.typical.si(), model.copper_ohm());
        let rise = 0.00393 / warm;
        writeln!(
            text,
            "bw{at} w{at} w{next} v=i(vloop)*({joints:e}+{cold:e}*(1+{rise:e}*v(c{at})))\n\
             cc{at} c{at} 0 {cc:e} ic=0\n\
             bc{at} 0 c{at} i=i(vloop)*i(vloop)*{heat:e}*(1+{rise:e}*v(c{at}))-{gw:e}*(v(c{at})-v(k{at}))\n\
             ck{at} k{at} 0 {ci:e} ic=0\n\
             bk{at} 0 k{at} i={gw:e}*(v(c{at})-v(k{at}))-{ga:e}*v(k{at})",
            next = at + 1,
            heat = r20 * warm,
        )
        .expect("written");
        at += 1;
    }
    writeln!(
        text,
        "lm w{at} m1 {{l}} ic=0\n\
         bm m1 0 v=i(vloop)*{{r}}*(1+v(rise)/{{warm}})+{{vb}}*max(-1,min(1,i(vloop)/0.3))\n\
         crise rise 0 {{heat}} ic=0\n\
         brise 0 rise i=i(vloop)*i(vloop)*{{r}}*(1+v(rise)/{{warm}})-{{heat}}*v(rise)/60\n\
         .options reltol=1e-6 abstol=1e-9 vntol=1e-9 chgtol=1e-18\n.end"
    )
    .expect("written");
    text
}
