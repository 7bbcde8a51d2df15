//! Soundbead: which sounds, and how many, did the child say?
fn main() {}
