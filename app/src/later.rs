//! Something asked of another thread, and what comes of it later.
//!
//! The one form of it in the program: [`Later`] is what the asker keeps, [`Promise`] what the worker keeps. A worker
//! tells how far it is, can be told to stop, and wakes the asker when it has news. [`Latest`] keeps the value that came
//! last while a newer one is on its way.
//!
//! ```
//! use soundbead::later::{WorkResult, Later, Wake};
//! let mut sum = Later::start(Wake::nobody(), "Adding up", |progress| {
//!     (0..4u32).map_while(|i| progress.at(i as f32 / 4.0).then_some(i)).sum::<u32>()
//! });
//! let sum = loop {
//!     if let Some(ending) = sum.take() {
//!         break ending;
//!     }
//! };
//! assert_eq!(sum, WorkResult::Done(6));
//! ```

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::sync::mpsc::{Receiver, Sender, TryRecvError, channel};

/// Calls the asker, from any thread: there is news.
#[derive(Clone)]
pub struct Wake(Arc<dyn Fn() + Send + Sync>);

impl Wake {
    /// Calls by this function.
    pub fn new(call: impl Fn() + Send + Sync + 'static) -> Wake {
        Wake(Arc::new(call))
    }

    /// For an asker that looks for itself: a test, a program without a window.
    pub fn nobody() -> Wake {
        Wake::new(|| ())
    }

    /// Calls.
    pub fn call(&self) {
        (self.0)();
    }
}

/// What the worker and the asker share.
#[derive(Default)]
struct Wire {
    /// Share done as the bits of an f32; above 1 means that it is not known.
    share: AtomicU32,
    cancelled: AtomicBool,
}

/// The worker's side: how far it is, and whether it should go on.
pub struct WorkProgress {
    wire: Arc<Wire>,
    wake: Wake,
}

impl WorkProgress {
    /// Says that `share` (0 to 1) is done; whether to go on.
    pub fn at(&self, share: f32) -> bool {
        self.wire
            .share
            .store(share.clamp(0.0, 1.0).to_bits(), Ordering::Relaxed);
        self.wake.call();
        self.go_on()
    }

    /// Whether to go on: false once the asker has cancelled.
    pub fn go_on(&self) -> bool {
        !self.wire.cancelled.load(Ordering::Relaxed)
    }
}

/// How a piece of work ended.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WorkResult<T> {
    /// It has a result.
    Done(T),
    /// It was cancelled, and whatever it had is dropped.
    Cancelled,
    /// The program itself failed in it.
    Failed,
}

/// A result that will come. Dropping it cancels the work, where the worker looks.
pub struct Later<T> {
    name: &'static str,
    wire: Arc<Wire>,
    result: Receiver<T>,
    over: bool,
}

/// The worker's end of a [`Later`]. Dropped without a result, it tells the asker that the work failed.
pub struct Promise<T> {
    wire: Arc<Wire>,
    result: Option<Sender<T>>,
    wake: Wake,
}

impl<T> Promise<T> {
    /// Gives the result.
    pub fn keep(mut self, value: T) {
        if let Some(result) = self.result.take() {
            // Nobody may wait for it any more.
            let _ = result.send(value);
        }
    }

    /// Whether the asker still wants it.
    pub fn wanted(&self) -> bool {
        !self.wire.cancelled.load(Ordering::Relaxed)
    }
}

impl<T> Drop for Promise<T> {
    fn drop(&mut self) {
        // The sender goes first, so that whoever is woken finds the result or its absence.
        drop(self.result.take());
        self.wake.call();
    }
}

impl<T> Later<T> {
    /// Both ends, for a worker that lives longer than this piece of work.
    pub fn promised(wake: impl Into<Wake>, name: &'static str) -> (Promise<T>, Later<T>) {
        let wire = Arc::new(Wire {
            share: AtomicU32::new(2f32.to_bits()),
            ..Wire::default()
        });
        let (sender, result) = channel();
        let promise = Promise {
            wire: wire.clone(),
            result: Some(sender),
            wake: wake.into(),
        };
        let later = Later {
            name,
            wire,
            result,
            over: false,
        };
        (promise, later)
    }

    /// The outcome, once, as soon as there is one.
    pub fn take(&mut self) -> Option<WorkResult<T>> {
        if self.over {
            return None;
        }
        let ending = match self.result.try_recv() {
            Err(TryRecvError::Empty) => return None,
            _ if self.wire.cancelled.load(Ordering::Relaxed) => WorkResult::Cancelled,
            Ok(done) => WorkResult::Done(done),
            Err(TryRecvError::Disconnected) => WorkResult::Failed,
        };
        self.over = true;
        Some(ending)
    }

