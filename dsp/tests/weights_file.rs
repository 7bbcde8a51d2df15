//! What becomes of a weights file that is not whole: one clear line, never a panic (our own contract for bad input).

use soundbead_dsp::ear::ModelError;
use soundbead_dsp::ear::inside::Model;

const WEIGHTS: &[u8] = include_bytes!("../weights/ear.safetensors");

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
fn the_file_is_small_enough_to_ship() {
    assert!(WEIGHTS.len() <= 4_000_000, "{} bytes", WEIGHTS.len());
    assert!(Model::from_bytes(WEIGHTS).is_ok());
}
