//! How well the ear hears: the rows of the table in the README and in the model's card; and how truly words are taught.

pub mod aloud;
pub mod boundary;
pub mod burst;
pub mod calibrate;
pub mod course;
pub mod decision;
pub mod figure;
pub mod formants;
pub mod hits;
pub mod kinds;
pub mod listeners;
pub mod made;
pub mod meant;
pub mod patterns;
pub mod promises;
pub mod report;
pub mod say;
pub mod sorts;
pub mod speech;
pub mod spread;
pub mod stored;
pub mod teaching;
pub mod writing;
