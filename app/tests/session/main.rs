//! The machines without a window: the lesson and the review.

mod lesson;
mod review;
