//! Capture and playback, behind one trait with a file-backed twin.
