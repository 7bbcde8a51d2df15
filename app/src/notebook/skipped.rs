//! What people should know of the notebook besides what they asked: rows that cannot be read are passed over with a line, so
//! that one of them never closes a list, an export or the notebook.

use std::cell::RefCell;
use std::rc::Rc;

use super::Result;

/// Different lines that are remembered; after that they are only counted.
const MOST_LINES: usize = 3;

/// The rows that were passed over. Copies share what they remember.
#[derive(Clone, Debug, Default)]
pub struct Skipped(Rc<RefCell<Vec<(String, u64)>>>);

impl Skipped {
    /// The row, or none where it cannot be read, which is remembered.
    ///
    /// # Errors
    /// When it is the database that failed, not the row.
    pub fn row<T>(&self, read: Result<T>) -> Result<Option<T>> {
        match read {
            Ok(row) => Ok(Some(row)),
            Err(e) if e.is_of_one_row() => {
                self.note(format!("left out: {e}"));
                Ok(None)
            }
            Err(e) => Err(e),
        }
    }

    /// Remembers something else that people should know.
    pub fn say(&self, line: &str) {
        self.note(line.to_owned());
    }

    fn note(&self, line: String) {
        let mut all = self.0.borrow_mut();
        match all.iter_mut().find(|(known, _)| *known == line) {
            Some((_, times)) => *times += 1,
            None => all.push((line, 1)),
        }
    }

    /// What was passed over since this was last asked, in a line for each reason.
    pub fn take(&self) -> Vec<String> {
        let all = self.0.take();
        let rest: u64 = all.iter().skip(MOST_LINES).map(|(_, times)| times).sum();
        let told = all.into_iter().take(MOST_LINES).map(|(line, times)| match times {
            1 => line,
            n => format!("{line} ({n} times)"),
        });
        let more = (rest > 0).then(|| format!("left out: {rest} more that cannot be read"));
        told.chain(more).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::super::NotebookError;
    use super::*;

    #[test]
    fn rows_are_passed_over_and_a_database_is_not() {
        let skipped = Skipped::default();
        let bad = || NotebookError::refused("an attempt cannot be read: it has no day");
        assert_eq!(skipped.row::<u8>(Err(bad())).unwrap(), None);
        assert_eq!(skipped.row::<u8>(Err(bad())).unwrap(), None);
        assert_eq!(skipped.row(Ok(7)).unwrap(), Some(7));
        let db = rusqlite::Connection::open_in_memory().unwrap();
        let gone = db.execute("DELETE FROM nowhere", []).unwrap_err();
        assert!(skipped.row::<u8>(Err(gone.into())).is_err());
        assert_eq!(
            skipped.take(),
            ["left out: an attempt cannot be read: it has no day (2 times)"]
        );
        assert!(skipped.take().is_empty());
    }
}
