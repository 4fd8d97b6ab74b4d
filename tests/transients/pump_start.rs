//! A pump starting and stalling, against the reference integrator and the
//! references' own figures.

use super::{PUMP_ON_A_BATTERY, followed, last, near, peak};
use ampkeel::transients::{Scenario, What};

#[test]
fn the_usual_fuel_pump_peaks_at_16_9_amperes_and_settles_within_70_ms() {
    let run = followed(PUMP_ON_A_BATTERY, &Scenario::new("on", 0.5));
    let (_, peak_a) = peak(&run, "pump", "current_a");
    near(peak_a, 16.9, 0.02);
    near(last(&run, "pump", "current_a"), 4.92, 0.01);
    near(last(&run, "pump", "speed_rpm"), 5885.0, 0.005);
    let current = run.column("pump", "current_a").unwrap();
    let settled = 1.1 * last(&run, "pump", "current_a");
    let last_above = current.values.iter().rposition(|&a| a > settled).unwrap();
    near(run.times_s[last_above], 0.070, 0.05);
    assert!(run.first(What::Turns, "pump").is_some());
    eprintln!("{} steps {} refused {:?} {:?}", run.steps, run.refused, run.events, run.times_s[last_above]);
    eprintln!("{peak_a}");
}
