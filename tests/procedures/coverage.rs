//! The stated share of sound parts does read inside the range.
//!
//! Parts, rigs and meter errors are drawn here anew, by another generator and
//! another solution of the loop.

use super::lehmer::Lehmer;
use super::loop_by_hand::typical_loop;
use super::{motor, reading, rigged};
use ampkeel::bench::{Options, procedure};

const SPECIMENS: usize = 4000;

#[test]
fn nine_in_ten_sound_pumps_read_inside() {
    let (subject, rig) = rigged("high-pressure fuel pump", &Options::default());
    let found = procedure(&subject, &rig, 7).expect("procedure");
    let current = reading(&found, "current");
    let volts = reading(&found, "volts at the pump");
    let class = &motor(&subject).parameters;
    let mut draw = Lehmer(20_011);
    let (mut current_in, mut volts_in) = (0, 0);
    for _ in 0..SPECIMENS {
        let mut one = typical_loop(&rig, class);
        one.emf_v = draw.within(&rig.open_volts);
        one.path_ohm = draw.within(&rig.battery)
            + draw.within(&rig.leads)
            + draw.within(&rig.fuse.clips)
            + draw.within(&rig.burden);
        one.fuse_cold_ohm = draw.within(&rig.fuse.cold);
        one.winding_ohm = draw.within(&class.r);
        one.k = draw.of(class.k.low, class.k.typical, class.k.high);
        one.torque_nm = draw.of(class.tc.low, class.tc.typical, class.tc.high);
        one.drag = draw.of(class.c2.low, class.c2.typical, class.c2.high);
        let (true_a, true_v) = one.solve();
        // A clamp of 2.5 % and 0.1 A, volts of 0.8 % and 0.02 V (meter-accuracy).
        let read_a = true_a + (2.0 * draw.share() - 1.0) * (0.025 * true_a + 0.1);
        let read_v = true_v + (2.0 * draw.share() - 1.0) * (0.008 * true_v + 0.02);
        current_in += usize::from((current.low..=current.high).contains(&Some(read_a)));
        volts_in += usize::from((volts.low..=volts.high).contains(&Some(read_v)));
    }
    // Three standard deviations of 4000 draws at 0.9, and of the 4096 behind the ends.
    let slack = 3.0 * (2.0 * 0.9 * 0.1 / SPECIMENS as f64).sqrt();
    for share in [current_in, volts_in].map(|count| count as f64 / SPECIMENS as f64) {
        assert!((share - 0.9).abs() <= slack, "{share}");
    }
}

#[test]
fn the_same_seed_gives_the_same_readings_and_another_hardly_others() {
    let (subject, rig) = rigged("rotary lift pump", &Options::default());
    let with = |seed| procedure(&subject, &rig, seed).expect("procedure");
    let (one, again, other) = (with(1), with(1), with(2));
    assert_eq!(one, again);
    let high = |found| reading(found, "current").high.expect("computed");
    assert_ne!(high(&one), high(&other));
    assert!((high(&one) - high(&other)).abs() < 0.03 * high(&one));
}
