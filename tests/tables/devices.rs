//! Device classes: published rows, interpolation between them, refusals.

use super::near;
use ampkeel::quantities::{Amps, Celsius, RadiansPerSecond, Volts};
use ampkeel::sources::Standing;
use ampkeel::tables::contacts::{ContactKind, contact, corroded, faulty};
use ampkeel::tables::devices::{
    ClassKind, LoadLaw, MotorParameters, PumpClass, brush_drop, charger_defaults, charging_output,
    class_names, class_patterns, contact_current_at, flux_coefficient, load_class, motor_class,
    pump_class, pump_range, relay_class, solenoid_class,
};
use ampkeel::tables::table;

fn motor_pump(name: &str) -> MotorParameters {
    match pump_class(name).expect("class").value {
        PumpClass::Motor(parameters) => parameters,
        PumpClass::Solenoid(_) => panic!("{name} has no motor"),
    }
}

/// Steady current and speed (rpm): i = (V - Vb - k w)/(R + Rs), k i = load(w),
/// by bisection.
fn steady(motor: &MotorParameters, volts: f64, dp_pa: f64, leads: f64) -> (f64, f64) {
    let emf = volts - motor.v_brush.si();
    let (k, r) = (motor.k.typical, motor.r.typical.si() + leads);
    let torque = |w: f64| {
        motor.tc.typical
            + motor.c2.typical * w * w
            + motor.ap_per_pa.typical * dp_pa
            + motor.load_torque.typical
    };
    let (mut low, mut high) = (0.0, emf / k);
    for _ in 0..200 {
        let w = f64::midpoint(low, high);
        if k * (emf - k * w) / r > torque(w) {
            low = w;
        } else {
            high = w;
        }
    }
    ((emf - k * low) / r, low * 60.0 / std::f64::consts::TAU)
}

#[test]
fn every_name_of_the_lists_is_a_class() {
    for name in class_names(ClassKind::Pump) {
        assert!(pump_class(name).is_ok(), "{name}");
    }
    for name in class_names(ClassKind::Motor) {
        assert!(motor_class(name).is_ok(), "{name}");
    }
    for name in class_names(ClassKind::Relay) {
        assert!(relay_class(name).is_ok(), "{name}");
    }
    for name in class_names(ClassKind::Solenoid) {
        assert!(solenoid_class(name).is_ok(), "{name}");
    }
    for name in class_names(ClassKind::Load) {
        assert!(load_class(name).is_ok(), "{name}");
    }
}

#[test]
fn patterns_and_names_list_the_same_fixed_classes() {
    for kind in [ClassKind::Relay, ClassKind::Solenoid, ClassKind::Load] {
        assert_eq!(class_names(kind).len(), class_patterns(kind).len());
        for name in class_names(kind) {
            assert!(class_patterns(kind).contains(&name), "{name}");
        }
    }
}

#[test]
fn unknown_classes_are_refused_with_the_list() {
    for refusal in [
        pump_class("bilge pump").expect_err("no number").to_string(),
        pump_class("perpetual pump")
            .expect_err("no class")
            .to_string(),
        motor_class("steam").expect_err("no class").to_string(),
        relay_class("reed").expect_err("no class").to_string(),
        load_class("kettle").expect_err("no class").to_string(),
        solenoid_class("magnet").expect_err("no class").to_string(),
    ] {
        assert!(refusal.contains("known: "), "{refusal}");
    }
    let refusal = pump_class("bilge pump 100 gal/h")
        .expect_err("too small")
        .to_string();
    assert!(refusal.contains("360 to 3700 gal/h"), "{refusal}");
    let refusal = pump_class("bilge pump lots")
        .expect_err("no figure")
        .to_string();
    assert!(refusal.contains("bilge pump 1100 gal/h"), "{refusal}");
    let refusal = motor_class("starter 300 hp")
        .expect_err("too large")
        .to_string();
    assert!(refusal.contains("2 to 150 hp"), "{refusal}");
    assert!(motor_class("starter inf hp").is_err());
}

/// The reference's map of its default fuel pump, steady state without leads.
#[test]
fn fuel_pump_parameters_give_the_reference_map() {
    let motor = motor_pump("high-pressure fuel pump");
    let map = table("fuel-pump-map").expect("there");
    for row in 0..map.rows.len() {
        let kpa = map.number(row, "pressure_kpa").expect("pressure");
        for (volts, amps, rpm) in [
            (10.0, "at_10_v_a", "at_10_v_rpm"),
            (12.0, "at_12_v_a", "at_12_v_rpm"),
            (13.5, "at_13_5_v_a", "at_13_5_v_rpm"),
        ] {
            let (current, speed) = steady(&motor, volts, kpa * 1000.0, 0.0);
            near(current, map.number(row, amps).expect("amps"), 0.005);
            near(speed, map.number(row, rpm).expect("speed"), 0.005);
        }
    }
}

