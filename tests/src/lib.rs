//! Checks against the outside world.
