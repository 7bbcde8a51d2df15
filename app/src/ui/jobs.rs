//! Work off the window's thread: it tells how far it is, can be cancelled, and wakes the window when it has news.
//!
//! A view keeps the [`Job`]s it started, asks each for its outcome once a frame, and shows the rest as a bar:
//!
//! ```
//! use soundbead::ui::jobs::{Job, Outcome};
//! let ctx = egui::Context::default();
//! let mut job = Job::start(&ctx, "Adding up", |progress| {
//!     (0..4u32).map_while(|i| progress.at(i as f32 / 4.0).then_some(i)).sum::<u32>()
//! });
//! let sum = loop {
//!     if let Some(outcome) = job.take() {
//!         break outcome;
//!     }
//! };
//! assert_eq!(sum, Outcome::Done(6));
//! ```

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::sync::mpsc::{Receiver, TryRecvError, channel};

/// What the worker and the window share.
#[derive(Default)]
struct Wire {
    /// Share done as the bits of an f32; above 1 means that it is not known.
    share: AtomicU32,
    cancelled: AtomicBool,
}

/// The worker's side: how far it is, and whether it should go on.
pub struct Progress {
    wire: Arc<Wire>,
    ctx: egui::Context,
}

impl Progress {
    /// Says that `share` (0 to 1) is done; whether to go on.
    pub fn at(&self, share: f32) -> bool {
        self.wire
            .share
            .store(share.clamp(0.0, 1.0).to_bits(), Ordering::Relaxed);
        self.ctx.request_repaint();
        self.go_on()
    }

    /// Whether to go on: false once the person has cancelled.
    pub fn go_on(&self) -> bool {
        !self.wire.cancelled.load(Ordering::Relaxed)
    }
}

/// How a job ended.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Outcome<T> {
    /// It has a result.
    Done(T),
    /// It was cancelled, and whatever it had is dropped.
    Cancelled,
    /// The program itself failed in it.
    Failed,
}

/// One piece of work on a thread of its own. Dropping it cancels it.
pub struct Job<T> {
    name: String,
    wire: Arc<Wire>,
    result: Receiver<T>,
    over: bool,
}

impl<T: Send + 'static> Job<T> {
    /// Starts `work`. `name` is what people read beside the bar: "Reading the recording".
    pub fn start(ctx: &egui::Context, name: &str, work: impl FnOnce(&Progress) -> T + Send + 'static) -> Job<T> {
        let wire = Arc::new(Wire {
            share: AtomicU32::new(2f32.to_bits()),
            ..Wire::default()
        });
        let (sender, result) = channel();
        let progress = Progress {
            wire: wire.clone(),
            ctx: ctx.clone(),
        };
        std::thread::spawn(move || {
            // A panic drops the sender, which the window reads as failed; the sender is dropped before the wake-up.
            let caught = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| work(&progress)));
            if let Ok(done) = caught {
                // Nobody listens any more: the view was closed.
                let _ = sender.send(done);
            }
            drop(sender);
            progress.ctx.request_repaint();
        });
        Job {
            name: name.to_owned(),
            wire,
            result,
            over: false,
        }
    }

    /// The outcome, once, as soon as there is one.
    pub fn take(&mut self) -> Option<Outcome<T>> {
        if self.over {
            return None;
        }
        let outcome = match self.result.try_recv() {
            Err(TryRecvError::Empty) => return None,
            _ if self.wire.cancelled.load(Ordering::Relaxed) => Outcome::Cancelled,
            Ok(done) => Outcome::Done(done),
            Err(TryRecvError::Disconnected) => Outcome::Failed,
        };
        self.over = true;
        Some(outcome)
    }
}

impl<T> Job<T> {
    /// Asks the worker to stop; it does at its next [`Progress::at`] or [`Progress::go_on`].
    pub fn cancel(&self) {
        self.wire.cancelled.store(true, Ordering::Relaxed);
    }

    /// Share done, 0 to 1, if the worker says.
    pub fn share(&self) -> Option<f32> {
        Some(f32::from_bits(self.wire.share.load(Ordering::Relaxed))).filter(|share| *share <= 1.0)
    }

    /// A line with the job's name, a bar and a way to cancel.
    pub fn show(&self, ui: &mut egui::Ui) {
        ui.horizontal(|ui| {
            match self.share() {
                Some(share) => {
                    let bar = egui::ProgressBar::new(share).desired_width(200.0).desired_height(14.0);
                    ui.add(bar);
                }
                None => {
                    ui.spinner();
                }
            }
            ui.label(&self.name);
            if ui.button("Cancel").clicked() {
                self.cancel();
            }
        });
    }
}

impl<T> Drop for Job<T> {
    fn drop(&mut self) {
        self.cancel();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::mpsc::channel;

    fn wait<T: Send + 'static>(job: &mut Job<T>) -> Outcome<T> {
        loop {
            if let Some(outcome) = job.take() {
                return outcome;
            }
            std::thread::yield_now();
        }
    }

    #[test]
    fn a_cancelled_job_stops_and_says_so() {
        let (started, is_started) = channel();
        let mut job = Job::start(&egui::Context::default(), "Waiting", move |progress| {
            started.send(()).expect("the test listens");
            while progress.at(0.5) {
                std::thread::yield_now();
            }
        });
        is_started.recv().expect("the worker started");
        assert!(job.take().is_none());
        job.cancel();
        assert_eq!(wait(&mut job), Outcome::Cancelled);
        assert!(job.take().is_none(), "an outcome is given once");
    }

    #[test]
    fn a_failed_job_is_told_from_one_that_is_done() {
        let mut job = Job::<()>::start(&egui::Context::default(), "Failing", |_| panic!("on purpose"));
        assert_eq!(wait(&mut job), Outcome::Failed);
    }
}
