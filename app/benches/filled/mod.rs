//! A notebook full of attempts. They are written straight into the tables, past the API, which brings each attempt to the disk by
//! itself and would take hours.

mod rows;

use std::path::Path;

#[allow(unused_imports, reason = "each benchmark uses a part")]
pub use rows::DAYS;
use soundbead::notebook::Notebook;
use soundbead_data::Rules;

/// Fills a notebook: `learners` children, and for each what `rows` tells.
pub fn fill(folder: &Path, learners: i64, every: u64, turns: u64) {
    let mut notebook = Notebook::open_in(folder).unwrap();
    for n in 1..=learners {
        notebook
            .add_learner(&format!("Learner {n:02}"), &Rules::default())
            .unwrap();
    }
    drop(notebook);
    rows::fill(folder, learners, every, turns);
}
