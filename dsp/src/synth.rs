//! Formant synthesis of a model sound.
