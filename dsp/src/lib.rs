//! Sound in, evidence out.
#![warn(missing_docs)]
