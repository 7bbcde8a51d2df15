//! What becomes of a weights file that is not whole: one clear line, never a panic (our own contract for bad input).

use soundbead_dsp::ear::inside::{Model, SHIPPED as WEIGHTS, seal, weights_of};
use soundbead_dsp::ear::{Ear, ModelError};

/// The file with one name in its header written differently (same length, so that nothing else moves).
fn renamed(from: &str, to: &str) -> Vec<u8> {
    assert_eq!(from.len(), to.len());
    let at = WEIGHTS
        .windows(from.len())
        .position(|w| w == from.as_bytes())
        .expect("the name is in the header");
    let mut bytes = WEIGHTS.to_vec();
    bytes[at..at + to.len()].copy_from_slice(to.as_bytes());
    bytes
}

fn complaint(bytes: &[u8]) -> String {
    let refused: Result<Model, ModelError> = Model::from_bytes(bytes);
    refused.err().expect("the file is refused").to_string()
}

#[test]
fn eight_bit_numbers_without_their_scale_are_refused_by_name() {
    let told = complaint(&renamed("\"stem.weight.scale\"", "\"stem.weight.scalf\""));
    assert!(told.contains("stem.weight.scale"), "{told}");
    assert!(!told.contains('\n'), "{told}");
}

#[test]
fn a_missing_layer_and_a_cut_file_are_refused() {
    let told = complaint(&renamed("\"join.weight\"", "\"joim.weight\""));
    assert!(told.contains("join.weight"), "{told}");
    for length in [0, 7, 8, 1000, WEIGHTS.len() / 2, WEIGHTS.len() - 1] {
        assert!(Model::from_bytes(&WEIGHTS[..length]).is_err(), "{length} bytes");
    }
}

#[test]
fn a_listener_without_one_of_its_layers_is_refused_by_name() {
    let told = complaint(&renamed("\"listener.beside1.weight\"", "\"listener.besidf1.weight\""));
    assert!(told.contains("listener.beside1.weight"), "{told}");
}

#[test]
fn the_file_is_small_enough_to_ship() {
    assert!(WEIGHTS.len() <= 6_000_000, "{} bytes", WEIGHTS.len());
    assert!(Model::from_bytes(WEIGHTS).is_ok());
}

fn ear_complaint(bytes: &[u8]) -> ModelError {
    Ear::from_package(bytes).err().expect("the file is refused")
}

#[test]
fn weights_and_a_calibration_of_others_make_no_ear() {
    let mut other = WEIGHTS.to_vec();
    let last = other.len() - 1;
    other[last] ^= 1;
    let refused = ear_complaint(&other);
    assert!(matches!(refused, ModelError::Unmatched { .. }), "{refused}");
    let told = refused.to_string();
    assert!(
        told.contains(&weights_of(&other).expect("tensors")[..12]) && !told.contains('\n'),
        "{told}"
    );
}

#[test]
fn a_number_changed_by_hand_is_noticed() {
    let changed = renamed(r#"\"affirm\":0.97"#, r#"\"affirm\":0.57"#);
    let refused = ear_complaint(&changed);
    assert!(matches!(refused, ModelError::Calibration(_)), "{refused}");
    let own = Ear::new().expect("the model comes with the program").id().to_string();
    assert!(refused.to_string().contains(&own), "{refused}");
}

#[test]
fn weights_alone_and_a_later_format_are_refused_for_what_they_are() {
    let alone = renamed(r#"{"soundbead""#, r#"{"soundbeam""#);
    assert!(ear_complaint(&alone).to_string().contains("weights alone"));
    let later = renamed(r#"\"format\":1"#, r#"\"format\":2"#);
    let told = ear_complaint(&later).to_string();
    assert!(told.contains("format") && told.contains('2'), "{told}");
}

#[test]
fn sealed_again_with_its_own_settings_the_package_is_the_same_and_with_others_it_is_not() {
    let own = Ear::new().expect("the model comes with the program");
    let again = seal(WEIGHTS, own.settings()).expect("whole weights");
    assert!(again == WEIGHTS, "the same package is the same bytes");
    let mut settings = *own.settings();
    settings.affirm = 0.5;
    let other = seal(WEIGHTS, &settings).expect("whole weights");
    let other = Ear::from_package(&other).expect("sealed together");
    assert_eq!(other.settings().affirm, 0.5);
    assert_ne!(other.id(), own.id());
    assert_eq!(weights_of(&again), weights_of(WEIGHTS));
    assert_eq!(own.id().to_string().parse(), Ok(own.id()));
}
