//! Names for rows and for recordings.

use std::fmt;
use std::str::FromStr;

use rusqlite::types::{FromSql, FromSqlError, FromSqlResult, ToSql, ToSqlOutput, ValueRef};
use rusqlite::{Connection, Result as SqlResult};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

/// Declares a name made of `$len` bytes: hexadecimal where people or files see it, a blob in the database.
macro_rules! name {
    ($(#[$about:meta])* $name:ident, $len:literal) => {
        $(#[$about])*
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(into = "String", try_from = "String")]
        pub struct $name([u8; $len]);

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.iter().try_for_each(|b| write!(f, "{b:02x}"))
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                fmt::Display::fmt(self, f)
            }
        }

        impl From<$name> for String {
            fn from(name: $name) -> String {
                name.to_string()
            }
        }

        impl TryFrom<String> for $name {
            type Error = String;

            fn try_from(text: String) -> Result<Self, String> {
                text.parse()
            }
        }

        impl FromStr for $name {
            type Err = String;

            /// Reads small hexadecimal digits, exactly as they are written.
            fn from_str(text: &str) -> Result<Self, String> {
                let wrong = || format!("`{}` is not {} small hexadecimal digits", crate::fault::one_line(text), $len * 2);
                let digits = text.as_bytes();
                if digits.len() != $len * 2 {
                    return Err(wrong());
                }
                let mut bytes = [0; $len];
                for (byte, pair) in bytes.iter_mut().zip(digits.chunks_exact(2)) {
                    let value = |d: u8| match d {
                        b'0'..=b'9' => Some(d - b'0'),
                        b'a'..=b'f' => Some(d - b'a' + 10),
                        _ => None,
                    };
                    *byte = value(pair[0]).zip(value(pair[1])).map(|(h, l)| h * 16 + l).ok_or_else(wrong)?;
                }
                Ok($name(bytes))
            }
        }

        impl ToSql for $name {
            fn to_sql(&self) -> SqlResult<ToSqlOutput<'_>> {
                Ok(ToSqlOutput::Borrowed(ValueRef::Blob(&self.0)))
            }
        }

        impl FromSql for $name {
            fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
                let bytes = value.as_blob()?;
                let bytes = bytes.try_into().map_err(|_| FromSqlError::InvalidType)?;
                Ok($name(bytes))
            }
        }
    };
}

name! {
    /// A row's own name: 128 random bits, so that rows made on two machines never meet by chance.
    Id, 16
}

name! {
    /// A recording's name: the SHA-256 of its file's bytes.
    Content, 32
}

impl Id {
    /// A fresh one, from SQLite's generator, which is seeded by the system's.
    pub(super) fn fresh(db: &Connection) -> SqlResult<Id> {
        db.query_row("SELECT randomblob(16)", [], |row| row.get(0))
    }
}

impl Content {
    /// The name of these bytes.
    pub fn of(bytes: &[u8]) -> Content {
        Content(Sha256::digest(bytes).into())
    }

    /// The name of what was given to the digest.
    pub(super) fn from_sum(sum: Sha256) -> Content {
        Content(sum.finalize().into())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn content_is_the_standards_digest_in_small_hexadecimal() {
        // FIPS 180-2, appendix B.1: the digest of "abc".
        let abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(Content::of(b"abc").to_string(), abc);
        assert_eq!(abc.parse::<Content>().unwrap(), Content::of(b"abc"));
    }

    #[test]
    fn only_the_one_way_of_writing_a_name_is_read() {
        for wrong in [
            "",
            "00",
            &"0".repeat(33),
            &"A".repeat(32),
            &"g".repeat(32),
            &"é".repeat(16),
        ] {
            assert!(wrong.parse::<Id>().is_err(), "{wrong}");
        }
    }
}
