//! The drawing of a mouth from articulator positions.
