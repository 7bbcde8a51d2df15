//! Slower playback at the same pitch.
