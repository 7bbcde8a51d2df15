//! The interval and the calibration error by which the ear is measured.

use soundbead_data::share::{self, Share};
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
        // What the program tells of shares is the same interval.
        let told = share::wilson(hits as u64, n as u64);
        assert!((told.0 - l).abs() < 1e-9 && (told.1 - h).abs() < 1e-9, "{told:?}");
    }
}

/// At the ends the interval touches 0 and 1 and stays within them; of nothing, anything is possible and no share is told.
#[test]
fn a_share_of_none_of_all_and_of_nothing() {
    for n in [1, 7, 20, 1_000_000] {
        assert_eq!(share::wilson(0, n).0, 0.0);
        assert_eq!(share::wilson(n, n).1, 1.0);
        // The same from the other side.
        assert!(
            (share::wilson(0, n).1 + share::wilson(n, n).0 - 1.0).abs() < 1e-9,
            "{n}"
        );
        assert!(share::wilson(0, n).1 > 0.0 && share::wilson(n, n).0 < 1.0, "{n}");
    }
    assert_eq!(share::wilson(0, 0), (0.0, 1.0));
    assert_eq!(Share { hits: 3, of: 4 }.value(), Some(0.75));
    assert_eq!(Share { hits: 0, of: 4 }.value(), Some(0.0));
    assert_eq!(Share::default().value(), None);
    assert_eq!(Share { hits: 81, of: 263 }.interval(), share::wilson(81, 263));
    let told = serde_json::to_value(Share { hits: 81, of: 263 }).unwrap();
    assert_eq!(
        told,
        serde_json::json!({"hits": 81, "of": 263, "low": 0.2553, "high": 0.3662})
    );
}

#[test]
fn being_as_sure_as_right_costs_nothing() {
    let honest: Vec<(f32, bool)> = (0..100).map(|i| (0.75, i % 4 != 0)).collect();
    assert!(calibration_error(&honest) < 1e-6);
    let boastful: Vec<(f32, bool)> = (0..100).map(|i| (0.95, i % 4 != 0)).collect();
    assert!((calibration_error(&boastful) - 0.2).abs() < 1e-6);
}
