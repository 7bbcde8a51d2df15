//! The ear as one file: the network's weights, the calibration that belongs to them, and an id of both.
//!
//! `weights/ear.safetensors` holds the tensors; its metadata has one entry, [`KEY`], a JSON object:
//!
//! | field | what |
//! | --- | --- |
//! | `format` | [`FORMAT`]; goes up when a program made before could misread the file |
//! | `id` | the first six bytes of the SHA-256 of `weights` followed by `calibration`, in hexadecimal |
//! | `weights` | SHA-256 of the tensors that the calibration belongs to ([`weights_hash`]) |
//! | `calibration` | the fitted numbers, by name ([`Settings`]) |
//!
//! Tensors that a program does not know are left alone, and a part of the calibration may be left out where it says so.
//! A network may so gain an output without a new format.

#[cfg(feature = "measure")]
use std::collections::HashMap;
use std::fmt::Write;
use std::sync::OnceLock;

use safetensors::SafeTensors;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use sha2::{Digest, Sha256};

use super::model::{Model, ModelError};
use super::settings::Settings;
use crate::judgement::ModelId;

/// The entry of the file's metadata that holds the label.
const KEY: &str = "soundbead";
/// The version of the label that this program writes and reads.
const FORMAT: u32 = 1;

/// The package that comes with the program. A static lies in it once; a constant lay in it at each place that uses it.
#[cfg(not(feature = "measure"))]
static SHIPPED: &[u8] = include_bytes!("../../weights/ear.safetensors");
/// The package that comes with the program.
#[cfg(feature = "measure")]
pub static SHIPPED: &[u8] = include_bytes!("../../weights/ear.safetensors");

/// What the metadata say.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct PackageLabel {
    format: u32,
    id: ModelId,
    weights: String,
    calibration: Value,
}

/// A network and the calibration that belongs to it.
pub struct Package {
    pub model: Model,
    pub settings: Settings,
    pub id: ModelId,
}

impl Package {
    /// The package that comes with the program. Its hashes are checked once; after that only the weights are read.
    ///
    /// # Errors
    /// When the file is damaged, which a build whose tests have passed rules out.
    pub fn shipped() -> Result<Package, ModelError> {
        static CHECKED: OnceLock<Result<(Settings, ModelId), ModelError>> = OnceLock::new();
        let checked = CHECKED.get_or_init(|| read_label(SHIPPED)).as_ref();
        let (settings, id) = *checked.map_err(ModelError::clone)?;
        Ok(Package {
            model: Model::from_bytes(SHIPPED)?,
            settings,
            id,
        })
    }

    /// A package from a file's bytes.
    ///
    /// # Errors
    /// When it is no package, or weights, calibration and id do not belong together.
    #[cfg(feature = "measure")]
    pub fn from_bytes(bytes: &[u8]) -> Result<Package, ModelError> {
        let (settings, id) = read_label(bytes)?;
        Ok(Package {
            model: Model::from_bytes(bytes)?,
            settings,
            id,
        })
    }

    /// Weights alone, with a calibration that was not fitted on them: where fitting begins.
    ///
    /// # Errors
    /// When the bytes are no weights.
    #[cfg(feature = "measure")]
    pub fn uncalibrated(weights: &[u8], settings: Settings) -> Result<Package, ModelError> {
        let hash = weights_hash(&tensors(weights)?);
        Ok(Package {
            model: Model::from_bytes(weights)?,
            settings,
            id: id_of(&hash, &written(&settings)?),
        })
    }
}

