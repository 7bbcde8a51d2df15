//! One count held against another.

use serde::{Serialize, Serializer, ser::SerializeStruct};

use soundbead_data::share::Share;

/// How often a count was the expected one, and how often it missed to which side.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Agreement {
    /// As many as expected.
    pub right: u64,
    /// Fewer.
    pub fewer: u64,
    /// More.
    pub more: u64,
}

impl Agreement {
    /// Puts in `attempts` attempts with this count.
    pub fn put(&mut self, count: u16, expected: u16, attempts: u64) {
        match count.cmp(&expected) {
            std::cmp::Ordering::Equal => self.right += attempts,
            std::cmp::Ordering::Less => self.fewer += attempts,
            std::cmp::Ordering::Greater => self.more += attempts,
        }
    }

    /// How many attempts were counted at all.
    pub fn total(&self) -> u64 {
        self.right + self.fewer + self.more
    }

    /// The share that was right.
    pub fn share(&self) -> Share {
        Share {
            hits: self.right,
            of: self.total(),
        }
    }
}

/// Writes `{"right", "fewer", "more", "share"}`.
impl Serialize for Agreement {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let mut all = to.serialize_struct("Agreement", 4)?;
        all.serialize_field("right", &self.right)?;
        all.serialize_field("fewer", &self.fewer)?;
        all.serialize_field("more", &self.more)?;
        all.serialize_field("share", &self.share())?;
        all.end()
    }
}
