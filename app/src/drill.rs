//! The lesson: a chain of words, and for each the child's beads, the recording, what changed, and the letters.
//!
//! Nothing here knows a window, a clock or a disk. [`session::LessonSession`] is the lesson with all that belongs to it, as a machine; [`Lesson`] its words and answers; [`LessonWord`] what is known of a word
//! before it is said; [`listen`] the ear on a thread of its own; [`words`] what is said to people.
//!
//! ```
//! use soundbead::drill::{Lesson, WordStep, LessonWord};
//! use soundbead_data::{Rules, word::Overrides};
//!
//! let find = |text| LessonWord::find(text, &Overrides::default(), &Rules::default()).unwrap();
//! let mut lesson = Lesson::new(vec![find("chess"), find("chest")], Rules::default());
//! lesson.set_beads(3);
//! assert_eq!((lesson.step(), lesson.work().beads, lesson.word().count()), (WordStep::Beads, 3, 3));
//! lesson.undo();
//! assert_eq!(lesson.work().beads, 0);
//! ```

pub mod close_up;
pub mod course;
pub mod dictation;
pub mod draft;
pub mod ending;
mod keep;
mod lesson;
pub mod letters;
pub mod listen;
pub mod model;
pub mod model_pass;
pub mod opening;
pub mod picture;
pub mod plan_draft;
pub mod plan_parts;
pub mod practice;
pub mod reading;
mod saving;
pub mod scrambled;
pub mod session;
pub mod sorting;
mod task;
pub mod voice;
mod word;
pub mod words;
mod work;

pub use lesson::{Lesson, MOST_BEADS, Next, Undone};
pub(crate) use saving::Saving;
pub use task::{Task, TaskStanding};
pub use word::{LessonWord, STARTER, read};
pub use work::{EarOutcome, PointedBead, Try, TryKept, WordStep, WordWork};
