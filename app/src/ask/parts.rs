//! Sums of word parts.

use soundbead_data::parts::{Part, Sum};

/// The sums of a part, each worked out from the dictionary.
pub fn sums(part: &Part) -> impl Iterator<Item = Sum> {
    // Every sum of the table makes a word; the tests of the data hold it.
    part.sums.iter().filter_map(|text| Sum::read(text))
}
