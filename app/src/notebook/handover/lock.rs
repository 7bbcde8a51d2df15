//! Locking an archive by a passphrase: the age format (age-encryption.org/v1), with scrypt.

use std::fs::File;
use std::io::{self, BufReader, BufWriter, Read, Seek, Write};
use std::path::Path;

use age::secrecy::SecretString;
use age::stream::StreamWriter;

use super::super::error::fault;
use super::super::{NotebookError, Result};
use super::archive::{limits, unwritable};
use crate::storage;

/// How every file of the format begins (age-encryption.org/v1, "Header").
const MAGIC: &[u8] = b"age-encryption.org/";

/// Whether the file is locked.
///
/// # Errors
/// When the file cannot be read.
pub fn is_locked(path: &Path) -> Result<bool> {
    let mut start = Vec::new();
    let file = File::open(path).map_err(fault(path))?;
    file.take(MAGIC.len() as u64)
        .read_to_end(&mut start)
        .map_err(fault(path))?;
    Ok(start == MAGIC)
}

/// The work factor of what is locked here: scrypt with N = 2^17, r = 8, p = 1 (RFC 7914), which takes 128 MiB. The same on
/// every machine, so that a weak laptop opens what a strong one locked.
pub const WORK_FACTOR: u8 = 17;
/// The greatest work factor that is tried: 256 MiB. Earlier versions took the factor by the speed of the machine.
pub const MOST_WORK: u8 = 18;
/// Most bytes of the header of a file with one passphrase: its four lines have 22, 35, 44 and 48.
const HEADER_BYTES: u64 = 160;

/// A stream that locks what is written to it, into `to`.
///
/// # Errors
/// When the passphrase is empty, or the header cannot be written.
pub fn locking<W: Write>(to: W, passphrase: &str) -> Result<StreamWriter<W>> {
    if passphrase.is_empty() {
        return Err(NotebookError::refused(
            "an empty passphrase locks nothing; type one, or none at all",
        ));
    }
    let mut recipient = age::scrypt::Recipient::new(SecretString::from(passphrase.to_owned()));
    recipient.set_work_factor(WORK_FACTOR);
    let encryptor = age::Encryptor::with_recipients(std::iter::once(&recipient as &dyn age::Recipient))
        .map_err(|e| unwritable(&e))?;
    encryptor.wrap_output(to).map_err(|e| unwritable(&e))
}

/// Looks at the header before any work is done for it. It must be that of a passphrase file, with its one stanza
/// (age-encryption.org/v1, "The scrypt recipient type"): a header without end would take memory and time, and a high
/// factor too. Gives the factor. The fault is one line.
fn work_factor(header: &[u8]) -> std::result::Result<u8, String> {
    let mut lines = header.split(|b| *b == b'\n');
    let mut next = || lines.next().and_then(|line| std::str::from_utf8(line).ok());
    let damaged = || "it is locked, but damaged or cut short".to_owned();
    next()
        .filter(|line| *line == "age-encryption.org/v1")
        .ok_or_else(damaged)?;
    let mut stanza = next().ok_or_else(damaged)?.split(' ');
    if (stanza.next(), stanza.next()) != (Some("->"), Some("scrypt")) {
        return Err("it is locked in another way than by a passphrase".into());
    }
    let factor: u8 = match (stanza.next(), stanza.next(), stanza.next()) {
        // The salt: 16 bytes in base64 without padding.
        (Some(salt), Some(factor), None) if salt.len() == 22 => factor.parse().map_err(|_| damaged())?,
        _ => return Err(damaged()),
    };
    // The file's key, wrapped: 32 bytes; then the header's sum.
    let whole = next().is_some_and(|key| key.len() == 43) && next().is_some_and(|sum| sum.starts_with("--- "));
    match factor {
        _ if !whole => Err(damaged()),
        0 => Err(damaged()),
        1..=MOST_WORK => Ok(factor),
        _ => Err(format!(
            "unlocking it would take too long here (work factor {factor}, at most {MOST_WORK}); ask for it again, locked by \
             this version of Soundbead"
        )),
    }
}

/// Unlocks `locked` into `to`. The fault is one line.
///
/// # Errors
/// One line when the passphrase is not the one, or the file is damaged or cannot be written.
pub fn unlock(locked: &Path, to: &Path, passphrase: &str) -> std::result::Result<(), String> {
    let mut header = Vec::new();
    let mut source = File::open(locked).map_err(|e| storage::why(&e))?;
    let read = (&mut source).take(HEADER_BYTES).read_to_end(&mut header);
    read.map_err(|e| storage::why(&e))?;
    let factor = work_factor(&header)?;
    source.rewind().map_err(|e| storage::why(&e))?;
    let source = BufReader::new(source);
    let decryptor = age::Decryptor::new_buffered(source).map_err(|e| told(&e))?;
    let mut identity = age::scrypt::Identity::new(SecretString::from(passphrase.to_owned()));
    identity.set_max_work_factor(factor);
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
        age::DecryptError::NoMatchingKeys => "it is locked in another way than by a passphrase".into(),
        _ => "it is locked, but damaged or cut short".into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SALT: &str = "mdCmGza7cFXcVK2T5c1KGg";
    const KEY: &str = "I2fnANO3KGY5vC5AE617qaJoJqN3XSslQ3E501vwAkxxx";

    fn header(stanza: &str) -> Vec<u8> {
        format!("age-encryption.org/v1\n{stanza}\n{}\n--- {}\n", &KEY[..43], &KEY[..43]).into_bytes()
    }

    #[test]
    fn no_work_is_begun_for_a_header_that_asks_for_much() {
        let factor = |n: u32| work_factor(&header(&format!("-> scrypt {SALT} {n}")));
        assert_eq!((factor(17), factor(18)), (Ok(17), Ok(18)));
        for n in [19, 23, 63, 255] {
            assert!(factor(n).unwrap_err().contains("too long"), "{n}");
        }
        for n in [0, 256, u32::MAX] {
            assert!(factor(n).unwrap_err().contains("damaged"), "{n}");
        }
        // Stanzas without end: what is looked at is shorter than one such header.
        let stanzas = header(&"-> x a\n\n".repeat(20_000));
        let read = &stanzas[..HEADER_BYTES as usize];
        assert!(work_factor(read).unwrap_err().contains("another way"));
        let two = format!("-> scrypt {SALT} 17\n{}\n-> scrypt {SALT} 17", &KEY[..43]);
        assert!(work_factor(&header(&two)).unwrap_err().contains("damaged"));
    }

    #[test]
    fn the_factor_is_the_same_on_every_machine() {
        let mut bytes = Vec::new();
        let mut stream = locking(&mut bytes, "damson row nine").unwrap();
        stream.write_all(b"pig").unwrap();
        stream.finish().unwrap();
        assert_eq!(work_factor(&bytes[..HEADER_BYTES as usize]), Ok(WORK_FACTOR));
        assert!(locking(Vec::new(), "").is_err());
    }
}
