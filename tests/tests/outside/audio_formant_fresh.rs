//! Formants of children's vowels that the tracker was not set up on; the bound is looser than the goal (4 % and 12 %),
//! which `measure formants` prints on a larger set.

use soundbead_tests::measure::formants::measure;

#[test]
fn fresh_vowels_of_children_are_read() {
    let errors = measure(7, 10, [200.0, 320.0]);
    for k in 0..2 {
        let (middle, most) = (errors.at(k, 0.5), errors.at(k, 0.95));
        println!("F{}: median {:.1} %, 95th {:.1} %", k + 1, 100.0 * middle, 100.0 * most);
        assert!(middle <= 0.05 && most <= 0.15, "F{}: {middle} {most}", k + 1);
    }
    assert_eq!(errors.unread, 0);
}
