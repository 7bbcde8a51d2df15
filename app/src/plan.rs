//! A plan for a lesson: words, chains and sorts, kept as a small text file.
