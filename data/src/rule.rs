//! The rules by which sounds are counted, which differ between teachers.

/// The rules in force.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Rules {}