/// Results the reference states for each fitted set, through 0.1 ohm of leads.
#[test]
fn pump_sets_give_their_stated_working_points() {
    for name in [
        "rotary lift pump",
        "bilge pump 500 gal/h",
        "bilge pump 1100 gal/h",
        "bilge pump 2000 gal/h",
    ] {
        let motor = motor_pump(name);
        let leads = motor.leads_ref.si();
        let (current, speed) = steady(&motor, motor.v_ref.si(), motor.dp_ref.si(), leads);
        near(current, motor.current_ref.si(), 0.01);
        let stated = motor.speed_ref.expect("stated").si() * 60.0 / std::f64::consts::TAU;
        near(speed, stated, 0.005);
        let locked = (motor.v_ref.si() - motor.v_brush.si()) / (motor.r.typical.si() + leads);
        near(locked, motor.locked_ref.si(), 0.02);
    }
}

#[test]
fn trim_lifts_at_14_amperes() {
    let trim = motor_class("trim").expect("class").value;
    let (current, speed) = steady(&trim, 12.0, 0.0, 0.05);
    near(current, 14.0, 0.01);
    // The reference prints about 3600 rpm.
    near(speed, 3600.0, 0.05);
}

#[test]
fn bilge_pumps_between_classes_are_derived_and_ordered() {
    let published = pump_class("bilge pump 1100 gal/h").expect("class");
    let between = pump_class("bilge pump 800 gal/h").expect("class");
    assert_eq!(between.source.standing, Standing::Derived);
    assert!(between.source.place.contains("rescaled"));
    assert!(published.source.place.starts_with("derived here"));
    let mut last = (0.0, 0.0);
    for flow in [360, 500, 700, 800, 1000, 1100, 1500, 2000, 3000, 3700] {
        let motor = motor_pump(&format!("bilge pump {flow} gal/h"));
        let (current, speed) = steady(&motor, 13.6, 0.0, motor.leads_ref.si());
        near(current, motor.current_ref.si(), 0.01);
        assert!((5500.0..6700.0).contains(&speed), "{flow}: {speed}");
        let now = (current, motor.locked_ref.si());
        assert!(now.0 > last.0 && now.1 > last.1, "{flow}: {now:?}");
        assert!(motor.r.low.si() < motor.r.typical.si() && motor.r.low.si() > 0.0);
        last = now;
    }
    // Class rows: 800 gal/h takes 2.9 A and 11 A locked.
    let motor = motor_pump("bilge pump 800 gal/h");
    near(motor.current_ref.si(), 2.9, 1e-9);
    near(motor.locked_ref.si(), 11.0, 1e-9);
    near(motor.maker_fuse.expect("usual").si(), 5.0, 1e-9);
}

#[test]
fn livewell_pumps_are_as_bilge_pumps() {
    assert_eq!(
        motor_pump("livewell pump 1100 gal/h"),
        motor_pump("bilge pump 1100 gal/h")
    );
}

#[test]
fn blower_and_washdown_are_judged_and_consistent() {
    for (found, amps) in [
        (motor_class("blower").expect("class"), 4.0),
        (
            pump_class("washdown pump")
                .expect("class")
                .map(|pump| match pump {
                    PumpClass::Motor(motor) => motor,
                    PumpClass::Solenoid(_) => panic!("a motor"),
                }),
            6.0,
        ),
    ] {
        assert_eq!(found.source.standing, Standing::Judgement);
        let motor = found.value;
        let (current, speed) = steady(&motor, 13.6, motor.dp_ref.si(), 0.0);
        near(current, amps, 0.02);
        near(speed, 3000.0, 0.02);
    }
}

/// Watercraft starter draw: stalled 390 A at 2.25 V, so 5.77 mohm at 120 A of
/// cranking; classes by power 60, 90, 130 and 170 A.
#[test]
fn starters_follow_the_published_stall_and_the_classes() {
    for (hp, amps) in [
        (8.0, 60.0),
        (15.0, 60.0),
        (25.0, 90.0),
        (40.0, 130.0),
        (60.0, 130.0),
        (150.0, 170.0),
    ] {
        let starter = motor_class(&format!("starter {hp} hp"))
            .expect("class")
            .value;
        near(starter.current_ref.si(), amps, 1e-9);
        near(starter.r.typical.si(), 2.25 / 390.0 * 120.0 / amps, 0.001);
        let (current, _) = steady(&starter, 9.5, 0.0, 0.0);
        near(current, amps, 0.001);
        // Unloaded on the tested source it turns at 10500 rpm.
        let idle = MotorParameters {
            load_torque: ampkeel::quantities::Band {
                low: 0.0,
                typical: 0.0,
                high: 0.0,
            },
            ..starter.clone()
        };
        let (current, speed) = steady(&idle, 11.28, 0.0, 0.0);
        near(current, 30.0 * amps / 130.0, 0.001);
        near(speed, 10_500.0, 0.001);
    }
    let between = motor_class("starter 35 hp")
        .expect("class")
        .value
        .current_ref
        .si();
    assert!((90.0..130.0).contains(&between), "{between}");
    // Locked behind 12.04 V and 25.2 mohm a 120 A starter takes 390 A.
    near(12.04 / (0.0252 + 2.25 / 390.0), 390.0, 0.01);
}

