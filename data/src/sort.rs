//! Sorts and dictation lists by what decides the spelling.
