//! A learner's report as pages.