/// The package's file: the tensors of `weights` (a `safetensors` file, with or without a label) and the calibration that
/// belongs to them from now on.
///
/// # Errors
/// When the weights are not those of a whole network.
#[cfg(feature = "measure")]
pub fn seal(weights: &[u8], settings: &Settings) -> Result<Vec<u8>, ModelError> {
    Model::from_bytes(weights)?;
    let file = tensors(weights)?;
    let (hash, calibration) = (weights_hash(&file), written(settings)?);
    let label = PackageLabel {
        format: FORMAT,
        id: id_of(&hash, &calibration),
        weights: hash,
        calibration,
    };
    let text = serde_json::to_string(&label).map_err(|e| ModelError::Calibration(e.to_string()))?;
    // One entry, so that the same package is always the same bytes.
    let metadata = HashMap::from([(KEY.to_owned(), text)]);
    safetensors::serialize(file.tensors(), Some(metadata)).map_err(|e| ModelError::Weights(e.to_string()))
}

/// Reads the label and holds the file to it.
fn read_label(bytes: &[u8]) -> Result<(Settings, ModelId), ModelError> {
    let broken = |what: String| ModelError::Calibration(what);
    let (_, metadata) = SafeTensors::read_metadata(bytes).map_err(|e| ModelError::Weights(e.to_string()))?;
    let text = metadata.metadata().as_ref().and_then(|m| m.get(KEY));
    let text = text.ok_or_else(|| broken("the file has weights alone".into()))?;
    let loose: Value = serde_json::from_str(text).map_err(|e| broken(e.to_string()))?;
    // Asked first: of a later format nothing else can be taken for granted.
    match loose.get("format").and_then(Value::as_u64) {
        Some(format) if format == u64::from(FORMAT) => {}
        other => return Err(broken(format!("its format is {other:?}; this program reads {FORMAT}"))),
    }
    let label: PackageLabel = serde_json::from_value(loose).map_err(|e| broken(e.to_string()))?;
    let found = weights_hash(&tensors(bytes)?);
    if label.weights != found {
        return Err(ModelError::Unmatched {
            wanted: label.weights,
            found,
        });
    }
    let id = id_of(&found, &label.calibration);
    if id != label.id {
        return Err(broken(format!(
            "it calls itself {}, and its weights and numbers make {id}",
            label.id
        )));
    }
    let settings = serde_json::from_value(label.calibration).map_err(|e| broken(e.to_string()))?;
    Ok((settings, id))
}

/// [`weights_hash`] of a `safetensors` file's bytes, with or without a label.
///
/// # Errors
/// When the bytes are no such file.
#[cfg(feature = "measure")]
pub fn weights_of(bytes: &[u8]) -> Result<String, ModelError> {
    Ok(weights_hash(&tensors(bytes)?))
}

fn tensors(bytes: &[u8]) -> Result<SafeTensors<'_>, ModelError> {
    SafeTensors::deserialize(bytes).map_err(|e| ModelError::Weights(e.to_string()))
}

/// The calibration as it is written: each number in the fewest digits that bring it back.
#[cfg(feature = "measure")]
fn written(settings: &Settings) -> Result<Value, ModelError> {
    // By way of text: straight into a `Value` each number would become the longer one that is nearest in 64 bits.
    let text = serde_json::to_string(settings).and_then(|text| serde_json::from_str(&text));
    text.map_err(|e| ModelError::Calibration(e.to_string()))
}

/// SHA-256, in hexadecimal, over the tensors in the order of their names: for each its name, the kind of its numbers and
/// its shape, each ended by a zero, then its bytes. `training/export.py` computes the same.
fn weights_hash(file: &SafeTensors<'_>) -> String {
    let mut tensors = file.tensors();
    tensors.sort_by(|a, b| a.0.cmp(&b.0));
    let mut hash = Sha256::new();
    for (name, view) in tensors {
        hash.update(format!("{name}\0{:?}\0{:?}\0", view.dtype(), view.shape()));
        hash.update(view.data());
    }
    hex(&hash.finalize())
}

fn id_of(weights: &str, calibration: &Value) -> ModelId {
    let hash = Sha256::digest(format!("{weights}{calibration}"));
    ModelId::of(std::array::from_fn(|i| hash[i]))
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut out, b| {
        // Writing to a string cannot fail.
        let _ = write!(out, "{b:02x}");
        out
    })
}