#[test]
fn pump_ranges_are_those_of_the_reference() {
    let healthy = pump_range("high-pressure fuel pump", "healthy")
        .expect("row")
        .value;
    near(healthy.low.si(), 3.0, 1e-12);
    near(healthy.typical.si(), 5.0, 1e-12);
    near(healthy.high.si(), 8.0, 1e-12);
    let stuck = pump_range("solenoid lift pump", "stuck on")
        .expect("row")
        .value;
    near(stuck.typical.si(), 2.2, 1e-12);
    assert!(pump_range("solenoid lift pump", "dry").is_err());
}

#[test]
fn solenoid_lift_pump_is_on_for_about_half_the_time() {
    let PumpClass::Solenoid(pump) = pump_class("solenoid lift pump").expect("class").value else {
        panic!("a coil");
    };
    near(pump.coil.typical.si(), 6.0, 1e-12);
    near(pump.duty.typical.si(), 0.45, 1e-9);
    near(12.0 / pump.coil.typical.si(), pump.peak.typical.si(), 1e-9);
}

#[test]
fn relay_classes_follow_the_data_sheets() {
    let relay = relay_class("plug-in").expect("class").value;
    near(relay.coil.typical.si(), 85.0, 1e-12);
    near(relay.pull_in.high.si(), 8.0, 1e-12);
    near(relay.drop_out.low.si(), 1.2, 1e-12);
    near(relay.contact.typical.si(), 0.005, 1e-12);
    near(relay.continuous.si(), 40.0, 1e-12);
    let micro = relay_class("micro plug-in").expect("class").value;
    near(micro.continuous.si(), 25.0, 1e-12);
    // Shift solenoid at 10 V: hold 10 to 20 A, both windings 60 to 85 A.
    let shift = relay_class("shift-solenoid").expect("class").value;
    let winding = shift.pull_in_winding.expect("two windings");
    near(10.0 / shift.coil.low.si(), 20.0, 1e-9);
    near(10.0 / shift.coil.high.si(), 10.0, 1e-9);
    near(
        10.0 / winding.typical.si() + 10.0 / shift.coil.typical.si(),
        72.5,
        0.005,
    );
    assert!(relay.pull_in_winding.is_none());
    // Stud relay 5 to 6 ohm: 2.0 to 2.5 A at 12.6 V.
    let stud = relay_class("starter-solenoid").expect("class").value;
    assert!((2.0..=2.6).contains(&(12.6 / stud.coil.typical.si())));
}

/// 80 ohm beside 680 ohm measures 71.6 (a data sheet).
#[test]
fn suppressed_relay_coil_measures_less() {
    let data = table("relay-data").expect("there");
    let row = data.find("relay", "plug-in micro 30 A").expect("row");
    let coil = data.number(row, "coil_ohm").expect("coil");
    near(1.0 / (1.0 / coil + 1.0 / 680.0), 71.6, 1e-3);
}

/// V(T) = V20 (234.5 + T)/254.5, from three application notes.
#[test]
fn relay_pull_in_grows_with_coil_temperature() {
    let rows = table("relay-temperature").expect("there");
    for row in 0..rows.rows.len() {
        let degc = rows.number(row, "coil_degc").expect("temperature");
        let factor = (234.5 + degc) / 254.5;
        assert!((factor - rows.number(row, "factor").expect("factor")).abs() < 6e-4);
        let eight = rows.number(row, "eight_volt_relay_v").expect("volts");
        assert!((8.0 * factor - eight).abs() < 0.006);
    }
}

#[test]
fn relay_contacts_carry_less_when_hot() {
    let at = |degc| {
        contact_current_at(Amps::new(30.0), Celsius::new(degc))
            .expect("listed")
            .value
            .si()
    };
    near(at(23.0), 30.0, 1e-12);
    near(at(0.0), 30.0, 1e-12);
    near(at(85.0), 20.0, 1e-12);
    near(at(105.0), 15.0, 1e-12);
    assert!(contact_current_at(Amps::new(30.0), Celsius::new(120.0)).is_err());
}

