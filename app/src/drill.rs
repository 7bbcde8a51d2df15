//! The lesson.
