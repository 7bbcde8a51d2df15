//! Learners, sessions, attempts and notes, and the recordings beside them.