    /// Waits for the outcome: for tests and programs without a window.
    pub fn ending(self) -> WorkResult<T> {
        match self.result.recv() {
            _ if self.over => WorkResult::Failed,
            Ok(done) => WorkResult::Done(done),
            Err(_) => WorkResult::Failed,
        }
    }

    /// Asks the worker to stop; it does at its next [`WorkProgress::at`] or [`WorkProgress::go_on`].
    pub fn cancel(&self) {
        self.wire.cancelled.store(true, Ordering::Relaxed);
    }

    /// Share done, 0 to 1, if the worker says.
    pub fn share(&self) -> Option<f32> {
        Some(f32::from_bits(self.wire.share.load(Ordering::Relaxed))).filter(|share| *share <= 1.0)
    }

    /// What people read beside the bar: "Reading the recording".
    pub fn name(&self) -> &'static str {
        self.name
    }
}

impl<T: Send + 'static> Later<T> {
    /// Starts `work` on a thread of its own.
    pub fn start(
        wake: impl Into<Wake>,
        name: &'static str,
        work: impl FnOnce(&WorkProgress) -> T + Send + 'static,
    ) -> Later<T> {
        let (promise, later) = Later::promised(wake, name);
        let progress = WorkProgress {
            wire: promise.wire.clone(),
            wake: promise.wake.clone(),
        };
        std::thread::spawn(move || {
            // A panic drops the promise, which the asker reads as failed.
            let caught = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| work(&progress)));
            if let Ok(done) = caught {
                promise.keep(done);
            }
        });
        later
    }
}

impl<T> Drop for Later<T> {
    fn drop(&mut self) {
        self.cancel();
    }
}

/// Who is told what failed, in a line for people.
pub trait Hears {
    /// Takes the line.
    fn failed(&mut self, line: String);
}

/// A value that is asked for, comes later, and may be asked for anew while the old one is still shown.
pub struct Latest<T, E> {
    asked: Option<Later<Result<T, E>>>,
    /// What came last.
    pub value: Option<T>,
}

impl<T, E> Default for Latest<T, E> {
    fn default() -> Self {
        Latest {
            asked: None,
            value: None,
        }
    }
}

impl<T, E: std::fmt::Display> Latest<T, E> {
    /// Waits for this from now on.
    pub fn ask(&mut self, later: Later<Result<T, E>>) {
        self.asked = Some(later);
    }

    /// Whether something is on its way.
    pub fn busy(&self) -> bool {
        self.asked.is_some()
    }

    /// Whether nothing came and nothing is on its way.
    pub fn untouched(&self) -> bool {
        self.asked.is_none() && self.value.is_none()
    }

    /// Takes the value in once it is there; whether there is news. A fault is told.
    pub fn take(&mut self, hears: &mut impl Hears) -> bool {
        let Some(ending) = self.asked.as_mut().and_then(Later::take) else {
            return false;
        };
        self.asked = None;
        match ending {
            WorkResult::Done(Ok(value)) => {
                self.value = Some(value);
                return true;
            }
            WorkResult::Done(Err(e)) => hears.failed(e.to_string()),
            WorkResult::Failed => hears.failed("The program itself failed at this; please report it.".into()),
            WorkResult::Cancelled => {}
        }
        false
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wait<T>(later: &mut Later<T>) -> WorkResult<T> {
        loop {
            if let Some(ending) = later.take() {
                return ending;
            }
            std::thread::yield_now();
        }
    }

    #[test]
    fn cancelled_work_stops_and_says_so() {
        let (started, is_started) = channel();
        let mut later = Later::start(Wake::nobody(), "Waiting", move |progress| {
            started.send(()).expect("the test listens");
            while progress.at(0.5) {
                std::thread::yield_now();
            }
        });
        is_started.recv().expect("the worker started");
        assert!(later.take().is_none());
        later.cancel();
        assert_eq!(wait(&mut later), WorkResult::Cancelled);
        assert!(later.take().is_none(), "an outcome is given once");
    }

    #[test]
    fn failed_work_is_told_from_work_that_is_done() {
        let mut later = Later::<()>::start(Wake::nobody(), "Failing", |_| panic!("on purpose"));
        assert_eq!(wait(&mut later), WorkResult::Failed);
    }

    #[test]
    fn a_promise_that_is_dropped_is_read_as_failed_and_one_that_is_kept_wakes_the_asker() {
        let (promise, mut later) = Later::<u8>::promised(Wake::nobody(), "Nothing");
        drop(promise);
        assert_eq!(wait(&mut later), WorkResult::Failed);
        let (woken, is_woken) = channel();
        let wake = Wake::new(move || {
            let _ = woken.send(());
        });
        let (promise, mut later) = Later::promised(wake, "Seven");
        promise.keep(7u8);
        is_woken.recv().expect("it was woken");
        assert_eq!(later.take(), Some(WorkResult::Done(7)));
    }
}