#[test]
fn loads_say_their_law_and_range() {
    let module = load_class("engine control unit").expect("class").value;
    assert_eq!(module.law, LoadLaw::Power);
    near(module.current.typical.si(), 0.8, 1e-12);
    near(module.power().high.si(), 24.0, 1e-9);
    assert!(module.cut_off.is_some());
    let nothing = load_class("capacitor-discharge ignition")
        .expect("class")
        .value;
    assert_eq!(nothing.law, LoadLaw::None);
    near(nothing.current.high.si(), 0.0, 0.0);
    assert!(nothing.resistance().is_none());
    let lamp = load_class("navigation light").expect("class");
    assert_eq!(lamp.value.law, LoadLaw::Lamp);
    assert_eq!(lamp.source.standing, Standing::Judgement);
    assert!(lamp.value.inrush.is_some());
    for name in class_names(ClassKind::Load) {
        let load = load_class(name).expect("class").value;
        assert!(load.current.low.si() <= load.current.typical.si(), "{name}");
        assert!(
            load.current.typical.si() <= load.current.high.si(),
            "{name}"
        );
        near(load.at.si(), 12.0, 1e-12);
    }
}

#[test]
fn solenoids_are_those_of_the_engine_loads() {
    let injector = solenoid_class("injector").expect("class").value;
    near(injector.coil.typical.si(), 13.8, 1e-12);
    assert!(injector.hold.is_none() && injector.peak.is_none());
    let fast = solenoid_class("low-impedance injector")
        .expect("class")
        .value;
    near(fast.peak.expect("driver").si(), 4.0, 1e-12);
    near(fast.hold.expect("driver").low.si(), 0.75, 1e-12);
}

#[test]
fn charging_systems_give_the_published_currents() {
    let at = |rating: f64, rpm: f64| {
        charging_output(
            Amps::new(rating),
            RadiansPerSecond::new(rpm * std::f64::consts::TAU / 60.0),
        )
    };
    for (rating, rpm, amps) in [
        (16.0, 1000.0, 10.0),
        (16.0, 2000.0, 17.0),
        (16.0, 6000.0, 18.0),
        (25.0, 5000.0, 25.0),
    ] {
        near(at(rating, rpm).expect("listed").value.si(), amps, 1e-9);
    }
    assert!(at(16.0, 200.0).is_err());
    let usual = charger_defaults().expect("tables").value;
    near(usual.set_point.low.si(), 14.1, 1e-12);
    near(usual.set_point.high.si(), 14.6, 1e-12);
    near(usual.regulator_limit.si(), 14.5, 1e-12);
    near(usual.unregulated.si(), 16.5, 1e-12);
}

#[test]
fn brushes_and_magnets_have_their_figures() {
    near(
        brush_drop(true).expect("row").value.typical.si(),
        0.8,
        1e-12,
    );
    near(
        brush_drop(false).expect("row").value.typical.si(),
        0.5,
        1e-12,
    );
    near(flux_coefficient().expect("row").value, -0.002, 1e-12);
}

#[test]
fn contacts_have_a_sound_range_and_a_faulty_figure() {
    for kind in ContactKind::ALL {
        let sound = contact(kind).expect("row").value;
        assert!(
            sound.low.si() > 0.0 && sound.low < sound.typical,
            "{kind:?}"
        );
        assert!(sound.typical < sound.high, "{kind:?}");
        assert!(faulty(kind).expect("row").value > sound.high, "{kind:?}");
    }
    near(
        contact(ContactKind::RelayContact)
            .expect("row")
            .value
            .high
            .si(),
        0.020,
        1e-12,
    );
    // 0.1 to 0.2 V while cranking at about 150 A.
    let solenoid = contact(ContactKind::StarterSolenoid).expect("row").value;
    near(solenoid.low.si() * 150.0, 0.1, 0.01);
    near(solenoid.high.si() * 150.0, 0.2, 0.01);
    near(corroded().expect("row").value.high.si(), 5.0, 1e-12);
}

/// A textbook starter: 12 V behind 10 mohm, 50 mohm load; with 90 mohm of
/// corrosion 200 A falls to 80 A.
#[test]
fn corroded_starter_cable_takes_the_textbook_current() {
    let contacts = table("contact-resistance").expect("there");
    let row = contacts
        .find("contact", "corroded starter cable end")
        .expect("row");
    let mohm = contacts.number(row, "typical_mohm").expect("figure");
    near(
        Volts::new(12.0).si() / (0.010 + 0.050 + mohm / 1000.0),
        80.0,
        1e-9,
    );
}
