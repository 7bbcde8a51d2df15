//! Words one sound apart; shortest and longest chains under limits.
