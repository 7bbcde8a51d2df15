//! The interval and the calibration error by which the ear is measured.

use soundbead_tests::measure::figure::{calibration_error, wilson};

/// Newcombe (1998), Statistics in Medicine 17, 857-872, table I, method 3 (Wilson's score, no continuity correction).
/// Values from memory of that table.
#[test]
fn wilson_as_in_newcombe() {
    for (hits, n, low, high) in [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ] {
        let (l, h) = wilson(hits, n);
        assert!(
            (l - low).abs() < 1e-4 && (h - high).abs() < 1e-4,
            "{hits} of {n}: {l} {h}"
        );
    }
}

#[test]
fn being_as_sure_as_right_costs_nothing() {
    let honest: Vec<(f32, bool)> = (0..100).map(|i| (0.75, i % 4 != 0)).collect();
    assert!(calibration_error(&honest) < 1e-6);
    let boastful: Vec<(f32, bool)> = (0..100).map(|i| (0.95, i % 4 != 0)).collect();
    assert!((calibration_error(&boastful) - 0.2).abs() < 1e-6);
}
