//! Prefixes, bases and suffixes: words taken apart, put together, and counted by what joins what.
//!
//! Parts, meanings and examples are chosen by hand (`data/tables/parts.toml`). What happens where parts meet follows the
//! rules every lesson has (common practice, no source), and a sum holds only if the word that comes out is in the
//! dictionary. What becomes of the sounds is read from the dictionary: the base by itself against the base in the word.
//!
//! ```
//! use soundbead_data::parts::{self, Join};
//!
//! assert_eq!(parts::take_apart("celebration").sum(), "celebrate+ion");
//! let sum = parts::Sum::read("celebrate+ion").unwrap();
//! assert_eq!((sum.word.as_str(), sum.joins[0]), ("celebration", Join::DropsE));
//! assert_eq!(sum.heard().unwrap().to_string(), "the t is said sh, and the stress moves");
//! ```

mod apart;
mod family;
mod heard;
mod sum;
mod table;

pub(crate) use apart::stems;
pub use apart::{DividedWord, Ending, Piece, PieceRole, ending, take_apart};
pub use family::{Families, Regularity, counts};
pub use heard::{HeardBase, Shift};
pub use sum::{Join, Sum};
pub use table::{Joins, Origin, Part, all, find};

#[cfg(test)]
mod tests;
