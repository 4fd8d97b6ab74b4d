//! Battery, lamps, capacitors: by hand.

use super::{at, circuit, followed, integral, last, near, peak};
use ampkeel::solving::solve;
use ampkeel::transients::Scenario;

/// One load on a battery of known resistance.
fn load_on_a_battery(load: &str) -> String {
    format!(
        "format = 1\n[ambient]\nbench = \"20 degC\"\n[defaults.part]\nplace = \"bench\"\n\
         [defaults.wire]\nsize = \"4/0 AWG\"\nlength = \"1 mm\"\njoints = \"0 ohm\"\n\
         insulation = \"105 degC\"\n{load}\n\
         [[wire]]\nfrom = \"house.plus\"\nto = \"one.plus\"\n\
         [[wire]]\nfrom = \"one.minus\"\nto = \"house.minus\"\n"
    )
}

#[test]
fn a_capacitor_takes_the_charge_it_holds() {
    let text = load_on_a_battery(
        "[battery.house]\nopen-volts = \"12.5 V\"\nresistance = \"100 mohm\"\n\
         [load.one]\npower = \"12 W\"\ninrush = \"7 A\"",
    );
    let scenario = Scenario {
        tolerance: 1e-9,
        ..Scenario::new("on", 0.1)
    };
    let run = followed(&text, &scenario);
    let values = |quantity| &run.column("one", quantity).unwrap().values;
    let (volts, amps) = (values("voltage_v"), values("current_a"));
    // 12 W over the volts is the electronics' own current: the rest charges 1000 uF
    // to the volts it ends at (the file's 7 A at 12 V, less 1 A: 2 ohm, 2 ms).
    let charge = integral(&run, |n| amps[n] - 12.0 / volts[n]);
    near(charge, 1e-3 * last(&run, "one", "voltage_v"), 1e-4);
    // At the first instant an empty capacitor is 2 ohm beside 12 W at v: 12.5 - v =
    // 0.1 (v / 2 + 12 / v), v = 11.8027 by the quadratic.
    let v: f64 = (12.5 + (12.5_f64.powi(2) - 4.0 * 1.05 * 1.2).sqrt()) / 2.1;
    near(volts[0], v, 1e-6);
    near(peak(&run, "one", "current_a").1, v / 2.0 + 12.0 / v, 1e-6);
}

#[test]
fn a_cold_lamp_takes_ten_times_its_current_and_settles_to_its_steady_one() {
    let text = load_on_a_battery(
        "[battery.house]\nopen-volts = \"12.5 V\"\nresistance = \"1 mohm\"\n\
         [load.one]\nlamp = \"12 W\"\ninrush = \"10 A\"",
    );
    let run = followed(&text, &Scenario::new("on", 5.0));
    // 12 V / 1 A is 12 ohm hot, 1.2 ohm cold.
    near(peak(&run, "one", "current_a").1, 12.5 / 1.201, 1e-4);
    let steady = solve(&circuit(&text)).unwrap();
    let expected = steady.states[0].parts["one"].current_a.unwrap();
    near(last(&run, "one", "current_a"), expected, 1e-5);
    near(at(&run, "one", "current_a", 0.1), expected, 0.1);
}

#[test]
fn a_battery_sags_by_its_slow_resistance_with_twenty_seconds() {
    let text = load_on_a_battery(
        "[battery.house]\ncold-cranking = \"300 A\"\n[load.one]\nresistance = \"1 ohm\"",
    );
    let built = circuit(&text);
    let resolved = ampkeel::devices::resolve(&built).unwrap();
    let ampkeel::devices::Model::Battery(battery) = resolved.part(built.find("house").unwrap())
    else {
        panic!("a battery");
    };
    let emf = battery.open_volts.typical.si();
    let (fast, slow) = (battery.fast.typical.si(), battery.slow.typical.si());
    let run = followed(&text, &Scenario::new("on", 60.0));
    // i = (E - s)/(1 + fast), s' = (slow i - s)/20: exponential with
    // 20 s (1 + fast)/(1 + fast + slow) from E/(1 + fast) to E/(1 + fast + slow).
    let tau = 20.0 * (1.0 + fast) / (1.0 + fast + slow);
    let end = emf / (1.0 + fast + slow);
    let start = emf / (1.0 + fast);
    for time_s in [0.0, 5.0, 20.0, 60.0] {
        let expected = end + (start - end) * (-time_s / tau).exp();
        near(at(&run, "one", "current_a", time_s), expected, 2e-5);
    }
}
