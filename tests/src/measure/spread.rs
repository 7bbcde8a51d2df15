//! The model that is measured, and measuring on every core.

use std::path::Path;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use soundbead_dsp::ear::Ear;
use soundbead_dsp::ear::inside::{SHIPPED, weights_of};

/// The model that is measured.
pub struct MeasuredModel(Option<Vec<u8>>);

impl MeasuredModel {
    /// A package's file, or the program's own.
    ///
    /// # Errors
    /// When it cannot be read or is none.
    pub fn new(path: Option<&Path>) -> Result<MeasuredModel, String> {
        let read = |path: &Path| std::fs::read(path).map_err(|e| format!("{}: {e}", path.display()));
        let bytes = path.map(read).transpose()?;
        let ear = bytes.as_deref().map_or_else(Ear::new, Ear::from_package);
        ear.map_err(|e| e.to_string())?;
        Ok(MeasuredModel(bytes))
    }

    /// SHA-256 of its tensors.
    pub fn weights(&self) -> String {
        weights_of(self.0.as_deref().unwrap_or(SHIPPED)).expect("the model was read before")
    }

    /// An ear with it.
    pub fn ear(&self) -> Ear {
        let ear = self.0.as_deref().map_or_else(Ear::new, Ear::from_package);
        ear.expect("the model was read before")
    }
}

/// Runs `work` over `items` on every core with the program's own ear, keeping their order.
pub fn spread<T: Sync, R: Send>(items: &[T], work: impl Fn(&mut Ear, &T) -> R + Sync) -> Vec<R> {
    spread_by(items, || Ear::new().expect("the weights come with the program"), work)
}

/// [`spread`] with ears made by `ear`, one a thread.
pub fn spread_by<T: Sync, R: Send>(
    items: &[T],
    ear: impl Fn() -> Ear + Sync,
    work: impl Fn(&mut Ear, &T) -> R + Sync,
) -> Vec<R> {
    let (next, done) = (AtomicUsize::new(0), Mutex::new(Vec::new()));
    std::thread::scope(|scope| {
        for _ in 0..std::thread::available_parallelism().map_or(1, usize::from) {
            scope.spawn(|| {
                let mut ear = ear();
                loop {
                    let i = next.fetch_add(1, Ordering::Relaxed);
                    let Some(item) = items.get(i) else { return };
                    let result = work(&mut ear, item);
                    done.lock().expect("no thread panicked").push((i, result));
                }
            });
        }
    });
    let mut done = done.into_inner().expect("no thread panicked");
    done.sort_by_key(|(i, _)| *i);
    done.into_iter().map(|(_, r)| r).collect()
}
