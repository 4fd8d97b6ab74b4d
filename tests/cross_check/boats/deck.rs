//! A state's branches as a deck for a general circuit simulator.
//!
//! Only names and figures are written here; the laws stand in `laws.lib`.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;

use ampkeel::network::Parameters;
use ampkeel::solving::{Solution, StateBranch, StateBranches};

/// All states of a circuit, each from a line `* state NAME` on.
pub(super) fn deck(circuit: &str, states: &[StateBranches], solution: &Solution) -> String {
    let mut text = format!("* circuit {circuit}\n");
    for (state, solved) in states.iter().zip(&solution.states) {
        writeln!(text, "* state {}", state.name).unwrap();
        let fed = Fed::of(&state.branches);
        for (number, branch) in state.branches.iter().enumerate() {
            if is_there(branch) && fed.nodes.contains(branch.from.as_str()) {
                writeln!(text, "{}", line(number, branch)).unwrap();
            }
        }
        for (number, zero) in fed.zeros.iter().enumerate() {
            writeln!(text, "vzero{number} {} 0 0", node(zero)).unwrap();
        }
        // Where the simulator starts: from 0 V it runs in circles between a
        // regulator and its battery. It lets go of these volts afterwards.
        for label in starts(&state.branches) {
            if let Some(volts) = solved.terminals_v[label] {
                writeln!(text, ".nodeset v({})={volts:.1}", node(label)).unwrap();
            }
        }
    }
    text
}

/// Whether a branch joins its ends: open contacts and chargers that give
/// nothing are left out.
pub(super) fn is_there(branch: &StateBranch) -> bool {
    let carries = match branch.parameters {
        Parameters::Conductor(law) => law.conductance_s > 0.0,
        Parameters::Charger(law) => law.i_max_a > 0.0,
        _ => true,
    };
    branch.scale > 0.0 && carries
}

/// Terminals of motors and chargers.
fn starts(branches: &[StateBranch]) -> BTreeSet<&str> {
    let needs = |branch: &&StateBranch| {
        matches!(
            branch.parameters,
            Parameters::Motor(_) | Parameters::Charger(_)
        )
    };
    let needing = branches
        .iter()
        .filter(needs)
        .filter(|branch| is_there(branch));
    needing
        .flat_map(|branch| [branch.from.as_str(), branch.to.as_str()])
        .collect()
}

/// What hangs on a supply in a state.
struct Fed<'a> {
    nodes: BTreeSet<&'a str>,
    /// One node of each connected piece: the minus of its first battery, or of
    /// its first charger where it has no battery.
    zeros: Vec<&'a str>,
}

impl<'a> Fed<'a> {
    /// Floods from the minus of each supply.
    fn of(branches: &'a [StateBranch]) -> Self {
        let mut beside: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
        for branch in branches.iter().filter(|branch| is_there(branch)) {
            beside.entry(&branch.from).or_default().push(&branch.to);
            beside.entry(&branch.to).or_default().push(&branch.from);
        }
        let is_battery = |branch: &&StateBranch| matches!(branch.parameters, Parameters::Supply(_));
        let is_charger =
            |branch: &&StateBranch| matches!(branch.parameters, Parameters::Charger(_));
        let supplies = branches.iter().filter(is_battery);
        let supplies = supplies.chain(branches.iter().filter(is_charger));
        let mut fed = Self {
            nodes: BTreeSet::new(),
            zeros: Vec::new(),
        };
        for supply in supplies.filter(|branch| is_there(branch)) {
            if !fed.nodes.contains(supply.to.as_str()) {
                fed.zeros.push(&supply.to);
                let mut waiting = vec![supply.to.as_str()];
                while let Some(node) = waiting.pop() {
                    if fed.nodes.insert(node) {
                        waiting.extend(&beside[node]);
                    }
                }
            }
        }
        fed
    }
}

/// A terminal's label as a node's name: labels hold no `_`.
fn node(label: &str) -> String {
    label.replace('-', "_").replace('.', "__")
}

fn line(number: usize, branch: &StateBranch) -> String {
    let (law, mut figures) = law(&branch.parameters);
    let takes_scale = !matches!(
        law,
        "heated_conductor" | "heated_link" | "supply" | "charger"
    );
    if takes_scale {
        figures.push(("scale", branch.scale));
    } else {
        assert!(
            (branch.scale - 1.0).abs() < 1e-15,
            "{law} with a share of its current has no law in laws.lib"
        );
    }
    let mut line = format!(
        "x{number} {} {} {law}",
        node(&branch.from),
        node(&branch.to)
    );
    for (name, figure) in figures {
        write!(line, " {name}={figure:.11e}").unwrap();
    }
    line
}

/// Name and figures of a law in `laws.lib`.
fn law(parameters: &Parameters) -> (&'static str, Vec<(&'static str, f64)>) {
    match parameters {
        Parameters::Conductor(x) => ("conductor", vec![("g", x.conductance_s)]),
        Parameters::HeatedConductor(x) => (
            "heated_conductor",
            vec![
                ("rj", x.r_joint_ohm),
                ("ra", x.r_ambient_ohm),
                ("kappa", x.kappa_per_a2),
                ("extra", x.extra_a2),
            ],
        ),
        Parameters::HeatedLink(x) => (
            "heated_link",
            vec![
                ("rc", x.r_contacts_ohm),
                ("r0", x.r_cold_ohm),
                ("beta", x.beta_per_a2),
                ("extra", x.extra_a2),
                ("cap", x.rise_cap),
            ],
        ),
        Parameters::Supply(x) => (
            "supply",
            vec![
                ("emf", x.emf_v),
                ("r", x.r_ohm),
                ("rcharge", x.r_charge_ohm),
            ],
        ),
        Parameters::Charger(x) => (
            "charger",
            vec![
                ("most", x.i_max_a),
                ("vset", x.v_set_v),
                ("r", x.r_regulator_ohm),
            ],
        ),
        Parameters::Motor(x) if x.torque_forward_nm.is_infinite() => (
            "locked_motor",
            vec![("r", x.r_ohm), ("vb", x.v_brush_v), ("ib", x.i_brush_a)],
        ),
        Parameters::Motor(x) => (
            "motor",
            vec![
                ("r", x.r_ohm),
                ("vb", x.v_brush_v),
                ("ib", x.i_brush_a),
                ("k", x.k_v_s),
                ("tfor", x.torque_forward_nm),
                ("trev", x.torque_reverse_nm),
                ("b", x.b_nm_s),
                ("c", x.c2_nm_s2),
            ],
        ),
        Parameters::Lamp(x) => (
            "lamp",
            vec![("vnom", x.v_nominal_v), ("inom", x.i_nominal_a)],
        ),
        Parameters::ConstantPower(x) => (
            "constant_power",
            vec![("watts", x.p_w), ("vcut", x.v_cut_v)],
        ),
        Parameters::ConstantCurrent(x) => (
            "constant_current",
            vec![("amps", x.i_a), ("vcut", x.v_cut_v)],
        ),
        Parameters::Diode(x) => ("diode", vec![("vd", x.v_drop_v), ("ron", x.r_on_ohm)]),
    }
}
