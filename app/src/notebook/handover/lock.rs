//! Locking an archive by a passphrase: the age format (age-encryption.org/v1), with scrypt.

use std::fs::File;
use std::io::{self, BufReader, BufWriter, Read, Write};
use std::path::Path;

use age::secrecy::SecretString;

use super::super::error::fault;
use super::super::{NotebookError, Result};
use super::archive::limits;
use crate::storage::{self, NewFile};

/// How every file of the format begins (age-encryption.org/v1, "Header").
const MAGIC: &[u8] = b"age-encryption.org/";

/// Whether the file is locked.
pub fn is_locked(path: &Path) -> Result<bool> {
    let mut start = Vec::new();
    let file = File::open(path).map_err(fault(path))?;
    file.take(MAGIC.len() as u64)
        .read_to_end(&mut start)
        .map_err(fault(path))?;
    Ok(start == MAGIC)
}

/// Locks `plain` into `to`, which is to lie at `path`.
pub fn lock(plain: &Path, to: NewFile, path: &Path, passphrase: &str) -> Result<()> {
    if passphrase.is_empty() {
        return Err(NotebookError::refused(
            "an empty passphrase locks nothing; type one, or none at all",
        ));
    }
    let work = || -> io::Result<()> {
        let encryptor = age::Encryptor::with_user_passphrase(SecretString::from(passphrase.to_owned()));
        let mut writer = encryptor.wrap_output(BufWriter::new(to)).map_err(io::Error::other)?;
        io::copy(&mut BufReader::new(File::open(plain)?), &mut writer)?;
        writer.finish()?.into_inner()?.put()
    };
    work().map_err(fault(path))
}

/// Unlocks `locked` into `to`. The fault is one line.
pub fn unlock(locked: &Path, to: &Path, passphrase: &str) -> std::result::Result<(), String> {
    let source = BufReader::new(File::open(locked).map_err(|e| storage::why(&e))?);
    let decryptor = age::Decryptor::new_buffered(source).map_err(|e| told(&e))?;
    let identity = age::scrypt::Identity::new(SecretString::from(passphrase.to_owned()));
    let reader = decryptor
        .decrypt(std::iter::once(&identity as &dyn age::Identity))
        .map_err(|e| told(&e))?;
    let damaged = |e: io::Error| format!("it is damaged or cut short, so that it cannot be unlocked ({e})");
    let mut file = BufWriter::new(storage::scratch(to).map_err(|e| storage::why(&e))?);
    let copied = io::copy(&mut reader.take(limits::ARCHIVE_BYTES + 1), &mut file).map_err(damaged)?;
    if copied > limits::ARCHIVE_BYTES {
        return Err("it is larger than an archive may be".into());
    }
    file.flush().map_err(|e| e.to_string())
}

fn told(error: &age::DecryptError) -> String {
    match error {
        age::DecryptError::DecryptionFailed | age::DecryptError::KeyDecryptionFailed => {
            "the passphrase does not open it; type it as it was given".into()
        }
        age::DecryptError::ExcessiveWork { .. } => {
            "unlocking it would take this machine too long; it is not ours".into()
        }
        age::DecryptError::NoMatchingKeys => "it is locked in another way than by a passphrase".into(),
        _ => "it is locked, but damaged or cut short".into(),
    }
}
