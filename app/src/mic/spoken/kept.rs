//! A player that plays to nobody.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Instant;

use soundbead_dsp::audio::RATE;

use crate::mic::{Player, Playing};

/// A player that keeps what it is given, for machines without a loudspeaker and for tests. It takes as long as the
/// sound would. Clones keep together.
#[derive(Clone, Default)]
pub struct KeepingPlayer {
    sounds: Arc<Mutex<Vec<Vec<f32>>>>,
    began: Option<Instant>,
}

impl KeepingPlayer {
    /// Every sound that was to be played so far, in order.
    pub fn sounds(&self) -> Vec<Vec<f32>> {
        self.lock().clone()
    }

    fn lock(&self) -> MutexGuard<'_, Vec<Vec<f32>>> {
        self.sounds.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Player for KeepingPlayer {
    fn play(&mut self, samples: &[f32]) {
        self.lock().push(samples.to_vec());
        self.began = Some(Instant::now());
    }

    fn stop(&mut self) {
        self.began = None;
    }

    fn playing(&mut self) -> Playing {
        let length = self.lock().last().map_or(0.0, |s| s.len() as f32 / RATE as f32);
        match self.began.map(|b| b.elapsed().as_secs_f32()) {
            Some(at) if at < length => Playing::At(at),
            _ => Playing::Nothing,
        }
    }
}
