//! The same bits for any number of threads, and histograms that agree with the
//! samples themselves.

use ampkeel::tolerance::{Options, study};

use super::{HALF_KNOWN, circuit};

#[test]
fn any_number_of_threads_gives_the_same_bits() {
    let boat = circuit(HALF_KNOWN);
    let with = |threads, samples| {
        let options = Options {
            samples,
            seed: 5,
            threads,
        };
        study(&boat, options).unwrap()
    };
    // Below and beyond what is kept whole.
    for samples in [1500, 9001] {
        let one = with(1, samples);
        for threads in [2, 3, 7] {
            let other = with(threads, samples);
            assert_eq!(one.ranges, other.ranges, "{threads} threads");
            assert_eq!(one.verdicts, other.verdicts, "{threads} threads");
            assert_eq!(one.next, other.next, "{threads} threads");
        }
    }
}

#[test]
fn another_seed_changes_little_and_the_same_seed_nothing() {
    let boat = circuit(HALF_KNOWN);
    let with = |seed, samples| {
        let options = Options {
            samples,
            seed,
            threads: 2,
        };
        study(&boat, options).unwrap()
    };
    let (one, again, other) = (with(1, 4096), with(1, 4096), with(2, 4096));
    assert_eq!(one.ranges, again.ranges);
    for (one, other) in one.ranges.iter().zip(&other.ranges) {
        let width = one.p95 - one.p5;
        assert!(
            (one.p50 - other.p50).abs() < 0.08 * width + 1e-9,
            "{one:?} {other:?}"
        );
    }
    // Histograms beyond what is kept: percentiles agree within a class or two.
    let many = with(1, 12_000);
    for (one, many) in one.ranges.iter().zip(&many.ranges) {
        let width = one.p95 - one.p5;
        for (a, b) in [(one.p5, many.p5), (one.p50, many.p50), (one.p95, many.p95)] {
            assert!((a - b).abs() < 0.08 * width + 1e-9, "{one:?} {many:?}");
        }
    }
}
